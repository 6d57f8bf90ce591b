package api

import (
	"bytes"
	"cmp"
	"context"
	"encoding/json"
	"net/http"
	"reflect"
	"slices"
	"strings"
	"sync"
	"time"

	"github.com/danielgtaylor/huma/v2"

	"raftwright/answer"
	"raftwright/bed"
	"raftwright/brief"
	"raftwright/finding"
	"raftwright/lang"
	"raftwright/packet"
	"raftwright/page"
	"raftwright/plan"
	"raftwright/press/paper"
	"raftwright/store"
	"raftwright/tend"
)

// both is paper in two languages, front and back.
const both = "en+es"

type (
	planOut   struct{ Body answer.PlanDocument }
	adviceOut struct {
		Status int
		Retry  string `header:"Retry-After"`
		Body   Advice
	}
	// Advice is the document of what to do, or that it is being worked out.
	Advice struct {
		*answer.TendDocument
		later *Later
	}
	// Later tells that advice is being worked out.
	Later struct {
		Pending bool   `json:"pending"`
		AsOf    string `json:"as_of,omitempty" doc:"the moment of the advice before, which holds no more"`
	}
	paperOut struct {
		Kind string `header:"Content-Type"`
		Name string `header:"Content-Disposition"`
		Body []byte
	}
	healthOut struct {
		Body struct {
			Status string `json:"status" enum:"ok"`
		}
	}
)

// operations adds every operation, in the order of docs/api.md.
func (h *House) operations(a huma.API) {
	on(h, a, huma.Operation{Method: "POST", Path: "/api/plan", MaxBodyBytes: mostBody, Errors: []int{401, 413, 422, 429}},
		func(c *call, in *struct {
			Sent
			Language string `query:"language" doc:"of the texts: en or es; left out, the brief's"`
		}) (*planOut, error) {
			_, text, err := parsed(in.RawBody)
			if err != nil {
				return nil, err
			}
			b, faults := brief.Parse("", []byte(text))
			p, err := c.plan(b, faults, c.Memory("api:"+c.who.Account()+c.who.Bed()))
			if err != nil {
				return nil, err
			}
			p, words, err := c.document(p)
			if err != nil {
				return nil, err
			}
			return &planOut{answer.For(p, plan.Everything, words, false).(answer.PlanDocument)}, nil
		})
	h.bedOperations(a)
	h.logOperations(a)
	on(h, a, huma.Operation{Method: "GET", Path: "/api/beds/{bed}/advice", Errors: []int{401, 404, 410, 422, 429}},
		func(c *call, in *struct {
			OfBed
			Waits
			Now      string   `query:"now" doc:"a moment by the clock at the bed; left out, now"`
			If       []string `query:"if,explode" doc:"what may come: rain=2in, away=9d, power=off, heat=yes, cold=yes; several may be given"`
			Language string   `query:"language"`
		}) (*adviceOut, error) {
			b, log, err := c.bed(in.Bed)
			if err != nil {
				return nil, err
			}
			now, err := tend.Moment(in.Now, c.Now().Local())
			if err != nil {
				return nil, err
			}
			if in.Now == "" && len(in.If) == 0 {
				t, later, err := c.adviceNow(b, log, in.Prefer)
				out := &adviceOut{Status: http.StatusOK, Body: Advice{t, later}}
				if later != nil {
					out.Status, out.Retry = http.StatusAccepted, "1"
				}
				return out, err
			}
			t, err := c.tended(b, log, now, in.Now == "", in.If)
			return &adviceOut{Status: http.StatusOK, Body: Advice{TendDocument: t}}, err
		})
	on(h, a, huma.Operation{Method: "GET", Path: "/api/beds/{bed}/packet.pdf", Errors: []int{401, 404, 410, 422, 429},
		Responses: map[string]*huma.Response{"200": {Description: says("get_beds_bed_packet_pdf"), Content: map[string]*huma.MediaType{"application/pdf": {}}}}},
		func(c *call, in *struct {
			OfBed
			Language string `query:"language" doc:"en, es, or en+es: front and back"`
			Paper    string `query:"paper" doc:"letter or a4; left out, by the units of the brief"`
			Part     string `query:"part" doc:"faces, builder, card, bed, calendar, log, template, working or class; left out, all"`
		}) (*paperOut, error) {
			return c.paper(in.Bed, in.Language, in.Paper, in.Part)
		})
	on(h, a, huma.Operation{Method: "GET", Path: "/api/health", Security: []map[string][]string{}, Errors: []int{503}},
		func(c *call, _ *struct{}) (*healthOut, error) {
			out := &healthOut{}
			out.Body.Status = "ok"
			if c.Store.Health(c) != nil {
				return nil, finding.Fault{ID: FaultStore}
			}
			return out, nil
		})
}

// plan makes the whole plan of a brief, which must have no fault.
func (c *call) plan(b *brief.Brief, wrong finding.Faults, memory *plan.Memory) (plan.Plan, error) {
	return c.planBy(b, wrong, func(j plan.Job) (plan.Plan, error) { return j.Make(memory), nil })
}

func (c *call) planBy(b *brief.Brief, wrong finding.Faults, make func(plan.Job) (plan.Plan, error)) (plan.Plan, error) {
	if len(wrong) > 0 || b == nil {
		return plan.Plan{}, c.wrong(b, wrong)
	}
	done, err := c.Turn(c)
	if err != nil {
		return plan.Plan{}, err
	}
	defer done()
	stop, end := context.WithTimeout(c, longest)
	defer end()
	p, err := make(plan.Job{Brief: b, Learn: tend.Learn, Book: c.Book, Asked: plan.Everything, Stop: stop})
	switch {
	case err != nil:
		return p, err
	case c.Err() != nil:
		return p, c.Err()
	case stop.Err() != nil:
		return p, finding.Fault{ID: FaultBusy}
	}
	return p, c.wrong(b, p.Faults)
}

// MarshalJSON gives the document, or that it is being worked out.
func (a Advice) MarshalJSON() ([]byte, error) {
	if a.later != nil {
		return json.Marshal(a.later)
	}
	return json.Marshal(a.TendDocument)
}

// Schema describes both.
func (Advice) Schema(r huma.Registry) *huma.Schema {
	return &huma.Schema{OneOf: []*huma.Schema{r.Schema(reflect.TypeFor[answer.TendDocument](), true, ""), r.Schema(reflect.TypeFor[Later](), true, "")}}
}

// adviceNow gives what to do at a bed now, or that it is being worked out: no request waits for a log to be followed, or not for long.
func (c *call) adviceNow(b store.Bed, log []store.Entry, prefer []string) (*answer.TendDocument, *Later, error) {
	if c.Advice != nil && c.around(b).sound {
		doc, made, late, err := c.Advice(c, c.who, b, cmp.Or(c.language, c.around(b).language), prefer)
		switch {
		case err != nil:
			return nil, nil, err
		case late && made.IsZero():
			return nil, &Later{Pending: true}, nil
		case late:
			return nil, &Later{true, made.Format(store.Clock)}, nil
		case doc != nil:
			return doc, nil, nil
		}
	}
	t, err := c.tended(b, log, tend.AtBed(c.Now().Local()), true, nil) // tells what stands in the way
	return t, nil, err
}

// tended gives what a bed holds at a moment and what to do. The last answers are remembered:
// nothing changes in them but by what is written. One of the same hour may do.
func (c *call) tended(b store.Bed, log []store.Entry, now time.Time, hour bool, ifs []string) (*answer.TendDocument, error) {
	supposed, err := tend.Supposed(ifs)
	if err != nil {
		return nil, err
	}
	key := question{b.ID, now, hour, strings.Join(ifs, "&"), c.language}
	if hour {
		key.now = now.Truncate(time.Hour)
	}
	if known := c.advised.of(key, b.Changed); known != nil {
		return known, nil
	}
	with, wrong := brief.Parse("", []byte(b.Brief))
	if with == nil {
		return nil, c.wrong(nil, wrong)
	}
	if len(log) > 0 {
		with, wrong = store.WithLog(with, log)
	}
	p, err := c.planBy(with, wrong, func(j plan.Job) (plan.Plan, error) { return c.Taught(c, c.who, b, j) })
	if err != nil {
		return nil, err
	}
	p, words, err := c.document(p)
	if err != nil {
		return nil, err
	}
	visits, faults := bed.FromBrief(with)
	if len(faults) > 0 {
		return nil, c.wrong(with, faults)
	}
	done, err := c.Turn(c)
	if err != nil {
		return nil, err
	}
	defer done()
	t, faults := tend.Make(tend.Job{Plan: p, Log: visits, Now: now, If: supposed, Troubles: c.Book.Trouble})
	if len(faults) > 0 {
		return nil, c.wrong(with, faults)
	}
	doc := answer.Tend(t, words)
	c.advised.keep(key, b.Changed, &doc)
	return &doc, nil
}

// question is what was asked about a bed.
type question struct {
	bed           string
	now           time.Time
	hour          bool // of which it is
	ifs, language string
}

// mostAdvised bounds the answers that are remembered.
const mostAdvised = 512

// advised holds the last answers.
type advised struct {
	mutex sync.Mutex
	kept  map[question]reckoned
	order []question // the oldest first
}

type reckoned struct {
	changed int64
	doc     *answer.TendDocument
}

func (a *advised) of(q question, changed int64) *answer.TendDocument {
	a.mutex.Lock()
	defer a.mutex.Unlock()
	if r := a.kept[q]; r.changed == changed {
		return r.doc
	}
	return nil
}

func (a *advised) keep(q question, changed int64, doc *answer.TendDocument) {
	a.mutex.Lock()
	defer a.mutex.Unlock()
	if a.kept == nil {
		a.kept = map[question]reckoned{}
	}
	if _, is := a.kept[q]; !is {
		a.order = append(a.order, q)
	}
	a.kept[q] = reckoned{changed, doc}
	for len(a.order) > mostAdvised {
		delete(a.kept, a.order[0])
		a.order = a.order[1:]
	}
}

// paper makes the paper of a bed.
func (c *call) paper(id, language, sheet, part string) (*paperOut, error) {
	b, err := c.Store.Bed(c, c.who, id)
	if err != nil {
		return nil, err
	}
	text, wrong := brief.Parse("", []byte(b.Brief))
	p, err := c.plan(text, wrong, c.Memory(id))
	if err != nil {
		return nil, err
	}
	for _, asked := range []struct {
		id    finding.ID
		text  string
		known []string
	}{{FaultPart, part, packet.Parts()}, {FaultPaper, sheet, []string{"letter", "a4"}}} {
		if asked.text != "" && !slices.Contains(asked.known, asked.text) {
			return nil, finding.Unknown(asked.id, "", asked.text, asked.known)
		}
	}
	two := strings.ReplaceAll(language, " ", "+") == both
	if two {
		c.language = "en"
	}
	p, words, err := c.document(p)
	if err != nil {
		return nil, err
	}
	o := packet.Options{Paper: page.Letter, Printed: c.Now()}
	if sheet == "a4" || sheet == "" && p.Metric() {
		o.Paper = page.A4
	}
	done, err := c.Turn(c)
	if err != nil {
		return nil, err
	}
	defer done()
	doc, err := packet.Paper(p, words, o, part)
	if err == nil && two && part != "template" {
		var other *lang.Printer
		var with page.Document
		if other, err = lang.For("es", words.Units); err == nil {
			with, err = packet.Paper(p.In("es"), other, o, part)
			doc = page.Both(doc, with)
		}
	}
	if err != nil {
		return nil, err
	}
	var out bytes.Buffer
	if err := paper.PDF(doc, &out); err != nil {
		return nil, err
	}
	return &paperOut{"application/pdf", `inline; filename="raftwright.pdf"`, out.Bytes()}, nil
}
