package mix

import (
	"math"
	"strings"

	"raftwright/chem"
	"raftwright/finding"
	"raftwright/source"
	"raftwright/unit"
)

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
	FindTooSmall    finding.ID = "mix.too_small"
	FindNoEC        finding.ID = "mix.no_ec"
	FindUnbalanced  finding.ID = "mix.unbalanced"
	FindFromMemory  finding.ID = "mix.recipe_memory"
	FindNoPrice     finding.ID = "mix.no_price"
	FindOxidiser    finding.ID = "mix.oxidiser"
	FindSalty       finding.ID = "mix.salty"
	FindSpoonDoubt  finding.ID = "mix.spoon_doubt"
	FindUnproven    finding.ID = "mix.unproven"
	FindNoAcid      finding.ID = "mix.no_acid"
	FindHighPH      finding.ID = "mix.high_ph"
	FindLowPH       finding.ID = "mix.low_ph"
)

// Lines between words, as shares of the wish.
const (
	missingBelow = 0.25
	weakBelow    = 0.80
	strongAbove  = 1.30
)

// Boron margins for source water and solution, mg/L (from memory: good 0.3,
// caution 0.5, harm above 1).
const (
	boronCaution = 0.5 * unit.MilligramPerLitre
	boronHarm    = 1.0 * unit.MilligramPerLitre
)

// saltyAbove is where leaf crops in still beds have more salt than they use.
const saltyAbove = 2.5 * unit.MillisiemensPerCentimetre

func note(id finding.ID, severity finding.Severity, args finding.Args, figure any, src source.ID) finding.Finding {
	return finding.Finding{ID: id, Severity: severity, Args: args, Figure: figure, Source: src}
}

// judge says what is to be said about a mix.
func (s *solver) judge(m *Mix) []finding.Finding {
	var out []finding.Finding
	if len(s.products) == 0 {
		out = append(out, note(FindEmptyShelf, finding.Caution, nil, nil, ownRule))
	}
	out = append(out, s.judgeLimits(m)...)
	out = append(out, judgeWishes(m.Wishes)...)
	out = append(out, s.judgeProducts(m)...)
	out = append(out, judgeNitrogen(m.Achieved, m.Urea)...)
	out = append(out, judgeChemistry(m)...)
	out = append(out, judgeIron(m, s)...)
	if s.ecMissed {
		out = append(out, note(FindNoEC, finding.Caution, finding.Args{"Wanted": s.job.Target.EC, "Got": m.EC}, m.EC, source.Given))
	}
	if m.Recipe.Key != "" && m.Recipe.Unbalanced() {
		c, a, _ := m.Recipe.Balance()
		out = append(out, note(FindUnbalanced, finding.Caution, finding.Args{"Recipe": m.Recipe.Name, "Cations": float64(c), "Anions": float64(a)}, float64(c-a), m.Recipe.Source))
	}
	if m.Recipe.Key != "" && !m.Recipe.Read {
		out = append(out, note(FindFromMemory, finding.Note, finding.Args{"Recipe": m.Recipe.Name}, nil, m.Recipe.Source))
	}
	if s.acidErr != nil {
		out = append(out, note(FindNoAcid, finding.Caution, finding.Args{"Acid": s.job.Acid.Name, "Wanted": s.job.Acid.PH, "Got": m.PH}, m.PH, ownRule))
	}
	if !m.Proven || !m.GridProven {
		out = append(out, note(FindUnproven, finding.Note, nil, nil, ownRule))
	}
	if m.Stock != nil {
		out = append(out, m.Stock.findings()...)
	}
	return out
}

func (s *solver) judgeLimits(m *Mix) []finding.Finding {
	var out []finding.Finding
	for _, b := range s.rounded.broken {
		out = append(out, note(FindLimitBroken, finding.Stop,
			finding.Args{"Nutrient": nutrientWord(b.limit.Nutrient), "Least": b.limit.Least, "Got": b.got}, b.got, b.limit.Source))
	}
	for _, h := range s.blend.held {
		if h.least || h.budget {
			continue
		}
		got, n := m.Achieved[h.limit.Nutrient], h.limit.Nutrient
		args := finding.Args{"Nutrient": nutrientWord(n), "Most": h.limit.Most, "Got": got}
		switch {
		case h.byWater && h.limit.Source == source.Given && h.limit.Most > 0:
			out = append(out, note(FindLimitBroken, finding.Stop, finding.Args{"Nutrient": nutrientWord(n), "Least": h.limit.Most, "Got": got}, got, h.limit.Source))
		case h.byWater:
			out = append(out, note(FindWaterBeyond, finding.Caution, args, got, h.limit.Source))
		case s.asFound && got > h.limit.Most*1.001 && n != AmmoniumN: // ammonium has words of its own
			out = append(out, note(FindOverLimit, finding.Caution, args, got, h.limit.Source))
		case s.asFound:
		case float64(got) >= float64(h.limit.Most)*0.97 && h.limit.Source != source.Given && m.Misfit > 0.05:
			out = append(out, note(FindHeldBack, finding.Note, args, got, h.limit.Source))
		}
	}
	return out
}

// judgeWishes says what is missing, weak or strong.
func judgeWishes(wishes []Wish) []finding.Finding {
	var out []finding.Finding
	var traces []string
	for _, w := range wishes {
		share := unit.Fraction(w.Achieved / w.Level)
		args := finding.Args{"Nutrient": nutrientWord(w.Nutrient), "Got": w.Achieved, "Wanted": w.Level, "Share": share, "Times": float64(share)}
		switch {
		case share < missingBelow && w.Nutrient == Calcium:
			out = append(out, note(FindNoCalcium, finding.Caution, args, w.Achieved, ownRule))
		case share < missingBelow && w.Nutrient.IsMicro() && w.Nutrient != Iron:
			traces = append(traces, w.Nutrient.Symbol())
		case share < missingBelow:
			out = append(out, note(FindMissing, finding.Caution, args, w.Achieved, ownRule))
		case share < weakBelow:
			out = append(out, note(FindWeak, finding.Note, args, w.Achieved, ownRule))
		case share > strongAbove:
			out = append(out, note(FindStrong, finding.Caution, args, w.Achieved, ownRule))
		}
	}
	if len(traces) > 0 {
		out = append(out, note(FindNoTraces, finding.Note, finding.Args{"Symbols": strings.Join(traces, ", ")}, nil, ownRule))
	}
	return out
}

// judgeProducts says what the measure lost, what has no price, what burns.
func (s *solver) judgeProducts(m *Mix) []finding.Finding {
	var out []finding.Finding
	for j, free := range s.free.doses {
		if free <= 0 || s.rounded.doses[j] > 0 || free >= float64(s.grid[j]) || s.job.Measure.Kind != Scale || s.job.Bed <= 0 {
			continue
		}
		whole := unit.MassConcentration(free).In(s.job.Bed)
		if whole >= s.job.Measure.Step {
			out = append(out, note(FindTooSmall, finding.Caution, finding.Args{"Product": s.products[j].material.Name, "Mass": whole}, whole, ownRule))
		}
	}
	for _, name := range m.Cost.Unpriced {
		if m.Cost.PricedPart {
			out = append(out, note(FindNoPrice, finding.Note, finding.Args{"Product": name}, nil, source.Given))
		}
	}
	for _, h := range m.Handling {
		if h.Hazard == Oxidiser {
			out = append(out, note(FindOxidiser, finding.Caution, finding.Args{"Product": h.Product}, nil, source.CommonPractice))
		}
	}
	if s.job.Measure.Kind == Spoons && m.Achieved[Nitrogen] > 0 {
		out = append(out, note(FindSpoonDoubt, finding.Note, finding.Args{"Low": unit.MassConcentration(m.NBand.Low) * unit.MilligramPerLitre,
			"High": unit.MassConcentration(m.NBand.High) * unit.MilligramPerLitre}, m.NBand, "spoon_memory"))
	}
	return out
}

// judgeNitrogen looks at ammonium and urea.
func judgeNitrogen(l Levels, path []UreaStage) []finding.Finding {
	var out []finding.Finding
	if l[AmmoniumN] > StandingAmmonium*1.001 {
		out = append(out, note(FindAmmonium, finding.Caution, finding.Args{"Got": l[AmmoniumN], "Most": StandingAmmonium}, l[AmmoniumN], "nh4_study"))
	}
	f := l.NitrogenForms()
	if f.Urea > 0.05 {
		out = append(out, note(FindUrea, finding.Note, finding.Args{"Share": f.Urea, "Got": l[UreaN]}, f.Urea, "urea_ratio_study"))
	}
	for _, stage := range path {
		if stage.Hydrolysed == 1 && stage.Nitrified == 0 && stage.Ammonium > StandingAmmonium {
			out = append(out, note(FindUreaLater, finding.Caution, finding.Args{"EC": stage.EC, "PH": stage.PH, "Ammonium": stage.Ammonium, "From": path[0].EC},
				stage.Ammonium, "urea_nft"))
		}
	}
	return out
}

// judgeChemistry looks at solids, strength, pH and boron.
func judgeChemistry(m *Mix) []finding.Finding {
	var out []finding.Finding
	for _, s := range m.Solids {
		args := finding.Args{"Solid": solidWord(s.Mineral), "Index": s.Index}
		switch s.Mineral {
		case chem.Gypsum, chem.Brushite, chem.Struvite:
			if s.Index > 0 {
				out = append(out, note(FindClouds, finding.Caution, args, s.Index, ownRule))
			}
		case chem.Calcite:
			if s.Open > 0.3 {
				out = append(out, note(FindScale, finding.Note, args, s.Open, ownRule))
			}
		}
	}
	if m.EC > saltyAbove {
		out = append(out, note(FindSalty, finding.Caution, finding.Args{"EC": m.EC}, m.EC, source.CommonPractice))
	}
	if b := m.Achieved[Boron]; b > boronCaution {
		out = append(out, note(FindBoron, finding.Caution, finding.Args{"Got": b, "Margin": float64(boronHarm / b)}, b, source.FromMemory))
	}
	switch {
	case len(m.Doses) == 0:
	case m.PH > mostWellPH:
		out = append(out, note(FindHighPH, finding.Caution, finding.Args{"PH": m.PH}, m.PH, "ph_crops"))
	case m.PH < 5.0:
		out = append(out, note(FindLowPH, finding.Caution, finding.Args{"PH": m.PH}, m.PH, "ph_crops"))
	}
	return out
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
		args := finding.Args{"Product": d.Product, "PH": ph, "Chelate": c.Chelate.String(), "Most": c.Chelate.HoldsUpTo()}
		switch {
		case c.Chelate == NoChelate:
			out = append(out, note(FindIronPlain, finding.Caution, args, ph, source.CommonPractice))
		case ph > c.Chelate.HoldsUpTo():
			out = append(out, note(FindIronFalls, finding.Caution, args, ph, "chelate_leaflet"))
		}
	}
	return out
}

func nutrientWord(n Nutrient) finding.Word {
	if n < 0 || n >= NutrientCount {
		return "word.nutrient"
	}
	return finding.Word("nutrient." + nutrientKeys[n])
}

var nutrientKeys = [NutrientCount]string{"n", "nitrate", "ammonium", "urea", "p", "k", "ca", "mg", "s", "fe", "mn", "zn", "cu", "b", "mo", "cl", "na", "si", "bound"}
