package api

import (
	"bytes"
	"cmp"
	"encoding/base64"
	"encoding/json"
	"maps"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/danielgtaylor/huma/v2"

	"raftwright/bed"
	"raftwright/brief"
	"raftwright/finding"
	"raftwright/lang"
	"raftwright/store"
	"raftwright/tend"
)

// Entry is a visit: its id, when it was by the clock at the bed, and the keys of the log as a
// brief has them, every value a text with its unit.
type Entry struct {
	ID       string
	At       time.Time
	Version  int
	Recorded time.Time
	Pairs    []store.Pair
}

// about are the keys of an entry that tell of it and are none of the log.
var about = []string{"id", "version", "recorded"}

// MarshalJSON puts the keys of the log beside id and time.
func (e Entry) MarshalJSON() ([]byte, error) {
	if out, ok := e.plain(); ok {
		return out, nil
	}
	all := brief.Nested(e.Pairs)
	all["id"], all["at"], all["version"], all["recorded"] = e.ID, e.At, e.Version, e.Recorded
	return json.Marshal(all)
}

// Schema describes it.
func (Entry) Schema(huma.Registry) *huma.Schema {
	return &huma.Schema{Type: "object", AdditionalProperties: true, Description: says("visit"),
		Properties: map[string]*huma.Schema{
			"id":       {Type: "string", Format: "uuid"},
			"at":       {Type: "string", Format: "date-time", Description: says("at")},
			"version":  {Type: "integer", Description: says("version")},
			"recorded": {Type: "string", Format: "date-time", Description: says("recorded")},
		}}
}

func entries(list []store.Entry) []Entry {
	out := make([]Entry, len(list))
	for i, e := range list {
		out[i] = entry(e)
	}
	return out
}

func entry(e store.Entry) Entry { return Entry{e.ID, e.At, e.Version, e.Recorded, e.Pairs} }

// visit reads an entry as it was sent, and tells every fault at its line and column. Without a
// time it is the zero time.
func (c *call) visit(b around, body []byte) (id string, at time.Time, pairs []store.Pair, err error) {
	var keys map[string]json.RawMessage
	if err := json.Unmarshal(body, &keys); err != nil || keys == nil {
		return "", at, nil, finding.Fault{ID: FaultJSON, Args: finding.Args{"Most": mostEntry}}
	}
	text := func(key string) (string, error) {
		raw, is := keys[key]
		var s string
		if is && json.Unmarshal(raw, &s) != nil {
			return "", finding.Fault{ID: FaultJSON, Args: finding.Args{"Most": mostEntry}}
		}
		return s, nil
	}
	if id, err = text("id"); err != nil {
		return "", at, nil, err
	}
	when, err := text("at")
	if err != nil {
		return "", at, nil, err
	}
	before := `{"log":[` // in which the entry stands as in a brief
	if b.shows != "" {
		before = `{"meter":{"shows":` + strconv.Quote(b.shows) + `},"log":[`
	}
	doc, faults := brief.Parse("", slices.Concat([]byte(before), bytes.ReplaceAll(body, []byte("\r\n"), []byte("\n")), []byte("]}")))
	const item = finding.Path("log[0]")
	ours := func(p finding.Path) bool {
		return p == item.Key("at") || slices.ContainsFunc(about, func(k string) bool { return p == item.Key(k) })
	}
	faults = slices.DeleteFunc(faults, func(f finding.Fault) bool { return ours(f.Path) })
	if when != "" {
		if at, err = tend.Moment(when, c.Now()); err != nil {
			faults = append(faults, doc.Locate(finding.Fault{ID: FaultAt, Path: item.Key("at"), Args: finding.Args{"Text": when}}))
		}
	}
	if doc != nil {
		for _, v := range doc.Values() {
			if rest, is := strings.CutPrefix(string(v.Path), string(item)+"."); is && !ours(v.Path) {
				pairs = append(pairs, store.Pair{Path: finding.Path(rest), Text: v.Text})
			}
		}
	}
	if len(faults) == 0 {
		faults = c.among(b, doc, pairs)
	}
	for i := range faults {
		if faults[i].Line == 1 {
			faults[i].Column = max(1, faults[i].Column-len(before))
		}
		faults[i].Path = finding.Path(strings.TrimPrefix(strings.TrimPrefix(string(faults[i].Path), string(item)), "."))
	}
	if c.language == "" && len(faults) > 0 {
		if c.words, err = lang.For(b.language, lang.US); err != nil {
			return "", at, nil, err
		}
	}
	return id, at, pairs, c.wrong(nil, faults)
}

// around is what of a brief a visit is read by: what its meter shows, its acid, its language.
type around struct {
	shows, language string
	sound           bool // nothing is wrong with the brief
	beside          []store.Pair
}

// mostAround bounds the briefs of which that is remembered. Nothing is lost with it but time.
const mostAround = 4096

// around finds it for a bed that may be logged.
func (c *call) around(kept store.Bed) around {
	key := kept.ID + etag(kept.Version)
	if known, is := c.briefs.Load(key); is {
		return known.(around)
	}
	b, wrong := brief.Parse("", []byte(kept.Brief))
	a := around{sound: b != nil && len(wrong) == 0}
	if b == nil {
		b, _ = brief.Parse("", nil)
	}
	a.language = string(b.Language.Or(brief.English))
	for _, v := range b.ValuesUnder("acid", "meter") {
		a.beside = append(a.beside, store.Pair{Path: v.Path, Text: v.Text})
		if v.Path == "meter.shows" {
			a.shows = v.Text
		}
	}
	if c.remembered.Add(1) > mostAround {
		c.briefs.Clear()
		c.remembered.Store(0)
	}
	c.briefs.Store(key, a)
	return a
}

// among tells what is wrong with readings beside the rest of their brief: an acid that it does
// not have, a sign that no table has.
func (c *call) among(b around, doc *brief.Brief, pairs []store.Pair) (faults finding.Faults) {
	const n = finding.Path("log[0]")
	whole := append(slices.Clone(b.beside), store.Pair{Path: n.Key("at"), Text: tend.AtBed(c.Now()).Format(store.Clock)})
	for _, p := range pairs {
		whole = append(whole, store.Pair{Path: n + "." + p.Path, Text: p.Text})
	}
	with, all := brief.FromPairs("", whole)
	visits, wrong := bed.FromBrief(with)
	all = slices.Concat(all, wrong, tend.CheckSigns(visits, c.Book.Trouble))
	for _, f := range all {
		if rest, is := strings.CutPrefix(string(f.Path), string(n)); is {
			f.Path, f.Line = n+finding.Path(rest), 0
			faults = append(faults, doc.Locate(f))
		}
	}
	return faults
}

// place is where a page of a log begins, as an address holds it.
func place(e store.Entry) string {
	return base64.RawURLEncoding.EncodeToString([]byte(e.At.Format(time.RFC3339) + " " + strconv.FormatInt(e.Order, 10)))
}

func placed(text string) (e store.Entry, err error) {
	if text == "" {
		return e, nil
	}
	raw, err := base64.RawURLEncoding.DecodeString(text)
	at, order, _ := strings.Cut(string(raw), " ")
	if err == nil {
		e.At, err = time.Parse(time.RFC3339, at)
	}
	if err == nil {
		e.Order, err = strconv.ParseInt(order, 10, 64)
	}
	if err != nil {
		return e, finding.Fault{ID: FaultPage, Args: finding.Args{"Most": mostListed}}
	}
	return e, nil
}

type (
	entryOut struct {
		Status   int
		Location string `header:"Location"`
		ETag     string `header:"ETag"`
		Body     Entry
	}
	// OfEntry is the entry of an address.
	OfEntry struct {
		OfBed
		Entry string `path:"entry" doc:"the entry's id"`
	}
)

// logOperations adds what is done to a log.
func (h *House) logOperations(a huma.API) {
	on(h, a, huma.Operation{Method: "GET", Path: "/api/beds/{bed}/log", Errors: []int{401, 404, 410, 429}},
		func(c *call, in *struct {
			OfBed
			Paged
		}) (*listOut[Entry], error) {
			most, err := in.page()
			if err != nil {
				return nil, err
			}
			after, err := placed(in.After)
			if err != nil {
				return nil, err
			}
			list, err := c.Store.Entries(c, c.who, in.Bed, after, most)
			out := &listOut[Entry]{Body: entries(list)}
			if len(list) == most {
				out.Link = in.next("/api/beds/"+in.Bed+"/log", place(list[most-1]))
			}
			return out, err
		})

	on(h, a, huma.Operation{Method: "POST", Path: "/api/beds/{bed}/log", DefaultStatus: 201, Errors: []int{401, 403, 404, 409, 410, 413, 422, 429}},
		func(c *call, in *struct {
			OfBed
			Sent
		}) (*entryOut, error) {
			return c.keep(in.Bed, in.RawBody)
		})

	on(h, a, huma.Operation{Method: "GET", Path: "/api/beds/{bed}/log/{entry}", Errors: []int{401, 404, 410, 429}},
		func(c *call, in *OfEntry) (*listOut[Entry], error) {
			past, err := c.past(in.Bed, in.Entry)
			return &listOut[Entry]{Body: past}, err
		})

	on(h, a, huma.Operation{Method: "PATCH", Path: "/api/beds/{bed}/log/{entry}", Errors: []int{401, 403, 404, 409, 410, 412, 413, 422, 429}},
		func(c *call, in *struct {
			OfEntry
			Sent
			Match string `header:"If-Match" doc:"the version of the visit that you saw"`
		}) (*entryOut, error) {
			return c.correct(in.Bed, in.Entry, in.Match, in.RawBody)
		})
}

// keep keeps a visit.
func (c *call) keep(bedID string, body []byte) (*entryOut, error) {
	kept, err := c.Store.Bed(c, c.who, bedID)
	if err != nil {
		return nil, err
	}
	id, at, pairs, err := c.visit(c.around(kept), body)
	if err != nil {
		return nil, err
	}
	if len(pairs) == 0 {
		return nil, finding.Fault{ID: FaultEmpty}
	}
	if at.IsZero() { // of something without a clock: sent again it is what was kept
		at = tend.AtBed(c.Now().Local())
		if id != "" {
			if past, err := c.Store.EntryHistory(c, c.who, id); err == nil {
				at = past[0].Happened
			}
		}
	}
	id = cmp.Or(id, store.NewID())
	first, made, err := c.Store.KeepPast(c, c.who, id, bedID, at, pairs)
	if err != nil {
		return nil, err
	}
	out := &entryOut{Status: http.StatusCreated, Location: "/api/beds/" + bedID + "/log/" + id, Body: Entry{id, first.Happened, first.Version, first.Recorded, first.Pairs}}
	if !made {
		past, err := c.past(bedID, id)
		if err != nil {
			return nil, err
		}
		out.Status, out.Body = http.StatusOK, past[len(past)-1]
	}
	out.ETag = etag(out.Body.Version)
	return out, nil
}

// past gives an entry of a bed as it was kept and corrected.
func (c *call) past(bedID, id string) ([]Entry, error) {
	list, err := c.Store.EntryHistory(c, c.who, id)
	if err != nil {
		return nil, err
	}
	out := make([]Entry, len(list))
	for i, p := range list {
		if p.Bed != bedID {
			return nil, finding.Fault{ID: FaultNowhere, Args: finding.Args{"Address": "/api/beds/" + bedID + "/log/" + id}}
		}
		out[i] = Entry{id, p.Happened, p.Version, list[0].Recorded, p.Pairs}
	}
	return out, nil
}

// correct changes a visit on top of what stands there.
func (c *call) correct(bedID, id, match string, body []byte) (*entryOut, error) {
	past, err := c.past(bedID, id)
	if err != nil {
		return nil, err
	}
	now := past[len(past)-1]
	seen := now.Version
	if match != "" {
		if seen, err = saw(match, now.Version); err != nil {
			return nil, err
		}
	}
	kept, err := c.Store.Bed(c, c.who, bedID)
	if err != nil {
		return nil, err
	}
	var given map[string]json.RawMessage
	if json.Unmarshal(body, &given) != nil || given == nil {
		return nil, finding.Fault{ID: FaultJSON, Args: finding.Args{"Most": mostEntry}}
	}
	writing, at, changed, err := c.visit(c.around(kept), body)
	if err != nil {
		return nil, err
	}
	if at.IsZero() {
		at = now.At
	}
	pairs := slices.DeleteFunc(slices.Clone(now.Pairs), func(p store.Pair) bool {
		return slices.ContainsFunc(slices.Collect(maps.Keys(given)), func(key string) bool { return p.Path.Under(finding.Path("").Key(key)) })
	})
	pairs = append(pairs, changed...)
	out := &entryOut{Status: http.StatusOK, ETag: etag(now.Version), Body: now}
	if seen == now.Version && at.Equal(now.At) && same(pairs, now.Pairs) {
		return out, nil
	}
	writing = cmp.Or(writing, derived("entry", id, strconv.Itoa(seen), string(body)))
	n, err := c.Store.Correct(c, c.who, writing, id, seen, at, pairs)
	if err != nil {
		return nil, err
	}
	if past, err = c.past(bedID, id); err != nil {
		return nil, err
	}
	out.Body, out.ETag = past[n-1], etag(n)
	return out, nil
}

// same tells whether two lists hold the same keys with the same texts.
func same(a, b []store.Pair) bool {
	all := map[store.Pair]bool{}
	for _, p := range a {
		all[p] = true
	}
	return len(a) == len(b) && !slices.ContainsFunc(b, func(p store.Pair) bool { return !all[p] })
}
