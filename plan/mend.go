package plan

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"raftwright/brief"
	"raftwright/cut"
	"raftwright/finding"
	"raftwright/frame"
	"raftwright/internal/inorder"
	"raftwright/mix"
	"raftwright/unit"
	"raftwright/usual"
)

// way is changes of a brief that may end a stop when they are made together.
type way []finding.Change

// mends looks for a way out of every stop: the first that ends it, and raises no other
// stop where one can, of those that change little before those that change much. Each
// is proven by making anew what it touches.
func (p *maker) mends(j Job, memory *Memory) {
	var tried mender
	for i, f := range p.Findings {
		if f.Severity != finding.Stop || len(f.Mend) > 0 {
			continue
		}
		if tried.made == nil {
			tried = mender{job: j, memory: memory, plan: p, made: map[string]Plan{}, given: textsOf(j.Brief)}
		}
		m := &p.Findings[i]
		m.Mend = tried.end(f)
		if len(m.Mend) > 0 && p.Cost != nil {
			if then := tried.make(m.Mend, j.Asked); then.Cost != nil && then.Cost.FirstCost.Currency == p.Cost.FirstCost.Currency {
				m.MendCost = then.Cost.FirstCost.Sub(p.Cost.FirstCost)
			}
		}
	}
}

// mender tries changes on one brief.
type mender struct {
	job    Job
	memory *Memory
	plan   *maker
	given  map[finding.Path]string // the texts of the brief
	made   map[string]Plan         // plans of changed briefs
}

// textsOf gives the texts of a brief by their paths.
func textsOf(b *brief.Brief) map[finding.Path]string {
	out := map[finding.Path]string{}
	for _, v := range b.Values() {
		out[v.Path] = v.Text
	}
	return out
}

// end gives the changes that end a stop; nil where none was found.
func (m *mender) end(f finding.Finding) way {
	var spare way
	for _, ways := range m.ways(f) {
		for _, w := range ways {
			if w = m.real(w); len(w) == 0 {
				continue
			}
			p := m.make(w, partOf(f))
			if len(p.Faults) > len(m.plan.Faults) || m.stands(p, f) {
				continue
			}
			if !m.worse(p) {
				return w
			}
			if spare == nil {
				spare = w
			}
		}
	}
	return spare
}

// partOf gives the part that is made anew to see whether a stop stands.
func partOf(f finding.Finding) Part {
	for part := Raft; part <= Cost; part <<= 1 {
		if strings.HasPrefix(string(f.ID), part.String()+".") {
			return part
		}
	}
	return Raft | Frame
}

// real leaves out changes that change nothing.
func (m *mender) real(w way) way {
	return slices.DeleteFunc(slices.Clone(w), func(c finding.Change) bool {
		if c.Value == "" {
			for p := range m.given {
				if p.Under(c.Path) {
					return false
				}
			}
			return true
		}
		return m.given[c.Path] == c.Value
	})
}

// make makes parts of the plan of the changed brief.
func (m *mender) make(w way, parts Part) Plan {
	key := fmt.Sprint(parts, w)
	if p, ok := m.made[key]; ok {
		return p
	}
	j := m.job
	j.Asked, j.mending = parts, true
	for _, c := range w {
		next, wrong := j.Brief.Set(c.Path, c.Value)
		if next == nil { // no place for it
			return Plan{Faults: slices.Concat(m.plan.Faults, wrong)}
		}
		j.Brief, j.Wrong = next, wrong
	}
	p := j.Make(m.memory)
	p.Faults = append(p.Faults, j.Wrong...)
	m.made[key] = p
	return p
}

// stands tells whether a stop is in a plan too: one of the same thing.
func (m *mender) stands(p Plan, f finding.Finding) bool {
	return slices.ContainsFunc(p.Findings, func(g finding.Finding) bool {
		return g.Severity == finding.Stop && g.ID == f.ID && g.Args["Nutrient"] == f.Args["Nutrient"]
	})
}

// worse tells whether a plan has a stop of a kind that the plan has not.
func (m *mender) worse(p Plan) bool {
	return slices.ContainsFunc(p.Findings, func(g finding.Finding) bool {
		return g.Severity == finding.Stop && !m.stands(m.plan.Plan, g)
	})
}

// ways gives the ways out of a stop to try: what changes least first.
func (m *mender) ways(f finding.Finding) [][]way {
	switch partOf(f) {
	case Raft:
		return m.raftWays()
	case Cut:
		return m.cutWays(f)
	case Mix:
		return m.mixWays(f)
	}
	if f.ID == frame.FindDeckStop && m.plan.vessel.kind != brief.Frame {
		first := [][]way{m.lightWays(f)}
		if m.tiny(f) { // another tub altogether: its place is changed first
			first = [][]way{{to("bed.support", string(brief.Ground))}, first[0]}
		}
		return append(first, append(m.frameWays(), m.sizeWays()...)...)
	}
	if f.ID == FindRaftTooBig {
		return append([][]way{{to("raft.diameter", "")}}, m.sizeWays()...)
	}
	return append(m.frameWays(), m.sizeWays()...)
}

// to gives one change, or one and more of keys that are taken away.
func to(path finding.Path, value string, away ...finding.Path) way {
	return append(way{{Path: path, Value: value}}, without(away...)...)
}

// without takes keys away, so that what is assumed in their place holds.
func without(paths ...finding.Path) way {
	var out way
	for _, p := range paths {
		out = append(out, finding.Change{Path: p})
	}
	return out
}

// The keys of a frame that a search fills in, and those of its size.
var (
	boardKeys = paths("bed.side board", "bed.end board", "bed.boards", "bed.holds", "bed.hold with")
	woodKeys  = paths("bed.lumber", "bed.incised", "bed.walls")
	siteKeys  = paths("bed.soil", "bed.level error", "bed.liner", "bed.turn over")
	sizeKeys  = paths("bed.vessel", "bed.length", "bed.width", "bed.space", "bed.diameter", "bed.base diameter", "bed.base length", "bed.base width",
		"bed.wall height", "raft", "schedule.heads per week", "schedule.people", "crop")
)

// frameWays are what the frame room knows to help, cheapest first; then other boards,
// less water, another place; then all of that together.
func (m *mender) frameWays() [][]way {
	var remedies, choices, shallow []way
	sorted := slices.Clone(m.plan.FrameRemedies)
	inorder.Put(sorted, func(a, b FrameChoice) int { return cmp.Compare(a.Cost.Amount, b.Cost.Amount) })
	for _, r := range sorted {
		remedies = append(remedies, m.frameTo(r.Job))
	}
	for _, c := range m.plan.FrameChoices {
		choices = append(choices, m.frameTo(c.Job))
	}
	if b := m.plan.Frame; b != nil {
		depth := min(b.Job.Depth, 6*unit.Inch)
		if b.Brim > 0 {
			depth = min(depth, b.Brim-b.Job.LevelError/2-unit.Inch)
		}
		for _, d := range []unit.Length{depth, 5 * unit.Inch, 4 * unit.Inch, usual.Depth} {
			shallow = append(shallow, to("bed.depth", m.length(d.ToMark(8, unit.Down))))
		}
	}
	ground := to("bed.support", string(brief.Ground))
	simple := []way{to("bed.holds", "auto"), to("bed.hold with", string(brief.Tie)), to("bed.holds", "auto", "bed.hold with"), without("bed.hold with"), without("bed.boards"),
		without("bed.end board"), to("bed.walls", string(brief.Lumber)), without("bed.level error"), without("bed.soil"), without("bed.liner"), without("bed.turn over"), ground}
	var wide []way
	boards := without(boardKeys...)
	for _, w := range append([]way{nil, without(woodKeys...), without(siteKeys...), slices.Concat(without(woodKeys...), without(siteKeys...))}, shallow...) {
		wide = append(wide, slices.Concat(boards, w), slices.Concat(boards, w, ground))
	}
	all := slices.Concat(boards, without(woodKeys...), without(siteKeys...), ground)
	for _, w := range shallow {
		wide = append(wide, slices.Concat(all, w))
	}
	return [][]way{remedies, simple, choices, shallow, wide}
}

// frameTo gives the changes that make the frame of another job.
func (m *mender) frameTo(j frame.Job) way {
	now := m.plan.Frame.Job
	out := way{}
	if j.SideBoard != now.SideBoard || j.EndBoard != now.EndBoard {
		out = append(out, to("bed.side board", j.SideBoard.String())...)
		out = append(out, to("bed.end board", j.EndBoard.String())...)
	}
	if max(1, j.Courses) != max(1, now.Courses) {
		out = append(out, to("bed.boards", strconv.Itoa(max(1, j.Courses)))...)
	}
	if j.Holds == frame.AutoHolds() {
		out = append(out, to("bed.holds", "auto")...)
	}
	switch j.HoldBy {
	case frame.FloorTie:
		out = append(out, to("bed.hold with", string(brief.Tie))...)
	case frame.Stake:
		out = append(out, to("bed.hold with", string(brief.Stake))...)
	}
	if j.Wall == frame.LumberWall && now.Wall != frame.LumberWall {
		out = append(out, to("bed.walls", string(brief.Lumber))...)
	}
	if j.Depth != now.Depth {
		out = append(out, to("bed.depth", m.length(j.Depth))...)
	}
	return out
}

// leastLeft is the share of its floor from which on a smaller tub is still the tub that was meant (own judgement).
const leastLeft = 0.4

// tiny says whether what a floor indoors carries of a tub is hardly any of it; there the slab on the soil is near.
func (m *mender) tiny(f finding.Finding) bool {
	area := f.Args["Area"].(unit.Area)
	return m.plan.Brief.Bed.Support.Value == brief.Floor && float64(area) < leastLeft*float64(m.plan.vessel.holds().BaseArea())
}

// lightWays are tubs that a deck carries as it carries a person: lower, then smaller.
func (m *mender) lightWays(f finding.Finding) []way {
	var out []way
	wall, area := f.Args["Wall"].(unit.Length), f.Args["Area"].(unit.Area)
	wall = wall.ToMark(4, unit.Down)
	if depth := wall - unit.Inch; depth >= usual.LeastTub {
		out = append(out, slices.Concat(to("bed.wall height", m.length(wall)), to("bed.depth", m.length(depth))))
	}
	v := m.plan.vessel
	share := 0.98 * math.Sqrt(float64(area)/float64(v.holds().BaseArea()))
	small := without("raft.sheet", "raft.diameter", "raft.gap", "raft.edge")
	for _, x := range []struct {
		path finding.Path
		side unit.Length
	}{{"bed.diameter", v.length}, {"bed.base diameter", v.baseLength}, {"bed.length", v.length}, {"bed.width", v.width}, {"bed.base length", v.baseLength}, {"bed.base width", v.baseWidth}} {
		if _, given := m.given[x.path]; given {
			small = append(small, to(x.path, m.length((x.side*unit.Length(share)).ToMark(4, unit.Down)))...)
		}
	}
	return append(out, small)
}

// sizeWays are smaller beds: as large as the methods reach, then of one usual sheet.
func (m *mender) sizeWays() [][]way {
	v := m.plan.vessel
	var cut way
	if v.kind == brief.Round {
		cut = slices.Concat(to("bed.diameter", m.length(min(v.length, 8*unit.Foot))), without("raft.diameter", "raft.sheet"))
	} else {
		long, short := max(v.length, v.width), min(v.length, v.width)
		cut = slices.Concat(to("bed.length", m.length(min(long, 40*unit.Foot))), to("bed.width", m.length(min(short, 8*unit.Foot))),
			without("bed.base length", "bed.base width", "raft.sheet"))
	}
	one := without(sizeKeys...)
	frame := slices.Concat(without(boardKeys...), without(woodKeys...), without(siteKeys...), to("bed.support", string(brief.Ground)), to("bed.depth", m.length(usual.Depth)))
	bare := slices.Concat(one, frame, way{{Path: "bed", Value: "{}"}})
	return [][]way{{cut}, {one, slices.Concat(cut, frame), slices.Concat(one, frame)}, {bare}}
}

// raftWays are thicker or better foam, a lighter load, and a raft that fits.
func (m *mender) raftWays() [][]way {
	var thick, fits []way
	if r := m.plan.Raft; r != nil {
		for _, t := range []unit.Length{1.5 * unit.Inch, 2 * unit.Inch, 3 * unit.Inch, 4 * unit.Inch} {
			if t > r.Job.Thickness {
				thick = append(thick, to("raft.thickness", m.length(t)))
			}
		}
		gap, in := 2*usual.Gap, r.Job.Inside
		if r.Round {
			fits = append(fits, to("raft.diameter", m.length(r.Job.InsideDiameter-gap)))
		} else if in.X > gap && in.Y > gap {
			fits = append(fits, to("raft.sheet", "["+m.length(min(in.X, in.Y)-gap)+", "+m.length(max(in.X, in.Y)-gap)+"]", "raft.gap"))
		}
	}
	light := []way{without("raft.head"), without("raft.pot"), without("raft.foam"), without("raft.thickness"), without("raft.gap"), without("raft.sheet"), without("raft.diameter"),
		without("raft.sheet", "raft.gap"), without("raft.diameter", "raft.gap"), without("raft.obstacles"), without("raft.pattern")}
	sparse := []way{to("raft.spacing", "12 in", "raft.edge"), to("raft.spacing", "18 in", "raft.edge")}
	for _, t := range thick {
		sparse = append(sparse, slices.Concat(t, to("raft.spacing", "12 in", "raft.edge"), without("raft.head", "raft.pot")))
	}
	all := without("raft.thickness", "raft.foam", "raft.spacing", "raft.edge", "raft.hole", "raft.pattern", "raft.pot", "raft.head", "raft.sheet", "raft.diameter", "raft.gap",
		"raft.obstacles", "raft.blocks", "raft.pot dip", "raft.nursery spacing")
	return append([][]way{thick, fits, light, sparse, {all, slices.Concat(all, without("crop"))}}, m.sizeWays()...)
}

// cutWays are more boards of the store, longer ones, and boards as yards have them.
func (m *mender) cutWays(f finding.Finding) [][]way {
	var more, longer []way
	for i := range m.job.Brief.Cut.Stock {
		more = append(more, without(finding.Path("cut.stock").Item(i).Key("count")))
	}
	if piece, ok := f.Args["Length"].(unit.Length); ok && f.ID == cut.FindTooLong {
		l := unit.Length(math.Ceil(float64((piece+unit.Inch)/(2*unit.Foot)))) * 2 * unit.Foot
		at := finding.Path("cut.stock").Item(len(m.job.Brief.Cut.Stock))
		for _, usual := range m.plan.book.Yard.Lengths(usual.Side) {
			if usual >= piece && len(m.job.Brief.Cut.Stock) > 0 {
				longer = append(longer, way{{Path: at, Value: "{length: " + m.length(usual) + "}"}})
			}
		}
		longer = append(longer, way{{Path: at, Value: "{length: " + m.length(l) + "}"}})
	}
	yard := []way{without("cut.stock"), without("cut.stock", "cut.on hand"), without("cut.trim"), without("cut.pieces"), without("cut.stock", "cut.on hand", "cut.trim"), without("cut")}
	sizes := m.sizeWays()
	for i, list := range sizes {
		for _, w := range list {
			sizes[i] = append(sizes[i], slices.Concat(w, without("cut")))
		}
	}
	return append([][]way{append(more, slices.Concat(more...)), longer, yard}, sizes...)
}

// mixWays are a limit as far as it can be kept, a product that brings what lacks, no
// limit, the usual target, and another water.
func (m *mender) mixWays(f finding.Finding) [][]way {
	var reach, drop, add []way
	if f.ID == mix.FindStarves {
		add = append(add, m.plan.buying())
		for _, w := range m.plan.Mix.Wishes {
			for _, at := range limitPaths(m.job.Brief, w.Nutrient.Word()) {
				drop = append(drop, without(at))
			}
		}
	}
	got, _ := f.Args["Got"].(unit.MassConcentration)
	for _, at := range limitPaths(m.job.Brief, f.Args["Nutrient"]) {
		figure := math.Floor(got.MilligramsPerLitre()*10) / 10
		if at.Under("target.most") {
			figure = math.Ceil(got.MilligramsPerLitre()*10) / 10
		}
		if figure > 0 {
			reach = append(reach, to(at, strconv.FormatFloat(figure, 'f', -1, 64)+" mg/L"))
		}
		drop = append(drop, without(at))
	}
	item := finding.Path("shelf").Item(m.plan.listed)
	for _, name := range usualShelf {
		if len(m.job.Brief.Shelf) > 0 {
			add = append(add, way{{Path: item, Value: "{name: " + name + "}"}}, slices.Concat(way{{Path: item, Value: "{name: " + name + "}"}}, without("mix.most products")))
		}
	}
	loose := []way{without("mix.budget"), without("mix.most products"), without("mix.measure")}
	last := []way{without("target.least", "target.most"), without("target"), without("target", "mix"), without("target", "mix", "shelf"),
		without("water"), without("target", "water"), without("target", "mix", "shelf", "water", "acid")}
	return [][]way{add, loose, reach, drop, last}
}

// limitPaths gives the limits of a brief on a nutrient, by its word.
func limitPaths(b *brief.Brief, word any) []finding.Path {
	var out []finding.Path
	for _, limits := range []struct {
		at   finding.Path
		list brief.Limits
	}{{"target.least", b.Target.Least}, {"target.most", b.Target.Most}} {
		for _, e := range limits.list.Each() {
			if n, ok := mix.NutrientOf(e.Name); ok && n.Word() == word {
				out = append(out, limits.at.Key(e.Name))
			}
		}
	}
	return out
}

// length writes a length for a brief, in the reader's units.
func (m *mender) length(l unit.Length) string {
	if m.plan.Metric() {
		return strconv.FormatFloat(math.Round(l.Millimetres()*10)/10, 'f', -1, 64) + " mm"
	}
	return strconv.FormatFloat(math.Round(l.Inches()*1000)/1000, 'f', -1, 64) + " in"
}
