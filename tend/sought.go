package tend

import "math"

// sought is a leak that was looked for, so many days after the start: none was found, or one was and was patched.
type sought struct {
	at      float64
	patched bool
}

// What is thought of a leak that began before somebody looked for one, over what was thought beforehand (own judgement; nobody was found who counted).
const (
	missedDrip = 0.3  // that a drip is not found by wet ground and a pail of bed water that floats in the bed for a day
	missedHole = 0.05 // that a hole is not
	patchFound = 5.0  // that something was patched: one in five who patch close what did not leak
)

// heard gives by how much likelier what came of looking makes a leak that began so many days after the start. Who looks twice looks at the same places: it counts once.
func (h *history) heard(from float64, hole bool) float64 {
	factor := 1.0
	for _, s := range h.sought {
		switch {
		case s.at < from:
		case s.patched:
			return patchFound
		case hole:
			factor = missedHole
		default:
			factor = missedDrip
		}
	}
	return factor
}

// patched gives when a leak that began so many days after the start was patched, in days from the start; never where it was not.
func (h *history) patched(from float64) float64 {
	for _, s := range h.sought {
		if s.patched && s.at >= from {
			return s.at
		}
	}
	return math.Inf(1)
}

// leaksStill gives what a bed loses at the end of the log, L a day.
func (h *history) leaksStill(s *setting) float64 {
	if h.patchedAfter(s.leakFrom) {
		return 0
	}
	return s.leak
}

// patchedAfter says whether a leak that began then was patched.
func (h *history) patchedAfter(from float64) bool { return !math.IsInf(h.patched(from), 1) }

// soughtIn is how many days a look that found nothing is remembered in what is said about a leak (own judgement).
const soughtIn = 3.0

// soughtLately says whether somebody looked in the last days and found nothing.
func (h *history) soughtLately() bool {
	n := len(h.sought)
	return n > 0 && !h.sought[n-1].patched && h.after(h.visits[len(h.visits)-1].at)-h.sought[n-1].at <= soughtIn
}
