package packet

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"unicode/utf8"

	"raftwright/finding"
	"raftwright/mix"
	"raftwright/page"
	"raftwright/plan"
)

// told are the findings that may stand on the page: those on handling acid only
// where its dose is printed too.
func (w writer) told() []finding.Finding {
	return slices.DeleteFunc(slices.Clone(w.p.Findings), func(f finding.Finding) bool {
		return f.Stands() == finding.AtAcid && w.dosed() == nil
	})
}

// gather joins findings of one kind that differ in a single name: three bags
// that feed a fire are one sentence.
func (w writer) gather(list []finding.Finding) []finding.Finding {
	type kind struct {
		first finding.Finding
		key   string // of the name in which they differ
		names []string
	}
	var kinds []kind
	for _, f := range list {
		key := ""
		at := slices.IndexFunc(kinds, func(k kind) bool {
			key = differsIn(k.first, f)
			return key != "" && (k.key == "" || k.key == key)
		})
		if at < 0 {
			kinds = append(kinds, kind{first: f})
			continue
		}
		k := &kinds[at]
		if k.key == "" {
			k.key, k.names = key, []string{w.words.Under(key, k.first.Args[key])}
		}
		k.names = append(k.names, w.words.Under(key, f.Args[key]))
	}
	out := make([]finding.Finding, len(kinds))
	for i, k := range kinds {
		out[i] = k.first
		if k.key != "" {
			out[i].Args = maps.Clone(k.first.Args)
			out[i].Args[k.key] = w.words.Join(k.names)
		}
	}
	return out
}

// differsIn gives the one argument, a name, in which two findings of one kind
// differ; "" where there is none, or more.
func differsIn(a, b finding.Finding) string {
	if a.ID != b.ID || a.Severity != b.Severity || len(a.Args) != len(b.Args) {
		return ""
	}
	key := ""
	for k, v := range b.Args {
		other, ok := a.Args[k]
		if ok && fmt.Sprint(other) == fmt.Sprint(v) {
			continue
		}
		switch v.(type) {
		case string, finding.Word:
		default:
			ok = false
		}
		if !ok || key != "" {
			return ""
		}
		key = k
	}
	return key
}

// findings lists all that was noticed, each with the word of its severity.
func (w writer) findings() []page.Block {
	var blocks []page.Block
	var items []page.Text
	for _, f := range w.gather(w.told()) {
		text := page.Text(w.words.Finding(f)) + w.whyOf(f)
		if f.Severity == finding.Stop {
			blocks = append(blocks, w.stopBox(f))
			continue
		}
		items = append(items, page.Bold(w.rank(f.Severity, f.Hurts)+":")+" "+text)
	}
	if len(items) > 0 {
		blocks = append(blocks, page.List{Kind: page.Bullets, Items: items})
	}
	if len(blocks) == 0 {
		blocks = append(blocks, w.para("packet.glance.no_findings", nil))
	}
	return blocks
}

// step is a step of the work on paper: its acts, the sentences of the step's own
// that begin its box of cautions, and the findings whose words it prints itself.
type step struct {
	acts  []finding.Act
	first []page.Text
	own   []finding.ID
}

// at is the step at which these acts are told.
func at(acts ...finding.Act) step { return step{acts: acts} }

func (s step) begins(first ...page.Text) step { s.first = first; return s }
func (s step) prints(own ...finding.ID) step  { s.own = own; return s }

// of gives what was noticed about a step, to be printed there: stops in boxes of
// their own, warnings in one box and checks in one, notes as a list.
func (w writer) of(s step) []page.Block { return append(w.cautions(s), w.notes(s)...) }

// cautions gives the boxes of a step, which stand before it.
func (w writer) cautions(s step) []page.Block {
	return w.boxes(s.first, w.noticed(s, func(f finding.Finding) bool { return f.Severity != finding.Note }))
}

// notes gives what is only worth knowing of a step, which may stand behind it.
func (w writer) notes(s step) []page.Block {
	return w.boxes(nil, w.noticed(s, func(f finding.Finding) bool { return f.Severity == finding.Note }))
}

// noticed gives the findings of a step that are wanted and that it does not print itself.
func (w writer) noticed(s step, want func(finding.Finding) bool) []finding.Finding {
	if !w.inPlace {
		return nil
	}
	return slices.DeleteFunc(w.told(), func(f finding.Finding) bool {
		return !want(f) || !slices.Contains(s.acts, f.Stands()) || slices.Contains(s.own, f.ID)
	})
}

// boxes sets stops in boxes of their own, warnings in one box that begins with these
// sentences, checks in one, and notes as a list.
func (w writer) boxes(warnings []page.Text, list []finding.Finding) []page.Block {
	var blocks []page.Block
	var checks, notes []page.Text
	for _, f := range w.gather(list) {
		text := page.Text(w.words.Finding(f)) + w.cite(f.Source) + w.whyOf(f)
		switch {
		case f.Severity == finding.Note:
			notes = append(notes, text)
		case f.Severity == finding.Stop:
			blocks = append(blocks, w.stopBox(f))
		case f.Hurts == finding.Person:
			warnings = append(warnings, text)
		default:
			checks = append(checks, text)
		}
	}
	if len(warnings) > 0 {
		blocks = append(blocks, w.warning(warnings...))
	}
	if len(checks) > 0 {
		blocks = append(blocks, w.check(checks...))
	}
	if len(notes) > 0 {
		blocks = append(blocks, page.List{Kind: page.Bullets, Items: notes})
	}
	return blocks
}

// stopBox is the box of a stop. That of a shelf that cannot feed the crop says what to
// buy, so that whoever reads only the sign knows the way out.
func (w writer) stopBox(f finding.Finding) page.Caution {
	sentences := []page.Text{page.Text(w.words.Finding(f)) + w.cite(f.Source) + w.whyOf(f)}
	for _, buy := range w.p.Findings {
		if f.ID == mix.FindStarves && opensTheWay(buy) {
			sentences = append(sentences, page.Text(w.words.Finding(buy)))
		}
	}
	return w.box(f.Severity, f.Hurts, sentences...)
}

// opensTheWay tells what stands beside the stop of a shelf that cannot feed the crop: what would.
func opensTheWay(f finding.Finding) bool {
	return f.ID == mix.FindBuy || f.ID == mix.FindAllow || f.ID == plan.FindBudget
}

// mostOnCover is how many findings the first page tells at most, roomOnCover how many
// lines it has for them, and lineOnCover about how many letters a line takes.
const (
	mostOnCover = 5
	roomOnCover = 9
	lineOnCover = 80
)

// onCover are the steps whose cautions come first on the first page.
var onCover = []finding.Act{finding.AtCover, finding.AtFrame, finding.AtCorner, finding.AtSeason, finding.AtMoney, finding.AtWater, finding.AtAcid, finding.AtFill, finding.AtMix,
	finding.AtRaft, finding.AtCut, finding.AtLiner, finding.AtLift}

// briefest is how many letters a caution on the first page may have before its later
// sentences are left to its step.
const briefest = 130

// briefly cuts a caution to its first sentences.
func briefly(s string) string {
	for utf8.RuneCountInString(s) > briefest {
		cut := strings.LastIndex(s[:len(s)-1], ". ")
		if cut < 20 {
			break
		}
		s = s[:cut+1]
	}
	return s
}

// urgent tells the stops in boxes and a few cautions in short, the worst first and
// those about people before the rest; the others wait at their step. room is
// how many lines they may take, others the sentence that tells how many are left.
func (w writer) urgent(room int, others string) []page.Block {
	var blocks []page.Block
	var short []page.Text
	list := w.gather(w.told())
	slices.SortStableFunc(list, func(a, b finding.Finding) int {
		return slices.Index(onCover, a.Stands()) - slices.Index(onCover, b.Stands())
	})
	finding.Sort(list)
	seen, more := map[finding.ID]bool{}, 0
	if w.p.Beds > 1 {
		room -= 2
	}
	if w.p.NextBatch() == nil {
		room += 3 // the days are not among the figures
	}
	lines := func(s string) int { return 1 + (utf8.RuneCountInString(s)-1)/lineOnCover }
	for _, f := range list {
		text := w.words.Finding(f)
		switch {
		case f.Severity == finding.Note || f.Usual:
			continue
		case f.Severity == finding.Caution:
			text = briefly(text)
		}
		if opensTheWay(f) && seen[mix.FindStarves] { // the stop said it
			continue
		}
		if told := len(blocks) + len(short); seen[f.ID] || told >= mostOnCover || told > 0 && f.Severity == finding.Caution && room < lines(text) { // the worst is always told
			more++
			continue
		}
		seen[f.ID] = true
		room -= lines(text)
		if f.Severity == finding.Stop {
			blocks = append(blocks, w.stopBox(f))
			room -= 3
			continue
		}
		short = append(short, page.Bold(w.rank(f.Severity, f.Hurts)+":")+" "+page.Text(text)+w.whyOf(f))
	}
	if len(short) > 0 {
		blocks = append(blocks, page.List{Kind: page.Bullets, Items: short})
	}
	if more > 0 {
		blocks = append(blocks, w.para(others, finding.Args{"Count": more}))
	}
	if len(blocks) == 0 {
		blocks = append(blocks, w.para("packet.glance.no_findings", nil))
	}
	return blocks
}

// beforeTheFeed and ofTheFeed are the sections that nobody may work from while a stop
// stands: all of them where the bed cannot stand, the latter where only its feed cannot.
var (
	beforeTheFeed = []string{"cut", "frame", "vessel", "liner", "fill", "raft"}
	ofTheFeed     = []string{"shop", "mix", "content", "card"}
)

// mustWait says whether a section begins with a stop of its own: what it tells to buy,
// to build or to mix must wait.
func (w writer) mustWait(id string) bool {
	return slices.ContainsFunc(w.p.Findings, func(f finding.Finding) bool {
		return f.Severity == finding.Stop && (slices.Contains(ofTheFeed, id) || slices.Contains(beforeTheFeed, id) && f.Stands() != finding.AtMix)
	})
}

// onlyFeedStops says whether the bed can stand, and only what would be mixed cannot.
func (w writer) onlyFeedStops() bool {
	return !slices.ContainsFunc(w.p.Findings, func(f finding.Finding) bool {
		return f.Severity == finding.Stop && f.Stands() != finding.AtMix
	})
}

// foot gives the words at the foot of every page: its number.
func (w writer) foot() string { return w.stopped(w.say("press.page", nil)) }

// stopped puts the stop before the words at the foot of a page while the plan cannot stand.
func (w writer) stopped(foot string) string {
	switch {
	case w.p.Worst() != finding.Stop:
		return foot
	case w.onlyFeedStops():
		return w.say("packet.stop.foot_feed", nil) + " " + foot
	}
	return w.say("packet.stop.foot", nil) + " " + foot
}
