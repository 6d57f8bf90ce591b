package mix

import (
	"slices"

	"raftwright/chem"
	"raftwright/finding"
	"raftwright/unit"
)

// BedJob is a bed that holds what it should not: a wrong dose, a double one, one
// forgotten. What is in it is known from what was put in.
type BedJob struct {
	Path   finding.Path // of the section in the brief
	Water  Water
	Volume unit.Volume // that is in the bed
	Added  []Portion   // everything put into this water so far, by mass or spoons, for the whole bed
	Shelf  []Material  // what can be added now
	Target Target
}

// BedFix is what to do with such a bed.
type BedFix struct {
	Before, After     Levels
	ECBefore, ECAfter unit.Conductivity // what the meter reads now, and what it must read when it is right
	PHBefore, PHAfter float64
	Replace           unit.Volume   // to take out, and to fill up with plain water
	Share             unit.Fraction // of the bed
	Add               []Amount      // afterwards, for the whole bed
	MisfitBefore      float64
	MisfitAfter       float64
	Wishes            []Wish // with what the bed then holds
}

// changeCost is what changing the whole bed weighs beside the misfit: water is
// only taken out where that gains more than this.
const changeCost = 0.02

// Mend finds how much to take out and what to add: the least misfit, with a
// small price on water that is thrown away.
func (j BedJob) Mend(lib Library) (BedFix, finding.Faults) {
	f, err := j.mend(lib)
	return f, finding.FaultsOf(err, j.Path, chem.FaultBalance)
}

func (j BedJob) mend(lib Library) (BedFix, error) {
	r := RecipeJob{Path: j.Path, Water: j.Water, Portions: j.Added, Per: j.Volume, Target: j.Target}
	s, doses, err := r.solver(lib, "volume")
	if err != nil {
		return BedFix{}, err
	}
	next, faults := Job{Water: j.Water, Shelf: j.Shelf, Target: s.job.Target}.prepare(lib, nil)
	if faults != nil {
		return BedFix{}, faults
	}
	before := s.blend.achieved(doses)
	fresh := j.Water.Levels()
	swap := product{index: -1, limit: 1}
	for n := range swap.contents.Shares {
		swap.contents.Shares[n] = unit.Fraction(fresh[n] - before[n])
	}
	b := &blend{base: before, products: append(slices.Clone(next.products), swap), wishes: s.aim.wishes, limits: s.aim.limits}
	b.build()
	last := len(b.products) - 1
	b.p.c[last] += changeCost / 2 / b.scale[last]
	x := make([]float64, b.p.n)
	if !b.p.minimise(make([]float64, b.p.n), b.upper, x) {
		return BedFix{}, finding.Faults{{ID: FaultNoMend, Path: j.Path}}
	}
	return bedAnswer{j, b, next, s.composition(doses)}.fix(b.doses(x))
}

// bedAnswer is a bed on the way from doses to words.
type bedAnswer struct {
	job  BedJob
	b    *blend
	next prepared
	now  chem.Composition
}

func (a bedAnswer) fix(doses []float64) (BedFix, error) {
	b, next, volume := a.b, a.next, a.job.Volume
	last := len(doses) - 1
	share := doses[last]
	f := BedFix{Before: b.base, Share: unit.Fraction(share), Replace: volume * unit.Volume(share), After: b.achieved(doses)}
	then := a.now.Blend(a.job.Water.Ions, unit.Fraction(share))
	for i, d := range doses[:last] {
		if d <= 0 {
			continue
		}
		mass := unit.MassConcentration(d).In(volume)
		f.Add = append(f.Add, Amount{next.products[i].material.Name, mass, float64(mass / next.spoons[i].Mass)})
		then = then.Add(next.products[i].contents.Ions.Times(d))
	}
	_, f.MisfitBefore = b.told(b.base)
	f.Wishes, f.MisfitAfter = b.told(f.After)
	k, err := chem.At(measuredAt)
	if err != nil {
		return BedFix{}, err
	}
	before, err := k.Closed(a.now)
	if err != nil {
		return BedFix{}, err
	}
	after, err := k.Closed(then)
	f.ECBefore, f.PHBefore, f.ECAfter, f.PHAfter = before.Conductivity, before.PH, after.Conductivity, after.PH
	return f, err
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
