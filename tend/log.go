package tend

import (
	"slices"
	"time"

	"raftwright/bed"
	"raftwright/finding"
	"raftwright/plan"
	"raftwright/unit"
)

// Faults of a log that no bed can have.
const (
	FaultFuture  finding.ID = "tend.fault.future"  // every visit is later than the moment asked for
	FaultGap     finding.ID = "tend.fault.gap"     // nobody wrote for so long that nothing is left to follow
	FaultDeep    finding.ID = "tend.fault.deep"    // deeper than the wall
	FaultAcid    finding.ID = "tend.fault.acid"    // far more acid than any bed bears
	FaultHarvest finding.ID = "tend.fault.harvest" // more heads leave than stand
)

// FindLater says that visits after the moment were left out, FindDoubled that visits stand twice.
const (
	FindLater   finding.ID = "tend.later"
	FindDoubled finding.ID = "tend.doubled"
)

// longestGap is the time without a visit after which a bed is not followed; mostAcid what a bed bears of acid at
// one visit (waters of 400 mg/L as CaCO3 take 8 mmol/L; judgement).
const (
	longestGap = 120 * 24 * time.Hour
	mostAcid   = 15 * unit.MillimolePerLitre
	rulerSlip  = 1.5 * unit.Inch // a ruler read an inch wrong is a slip, which is set aside, and no fault
)

// checkLog tells what in a log cannot be, at its place.
func checkLog(p *plan.Plan, log bed.Log) (faults finding.Faults) {
	heads := 0
	for i, v := range log {
		tell := func(id finding.ID, key string, args finding.Args) {
			faults = append(faults, finding.Fault{ID: id, Path: v.Path.Key(key), Args: args})
		}
		if i > 0 && v.At.Sub(log[i-1].At) > longestGap {
			tell(FaultGap, "at", finding.Args{"Most": unit.Duration(longestGap.Seconds()) * unit.Second, "Before": log[i-1].At})
		}
		if d := v.Read.Depth; d.Given && d.Value > p.Frame.Brim+rulerSlip {
			tell(FaultDeep, "depth", finding.Args{"Got": d.Value, "Wall": p.Frame.Brim})
		}
		leave := func(key string, n int) {
			if heads -= n; heads < 0 {
				tell(FaultHarvest, key, finding.Args{"Heads": n, "Stand": heads + n})
				heads = 0
			}
		}
		for _, done := range v.Done {
			switch d := done.(type) {
			case bed.Planted:
				heads += d.Heads
			case bed.Harvested:
				leave("harvested", d.Heads)
			case bed.Lost:
				leave("lost", d.Heads)
			case bed.AddedAcid:
				if got := moles(p, d.Amount) / p.Frame.Volume.Litres(); got > mostAcid.MillimolesPerLitre() {
					tell(FaultAcid, "added acid", finding.Args{"Times": got / mostAcid.MillimolesPerLitre()})
				}
			}
		}
	}
	return faults
}

// until leaves out what is written for later than the moment, and what stands twice.
func until(log bed.Log, now time.Time) (out bed.Log, found []finding.Finding) {
	later, doubled := 0, 0
	for _, v := range log {
		same := func(o bed.Visit) bool {
			return o.At.Equal(v.At) && slices.Equal(o.Done, v.Done) && o.Read.PH.Value == v.Read.PH.Value && o.Read.EC.Value == v.Read.EC.Value &&
				o.Read.Depth.Value == v.Read.Depth.Value
		}
		switch {
		case v.At.After(now):
			later++
		case len(out) > 0 && same(out[len(out)-1]):
			doubled++
		default:
			out = append(out, v)
		}
	}
	tell := func(id finding.ID, n int) {
		if n > 0 {
			found = append(found, finding.Finding{ID: id, Severity: finding.Note, Args: finding.Args{"Count": n}, Figure: float64(n)})
		}
	}
	tell(FindLater, later)
	tell(FindDoubled, doubled)
	return out, found
}

// How many of the last visits are followed one by one, and into how many those before them are gathered
// (the reference keeps 60, which took twice as long; of a crop with three visits a week all are followed for ten weeks).
const followed, gathered = 32, 8

// shorten gathers the oldest visits of a long log: what was done is kept, in its order and at the last time of
// each group; what was read is left out.
func shorten(log bed.Log) bed.Log {
	if len(log) <= followed+gathered {
		return log
	}
	old := log[:len(log)-followed]
	var out bed.Log
	for g := range gathered {
		part := old[g*len(old)/gathered : (g+1)*len(old)/gathered]
		last := part[len(part)-1]
		v := bed.Visit{At: last.At, Path: last.Path}
		if g == 0 {
			v.At = part[0].At
		}
		for _, x := range part {
			v.Done = append(v.Done, x.Done...)
		}
		out = append(out, v)
	}
	return append(out, log[len(log)-followed:]...)
}
