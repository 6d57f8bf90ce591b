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
	split := splitTanks(parts)
	for _, name := range []string{"A", "B"} {
		t, err := tankOf(name, parts, split, plan.Volume)
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
		if parts[i].inB(split) {
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
	bit          int // in a split: set where it stands in B; 0: always in A
}

func (p tankPart) inB(split int) bool { return split&p.bit != 0 }

func (s *solver) tankPart(d Dose, ratio float64) tankPart {
	m, c := s.job.Shelf[d.Shelf], s.contentsOf(d)
	strength := d.Strength * unit.MassConcentration(ratio)
	p := tankPart{product: d.Product, strength: strength, ions: c.Ions.Times(float64(strength)), chelate: c.Chelate != NoChelate}
	at20, at10 := m.dissolves()
	if at20 > 0 {
		p.full20, p.full = float64(strength/at20), float64(strength/at10)
	}
	return p
}

// splitTanks tries every split (every one of the largest twelve where there are
// more; the rest joins A). The first product that carries calcium stands in A.
func splitTanks(parts []tankPart) (split int) {
	order := make([]int, len(parts))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(parts[b].strength, parts[a].strength) })
	free := order[:min(len(order), 12)]
	for bit, i := range free {
		parts[i].bit = 1 << bit
	}
	if alone := scoreSplit(parts, 0); alone[0] == 0 && loadOf(parts, 0, false).fullest() <= allowedFull {
		return 0 // nothing has to be kept apart: one tank does
	}
	score := [4]float64{math.Inf(1)}
	for s := range 1 << len(free) {
		if v := scoreSplit(parts, s); slices.Compare(v[:], score[:]) < 0 {
			split, score = s, v
		}
	}
	return split
}

// load is what one tank of a split holds: the shares of solubility add up over the
// salts that share a main ion, since each takes the room of the others.
type load struct {
	ions                             chem.Composition
	weight, potassium, calcium, rest float64
	chelates                         float64
}

func (l load) fullest() float64 { return max(l.potassium, l.calcium, l.rest) }

func loadOf(parts []tankPart, split int, b bool) (l load) {
	for _, p := range parts {
		if p.inB(split) != b {
			continue
		}
		l.ions = l.ions.Add(p.ions)
		l.weight += float64(p.strength)
		if p.chelate {
			l.chelates++
		}
		switch {
		case p.ions.K > 0:
			l.potassium += p.full
		case p.ions.Ca > 0:
			l.calcium += p.full
		default:
			l.rest = max(l.rest, p.full)
		}
	}
	return l
}

// scoreSplit: less is better, the first figure first.
func scoreSplit(parts []tankPart, split int) [4]float64 {
	a, b := loadOf(parts, split, false), loadOf(parts, split, true)
	astray, meeting := b.chelates, 0.0
	if b.ions.Ca > a.ions.Ca { // A is the calcium tank
		astray += float64(len(parts))
	}
	for _, c := range []chem.Composition{a.ions, b.ions} {
		meeting += float64(c.Ca) * (float64(c.SO4) + 10*float64(c.P) + 10*float64(c.TIC))
	}
	if meeting < 1 { // less than 1 (mmol/L)2: traces
		meeting = 0
	}
	return [4]float64{meeting, math.Round(10*max(a.fullest(), b.fullest())) / 10, astray, math.Abs(a.weight - b.weight)}
}

func tankOf(name string, parts []tankPart, split int, volume unit.Volume) (t Tank, err error) {
	l := loadOf(parts, split, name == "B")
	t = Tank{Name: name, Full: unit.Fraction(l.fullest())}
	for _, p := range parts {
		if p.inB(split) == (name == "B") {
			t.Items = append(t.Items, TankItem{Product: p.product, Mass: p.strength.In(volume), Strength: p.strength,
				Full20: unit.Fraction(p.full20), Full10: unit.Fraction(p.full)})
		}
	}
	if len(t.Items) == 0 {
		return t, nil
	}
	t.Solids, err = tankSolids(l.ions)
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
