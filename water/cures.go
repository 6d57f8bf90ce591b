package water

import (
	"strings"
	"unicode"

	"raftwright/chem"
	"raftwright/finding"
	"raftwright/source"
	"raftwright/unit"
)

// Findings about what the water holds and what can be done.
const (
	FindWatch       finding.ID = "water.watch"
	FindSevere      finding.ID = "water.severe"
	FindAcidify     finding.ID = "water.acidify"
	FindBlend       finding.ID = "water.blend"
	FindOtherSource finding.ID = "water.other_source"
	FindAerate      finding.ID = "water.aerate_iron"
	FindOmit        finding.ID = "water.omit"
	FindCountFeed   finding.ID = "water.count_feed"
	FindFeed        finding.ID = "water.nitrate_feed"
	FindChlorine    finding.ID = "water.chlorine"
	FindChloramine  finding.ID = "water.chloramine"
	FindChlorineAsk finding.ID = "water.chlorine_ask"
	FindSoftened    finding.ID = "water.softened"
	FindNotHardness finding.ID = "water.hardness_is_not_alkalinity"
	FindScale       finding.ID = "water.scale"
	FindFouled      finding.ID = "water.fouled"
	FindOpenWater   finding.ID = "water.open"
)

// KeptAlkalinity is what acid leaves of the alkalinity, to hold the pH steady:
// 30 to 40 mg/L as CaCO3 (from memory, the usual advice; a leaflet on float beds of
// seedlings keeps 60 to 80, which in this bed would hold the pH above 6.5).
const KeptAlkalinity unit.MassConcentration = 35 * unit.MilligramPerLitre

// AscorbicPerChlorine is the ascorbic acid that takes up chlorine or
// monochloramine, mass by mass as Cl2: 1 g for 1 mg/L in 100 US gal, the dose of
// practice, a little over the 2.48 of one molecule each.
var AscorbicPerChlorine = float64((1 * unit.Gram).Per(100*unit.Gallon) / unit.MilligramPerLitre)

// MostChlorine is the most chlorine or chloramine that drinking water may hold, 4 mg/L as
// Cl2 (40 CFR 141.65, from memory).
const MostChlorine = 4 * unit.MilligramPerLitre

// AscorbicSpoon is what a level teaspoon of the powder weighs (from memory).
const AscorbicSpoon = 4.6 * unit.Gram

// chlorineLosses is the share of the shoot that free chlorine in the fill water
// took from lettuce in clean solution (McGehee and Raudales 2023, abstract), by mg/L.
var chlorineLosses = [][2]float64{{0, 0}, {0.5, 0.30}, {1, 0.55}, {1.5, 0.66}, {2, 0.83}, {4, 0.92}}

// ChlorineLoss gives the share of the shoot that chlorine left in the water may
// cost, between the lines of the trial; above 4 mg/L it is that of 4. Chloramine is
// taken as bad as free chlorine, which the trial alone tested.
func ChlorineLoss(c unit.MassConcentration) unit.Fraction {
	x, last := c.MilligramsPerLitre(), chlorineLosses[0]
	for _, p := range chlorineLosses[1:] {
		if x <= p[0] {
			return unit.Fraction(last[1] + (p[1]-last[1])*(max(x, 0)-last[0])/(p[0]-last[0]))
		}
		last = p
	}
	return unit.Fraction(last[1])
}

// Ascorbic gives the ascorbic acid (vitamin C) that neutralises a concentration
// of chlorine or chloramine counted as Cl2.
func Ascorbic(chlorine unit.MassConcentration) unit.MassConcentration {
	return unit.MassConcentration(AscorbicPerChlorine) * chlorine
}

// grade turns judgements into findings with their cures.
func (r *Assessment) grade() {
	blend, worst := unit.Fraction(0), -1
	for i := range r.Judgements {
		j := &r.Judgements[i]
		lime := j.Limit.Analyte == Sodium && j.From == Filled && r.from[Calcium] == Guessed // it is more often lime that lacks
		chlorine := j.Limit.Analyte == FreeChlorine || j.Limit.Analyte == Chloramine        // has words of its own
		if j.Verdict == Good || j.From == Guessed || lime || chlorine {
			continue
		}
		id, severity := FindWatch, finding.Note
		if j.Verdict == Severe {
			id, severity = FindSevere, finding.Caution
		}
		r.add(finding.Finding{ID: id, Severity: severity, Figure: j.figure(), Source: j.Limit.Source,
			Args: finding.Args{"Analyte": j.word(), "Value": j.figure(), "Good": j.good()}})
		if r.cure(j) && j.Share > blend {
			blend, worst = j.Share, i
		}
	}
	if worst >= 0 {
		r.blend(blend, &r.Judgements[worst])
	}
	if r.MayHoldChlorine() && r.FreeChlorine+r.Chloramine > 0 {
		r.AscorbicAcid = Ascorbic(r.FreeChlorine + r.Chloramine)
	}
	r.character()
}

// cure gives what helps against one analyte; true where only dilution does.
func (r *Assessment) cure(j *Judgement) bool {
	if j.Limit.IsConductivity {
		return true
	}
	note := func(id finding.ID, args finding.Args, from source.ID) {
		r.add(finding.Finding{ID: id, Severity: finding.Note, Args: args, Source: from})
	}
	switch x := j.Limit.Analyte; x {
	case Alkalinity:
		note(FindAcidify, finding.Args{"Alkalinity": j.figure(), "Keep": KeptAlkalinity}, leafSource)
	case Iron:
		iron := r.composition.Fe
		note(FindAerate, finding.Args{"Iron": j.figure(), "Loss": Alkalinity.Mass(2 * iron)}, "ironoxidation")
	case Boron:
		note(FindOmit, finding.Args{"Analyte": j.word()}, limitSource)
		return true
	case Manganese, Zinc, Copper:
		note(FindOmit, finding.Args{"Analyte": j.word()}, limitSource)
		return j.Verdict == Severe
	case Calcium, Magnesium:
		note(FindCountFeed, finding.Args{"Analyte": j.word()}, j.Limit.Source)
		return j.Verdict == Severe
	case Sodium, Chloride, Sulfate:
		return true
	}
	return false
}

// littleRain is the share below which a blend is not worth the carrying.
const littleRain = unit.Fraction(0.15)

// muchRain is the share from which a blend is mostly rain.
const muchRain = unit.Fraction(0.75)

func (r *Assessment) blend(share unit.Fraction, j *Judgement) {
	r.Rain = share
	severity := finding.Note
	if j.Verdict == Severe {
		severity = finding.Caution
	} else if share < littleRain {
		return
	}
	args := finding.Args{"Share": share, "Analyte": j.word(), "Good": j.good()}
	if share > muchRain && j.Verdict == Severe {
		r.add(finding.Finding{ID: FindOtherSource, Severity: finding.Caution, Args: args, Figure: share, Source: j.Limit.Source})
		return
	}
	r.add(finding.Finding{ID: FindBlend, Severity: severity, Args: args, Figure: share, Source: j.Limit.Source})
}

// HarmfulChlorine is the free chlorine that took a third of the crop in a trial on
// lettuce.
const HarmfulChlorine = 0.5 * unit.MilligramPerLitre

// harmlessChlorine is as little as no strip shows.
const harmlessChlorine = 0.1 * unit.MilligramPerLitre

// MayHoldChlorine says whether chlorine has to be thought of before the feed: it
// was found, or nobody looked and the water may be a town's.
func (r *Assessment) MayHoldChlorine() bool {
	if r.from[FreeChlorine] == Measured || r.from[Chloramine] == Measured {
		return r.FreeChlorine+r.Chloramine > harmlessChlorine
	}
	return !r.rain && !ownSpring(r.Name)
}

// ownSpring tells water that nobody chlorinates by its name.
func ownSpring(name string) bool {
	for _, w := range strings.FieldsFunc(strings.ToLower(name), func(c rune) bool { return !unicode.IsLetter(c) }) {
		switch w {
		case "well", "spring", "creek", "pond", "river", "borehole", "pozo":
			return true
		}
	}
	return false
}

// Chlorine tells of the chlorine in the water and what takes it out, once: of what was
// tested, with the ascorbic acid for 100 gal, or that a strip would tell.
func (r *Assessment) Chlorine() []finding.Finding {
	all := r.FreeChlorine + r.Chloramine
	switch {
	case !r.MayHoldChlorine():
		return nil
	case all == 0:
		return []finding.Finding{{ID: FindChlorineAsk, Act: finding.AtFill, Severity: finding.Note, Source: lettuceTrial, Args: finding.Args{"Chlorine": HarmfulChlorine, "Loss": ChlorineLoss(HarmfulChlorine)}}}
	}
	f := finding.Finding{ID: FindChlorine, Act: finding.AtFill, Severity: finding.Caution, Figure: all, Source: lettuceTrial,
		Args: finding.Args{"Chlorine": all, "Loss": ChlorineLoss(all), "Dose": r.AscorbicAcid.In(100 * unit.Gallon), "Gallons": 100 * unit.Gallon}}
	if r.Chloramine > 0 {
		f.ID = FindChloramine
	}
	return []finding.Finding{f}
}

// fouledFrom is the ammonium, as nitrogen, from which a water is suspect: clean
// ground waters stay below 0.2 mg/L, airless ones reach some, and town water
// with chloramine 0.5 (from memory, the drinking-water guidelines of the WHO).
const fouledFrom = unit.MilligramPerLitre

// character tells what kind of water this is where that changes what to do.
func (r *Assessment) character() {
	c, alkalinity := r.composition, r.Alkalinity.AsCaCO3()
	hardness := r.Hardness.MilligramsPerLitre()
	hardKnown := r.hardKnown()
	if hardKnown && c.Na > 2 && float64(c.Na) > 6*float64(c.Ca+c.Mg) && hardness < 60 && alkalinity > 60 {
		r.add(finding.Finding{ID: FindSoftened, Severity: finding.Caution, Source: ownSource,
			Args: finding.Args{"Sodium": Sodium.Mass(c.Na), "Hardness": r.Hardness}})
	}
	if hardKnown && r.from[Alkalinity] != NotKnown && r.from[Alkalinity] != Guessed && r.from[Calcium] != Guessed && hardness > 100 && (hardness > alkalinity+60 || alkalinity > hardness+60) {
		r.add(finding.Finding{ID: FindNotHardness, Severity: finding.Note, Source: labSource,
			Args: finding.Args{"Hardness": r.Hardness, "Alkalinity": Alkalinity.Mass(unit.MolarConcentration(r.Alkalinity))}})
	}
	if n := Nitrate.Mass(c.NO3); r.from[Nitrate] != Guessed && n > 5*unit.MilligramPerLitre {
		r.add(finding.Finding{ID: FindFeed, Severity: finding.Note, Figure: n, Source: limitSource, Args: finding.Args{"Nitrogen": n}})
	}
	if n := Ammonium.Mass(c.NH4); n > fouledFrom {
		r.add(finding.Finding{ID: FindFouled, Severity: finding.Caution, Figure: n, Source: source.FromMemory, Args: finding.Args{"Nitrogen": n}})
	}
	if fromOpen(r.Name) {
		r.add(finding.Finding{ID: FindOpenWater, Severity: finding.Caution, Source: source.FromMemory})
	}
	if si, ok := r.Aired.SI(chem.Calcite); ok && si > 0.5 && r.from[Alkalinity] != Guessed {
		r.add(finding.Finding{ID: FindScale, Severity: finding.Note, Figure: si, Source: "plummer1982", Args: finding.Args{"PH": r.Aired.PH}})
	}
}
