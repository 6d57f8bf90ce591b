package tend

import (
	"slices"
	"sort"
	"time"

	"raftwright/bed"
	"raftwright/finding"
	"raftwright/plan"
	"raftwright/source"
	"raftwright/unit"
)

// Faults of a log in which nothing is left to follow.
const (
	FaultFuture finding.ID = "tend.fault.future" // every visit is later than the moment asked for
	FaultGap    finding.ID = "tend.fault.gap"    // nobody wrote for too long, and the bed was not filled since
)

// What in a log was left out, or taken otherwise than it is written.
const (
	FindLater     finding.ID = "tend.later"     // visits after the moment
	FindDoubled   finding.ID = "tend.doubled"   // visits that stand twice
	FindUnordered finding.ID = "tend.unordered" // visits that do not stand in the order of time
	FindBegins    finding.ID = "tend.begins"    // what lies before a long gap
	FindDiffers   finding.ID = "tend.differs"   // two readings of the same minute
	FindDeep      finding.ID = "tend.deep"      // deeper than the wall
	FindScale     finding.ID = "tend.scale"     // an EC that no bed has
	FindAcid      finding.ID = "tend.acid"      // acid after which no root lives
	FindBase      finding.ID = "tend.base"      // base, the same
	FindHeads     finding.ID = "tend.heads"     // more heads leave than stand
)

// longestGap is the time without a visit after which a bed is not followed. No feed reads over mostEC (lettuce yields nothing from
// 9 mS/cm of soil extract on: FAO irrigation paper 29, from memory; own margin), and no water of a tap, a well or a roof under leastEC (own judgement).
const (
	longestGap = 120 * 24 * time.Hour
	rulerSlip  = 1.5 * unit.Inch // a ruler read an inch wrong is a slip, which is set aside with the others
	mostEC     = 20 * unit.MillisiemensPerCentimetre
	leastEC    = 0.005 * unit.MillisiemensPerCentimetre
)

// usable gives what of a log can be followed: in the order of time, once each, without what cannot be so; and
// tells each thing that it leaves out. A fault says that nothing is left.
func usable(p *plan.Plan, log bed.Log, now time.Time) (bed.Log, []finding.Finding, finding.Faults) {
	out, found := until(log, now)
	if len(out) == 0 {
		return nil, nil, finding.Faults{{ID: FaultFuture, Path: log[0].Path.Key("at"), Args: finding.Args{"Now": now}}}
	}
	found = visits(found, FindUnordered, unordered(p, now))
	out, begins, faults := sinceGap(out)
	if len(faults) > 0 {
		return nil, nil, faults
	}
	found = append(append(found, begins...), agree(out)...)
	found = append(found, leaveOut(p, out)...)
	found = append(found, overdosed(p, out)...)
	return out, append(found, tooMuch(p, out)...), nil
}

// unordered gives the fewest visits of the brief without which the rest stands in the order of time: a wrong year is one visit, not all that stand
// under it. What is later than the moment is told as that.
func unordered(p *plan.Plan, now time.Time) (out finding.Entries) {
	var all finding.Entries
	for i, r := range p.Brief.Log {
		if at := r.When.Value.Time(); r.When.Given && !at.After(now) {
			all = append(all, finding.Entry{Day: at, Path: finding.Path("log").Item(i)})
		}
	}
	// the longest run in order (patience): ends[n] is the visit with which the best run of n+1 ends, before the one before it in its run
	var ends []int
	before, kept := make([]int, len(all)), make([]bool, len(all))
	for i := range all {
		n := sort.Search(len(ends), func(n int) bool { return all[ends[n]].Day.After(all[i].Day) })
		before[i] = -1
		if n > 0 {
			before[i] = ends[n-1]
		}
		ends = append(ends[:n], append([]int{i}, ends[min(n+1, len(ends)):]...)...)
	}
	if len(ends) > 0 {
		for i := ends[len(ends)-1]; i >= 0; i = before[i] {
			kept[i] = true
		}
	}
	for i := range all {
		if !kept[i] {
			out = append(out, all[i])
		}
	}
	return out
}

// visits adds a note on some entries of the log, where there are any.
func visits(found []finding.Finding, id finding.ID, list finding.Entries) []finding.Finding {
	if len(list) == 0 {
		return found
	}
	f := finding.Finding{ID: id, Severity: finding.Note, Args: finding.Args{"Count": len(list), "Visits": list}, Figure: float64(len(list)), Source: source.OwnChoice}
	for _, e := range list {
		f.Paths = append(f.Paths, e.Path)
	}
	return append(found, f)
}

func entryOf(v *bed.Visit) finding.Entry { return finding.Entry{Day: v.At, Path: v.Path} }

// Lined gives the findings of a log the lines on which their entries stand, by path; 0 for one that stands in no file.
func Lined(list []finding.Finding, line func(finding.Path) int) {
	for _, f := range list {
		if where, is := f.Args["Where"].(string); is {
			f.Args["Line"] = line(finding.Path(where))
		}
		visits, _ := f.Args["Visits"].(finding.Entries)
		for i := range visits {
			visits[i].Line = line(visits[i].Path)
		}
	}
}

// sinceGap drops what lies before the last long gap, if the bed was filled anew after it.
func sinceGap(log bed.Log) (bed.Log, []finding.Finding, finding.Faults) {
	gap := 0
	for i := 1; i < len(log); i++ {
		if log[i].At.Sub(log[i-1].At) > longestGap {
			gap = i
		}
	}
	if gap == 0 {
		return log, nil, nil
	}
	most := unit.Duration(longestGap.Seconds()) * unit.Second
	for i, v := range log[gap:] {
		if slices.ContainsFunc(v.Done, func(d bed.Happening) bool { _, filled := d.(bed.Filled); return filled }) {
			var before finding.Entries
			for k := range log[:gap+i] {
				before = append(before, entryOf(&log[k]))
			}
			found := visits(nil, FindBegins, before)
			found[0].Args["Day"], found[0].Args["Most"], found[0].Figure = v.At, most, most
			return log[gap+i:], found, nil
		}
	}
	return nil, nil, finding.Faults{{ID: FaultGap, Path: log[gap].Path.Key("at"), Args: finding.Args{"Most": most, "Before": log[gap-1].At}}}
}

// agree keeps of two readings of the same minute the one written later, and tells where they differ: written twice it is one reading.
func agree(log bed.Log) (found []finding.Finding) {
	for i := range log {
		for k := i - 1; k >= 0 && log[k].At.Equal(log[i].At); k-- {
			a, b := &log[k].Read, &log[i].Read
			drop := func(key string, given *bool, again, differs bool) {
				if *given && again && differs {
					found = append(found, left(FindDiffers, &log[k], log[k].Path.Key(key), finding.Args{"Kept": string(log[i].Path)}))
				}
				*given = *given && !again
			}
			drop("ph", &a.PH.Given, b.PH.Given, a.PH.Value != b.PH.Value)
			drop("ec", &a.EC.Given, b.EC.Given, a.EC.Value != b.EC.Value)
			drop("depth", &a.Depth.Given, b.Depth.Given, a.Depth.Value != b.Depth.Value)
		}
	}
	return found
}

// left tells that an entry was left out: where it stands and of which day it is.
func left(id finding.ID, v *bed.Visit, path finding.Path, args finding.Args) finding.Finding {
	args["Day"], args["Where"] = v.At, string(path)
	return finding.Finding{ID: id, Severity: finding.Caution, Paths: []finding.Path{path}, Args: args, Source: source.OwnChoice}
}

// leaveOut takes out of a log, which is its own, what no bed can have.
func leaveOut(p *plan.Plan, log bed.Log) (found []finding.Finding) {
	heads := 0
	for i := range log {
		v := &log[i]
		tell := func(id finding.ID, key string, args finding.Args) {
			found = append(found, left(id, v, v.Path.Key(key), args))
		}
		if d := &v.Read.Depth; d.Given && d.Value > p.Frame.Brim+rulerSlip {
			tell(FindDeep, "depth", finding.Args{"Got": d.Value, "Wall": p.Frame.Brim})
			d.Given = false
		}
		if e := &v.Read.EC; e.Given && (e.Value > mostEC || e.Value < leastEC) {
			tell(FindScale, "ec", finding.Args{"Got": e.Value, "Meant": meant(e.Value)})
			e.Given = false
		}
		found = append(found, unlisted(p, v)...)
		goes := func(key string, n int) bool {
			if n > heads {
				tell(FindHeads, key, finding.Args{"Heads": n, "Stand": heads})
				return true
			}
			heads -= n
			return false
		}
		v.Done = slices.DeleteFunc(slices.Clone(v.Done), func(done bed.Happening) bool {
			switch d := done.(type) {
			case bed.Planted:
				heads += d.Heads
			case bed.Harvested:
				return goes("harvested", d.Heads)
			case bed.Lost:
				return goes("lost", d.Heads)
			}
			return false
		})
	}
	return found
}

// readAgain gives the keys of what is to be read before anything is poured for it: the pH since acid or base was left out that may have
// gone in, the EC or the depth since feed or water was, and an EC or depth of this moment that was left out.
func readAgain(found []finding.Finding, log bed.Log, now time.Time) (keys []string) {
	since := func(day time.Time, read func(*bed.Visit) bool) bool {
		return slices.ContainsFunc(log, func(v bed.Visit) bool { return v.At.After(day) && read(&v) })
	}
	for _, f := range found {
		day, _ := f.Args["Day"].(time.Time)
		key, fresh := "", now.Sub(day) < 12*time.Hour
		switch {
		case (f.ID == FindAcid || f.ID == FindBase) && !since(day, func(v *bed.Visit) bool { return v.Read.PH.Given }):
			key = "ph"
		case f.ID == FindScale && fresh && !since(day, func(v *bed.Visit) bool { return v.Read.EC.Given }):
			key = "ec"
		case f.ID == FindFed && !since(day, func(v *bed.Visit) bool { return v.Read.EC.Given }):
			key = "ec"
		case f.ID == FindPoured && !since(day, func(v *bed.Visit) bool { return v.Read.Depth.Given }):
			key = "depth"
		case f.ID == FindDeep && fresh && !since(day, func(v *bed.Visit) bool { return v.Read.Depth.Given }):
			key = "depth"
		}
		if key != "" && !slices.Contains(keys, key) {
			keys = append(keys, key)
		}
	}
	return keys
}

// meant gives the EC that a slip between mS/cm and uS/cm stands for; 0 where that would be no bed's either.
func meant(got unit.Conductivity) unit.Conductivity {
	x := got * 1000
	if got > mostEC {
		x = got / 1000
	}
	if x > mostEC || x < 20*leastEC {
		return 0
	}
	return x
}

// until leaves out what is written for later than the moment, and what stands twice.
func until(log bed.Log, now time.Time) (out bed.Log, found []finding.Finding) {
	var later, doubled finding.Entries
	out = make(bed.Log, 0, len(log))
	for i := range log {
		v := &log[i]
		same := func(o *bed.Visit) bool {
			return o.At.Equal(v.At) && slices.Equal(o.Done, v.Done) && o.Read.PH.Value == v.Read.PH.Value && o.Read.EC.Value == v.Read.EC.Value &&
				o.Read.Depth.Value == v.Read.Depth.Value
		}
		switch {
		case v.At.After(now):
			later = append(later, entryOf(v))
		case len(out) > 0 && same(&out[len(out)-1]):
			doubled = append(doubled, entryOf(v))
		default:
			out = append(out, *v)
		}
	}
	return out, visits(visits(nil, FindLater, later), FindDoubled, doubled)
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
