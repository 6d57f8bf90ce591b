package mix

import (
	"raftwright/chem"
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
}

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
		s, err := step.of(k, ions, urea)
		if err != nil {
			return nil, err
		}
		out = append(out, s)
	}
	return out, nil
}

func (u ureaStep) of(k *chem.Equilibria, c chem.Composition, urea unit.MassConcentration) (UreaStage, error) {
	mmol := urea.MilligramsPerLitre() / chem.Nitrogen.Weight() * float64(u.hydrolysed)
	c.NH4 += unit.MolarConcentration(mmol)
	c.TIC += unit.MolarConcentration(mmol / 2)
	turned := c.NH4 * unit.MolarConcentration(u.nitrified)
	c.NH4 -= turned
	c.NO3 += turned
	s, err := k.Open(c, chem.AirCO2)
	if err != nil {
		return UreaStage{}, err
	}
	asN := func(m unit.MolarConcentration) unit.MassConcentration {
		return unit.MassConcentration(float64(m)*chem.Nitrogen.Weight()) * unit.MilligramPerLitre
	}
	return UreaStage{Hydrolysed: u.hydrolysed, Nitrified: u.nitrified, Week: u.week, EC: s.Conductivity, PH: s.PH, Ammonium: asN(c.NH4), Nitrate: asN(c.NO3),
		Urea: urea * unit.MassConcentration(1-u.hydrolysed), Ammonia: asN(s.Molar(chem.FreeNH3)), Alkalinity: s.Alkalinity()}, nil
}
