package web

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"html/template"
	"maps"
	"math"
	"net/http"
	"slices"
	"strings"
	"time"

	"raftwright/brief"
	"raftwright/finding"
	"raftwright/lang"
	"raftwright/packet"
	"raftwright/page"
	"raftwright/plan"
	"raftwright/store"
	"raftwright/unit"
)

// briefPage is the form with the plan beside it.
type briefPage struct {
	Bed     string
	Version int
	ID      string // of the next version, so that a second sending keeps it once
	Demo    bool
	Fixed   bool   // whoever looks may not change it
	Removes bool   // whoever looks may remove the bed
	More    string // a list that shows one item more
	Groups  []formGroup
	Faults  []pointed
	Told    []wrong // why it was not kept
	Waits   []wait
	Figures []figure
	Verdict string
	Drawing template.HTML
	Sum     string        // of the drawing
	Anew    bool          // whether the drawing is another than the one that is shown
	Said    template.HTML // what stands under the fields, of an answer while one types
	Noticed []noticed
}

// pointed is a fault in the list at the top, with the field that it leads to.
type pointed struct{ What, Right, To, Name string }

// noticed is a finding beside the form, with the change that ends it.
type noticed struct {
	Text, Rank string
	Mend       string // changes, one a line
	Does       string // what they do
	Why        string // where it comes from; "" of what is typed and not kept
}

// form shows the brief as a form. Beside it stands the plan of its page, with what the log of the bed teaches.
func (v *visit) form() error {
	b, err := v.theBed()
	if err != nil {
		return err
	}
	with, err := v.besideForm(b)
	if err != nil {
		return err
	}
	body, err := v.formWith(b, with)
	if err != nil {
		return err
	}
	return v.showAsForm(b, http.StatusOK, body)
}

// besideForm gives what stands beside the form of a bed. The log is followed behind, as for the page of the plan; where that takes longer than a
// request waits, the plan goes on from what is known, as it does for a key.
func (v *visit) besideForm(b aBed) (out besideForm, err error) {
	good := func(made time.Time, newer bool) bool { return !newer || v.Now().Sub(made).Abs() < learnedFor }
	k, logged, err := foundOrAsked[besideForm](v, b, knownForm, good)
	if err != nil || !k.Late {
		return k.What, err
	}
	turn := v.turn
	if logged { // who asks was counted
		turn = func() (func(), error) { return v.Turn(v.context()) }
	}
	done, err := turn()
	if err != nil {
		return out, err
	}
	defer done()
	p, words, err := v.typedPlan(b)
	if err != nil {
		return out, err
	}
	if out, err = v.planBeside(b, p, words); err != nil || logged {
		return out, err
	}
	return out, v.keepKnown(b.Bed, knownForm, v.words.Language, out)
}

// asTyped gives the bed as what stands in the form now has it. Nothing is kept.
func (v *visit) asTyped() (aBed, error) {
	b, err := v.theBed()
	if err != nil {
		return b, err
	}
	if err := v.filled(); err != nil {
		return b, err
	}
	next := b.posted(v.PostForm)
	b.reading = readAs(next, next.Faults())
	return b, nil
}

// look answers while one types: the parts of the page that move, of what stands in the form
// now, without the drawing where the page has it already. Nothing is kept.
func (v *visit) look() error {
	b, err := v.asTyped()
	if err != nil {
		return err
	}
	body, err := v.formOf(b)
	if err != nil {
		return err
	}
	body.Anew = body.Sum != v.PostFormValue("drawing")
	body.Said = body.said()
	s := v.of(b, "brief")
	s.Body = body
	return v.write(http.StatusOK, "brief", "look", s)
}

func (v *visit) showForm(b aBed, status int, told ...wrong) error {
	body, err := v.formOf(b)
	if err != nil {
		return err
	}
	body.Told = told
	return v.showAsForm(b, status, body)
}

func (v *visit) showAsForm(b aBed, status int, body *briefPage) error {
	s := v.of(b, "brief")
	s.Wide, s.Live, s.Body = true, true, body
	return v.showAs(status, "brief", s)
}

// besideForm is what a plan says beside the form of its brief, as it is kept.
type besideForm struct {
	Taken   map[finding.Path]string  // what is assumed, by the key that would replace it
	Wrong   map[finding.Path][]wrong // by the key that is meant
	Faults  []pointed
	Waits   []wait
	Figures []figure
	Verdict string
	Drawing template.HTML
	Noticed []noticed
	Matters map[finding.Path][]string `json:"-"` // what was asked of a field
}

// typedPlan makes the plan of a bed as it stands in the form, with what its log taught when it was followed last: nothing is learned
// anew for a key, and the log itself is not read. So each key has the dates of the page of the plan, but for what it changes. Before a
// log was ever followed it is left out.
func (v *visit) typedPlan(b aBed) (plan.Plan, *lang.Printer, error) {
	if b.ID == demonstration {
		return v.planned(b)
	}
	words, err := v.wordsFor(b.reading)
	if err != nil {
		return plan.Plan{}, nil, err
	}
	a, is, err := v.Store.Answer(v.context(), v.who, b.ID, knownLearned+" ")
	if err != nil {
		return plan.Plan{}, nil, err
	}
	job := v.job(b.brief(), b.wrong())
	job.Unhelped = true // nothing of what would help stands beside the form
	var taught learnt
	if is && json.Unmarshal([]byte(a.Text), &taught) == nil {
		job.Taught = &taught.What
	}
	return job.Make(v.memory.of(b.ID, v.Now())).In(words.Language), words, nil
}

// planBeside tells what a plan says beside the form of its bed. What is wrong in the log is told where the log is.
func (v *visit) planBeside(b aBed, p plan.Plan, words *lang.Printer) (out besideForm, err error) {
	faults := append(b.wrong()[:len(b.wrong()):len(b.wrong())], slices.DeleteFunc(slices.Clone(p.Faults), func(f finding.Fault) bool { return len(b.brief().Log) == 0 && f.Path.Under("log") })...)
	out = besideForm{Taken: takenFor(b.texts(), p.Assumptions, words), Wrong: wrongAt(faults, words), Waits: waits(p, words)}
	for _, x := range faults {
		what, right := words.Fault(x)
		out.Faults = append(out.Faults, pointed{what, right, "#" + idOf(x.Path), labelOf(words, x.Path)})
	}
	out.Figures, out.Verdict = glance(b.ID, p, words)
	doors := "" // what is typed and not kept has no page of its working
	if maps.Equal(b.texts(), v.memory.parse(b.Bed.Brief).texts()) {
		doors = workingsOf(b.ID)
	}
	out.Noticed = mends(p, words, doors)
	out.Drawing, err = v.drawing(p, words, doors)
	return out, err
}

// takenFor gives what is assumed of a brief that says this, by the key that would replace it.
func takenFor(said map[string]string, assumptions []finding.Assumption, words *lang.Printer) map[finding.Path]string {
	out := map[finding.Path]string{}
	for _, a := range assumptions {
		text, _ := words.Assumption(a)
		for _, v := range brief.Assumed(a) {
			if _, is := said[string(v.Path)]; !is {
				out[v.Path] = text
			}
		}
	}
	return out
}

// wrongAt tells faults by the keys that are meant. A key that is only missing is waited for.
func wrongAt(faults finding.Faults, words *lang.Printer) map[finding.Path][]wrong {
	out := map[finding.Path][]wrong{}
	for _, x := range faults {
		if x.ID != plan.FaultMissing {
			what, right := words.Fault(x)
			out[x.Path] = append(out[x.Path], wrong{what, right})
		}
	}
	return out
}

// formOf makes the form of a bed with its plan.
func (v *visit) formOf(b aBed) (*briefPage, error) {
	p, words, err := v.typedPlan(b)
	if err != nil {
		return nil, err
	}
	with, err := v.planBeside(b, p, words)
	if err != nil {
		return nil, err
	}
	return v.formWith(b, with)
}

// formWith makes the form of a bed with what its plan says beside it.
func (v *visit) formWith(b aBed, with besideForm) (*briefPage, error) {
	words, err := v.wordsFor(b.reading)
	if err != nil {
		return nil, err
	}
	otherUnits := lang.Metric
	if words.Units == lang.Metric {
		otherUnits = lang.US
	}
	other, err := lang.For(words.Language, otherUnits)
	if err != nil {
		return nil, err
	}
	f := readForm(b.values(), with, words, other)
	f.bed, f.matters = b.ID, with.Matters
	more := v.FormValue("more") // a list that shows one item more, to be filled in
	if t := formTree()[plainPath(more)]; t != nil && t.Kind == "list" {
		f.counts[more]++
	} else {
		more = ""
	}
	body := &briefPage{Bed: b.ID, Version: b.Version, ID: store.NewID(), Demo: b.ID == demonstration, Fixed: b.ID != demonstration && !v.who.Changes(b.Bed), Removes: b.ID != demonstration && v.who.Removes(b.Bed), More: more, Groups: f.groups(),
		Waits: with.Waits, Faults: with.Faults, Figures: with.Figures, Verdict: with.Verdict, Drawing: with.Drawing, Noticed: with.Noticed}
	body.lead()
	sum := sha256.Sum256([]byte(body.Drawing))
	body.Sum = hex.EncodeToString(sum[:8])
	return body, nil
}

// said writes what stands under each field.
func (p *briefPage) said() template.HTML {
	out, done := blankPaper()
	defer done()
	var walk func([]field)
	walk = func(list []field) {
		for _, f := range list {
			if f.Kind == "line" || f.Kind == "word" {
				out.put(`<div id="`, f.ID, `-said">`)
				f.told(out)
				out.put("</div>\n")
			}
			for _, i := range f.Items {
				walk(i.Kids)
			}
			walk(f.Kids)
		}
	}
	for _, g := range p.Groups {
		walk(g.Open)
		walk(g.More)
	}
	return template.HTML(out.String())
}

// lead makes every link of the page lead to what is on it: to the field, else to the first
// field inside what is named, else to what that is part of. What has none of these has no link.
func (p *briefPage) lead() {
	var ids []string
	var walk func([]field)
	walk = func(list []field) {
		for _, f := range list {
			ids = append(ids, f.ID)
			for _, i := range f.Items {
				ids = append(ids, i.ID())
				walk(i.Kids)
			}
			walk(f.Kids)
		}
	}
	for _, g := range p.Groups {
		walk(g.Open)
		walk(g.More)
	}
	to := func(link *string) {
		for id := strings.TrimPrefix(*link, "#"); id != ""; id = id[:max(0, strings.LastIndexAny(id, ".["))] {
			inside := func(x string) bool { return x == id || finding.Path(x).Under(finding.Path(id)) }
			if i := slices.IndexFunc(ids, inside); i >= 0 {
				*link = "#" + ids[i]
				return
			}
		}
		*link = ""
	}
	for i := range p.Faults {
		to(&p.Faults[i].To)
	}
	for _, w := range p.Waits {
		for i := range w.For {
			to(&w.For[i].To)
		}
	}
}

// drawing presses the drawing that stands beside the form: the bed from above, or its raft. Its parts lead to their working under doors.
func (v *visit) drawing(p plan.Plan, words *lang.Printer, doors string) (template.HTML, error) {
	for _, at := range [][2]string{{"frame", "frame-plan"}, {"raft", "raft-plan"}} {
		doc, ok := packet.Section(p, words, packet.Options{Paper: page.Letter, Doors: doors}, at[0])
		if !ok {
			continue
		}
		var b bytes.Buffer
		if found, err := v.memory.drawn.Fragment(doc, at[1], &b); err != nil || found {
			return template.HTML(b.String()), err
		}
	}
	return "", nil
}

// mends lists what stops the plan and what should be looked at, where a change of the brief
// would end it, and under doors the page of why.
func mends(p plan.Plan, words *lang.Printer, doors string) []noticed {
	var out []noticed
	for _, f := range p.Findings {
		if f.Severity < finding.Caution || len(f.Mend) == 0 {
			continue
		}
		var lines, does []string
		for _, c := range f.Mend {
			lines = append(lines, string(c.Path)+"="+c.Value)
			to := c.Value
			if to == "" {
				to = words.Say("web.form.nothing", nil)
			}
			does = append(does, words.Say("web.form.change", finding.Args{"Key": labelOf(words, c.Path), "To": wordOf(words, to)}))
		}
		rank := "caution"
		if f.Severity == finding.Stop {
			rank = "stop"
		}
		n := noticed{Text: words.Finding(f), Rank: rank, Mend: strings.Join(lines, "\n"), Does: words.Join(does)}
		if doors != "" {
			n.Why = doors + packet.FindingPart(f.ID)
		}
		out = append(out, n)
	}
	return out
}

// understood says how a text was read, where that is not plain from the text itself.
func understood(v brief.Value, words, other *lang.Printer) string {
	x, isNumber := v.Value.(float64)
	if !isNumber || math.IsNaN(x) || math.IsInf(x, 0) || v.Unit == "" {
		return v.Plain
	}
	typed := quantity(x, v.Unit)
	if typed == nil {
		return words.Number(x) + "\u00a0" + v.Unit
	}
	one, two := words.Value(typed), other.Value(typed)
	if one == two {
		return one
	}
	return words.Say("web.form.same", finding.Args{"One": one, "Two": two})
}

// quantity gives a value of the brief as the quantity that it is, by the unit in which the
// brief gives it; nil for a unit that the reader is told as it is.
func quantity(x float64, in string) any {
	switch in {
	case "mm":
		return unit.Length(x) * unit.Millimetre
	case "L":
		return unit.Volume(x) * unit.Litre
	case "g":
		return unit.Mass(x) * unit.Gram
	case "C":
		return unit.Temperature(x)
	case "h":
		return unit.Duration(x * float64(time.Hour/time.Second))
	}
	return nil
}
