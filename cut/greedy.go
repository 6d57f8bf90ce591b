package cut

import "slices"

// greedy completes a plan for the pieces still needed by simple rules: fill boards with the largest pieces
// first, or as full as can be, on the board that costs least for what it holds. need and limit
// are used up. It reports false when boards ran out.
func (t *task) greedy(need, limit []int64, fill *filler) ([]use, bool) {
	var out []use
	for {
		first := slices.IndexFunc(need, func(n int64) bool { return n > 0 })
		if first < 0 {
			break
		}
		best, rate := pattern{board: -1}, 0.0
		for k, room := range t.room {
			if limit[k] == 0 || room < t.width[first] {
				continue
			}
			p := pattern{board: k, takes: t.largestFirst(need, room)}
			if fill != nil {
				p.takes = t.fullest(need, first, k, fill)
			}
			// at the end of the job only what is really cut counts
			r := (float64(t.cost[k]) + 1e-9*float64(room)) / float64(t.filled(p.takes))
			if best.board < 0 || r < rate {
				best, rate = p, r
			}
		}
		if best.board < 0 {
			return out, false
		}
		times := limit[best.board]
		for _, k := range best.takes {
			times = min(times, need[k.kind]/k.n)
		}
		limit[best.board] -= times
		for _, k := range best.takes {
			need[k.kind] -= k.n * times
		}
		out = append(out, use{best, times})
	}
	return merged(out), true
}

func (t *task) largestFirst(need []int64, room int64) []take {
	var takes []take
	for i, w := range t.width {
		if n := min(need[i], room/w); n > 0 {
			takes = append(takes, take{i, n})
			room -= n * w
		}
	}
	return takes
}

// fullest fills a board as full as can be, the largest piece left included.
func (t *task) fullest(need []int64, first, board int, fill *filler) []take {
	need[first]--
	fill.set(t.width, need)
	found, _, _ := fill.within(board, t.room[board]-t.width[first], 0)
	need[first]++
	takes := []take{{first, 1}}
	if len(found) > 0 {
		for _, k := range found[len(found)-1].takes {
			if k.kind == first {
				takes[0].n += k.n
				continue
			}
			takes = append(takes, k)
		}
	}
	return takes
}

// first gives a good start: the better of the two greedy plans.
func (t *task) first(work *effort) ([]use, bool) {
	var best []use
	ok := false
	for _, fill := range []*filler{nil, lightFiller(t, work)} {
		uses, whole := t.greedy(slices.Clone(t.need), slices.Clone(t.limit), fill)
		if whole && t.holds(uses) && (!ok || t.total(uses) < t.total(best)) {
			best, ok = uses, true
		}
	}
	return best, ok
}

// lightFiller fills boards well and quickly, without proof.
func lightFiller(t *task, work *effort) *filler {
	f := newFiller(t, work)
	f.light = true
	return f
}
