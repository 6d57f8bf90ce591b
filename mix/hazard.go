package mix

import "raftwright/chem"

// Hazard is a way in which a material can hurt.
type Hazard int

// Hazards of fertilisers.
const (
	Oxidiser Hazard = iota // nitrates feed a fire; keep from heat, fuel and sawdust
	StrongAcid
	StrongBase
	Dusty    // a powder that should not be breathed in
	Irritant // burns eyes and skin when damp
)

var hazardNames = [...]string{"oxidiser", "strong acid", "strong base", "dust", "irritant"}

// String gives the plain name.
func (h Hazard) String() string {
	if h < 0 || int(h) >= len(hazardNames) {
		return "unknown hazard"
	}
	return hazardNames[h]
}

// hazardsOf reads the dangers of a salt off its formula: nitrates are oxidisers
// and irritate, an acid or base of a common mineral is corrosive, powders dust.
func hazardsOf(f chem.Formula, liquid bool) []Hazard {
	var out []Hazard
	ions := saltIons(f)
	charge := float64(ions.ReferenceCharge()) // + base, - acid, eq/mol
	if ions.NO3 > 0 && charge > -1e-9 {
		out = append(out, Oxidiser)
	}
	weak := ions.P > 0 || ions.Citrate > 0 || ions.B > 0 || ions.TIC > 0
	switch {
	case charge < -1e-9 && !weak && ions.Inert == 0, f.Count(chem.Phosphorus) > 0 && ions.K+ions.Na+ions.NH4+ions.Ca+ions.Mg == 0:
		out = append(out, StrongAcid)
	case charge > 1e-9 && !weak && ions.Si == 0 && ions.NH4 == 0:
		out = append(out, StrongBase)
	case charge > 1e-9 && ions.Si > 0:
		out = append(out, StrongBase)
	}
	if ions.Ca > 0 && ions.Cl > 0 || f.Count(chem.Copper)+f.Count(chem.Zinc)+f.Count(chem.Boron) > 0 || ions.NO3 > 0 {
		out = append(out, Irritant)
	}
	if !liquid {
		out = append(out, Dusty)
	}
	return out
}

// hazardsOfLabel does the same for a label: a share of nitrate that could burn
// on is an oxidiser (a third of a bag as nitrate salts, our own cautious line).
func hazardsOfLabel(s Shares) []Hazard {
	out := []Hazard{Dusty}
	if s[NitrateN] > 0.05 {
		out = append([]Hazard{Oxidiser}, out...)
	}
	return out
}
