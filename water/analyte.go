package water

import (
	"math"
	"strings"

	"raftwright/chem"
	"raftwright/finding"
	"raftwright/unit"
)

// Analyte is a line of a water test.
type Analyte int

// The analytes that are understood, in the order of a report.
const (
	Alkalinity Analyte = iota
	Bicarbonate
	Carbonate
	Hardness
	Calcium
	Magnesium
	Sodium
	Potassium
	Chloride
	Sulfate
	Nitrate
	Ammonium
	Phosphorus
	Iron
	Manganese
	Zinc
	Copper
	Boron
	Molybdenum
	Fluoride
	Silicon
	FreeChlorine
	Chloramine
	AnalyteCount
)

// form is a chemical form that a figure can be counted as.
type form struct {
	name  string
	mass  float64 // g/mol
	count float64 // analyte in one of it
}

// line says how an analyte is printed. Its forms begin with the one that is
// meant when none is written.
type line struct {
	key    string // in a brief
	word   finding.Word
	charge float64 // equivalents in a mole; 0: never printed in meq/L
	hard   bool    // counted as CaCO3 by hardness scales
	forms  []form
}

// mass gives the molar mass of a formula of the table below.
func mass(formula string) float64 {
	f, err := chem.ParseFormula(formula)
	if err != nil {
		return math.NaN() // the test of the table fails on it
	}
	return f.Mass()
}

func of(name, formula string, count float64) form { return form{name, mass(formula), count} }

// lines is the table of analytes. Alkalinity, bicarbonate and carbonate are
// counted in equivalents, hardness in moles of calcium and magnesium.
var lines = [AnalyteCount]line{
	Alkalinity: {"alkalinity", finding.Word("word.analyte.alkalinity"), 1, true,
		[]form{of("CaCO3", "CaCO3", 2), of("HCO3", "HCO3", 1), of("CO3", "CO3", 2)}},
	Bicarbonate: {"bicarbonate", finding.Word("word.analyte.bicarbonate"), 1, true,
		[]form{of("HCO3", "HCO3", 1), of("CaCO3", "CaCO3", 2)}},
	Carbonate: {"carbonate", finding.Word("word.analyte.carbonate"), 1, true,
		[]form{of("CO3", "CO3", 2), of("CaCO3", "CaCO3", 2)}},
	Hardness: {"hardness", finding.Word("word.analyte.hardness"), 2, true,
		[]form{of("CaCO3", "CaCO3", 1), of("CaO", "CaO", 1), of("Ca", "Ca", 1)}},
	Calcium: {"calcium", finding.Word("word.analyte.calcium"), 2, true,
		[]form{of("Ca", "Ca", 1), of("CaO", "CaO", 1), of("CaCO3", "CaCO3", 1)}},
	Magnesium: {"magnesium", finding.Word("word.analyte.magnesium"), 2, true,
		[]form{of("Mg", "Mg", 1), of("MgO", "MgO", 1), of("CaCO3", "CaCO3", 1), of("MgCO3", "MgCO3", 1)}},
	Sodium:    {"sodium", finding.Word("word.analyte.sodium"), 1, false, []form{of("Na", "Na", 1), of("Na2O", "Na2O", 2), of("NaCl", "NaCl", 1)}},
	Potassium: {"potassium", finding.Word("word.analyte.potassium"), 1, false, []form{of("K", "K", 1), of("K2O", "K2O", 2)}},
	Chloride:  {"chloride", finding.Word("word.analyte.chloride"), 1, false, []form{of("Cl", "Cl", 1), of("NaCl", "NaCl", 1)}},
	Sulfate: {"sulfate", finding.Word("word.analyte.sulfate"), 2, false,
		[]form{of("SO4", "SO4", 1), of("S", "S", 1), of("SO4-S", "S", 1), of("SO3", "SO3", 1)}},
	Nitrate: {"nitrate-n", finding.Word("word.analyte.nitrate"), 1, false,
		[]form{of("N", "N", 1), of("NO3", "NO3", 1), of("NO3-N", "N", 1), of("N-NO3", "N", 1)}},
	Ammonium: {"ammonium-n", finding.Word("word.analyte.ammonium"), 1, false,
		[]form{of("N", "N", 1), of("NH4", "NH4", 1), of("NH3", "NH3", 1), of("NH4-N", "N", 1), of("NH3-N", "N", 1), of("N-NH4", "N", 1)}},
	Phosphorus: {"phosphorus", finding.Word("word.analyte.phosphorus"), 0, false,
		[]form{of("P", "P", 1), of("PO4", "PO4", 1), of("P2O5", "P2O5", 2), of("PO4-P", "P", 1), of("H2PO4", "H2PO4", 1), of("HPO4", "HPO4", 1)}},
	Iron:      {"iron", finding.Word("word.analyte.iron"), 2, false, []form{of("Fe", "Fe", 1)}},
	Manganese: {"manganese", finding.Word("word.analyte.manganese"), 2, false, []form{of("Mn", "Mn", 1)}},
	Zinc:      {"zinc", finding.Word("word.analyte.zinc"), 2, false, []form{of("Zn", "Zn", 1)}},
	Copper:    {"copper", finding.Word("word.analyte.copper"), 2, false, []form{of("Cu", "Cu", 1)}},
	Boron: {"boron", finding.Word("word.analyte.boron"), 0, false,
		[]form{of("B", "B", 1), of("H3BO3", "H3BO3", 1), of("BO3", "BO3", 1), of("B2O3", "B2O3", 2)}},
	Molybdenum: {"molybdenum", finding.Word("word.analyte.molybdenum"), 2, false, []form{of("Mo", "Mo", 1), of("MoO4", "MoO4", 1)}},
	Fluoride:   {"fluoride", finding.Word("word.analyte.fluoride"), 1, false, []form{of("F", "F", 1)}},
	Silicon: {"silicon", finding.Word("word.analyte.silicon"), 0, false,
		[]form{of("Si", "Si", 1), of("SiO2", "SiO2", 1), of("H4SiO4", "H4SiO4", 1)}},
	FreeChlorine: {"free chlorine", finding.Word("word.analyte.free_chlorine"), 0, false, []form{of("Cl2", "Cl2", 1), of("Cl", "Cl2", 1)}},
	Chloramine: {"chloramine", finding.Word("word.analyte.chloramine"), 0, false,
		[]form{of("Cl2", "Cl2", 1), of("Cl", "Cl2", 1), of("NH2Cl", "NH2Cl", 1)}},
}

// String gives the key of the analyte in a brief.
func (a Analyte) String() string {
	if a < 0 || a >= AnalyteCount {
		return ""
	}
	return lines[a].key
}

// Word gives the name to be printed.
func (a Analyte) Word() finding.Word {
	if a < 0 || a >= AnalyteCount {
		return ""
	}
	return lines[a].word
}

// Forms lists the chemical forms that the analyte may be counted as; the first
// is meant when none is written.
func (a Analyte) Forms() []string {
	if a < 0 || a >= AnalyteCount {
		return nil
	}
	var out []string
	for _, f := range lines[a].forms {
		out = append(out, f.name)
	}
	return out
}

// Mass gives a molar concentration of the analyte as the mass of its first form:
// alkalinity as CaCO3, nitrate as N, sulfate as SO4.
func (a Analyte) Mass(c unit.MolarConcentration) unit.MassConcentration {
	f := lines[a].forms[0]
	return unit.MassConcentration(float64(c)/f.count*f.mass) * unit.MilligramPerLitre
}

// Faults of a figure of a water test.
const (
	FaultForm   finding.ID = "water.fault.form"   // counted as what it is not
	FaultCharge finding.ID = "water.fault.charge" // in equivalents, without a fixed charge
	FaultScale  finding.ID = "water.fault.scale"  // in grains or degrees, which count calcium carbonate
	FaultUnit   finding.ID = "water.fault.unit"   // in no unit of a water test
	FaultMuch   finding.ID = "water.fault.much"   // more than dissolves, or less than nothing
)

// mostReading is the largest figure that a water can have.
const mostReading unit.MolarConcentration = 2000

// Convert gives a laboratory's figure as a molar concentration (alkalinity,
// bicarbonate and carbonate: of equivalents; hardness: of calcium and magnesium
// together; chlorine: of Cl2), or the fault of the key under water.
func Convert(a Analyte, r unit.Reading) (unit.MolarConcentration, finding.Faults) {
	if a < 0 || a >= AnalyteCount {
		return 0, finding.Faults{{ID: FaultUnit, Path: "water", Args: finding.Args{"Analyte": a.Word(), "Form": ""}}}
	}
	l := &lines[a]
	fail := func(id finding.ID) (unit.MolarConcentration, finding.Faults) {
		return 0, finding.Faults{{ID: id, Path: finding.Path("water").Key(l.key), Args: finding.Args{"Analyte": l.word, "Form": l.forms[0].name,
			"Written": clip(r.Form), "Forms": strings.Join(a.Forms(), ", "), "Most": mostReading}}}
	}
	f, ok := l.find(r.Form)
	if !ok {
		return fail(FaultForm)
	}
	var c float64
	switch r.Scale {
	case unit.MassScale:
		c = r.Value / f.mass * f.count
	case unit.MoleScale:
		c = r.Value
		if r.Form != "" {
			c *= f.count
		}
	case unit.EquivalentScale:
		if l.charge == 0 {
			return fail(FaultCharge)
		}
		c = r.Value / l.charge
	case unit.HardnessScale:
		if !l.hard || r.Form != "" && f.name != "CaCO3" {
			return fail(FaultScale)
		}
		carbonate := l.forms[max(0, l.index("CaCO3"))]
		c = r.Value / carbonate.mass * carbonate.count
	default:
		return fail(FaultUnit)
	}
	if !(c >= 0 && c <= float64(mostReading)) {
		return fail(FaultMuch)
	}
	return unit.MolarConcentration(c), nil
}

func (l *line) index(name string) int {
	for i := range l.forms {
		if strings.EqualFold(l.forms[i].name, name) {
			return i
		}
	}
	return -1
}

// find looks a written form up: "", "NO3", "NO3-", "as N", "SO₄²⁻".
func (l *line) find(written string) (form, bool) {
	if written == "" {
		return l.forms[0], true
	}
	if i := l.index(plain(written)); i >= 0 {
		return l.forms[i], true
	}
	return form{}, false
}

// plain takes charges, blanks and small digits off a written form.
func plain(written string) string {
	if len(written) > 40 {
		return written
	}
	s := strings.Map(func(r rune) rune {
		switch {
		case r >= '₀' && r <= '₉':
			return '0' + r - '₀'
		case strings.ContainsRune(" ⁺⁻⁰¹²³⁴⁵⁶⁷⁸⁹+", r):
			return -1
		case r == '–' || r == '−':
			return '-'
		}
		return r
	}, written)
	s = strings.TrimPrefix(strings.TrimPrefix(s, "as"), "of")
	return strings.TrimRight(s, "-=")
}

func clip(s string) string {
	if r := []rune(s); len(r) > 20 {
		return string(r[:20]) + "..."
	}
	return s
}
