package packet

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

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
		d.Sections = append(d.Sections, w.sections(c.sections)...)
		if c.id == "" {
			continue
		}
		if blocks := w.sums(w.p.Working(c.part)); len(blocks) > 0 {
			d.Sections = append(d.Sections, page.Section{ID: "sums-" + c.id, Title: w.say("packet.sums."+c.id, nil), Blocks: blocks})
		}
	}
	d.Sections = append(d.Sections, w.sections([]string{"source"})...)
	for i := range d.Sections {
		d.Sections[i].NewPage = false
		if !w.large {
			d.Sections[i].Blocks = smaller(d.Sections[i].Blocks)
		}
	}
	return d
}

// smaller sets drawings at three quarters of their height: who checks figures wants them in sight,
// and builds from the faces.
func smaller(blocks []page.Block) []page.Block {
	out := slices.Clone(blocks)
	for i, b := range out {
		switch b := b.(type) {
		case page.Figure:
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
	for i := 0; i < len(rules); {
		to := i + 1
		if len(rules[i].steps) == 1 {
			s := rules[i].steps[0]
			t.Add(named(s.Symbol, s.Name), w.rule(s.Formula, s.Inputs), w.figured(s.Value, s.Unit), w.cite(s.Source))
			i = to
			continue
		}
		for to < len(rules) && slices.Equal(rules[to].of, rules[i].of) {
			to++
		}
		g := w.grid(rules[i:to], &t)
		out = append(out, t)
		out = append(out, g...)
		t, i = w.ruleTable(), to
	}
	if len(t.Rows) > 0 {
		out = append(out, t)
	}
	return out
}

func (w writer) ruleTable() page.Table {
	t := page.Table{Compact: true, Columns: w.columns("packet.working.col.what", "packet.working.col.formula", "+packet.working.col.value", "packet.working.col.source")}
	t.Weigh(3, 5, 1.5, 0.8)
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
	return page.Literal(strings.TrimSpace(w.words.Number(value) + " " + unit))
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

// series is a figure that differs from step to step: a line of a grid.
type series struct {
	label  string
	cells  []string
	result bool
}

// grid adds the rules to their table, with what is the same in all steps, and sets what differs
// as a grid of its own.
func (w writer) grid(rules []*rule, t *page.Table) []page.Block {
	var list []series
	add := func(s series) {
		same := func(o series) bool { return o.label == s.label && slices.Equal(o.cells, s.cells) }
		if s.result || !slices.ContainsFunc(list, same) {
			list = append(list, s)
		}
	}
	for _, r := range rules {
		first := r.steps[0]
		var fixed []finding.Input
		for _, in := range r.inputs() {
			if cells, same := w.cells(r, in); same {
				fixed = append(fixed, in)
			} else {
				add(series{label: headed(in.Symbol, in.Unit), cells: cells})
			}
		}
		symbol, result := first.Symbol, series{result: true}
		var from []source.ID
		for _, s := range r.steps {
			if s.Symbol != symbol {
				symbol = ""
			}
			if !slices.Contains(from, s.Source) {
				from = append(from, s.Source)
			}
			result.cells = append(result.cells, w.words.Number(s.Value))
		}
		result.label = headed(cmp.Or(symbol, r.name), first.Unit)
		add(result)
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
				all = append(all, w.words.Number(x.Value))
				same = same && x.Value == in.Value
			}
		}
		same = same && len(all) == 1
		cells = append(cells, strings.Join(all, "; "))
	}
	return cells, same
}

// headed gives a figure its unit in brackets.
func headed(symbol, unit string) string {
	if unit != "" {
		symbol += " (" + unit + ")"
	}
	return symbol
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
		down.columns, across.rows, across.cells = append(down.columns, s.label), append(across.rows, s.label), append(across.cells, s.cells)
	}
	down.strong = func(_, column int) bool { return list[column].result }
	across.strong = func(row, _ int) bool { return list[row].result }
	room := float64(gridRoom)
	if w.large {
		room = gridRoomLarge
	}
	if down.height(room) <= across.height(room) {
		return down.tables(room)
	}
	return across.tables(room)
}

// gridRoom is the width of a page in letters of a table, gridRoomLarge in large print; gutter
// is what lies between two columns.
const (
	gridRoom      = 92
	gridRoomLarge = 44
	gridGutter    = 2.6
)

// gridOf is a grid of figures before it is cut to the width of the page.
type gridOf struct {
	head          string
	rows, columns []string
	cells         [][]string
	strong        func(row, column int) bool
}

// parts gives the first columns of the tables into which a grid is cut, and the number of all.
func (g gridOf) parts(room float64) []int {
	label := 0
	for _, r := range g.rows {
		label = max(label, len([]rune(r)))
	}
	free := room - min(float64(label), room/3)
	cuts, left := []int{0}, free
	for c, head := range g.columns {
		wide := 0
		for _, word := range strings.Fields(head) {
			wide = max(wide, len([]rune(word)))
		}
		for r := range g.rows {
			wide = max(wide, min(len([]rune(g.cells[r][c])), 16))
		}
		need := float64(wide) + gridGutter
		if left < need && left < free {
			cuts, left = append(cuts, c), free
		}
		left -= need
	}
	return append(cuts, len(g.columns))
}

// height is how many lines the grid takes.
func (g gridOf) height(room float64) int { return (len(g.parts(room)) - 1) * (len(g.rows) + 2) }

func (g gridOf) tables(room float64) []page.Block {
	var out []page.Block
	cuts := g.parts(room)
	for k, from := range cuts[:len(cuts)-1] {
		to := cuts[k+1]
		t := page.Table{Compact: true, RowHead: true, Columns: []page.Column{{Title: page.Literal(g.head)}}}
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
