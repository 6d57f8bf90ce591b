package packet

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"raftwright/cut"
	"raftwright/draw"
	"raftwright/finding"
	"raftwright/frame"
	"raftwright/page"
	"raftwright/plan"
	"raftwright/raft"
	"raftwright/unit"
)

// On a page each hole, board, month and week of a drawing, and each sentence of what was noticed, leads to where it comes from.

// trace tells where a part of a drawing or a sentence comes from.
type trace struct {
	title string
	tells []page.Block   // what it is, as the drawing says it
	steps []finding.Step // how it is found
	rests []string       // the IDs of the figures that it rests on
	all   []page.Block   // its neighbours, each a door
}

// traces find the trace of a part by the beginning of its ID; the numbers behind it say which.
var traces = map[string]func(w writer, n []int) (trace, bool){
	"raft.hole":    writer.holeTrace,
	"raft.young":   writer.youngTrace,
	"cut.piece":    writer.pieceTrace,
	"cut.left":     writer.leftTrace,
	"frame.wood":   writer.woodTrace,
	"season.month": writer.monthTrace,
	"season.week":  writer.weekTrace,
}

// traced gives where the part of an ID comes from.
func (w writer) traced(id string) (trace, bool) {
	if name, ok := strings.CutPrefix(id, "finding."); ok {
		return w.findingTrace(name)
	}
	parts := strings.Split(id, "_")
	make := traces[parts[0]]
	if make == nil || len(parts) < 2 {
		return trace{}, false
	}
	var n []int
	for _, s := range parts[1:] {
		x, err := strconv.Atoi(s)
		if err != nil || x < 0 || strconv.Itoa(x) != s {
			return trace{}, false
		}
		n = append(n, x)
	}
	return make(w, n)
}

// partID names a part: "raft.hole_1_12".
func partID(kind string, n ...int) string {
	for _, x := range n {
		kind += "_" + strconv.Itoa(x)
	}
	return kind
}

// opensPart makes a door of items of a drawing, on a page; on paper they stand as they are.
func (w writer) opensPart(id, name string, reach unit.Length, items ...draw.Item) []draw.Item {
	if w.doors == nil {
		return items
	}
	return []draw.Item{draw.Group{Door: draw.Door{Of: id, Name: name}, Reach: reach, Items: items}}
}

// partDoor makes a door of words, on a page.
func (w writer) partDoor(id string, text page.Text) page.Text {
	if w.doors == nil {
		return text
	}
	return page.Door(id, text)
}

// traceOf makes the document of a trace.
func (w writer) traceOf(t trace) (blocks []page.Block, rests []Worked) {
	blocks = append(blocks, t.tells...)
	blocks = append(blocks, w.sums(t.steps)...)
	blocks = append(blocks, t.all...)
	if len(w.cites.ids) > 0 {
		blocks = append(append(blocks, w.heading("packet.source.title")), w.sources()...)
	}
	known := Short(w.p, w.words, t.rests...)
	for _, id := range t.rests {
		if f, ok := known[id]; ok {
			rests = append(rests, f)
		}
	}
	return blocks, rests
}

// sheetOf is a kind of sheet with holes, and how they are named.
type sheetOf struct {
	raft.Layout
	spacing unit.Length
	edge    unit.Length
	id      string // of its holes, without their numbers
	kind    string // A, B, ...; "" where there is one kind
}

func (w writer) kindOfSheet(kind int) sheetOf {
	r := w.p.Raft
	s := sheetOf{Layout: r.Layouts[kind], spacing: r.Job.Spacing, edge: r.Job.Edge, id: partID("raft.hole", kind+1)}
	if len(r.Layouts) > 1 {
		s.kind = kindName(kind)
	}
	return s
}

func (w writer) youngSheet() sheetOf {
	r := w.p.Raft
	return sheetOf{Layout: r.Nursery.Layout, spacing: r.Job.NurserySpacing, edge: r.Nursery.Layout.LeastEdge, id: "raft.young"}
}

// holeName says which hole it is and where its middle stands on the tape.
func (w writer) holeName(s sheetOf, h raft.GuideHole) string {
	return w.say("packet.trace.hole", finding.Args{"Number": h.Number, "Kind": s.kind, "X": w.mark(h.X), "Y": w.mark(h.Y)})
}

// holeDoor makes a door of a hole of a drawing. A finger may miss it by half of the way to the next, or to the rim.
func (w writer) holeDoor(s sheetOf, h raft.GuideHole, hole unit.Length, items ...draw.Item) []draw.Item {
	x, y := h.X.Exact, h.Y.Exact
	reach := max(hole/2, min(max(s.LeastSpacing, hole)/2, x, y, s.Size.X-x, s.Size.Y-y))
	return w.opensPart(partID(s.id, h.Number), w.holeName(s, h), reach, items...)
}

func (w writer) holeTrace(n []int) (trace, bool) {
	if len(n) != 2 || w.p.Raft == nil || n[0] < 1 || n[0] > len(w.p.Raft.Layouts) {
		return trace{}, false
	}
	return w.hole(w.kindOfSheet(n[0]-1), n[1])
}

func (w writer) youngTrace(n []int) (trace, bool) {
	if len(n) != 1 || w.p.Raft == nil || w.p.Raft.Nursery == nil {
		return trace{}, false
	}
	return w.hole(w.youngSheet(), n[0])
}

// hole tells where a hole is marked, why there, and where all of its sheet are.
func (w writer) hole(s sheetOf, number int) (trace, bool) {
	if number < 1 || number > len(s.Positions) {
		return trace{}, false
	}
	guide := s.Guide(s.spacing, s.edge)
	t := trace{title: w.holeName(s, guide.Holes[number-1]), steps: s.WorkingOf(number, s.spacing), rests: []string{"raft.width", "raft.length", "raft.radius", "raft.holes", "raft.spacing", "raft.edge"}}
	h := guide.Holes[number-1]
	t.tells = []page.Block{w.para("packet.trace.hole_says", finding.Args{"X": w.mark(h.X), "Y": w.mark(h.Y), "Round": s.Round})}
	all := page.Table{Caption: w.text("packet.raft.marks", nil), Compact: true, RowHead: true, Columns: w.columns("+packet.raft.col.hole", "+packet.raft.col.x", "+packet.raft.col.y")}
	for _, h := range guide.Holes {
		mark := page.Text(fmt.Sprint(h.Number))
		if h.Number != number {
			mark = w.partDoor(partID(s.id, h.Number), mark)
		}
		all.Add(mark, page.Text(w.mark(h.X)), page.Text(w.mark(h.Y)))
	}
	t.all = []page.Block{all}
	return t, true
}

// bar is a board of the cutting plan as it is drawn.
type bar struct {
	cut.Board
	size string
	plan cut.Plan
}

// bars lists the boards of the cutting plan in the order in which they are drawn.
func bars(b *plan.Boards) (out []bar) {
	if b == nil {
		return nil
	}
	for _, j := range b.Jobs {
		for _, x := range j.Plan.Boards {
			out = append(out, bar{x, j.Size, j.Plan})
		}
	}
	return out
}

// pieceName says which piece of a board it is, as the bar says it.
func (w writer) pieceName(c cut.Cut) string {
	return strings.TrimSpace(letterOf(c) + " " + w.piece(c.Name) + " " + w.label(c.Length))
}

// barOf gives a bar by its number from 1.
func (w writer) barOf(n int) (bar, bool) {
	all := bars(w.p.Boards)
	if n < 1 || n > len(all) {
		return bar{}, false
	}
	return all[n-1], true
}

// trim is what is taken off a board before its first piece.
func (b bar) trim() unit.Length {
	if b.OnHand {
		return 0
	}
	return b.plan.Trim
}

func mm(symbol string, l unit.Length) finding.Input {
	return finding.In(symbol, l.Millimetres(), "mm")
}

func (w writer) pieceTrace(n []int) (trace, bool) {
	if len(n) != 2 {
		return trace{}, false
	}
	b, ok := w.barOf(n[0])
	if !ok || n[1] < 1 || n[1] > len(b.Cuts) {
		return trace{}, false
	}
	c := b.Cuts[n[1]-1]
	before := unit.Length(0)
	for _, x := range b.Cuts[:n[1]-1] {
		before += x.Length
	}
	k := unit.Length(n[1] - 1)
	t := trace{title: w.pieceName(c), rests: []string{"cut.need", "cut.waste", "cut.offcut", "cut.boards"}}
	t.tells = []page.Block{w.para("packet.trace.piece", finding.Args{"Length": c.Length, "Board": w.boardName(b.Board, b.size), "Number": n[1], "Count": len(b.Cuts), "Kerf": b.plan.Kerf})}
	work := &finding.Working{Steps: w.lengthOf(c)}
	at := b.trim() + before + k*b.plan.Kerf
	work.Add("x", "work.cut.starts", "t + sum l + (i - 1) k", at.Millimetres(), "mm", "own", mm("t", b.trim()), mm("sum l", before), finding.In("i", float64(n[1]), ""), mm("k", b.plan.Kerf))
	work.Add("", "work.cut.ends", "x + l", (at + c.Length).Millimetres(), "mm", "own", mm("x", at), mm("l", c.Length))
	t.steps, t.all = work.Steps, w.barTable(n[0], n[1], b)
	return t, true
}

// lengthOf derives the length of a piece of the frame; a piece of the user's own is as long as they said.
func (w writer) lengthOf(c cut.Cut) []finding.Step {
	if w.p.Frame != nil {
		for i, s := range w.p.Frame.WorkingOf() {
			if p := w.p.Frame.Pieces[i]; p.Role.String() == c.Name && math.Abs(float64(p.Length-c.Length)) < 1e-6 {
				return []finding.Step{s}
			}
		}
	}
	return []finding.Step{{Symbol: "l", Name: "work.frame.piece", Formula: "work.cut.asked_how", Value: c.Length.Millimetres(), Unit: "mm", Source: "own"}}
}

func (w writer) leftTrace(n []int) (trace, bool) {
	if len(n) != 1 {
		return trace{}, false
	}
	b, ok := w.barOf(n[0])
	if !ok {
		return trace{}, false
	}
	t := trace{title: w.say("packet.cut.left", finding.Args{"Length": b.Offcut}), rests: []string{"cut.offcut", "cut.waste", "cut.share"}, all: w.barTable(n[0], 0, b)}
	t.tells = []page.Block{w.para("packet.trace.left", finding.Args{"Length": b.Offcut, "Board": w.boardName(b.Board, b.size)})}
	sum := b.Stock - b.Waste
	work := &finding.Working{}
	work.Add("offcut", "work.cut.offcut", "max(0, L - t - sum l - n k)", b.Offcut.Millimetres(), "mm", "own", mm("L", b.Stock), mm("t", b.trim()), mm("sum l", sum), finding.In("n", float64(len(b.Cuts)), ""), mm("k", b.plan.Kerf))
	t.steps = work.Steps
	return t, true
}

// barTable lists the cuts of a board in their order, each a door but the one that is shown.
func (w writer) barTable(number, shown int, b bar) []page.Block {
	t := page.Table{Caption: page.Literal(w.boardName(b.Board, b.size)), Compact: true, RowHead: true, Columns: w.columns("packet.trace.col.piece", "+packet.trace.col.start", "+packet.trace.col.length")}
	at := b.trim()
	for i, c := range b.Cuts {
		name := page.Literal(strings.TrimSpace(letterOf(c) + " " + w.piece(c.Name)))
		if i+1 != shown {
			name = w.partDoor(partID("cut.piece", number, i+1), name)
		}
		t.Add(name, w.value(at), w.value(c.Length))
		at += c.Length + b.plan.Kerf
	}
	if b.Offcut > 0 {
		name := w.text("packet.trace.rest", nil)
		if shown != 0 {
			name = w.partDoor(partID("cut.left", number), name)
		}
		t.Add(name, w.value(b.Stock-b.Offcut), w.value(b.Offcut))
	}
	return []page.Block{t}
}

// woodDoor makes a door of a board of the frame, named as the drawing names it.
func (w writer) woodDoor(r frame.Role, p draw.Path) []draw.Item {
	if !slices.ContainsFunc(w.p.Frame.Pieces, func(p frame.Piece) bool { return p.Role == r }) {
		return []draw.Item{p}
	}
	return w.opensPart(partID("frame.wood", int(r)), w.woodName(r), 0, p)
}

// woodName names the pieces of a kind with their length.
func (w writer) woodName(r frame.Role) string {
	var long []string
	for _, p := range w.p.Frame.Pieces {
		if l := w.label(p.Length); p.Role == r && !slices.Contains(long, l) {
			long = append(long, l)
		}
	}
	return strings.TrimSpace(letters[r]+" "+w.say(string(r.Word()), nil)) + ": " + w.words.Join(long)
}

func (w writer) woodTrace(n []int) (trace, bool) {
	if len(n) != 1 || w.p.Frame == nil || n[0] > int(frame.BattenPiece) {
		return trace{}, false
	}
	role := frame.Role(n[0])
	t := trace{title: w.woodName(role), rests: []string{"frame.surface", "frame.width", "frame.spacing"}}
	for i, s := range w.p.Frame.WorkingOf() {
		if p := w.p.Frame.Pieces[i]; p.Role == role {
			t.steps = append(t.steps, s)
			t.tells = append(t.tells, w.para("packet.trace.wood", finding.Args{"Count": p.Count, "Size": p.Size.String(), "Length": p.Length}))
		}
	}
	from := page.Table{Caption: w.text("packet.trace.sawn", nil), Compact: true, RowHead: true, Columns: w.columns("packet.trace.col.board", "packet.trace.col.piece")}
	for i, b := range bars(w.p.Boards) {
		for k, c := range b.Cuts {
			if c.Name == role.String() {
				from.Add(page.Literal(w.boardName(b.Board, b.size)), w.partDoor(partID("cut.piece", i+1, k+1), page.Literal(w.pieceName(c))))
			}
		}
	}
	if len(from.Rows) > 0 {
		t.all = []page.Block{from}
	}
	return t, len(t.steps) > 0
}
