package tend

import "slices"

// inOrder puts what is to be done in the order in which hands do it, and says where it rests on a reading that is still to come: a leak is looked for and slimy roots are rinsed
// before a bed is filled anew, and a volume to the mark is that of the depth which was believed, where a far lower one is to be read again.
func (t *Tending) inOrder(refill bool) {
	if refill {
		slices.SortStableFunc(t.Actions, func(x, y Action) int { return late(x) - late(y) })
	}
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

// late says whether a deed waits for a leak to be looked for and for roots to be rinsed.
func late(x Action) int {
	if x.Do == DoLook || x.Do == DoRinse {
		return 0
	}
	return 1
}
