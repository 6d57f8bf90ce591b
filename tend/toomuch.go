package tend

import (
	"slices"

	"raftwright/bed"
	"raftwright/chem"
	"raftwright/finding"
	"raftwright/plan"
	"raftwright/unit"
)

// What in a log is more than the bed can have taken.
const (
	FindPoured finding.ID = "tend.poured" // more at once than it holds to its rim
	FindFed    finding.ID = "tend.fed"    // a product that would lift the full bed's EC, by itself, over what any bed reads
)

// mostPoured is how many times what a bed holds to its rim may go in at once: somebody may rinse it, or count buckets wrong; a gallon
// for a liter is almost four times (own judgement).
const mostPoured = 1.5

// tooMuch takes out of a log, which is its own, what is poured beyond that, and tells where it is.
func tooMuch(p *plan.Plan, log bed.Log) (found []finding.Finding) {
	holds := p.Frame.BrimVolume
	h := &history{plan: p}
	h.takeShelf(p)
	k, err := chem.At(standard)
	if err != nil || holds <= 0 {
		return nil
	}
	for i := range log {
		v := &log[i]
		beyond := func(key string, got unit.Volume) bool {
			if got <= mostPoured*holds {
				return false
			}
			found = append(found, left(FindPoured, v, v.Path.Key(key), finding.Args{"Got": got, "Holds": holds}))
			return true
		}
		v.Done = slices.DeleteFunc(slices.Clone(v.Done), func(done bed.Happening) bool {
			switch d := done.(type) {
			case bed.AddedWater:
				return beyond("added water", d.Volume)
			case bed.AddedSolution:
				return beyond("added solution", d.Volume)
			case bed.AddedProduct:
				full := water{holds.Litres(), h.product(d, false).what}
				alone := full.litre()
				s, err := k.Closed(alone.composition())
				if err != nil || s.Conductivity <= mostEC { // what has no chemistry is left to the fit, which tells it
					return false
				}
				found = append(found, left(FindFed, v, v.Path.Key("added").Key(d.Product), finding.Args{"Product": d.Product, "EC": s.Conductivity}))
				return true
			}
			return false
		})
	}
	return found
}
