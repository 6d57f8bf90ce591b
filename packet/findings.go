package packet

import (
	"fmt"
	"slices"
	"strings"

	"raftwright/finding"
	"raftwright/frame"
	"raftwright/page"
)

// Steps of the packet at which findings are told.
const (
	atCover  = "cover"
	atFrame  = "frame"
	atCorner = "corner"
	atLiner  = "liner"
	atFill   = "fill"
	atRaft   = "raft"
	atLift   = "lift"
	atCut    = "cut"
	atWater  = "water"
	atMix    = "mix"
	atSeason = "season"
	atMoney  = "money"
	atFood   = "food"
)

// placed gives the step of findings that do not stand where their room does.
var placed = byFinding(map[string][]finding.ID{
	atCover:  {"plan.language"},
	atCorner: {"frame.corner_build", "frame.tie", frame.FindTieFloor, "frame.stake", "frame.cleats"},
	atLiner:  {"frame.liner_buy", "frame.liner_none", "frame.liner_thick", "frame.liner_thin"},
	atFill:   {"frame.rain_holds", "frame.rain_spills", "frame.level", frame.FindOvertopLevel},
	atLift:   {"raft.rim_load", "raft.lift", "raft.lift_breaks"},
	atWater:  {"plan.strong_acid", "plan.strong_acid_none", "plan.safer_costs", "plan.rain_instead", "plan.kind_unused"},
	atMix: {"plan.meter_ask", "plan.meter_unsure", "plan.meter_none", "plan.meter_scale", "plan.meter_off", "plan.strong_found",
		"plan.amiss_steps", "plan.amiss_doubt", "plan.amiss_fine", "plan.amiss_blind"},
})

// byFinding turns a table of steps around.
func byFinding(steps map[string][]finding.ID) map[finding.ID]string {
	out := map[finding.ID]string{}
	for step, ids := range steps {
		for _, id := range ids {
			out[id] = step
		}
	}
	return out
}

// usual are cautions that every plan of the kind carries: they stand at their
// step and on the safety page, and not on the cover.
var usual = map[finding.ID]bool{
	"raft.foam_dust": true, "water.acid_order": true, "mix.oxidiser": true, "raft.lift": true, "raft.lift_breaks": true, "raft.rim_load": true,
	"frame.dig": true, "frame.local_code": true,
}

// printed are findings whose words the step prints anyway, with its figures.
var printed = map[finding.ID]bool{"frame.liner_buy": true, "frame.fill": true, "plan.no_climate": true, "raft.sparse": true, "raft.crowded": true, "frame.local_code": true, "mix.urea": true}

// withAcid are told only where the dose of acid is printed too.
var withAcid = map[finding.ID]bool{
	"water.acid_order": true, "water.acid_dilute": true, "water.acid_strong": true, "water.acid_twice": true, "water.acid_adds": true, "water.citric_fades": true,
}

// told are the findings that may stand on the page.
func (w writer) told() []finding.Finding {
	acid := w.p.PrintedAcid()
	return slices.DeleteFunc(slices.Clone(w.p.Findings), func(f finding.Finding) bool {
		return withAcid[f.ID] && (acid == nil || acid.Away)
	})
}

// stepOf gives the step at which a finding is told.
func stepOf(id finding.ID) string {
	if s, ok := placed[id]; ok {
		return s
	}
	room, _, _ := strings.Cut(string(id), ".")
	switch room {
	case "frame":
		return atFrame
	case "raft":
		return atRaft
	case "cut":
		return atCut
	case "water", "chem":
		return atWater
	case "mix":
		return atMix
	case "season", "pool", "sky", "crop":
		return atSeason
	case "cost":
		return atMoney
	case "plan":
		return atSeason // heaters, ice, readings: what the plan adds to the forecast
	}
	return atCover
}

// gather joins findings of one kind that differ in a single name: three bags
// that feed a fire are one sentence.
func (w writer) gather(list []finding.Finding) []finding.Finding {
	var out []finding.Finding
	for _, f := range list {
		joined := false
		for i := range out {
			if key, ok := differsIn(out[i], f); ok {
				args := finding.Args{}
				for k, v := range out[i].Args {
					args[k] = v
				}
				args[key] = append(names(out[i].Args[key]), names(f.Args[key])...)
				out[i].Args, joined = args, true
				break
			}
		}
		if !joined {
			out = append(out, f)
		}
	}
	for i, f := range out {
		for k, v := range f.Args {
			list, ok := v.([]any)
			if !ok {
				continue
			}
			var said []string
			for _, x := range list {
				said = append(said, fmt.Sprint(w.words.Value(x)))
			}
			args := finding.Args{}
			for k, v := range f.Args {
				args[k] = v
			}
			args[k] = w.words.Join(said)
			out[i].Args = args
		}
	}
	return out
}

// names gives a name, or names already joined, as a list.
func names(v any) []any {
	if list, ok := v.([]any); ok {
		return slices.Clone(list)
	}
	return []any{v}
}

// differsIn gives the one argument, a name, in which two findings of one kind differ.
func differsIn(a, b finding.Finding) (string, bool) {
	if a.ID != b.ID || a.Severity != b.Severity || len(a.Args) != len(b.Args) {
		return "", false
	}
	key := ""
	for k, v := range a.Args {
		list, joined := v.([]any)
		u, ok := b.Args[k]
		if !ok {
			return "", false
		}
		same := false
		if !joined {
			same = fmt.Sprint(v) == fmt.Sprint(u)
		}
		if same {
			continue
		}
		name := false
		switch u.(type) {
		case string, finding.Word:
			name = true
		}
		if key != "" || !name || joined && len(list) == 0 {
			return "", false
		}
		key = k
	}
	return key, key != ""
}

// noticed is the section of all that was noticed.
func (w writer) noticed() (page.Section, bool) {
	return page.Section{ID: "findings", Title: w.say("packet.findings.title", nil), Blocks: w.findings()}, true
}

// first is what to know before anything else: stops in full, cautions in short.
func (w writer) first() (page.Section, bool) {
	return page.Section{ID: "first", Title: w.say("packet.glance.findings", nil), Blocks: w.urgent()}, true
}

// findings lists all that was noticed, each with the word of its severity.
func (w writer) findings() []page.Block {
	var blocks []page.Block
	var items []page.Text
	for _, f := range w.gather(w.told()) {
		text := page.Text(w.words.Finding(f))
		if f.Severity == finding.Stop {
			blocks = append(blocks, w.caution(f.Severity, text))
			continue
		}
		_, word := w.severity(f.Severity)
		items = append(items, page.Bold(word+":")+" "+text)
	}
	if len(items) > 0 {
		blocks = append(blocks, page.List{Kind: page.Bullets, Items: items})
	}
	if len(blocks) == 0 {
		blocks = append(blocks, w.para("packet.glance.no_findings", nil))
	}
	return blocks
}

// of gives what was noticed about the steps, to be printed there: stops in boxes
// of their own, cautions in one box, which may begin with sentences of its own,
// notes as a list.
func (w writer) of(steps []string, first ...page.Text) []page.Block {
	var blocks []page.Block
	var notes []page.Text
	cautions := first
	if w.inPlace {
		var list []finding.Finding
		for _, f := range w.told() {
			if slices.Contains(steps, stepOf(f.ID)) && !printed[f.ID] {
				list = append(list, f)
			}
		}
		for _, f := range w.gather(list) {
			text := page.Text(w.words.Finding(f))
			switch f.Severity {
			case finding.Note:
				notes = append(notes, text)
			case finding.Caution:
				cautions = append(cautions, text)
			default:
				blocks = append(blocks, w.caution(f.Severity, text))
			}
		}
	}
	if len(cautions) > 0 {
		blocks = append(blocks, w.caution(finding.Caution, cautions...))
	}
	if len(notes) > 0 {
		blocks = append(blocks, page.List{Kind: page.Bullets, Items: notes})
	}
	return blocks
}

// roomOnCover is how many lines of cautions the first page has room for, and
// lineOnCover about how many letters a line takes.
const (
	roomOnCover = 9
	lineOnCover = 80
)

// onCover are the steps whose cautions come first on the first page.
var onCover = []string{atCover, atFrame, atCorner, atSeason, atMoney, atWater, atFill, atMix, atRaft, atCut, atLiner, atFood, atLift}

// briefest is how long a caution on the first page may be before its later
// sentences are left to its step.
const briefest = 130

// briefly cuts a caution to its first sentences.
func briefly(s string) string {
	for end := len(s); len(s[:end]) > briefest; {
		cut := strings.LastIndex(s[:end-1], ". ")
		if cut < 20 {
			return s[:end]
		}
		if end = cut + 1; len(s[:end]) <= briefest {
			return s[:end]
		}
	}
	return s
}

// urgent tells the stops in boxes and a few cautions in short; the others wait
// at their step.
func (w writer) urgent() []page.Block {
	var blocks []page.Block
	var short []page.Text
	list := w.gather(w.told())
	slices.SortStableFunc(list, func(a, b finding.Finding) int {
		return slices.Index(onCover, stepOf(a.ID)) - slices.Index(onCover, stepOf(b.ID))
	})
	seen, more, room := map[finding.ID]bool{}, 0, roomOnCover
	if w.p.Beds > 1 {
		room -= 2
	}
	if w.p.NextBatch() == nil {
		room += 3 // the days are not among the figures
	}
	lines := func(s string) int { return 1 + (len(s)-1)/lineOnCover }
	for _, f := range list {
		switch {
		case f.Severity == finding.Stop:
			text := w.words.Finding(f)
			blocks = append(blocks, w.caution(f.Severity, page.Text(text)))
			room -= lines(text) + 3
		case f.Severity != finding.Caution || usual[f.ID]:
		default:
			text := briefly(w.words.Finding(f))
			if seen[f.ID] || room < lines(text) {
				more++
				continue
			}
			seen[f.ID] = true
			short = append(short, page.Text(text))
			room -= lines(text)
		}
	}
	if len(short) > 0 {
		blocks = append(blocks, page.List{Kind: page.Bullets, Items: short})
	}
	if more > 0 {
		blocks = append(blocks, w.para("packet.glance.more", finding.Args{"Count": more}))
	}
	if len(blocks) == 0 {
		blocks = append(blocks, w.para("packet.glance.no_findings", nil))
	}
	return blocks
}
