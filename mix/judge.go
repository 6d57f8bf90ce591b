package mix

import (
	"math"
	"slices"
	"strings"

	"raftwright/chem"
	"raftwright/finding"
	"raftwright/source"
	"raftwright/unit"
	"raftwright/usual"
	"raftwright/water"
)

// losesHarvest are what a mix may have that costs the crop, not only some of its growth.
var losesHarvest = []finding.ID{FindNoCalcium, FindMissing, FindWeak, FindAllow, FindHarm, FindLowPH, FindHighPH, FindNoEC, FindEmptyShelf}

// Findings about a mix.
const (
	FindNoCalcium   finding.ID = "mix.no_calcium"
	FindMissing     finding.ID = "mix.missing"
	FindNoTraces    finding.ID = "mix.no_traces"
	FindWeak        finding.ID = "mix.weak"
	FindStrong      finding.ID = "mix.strong"
	FindAmmonium    finding.ID = "mix.ammonium"
	FindHeldBack    finding.ID = "mix.held_back"
	FindOverLimit   finding.ID = "mix.over_limit"
	FindUrea        finding.ID = "mix.urea"
	FindUreaLater   finding.ID = "mix.urea_later"
	FindLimitBroken finding.ID = "mix.limit_broken"
	FindWaterBeyond finding.ID = "mix.water_beyond"
	FindClouds      finding.ID = "mix.clouds"
	FindScale       finding.ID = "mix.scale"
	FindIronFalls   finding.ID = "mix.iron_falls"
	FindIronPlain   finding.ID = "mix.iron_plain"
	FindBoron       finding.ID = "mix.boron"
	FindBoronMargin finding.ID = "mix.boron_margin"
	FindTooSmall    finding.ID = "mix.too_small"
	FindNoEC        finding.ID = "mix.no_ec"
	FindUnbalanced  finding.ID = "mix.unbalanced"
	FindFromMemory  finding.ID = "mix.recipe_memory"
	FindNoPrice     finding.ID = "mix.no_price"
	FindOxidiser    finding.ID = "mix.oxidiser"
	FindApart       finding.ID = "mix.apart"
	FindSalty       finding.ID = "mix.salty"
	FindSpoonDoubt  finding.ID = "mix.spoon_doubt"
	FindOwnSpoons   finding.ID = "mix.spoon_own"
	FindUnproven    finding.ID = "mix.unproven"
	FindNoAcid      finding.ID = "mix.no_acid"
	// FindAcidUnneeded is a mix that its feed alone brings past the pH that is wanted.
	FindAcidUnneeded finding.ID = "mix.acid_unneeded"
	FindHighPH       finding.ID = "mix.high_ph"
	FindLowPH        finding.ID = "mix.low_ph"
)

// Lines between words, as shares of the wish; strongAbove of the most that recipes
// hold (own choice).
const (
	missingBelow = 0.25
	strongAbove  = 1.30
)

// boronCaution is where boron asks for care (basin_plan: threshold 0.5).
const boronCaution = 0.5 * unit.MilligramPerLitre

// leastPH is where roots begin to suffer (from memory).
const leastPH = 5.0

// saltyAbove is where leaf crops in still beds have more salt than they use, where
// the crop is not known.
const saltyAbove = 2.5 * unit.MillisiemensPerCentimetre

// seenOnPen is the least change of EC that shows on a pen with one decimal.
const seenOnPen = 0.1 * unit.MillisiemensPerCentimetre

// judge says what is to be said about a mix.
func (s *solver) judge(m *Mix) []finding.Finding {
	var out []finding.Finding
	if len(s.products) == 0 {
		out = append(out, finding.Finding{ID: FindEmptyShelf, Severity: finding.Caution, Args: nil, Figure: nil, Source: ownRule})
	}
	if s.job.Pinned != nil {
		out = append(out, s.judgePinned(m)...)
	} else {
		out = append(out, s.judgeLimits(m)...)
	}
	out = append(out, judgeWishes(m.Fit, m.usualOf)...)
	if s.found == nil {
		out = append(out, s.judgeFeed(m)...)
		out = append(out, s.judgeAllowed(m)...)
	}
	out = append(out, s.judgeTraces(m)...)
	out = append(out, s.judgeProducts(m)...)
	out = append(out, judgeNitrogen(m, s.job.Crop)...)
	out = append(out, judgeChemistry(m, s.blend.harm(Boron))...)
	s.lift(m, out)
	out = append(out, s.judgeSteered(m)...)
	out = append(out, judgeStrength(m, s.job.Crop.EC)...)
	out = append(out, judgeIron(m, s)...)
	if s.ecMissed {
		out = append(out, finding.Finding{ID: FindNoEC, Severity: finding.Caution, Args: finding.Args{"Wanted": s.job.Target.EC, "Got": m.EC}, Figure: m.EC, Source: source.Given})
	}
	if m.Recipe.Key != "" && m.Recipe.Unbalanced() {
		c, a, _ := m.Recipe.Balance()
		out = append(out, finding.Finding{ID: FindUnbalanced, Severity: finding.Caution, Args: finding.Args{"Recipe": m.Recipe.Name, "Cations": float64(c), "Anions": float64(a)}, Figure: float64(c - a), Source: m.Recipe.Source})
	}
	if m.Recipe.Key != "" && !m.Recipe.Read {
		out = append(out, finding.Finding{ID: FindFromMemory, Severity: finding.Note, Args: finding.Args{"Recipe": m.Recipe.Name}, Figure: nil, Source: m.Recipe.Source})
	}
	if m.PHOpen { // nobody knows where it stands
	} else if s.acidErr != nil && s.past(m) {
		out = append(out, finding.Finding{ID: FindAcidUnneeded, Severity: finding.Note, Args: finding.Args{"Wanted": s.job.Acid.PH, "Got": m.PH}, Figure: m.PH, Source: ownRule})
	} else if s.acidErr != nil {
		out = append(out, finding.Finding{ID: FindNoAcid, Severity: finding.Caution, Args: finding.Args{"Acid": s.job.Acid.Name, "Wanted": s.job.Acid.PH, "Got": m.PH}, Figure: m.PH, Source: ownRule})
	}
	if !m.Proven || !m.GridProven {
		out = append(out, finding.Finding{ID: FindUnproven, Severity: finding.Note, Args: nil, Figure: nil, Source: ownRule})
	}
	if m.Stock != nil {
		out = append(out, m.Stock.findings()...)
	}
	return out
}

// past says that the mix is below the pH that an acid was to bring, without any.
func (s *solver) past(m *Mix) bool {
	return m.PH < s.job.Acid.PH && s.job.Acid.Reagent.ReferenceCharge() < 0
}

func (s *solver) judgeLimits(m *Mix) []finding.Finding {
	var out []finding.Finding
	for _, b := range s.rounded.broken {
		out = append(out, finding.Finding{ID: FindLimitBroken, Severity: finding.Stop, Args: finding.Args{"Nutrient": b.limit.Nutrient.Word(), "Least": b.limit.Least, "Got": b.got}, Figure: b.got, Source: b.limit.Source})
	}
	for _, h := range s.blend.held {
		if h.least || h.budget || h.sources && s.found != nil {
			continue
		}
		got, n := m.Achieved[h.limit.Nutrient], h.limit.Nutrient
		args := finding.Args{"Nutrient": n.Word(), "Most": h.limit.Most, "Got": got}
		switch {
		case h.byWater && h.limit.Source == source.Given && h.limit.Most > 0:
			out = append(out, finding.Finding{ID: FindLimitBroken, Severity: finding.Stop, Args: finding.Args{"Nutrient": n.Word(), "Least": h.limit.Most, "Got": got}, Figure: got, Source: h.limit.Source})
		case h.byWater:
			out = append(out, finding.Finding{ID: FindWaterBeyond, Severity: finding.Caution, Args: args, Figure: got, Source: h.limit.Source})
		case s.found != nil && got > h.limit.Most*1.001 && n != AmmoniumN: // ammonium has words of its own
			out = append(out, finding.Finding{ID: FindOverLimit, Severity: finding.Caution, Args: args, Figure: got, Source: h.limit.Source})
		case s.found != nil:
		case float64(got) >= float64(h.limit.Most)*0.97 && h.limit.Source != source.Given && m.Misfit > 0.05:
			out = append(out, finding.Finding{ID: FindHeldBack, Severity: finding.Note, Args: args, Figure: got, Source: h.limit.Source})
		}
	}
	return out
}

// judgeWishes says what is short, what is more than recipes hold, and what harms.
// What a label does not tell of is an assumption, no lack; what the water alone is
// beyond is told with the water; what is only usual for the grade of a product is to be
// looked up on its bag.
func judgeWishes(wishes []Wish, usualOf string) []finding.Finding {
	var out []finding.Finding
	var traces []string
	for _, w := range wishes {
		args := finding.Args{"Nutrient": w.Nutrient.Word(), "Got": w.Achieved, "Wanted": w.Level, "Most": w.High}
		tell := func(id finding.ID, s finding.Severity, from source.ID) {
			out = append(out, finding.Finding{ID: id, Severity: s, Args: args, Figure: w.Achieved, Source: from})
		}
		if w.Level > 0 {
			args["Share"], args["Times"] = unit.Fraction(w.Achieved/w.Level), float64(w.Achieved/w.High)
		}
		short := w.Level > 0 && !w.Unknown && w.Short()
		switch share := float64(w.Achieved / max(w.Level, 1e-300)); {
		case w.Nutrient == Boron && w.Achieved-w.Usual > boronCaution: // it has words of its own
		case w.Harms() && w.Given > w.Harm:
		case w.Harms():
			args["Most"] = w.Harm
			tell(FindHarm, finding.Caution, w.HarmFrom)
		case w.MayHarm():
			args["Most"], args["Product"] = w.Harm, usualOf
			tell(FindMayHarm, finding.Note, "label_usual")
		case w.IsOver() && (w.Given > w.High || w.Nutrient.IsMicro()):
		case w.IsOver():
			severity := finding.Note
			if args["Times"].(float64) > strongAbove {
				severity = finding.Caution
			}
			tell(FindStrong, severity, w.HighFrom)
		case !short:
		case share < missingBelow && w.Nutrient == Calcium:
			tell(FindNoCalcium, finding.Caution, ownRule)
		case share < missingBelow && w.Nutrient.IsMicro() && w.Nutrient != Iron:
			traces = append(traces, w.Nutrient.Symbol())
		case share < missingBelow:
			tell(FindMissing, finding.Caution, ownRule)
		default:
			severity := finding.Note
			if !w.Nutrient.IsMicro() {
				severity = finding.Caution
			}
			tell(FindWeak, severity, ownRule)
		}
	}
	if len(traces) > 0 {
		out = append(out, finding.Finding{ID: FindNoTraces, Severity: finding.Note, Args: finding.Args{"Symbols": strings.Join(traces, ", ")}, Figure: nil, Source: ownRule})
	}
	return out
}

// judgeProducts says what the measure lost, what has no price, what burns.
func (s *solver) judgeProducts(m *Mix) []finding.Finding {
	var out []finding.Finding
	for j, free := range s.free.doses {
		if free <= 0 || s.rounded.doses[j] > 0 || free >= float64(s.grid[j]) || s.job.Measure.Kind != Scale {
			continue
		}
		batch := max(s.fill.Makes, s.job.Bed)
		out = append(out, finding.Finding{ID: FindTooSmall, Severity: finding.Note, Figure: unit.MassConcentration(free).In(batch), Source: ownRule,
			Args: finding.Args{"Product": s.products[j].material.Name, "Bed": s.job.Bed > 0, "Step": s.job.Measure.Step}})
	}
	for _, name := range m.Cost.Unpriced {
		if m.Cost.PricedPart {
			out = append(out, finding.Finding{ID: FindNoPrice, Severity: finding.Note, Args: finding.Args{"Product": name}, Figure: nil, Source: source.Given})
		}
	}
	for _, h := range m.Handling {
		if h.Hazard == Oxidiser {
			out = append(out, finding.Finding{ID: FindOxidiser, Severity: finding.Caution, Args: finding.Args{"Product": h.Product}, Usual: true, Source: source.CommonPractice})
		}
	}
	if a, b := meeting(m.Doses); a != "" {
		out = append(out, finding.Finding{ID: FindApart, Severity: finding.Caution, Args: finding.Args{"First": a, "Second": b}, Source: source.CommonPractice})
	}
	if powder := slices.ContainsFunc(m.Doses, func(d Dose) bool { return d.Liquid == 0 }); powder && s.job.Measure.Kind == Spoons && m.Achieved[Nitrogen] > 0 {
		id := FindSpoonDoubt
		if ownSpoons(m.Doses) {
			id = FindOwnSpoons
		}
		out = append(out, finding.Finding{ID: id, Severity: finding.Note, Args: finding.Args{"Low": unit.MassConcentration(m.NBand.Low) * unit.MilligramPerLitre,
			"High": unit.MassConcentration(m.NBand.High) * unit.MilligramPerLitre}, Figure: m.NBand, Source: "spoon_memory"})
	}
	return out
}

// meeting gives a product with calcium and one with sulfate or phosphate, which
// make gypsum or phosphate where they meet undissolved or concentrated.
func meeting(doses []Dose) (calcium, other string) {
	for _, d := range doses {
		switch ca, rest := d.Brings[Calcium] > 0, d.Brings[Sulfur]+d.Brings[Phosphorus] > 0; {
		case ca && !rest && calcium == "":
			calcium = d.Product
		case rest && !ca && other == "":
			other = d.Product
		}
	}
	if calcium == "" || other == "" {
		return "", ""
	}
	return calcium, other
}

// judgeNitrogen looks at ammonium and urea.
func judgeNitrogen(m *Mix, crop Crop) []finding.Finding {
	l, path := m.Achieved, m.Urea
	var out []finding.Finding
	if l[AmmoniumN] > StandingAmmonium*1.001 {
		out = append(out, finding.Finding{ID: FindAmmonium, Severity: finding.Caution, Args: finding.Args{"Got": l[AmmoniumN], "Most": StandingAmmonium, "Crop": crop.word()}, Figure: l[AmmoniumN], Source: "nh4_study"})
	}
	f := l.NitrogenForms()
	if f.Urea > 0.05 {
		out = append(out, finding.Finding{ID: FindUrea, Severity: finding.Note, Args: finding.Args{"Share": f.Urea, "Got": l[UreaN]}, Figure: f.Urea, Source: "urea_ratio_study"})
	}
	for _, stage := range path {
		if stage.Hydrolysed == 1 && stage.Nitrified == 0 && !stage.Stopped && stage.Ammonium > StandingAmmonium {
			out = append(out, finding.Finding{ID: FindUreaLater, Severity: finding.Caution, Args: finding.Args{"EC": stage.EC, "PH": stage.PH, "Ammonium": stage.Ammonium, "From": path[0].EC, "Open": m.PHOpen,
				"Moves": stage.EC-path[0].EC > seenOnPen}, Figure: stage.Ammonium, Source: "urea_nft"})
		}
	}
	return out
}

// judgeStrength looks at the EC beside the crop's own range.
func judgeStrength(m *Mix, crop Band) []finding.Finding {
	high := unit.Conductivity(crop.High) * unit.MillisiemensPerCentimetre
	worst, from := high*strongAbove, ownRule
	if high == 0 {
		high, worst, from = saltyAbove, saltyAbove, source.CommonPractice
	}
	if m.EC <= high {
		return nil
	}
	severity := finding.Note
	if m.EC > worst {
		severity = finding.Caution
	}
	return []finding.Finding{{ID: FindSalty, Severity: severity, Args: finding.Args{"EC": m.EC, "High": high}, Figure: m.EC, Source: from}}
}

// judgeChemistry looks at solids, pH and boron.
func judgeChemistry(m *Mix, harm Bounds) []finding.Finding {
	var out []finding.Finding
	for _, s := range m.Solids {
		args := finding.Args{"Solid": solidWord(s.Mineral), "Index": s.Index}
		switch s.Mineral {
		case chem.Gypsum, chem.Brushite, chem.Struvite:
			if s.Index > 0 {
				out = append(out, finding.Finding{ID: FindClouds, Severity: finding.Caution, Args: args, Figure: s.Index, Source: ownRule})
			}
		case chem.Calcite:
			if s.Open > 0.3 {
				args["Acid"] = m.Acid.Dose > 0
				out = append(out, finding.Finding{ID: FindScale, Severity: finding.Note, Args: args, Figure: s.Open, Source: ownRule})
			}
		}
	}
	switch b := m.Achieved[Boron] - m.usual[Boron]; {
	case b <= boronCaution && slices.ContainsFunc(m.Doses, func(d Dose) bool {
		return d.Brings[Boron] > 0 && d.Brings[Nitrogen]+d.Brings[Phosphorus]+d.Brings[Potassium] == 0
	}):
		out = append(out, finding.Finding{ID: FindBoronMargin, Severity: finding.Note, Args: finding.Args{"Got": b, "Times": math.Round(float64(harm.Harm/b)*10) / 10, "Harm": harm.Harm}, Figure: b, Source: harm.HarmFrom})
	case b > boronCaution:
		out = append(out, finding.Finding{ID: FindBoron, Severity: finding.Caution, Args: finding.Args{"Got": b, "Margin": float64(harm.Harm / b), "Harm": harm.Harm}, Figure: b, Source: harm.HarmFrom})
	}
	switch {
	case len(m.Doses) == 0 || m.PHOpen:
	case m.PH > MostWellPH && m.Meters.Day.PH > MostWellPH: // water without a buffer comes down by itself
		out = append(out, finding.Finding{ID: FindHighPH, Severity: finding.Caution, Args: finding.Args{"PH": m.PH}, Figure: m.PH, Source: "anderson2017"})
	case m.PH < LeastWellPH:
		severity := finding.Note
		if m.PH < leastPH {
			severity = finding.Caution
		}
		out = append(out, finding.Finding{ID: FindLowPH, Severity: severity, Args: finding.Args{"PH": m.PH, "Hurts": m.PH < leastPH}, Figure: m.PH, Source: source.FromMemory})
	}
	return out
}

// lifts is the base that is told where a mix is too sour.
var lifts = water.Product{Reagent: water.PotassiumBicarbonate}

// lift adds to what is said of a sour mix how it comes up: by itself in a day, as its gas leaves, or by so much base for the bed.
func (s *solver) lift(m *Mix, said []finding.Finding) {
	for _, f := range said {
		if f.ID != FindLowPH {
			continue
		}
		if f.Args["Rises"] = m.Meters.Day.PH >= LeastWellPH; f.Args["Rises"] == true {
			f.Args["DayPH"] = m.Meters.Day.PH
			return
		}
		if f.Args["Acid"] = m.Acid.Dose > 0; f.Args["Acid"] == true {
			f.Args["GoalPH"] = usual.PH
			return
		}
		if f.Args["Turns"] = m.PH >= leastPH && m.ureaLifts(); f.Args["Turns"] == true { // a base would raise it further then
			return
		}
		of := s.job.Bed
		if of == 0 {
			of = 100 * unit.Litre
		}
		dose, err := s.ions.Amount(chem.Dosing{Into: m.ions, Reagent: lifts.Adds(), PH: usual.PH, CO2: chem.AirCO2})
		if err != nil { // another water or feed has to do it
			return
		}
		mass := unit.Mass(float64(dose)*lifts.Reagent.MolarMass()*of.Litres()/1e3) * unit.Gram
		f.Args["Lifts"], f.Args["Dose"], f.Args["Volume"] = true, mass, of
		if q := math.Round(float64(mass/water.BicarbonateSpoon)/quarter) * quarter; s.job.Measure.Kind == Spoons && q > 0 {
			f.Args["Spoons"] = q
		}
	}
}

// ureaLifts says whether the pH is well by the second week by itself, as the urea turns over.
func (m Mix) ureaLifts() bool {
	return slices.ContainsFunc(m.Urea, func(s UreaStage) bool { return s.Week <= 2 && s.PH >= LeastWellPH })
}

// judgeIron says whether the iron stays in solution at the pH of the mix, now
// and after a day in the air.
func judgeIron(m *Mix, s *solver) []finding.Finding {
	var out []finding.Finding
	ph := math.Max(m.PH, m.Meters.Day.PH)
	if m.Acid.Dose > 0 {
		ph = m.PH // the acid is given again until the pH stands
	}
	for _, d := range m.Doses {
		c := s.contentsOf(d)
		if d.Brings[Iron] <= 0 {
			continue
		}
		args := finding.Args{"Product": d.Product, "PH": ph, "Later": ph > m.PH+0.05, "Chelate": c.Chelate.String(), "Most": c.Chelate.HoldsUpTo()}
		switch {
		case c.Chelated < 0.5:
			out = append(out, finding.Finding{ID: FindIronPlain, Severity: finding.Caution, Args: args, Figure: ph, Source: source.CommonPractice})
		case ph > c.Chelate.HoldsUpTo():
			out = append(out, finding.Finding{ID: FindIronFalls, Severity: finding.Caution, Args: args, Figure: ph, Source: "chelate_pages"})
		}
	}
	return out
}
