package packet

import (
	"fmt"
	"slices"
	"strings"

	"raftwright/brief"
	"raftwright/finding"
	"raftwright/frame"
	"raftwright/mix"
	"raftwright/page"
	"raftwright/season"
)

// cover is the first page: the plan in a few figures, what to know first, and
// what is in the packet.
func (w writer) cover() (page.Section, bool) {
	s := page.Section{ID: "glance", Blocks: []page.Block{page.KeyFigures{Items: w.keyFigures()}}}
	if !w.onPaper {
		s.Title = w.say("packet.glance.title", nil)
	}
	verdict := "packet.glance.ok"
	switch {
	case w.p.Worst() == finding.Stop:
		verdict = "packet.glance.stop"
	case w.mendFirst():
		verdict = "packet.glance.mend"
	}
	if w.p.Beds > 1 {
		s.Blocks = append(s.Blocks, w.para("packet.glance.one_bed", finding.Args{"Count": w.p.Beds}))
	}
	s.Blocks = append(s.Blocks, w.para(verdict, nil))
	if w.onPaper {
		s.Blocks = append(s.Blocks, w.heading("packet.glance.findings"))
		s.Blocks = append(s.Blocks, w.urgent()...)
		s.Blocks = append(s.Blocks, page.Contents{})
	}
	return s, true
}

// mendFirst says whether the bed stands, but its feed or its dates would cost
// the crop: a main nutrient lacking or harmful, a pH that roots do not bear, or
// plants set out when they cannot grow.
func (w writer) mendFirst() bool {
	return slices.ContainsFunc(w.p.Findings, func(f finding.Finding) bool {
		switch f.ID {
		case mix.FindNoCalcium, mix.FindMissing, mix.FindWeak, mix.FindHarm, mix.FindLowPH, mix.FindHighPH, mix.FindNoEC, mix.FindEmptyShelf,
			season.FindNoWindow, season.FindOutside:
			return f.Severity == finding.Caution
		}
		return false
	})
}

// keyFigures gives the plan at a glance.
func (w writer) keyFigures() []page.KeyFigure {
	var items []page.KeyFigure
	add := func(id string, v any, note string) {
		items = append(items, page.KeyFigure{Label: w.say("packet.glance."+id, nil), Value: fmt.Sprint(w.words.Value(v)), Note: note})
	}
	p := w.p
	if d := p.Frame; d != nil {
		v := d.Job.Vessel
		size := w.label(v.Length) + " × " + w.label(v.Width)
		if w.p.Metric() { // the unit once, so that it stands on one line
			size = strings.TrimSuffix(w.label(v.Length), " mm") + " × " + w.label(v.Width)
		}
		if v.Shape == frame.RoundShape {
			size = "Ø " + w.label(v.Diameter)
		}
		add("inside", size, w.say("packet.glance.deep", finding.Args{"Depth": d.Job.Depth}))
		add("volume", d.Volume, w.say("packet.glance.weighs", finding.Args{"Mass": d.Mass}))
		add("floor", d.Floor.Water, w.say("packet.glance.brim", finding.Args{"Load": d.Floor.Full}))
	}
	if p.Raft != nil {
		add("heads", p.Raft.Holes, w.words.Say(string(p.Crop.Word()), nil))
	}
	if m := p.Mix; m != nil {
		add("ec", w.withShown(m.EC), w.mixedPH(m.PH))
	}
	if c := p.Cost; c != nil {
		add("first_cost", c.FirstCost, w.say("packet.glance.per_head", finding.Args{"Cost": c.PerHead}))
	}
	if b := p.NextBatch(); b != nil {
		add("sow", w.words.Date(b.Sow), w.weekday(b.Sow))
		add("transplant", w.words.Date(b.SetOut), w.weekday(b.SetOut))
		add("harvest", w.words.Date(b.Harvest), w.weekday(b.Harvest))
	}
	return items
}

// safety is the page to read to everyone who works at the bed: the rules that
// save lives; those of a step stand at the step too.
func (w writer) safety() (page.Section, bool) {
	d := w.p.Frame
	if d == nil {
		return page.Section{}, false
	}
	s := w.section("safety", w.para("packet.safety.lead", nil))
	box := func(id string, level finding.Severity, sentences ...page.Text) {
		c := w.caution(level, sentences...)
		c.Word += ": " + w.say("packet.safety."+id+".title", nil)
		s.Blocks = append(s.Blocks, c)
	}
	box("children", finding.Caution, w.each("packet.safety.children", nil)...)
	power := []page.Text{w.text("packet.safety.power.1", nil), w.text("packet.safety.power.short", nil)}
	if b := w.p.Brief.Site.Pump; b.Value == brief.NoPump || !b.Given {
		power[1] = w.text("packet.safety.power.none", nil)
	}
	box("power", finding.Caution, power...)
	load, level := w.load()
	box("load", level, load, w.text("packet.safety.lift.1", nil))
	rows := [][2]string{{"saw", "packet.safety.saw.short"}, {"feed", "packet.safety.feed.short"}}
	if a := w.p.PrintedAcid(); a != nil && !a.Away {
		rows = append(rows, [2]string{"acid", "packet.safety.acid.short"})
	}
	rows = append(rows, [2]string{"food", "packet.safety.food.short"})
	var items []page.Text
	for _, r := range rows {
		items = append(items, page.Bold(w.say("packet.safety."+r[0]+".title", nil)+".")+" "+w.text(r[1], nil))
	}
	s.Blocks = append(s.Blocks, page.List{Kind: page.Bullets, Items: items}, w.para("packet.safety.call", nil))
	s.NewPage = true
	return s, true
}

// load tells what the bed weighs on what it stands on, and how grave that is.
func (w writer) load() (page.Text, finding.Severity) {
	d := w.p.Frame
	args := finding.Args{"Load": d.Floor.Full, "Mass": d.Floor.Mass}
	switch d.Job.Support {
	case frame.Ground, frame.UnknownSupport:
		return w.text("packet.safety.load.ground", args), finding.Note
	case frame.SuspendedFloor:
		args["Support"] = finding.Word("word.support.floor")
	case frame.Roof:
		args["Support"] = finding.Word("word.support.roof")
	default:
		args["Support"] = finding.Word("word.support.deck")
	}
	return w.text("packet.safety.load.deck", args), finding.Caution
}
