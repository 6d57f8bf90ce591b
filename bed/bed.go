// Package bed is what happened to a bed: the visits in the order of time, each
// with what was read and then what was done. It stands apart from the brief, which
// says what was planned, so that a plan and its tending take the two side by side.
package bed

import (
	"time"

	"raftwright/brief"
	"raftwright/finding"
	"raftwright/internal/inorder"
	"raftwright/unit"
)

// Log is the visits to one bed, the oldest first. Visits of the same minute keep
// the order in which they were written.
type Log []Visit

// Visit is one time that somebody was at the bed.
type Visit struct {
	At   time.Time    // by the clock at the bed, as if it showed UTC
	Path finding.Path // its entry in the brief: "log[3]"
	Read Readings     // of the bed before anything was done
	Done []Happening  // in the order in which it was done
}

// Readings is what was read and seen at a visit; what is not Given was not read.
type Readings struct {
	PH               brief.Field[float64]
	EC               brief.Field[unit.Conductivity] // at 25 C
	WaterTemperature brief.Field[unit.Temperature]
	Depth            brief.Field[unit.Length]
	Oxygen           brief.Field[unit.MassConcentration]
	Alkalinity       brief.Field[unit.Reading]
	Nitrate          brief.Field[unit.Reading] // counted as nitrogen where no form is written
	Ammonium         brief.Field[unit.Reading] // the same
	AirHigh, AirLow  brief.Field[unit.Temperature]
	Rain             brief.Field[unit.Length] // since the last visit
	Lab              *brief.Lab               // an analysis of the solution; nil where there is none
	Seen             []string                 // keys of the table of troubles
	Roots            brief.Roots              // "" where nobody looked
	Note             string
}

// Happening is one thing that was done: one of the types below.
type Happening interface{ happened() }

type (
	// Dumped is solution that was taken out.
	Dumped struct{ Volume unit.Volume }
	// Filled is a bed emptied and filled to its planned depth: with the planned mix
	// and its acid, or with plain water.
	Filled struct{ Water bool }
	// AddedWater is plain water that was poured in.
	AddedWater struct{ Volume unit.Volume }
	// AddedSolution is the planned mix and its acid, at a share of its strength.
	AddedSolution struct {
		Volume   unit.Volume
		Strength unit.Fraction // 1 as planned
	}
	// AddedProduct is a product of the shelf, by mass or by volume (level spoons of a
	// powder, or a liquid).
	AddedProduct struct {
		Product string
		Amount  brief.Amount
	}
	// AddedAcid is the brief's acid: a volume, or a mass.
	AddedAcid struct{ Amount brief.Amount }
	// Planted is heads that were set on the raft.
	Planted struct {
		Heads int
		Crop  string        // "" for the brief's
		Age   unit.Duration // from seed; 0 where nobody said
	}
	// Harvested is heads that were cut.
	Harvested struct {
		Heads int
		Mass  unit.Mass // of all of them; 0 where nobody weighed
	}
	// Lost is heads that died or were thrown away.
	Lost struct{ Heads int }
	// AirPump is an air pump that was switched.
	AirPump struct{ On bool }
	// Shade is how much of the light a cloth now takes.
	Shade struct{ Share unit.Fraction }
	// Sought is a leak that was looked for: none was found, or one was and was patched.
	Sought struct{ Patched bool }
)

func (Dumped) happened()        {}
func (Filled) happened()        {}
func (AddedWater) happened()    {}
func (AddedSolution) happened() {}
func (AddedProduct) happened()  {}
func (AddedAcid) happened()     {}
func (Planted) happened()       {}
func (Harvested) happened()     {}
func (Lost) happened()          {}
func (AirPump) happened()       {}
func (Shade) happened()         {}
func (Sought) happened()        {}

// Faults of a log.
const (
	FaultNoAcid    finding.ID = "bed.fault.no_acid"    // acid was added, and the brief has none
	FaultAcidSpoon finding.ID = "bed.fault.acid_spoon" // crystals by volume: their loose density is not known
)

// FromBrief gives the log of a brief. A visit whose time is not known is left out;
// the brief tells that fault.
func FromBrief(b *brief.Brief) (Log, finding.Faults) {
	log := make(Log, 0, len(b.Log))
	var faults finding.Faults
	sorted := true
	for i := range b.Log {
		r := &b.Log[i]
		if !r.When.Given {
			continue
		}
		path := finding.Path("log").Item(i)
		if r.AddedAcid.Given {
			crystals := b.Acid.Product.Given && b.Acid.Product.Value.Name == brief.Citric && b.Acid.Product.Value.Strength == 0
			switch at := path.Key("added acid"); {
			case !b.Acid.Product.Given && !b.Acid.Label.Given:
				faults = append(faults, b.Locate(finding.Fault{ID: FaultNoAcid, Path: at}))
			case crystals && r.AddedAcid.Value.Volume > 0:
				faults = append(faults, b.Locate(finding.Fault{ID: FaultAcidSpoon, Path: at}))
			}
		}
		at := r.When.Value.Time()
		sorted = sorted && (len(log) == 0 || !at.Before(log[len(log)-1].At))
		log = append(log, Visit{At: at, Path: path, Read: readings(r), Done: happenings(r)})
	}
	if !sorted {
		inorder.Put(log, func(a, b Visit) int { return a.At.Compare(b.At) })
	}
	return log, faults
}

func readings(r *brief.Record) Readings {
	read := Readings{PH: r.PH, EC: r.EC, WaterTemperature: r.WaterTemperature, Depth: r.Depth, Oxygen: r.Oxygen, Alkalinity: r.Alkalinity,
		Nitrate: r.Nitrate, Ammonium: r.Ammonium, AirHigh: r.AirHigh, AirLow: r.AirLow, Rain: r.Rain, Roots: r.Roots.Value, Note: r.Note.Value}
	if r.Lab.Given {
		read.Lab = &r.Lab
	}
	for _, s := range r.Seen {
		if s.Given {
			read.Seen = append(read.Seen, s.Value)
		}
	}
	return read
}

// happenings lists what was done at a visit, in the order of the format.
func happenings(r *brief.Record) []Happening {
	var done []Happening
	did := func(given bool, h Happening) {
		if given {
			done = append(done, h)
		}
	}
	did(r.Dumped.Given, Dumped{r.Dumped.Value})
	did(r.Filled.Given, Filled{Water: r.Filled.Value == brief.FilledWater})
	did(r.AddedWater.Given, AddedWater{r.AddedWater.Value})
	did(r.AddedSolution.Volume.Given, AddedSolution{r.AddedSolution.Volume.Value, r.AddedSolution.Strength.Or(1)})
	for _, e := range r.Added {
		did(e.Given, AddedProduct{e.Name, e.Value})
	}
	did(r.AddedAcid.Given, AddedAcid{r.AddedAcid.Value})
	did(r.Planted.Heads.Given, Planted{r.Planted.Heads.Value, r.Planted.Crop.Value, r.Planted.Age.Value})
	did(r.Harvested.Heads.Given, Harvested{r.Harvested.Heads.Value, r.Harvested.Mass.Value})
	did(r.Lost.Given, Lost{r.Lost.Value})
	did(r.Air.Given, AirPump{On: r.Air.Value == brief.On})
	did(r.Shade.Given, Shade{r.Shade.Value})
	did(r.Leak.Given, Sought{Patched: r.Leak.Value == brief.LeakPatched})
	return done
}
