package mix

import (
	"math"
	"slices"

	"raftwright/chem"
	"raftwright/finding"
	"raftwright/source"
	"raftwright/unit"
)

// BedJob is a bed that holds what it should not: a wrong dose, a double one, one
// forgotten. What is in it is known from what was put in, or only a meter tells.
type BedJob struct {
	Path   finding.Path // of the section in the brief
	Water  Water        // that it was filled with, and is filled up with
	Plain  unit.Conductivity
	Volume unit.Volume // that is in the bed
	Added  []Portion   // everything put into this water so far, by mass or spoons, for the whole bed; none: not known
	Shelf  []Material  // what can be added now
	Target Target
	Reads  unit.Conductivity // what the meter shows; 0: not read
	Wanted unit.Conductivity // what it shall show; 0: what the mix reads
	Mix    *Mix              // for this bed; nil: none
	Crop   Crop
}

// BedFix is what to do with such a bed.
type BedFix struct {
	Volume  unit.Volume
	Now     unit.Conductivity // what the meter reads
	Right   unit.Conductivity // what it must read when the bed is right
	RightPH float64           // the same; 0 where it is not known
	Replace unit.Volume       // to take out, and to fill up with plain water
	Share   unit.Fraction     // of the bed
	Add     []Amount          // afterwards, for the whole bed

	Known         bool   // what is in it is known from what was put in, and so is the rest
	Before, After Levels // of the bed
	MisfitBefore  float64
	MisfitAfter   float64
	Wishes        []Wish // with what the bed then holds

	Findings    []finding.Finding
	Assumptions []finding.Assumption

	plain unit.Conductivity
	water Levels
}

// What is said of a bed that is put right.
const (
	FindAmissDoubt  finding.ID = "plan.amiss_doubt"
	FindAmissFine   finding.ID = "plan.amiss_fine"
	FindAmissBlind  finding.ID = "plan.amiss_blind"
	FindAmissSteps  finding.ID = "plan.amiss_steps"
	AssumeAmissWant finding.ID = "plan.amiss_wanted"
)

const (
	changeCost = 0.02 // of changing the whole bed beside the misfit: water is only taken out where that gains more
	// amissDoubt is how far a meter may be from what was put in before one of the
	// two must be wrong: a tenth for the pen, as much for the dose (own choice).
	amissDoubt = 0.15
	mostAtOnce = 0.2  // the share from which it matters that the old solution is out before the new water comes in
	leastWorth = 0.01 // the share from which it is worth carrying out
)

// TakesOut says whether there is solution to take out that is worth carrying.
func (f BedFix) TakesOut() bool { return f.Share >= leastWorth }

func (f *BedFix) find(id finding.ID, s finding.Severity, figure any, from source.ID, args finding.Args) {
	f.Findings = append(f.Findings, finding.Finding{ID: id, Act: finding.AtMix, Severity: s, Figure: figure, Source: from, Args: args})
}

// Mend finds how much to take out and what to add: the least misfit, with a
// small price on water that is thrown away. Of a bed of which only a reading is
// known it thins or strengthens all alike.
func (j BedJob) Mend(lib Library) (BedFix, finding.Faults) {
	f := BedFix{Volume: j.Volume, plain: j.Plain, water: j.Water.Levels()}
	mend := f.read
	if len(j.Added) > 0 {
		mend = func(j BedJob) error { return f.known(j, lib) }
	}
	if err := mend(j); err != nil {
		return BedFix{}, finding.FaultsOf(err, j.Path, chem.FaultBalance)
	}
	if f.Share > mostAtOnce {
		f.find(FindAmissSteps, finding.Note, f.Share, source.CommonPractice, finding.Args{"Volume": f.Replace})
	}
	if !f.TakesOut() && len(f.Add) == 0 {
		f.find(FindAmissFine, finding.Note, nil, source.OwnChoice, nil)
	}
	return f, nil
}

// known mends a bed of which it is known what was put in.
func (f *BedFix) known(j BedJob, lib Library) error {
	r := RecipeJob{Path: j.Path, Water: j.Water, Portions: j.Added, Per: j.Volume, Target: j.Target, Crop: j.Crop}
	s, doses, err := r.solver(lib, "volume")
	if err != nil {
		return err
	}
	next, faults := Job{Water: j.Water, Shelf: j.Shelf, Target: s.job.Target}.prepare(lib, nil)
	if faults != nil {
		return faults
	}
	f.Known, f.Before = true, s.blend.achieved(doses)
	swap := product{index: -1, limit: 1}
	for n := range swap.contents.Shares {
		swap.contents.Shares[n] = unit.Fraction(f.water[n] - f.Before[n])
	}
	b := &blend{base: f.Before, products: append(slices.Clone(next.products), swap), wishes: s.aim.wishes, unasked: s.aim.unasked, limits: s.aim.limits}
	b.give(f.water)
	b.build()
	last := len(b.products) - 1
	b.p.c[last] += changeCost / 2 / b.scale[last]
	x := make([]float64, b.p.n)
	if !b.p.minimise(make([]float64, b.p.n), b.upper, x) {
		return finding.Faults{{ID: FaultNoMend, Path: j.Path}}
	}
	mended, now := b.doses(x), s.composition(doses)
	f.Share, f.Replace = unit.Fraction(mended[last]), j.Volume*unit.Volume(mended[last])
	then := now.Blend(j.Water.Ions, f.Share)
	for i, d := range mended[:last] {
		if d > 0 {
			f.Add = append(f.Add, amountOf(next.products[i].material.Name, unit.MassConcentration(d).In(j.Volume), next.spoons[i]))
			then = then.Add(next.products[i].contents.Ions.Times(d))
		}
	}
	f.After = b.achieved(mended)
	_, f.MisfitBefore = b.told(f.Before)
	f.Wishes, f.MisfitAfter = b.told(f.After)
	before, err := s.ions.Closed(now)
	if err != nil {
		return err
	}
	after, err := s.ions.Closed(then)
	f.Now, f.Right, f.RightPH = before.Conductivity, after.Conductivity, after.PH
	if j.Reads > 0 && math.Abs(float64(j.Reads/f.Now)-1) > amissDoubt {
		f.find(FindAmissDoubt, finding.Caution, j.Reads, source.OwnChoice, finding.Args{"Shown": j.Reads, "Computed": f.Now})
	}
	return err
}

// read mends a bed of which only a reading is known.
func (f *BedFix) read(j BedJob) error {
	f.Now, f.Right = j.Reads, j.Wanted
	switch {
	case j.Reads <= 0:
		return finding.Faults{{ID: FaultNoAmounts, Path: j.Path}}
	case j.Wanted <= 0 && j.Mix == nil:
		return finding.Faults{{ID: FaultWanted, Path: j.Path.Key("wanted")}}
	case j.Wanted <= 0:
		f.Right = j.Mix.EC
		f.Assumptions = append(f.Assumptions, finding.Assumption{ID: AssumeAmissWant, Path: j.Path.Key("wanted"), Args: finding.Args{"EC": f.Right}, Source: source.OwnChoice})
	}
	f.find(FindAmissBlind, finding.Note, nil, source.CommonPractice, nil)
	if f.Right < f.Now {
		v, faults := ReplaceForEC(j.Path.Key("wanted"), f.Now, f.Right, j.Plain, j.Volume)
		if faults != nil {
			return faults
		}
		f.Replace, f.Share = v, unit.Fraction(v/j.Volume)
		return nil
	}
	if j.Mix == nil || j.Mix.EC <= j.Plain || f.Right < f.Now*1.02 {
		return nil
	}
	share := unit.MassConcentration((f.Right - f.Now) / (j.Mix.EC - j.Plain))
	for _, d := range j.Mix.Doses {
		f.Add = append(f.Add, amountOf(d.Product, (d.Strength*share).In(j.Volume), d.Spoon))
	}
	return nil
}

// amountOf gives a mass of a product with its spoons, where a spoon is known.
func amountOf(product string, m unit.Mass, spoon SpoonMass) Amount {
	a := Amount{Product: product, Mass: m}
	if spoon.Mass > 0 {
		a.Spoons = float64(m / spoon.Mass)
	}
	return a
}

// Working gives the derivation of what is taken out and what the bed then holds.
func (f BedFix) Working() []finding.Step {
	w := &finding.Working{}
	volume, ec := finding.In("V", f.Volume.Litres(), "L"), func(symbol string, c unit.Conductivity) finding.Input {
		return finding.In(symbol, c.MillisiemensPerCentimetre(), "mS/cm")
	}
	if !f.Known {
		w.Add("R", "work.mix.take_out", "work.mix.take_out_read_how", f.Replace.Litres(), "L", source.OwnChoice, volume, ec("now", f.Now), ec("wanted", f.Right), ec("water", f.plain))
		return w.Steps
	}
	w.Add("R", "work.mix.take_out", "work.mix.take_out_how", f.Replace.Litres(), "L", source.OwnChoice, volume, finding.In("s", float64(f.Share), ""))
	for _, x := range f.Wishes {
		n := x.Nutrient
		kept := f.Before[n]*unit.MassConcentration(1-f.Share) + f.water[n]*unit.MassConcentration(f.Share)
		w.Of = []any{n.Word()}
		w.Add(n.Symbol(), "work.mix.afterwards", "work.mix.afterwards_how", x.Achieved.MilligramsPerLitre(), "mg/L", source.OwnChoice,
			mgL("before", f.Before[n]), mgL("water", f.water[n]), mgL("added", x.Achieved-kept))
	}
	return w.Steps
}

// ReplaceForEC gives how much of a bed to exchange for plain water so that a
// meter falls from now to wanted, where nobody knows what is in it. EC is close
// to linear in a blend (within 3 % below 3 mS/cm).
func ReplaceForEC(path finding.Path, now, wanted, water unit.Conductivity, volume unit.Volume) (unit.Volume, finding.Faults) {
	switch {
	case wanted >= now:
		return 0, nil
	case !(wanted > water) || !(volume > 0):
		return 0, finding.Faults{{ID: FaultThin, Path: path, Args: finding.Args{"Water": water, "Wanted": wanted}}}
	}
	return volume * unit.Volume((now-wanted)/(now-water)), nil
}
