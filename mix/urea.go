package mix

import (
	"errors"
	"math"

	"raftwright/chem"
	"raftwright/finding"
	"raftwright/unit"
)

// UreaStage is what a mix with urea turns into while it stands, open to the air
// and with no plant drinking: urea becomes ammonium (hydrolysis), ammonium
// becomes nitrate (nitrification).
type UreaStage struct {
	Hydrolysed unit.Fraction // of the urea
	Nitrified  unit.Fraction // of all ammonium then there
	Week       int           // about when: 1 before a living film has grown, 3 when the urea has turned over
	EC         unit.Conductivity
	PH         float64
	Ammonium   unit.MassConcentration // as N
	Nitrate    unit.MassConcentration // as N
	Urea       unit.MassConcentration // as N
	Ammonia    unit.MassConcentration // un-ionised, as N: what harms roots and fish
	Alkalinity unit.Equivalents
	Stopped    bool // nitrification went no further: too sour
}

// nitrifierPH is where nitrification ends: oxidizers of nitrite stop below 6.0, those of
// ammonia are slow there, and 5.5 is their end (from memory).
const nitrifierPH = 5.5

// HarmfulAmmonia is the free ammonia, as nitrogen, from which roots of seedlings
// suffered: 0.17 to 0.22 mmol/L (Bennett and Adams 1970, from memory).
const HarmfulAmmonia = 2.4 * unit.MilligramPerLitre

// FindAmmonia is free ammonia beyond HarmfulAmmonia.
const FindAmmonia finding.ID = "mix.ammonia"

// ureaSteps are the stages told: urea stays urea for about a week in bare
// solution, is turned over by day 20 (nutrient-film trial of 1993), and then
// half of the ammonium or so is nitrified.
var ureaSteps = []ureaStep{{0, 0, 1}, {0.25, 0, 1}, {0.5, 0, 2}, {1, 0, 3}, {1, 0.1, 3}, {1, 0.25, 3}, {1, 0.5, 4}}

type ureaStep struct {
	hydrolysed, nitrified unit.Fraction
	week                  int
}

// UreaPath follows the urea of a mix. ions is the fresh mix without its urea,
// which no charge shows; urea its urea, as N.
func UreaPath(ions chem.Composition, urea unit.MassConcentration) ([]UreaStage, error) {
	k, err := chem.At(measuredAt)
	if err != nil {
		return nil, err
	}
	var out []UreaStage
	for _, step := range ureaSteps {
		s, err := step.until(k, ions, urea)
		if err != nil {
			return nil, err
		}
		out = append(out, s)
	}
	return out, nil
}

// until gives a step, nitrified only as far as the pH allows: to a millionth of the step, so
// that the pH stays on this side.
func (u ureaStep) until(k *chem.Equilibria, ions chem.Composition, urea unit.MassConcentration) (UreaStage, error) {
	whole, err := u.of(k, ions, urea)
	if err != nil || u.nitrified == 0 || whole.PH >= nitrifierPH {
		return whole, err
	}
	there := u.turned(ions, urea)
	turns, err := k.Amount(chem.Dosing{Into: there, Reagent: chem.Composition{NH4: -1, NO3: 1}, PH: nitrifierPH, CO2: chem.AirCO2,
		Most: there.NH4 * unit.MolarConcentration(u.nitrified)})
	var sour *chem.DoseError
	if errors.As(err, &sour) { // before any is nitrified
		turns = 0
	} else if err != nil {
		return UreaStage{}, err
	}
	const parts = 1 << 20
	u.nitrified *= unit.Fraction(math.Floor(float64(turns/there.NH4)/float64(u.nitrified)*parts) / parts)
	s, err := u.of(k, ions, urea)
	s.Stopped = true
	return s, err
}

// Ions are what is dissolved in the mix, with its acid.
func (m Mix) Ions() chem.Composition { return m.ions }

// JudgeAmmonia names free ammonia where pH and ammonium make it in a solution that is so warm,
// and the pH that keeps it harmless: at 25 °C half of the ammonium is ammonia at pH 9.25 and a tenth as much
// with each pH less. Acid that is given again holds the pH of what is fed as ammonium,
// but the pH that urea raises comes by itself.
func (m Mix) JudgeAmmonia(at unit.Temperature) []finding.Finding {
	urea, worst := m.Achieved[UreaN], ureaStep{}
	switch {
	case urea > 0:
		worst = mostAmmonia
	case m.Achieved[AmmoniumN] <= HarmfulAmmonia || m.Acid.Dose > 0:
		return nil
	}
	k, err := chem.At(at)
	if err != nil {
		return nil
	}
	c := worst.turned(m.ions, urea)
	s, err := k.FormsInAir(c, chem.AirCO2)
	if err != nil { // the mix itself was worked out of the same ions
		return nil
	}
	ammonia := asNitrogen(s.Molar(chem.FreeNH3))
	if ammonia <= HarmfulAmmonia {
		return nil
	}
	share := func(ammonia unit.MassConcentration) float64 {
		return math.Log10(float64(ammonia / (asNitrogen(c.NH4) - ammonia)))
	}
	keep := math.Floor(10*(s.PH-share(ammonia)+share(HarmfulAmmonia))) / 10
	return []finding.Finding{{ID: FindAmmonia, Severity: finding.Caution, Figure: ammonia, Source: "ammonia_roots",
		Args: finding.Args{"Got": ammonia, "PH": s.PH, "Most": HarmfulAmmonia, "Keep": keep, "Warmth": at, "Urea": worst.hydrolysed > 0, "Acid": m.Acid.Dose > 0}}}
}

// mostAmmonia is the step at which a mix with urea holds most free ammonia: open to the air all that turns
// over adds ammonium and, with it, alkalinity, which raises the pH, and all that is nitrified takes both away.
var mostAmmonia = ureaStep{hydrolysed: 1}

// asNitrogen counts a form of nitrogen by its nitrogen.
func asNitrogen(m unit.MolarConcentration) unit.MassConcentration {
	return unit.MassConcentration(float64(m)*chem.Nitrogen.Weight()) * unit.MilligramPerLitre
}

// turned gives the ions with the urea that turns over, before any is nitrified.
func (u ureaStep) turned(c chem.Composition, urea unit.MassConcentration) chem.Composition {
	mmol := urea.MilligramsPerLitre() / chem.Nitrogen.Weight() * float64(u.hydrolysed)
	c.NH4 += unit.MolarConcentration(mmol)
	c.TIC += unit.MolarConcentration(mmol / 2)
	return c
}

func (u ureaStep) of(k *chem.Equilibria, ions chem.Composition, urea unit.MassConcentration) (UreaStage, error) {
	c := u.turned(ions, urea)
	nitrified := c.NH4 * unit.MolarConcentration(u.nitrified)
	c.NH4 -= nitrified
	c.NO3 += nitrified
	s, err := k.Open(c, chem.AirCO2)
	if err != nil {
		return UreaStage{}, err
	}
	return UreaStage{Hydrolysed: u.hydrolysed, Nitrified: u.nitrified, Week: u.week, EC: s.Conductivity, PH: s.PH, Ammonium: asNitrogen(c.NH4), Nitrate: asNitrogen(c.NO3),
		Urea: urea * unit.MassConcentration(1-u.hydrolysed), Ammonia: asNitrogen(s.Molar(chem.FreeNH3)), Alkalinity: s.Alkalinity()}, nil
}
