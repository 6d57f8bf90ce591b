package tend

import "slices"

// inOrder puts what is to be done in the order in which hands do it, and says where it rests on a reading that is still to come: what is read or set comes before what is done
// by it, a leak is looked for and slimy roots are rinsed before a bed is filled anew, heads that are full are cut before anything is given to them, and a volume to the mark is that
// of the depth which was believed, where a far lower one is to be read again.
func (t *Tending) inOrder(refill bool) {
	slices.SortStableFunc(t.Actions, func(x, y Action) int { return late(x, refill) - late(y, refill) })
	low := slices.ContainsFunc(t.Actions, func(x Action) bool { return x.Do == DoRead && x.Why == WhyLow })
	for i := range t.Actions {
		x := &t.Actions[i]
		switch {
		case x.Do == DoRead:
			x.First = !slices.ContainsFunc(t.Readings, func(r Reading) bool { return r.Kind == x.Product })
		case low && x.Volume > 0 && (x.Do == DoWater || x.Do == DoFeed):
			x.Why, x.Args = WhyIfFull, nil
		}
	}
}

// late gives the place of a deed among the others: those of one place stay as they are.
func late(x Action, refill bool) int {
	switch {
	case refill && (x.Do == DoLook || x.Do == DoRinse):
		return 0
	case x.Do == DoRead || x.Do == DoSetMeter:
		return 1
	case x.Why == WhyRipe || x.Why == WhyAllRipe:
		return 2
	}
	return 3
}
