package web

import (
	"html/template"
	"slices"
	"strings"

	"raftwright/finding"
	"raftwright/lang"
	"raftwright/packet"
	"raftwright/page"
	"raftwright/plan"
)

// A figure of a plan has an address at which its working stands. What opens where a figure is shown is the short of it.

// shownFigure is a figure with its working in short, and the address of the whole.
type shownFigure struct {
	packet.Worked
	To    string
	Tells string // what leads there
}

// figureAt gives a figure of a bed's plan its address.
func figureAt(bed string, f packet.Worked, words *lang.Printer) shownFigure {
	return shownFigure{f, workingsOf(bed) + f.ID, words.Say("web.figure.whole", nil)}
}

// figure is one figure that matters, with what it means; How is nil where it has no working.
type figure struct {
	Name, Value, Note string
	How               *shownFigure
}

// glance gives the figures that matter, and in a sentence what the plan is worth.
func glance(bed string, p plan.Plan, words *lang.Printer) (out []figure, verdict string) {
	doc, ok := packet.Section(p, words, packet.Options{Paper: page.Letter}, "glance")
	if !ok {
		return nil, ""
	}
	for _, b := range doc.Sections[0].Blocks {
		switch b := b.(type) {
		case page.KeyFigures:
			out = append(out, keyFigures(bed, p, words, b.Items)...)
		case page.Para:
			if verdict == "" && len(out) > 0 {
				verdict = string(b.Text)
			}
		}
	}
	return out, verdict
}

// keyFigures gives figures with their workings.
func keyFigures(bed string, p plan.Plan, words *lang.Printer, items []page.KeyFigure) (out []figure) {
	var ids []string
	for _, k := range items {
		if k.Of != "" {
			ids = append(ids, k.Of)
		}
	}
	short := packet.Short(p, words, ids...)
	for _, k := range items {
		x := figure{k.Label, k.Value, k.Note, nil}
		if how, ok := short[k.Of]; ok {
			shown := figureAt(bed, how, words)
			x.How = &shown
		}
		out = append(out, x)
	}
	return out
}

// figuresOf lists the figures of a section of a plan.
func figuresOf(bed string, p plan.Plan, words *lang.Printer, section string) (out []shownFigure) {
	for _, f := range packet.Figures(p, words, section) {
		out = append(out, figureAt(bed, f, words))
	}
	return out
}

// workingPage is the working of a plan, or of one of its figures.
type workingPage struct {
	Back    link
	Figures []figure // of the glance, those that this one finds
	Pieces  []template.HTML
	Rests   []shownFigure // of one figure, those that it rests on
	Keys    [][3]string   // of what was noticed, the keys of the brief that it rests on: each with what was typed, and the address of its field
	Each    []chapter     // of all, each figure by itself
}

// chapter are the figures of a trade.
type chapter struct {
	Name    string
	Figures []shownFigure
}

// working shows the sums of all trades, and where each figure stands by itself.
func (v *visit) working() error {
	return v.whilePlanned(func(b aBed, p plan.Plan, words *lang.Printer) (out workingPage, err error) {
		out.Back = link{v.say("web.section.back"), "/beds/" + b.ID + "/plan"}
		for _, f := range packet.Figures(p, words) {
			if n := len(out.Each); n == 0 || out.Each[n-1].Name != f.Chapter {
				out.Each = append(out.Each, chapter{Name: f.Chapter})
			}
			last := &out.Each[len(out.Each)-1]
			last.Figures = append(last.Figures, figureAt(b.ID, f, words))
		}
		out.Pieces, err = v.pressed(packet.Sums(p, words, packet.Options{}))
		return out, err
	})
}

// deedWorked is where a thing to do that is drawn comes from, as it is kept.
type deedWorked struct {
	ID     string
	Pieces []template.HTML
	Rests  []shownFigure
}

// deeds presses where each thing to do that is drawn at a tended bed comes from.
func (v *visit) deeds(t tended) (out []deedWorked, err error) {
	if t.Tending == nil {
		return nil, nil
	}
	for _, d := range packet.Deeds(t.plan, t.Tending, t.words) {
		x := deedWorked{ID: d.ID}
		if x.Pieces, err = v.pressed(d.Doc); err != nil {
			return nil, err
		}
		for _, f := range d.Rests {
			x.Rests = append(x.Rests, figureAt(t.ID, f, t.words))
		}
		out = append(out, x)
	}
	return out, nil
}

// workingOfDeed shows where a thing to do comes from; while the log is being followed, the page on which that is told.
func (v *visit) workingOfDeed() error {
	b, err := v.theBed()
	if err != nil {
		return err
	}
	k, err := v.toldToday(b)
	if err != nil {
		return err
	}
	today, id := "/beds/"+b.ID+"/today", v.PathValue("figure")
	if k.Late {
		return v.to(today)
	}
	at := slices.IndexFunc(k.What.Deeds, func(d deedWorked) bool { return d.ID == id })
	if at < 0 {
		return finding.Fault{ID: FaultFigure, Args: finding.Args{"Name": id}}
	}
	s, d := v.of(b, "working"), k.What.Deeds[at]
	s.Body = workingPage{Back: link{v.say("web.figure.to_bed"), today}, Pieces: d.Pieces, Rests: d.Rests}
	return v.show("working", s)
}

// workingOf shows the working of one figure.
func (v *visit) workingOf() error {
	if strings.HasPrefix(v.PathValue("figure"), packet.DeedParts) {
		return v.workingOfDeed()
	}
	return v.whilePlanned(func(b aBed, p plan.Plan, words *lang.Printer) (out workingPage, err error) {
		id := v.PathValue("figure")
		doc, rests, ok := packet.Figure(p, words, packet.Options{Doors: workingsOf(b.ID)}, id)
		if !ok {
			return out, finding.Fault{ID: FaultFigure, Args: finding.Args{"Name": id}}
		}
		out.Back = link{v.say("web.figure.back"), "/beds/" + b.ID + "/working"}
		all, _ := glance(b.ID, p, words)
		for _, f := range all {
			if f.How != nil && f.How.ID == id {
				f.How = nil
				out.Figures = append(out.Figures, f)
			}
		}
		for _, f := range rests {
			out.Rests = append(out.Rests, figureAt(b.ID, f, words))
		}
		out.Keys = keysUnder(b, words, packet.RestsOn(p, id))
		out.Pieces, err = v.pressed(doc)
		return out, err
	})
}

// keysUnder gives what a brief says under these paths, as far as anything was typed there; of a list, a shelf or a climate, that it
// is one.
func keysUnder(b aBed, words *lang.Printer, paths []finding.Path) (out [][3]string) {
	last := ""
	for _, v := range b.brief().Values() {
		if v.Text == "" || !slices.ContainsFunc(paths, v.Path.Under) {
			continue
		}
		key := [3]string{labelOf(words, v.Path), tells(words, v.Text), "/beds/" + b.ID + "/brief#" + idOf(v.Path)}
		if list, _, is := strings.Cut(string(v.Path), "["); is {
			if list == last {
				continue
			}
			last, key[0], key[1] = list, labelOf(words, finding.Path(list)), ""
		}
		out = append(out, key)
	}
	return out
}

// whilePlanned shows a page of the working of the plan of a bed.
func (v *visit) whilePlanned(make func(aBed, plan.Plan, *lang.Printer) (workingPage, error)) error {
	b, err := v.taughtBed()
	if err != nil {
		return err
	}
	p, words, err := v.planned(b)
	if err != nil {
		return err
	}
	s := v.of(b, "working")
	if s.Body, err = make(b, p, words); err != nil {
		return err
	}
	return v.show("working", s)
}
