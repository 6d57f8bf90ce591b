package packet_test

import (
	"regexp"
	"slices"
	"strings"
	"testing"

	"raftwright/draw"
	"raftwright/finding"
	"raftwright/lang"
	"raftwright/packet"
	"raftwright/page"
)

// ranked gives the place of a told finding among the ranks, by its first word.
func ranked(text string) int {
	return slices.IndexFunc([]string{"Stop", "Warning", "Check"}, func(word string) bool { return strings.HasPrefix(text, word) })
}

// coverRanks: the first page tells at most five of what was found, the stops first, then
// what can hurt a person, then the rest.
func coverRanks(m made, fail func(string, ...any)) {
	d, _ := packet.Section(m.plan, m.words, packet.Options{}, "first")
	var told []int
	walk(d, func(_ page.Section, b page.Block) {
		switch b := b.(type) {
		case page.Caution:
			told = append(told, ranked(b.Word))
		case page.List:
			for _, i := range b.Items {
				told = append(told, ranked(i.Plain()))
			}
		}
	})
	if len(told) > 5 {
		fail("%d on the first page", len(told))
	}
	if slices.Contains(told, -1) || !slices.IsSorted(told) {
		fail("not the worst first: %v", told)
	}
	for _, f := range m.plan.Findings {
		if f.Severity == finding.Stop && len(told) > 0 && told[0] != 0 {
			fail("%s does not lead the first page", f.ID)
		}
	}
}

// warnPeople are the findings that stand as a warning, since a person can be hurt: a
// person goes over this list when it changes.
var warnPeople = []finding.ID{
	"frame.ungraded", "frame.no_method", "frame.bending", "frame.shear", "frame.near_limit", "frame.bulge_stop", "frame.spacing", "frame.splice_free", "frame.splice_weak",
	"frame.hold_fails", "frame.hold_near", "frame.stake_soft", "frame.stake_ground", "frame.tie_floor", "frame.dig", "frame.end_grain", "frame.corner", "frame.corner_near",
	"frame.range", "frame.deep", "frame.round_wall", "frame.roof", "frame.soil", "frame.deck_stop", "frame.deck", "frame.slide", "frame.rain_boards",
	"raft.lift", "raft.lift_breaks", "raft.rim_load", "raft.foam_dust", "water.acid_strong", "water.acid_order", "water.fouled", "mix.oxidiser",
	"plan.strong_acid", "plan.strong_acid_none",
}

// warnings: the word Warning stands only where a person can be hurt, and there always.
func warnings(m made, fail func(string, ...any)) {
	for _, f := range m.plan.Findings {
		if f.Severity > finding.Note && (f.Hurts == finding.Person) != slices.Contains(warnPeople, f.ID) {
			fail("%s is about the %s", f.ID, f.Hurts)
		}
	}
}

// The pages of what must not be built, and the foot of every page, say so; where the plan
// stands, none does.
func TestStopStandsOnEveryPage(t *testing.T) {
	const sign = "Do not work from this page yet"
	for path, waits := range map[string][]string{"../examples/demo.yaml": nil, "../examples/school.yaml": {"shop", "cut", "frame", "liner", "fill", "raft", "mix", "content", "card"}} {
		d := accounts(planOf(t, path), words(t, lang.US), packet.Options{})
		if got := strings.Contains(d.Words.Page, "Stop: do not build yet"); got != (waits != nil) {
			t.Errorf("%s: the foot says %q", path, d.Words.Page)
		}
		pattern, err := packet.Template(planOf(t, path), words(t, lang.US), packet.Options{})
		if err != nil {
			t.Fatal(err)
		}
		walk(pattern, func(_ page.Section, b page.Block) {
			if f, ok := b.(page.Figure); ok && f.Exact {
				said := slices.ContainsFunc(draw.Lay(f.Drawing, draw.Fitting{}).Marks, func(m draw.Mark) bool { return strings.Contains(m.Text, "Stop: do not build yet") })
				if said != (waits != nil) {
					t.Errorf("%s: page %s of the pattern says stop: %v", path, f.Drawing.ID, said)
				}
			}
		})
		var told []string
		for _, s := range d.Sections {
			if c, ok := s.Blocks[0].(page.Caution); ok && c.Severity == finding.Stop && strings.HasPrefix(c.Text[0].Plain(), sign) {
				told = append(told, s.ID)
			}
		}
		if !slices.Equal(told, waits) {
			t.Errorf("%s: %v must wait, not %v", path, told, waits)
		}
	}
}

// A limit that no mix keeps stops what is mixed and bought; the frame can be built.
func TestAStopOfTheFeedLeavesTheFrame(t *testing.T) {
	m, ok := printedPlan(t, 0, "bed: {length: 97 in, width: 49 in}\nwater: {ph: 7, alkalinity: 40 mg/L CaCO3, calcium: 20 mg/L}\nshelf: [{name: Epsom salt, formula: MgSO4.7H2O}]\ntarget: {recipe: lettuce, least: {calcium: 90 mg/L}}\n")
	if !ok || m.plan.Worst() != finding.Stop {
		t.Fatal("no stop")
	}
	for id, waits := range map[string]bool{"frame": false, "raft": false, "mix": true, "shop": true} {
		d, _ := packet.Section(m.plan, m.words, packet.Options{}, id)
		if strings.Contains(flat(told(t, d)), "Do not work from this page yet") != waits {
			t.Errorf("%s waits: %v", id, !waits)
		}
	}
}

// Where only the feed cannot grow the crop, the first page says that the bed can be built,
// the sign itself says what to buy, no page forbids building, and no harvest is promised.
func TestAStarvingShelfNamesItsWayOut(t *testing.T) {
	m, ok := printedPlan(t, 0, "bed: {length: 97 in, width: 49 in}\nwater: {kind: hard}\nshelf: [5-12-26]\n")
	if !ok || m.plan.Worst() != finding.Stop {
		t.Fatal("no stop")
	}
	d := packet.Faces(m.plan, m.words, packet.Options{})
	if !strings.Contains(d.Words.Page, "Stop: do not mix or plant yet") {
		t.Errorf("the foot says %q", d.Words.Page)
	}
	text := flat(told(t, d))
	sign := regexp.MustCompile(`This shelf cannot feed this crop.{0,120}\. Buy calcium nitrate`)
	if !sign.MatchString(text) || !strings.Contains(text, "This bed can be built. Do not mix or plant yet") || strings.Contains(text, "Do not build or buy yet") || strings.Contains(text, "Harvest about") {
		t.Error(text[:1500])
	}
}
