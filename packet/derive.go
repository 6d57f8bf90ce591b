package packet

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"raftwright/draw"
	"raftwright/finding"
	"raftwright/lang"
	"raftwright/page"
	"raftwright/plan"
	"raftwright/source"
)

// citations numbers the sources of a document in the order in which they are first used.
type citations struct{ ids []source.ID }

// cite gives the numbers of sources, to stand behind a figure: " [3]"; "" where the document
// has no list of sources.
func (w writer) cite(ids ...source.ID) page.Text {
	var b strings.Builder
	for _, id := range ids {
		if _, ok := source.Find(id); w.cites == nil || !ok {
			continue
		}
		at := slices.Index(w.cites.ids, id)
		if at < 0 {
			at, w.cites.ids = len(w.cites.ids), append(w.cites.ids, id)
		}
		fmt.Fprintf(&b, " [%d]", at+1)
	}
	return page.Text(b.String())
}

// rule is a rule of the working with every step that follows it: one a wall, a month, an ion.
type rule struct {
	name  string
	steps []finding.Step
	of    []string // which wall, month or ion each is about
}

// chapters of the working document: what it tells of a trade, and then the sums.
var chapters = []struct {
	sections []string
	part     plan.Part
	id       string // of the title of the sums; "" where there are none
}{
	{[]string{"glance", "safety"}, 0, ""},
	{[]string{"frame", "vessel", "liner", "fill"}, plan.Frame, "frame"},
	{[]string{"cut"}, plan.Cut, "cut"},
	{[]string{"raft"}, plan.Raft, "raft"},
	{[]string{"water"}, plan.Water, "water"},
	{[]string{"mix", "content"}, plan.Mix, "mix"},
	{[]string{"found"}, plan.Found, "found"},
	{[]string{"amiss"}, plan.Amiss, "amiss"},
	{[]string{"season", "seed"}, plan.Season, "season"},
	{[]string{"care", "watch", "harvest", "clean"}, 0, ""},
	{[]string{"shop", "money"}, plan.Cost, "cost"},
	{[]string{"assume"}, 0, ""},
}

// Working makes the second document of a plan, for who wants to check it: accounts, choices,
// assumptions, the sums behind every figure in the order of the work, and the sources, which
// are numbered as they are used.
func Working(p plan.Plan, words *lang.Printer, o Options) page.Document {
	w := onPaper(p, words, o)
	w.cites = &citations{}
	d := w.document(o)
	d.Subtitle, d.Dense = w.say("packet.working.subtitle", nil), true
	for _, c := range chapters {
		for _, s := range w.sections(c.sections) {
			if slices.Contains(built, s.ID) {
				s.Blocks = withoutSteps(s.Blocks)
			}
			d.Sections = append(d.Sections, s)
		}
		if s, ok := w.summed(c.id, c.part); ok {
			d.Sections = append(d.Sections, s)
		}
	}
	d.Sections = append(d.Sections, w.sections([]string{"source"})...)
	for i := range d.Sections {
		d.Sections[i].NewPage = false
		if !w.large {
			d.Sections[i].Blocks = smaller(d.Sections[i].Blocks)
		}
		if d.Sections[i].ID == "frame" && !w.large {
			d.Sections[i].Blocks = paired(d.Sections[i].Blocks)
		}
	}
	return d
}

// built are the sections whose steps stand on the faces with their pictures.
var built = []string{"frame", "vessel", "liner", "fill", "cut", "raft", "mix"}

// onFace tells whether a drawing is on the faces and says nothing to who checks: the boards as
// bars, and the plan of the holes.
func onFace(id string) bool {
	return id == "raft" || strings.HasPrefix(id, "raft-") || strings.HasPrefix(id, "cutting-")
}

// withoutSteps leaves out what is done in steps.
func withoutSteps(blocks []page.Block) []page.Block {
	var out []page.Block
	for _, b := range blocks {
		switch x := b.(type) {
		case page.List:
			if x.Kind == page.Numbered {
				continue
			}
		case page.Figure:
			if onFace(x.Drawing.ID) {
				continue
			}
		case page.Together:
			b = page.Together{Blocks: withoutSteps(x.Blocks)}
		case page.Beside:
			var columns [][]page.Block
			for _, c := range x.Columns {
				if c = withoutSteps(c); len(c) > 0 {
					columns = append(columns, c)
				}
			}
			if len(columns) < 2 {
				out = append(out, slices.Concat(columns...)...)
				continue
			}
			x.Columns = columns
			b = x
		}
		out = append(out, b)
	}
	return out
}

// smaller sets drawings at three quarters of their height: who checks figures wants them in sight,
// and builds from the faces.
func smaller(blocks []page.Block) []page.Block {
	out := slices.Clone(blocks)
	for i, b := range out {
		switch b := b.(type) {
		case page.Figure:
			if strings.HasPrefix(b.Drawing.ID, "year") || b.Drawing.ID == "liner-flat" { // their words would touch
				continue
			}
			b.Height *= 0.75
			out[i] = b
		case page.Together:
			out[i] = page.Together{Blocks: smaller(b.Blocks)}
		case page.Beside:
			columns := slices.Clone(b.Columns)
			for k := range columns {
				columns[k] = smaller(columns[k])
			}
			b.Columns = columns
			out[i] = b
		}
	}
	return out
}

// paired sets the drawings of a section side by side after its first words.
func paired(blocks []page.Block) []page.Block {
	var drawn []page.Block
	var without func([]page.Block) []page.Block
	without = func(blocks []page.Block) (out []page.Block) {
		for _, b := range blocks {
			switch b := b.(type) {
			case page.Figure:
				drawn = append(drawn, b)
			case page.Together:
				out = append(out, without(b.Blocks)...)
			case page.Beside:
				for _, c := range b.Columns {
					out = append(out, without(c)...)
				}
			default:
				out = append(out, b)
			}
		}
		return out
	}
	rest := without(blocks)
	out := rest[:min(1, len(rest)):min(1, len(rest))]
	for ; len(drawn) > 1; drawn = drawn[2:] {
		out = append(out, page.Beside{Columns: [][]page.Block{drawn[:1], drawn[1:2]}})
	}
	return slices.Concat(out, drawn, rest[len(rest[:min(1, len(rest))]):])
}

// sums sets the steps of a derivation as tables: what stands once as a line, what stands for
// many walls, months or ions as a grid under its rule.
func (w writer) sums(steps []finding.Step) []page.Block {
	var rules []*rule
	known := map[string]*rule{}
	for _, s := range steps {
		key := s.Name + "\n" + s.Formula
		r, ok := known[key]
		if !ok {
			r = &rule{name: w.words.Say(s.Name, nil)}
			known[key], rules = r, append(rules, r)
		}
		r.of = append(r.of, w.words.Which(s))
		r.steps = append(r.steps, w.words.Step(s))
	}
	var out []page.Block
	t := w.ruleTable()
	var before *finding.Step // the line above
	shown := map[string]bool{}
	for i := 0; i < len(rules); {
		to := i + 1
		if len(rules[i].steps) == 1 {
			s := rules[i].steps[0]
			t.Add(named(s.Symbol, s.Name), w.ruleAfter(before, shown, s), w.figured(s.Value, s.Unit), w.cite(s.Source))
			i, before = to, &s
			continue
		}
		for to < len(rules) && slices.Equal(rules[to].of, rules[i].of) {
			to++
		}
		g := w.grid(rules[i:to], &t)
		for _, r := range rules[i:to] {
			for _, s := range r.steps {
				shown[w.digits(s.Value)] = true
				for _, in := range s.Inputs {
					shown[w.digits(in.Value)] = true
				}
			}
		}
		out = append(out, t)
		out = append(out, g...)
		t, i, before = w.ruleTable(), to, nil
	}
	if len(t.Rows) > 0 {
		out = append(out, t)
	}
	return out
}

func (w writer) ruleTable() page.Table {
	t := page.Table{Compact: true, Stack: true, Columns: w.columns("packet.working.col.what", "packet.working.col.formula", "+packet.working.col.value", "packet.working.col.source")}
	t.Weigh(2.8, 5.4, 1.4, 0.8)
	t.Columns[1].Plain = true
	return t
}

// named gives a figure its symbol.
func named(symbol, name string) page.Text {
	if symbol == "" {
		return page.Literal(name)
	}
	return page.Bold(symbol) + ": " + page.Literal(name)
}

// figured prints a figure with its unit.
func (w writer) figured(value float64, unit string) page.Text {
	return page.Literal(strings.TrimSpace(w.digits(value) + " " + unit))
}

// digits prints a number, with a power of ten where it is so small that it would read as nothing.
func (w writer) digits(value float64) string {
	if value == 0 || math.Abs(value) >= 1e-4 {
		return w.words.Number(value)
	}
	s := strconv.FormatFloat(value, 'e', 2, 64)
	return strings.Replace(strings.Replace(s, "e-0", "e-", 1), "-0", "-", 1)
}

// rule prints a formula and what went in.
func (w writer) rule(formula string, inputs []finding.Input) page.Text {
	var with []string
	for _, in := range inputs {
		with = append(with, in.Symbol+" = "+string(w.figured(in.Value, in.Unit)))
	}
	text := strings.ReplaceAll(formula, "*", "·")
	if len(with) > 0 {
		text += "; " + strings.Join(with, ", ")
	}
	return page.Literal(text)
}

// ruleAfter prints a formula and what went in, and says so where the formula is that of the line
// above, or where many figures have all been shown before.
func (w writer) ruleAfter(before *finding.Step, shown map[string]bool, s finding.Step) page.Text {
	const many = 7
	formula, inputs := s.Formula, s.Inputs
	if before != nil && formula == before.Formula && len(formula) > 12 {
		formula = w.say("packet.working.same_rule", nil)
	}
	hidden := func(in finding.Input) bool { return !shown[w.digits(in.Value)] }
	if len(inputs) >= many && (!slices.ContainsFunc(inputs, hidden) || before != nil && slices.Equal(inputs, before.Inputs)) {
		return w.rule(formula, nil) + "; " + w.text("packet.working.same_figures", nil)
	}
	return w.rule(formula, inputs)
}

// series is a figure that differs from step to step: a line of a grid.
type series struct {
	names  []string // more than one where figures are the same by another name
	unit   string
	cells  []string
	result bool
}

// grid adds the rules to their table, with what is the same in all steps, and sets what differs
// as a grid of its own.
func (w writer) grid(rules []*rule, t *page.Table) []page.Block {
	var list []series
	add := func(name, unit string, cells []string) {
		at := slices.IndexFunc(list, func(o series) bool { return o.unit == unit && slices.Equal(o.cells, cells) })
		if at < 0 {
			list = append(list, series{[]string{name}, unit, cells, false})
		} else if !slices.Contains(list[at].names, name) {
			list[at].names = append(list[at].names, name)
		}
	}
	for _, r := range rules {
		first := r.steps[0]
		var fixed []finding.Input
		for _, in := range r.inputs() {
			if cells, same := w.cells(r, in); same {
				fixed = append(fixed, in)
			} else {
				add(in.Symbol, in.Unit, cells)
			}
		}
		symbol, result := first.Symbol, series{unit: first.Unit, result: true}
		var from []source.ID
		for _, s := range r.steps {
			if s.Symbol != symbol {
				symbol = ""
			}
			if !slices.Contains(from, s.Source) {
				from = append(from, s.Source)
			}
			result.cells = append(result.cells, w.digits(s.Value))
		}
		result.names = []string{cmp.Or(symbol, r.name)}
		list = append(list, result)
		t.Add(named(symbol, r.name), w.rule(first.Formula, fixed), w.text("packet.working.below", nil), w.cite(from...))
	}
	return w.gridTables(rules[0].of, list)
}

// inputs lists the figures that go into the steps of a rule, each symbol once.
func (r *rule) inputs() []finding.Input {
	var out []finding.Input
	for _, s := range r.steps {
		for _, in := range s.Inputs {
			if !slices.ContainsFunc(out, func(o finding.Input) bool { return sameInput(o, in) }) {
				out = append(out, in)
			}
		}
	}
	return out
}

// sameInput tells whether two inputs are the same figure of two steps.
func sameInput(a, b finding.Input) bool { return a.Symbol == b.Symbol && a.Unit == b.Unit }

// cells prints an input of each step of a rule, and whether it is one figure in all.
func (w writer) cells(r *rule, in finding.Input) (cells []string, same bool) {
	same = true
	for _, s := range r.steps {
		var all []string
		for _, x := range s.Inputs {
			if sameInput(x, in) {
				all = append(all, w.digits(x.Value))
				same = same && x.Value == in.Value
			}
		}
		same = same && len(all) == 1
		cells = append(cells, strings.Join(all, "; "))
	}
	return cells, same
}

// label names a figure, with its unit in brackets.
func (s series) label() string {
	name := strings.Join(s.names, " = ")
	if s.unit != "" {
		name += " (" + s.unit + ")"
	}
	return name
}

// gridTables sets figures over walls, months or ions, whichever way is lower on the paper; what
// is too wide for it is cut into tables one under another.
func (w writer) gridTables(of []string, list []series) []page.Block {
	down, across := gridOf{head: w.say("packet.working.col.of", nil), rows: of}, gridOf{head: w.say("packet.working.col.what", nil), columns: of}
	for i := range of {
		var line []string
		for _, s := range list {
			line = append(line, s.cells[i])
		}
		down.cells = append(down.cells, line)
	}
	for _, s := range list {
		down.columns, across.rows, across.cells = append(down.columns, s.label()), append(across.rows, s.label()), append(across.cells, s.cells)
	}
	down.strong = func(_, column int) bool { return list[column].result }
	across.strong = func(row, _ int) bool { return list[row].result }
	wide, _ := w.paper.Size()
	down.room, down.size = wide-90, 10
	if w.large {
		down.room, down.size = 430, 18
	}
	across.room, across.size = down.room, down.size
	if down.height() <= across.height() {
		return down.tables()
	}
	return across.tables()
}

// gridOf is a grid of figures before it is cut to the width of the page.
type gridOf struct {
	head          string
	rows, columns []string
	cells         [][]string
	strong        func(row, column int) bool
	room, size    draw.Points // of the page, and of the type
}

// gridGutter is the white between two columns.
const gridGutter = 12.5

// parts gives the first columns of the tables into which a grid is cut, and the number of all.
func (g gridOf) parts() []int {
	width := func(s string) draw.Points { return draw.TextWidth(s, g.size, true) }
	widest := func(list []string) (w draw.Points) {
		for _, s := range list {
			w = max(w, width(s))
		}
		return w
	}
	free := g.room - min(widest(g.rows), g.room/4)
	cuts, left := []int{0}, free
	for c, head := range g.columns {
		need := widest(strings.Fields(head))
		for _, row := range g.cells {
			need = max(need, min(width(row[c]), g.room/6))
		}
		if need += gridGutter; left < need && left < free {
			cuts, left = append(cuts, c), free
		}
		left -= need
	}
	return append(cuts, len(g.columns))
}

// height is how many lines the grid takes.
func (g gridOf) height() int { return (len(g.parts()) - 1) * (len(g.rows) + 2) }

func (g gridOf) tables() []page.Block {
	var out []page.Block
	cuts := g.parts()
	for k, from := range cuts[:len(cuts)-1] {
		to := cuts[k+1]
		t := page.Table{Compact: true, Stack: to-from > 2, RowHead: true, Columns: []page.Column{{Title: page.Literal(g.head)}}}
		for _, c := range g.columns[from:to] {
			t.Columns = append(t.Columns, page.Column{Title: page.Literal(c), Align: page.Right})
		}
		for r, label := range g.rows {
			cells := []page.Text{page.Literal(label)}
			for c := from; c < to; c++ {
				cell := page.Literal(g.cells[r][c])
				if g.strong(r, c) {
					cell = page.Bold(g.cells[r][c])
				}
				cells = append(cells, cell)
			}
			t.Add(cells...)
		}
		out = append(out, t)
	}
	return out
}
