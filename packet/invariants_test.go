package packet_test

import (
	"fmt"
	"slices"
	"time"

	"raftwright/finding"
	"raftwright/mix"
	"raftwright/season"
)

// never are the pairs of findings that exclude each other: what one says makes the other
// wrong, or says it twice. Where a figure is named, they exclude each other about the same
// one only.
var never = []struct {
	one   finding.ID
	other []finding.ID
	about string
}{
	{"frame.overtop", ids("frame.freeboard", "frame.notch"), ""},
	{"frame.overtop_level", ids("frame.overtop", "frame.freeboard"), ""},
	{"frame.bulge_stop", ids("frame.bulge"), "Board"},
	{"frame.near_limit", ids("frame.bending", "frame.shear"), "Board"},
	{"frame.ungraded", ids("frame.bending", "frame.shear", "frame.near_limit", "frame.no_method"), "Board"},
	{"frame.hold_fails", ids("frame.hold_near"), "Board"},
	{"frame.stake", ids("frame.tie", "frame.stake_soft", "frame.stake_ground"), "Board"},
	{"frame.stake_soft", ids("frame.stake_ground"), ""},
	{"frame.splice_free", ids("frame.splice"), "Board"},
	{"frame.corner", ids("frame.corner_near"), ""},
	{"frame.deck_stop", ids("frame.deck", "frame.deck_light", "frame.roof", "frame.soil", "frame.tie_floor"), ""},
	{"frame.roof", ids("frame.deck", "frame.deck_light", "frame.soil", "frame.tie_floor"), ""},
	{"frame.deck_light", ids("frame.deck", "frame.soil", "frame.dig"), ""},
	{"frame.notch", ids("frame.no_notch"), ""},
	{"frame.liner_none", ids("frame.liner_buy"), ""},
	{"frame.round_wall", ids("frame.tub_wall", "frame.tie", "frame.stake"), ""},
	{"frame.remedy_none", ids("frame.remedy_board", "frame.remedy_depth", "frame.remedy_holds"), ""},
	{"frame.deep", ids("frame.depth_range"), ""},
	{"raft.sparse", ids("raft.crowded", "season.crowded"), ""},
	{"raft.crowded", ids("raft.closer", "raft.trim_edge"), ""},
	{"raft.sinks", ids("raft.low_freeboard"), ""},
	{"raft.pot_dry", ids("raft.pot_dry_foam", "raft.pot_deep", "raft.pot_shallow", "raft.pot_deeper"), ""},
	{"raft.pot_deeper", ids("raft.pot_shallow"), ""},
	{"raft.never_floats", ids("raft.grounds", "raft.no_air_gap"), ""},
	{"raft.no_air_gap", ids("raft.grounds", "pool.air_gap"), ""},
	{"water.severe", ids("water.watch"), "Analyte"},
	{"water.blend", ids("water.other_source"), "Analyte"},
	{"water.omit", ids("water.count_feed"), "Analyte"},
	{"water.base", ids("water.acid_order", "water.acidify", "water.base_not_needed"), ""},
	{"water.acid_not_needed", ids("water.acid_order", "water.acid_impossible", "water.acid_twice"), ""},
	{"water.chlorine_ask", ids("water.chlorine", "water.chloramine", "plan.cure"), ""},
	{"water.ask_test", ids("water.ask_alkalinity", "water.hardness_sum", "water.charge", "plan.kind_unused"), ""},
	{"mix.high_ph", ids("mix.low_ph"), ""},
	{"mix.weak", ids("mix.missing", "mix.no_calcium", "mix.strong", "mix.harm", "mix.over_limit", "mix.held_back"), "Nutrient"},
	{"mix.strong", ids("mix.missing", "mix.harm"), "Nutrient"},
	{"mix.over_limit", ids("mix.held_back", "mix.water_beyond", "mix.limit_broken"), "Nutrient"},
	{"mix.boron", ids("mix.boron_margin"), ""},
	{"mix.empty_shelf", ids("mix.weak", "mix.missing", "mix.no_calcium", "mix.apart", "mix.oxidiser"), ""},
	{"mix.spoon_doubt", ids("mix.spoon_own"), ""},
	{"plan.no_climate", ids("sky.station", "season.no_window", "season.shortfall", "season.frost", "pool.still"), ""},
	{"plan.holes_short", ids("season.shortfall"), ""},
	{"season.no_window", ids("season.shortfall"), ""},
	{"season.frost", ids("season.rare_frost"), ""},
	{"pool.warm_act", ids("crop.warm_roots"), ""},
	{"pool.air", ids("pool.still"), ""},
	{"pool.no_air", ids("pool.still"), ""},
	{"plan.lamps", ids("plan.no_lamps_needed"), ""},
	{"plan.dim_lamps", ids("plan.no_lamps_needed"), ""},
	{"plan.strong_acid", ids("plan.strong_acid_none"), ""},
	{"crop.no_germination", ids("crop.cold_tray", "crop.warm_tray"), ""},
	{"crop.cold_tray", ids("crop.warm_tray"), ""},
	{"plan.meter_ask", ids("plan.meter_none", "plan.meter_scale", "plan.meter_unsure", "plan.meter_off"), ""},
	{"cost.no_rate", ids("cost.old_rate"), ""},
}

func ids(list ...finding.ID) []finding.ID { return list }

// excluded: no two findings of a plan exclude each other.
func excluded(m made, fail func(string, ...any)) {
	for _, p := range never {
		for _, f := range m.plan.Findings {
			for _, g := range m.plan.Findings {
				if f.ID == p.one && slices.Contains(p.other, g.ID) && (p.about == "" || fmt.Sprint(f.Args[p.about]) == fmt.Sprint(g.Args[p.about])) {
					fail("%s beside %s", f.ID, g.ID)
				}
			}
		}
	}
}

// bands: no element is warned of inside its band, and a plan that says that the bed can be
// planted reaches four fifths of every main element.
func bands(m made, fail func(string, ...any)) {
	x := m.plan.Mix
	if x == nil {
		return
	}
	wishes := map[any]mix.Wish{}
	for _, w := range x.Wishes {
		wishes[w.Nutrient.Word()] = w
	}
	for _, f := range m.plan.Findings {
		w, known := wishes[f.Args["Nutrient"]]
		if !known {
			continue
		}
		out := true
		switch f.ID {
		case mix.FindWeak, mix.FindMissing, mix.FindNoCalcium:
			out = w.Achieved < w.Level*4/5
		case mix.FindStrong:
			out = w.Achieved > w.High
		case mix.FindHarm:
			out = w.Achieved > w.Harm
		}
		if !out {
			fail("%s of %v inside its band", f.ID, f.Args["Nutrient"])
		}
	}
	if !said(m, "packet.glance.ok") {
		return
	}
	for _, w := range x.Wishes {
		if !w.Nutrient.IsMicro() && !w.Unknown && w.Level > 0 && w.Achieved < w.Level*0.799 {
			fail("it can be planted, with %.0f %% of %v", 100*float64(w.Achieved/w.Level), w.Nutrient.Word())
		}
	}
}

// days: the calendar fits the holes, the days of harvest, the absences and the windows.
func days(m made, fail func(string, ...any)) {
	s := m.plan.Season
	if s == nil || m.plan.Raft == nil {
		return
	}
	var breaks []season.Break
	for _, b := range m.plan.Brief.Schedule.Breaks {
		at := func(d interface{ String() string }) time.Time {
			t, _ := time.Parse(time.DateOnly, d.String())
			return t
		}
		breaks = append(breaks, season.Break{From: at(b.From.Value), To: at(b.To.Value)})
	}
	away := func(day time.Time) bool {
		return slices.ContainsFunc(breaks, func(b season.Break) bool { return !day.Before(b.From) && !day.After(b.To) })
	}
	heads := map[time.Time]int{}
	fetched := 0
	for _, b := range s.Batches {
		if most := m.plan.Raft.Job.HeadMass; b.Fresh > most {
			fail("a head of %.0f g is cut from a raft that floats %.0f g", b.Fresh.Grams(), most.Grams())
		}
		if b.Fetched && b.SetOut.Before(s.Batches[0].SetOut.AddDate(1, 0, 0)) {
			fetched += b.Plants * m.plan.Beds
		}
		if b.SetOut.Before(b.Sow) || b.Harvest.Before(b.SetOut) {
			fail("a batch is sown %v, set out %v and cut %v", b.Sow, b.SetOut, b.Harvest)
		}
		for what, day := range map[string]time.Time{"sown": b.Sow, "set out": b.SetOut, "cut": b.Harvest} {
			if away(day) {
				fail("a batch is %s while nobody is there", what)
			}
		}
		n := 0
		for _, h := range b.Holes {
			n += h.To - h.From + 1
			if h.From < 1 || h.To > m.plan.Raft.Holes {
				fail("holes %d to %d of %d", h.From, h.To, m.plan.Raft.Holes)
			}
		}
		if n != 0 && n != b.Plants {
			fail("%d plants in %d holes", b.Plants, n)
		}
		if b.Heads > b.Plants*m.plan.Beds {
			fail("%d heads of %d plants in %d beds", b.Heads, b.Plants, m.plan.Beds)
		}
		heads[b.SetOut] += b.Plants
		heads[b.Harvest] -= b.Plants
	}
	if m.plan.Cost != nil {
		for _, l := range m.plan.Cost.Lines {
			if l.Name == "need.seedling" {
				fetched -= int(l.Quantity)
			}
		}
		if fetched != 0 {
			fail("%d fetched seedlings stand in no list", fetched)
		}
	}
	for i, a := range s.Batches {
		for _, b := range s.Batches[i+1:] {
			if a.Nursery == nil && b.Nursery == nil && a.SetOut.Before(b.Harvest) && b.SetOut.Before(a.Harvest) && share(a.Holes, b.Holes) {
				fail("two batches in one hole")
			}
		}
	}
	for _, t := range s.Tasks {
		if away(t.Day) {
			fail("a task of kind %v while nobody is there", t.Kind)
		}
	}
}

// share says whether two lists of holes have one in common.
func share(a, b []season.Span) bool {
	for _, x := range a {
		for _, y := range b {
			if x.From <= y.To && y.From <= x.To {
				return true
			}
		}
	}
	return false
}

// said tells whether the packet prints a sentence that has no figures.
func said(m made, id string) bool {
	return slices.Contains(prose(m.doc), m.words.Say(id, nil))
}
