package plan

import (
	"math"

	"raftwright/finding"
	"raftwright/mix"
	"raftwright/source"
	"raftwright/unit"
)

// Mended is what to do with a bed that was given a wrong dose.
type Mended struct {
	Volume  unit.Volume
	Known   bool // what is in it is known from what was put in
	Before  unit.Conductivity
	Replace unit.Volume // to take out and fill up with plain water
	Share   unit.Fraction
	Add     []mix.Amount      // afterwards, for the whole bed
	Reads   unit.Conductivity // what the meter must show when it is right
	PH      float64           // the same; 0 where it is not known
	Fix     *mix.BedFix       // nil where only a reading is known

	water mix.Levels        // of the water that is filled up with
	plain unit.Conductivity // of the same
}

// What is said of a bed that is put right.
const (
	FindAmissDoubt  finding.ID = "plan.amiss_doubt"
	FindAmissFine   finding.ID = "plan.amiss_fine"
	FindAmissBlind  finding.ID = "plan.amiss_blind"
	FindAmissSteps  finding.ID = "plan.amiss_steps"
	AssumeAmissWant finding.ID = "plan.amiss_wanted"
	AssumeAmissBed  finding.ID = "plan.amiss_volume"
)

// amissDoubt is how far a meter may be from what was put in before one of the
// two must be wrong: a tenth for the pen, as much for the dose (own choice).
const amissDoubt = 0.15

// mendBed works out what to take out, or to add.
func (m *maker) mendBed() {
	b := m.Brief.Amiss
	out := Mended{Volume: b.Volume.Value, water: m.mixWater().Levels()}
	if m.Water != nil {
		out.plain = m.Water.EC
	}
	if !b.Volume.Given {
		if m.volume <= 0 {
			m.wrong(finding.Fault{ID: FaultAmissVolume, Path: "amiss.volume"})
			return
		}
		out.Volume = m.volume
		m.assume(finding.Assumption{ID: AssumeAmissBed, Path: "amiss.volume", Args: finding.Args{"Volume": out.Volume}, Source: ownChoice})
	}
	if len(b.PutIn) > 0 {
		m.mendKnown(&out)
	} else {
		m.mendRead(&out)
	}
	if len(m.faults) > 0 {
		return
	}
	if out.Share > mostAtOnce {
		m.find(finding.Finding{ID: FindAmissSteps, Act: finding.AtMix, Severity: finding.Note, Args: finding.Args{"Volume": out.Replace}, Figure: out.Share, Source: source.CommonPractice})
	}
	if !out.TakesOut() && len(out.Add) == 0 {
		m.find(finding.Finding{ID: FindAmissFine, Act: finding.AtMix, Severity: finding.Note, Source: ownChoice})
	}
	m.Amiss = &out
}

// mostAtOnce is the share of a bed from which it matters that the old solution
// is out before the new water comes in.
const mostAtOnce = 0.2

// mendKnown mends a bed of which it is known what was put in.
func (m *maker) mendKnown(out *Mended) {
	b := m.Brief.Amiss
	j := mix.BedJob{Path: "amiss", Water: m.mixWater(), Volume: out.Volume, Added: m.portions("amiss.put in", b.PutIn), Shelf: m.shelf, Target: m.target}
	if len(m.faults) > 0 {
		return
	}
	fix, faults := j.Mend(m.book.Library)
	if faults != nil {
		m.wrong(faults...)
		return
	}
	out.Known, out.Fix, out.Before, out.Reads, out.PH = true, &fix, fix.ECBefore, fix.ECAfter, fix.PHAfter
	out.Replace, out.Share, out.Add = fix.Replace, fix.Share, fix.Add
	if r := b.Reads; r.Given && math.Abs(float64(r.Value/fix.ECBefore)-1) > amissDoubt {
		m.find(finding.Finding{ID: FindAmissDoubt, Act: finding.AtMix, Severity: finding.Caution, Args: finding.Args{"Shown": r.Value, "Computed": fix.ECBefore}, Figure: r.Value, Source: ownChoice})
	}
}

// leastWorth is the share of a bed from which it is worth carrying out.
const leastWorth = 0.01

// TakesOut says whether there is solution to take out that is worth carrying.
func (a *Mended) TakesOut() bool { return a.Share >= leastWorth }

// mendRead mends a bed of which only a reading is known.
func (m *maker) mendRead(out *Mended) {
	b := m.Brief.Amiss
	wanted := b.Wanted.Value
	if !b.Wanted.Given {
		if m.Mix == nil {
			m.wrong(finding.Fault{ID: FaultAmissWanted, Path: "amiss.wanted"})
			return
		}
		wanted = m.Mix.EC
		m.assume(finding.Assumption{ID: AssumeAmissWant, Path: "amiss.wanted", Args: finding.Args{"EC": wanted}, Source: ownChoice})
	}
	plain := out.plain
	out.Before, out.Reads = b.Reads.Value, wanted
	m.find(finding.Finding{ID: FindAmissBlind, Act: finding.AtMix, Severity: finding.Note, Source: source.CommonPractice})
	if wanted < out.Before {
		v, faults := mix.ReplaceForEC("amiss.wanted", out.Before, wanted, plain, out.Volume)
		if faults != nil {
			m.wrong(faults...)
			return
		}
		out.Replace, out.Share = v, unit.Fraction(v/out.Volume)
		return
	}
	if m.Mix == nil || m.Mix.EC <= plain || wanted < out.Before*1.02 {
		return
	}
	share := unit.MassConcentration((wanted - out.Before) / (m.Mix.EC - plain))
	for _, d := range m.Mix.Doses {
		mass := (d.Strength * share).In(out.Volume)
		dose := mix.Amount{Product: d.Product, Mass: mass}
		if d.Spoon.Mass > 0 {
			dose.Spoons = float64(mass / d.Spoon.Mass)
		}
		out.Add = append(out.Add, dose)
	}
}

// Working gives the derivation of what is taken out and what the bed then holds.
func (a *Mended) Working() []finding.Step {
	in := func(symbol string, value float64, unit string) finding.Input {
		return finding.Input{Symbol: symbol, Value: value, Unit: unit}
	}
	mS := unit.Conductivity.MillisiemensPerCentimetre
	volume := in("V", a.Volume.Litres(), "L")
	if a.Fix == nil {
		return []finding.Step{{Symbol: "R", Name: "work.mix.take_out", Formula: "work.mix.take_out_read_how", Source: ownChoice, Value: a.Replace.Litres(), Unit: "L",
			Inputs: []finding.Input{volume, in("now", mS(a.Before), "mS/cm"), in("wanted", mS(a.Reads), "mS/cm"), in("water", mS(a.plain), "mS/cm")}}}
	}
	out := []finding.Step{{Symbol: "R", Name: "work.mix.take_out", Formula: "work.mix.take_out_how", Source: ownChoice, Value: a.Replace.Litres(), Unit: "L",
		Inputs: []finding.Input{volume, in("s", float64(a.Share), "")}}}
	for _, w := range a.Fix.Wishes {
		n := w.Nutrient
		kept := a.Fix.Before[n]*unit.MassConcentration(1-a.Share) + a.water[n]*unit.MassConcentration(a.Share)
		out = append(out, finding.Step{Symbol: n.Symbol(), Name: "work.mix.afterwards", Args: finding.Args{"Nutrient": n.Word()}, Formula: "work.mix.afterwards_how", Source: ownChoice,
			Value: w.Achieved.MilligramsPerLitre(), Unit: "mg/L", Inputs: []finding.Input{in("before", a.Fix.Before[n].MilligramsPerLitre(), "mg/L"),
				in("water", a.water[n].MilligramsPerLitre(), "mg/L"), in("added", (w.Achieved - kept).MilligramsPerLitre(), "mg/L")}})
	}
	return out
}
