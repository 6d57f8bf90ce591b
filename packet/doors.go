package packet

import (
	"maps"
	"strings"

	"raftwright/draw"
	"raftwright/finding"
	"raftwright/page"
)

// On a page a figure leads to its working wherever it stands: in a sentence, in a table, in a drawing.

// doorsIn are the figures of sentences that have a working: by the sentence, its word, and the ID of the working.
var doorsIn = map[string]map[string]string{
	"packet.frame.hold_each":   {"Spacing": "frame.spacing", "Force": "frame.hold_force_brim"},
	"packet.liner.lead":        {"Length": "frame.liner_length", "Width": "frame.liner_width"},
	"packet.liner.lead_none":   {"Length": "frame.liner_length", "Width": "frame.liner_width"},
	"packet.fill.lead":         {"Volume": "frame.volume", "Time": "frame.hose"},
	"packet.raft.lead":         {"Count": "raft.holes", "Spacing": "raft.spacing", "Edge": "raft.edge"},
	"packet.raft.float":        {"Planted": "raft.draft", "Grown": "raft.draft_grown", "Freeboard": "raft.freeboard"},
	"packet.mix.lead_stirred":  {"Volume": "frame.volume"},
	"packet.mix.lead_tub":      {"Volume": "frame.volume"},
	"packet.mix.lead_injected": {"Volume": "frame.volume"},
	"packet.mix.lead_carried":  {"Volume": "frame.volume"},
	"packet.mix.lead_packs":    {"Volume": "frame.volume"},
	"packet.mix.simpler_bed":   {"Volume": "frame.volume"},
	"packet.mix.reads":         {"EC": "mix.ec", "PH": "mix.ph"},
	"packet.mix.reads_aired":   {"EC": "mix.ec", "PH": "mix.ph"},
	"packet.mix.reads_ec":      {"EC": "mix.ec"},
	"packet.mix.reads_salty":   {"EC": "mix.ec", "PH": "mix.ph"},
	"packet.mix.reads_lacks":   {"EC": "mix.ec"},
	"packet.mix.nitrogen":      {"Nitrate": "mix.form", "Ammonium": "mix.form", "Urea": "mix.form"},
	"packet.water.acid":        {"Dose": "water.mass"},
	"packet.water.acid_volume": {"Dose": "water.mass"},
	"packet.seed.4":            {"Nursery": "season.nursery"},
	"packet.seed.dip":          {"Dip": "raft.wet"},
}

// workings gives the name of every figure of the plan that has a working.
func (w writer) workings() map[string]string {
	out := map[string]string{}
	for _, c := range chapters {
		if c.id == "" {
			continue
		}
		for _, s := range w.p.Working(c.part) {
			if id := figureID(c.id, s); out[id] == "" {
				out[id] = w.words.Say(s.Name, nil)
			}
		}
	}
	return out
}

// opens makes a door of a figure, on a page, where the plan has its working.
func (w writer) opens(id string, figure page.Text) page.Text {
	if w.doors[id] == "" {
		return figure
	}
	return page.Door(id, figure)
}

// door is the same for words of a drawing.
func (w writer) door(id string) draw.Door {
	if name := w.doors[id]; name != "" {
		return draw.Door{Of: id, Name: name}
	}
	return draw.Door{}
}

// leads gives a dimension as a door.
func (w writer) leads(d draw.Dimension, id string) draw.Dimension {
	d.Door = w.door(id)
	return d
}

// points gives a callout as a door.
func (w writer) points(c draw.Callout, id string) draw.Callout {
	c.Door = w.door(id)
	return c
}

// opened gives a sentence with its figures as doors.
func (w writer) opened(id string, args finding.Args) page.Text {
	in := doorsIn[id]
	if w.doors == nil || in == nil {
		return page.Text(w.say(id, args))
	}
	args = maps.Clone(args)
	for word, of := range in {
		if v, ok := args[word]; ok && word != "Count" && v != nil {
			shown, said := v.(string)
			if !said {
				shown = w.label(v)
			}
			args[word] = string(w.opens(of, page.Text(shown)))
		}
	}
	text := w.say(id, args)
	if count, ok := args["Count"]; ok && in["Count"] != "" { // which sentence it is hangs on the number itself
		shown := w.label(count)
		text = strings.Replace(text, shown, string(w.opens(in["Count"], page.Text(shown))), 1)
	}
	return page.Text(text)
}
