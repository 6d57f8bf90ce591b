package packet

import (
	"slices"
	"strings"

	"raftwright/finding"
	"raftwright/frame"
	"raftwright/mix"
	"raftwright/page"
)

// cover is the first page: the plan in a few figures, what to know first, and
// what is in the packet.
func (w writer) cover() []page.Block {
	out := []page.Block{page.KeyFigures{Items: w.keyFigures()}}
	if w.p.Beds > 1 {
		out = append(out, w.para("packet.glance.one_bed", finding.Args{"Count": w.p.Beds}))
	}
	out = append(out, w.verdict())
	for _, f := range w.p.Findings {
		if f.Act == finding.AtCover && f.Severity == finding.Note { // it has no other place
			out = append(out, page.Para{Text: page.Text(w.words.Finding(f))})
		}
	}
	if w.onPaper {
		out = append(out, w.heading("packet.first.title"))
		out = append(out, w.urgent(roomOnCover, "packet.glance.more")...)
		out = append(out, page.Contents{})
	}
	return out
}

// verdict tells in a sentence whether the bed can be built.
func (w writer) verdict() page.Para {
	verdict := "packet.glance.ok"
	switch {
	case w.p.Worst() == finding.Stop && w.onlyFeedStops():
		verdict = "packet.glance.stop_feed"
	case w.p.Worst() == finding.Stop:
		verdict = "packet.glance.stop"
	case len(w.p.Waits) > 0:
		verdict = "packet.glance.waits"
	case w.mendFirst():
		verdict = "packet.glance.mend"
	}
	return w.para(verdict, nil)
}

// mendFirst says whether the bed stands, but what was found would cost the crop.
func (w writer) mendFirst() bool {
	return slices.ContainsFunc(w.p.Findings, func(f finding.Finding) bool { return f.Severity == finding.Caution && f.Hurts == finding.Harvest })
}

// starves says whether the feed cannot grow the crop: then no harvest is forecast.
func starves(m *mix.Mix) bool { _, no := m.Starved(); return no }

// foundBy are the figures of the working that find those of the glance: a day follows from the days that the plants take.
var foundBy = map[string]string{"inside": "frame.surface", "volume": "frame.volume", "floor": "frame.floor", "heads": "raft.holes", "ec": "mix.ec",
	"first_cost": "cost.first", "sow": "season.nursery", "transplant": "season.nursery", "harvest": "season.raft"}

// keyFigures gives the plan at a glance.
func (w writer) keyFigures() []page.KeyFigure {
	var items []page.KeyFigure
	add := func(id string, v any, note string) {
		items = append(items, page.KeyFigure{Label: w.say("packet.glance."+id, nil), Value: w.label(v), Note: note, Of: foundBy[id]})
	}
	p := w.p
	if d := p.Frame; d != nil {
		v := d.Job.Vessel
		size := w.label(v.Length) + " × " + w.label(v.Width)
		if w.metric() { // the unit once, so that it stands on one line
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
	if m := p.Mix; m != nil && m.Works() { // nobody is to look for the reading of what falls short
		add("ec", w.withShown(m.EC), w.mixedPH(m.PH))
	}
	if c := p.Cost; c != nil {
		more := w.say("packet.glance.per_head", finding.Args{"Cost": c.PerHead})
		if p.Starves() { // no head is forecast
			more = ""
		}
		if c.Unpriced > 0 {
			more = w.say("packet.glance.unpriced", finding.Args{"Count": c.Unpriced})
		}
		add("first_cost", string(w.sum(c.FirstCost)), more)
	}
	if b := p.NextBatch(); b != nil {
		add("sow", w.words.Date(b.Sow), w.words.DayName(b.Sow))
		add("transplant", w.words.Date(b.SetOut), w.words.DayName(b.SetOut))
		if p.Mix == nil || !starves(p.Mix) { // its dates are kept for when it is fed
			add("harvest", w.words.Date(b.Harvest), w.words.DayName(b.Harvest))
		}
	}
	return items
}

// safety is the page to read to everyone who works at the bed: the rules that
// save lives; those of a step stand at the step too.
func (w writer) safety() []page.Block {
	power := "packet.safety.power.none"
	if w.pumped() {
		power = "packet.safety.power.short"
	}
	load, level := w.load()
	var items []page.Text
	for _, id := range []string{"saw", "feed", "acid", "food"} {
		if id != "acid" || w.dosed() != nil {
			items = append(items, page.Bold(w.say("packet.safety."+id+".title", nil)+".")+" "+w.text("packet.safety."+id+".short", finding.Args{"Rain": w.rain()}))
		}
	}
	return []page.Block{
		w.para("packet.safety.lead", nil),
		w.safe("children", finding.Caution, w.each("packet.safety.children", nil)...),
		w.safe("power", finding.Caution, w.text("packet.safety.power.1", nil), w.text(power, nil)),
		w.safe("load", level, load, w.text("packet.safety.lift.1", nil)),
		page.List{Kind: page.Bullets, Items: items}, w.para("packet.safety.call", nil),
	}
}

// safe makes a box about the safety of people, with its subject.
func (w writer) safe(id string, level finding.Severity, sentences ...page.Text) page.Caution {
	c := w.box(level, finding.Person, sentences...)
	c.Word += ": " + w.say("packet.safety."+id+".title", nil)
	return c
}

// load tells what the bed weighs on what it stands on, and how grave that is.
func (w writer) load() (page.Text, finding.Severity) {
	d := w.p.Frame
	args := finding.Args{"Load": d.Floor.Full, "Mass": d.Floor.Mass, "Support": d.Job.Support.Word()}
	switch {
	case w.onGround():
		return w.text("packet.safety.load.ground", args), finding.Note
	case d.Job.Support == frame.Roof: // where nobody's word lets it stand
		return w.text("packet.safety.load.roof", args), finding.Caution
	case d.Floor.Light:
		return w.text("packet.safety.load.light", args), finding.Note
	}
	return w.text("packet.safety.load.deck", args), finding.Caution
}

// onGround tells whether the bed stands on soil: on a deck, a floor or a roof nothing is
// dug, and nothing is poured on a lawn.
func (w writer) onGround() bool { return w.p.Frame == nil || w.p.Frame.Job.Support == frame.Ground }
