package mix

import (
	"cmp"
	"math"
	"slices"

	"raftwright/chem"
	"raftwright/finding"
	"raftwright/unit"
)

// StockPlan is a pair of concentrates for an injector.
type StockPlan struct {
	Volume unit.Volume
	Ratio  float64
	Tanks  []Tank // A holds the calcium; one tank where nothing has to be kept apart
	Fits   bool   // everything dissolves, nothing falls out, at 10 °C too
	Most   float64
	// Most is the highest ratio at which everything stays below the allowed
	// share of its solubility at 10 °C.
}

// Tank is one concentrate.
type Tank struct {
	Name   string
	Items  []TankItem
	Full   unit.Fraction // of what dissolves at 10 °C, the worst group of salts
	Solids []Saturation  // Index at 20 °C, Open at 10 °C
	Clouds bool          // a solid can form
}

// TankItem is a product in a tank.
type TankItem struct {
	Product  string
	Mass     unit.Mass              // into the tank
	Strength unit.MassConcentration // in the tank
	Full20   unit.Fraction          // of its solubility at 20 °C; 0 where it is not known
	Full10   unit.Fraction
}

// allowedFull is the share of a salt's solubility that a tank may use: 70 to
// 80 % by common practice.
const allowedFull = 0.75

// Findings about tanks.
const (
	FindTankFull   finding.ID = "mix.tank_full"
	FindTankClouds finding.ID = "mix.tank_clouds"
)

// stockPlan splits the products over two tanks: over every split, first so that
// calcium meets least sulfate and phosphate, then so that the fuller tank is
// least full, chelated iron stands with the calcium (away from the acid tank)
// and the weights are near each other.
func (s *solver) stockPlan(doses []Dose) (*StockPlan, error) {
	plan := &StockPlan{Volume: s.job.Stock.Volume, Ratio: s.job.Stock.Ratio, Fits: true}
	parts := make([]tankPart, len(doses))
	for i, d := range doses {
		parts[i] = s.tankPart(d, plan.Ratio)
	}
	inB := splitTanks(parts)
	for _, name := range []string{"A", "B"} {
		t, err := tankOf(name, parts, inB, plan.Volume)
		if err != nil {
			return nil, err
		}
		if len(t.Items) == 0 {
			continue
		}
		plan.Fits = plan.Fits && !t.Clouds && t.Full <= allowedFull
		plan.Tanks = append(plan.Tanks, t)
	}
	full := 0.0
	for i := range doses {
		doses[i].Tank = "A"
		if inB[i] {
			doses[i].Tank = "B"
		}
	}
	for _, t := range plan.Tanks {
		full = max(full, float64(t.Full))
	}
	if full > 0 {
		plan.Most = plan.Ratio * allowedFull / full
	}
	return plan, nil
}

type tankPart struct {
	product      string
	strength     unit.MassConcentration // in the tank
	ions         chem.Composition
	full20, full float64 // of the solubility at 20 and 10 °C
	chelate      bool
}

func (s *solver) tankPart(d Dose, ratio float64) tankPart {
	m, c := s.job.Shelf[d.Shelf], s.contentsOf(d)
	strength := d.Strength * unit.MassConcentration(ratio)
	p := tankPart{product: d.Product, strength: strength, ions: c.Ions.Times(float64(strength)), chelate: c.Chelate != NoChelate}
	at20, at10 := m.Solubility, m.Solubility*0.8 // most salts lose about a fifth from 20 to 10 °C
	if e := m.kin; e != nil {
		if at20 == 0 {
			at20 = e.solubility20
		}
		if e.solubility20 > 0 {
			at10 = at20 * e.solubility10 / e.solubility20
		}
	}
	if at20 == 0 && m.Label != nil {
		at20, at10 = 300, 240 // complete powders: 250 to 400 g/L on usual labels, from memory
	}
	if at20 > 0 {
		p.full20, p.full = float64(strength/at20), float64(strength/at10)
	}
	return p
}

// splitTanks tries every split (every one of the largest twelve where there are
// more; the rest joins A). The first product that carries calcium stands in A.
func splitTanks(parts []tankPart) []bool {
	order := make([]int, len(parts))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(parts[b].strength, parts[a].strength) })
	if alone := scoreSplit(parts, make([]bool, len(parts))); alone[0] == 0 && fullest(parts, make([]bool, len(parts)), false) <= allowedFull {
		return make([]bool, len(parts)) // nothing has to be kept apart: one tank does
	}
	free := order[:min(len(order), 12)]
	best, score := 0, [4]float64{math.Inf(1)}
	for split := range 1 << len(free) {
		inB := make([]bool, len(parts))
		for b, i := range free {
			inB[i] = split>>b&1 == 1
		}
		if v := scoreSplit(parts, inB); slices.Compare(v[:], score[:]) < 0 {
			best, score = split, v
		}
	}
	out := make([]bool, len(parts))
	for b, i := range free {
		out[i] = best>>b&1 == 1
	}
	return out
}

// scoreSplit: less is better, the first figure first.
func scoreSplit(parts []tankPart, inB []bool) [4]float64 {
	var ions [2]chem.Composition
	var weight, calcium [2]float64
	astray := 0.0
	for i, p := range parts {
		t := 0
		if inB[i] {
			t = 1
		}
		ions[t] = ions[t].Add(p.ions)
		weight[t] += float64(p.strength)
		calcium[t] += float64(p.ions.Ca)
	}
	for i, p := range parts {
		if p.chelate && inB[i] {
			astray++
		}
	}
	if calcium[1] > calcium[0] { // A is the calcium tank
		astray += float64(len(parts))
	}
	meeting := 0.0
	for _, c := range ions {
		meeting += float64(c.Ca) * (float64(c.SO4) + 10*float64(c.P) + 10*float64(c.TIC))
	}
	if meeting < 1 { // less than 1 (mmol/L)2: traces
		meeting = 0
	}
	return [4]float64{meeting, math.Round(10*max(fullest(parts, inB, false), fullest(parts, inB, true))) / 10, astray, math.Abs(weight[0] - weight[1])}
}

// fullest adds up the shares of solubility of the salts in a tank that share a
// main ion, since each takes the room of the others.
func fullest(parts []tankPart, inB []bool, b bool) float64 {
	var potassium, calcium, other float64
	for i, p := range parts {
		if inB[i] != b {
			continue
		}
		switch {
		case p.ions.K > 0:
			potassium += p.full
		case p.ions.Ca > 0:
			calcium += p.full
		default:
			other = max(other, p.full)
		}
	}
	return max(potassium, calcium, other)
}

func tankOf(name string, parts []tankPart, inB []bool, volume unit.Volume) (Tank, error) {
	t := Tank{Name: name}
	var ions chem.Composition
	for i, p := range parts {
		if inB[i] != (name == "B") {
			continue
		}
		t.Items = append(t.Items, TankItem{Product: p.product, Mass: p.strength.In(volume), Strength: p.strength,
			Full20: unit.Fraction(p.full20), Full10: unit.Fraction(p.full)})
		ions = ions.Add(p.ions)
	}
	t.Full = unit.Fraction(fullest(parts, inB, name == "B"))
	if len(t.Items) == 0 {
		return t, nil
	}
	var err error
	t.Solids, err = tankSolids(ions)
	for _, s := range t.Solids {
		t.Clouds = t.Clouds || s.Index > 0 || s.Open > 0
	}
	return t, err
}

// tankSolids asks the chemistry at 20 and 10 °C. Concentrates are beyond the
// range in which its activities are exact; an index above 0 there means that
// calcium meets sulfate or phosphate by the hundredfold, and that is plain
// enough. Concentrates beyond any model are called cloudy when they hold both.
func tankSolids(ions chem.Composition) ([]Saturation, error) {
	var at [2]chem.Solution
	for i, t := range [2]unit.Temperature{20, 10} {
		k, err := chem.At(t)
		if err != nil {
			return nil, err
		}
		s, err := k.Closed(ions)
		if err != nil {
			if ions.Ca > 0 && ions.SO4+ions.P > 0 {
				return []Saturation{{chem.Gypsum, 1, 1}}, nil
			}
			return nil, nil
		}
		at[i] = s
	}
	var out []Saturation
	for _, m := range []chem.Mineral{chem.Gypsum, chem.Brushite, chem.Struvite} {
		warm, ok := at[0].SI(m)
		cold, _ := at[1].SI(m)
		if ok {
			out = append(out, Saturation{m, warm, cold})
		}
	}
	return out, nil
}

func (p *StockPlan) findings() []finding.Finding {
	var out []finding.Finding
	for _, t := range p.Tanks {
		if t.Full > allowedFull {
			out = append(out, finding.Finding{ID: FindTankFull, Severity: finding.Caution, Figure: t.Full, Source: "crc_solubility",
				Args: finding.Args{"Tank": t.Name, "Full": t.Full, "Ratio": p.Ratio, "Most": math.Floor(p.Most)}})
		}
		for _, s := range t.Solids {
			if s.Index > 0 || s.Open > 0 {
				out = append(out, finding.Finding{ID: FindTankClouds, Severity: finding.Caution, Figure: s.Index, Source: "own",
					Args: finding.Args{"Tank": t.Name, "Solid": solidWord(s.Mineral)}})
				break
			}
		}
	}
	return out
}

func solidWord(m chem.Mineral) finding.Word {
	switch m {
	case chem.Calcite:
		return "word.lime_scale"
	case chem.Gypsum:
		return "word.gypsum"
	case chem.Struvite:
		return "word.struvite"
	case chem.Ferrihydrite:
		return "word.rust"
	}
	return "word.calcium_phosphate"
}
