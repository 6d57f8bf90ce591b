package packet

import (
	"fmt"
	"slices"
	"strings"

	"raftwright/cut"
	"raftwright/finding"
	"raftwright/frame"
	"raftwright/page"
	"raftwright/unit"
	"raftwright/workshop"
)

// mixed says whether kits of several sizes are built.
func (w leader) mixed() bool { return len(w.ws.Sizes) > 1 }

// bySize gives the sentence for a day with several sizes, where there are some.
func (w leader) bySize(id string) string {
	if w.mixed() {
		return id + "_sizes"
	}
	return id
}

// ofEach gives the leader's sheet for each size alone: its bed and its families.
func (w leader) ofEach() []leader {
	if !w.mixed() {
		return []leader{w}
	}
	var out []leader
	for _, s := range w.ws.Sizes {
		one := w
		one.p = s.Bed()
		one.ws.Families, one.ws.Each, one.ws.Sizes = s.Families, s.Each, []workshop.Size{s}
		one.size = len(out) + 1
		out = append(out, one)
	}
	return out
}

// name says which size this is.
func (w leader) name() page.Text {
	v := w.p.Frame.Job.Vessel
	long, wide := v.Length, v.Width
	if v.Shape == frame.RoundShape {
		long, wide = v.Diameter, v.Diameter
	}
	holes := 0
	if w.p.Raft != nil {
		holes = w.p.Raft.Holes
	}
	return w.text("leader.size.name", finding.Args{"Number": w.size, "Length": long, "Width": wide, "Holes": holes})
}

// of names the size before what is true of it alone.
func (w leader) of() page.Text {
	if w.size == 0 {
		return ""
	}
	return page.Bold(w.say("leader.size.short", finding.Args{"Number": w.size})) + ": "
}

// sizes tells how many kits there are of each size, and for whom.
func (w leader) sizes() []page.Block {
	if !w.mixed() {
		return nil
	}
	t := page.Table{RowHead: true, Compact: true, Stack: true, Columns: w.columns("leader.size.col", "+leader.size.col_kits", "leader.size.col_codes")}
	t.Weigh(3, 0.8, 3.4)
	for _, one := range w.ofEach() {
		var codes []string
		for _, f := range one.ws.Families {
			codes = append(codes, f.Code)
		}
		t.Add(one.name(), w.number(len(codes)), page.Literal(strings.Join(codes, ", ")))
	}
	return []page.Block{t}
}

// heaviest is the mass of the heaviest frame.
func (w leader) heaviest() unit.Mass {
	most := w.p.Frame.FrameMass
	for _, s := range w.ws.Sizes {
		most = max(most, s.Bed().Frame.FrameMass)
	}
	return most
}

// counted tells how many parts of each kind a sheet gives, in the order in which they are met.
func counted(parts []cut.Part, what func(cut.Part) string) []string {
	var names, out []string
	count := map[string]int{}
	for _, p := range parts {
		name := what(p)
		if !slices.Contains(names, name) {
			names = append(names, name)
		}
		count[name]++
	}
	for _, n := range names {
		out = append(out, fmt.Sprintf("%d × %s", count[n], n))
	}
	return out
}

// lines names the sizes that a liner is for.
func (w leader) lines(c cut.Panel) (out page.Text) {
	for _, one := range w.ofEach() {
		if n := one.p.Frame.Liner; n.Length == c.Length && n.Width == c.Width {
			out += one.of()
		}
	}
	return out
}
