package mix

import (
	"math"
	"strings"

	"raftwright/chem"
	"raftwright/finding"
	"raftwright/source"
	"raftwright/unit"
)

// Material is a product as it stands on a shelf: what is printed on its label,
// or the formula of the salt, and how it is sold. Only a name and a label or a
// formula are needed; zero means that the rest is not known.
type Material struct {
	Path    finding.Path // of the key in the brief that it comes from; "" for one of the library
	Name    string
	Label   *Label        // as printed; nil where there is a formula
	Formula string        // of a single salt ("MgSO4.7H2O"); "" where there is a label
	Purity  unit.Fraction // of the formula; 0: taken as pure, and said so

	Chelate Chelate // what holds the iron; read off the formula where it can be

	Density       unit.Density // of a liquid; 0 for a powder
	BulkDensity   unit.Density // of the loose powder
	LevelTeaspoon unit.Mass    // of one level teaspoon
	SpoonSpread   unit.Fraction
	SpoonsWeighed int                    // how many level spoons were weighed; 0: LevelTeaspoon is not the grower's own
	Solubility    unit.MassConcentration // in water of 20 °C
	Limit         unit.MassConcentration // never dose more than this

	Pack       unit.Mass   // as sold, by mass
	PackVolume unit.Volume // as sold, by volume
	Price      float64     // of the pack; 0: unknown
	Currency   string

	spanish string // its name there, folded; "" for a product of the grower
	kin     *salt  // what the library knows of the same salt; nil: nothing
}

// Chelate is what keeps a metal in solution.
type Chelate int

// The chelates of iron in use.
const (
	NoChelate Chelate = iota
	EDTA
	DTPA
	EDDHA
	HEDTA
)

var chelateNames = [...]string{"no chelate", "EDTA", "DTPA", "EDDHA", "HEDTA"}

// String gives the abbreviation.
func (c Chelate) String() string {
	if c < 0 || int(c) >= len(chelateNames) {
		return "unknown chelate"
	}
	return chelateNames[c]
}

// HoldsUpTo gives the highest pH at which the chelate keeps its iron in
// solution, 0 for none (EDTA 6.0 to 6.5, DTPA 6.5 to 7, EDDHA 8.5 to 9: the upper
// ends of chelate_pages; HEDTA 6.5 from memory).
func (c Chelate) HoldsUpTo() float64 {
	return [...]float64{NoChelate: 0, EDTA: 6.5, DTPA: 7.0, EDDHA: 9.0, HEDTA: 6.5}[min(max(c, 0), HEDTA)]
}

// Contents is what is in a material, per gram of it.
type Contents struct {
	Shares  Shares
	Ions    chem.Composition // mmol in a litre, per g/L of the material
	Chelate Chelate          // of the iron, NoChelate where it is a plain salt or absent
	// Chelated is the share of the iron that is chelated.
	Chelated unit.Fraction
	Hazards  []Hazard
	// Organic is the share of the mass that is nitrogen which has to rot first; it counts in no form. Rots says that the
	// material is an organic feed.
	Organic unit.Fraction
	Rots    bool

	Assumptions []finding.Assumption
	Findings    []finding.Finding
	// Assumed is the sulfate, as S, that closes the ions of a label that names
	// more cations than anions. It conducts, and is not counted as food.
	Assumed unit.Fraction
	// Acid is the acid that a label's rounding leaves, meq in a gram: positive
	// where the anions outweigh the cations.
	Acid float64
	// Unbalanced says that the figures of the label leave so much acid open that they
	// tell no pH.
	Unbalanced bool
}

// Assumptions about materials.
const (
	AssumePure     finding.ID = "mix.assume_pure"
	AssumeSplit    finding.ID = "mix.assume_split"
	AssumeRest     finding.ID = "mix.assume_rest"
	AssumeSulfate  finding.ID = "mix.assume_sulfate"
	AssumeChloride finding.ID = "mix.assume_chloride"
	AssumeChelated finding.ID = "mix.assume_chelated"
)

// Findings about materials.
const (
	FindUntracked finding.ID = "mix.untracked"
	FindLabelAcid finding.ID = "mix.label_acid"
)

// Contents works out what is in the material.
func (m Material) Contents() (Contents, finding.Faults) {
	if faults := m.check(); faults != nil {
		return Contents{}, faults
	}
	if m.Label != nil {
		return m.labelContents()
	}
	return m.formulaContents()
}

func (m Material) check() (faults finding.Faults) {
	add := func(more finding.Faults) { faults = append(faults, more...) }
	if strings.TrimSpace(m.Name) == "" {
		add(m.wrong(FaultNoName, "name", nil))
	}
	switch formula := strings.TrimSpace(m.Formula) != ""; {
	case m.Label == nil && !formula:
		add(m.wrong(FaultNothing, "label", nil))
	case m.Label != nil && formula:
		add(m.wrong(FaultBoth, "formula", nil))
	}
	held(&faults, m, "purity", m.Purity, 1, 0.98)
	held(&faults, m, "density", m.Density, 3000, 1300)
	held(&faults, m, "bulk density", m.BulkDensity, 3000, 950)
	held(&faults, m, "level teaspoon", m.LevelTeaspoon, 50*unit.Gram, 4.7*unit.Gram)
	held(&faults, m, "spoon weights", m.SpoonSpread, 1, 0.1)
	held(&faults, m, "solubility", m.Solubility, 5000*unit.GramPerLitre, 300*unit.GramPerLitre)
	held(&faults, m, "limit", m.Limit, 1000*unit.GramPerLitre, 2*unit.GramPerLitre)
	held(&faults, m, "pack", m.Pack, 1e5, 25*unit.Pound)
	held(&faults, m, "pack", m.PackVolume, 1e3, unit.Gallon)
	held(&faults, m, "price", m.Price, 1e9, 48)
	return faults
}

// held adds the fault of a figure that is below zero or above the most; no path is written where there is none.
func held[T ~float64](faults *finding.Faults, m Material, key string, x, most, example T) {
	if x >= 0 && x <= most {
		return
	}
	*faults = append(*faults, finding.Within(m.Path.Key(key), x, 0, most, example)...)
}

// formulaContents reads a salt off its formula.
func (m Material) formulaContents() (Contents, finding.Faults) {
	f, err := chem.ParseFormula(m.Formula)
	if err != nil {
		return Contents{}, finding.FaultsOf(err, m.Path.Key("formula"), FaultFormula)
	}
	if !plausible(f) {
		return Contents{}, m.wrong(FaultFormula, "formula", finding.Args{"Formula": m.Formula})
	}
	var c Contents
	purity := float64(m.Purity)
	if purity == 0 {
		purity = 1
		c.Assumptions = append(c.Assumptions, finding.Assumption{ID: AssumePure, Args: finding.Args{"Product": m.Name}, Source: source.OwnChoice})
	}
	moles := purity * 1e3 / f.Mass() // mmol in a gram
	c.Ions = saltIons(f).Times(moles)
	c.Shares = saltShares(f, purity)
	c.Chelate = m.Chelate
	if c.Chelate == NoChelate {
		c.Chelate = chelateOf(f)
	}
	if c.Chelate != NoChelate {
		c.Chelated = 1
	}
	c.Hazards = hazardsOf(f, m.Density > 0)
	for _, a := range f.Atoms() {
		if !tracked(a.Element) {
			c.Findings = append(c.Findings, finding.Finding{ID: FindUntracked, Severity: finding.Caution,
				Args: finding.Args{"Product": m.Name, "Element": a.Element.Symbol()}, Source: source.OwnChoice})
		}
	}
	return c, nil
}

// plausible finds slips such as MgSO47H2O and MgSO4.7H20. An atom other than
// hydrogen binds at most four oxygens (as in sulfate) or four hydrogens (as in
// ammonium); an oxygen takes two hydrogens (water), a hydrogen one oxygen
// (peroxide).
func plausible(f chem.Formula) bool {
	var oxygen, hydrogen, others float64
	for _, a := range f.Atoms() {
		switch a.Element {
		case chem.Oxygen:
			oxygen = a.Count
		case chem.Hydrogen:
			hydrogen = a.Count
		default:
			others += a.Count
		}
	}
	return oxygen <= 4*others+hydrogen && hydrogen <= 4*others+2*oxygen
}

func saltShares(f chem.Formula, purity float64) Shares {
	var s Shares
	share := func(atoms float64, e chem.Element) unit.Fraction {
		return unit.Fraction(purity * atoms * e.Weight() / f.Mass())
	}
	n := f.Nitrogen()
	s[NitrateN], s[AmmoniumN], s[UreaN] = share(n.Nitrate, chem.Nitrogen), share(n.Ammonium, chem.Nitrogen), share(n.Urea, chem.Nitrogen)
	s[BoundN] = share(n.Other, chem.Nitrogen)
	s[Nitrogen] = s[NitrateN] + s[AmmoniumN] + s[UreaN]
	for k := Phosphorus; k <= Silicon; k++ {
		s[k] = share(f.Count(k.Element()), k.Element())
	}
	return s
}

// saltIons gives the ions of one mole of a salt in its fully dissolved form, in
// mol. Hydrogen and oxygen follow from neutrality (see chem.Composition). Metals
// that stand in an organic molecule are chelated: they and the charge of the
// molecule stay inert, together as much as the counter-ions need.
func saltIons(f chem.Formula) chem.Composition {
	n := f.Nitrogen()
	count := func(e chem.Element) unit.MolarConcentration { return unit.MolarConcentration(f.Count(e)) }
	c := chem.Composition{
		Ca: count(chem.Calcium), Mg: count(chem.Magnesium), Na: count(chem.Sodium), K: count(chem.Potassium), Cl: count(chem.Chlorine),
		SO4: count(chem.Sulfur), P: count(chem.Phosphorus), B: count(chem.Boron), Si: count(chem.Silicon), F: count(chem.Fluorine),
		NH4: unit.MolarConcentration(n.Ammonium), NO3: unit.MolarConcentration(n.Nitrate), TIC: unit.MolarConcentration(f.Carbonate()),
	}
	organic := f.Count(chem.Carbon) - f.Carbonate() - n.Urea/2
	metals := f.Count(chem.Manganese) + f.Count(chem.Zinc) + f.Count(chem.Copper) + f.Count(chem.Cobalt) + f.Count(chem.Nickel)
	switch {
	case organic == 0:
		c.Fe = count(chem.Iron)
		c.Inert = unit.Equivalents(2*metals - 2*f.Count(chem.Molybdenum))
	case isCitric(f, organic):
		c.Citrate = unit.MolarConcentration(organic / 6)
		c.Fe = count(chem.Iron)
		c.Inert = unit.Equivalents(2 * metals)
	default:
		c.Inert = -c.ReferenceCharge()
	}
	return c
}

// isCitric tells citric acid and its salts from other organic molecules: six
// carbons to at least seven oxygens, no nitrogen but ammonium.
func isCitric(f chem.Formula, organic float64) bool {
	n := f.Nitrogen()
	return n.Other == 0 && math.Mod(organic, 6) == 0 && f.Count(chem.Oxygen) >= 7*organic/6 && f.Count(chem.Oxygen) <= 13*organic/6 &&
		f.Count(chem.Hydrogen) <= 20*organic/6
}

// chelateOf reads the chelate off the molecule: EDTA has 10 carbons to 2
// nitrogens, DTPA 14 to 3, EDDHA 18 to 2, HEDTA 10 to 2 with 7 oxygens.
func chelateOf(f chem.Formula) Chelate {
	if f.Count(chem.Iron)+f.Count(chem.Manganese)+f.Count(chem.Zinc)+f.Count(chem.Copper) == 0 {
		return NoChelate
	}
	c, n := f.Count(chem.Carbon)-f.Carbonate(), f.Nitrogen().Other
	switch {
	case c == 10 && n == 2:
		return EDTA
	case c == 14 && n == 3:
		return DTPA
	case c == 18 && n == 2:
		return EDDHA
	}
	return NoChelate
}

func tracked(e chem.Element) bool {
	switch e {
	case chem.Hydrogen, chem.Oxygen, chem.Carbon, chem.Fluorine:
		return true
	}
	for n := range NutrientCount {
		if nutrients[n].element == e {
			return true
		}
	}
	return false
}
