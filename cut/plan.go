package cut

import (
	"cmp"
	"slices"

	"raftwright/internal/inorder"
	"raftwright/unit"
)

// plan turns the answer back into lengths and names.
func (s *saw) plan() Plan {
	p := Plan{Kerf: *s.job.Kerf, Trim: s.job.Trim, Priced: s.priced(), ByLength: s.job.ByLength && !s.priced()}
	p.Boards = s.namedBoards()
	buy := make([]int, len(s.job.Stock))
	var pieces, all int64
	for _, u := range s.answer.uses {
		f := s.boards[u.board]
		if f.onHand {
			p.Used += int(u.times)
		} else {
			buy[f.stock] += int(u.times)
		}
	}
	for i, n := range buy {
		if n > 0 {
			p.Purchase = append(p.Purchase, Purchase{s.job.Stock[i], n})
			p.Bought += n
			p.Price += int64(n) * s.job.Stock[i].Price
		}
	}
	for _, b := range p.Boards {
		all += nano(b.Stock) * int64(b.Repeat)
		for _, c := range b.Cuts {
			pieces += nano(c.Length) * int64(b.Repeat)
		}
		p.LargestOffcut = max(p.LargestOffcut, b.Offcut)
	}
	p.Waste = length(all - pieces)
	if all > 0 {
		p.WasteShare = unit.Fraction(float64(all-pieces) / float64(all))
	}
	p.bounds = bounds{total: s.answer.relaxed, work: s.work.spent}
	for i, w := range s.answer.worth {
		p.bounds.worth = append(p.bounds.worth, pieceWorth{s.job.Pieces[s.kinds[i][0]].Length, s.t.need[i], w})
	}
	s.judge(&p)
	return p
}

// judge fills in the proof and the findings.
func (s *saw) judge(p *Plan) {
	short := s.short()
	p.LowerBound = s.answer.bound
	p.Optimal = s.answer.proven && s.fewest
	p.OffcutProven = p.Optimal && s.offcut
	if len(short) > 0 {
		// the cost of boards that are not there is not a price; what is bought is the bound's only meaning left
		p.Optimal, p.OffcutProven, p.LowerBound = false, false, 0
	}
	for _, i := range s.tooLong {
		p.Missing = append(p.Missing, s.job.Pieces[i])
		p.Optimal = false
	}
	p.Findings = s.findings(*p, short)
	p.Assumptions = s.assumptions()
}

// namedBoards gives every use its cuts with the names of the pieces. Pieces of one length may
// have several names; boards that differ in names are apart.
func (s *saw) namedBoards() []Board {
	left := make([][]int64, len(s.kinds))
	for k, list := range s.kinds {
		for _, i := range list {
			left[k] = append(left[k], int64(s.job.Pieces[i].Count))
		}
	}
	var out []Board
	for _, u := range s.ordered() {
		for u.times > 0 {
			b, times := s.named(u, left)
			u.times -= times
			b.Repeat = int(times)
			out = append(out, b)
		}
	}
	return out
}

// ordered sorts uses for the saw: sold boards by the order of the job, then those on hand; the most repeated first.
func (s *saw) ordered() []use {
	uses := slices.Clone(s.answer.uses)
	inorder.Put(uses, func(a, b use) int {
		fa, fb := s.boards[a.board], s.boards[b.board]
		if c := cmp.Compare(boolInt(fa.onHand), boolInt(fb.onHand)); c != 0 {
			return c
		}
		if c := cmp.Compare(fa.stock, fb.stock); c != 0 {
			return c
		}
		if c := cmp.Compare(b.times, a.times); c != 0 {
			return c
		}
		return cmp.Compare(s.t.filled(b.takes), s.t.filled(a.takes))
	})
	return uses
}

func boolInt(b bool) int {
	if b {
		return 1
	}
	return 0
}

// named gives names to as many boards of a use as can have the same ones.
func (s *saw) named(u use, left [][]int64) (Board, int64) {
	b := s.bare(u.board)
	times := u.times
	type part struct {
		kind, name int
		n          int64
	}
	var parts []part
	for _, k := range u.takes {
		want := k.n
		for name := range left[k.kind] {
			n := min(want, left[k.kind][name])
			if n == 0 {
				continue
			}
			if n == want && want == k.n {
				times = min(times, left[k.kind][name]/n) // one name fills the kind: repeat while it lasts
			} else {
				times = 1
			}
			parts = append(parts, part{k.kind, name, n})
			if want -= n; want == 0 {
				break
			}
		}
	}
	filled := int64(0)
	for _, p := range parts {
		left[p.kind][p.name] -= p.n * times
		piece := s.job.Pieces[s.kinds[p.kind][p.name]]
		for range p.n {
			b.Cuts = append(b.Cuts, Cut{piece.Name, piece.Length})
			filled += nano(piece.Length)
		}
	}
	kerfs := int64(len(b.Cuts)) * s.kerf
	b.Waste = length(nano(b.Stock) - filled)
	usable := nano(b.Stock)
	if !b.OnHand {
		usable -= nano(s.job.Trim)
	}
	b.Offcut = length(max(0, usable-filled-kerfs))
	return b, times
}

func (s *saw) bare(board int) Board {
	f := s.boards[board]
	if f.onHand {
		b := s.job.OnHand[f.stock]
		return Board{Name: b.Name, Stock: b.Length, OnHand: true}
	}
	b := s.job.Stock[f.stock]
	return Board{Name: b.Name, Stock: b.Length, Price: b.Price}
}
