package programme

import (
	"cmp"
	"math"
	"slices"
	"strconv"
	"strings"

	"raftwright/finding"
)

// Grid is a table of counts of people with the totals of its rows and columns, which are printed too.
type Grid struct {
	Rows, Columns []string
	Counts        [][]int
}

// Hidden says of each cell of a grid whether it is hidden.
type Hidden [][]bool

// Cells is the table of single groups as it may be published, and how it was found.
type Cells struct {
	Before Grid   // every group, unjoined: inside only
	Grid   Grid   // groups joined
	Hidden Hidden // nil where no pattern is safe: then the table is not published
	Small  int    // cells of Grid under the threshold
}

// mostCover is how many cells more than the small ones are tried for the fewest.
const mostCover = 4

// small tells whether a count is a secret: 1 to t - 1. Zero is none.
func small(n, t int) bool { return 0 < n && n < t }

// smalls gives the small cells of a grid.
func (g Grid) smalls(t int) (h Hidden, n int) {
	h = make(Hidden, len(g.Counts))
	for i, row := range g.Counts {
		h[i] = make([]bool, len(row))
		for j, v := range row {
			if small(v, t) {
				h[i][j] = true
				n++
			}
		}
	}
	return h, n
}

func (h Hidden) clone() Hidden {
	out := make(Hidden, len(h))
	for i := range h {
		out[i] = slices.Clone(h[i])
	}
	return out
}

// Count counts the hidden cells.
func (h Hidden) Count() (n int) {
	for _, row := range h {
		for _, v := range row {
			if v {
				n++
			}
		}
	}
	return n
}

// Bounds gives the lowest and the highest whole number of a hidden cell that fits all shown cells and totals. The cells of such a
// table are the flows of a network, so that whole numbers are exact.
func (g Grid) Bounds(h Hidden, i, j int) (low, high int) {
	v := g.Counts[i][j]
	return v - g.flow(h, i, j, true, v), v + g.flow(h, i, j, false, 1<<30)
}

// flow gives by how much a hidden cell can fall, or rise, while others make up for it, at most most.
func (g Grid) flow(h Hidden, i, j int, fall bool, most int) int {
	rows := len(g.Counts)
	n := rows + len(g.Columns)
	room := make([][]int, n) // by how much can flow go from a to b: from a row to a column a cell rises, back it falls
	for a := range room {
		room[a] = make([]int, n)
	}
	for a := range h {
		for b, hidden := range h[a] {
			if hidden && (a != i || b != j) {
				room[a][rows+b], room[rows+b][a] = 1<<30, g.Counts[a][b]
			}
		}
	}
	from, to := rows+j, i
	if fall {
		from, to = i, rows+j
	}
	sum := 0
	for sum < most {
		before := path(room, from, to)
		if before == nil {
			break
		}
		step := most - sum
		for b := to; b != from; b = before[b] {
			step = min(step, room[before[b]][b])
		}
		for b := to; b != from; b = before[b] {
			room[before[b]][b] -= step
			room[b][before[b]] += step
		}
		sum += step
	}
	return sum
}

// path gives the node before each on a shortest way through what has room, nil where there is no way.
func path(room [][]int, from, to int) []int {
	before := slices.Repeat([]int{-1}, len(room))
	before[from] = from
	for queue := []int{from}; len(queue) > 0; queue = queue[1:] {
		a := queue[0]
		for b, r := range room[a] {
			if r > 0 && before[b] < 0 {
				before[b] = a
				if b == to {
					return before
				}
				queue = append(queue, b)
			}
		}
	}
	return nil
}

// Safe tells whether every small hidden cell can still be the threshold or more, and is not known exactly, as seen from
// outside; else it gives the first that cannot.
func (g Grid) Safe(h Hidden, t int) (ok bool, i, j int) {
	for i, row := range g.Counts {
		for j, v := range row {
			if !h[i][j] || !small(v, t) {
				continue
			}
			if low, high := g.Bounds(h, i, j); high < t || low == high {
				return false, i, j
			}
		}
	}
	return true, 0, 0
}

// search looks for the fewest cells to hide, and among these for the least count.
type search struct {
	g     Grid
	t     int
	seen  map[string]bool
	left  int // nodes that it may still look at
	best  Hidden
	count int
}

// Cover gives the pattern that hides the fewest cells, at most so many more than the small ones, and of these the one that
// hides the least count; nil where there is none.
func (g Grid) Cover(t, most int) Hidden {
	h, n := g.smalls(t)
	if n == 0 {
		return h
	}
	s := &search{g: g, t: t, left: 60000}
	for k := 0; k <= most && s.best == nil && s.left > 0; k++ {
		s.seen = map[string]bool{}
		s.try(h, k)
	}
	return s.best
}

func (s *search) try(h Hidden, more int) {
	key := h.key()
	if s.seen[key] || s.left <= 0 {
		return
	}
	s.seen[key] = true
	rows, columns := s.alone(h)
	if max(len(rows), len(columns)) > more {
		return
	}
	if len(rows)+len(columns) == 0 {
		s.left--
		if ok, _, _ := s.g.Safe(h, s.t); ok {
			if n := s.g.covered(h); s.best == nil || n < s.count {
				s.best, s.count = h.clone(), n
			}
			return
		}
	}
	if more == 0 {
		return
	}
	for a, row := range s.g.Counts {
		for b, v := range row {
			switch {
			case v < s.t || h[a][b]:
				continue
			case len(rows) > 0 && a != rows[0], len(rows) == 0 && len(columns) > 0 && b != columns[0]:
				continue
			}
			h[a][b] = true
			s.try(h, more-1)
			h[a][b] = false
		}
	}
}

// alone gives the rows and columns in which a small cell is hidden alone: the totals tell it.
func (s *search) alone(h Hidden) (rows, columns []int) {
	inColumn, smallIn := make([]int, len(s.g.Columns)), make([]bool, len(s.g.Columns))
	for i, row := range h {
		n, secret := 0, false
		for j, hidden := range row {
			if hidden {
				n++
				inColumn[j]++
				if small(s.g.Counts[i][j], s.t) {
					secret, smallIn[j] = true, true
				}
			}
		}
		if n == 1 && secret {
			rows = append(rows, i)
		}
	}
	for j, n := range inColumn {
		if n == 1 && smallIn[j] {
			columns = append(columns, j)
		}
	}
	return rows, columns
}

func (g Grid) covered(h Hidden) (n int) {
	for i, row := range h {
		for j, hidden := range row {
			if hidden {
				n += g.Counts[i][j]
			}
		}
	}
	return n
}

func (h Hidden) key() string {
	var b strings.Builder
	for _, row := range h {
		for _, v := range row {
			if v {
				b.WriteByte('1')
			} else {
				b.WriteByte('0')
			}
		}
	}
	return b.String()
}

// Protect gives a safe pattern, if need be with more than the fewest; nil where hiding every cell is not safe either.
func (g Grid) Protect(t int) Hidden {
	if h := g.Cover(t, mostCover); h != nil {
		return h
	}
	h, _ := g.smalls(t)
	for {
		ok, i, j := g.Safe(h, t)
		if ok {
			return h
		}
		a, b := g.next(h, t, i, j)
		if a < 0 {
			return nil
		}
		h[a][b] = true
	}
}

// next gives the smallest cell that can serve as cover: in the row of an unsafe one where it stands alone, else in its
// column, else anywhere.
func (g Grid) next(h Hidden, t, i, j int) (row, column int) {
	row, column = -1, -1
	rank := func(a, b int) int {
		inRow, inColumn := 0, 0
		for k := range h[i] {
			if h[i][k] {
				inRow++
			}
		}
		for k := range h {
			if h[k][j] {
				inColumn++
			}
		}
		switch {
		case inRow < 2 && a == i, inRow >= 2 && inColumn < 2 && b == j:
			return 0
		case a == i || b == j:
			return 1
		}
		return 2
	}
	for a, cells := range g.Counts {
		for b, v := range cells {
			if h[a][b] || v < t {
				continue
			}
			if row < 0 || cmp.Or(cmp.Compare(rank(a, b), rank(row, column)), cmp.Compare(v, g.Counts[row][column])) < 0 {
				row, column = a, b
			}
		}
	}
	return row, column
}

// join joins the groups whose total is small into "other or several groups"; where that is still small, the least kept
// group joins too. The last column is unknown and stays.
func (g Grid) join(t int) Grid {
	last := len(g.Columns) - 1
	total := make([]int, len(g.Columns))
	for _, row := range g.Counts {
		for j, v := range row {
			total[j] += v
		}
	}
	var keep []int
	joined := 0
	for j := range last - 1 {
		if total[j] >= t {
			keep = append(keep, j)
		} else {
			joined += total[j]
		}
	}
	joined += total[last-1] // more than one group
	for len(keep) > 0 && small(joined, t) {
		least := slices.MinFunc(keep, func(a, b int) int { return cmp.Compare(total[a], total[b]) })
		joined += total[least]
		keep = slices.DeleteFunc(keep, func(j int) bool { return j == least })
	}
	out := Grid{Rows: g.Rows}
	for _, j := range keep {
		out.Columns = append(out.Columns, g.Columns[j])
	}
	out.Columns = append(out.Columns, joinedNames, g.Columns[last])
	for _, row := range g.Counts {
		cells, rest := []int(nil), 0
		for j, v := range row[:last] {
			if slices.Contains(keep, j) {
				cells = append(cells, v)
			} else {
				rest += v
			}
		}
		out.Counts = append(out.Counts, append(cells, rest, row[last]))
	}
	return out
}

// cells makes the table of single groups fit to be published.
func (r *Report) cells() {
	t := r.Funder.Threshold
	g := Grid{r.Took.Counties, r.Took.Columns, r.Took.Single}
	_, n := g.smalls(t)
	totals := 0
	for j := range g.Columns {
		sum := 0
		for _, row := range g.Counts {
			sum += row[j]
		}
		if small(sum, t) {
			totals++
		}
	}
	r.count("L", "small_cells", "", All, Count, n, nil)
	r.count("L", "small_totals", "", All, Count, totals, nil)
	joined := g.join(t)
	r.word("L", "published_columns", "", All, strings.Join(joined.Columns, " / "), nil)
	for i, county := range joined.Rows {
		r.count("L", "joined: ", joinedNames, county, People, joined.Counts[i][len(joined.Columns)-2], nil)
	}
	_, n = joined.smalls(t)
	r.count("L", "small_cells_after_joining", "", All, Count, n, nil)
	if few := joined.Cover(t, mostCover); few != nil {
		r.count("L", "fewest_hidden_cells", "", All, Count, few.Count(), nil)
	} else {
		r.withheld("L", "fewest_hidden_cells", "", Word, unsafeNames, whyUnsafe, finding.Args{"Count": mostCover})
	}
	r.Cells = Cells{Before: g, Grid: joined, Hidden: joined.Protect(t), Small: n}
}

// Verdicts on parity.
var parityNames = [...]string{"reached", "not reached", "cannot be told"}

// Parity is how a group's share among those met stands to its share of the audience.
type Parity struct {
	Audience
	Low, High float64 // of those met: if none and if all of the unknown belong to the group
	Need      float64
	Verdict   string
}

// parity tells for each county and group whether its share reaches so much of its share of the audience as the rules ask. Unknowns make
// a range: only where all of it lies on one side is there a verdict.
func (r *Report) parity() {
	g, percent := r.Cells.Before, strconv.FormatFloat(math.Round(1000*r.by.part)/10, 'f', -1, 64)
	for k, a := range r.stood.Audience {
		i, j := slices.Index(g.Rows, a.County), slices.Index(groupNames, a.Group)
		if i < 0 || j < 0 || a.Share.Float() < r.by.share {
			continue
		}
		n := 0
		for _, v := range g.Counts[i] {
			n += v
		}
		if n == 0 {
			continue
		}
		low, high, verdict := parityOf(n, g.Counts[i][j], g.Counts[i][len(groupNames)+1], a.Share.Float()*r.by.part)
		r.Parity = append(r.Parity, Parity{a, low, high, a.Share.Float() * r.by.part, verdict})
		r.word("D", parityOfNames[0]+percent+parityOfNames[1], a.Group, a.County, verdict, []Ref{inAudience(k)})
	}
}

// parityOf gives the share of a group among those met, if none and if all of the unknown belong to it, and whether it
// reaches the share that is needed.
func parityOf(met, in, unknown int, need float64) (low, high float64, verdict string) {
	low, high = float64(in)/float64(met), float64(in+unknown)/float64(met)
	switch need -= 1e-9; { // what is just enough is enough, however a share is written in binary
	case low >= need:
		return low, high, parityNames[0]
	case high < need:
		return low, high, parityNames[1]
	}
	return low, high, parityNames[2]
}

// region joins rows until no row and no joined row has a small total.
func (before Grid) region(t int) Grid {
	g := Grid{Columns: before.Columns}
	type line struct {
		county string
		cells  []int
		n      int
	}
	var lines []line
	for i, county := range before.Rows {
		l := line{county: county, cells: before.Counts[i]}
		for _, v := range l.cells {
			l.n += v
		}
		lines = append(lines, l)
	}
	joined := line{county: others, cells: make([]int, len(g.Columns))}
	for joined.n > 0 && joined.n < t || slices.ContainsFunc(lines, func(l line) bool { return small(l.n, t) }) {
		least := -1
		for i, l := range lines {
			if l.n > 0 && (least < 0 || l.n < lines[least].n) {
				least = i
			}
		}
		if least < 0 {
			break
		}
		joined.n += lines[least].n
		for j, v := range lines[least].cells {
			joined.cells[j] += v
		}
		lines = slices.Delete(lines, least, least+1)
	}
	if joined.n > 0 {
		lines = append(lines, joined)
	}
	for _, l := range lines {
		g.Rows, g.Counts = append(g.Rows, l.county), append(g.Counts, l.cells)
	}
	return g
}
