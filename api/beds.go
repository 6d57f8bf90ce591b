package api

import (
	"bytes"
	"cmp"
	"encoding/json"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"time"

	"github.com/danielgtaylor/huma/v2"
	"github.com/google/uuid"

	"raftwright/answer"
	"raftwright/brief"
	"raftwright/finding"
	"raftwright/plan"
	"raftwright/store"
)

// Brief is a brief as it was sent: an object, or its YAML as a text.
type Brief string

// MarshalJSON gives an object back as one.
func (b Brief) MarshalJSON() ([]byte, error) {
	if strings.HasPrefix(string(b), "{") && json.Valid([]byte(b)) {
		return []byte(b), nil
	}
	return json.Marshal(string(b))
}

// Schema describes it.
func (Brief) Schema(huma.Registry) *huma.Schema {
	return &huma.Schema{Description: says("brief"), OneOf: []*huma.Schema{{Type: "object", AdditionalProperties: true}, {Type: "string"}}}
}

type (
	// Listed is a bed in a list.
	Listed struct {
		ID      string `json:"id" format:"uuid"`
		Title   string `json:"title"`
		Place   string `json:"place"`
		Version int    `json:"version" doc:"of the brief, from 1"`
		Changed int64  `json:"changed" doc:"goes up with everything that is written to the bed or its log"`
	}
	// Bed is a bed as it stands.
	Bed struct {
		Listed
		Edition string           `json:"edition" doc:"of the code and tables with which it was planned"`
		Brief   Brief            `json:"brief"`
		Log     []Entry          `json:"log" doc:"the oldest first"`
		State   *answer.BedState `json:"state" doc:"what the bed holds now, as in the advice; null where its plan or its log does not say enough"`
		Pending bool             `json:"pending,omitempty" doc:"the state is being worked out: it is null until then"`
	}
	// Kept tells what was kept.
	Kept struct {
		ID      string `json:"id" format:"uuid"`
		Version int    `json:"version"`
	}
	// Past is one version of a brief.
	Past struct {
		Version  int       `json:"version"`
		Recorded time.Time `json:"recorded"`
		Edition  string    `json:"edition"`
		Brief    Brief     `json:"brief"`
	}

	// OfBed is the bed of an address.
	OfBed struct {
		Bed string `path:"bed" doc:"the bed's id"`
	}
	// Waits is how long whoever asks waits for what is being worked out.
	Waits struct {
		Prefer []string `header:"Prefer" doc:"wait=10: wait up to ten seconds for what is being worked out (RFC 7240)"`
	}
	// Paged is which part of a list is asked for.
	Paged struct {
		After string `query:"after" doc:"where the next page begins, as the Link header of the page before names it"`
		Most  string `query:"most" doc:"how many at most, from 1 to 1000"`
	}
	// Sent is what was sent, as it was.
	Sent struct {
		RawBody []byte `contentType:"application/json"`
	}
	keptOut struct {
		Status   int
		Location string `header:"Location"`
		ETag     string `header:"ETag"`
		Body     Kept
	}
	listOut[T any] struct {
		Link string `header:"Link"`
		Body []T
	}
)

// mostListed is how many a list gives at most.
const mostListed = 1000

// page reads which part of a list is asked for.
func (p Paged) page() (int, error) {
	if p.Most == "" {
		return mostListed, nil
	}
	n, err := strconv.Atoi(p.Most)
	if err != nil || n < 1 || n > mostListed {
		return 0, finding.Fault{ID: FaultPage, Args: finding.Args{"Most": mostListed}}
	}
	return n, nil
}

// next gives the header that leads to the next page of a list (RFC 8288).
func (p Paged) next(path, after string) string {
	q := url.Values{"after": {after}}
	if p.Most != "" {
		q.Set("most", p.Most)
	}
	return "<" + path + "?" + q.Encode() + `>; rel="next"`
}

// parsed reads a brief out of what was sent: the brief itself, YAML or JSON, or an object that
// holds it under "brief", beside an id.
func parsed(body []byte) (id string, text Brief, err error) {
	var around map[string]json.RawMessage
	if json.Unmarshal(body, &around) != nil {
		return "", lines(body), nil
	}
	inner, is := around["brief"]
	if !is {
		return "", tidy(body), nil
	}
	for key := range around {
		if key != "id" && key != "brief" {
			return "", "", finding.Fault{ID: FaultJSON, Args: finding.Args{"Most": mostBody}}
		}
	}
	if raw, is := around["id"]; is && json.Unmarshal(raw, &id) != nil {
		return "", "", finding.Fault{ID: store.FaultID, Args: finding.Args{"Name": ""}}
	}
	var yaml string
	if json.Unmarshal(inner, &yaml) == nil {
		return id, lines([]byte(yaml)), nil
	}
	return id, tidy(inner), nil
}

// tidy writes an object in one way, so that it is the same brief however it was spaced. Its
// lines stay where there are any: the faults name them.
func tidy(object []byte) Brief {
	return lines(bytes.TrimSpace(object))
}

// lines ends every line as texts are kept, whatever system they were written on.
func lines(text []byte) Brief {
	return Brief(bytes.ReplaceAll(text, []byte("\r\n"), []byte("\n")))
}

// readable refuses a brief with faults, each told.
func (c *call) readable(text Brief) (*brief.Brief, error) {
	b, faults := brief.Parse("", []byte(text))
	return b, c.wrong(b, faults)
}

func etag(version int) string { return `"` + strconv.Itoa(version) + `"` }

// matches tells whether If-None-Match names an ETag: by the weak comparison (RFC 9110, 13.1.2), for a proxy that packs an answer makes its
// ETag weak.
func matches(none, tag string) bool {
	for one := range strings.SplitSeq(none, ",") {
		if one = strings.TrimPrefix(strings.TrimSpace(one), "W/"); one == tag || one == "*" {
			return true
		}
	}
	return false
}

// saw reads from If-Match the version that a writer saw: of several the one that stands, if it is named. By the strong comparison a weak ETag
// names none (RFC 9110, 8.8.3.2 and 13.1.1).
func saw(match string, now int) (seen int, err error) {
	err = finding.Fault{ID: FaultStale}
	for one := range strings.SplitSeq(match, ",") {
		switch one = strings.TrimSpace(one); {
		case strings.TrimSpace(match) == "":
			return 0, finding.Fault{ID: FaultMatch}
		case one == "*":
			return now, nil
		case strings.HasPrefix(one, "W/"):
			if seen == 0 {
				err = finding.Fault{ID: FaultWeak}
			}
			continue
		}
		number, _, _ := strings.Cut(strings.Trim(one, `"`), "-")
		if n, bad := strconv.Atoi(number); bad == nil && n > 0 && (seen == 0 || n == now) {
			seen, err = n, nil
		}
	}
	return seen, err
}

// derived makes the id of a writing that was sent without one: the same writing has the same.
func derived(parts ...string) string {
	return uuid.NewSHA1(uuid.NameSpaceURL, []byte("raftwright:"+strings.Join(parts, "\x00"))).String()
}

// bedOperations adds what is done to beds.
func (h *House) bedOperations(a huma.API) {
	on(h, a, huma.Operation{Method: "GET", Path: "/api/beds", Errors: []int{401, 429}},
		func(c *call, in *Paged) (*listOut[Listed], error) {
			most, err := in.page()
			if err != nil {
				return nil, err
			}
			beds, err := c.Store.Beds(c, c.who, in.After, most)
			out := &listOut[Listed]{Body: make([]Listed, len(beds))}
			for i, b := range beds {
				out.Body[i] = Listed{b.ID, b.Title, b.Place, b.Version, b.Changed}
			}
			if len(beds) == most {
				out.Link = in.next("/api/beds", beds[most-1].ID)
			}
			return out, err
		})

	on(h, a, huma.Operation{Method: "POST", Path: "/api/beds", MaxBodyBytes: mostBody, DefaultStatus: 201, Errors: []int{401, 409, 410, 413, 422, 429}},
		func(c *call, in *Sent) (*keptOut, error) {
			id, text, err := parsed(in.RawBody)
			if err != nil {
				return nil, err
			}
			if _, err := c.readable(text); err != nil {
				return nil, err
			}
			id = cmp.Or(id, store.NewID())
			made, err := c.Store.PutBed(c, c.who, id, string(text), plan.Code)
			if err != nil {
				return nil, err
			}
			b, err := c.Store.Bed(c, c.who, id)
			if err != nil {
				return nil, err
			}
			out := &keptOut{Status: http.StatusOK, Location: "/api/beds/" + id, ETag: etag(b.Version), Body: Kept{id, b.Version}}
			if made {
				out.Status = http.StatusCreated
			}
			return out, nil
		})

	h.oneBed(a)
	h.briefOperations(a)
}

// oneBed adds the address of a bed.
func (h *House) oneBed(a huma.API) {
	on(h, a, huma.Operation{Method: "GET", Path: "/api/beds/{bed}", Errors: []int{304, 401, 404, 410, 429}},
		func(c *call, in *struct {
			OfBed
			Waits
			None string `header:"If-None-Match"`
		}) (*struct {
			Status int
			ETag   string `header:"ETag"`
			Body   *Bed
		}, error) {
			b, log, err := c.bed(in.Bed)
			if err != nil {
				return nil, err
			}
			out := &struct {
				Status int
				ETag   string `header:"ETag"`
				Body   *Bed
			}{Status: http.StatusOK, ETag: `"` + strconv.Itoa(b.Version) + "-" + strconv.FormatInt(b.Changed, 10) + `"`}
			if matches(in.None, out.ETag) {
				out.Status = http.StatusNotModified
				return out, nil
			}
			out.Body = &Bed{Listed: Listed{b.ID, b.Title, b.Place, b.Version, b.Changed}, Edition: b.Edition, Brief: Brief(b.Brief), Log: entries(log)}
			if t, later, err := c.adviceNow(b, log, in.Prefer); err == nil && later != nil {
				out.Body.Pending, out.ETag = true, strings.TrimSuffix(out.ETag, `"`)+`-pending"`
			} else if err == nil {
				out.Body.State = &t.State
			} else if _, is := err.(finding.Faults); !is {
				return nil, err
			}
			return out, nil
		})

	on(h, a, huma.Operation{Method: "DELETE", Path: "/api/beds/{bed}", DefaultStatus: 204, Errors: []int{401, 403, 404, 410, 412, 428, 429}},
		func(c *call, in *struct {
			OfBed
			Match string `header:"If-Match" doc:"the ETag of the bed as you saw it; * for whatever stands there"`
		}) (*struct{}, error) {
			b, err := c.Store.Bed(c, c.who, in.Bed)
			if err != nil {
				return nil, err
			}
			seen, err := saw(in.Match, b.Version)
			if err != nil {
				return nil, err
			}
			return nil, c.Store.RemoveBed(c, c.who, store.NewID(), in.Bed, seen)
		})

	on(h, a, huma.Operation{Method: "POST", Path: "/api/beds/{bed}/return", Errors: []int{401, 403, 404, 410, 429}},
		func(c *call, in *OfBed) (*keptOut, error) {
			if err := c.Store.ReturnBed(c, c.who, store.NewID(), in.Bed); err != nil {
				return nil, err
			}
			b, err := c.Store.Bed(c, c.who, in.Bed)
			return &keptOut{Status: http.StatusOK, Location: "/api/beds/" + in.Bed, ETag: etag(b.Version), Body: Kept{in.Bed, b.Version}}, err
		})
}

// briefOperations adds what is done to a brief.
func (h *House) briefOperations(a huma.API) {
	on(h, a, huma.Operation{Method: "PUT", Path: "/api/beds/{bed}/brief", MaxBodyBytes: mostBody, Errors: []int{401, 403, 404, 409, 410, 412, 413, 422, 428, 429}},
		func(c *call, in *struct {
			OfBed
			Sent
			Match string `header:"If-Match" doc:"the ETag of the bed as you saw it; * for whatever stands there"`
		}) (*keptOut, error) {
			b, err := c.Store.Bed(c, c.who, in.Bed)
			if err != nil {
				return nil, err
			}
			seen, err := saw(in.Match, b.Version)
			if err != nil {
				return nil, err
			}
			id, text, err := parsed(in.RawBody)
			if err != nil {
				return nil, err
			}
			if _, err := c.readable(text); err != nil {
				return nil, err
			}
			id = cmp.Or(id, derived("brief", in.Bed, strconv.Itoa(seen), string(text)))
			n, err := c.Store.PutBrief(c, c.who, id, in.Bed, seen, string(text), plan.Code)
			return &keptOut{Status: http.StatusOK, ETag: etag(n), Body: Kept{in.Bed, n}}, err
		})

	on(h, a, huma.Operation{Method: "GET", Path: "/api/beds/{bed}/versions", Errors: []int{401, 404, 410, 429}},
		func(c *call, in *OfBed) (*listOut[Past], error) {
			list, err := c.Store.Versions(c, c.who, in.Bed)
			out := &listOut[Past]{Body: make([]Past, len(list))}
			for i, v := range list {
				out.Body[i] = Past{v.Number, v.Recorded, v.Edition, Brief(v.Text)}
			}
			return out, err
		})
}

// bed gives a bed with its log.
func (c *call) bed(id string) (store.Bed, []store.Entry, error) {
	b, err := c.Store.Bed(c, c.who, id)
	if err != nil {
		return b, nil, err
	}
	log, err := c.Store.Log(c, c.who, id)
	return b, log, err
}
