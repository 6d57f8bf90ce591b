package cut

import (
	"cmp"
	"context"
	"math"
	"slices"

	"raftwright/unit"
)

// Work that one job may spend, in elementary operations (about 10 s on a slow core), and the share for what comes after least cost.
const (
	jobWork    = 4_000_000_000
	boardsWork = 400_000_000
)

// saw turns a job into a task in whole numbers and its answer back into a plan.
type saw struct {
	job         Job
	kerf        int64 // nanometres
	grid        int64 // nanometres of one step of the task
	t           *task
	kinds       [][]int // pieces (index in job) by kind
	exact       []int64 // usable length and one kerf of each kind of board, nanometres
	boards      []origin
	tooLong     []int // pieces (index in job) that fit no board
	answer      answer
	assumedKerf bool
	fewest      bool // the number of boards is proven least at that cost
	offcut      bool // the largest offcut is proven
	work        *effort
}

// origin says where a kind of board of the task comes from.
type origin struct {
	stock  int // index in Job.Stock or Job.OnHand
	onHand bool
	extra  bool // beyond what the store has
}

func nano(l unit.Length) int64 { return int64(math.Round(float64(l) * 1e9)) }

func length(nm int64) unit.Length { return unit.Length(float64(nm) / 1e9) }

func newSaw(ctx context.Context, j Job) *saw {
	s := &saw{job: j, work: &effort{ctx: ctx, limit: cmp.Or(j.Steps, jobWork)}}
	if j.Kerf == nil {
		s.assumedKerf = true
		k := DefaultKerf
		s.job.Kerf = &k
	}
	s.kerf = nano(*s.job.Kerf)
	s.gather()
	return s
}

// rooms gives the usable length of every board of the job, in the order of origins.
func (s *saw) rooms() (from []origin, room []int64) {
	for i, b := range s.job.Stock {
		if r := nano(b.Length) - nano(s.job.Trim); r > 0 {
			from, room = append(from, origin{stock: i}), append(room, r+s.kerf)
		}
	}
	for i, b := range s.job.OnHand {
		from, room = append(from, origin{stock: i, onHand: true}), append(room, nano(b.Length)+s.kerf)
	}
	return from, room
}

// gather builds the task: pieces of one length become one kind, lengths go onto the coarsest grid that is exact.
func (s *saw) gather() {
	from, room := s.rooms()
	top := int64(0)
	for _, r := range room {
		top = max(top, r)
	}
	order := make([]int, 0, len(s.job.Pieces))
	for i, p := range s.job.Pieces {
		if nano(p.Length)+s.kerf > top {
			s.tooLong = append(s.tooLong, i)
			continue
		}
		order = append(order, i)
	}
	slices.SortStableFunc(order, func(a, b int) int {
		return cmp.Compare(nano(s.job.Pieces[b].Length), nano(s.job.Pieces[a].Length))
	})
	s.t = &task{}
	for _, i := range order {
		p := s.job.Pieces[i]
		w := nano(p.Length) + s.kerf
		if n := len(s.t.width); n == 0 || s.t.width[n-1] != w {
			s.t.width, s.t.need, s.kinds = append(s.t.width, w), append(s.t.need, 0), append(s.kinds, nil)
		}
		n := len(s.t.width) - 1
		s.t.need[n] += int64(p.Count)
		s.kinds[n] = append(s.kinds[n], i)
	}
	for i := range from {
		s.addBoard(from[i], room[i])
	}
	s.rescale()
}

func (s *saw) priced() bool { return len(s.job.Stock) > 0 && s.job.Stock[0].Price > 0 }

func (s *saw) addBoard(f origin, room int64) {
	pieces := s.t.pieces()
	cost, limit := int64(0), pieces
	if f.onHand {
		limit = min(pieces, int64(max(1, s.job.OnHand[f.stock].Count)))
	} else {
		b := s.job.Stock[f.stock]
		switch {
		case s.priced():
			cost = b.Price
		case s.job.ByLength:
			cost = max(1, int64(math.Round(b.Length.Millimetres())))
		default:
			cost = 1
		}
		if b.Count > 0 {
			limit = min(pieces, int64(b.Count))
		}
	}
	if len(s.t.width) == 0 || room < s.t.width[len(s.t.width)-1] {
		limit = 0
	}
	s.t.room, s.t.cost, s.t.limit = append(s.t.room, room), append(s.t.cost, cost), append(s.t.limit, limit)
	s.boards = append(s.boards, f)
}

// rescale divides all lengths by their common factor. Rooms are first rounded down to the factor of the widths:
// no sum of widths reaches the rest.
func (s *saw) rescale() {
	g := int64(0)
	for _, w := range s.t.width {
		g = gcd(g, w)
	}
	s.grid = max(g, 1)
	s.exact = slices.Clone(s.t.room)
	for i := range s.t.width {
		s.t.width[i] /= s.grid
	}
	for k := range s.t.room {
		s.t.room[k] /= s.grid
	}
}

// solve finds least cost, then fewest boards at that cost, then the largest offcut.
func (s *saw) solve() {
	if len(s.t.width) == 0 {
		s.answer = answer{found: true, proven: true}
		s.fewest, s.offcut = true, true
		return
	}
	uses, ok := s.t.first(s.work)
	if !ok {
		s.addExtras()
		uses, _ = s.t.first(s.work)
	}
	s.answer = s.t.below(none, uses, s.work)
	s.fewer()
	s.answer.uses = s.t.trimmed(s.answer.uses)
	if len(s.short()) == 0 {
		s.largest()
	}
}

// addExtras lets the plan buy boards that the store does not have, at a price beyond all others, so
// that the plan can say what is missing.
func (s *saw) addExtras() {
	dear := int64(1)
	for _, c := range s.t.cost {
		dear = max(dear, c)
	}
	dear = dear*s.t.pieces() + 1
	sold := int64(0)
	for k, f := range s.boards {
		if !f.onHand {
			sold = max(sold, s.t.room[k])
		}
	}
	for k := range slices.Clone(s.t.room) {
		f := s.boards[k]
		if f.onHand && s.t.room[k] <= sold || s.t.limit[k] == 0 {
			continue
		}
		f.extra = true
		s.t.room, s.exact = append(s.t.room, s.t.room[k]), append(s.exact, s.exact[k])
		s.t.cost = append(s.t.cost, s.t.cost[k]+dear)
		s.t.limit = append(s.t.limit, s.t.pieces())
		s.boards = append(s.boards, f)
	}
}

// fewer looks for a plan of the same cost with fewer boards.
func (s *saw) fewer() {
	t := s.t
	if !s.answer.found {
		return
	}
	used := int64(0)
	for _, u := range s.answer.uses {
		used += u.times
	}
	s.fewest = true
	if t.sameCost() || !t.canBuyFewer(s.answer.cost, used, s.work.upTo(s.work.limit/20)) {
		return
	}
	next := *t
	next.cost = slices.Repeat([]int64{1}, len(t.room))
	next.side = []sideRow{{by: t.cost, most: s.answer.cost}}
	work := s.work.upTo(boardsWork)
	a := next.below(none, s.answer.uses, work)
	s.work.add(work.spent)
	if a.found && a.cost < used {
		s.answer.uses = a.uses
	}
	s.fewest = a.proven
}

// sameCost says that every board costs the same, so that cost counts boards.
func (t *task) sameCost() bool {
	for k, c := range t.cost {
		if c != t.cost[0] && t.limit[k] > 0 {
			return false
		}
	}
	return true
}

// canBuyFewer says whether any choice of fewer boards than used costs no more than cost and is
// long enough for all pieces end to end. It says yes when the count of choices runs out.
func (t *task) canBuyFewer(cost, used int64, work *effort) bool {
	length := int64(0)
	for i, w := range t.width {
		length += w * t.need[i]
	}
	var walk func(k int, cost, boards, length int64) bool
	walk = func(k int, cost, boards, length int64) bool {
		work.add(4)
		if length <= 0 || work.over() {
			return true
		}
		if k == len(t.room) || boards == 0 {
			return false
		}
		for n := min(boards, t.limit[k]); n >= 0; n-- {
			if n*t.cost[k] <= cost && walk(k+1, cost-n*t.cost[k], boards-n, length-n*t.room[k]) {
				return true
			}
		}
		return false
	}
	return walk(0, cost, used-1, length)
}
