package mix

import (
	"math"
	"os"
	"strings"
	"testing"

	"raftwright/chem"
	"raftwright/finding"
	"raftwright/source"
	"raftwright/unit"
)

var library = DefaultLibrary()

func percent(x float64) unit.Fraction { return unit.Fraction(x) * unit.Percent }

// general2020 is the 20-20-20 of the chemistry reference, table e.
func general2020() Material {
	return Material{Name: "complete fertiliser", Label: &Label{Grade: Grade{percent(20), percent(20), percent(20), true}, Stated: Statements{NitrateN: States(percent(6.0)), AmmoniumN: States(percent(3.9)), UreaN: States(percent(10.1))}}}
}

func epsom() Material { return Material{Name: "Epsom salt", Formula: "MgSO4.7H2O", Purity: 1} }

func contents(t testing.TB, m Material) Contents {
	t.Helper()
	c, err := m.Contents()
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func near(got, want, relative float64) bool { return math.Abs(got-want) <= relative*math.Abs(want) }

// Labels to 0.1 %: P2O5 x 0.4364 and K2O x 0.8302 (the trade's factors, from
// atomic weights).
func TestLabelShares(t *testing.T) {
	c := contents(t, general2020())
	for n, want := range map[Nutrient]float64{Nitrogen: 0.20, NitrateN: 0.060, AmmoniumN: 0.039, UreaN: 0.101, Phosphorus: 0.20 * 0.4364, Potassium: 0.20 * 0.8302} {
		if got := float64(c.Shares[n]); !near(got, want, 1e-3) {
			t.Errorf("%s is %.5f, want %.5f", n, got, want)
		}
	}
}

// Chemistry reference, head of table e: millimoles in a gram of 20-20-20.
func TestLabelIons(t *testing.T) {
	c := contents(t, general2020())
	for _, x := range []struct {
		what      string
		got, want float64
	}{
		{"K", float64(c.Ions.K), 4.2465}, {"NO3", float64(c.Ions.NO3), 4.2836}, {"NH4", float64(c.Ions.NH4), 2.7843},
		{"P", float64(c.Ions.P), 2.8180}, {"urea N", float64(c.Shares[UreaN]) * 1e3 / chem.Nitrogen.Weight(), 7.2107},
	} {
		if !near(x.got, x.want, 1e-3) {
			t.Errorf("%s is %.4f mmol/g, want %.4f", x.what, x.got, x.want)
		}
	}
	if math.Abs(c.Acid-0.0708) > 2e-4 {
		t.Errorf("the label's rounding leaves %.4f meq/g of acid, want 0.0708", c.Acid)
	}
}

func TestSaltContents(t *testing.T) {
	c := contents(t, Material{Name: "calcium nitrate", Formula: "5Ca(NO3)2.NH4NO3.10H2O", Purity: 0.5})
	for n, want := range map[Nutrient]float64{Nitrogen: .1555, NitrateN: .1426, AmmoniumN: .0130, Calcium: .1854} {
		if got := float64(c.Shares[n]); math.Abs(got-want/2) > 0.0001 {
			t.Errorf("%s is %.5f at half purity, want %.5f", n, got, want/2)
		}
	}
	if q := float64(c.Ions.ReferenceCharge()); math.Abs(q) > 1e-9 {
		t.Errorf("a neutral salt brings %v meq/g of acid or base", q)
	}
	pure := contents(t, Material{Name: "x", Formula: "KNO3"})
	if len(pure.Assumptions) != 1 || pure.Assumptions[0].ID != AssumePure {
		t.Errorf("no purity given, assumptions are %v", pure.Assumptions)
	}
}

// A dot left out, or a zero for the letter O, makes a formula that reads but
// cannot be; salts with much oxygen are taken all the same.
func TestSlipsInAFormula(t *testing.T) {
	for formula, fine := range map[string]bool{
		"MgSO47H20": false, "MgSO47H2O": false, "MgSO4.7H20": false, "MgSO4.7H2O": true, "(NH4)6Mo7O24.4H2O": true,
		"Na2B8O13.4H2O": true, "KH2PO4": true, "5Ca(NO3)2.NH4NO3.10H2O": true, "H2O2": true, "K2S2O8": true, "CO(NH2)2": true,
	} {
		_, err := Material{Name: "x", Formula: formula, Purity: 1}.Contents()
		if (err == nil) != fine {
			t.Errorf("%s: %v", formula, err)
		}
	}
}

func TestIronChelateStandsApart(t *testing.T) {
	c := contents(t, Material{Name: "iron chelate", Formula: "C10H12N2O8FeNa.3H2O"})
	if c.Chelate != EDTA || c.Ions.Fe != 0 {
		t.Errorf("chelate %v, free iron %v", c.Chelate, c.Ions.Fe)
	}
	if !near(float64(c.Shares[Iron]), 0.1326, 1e-3) || c.Shares[Nitrogen] != 0 || !near(float64(c.Shares[BoundN]), 0.0665, 2e-3) {
		t.Errorf("iron %v, nitrogen %v, bound %v", c.Shares[Iron], c.Shares[Nitrogen], c.Shares[BoundN])
	}
	if q := float64(c.Ions.ReferenceCharge()); math.Abs(q) > 1e-12 {
		t.Errorf("the chelate brings %v meq/g", q)
	}
	plain := contents(t, Material{Name: "iron sulfate", Formula: "FeSO4.7H2O"})
	if plain.Chelate != NoChelate || plain.Ions.Fe == 0 {
		t.Errorf("iron sulfate: chelate %v, free iron %v", plain.Chelate, plain.Ions.Fe)
	}
	if !(EDTA.HoldsUpTo() < DTPA.HoldsUpTo() && DTPA.HoldsUpTo() < EDDHA.HoldsUpTo()) || NoChelate.HoldsUpTo() != 0 {
		t.Error("EDTA, DTPA and EDDHA hold iron to rising pH (grower leaflet)")
	}
}

func TestBasesAndAcidsKeepTheirCharge(t *testing.T) {
	for _, c := range []struct {
		formula string
		charge  float64 // eq/mol: + base, - acid
		tic     float64
		citrate float64
	}{
		{"NaHCO3", 1, 1, 0}, {"KOH", 1, 0, 0}, {"CaCO3", 2, 1, 0}, {"H2SO4", -2, 0, 0}, {"HNO3", -1, 0, 0}, {"H3PO4", -1, 0, 0}, {"KH2PO4", 0, 0, 0},
		{"K2HPO4", 1, 0, 0}, {"(NH4)2HPO4", 1, 0, 0}, {"Na2B4O7.10H2O", 2, 0, 0}, {"H3BO3", 0, 0, 0}, {"C6H8O7", -1, 0, 1}, {"C6H8O7.H2O", -1, 0, 1},
		{"CO(NH2)2", 0, 0, 0}, {"MnSO4.H2O", 0, 0, 0}, {"ZnSO4.7H2O", 0, 0, 0}, {"Na2MoO4.2H2O", 0, 0, 0}, {"NH3", 1, 0, 0}, {"K2SiO3", 2, 0, 0},
	} {
		f, err := chem.ParseFormula(c.formula)
		if err != nil {
			t.Fatal(err)
		}
		ions := saltIons(f)
		if math.Abs(float64(ions.ReferenceCharge())-c.charge) > 1e-9 || float64(ions.TIC) != c.tic || float64(ions.Citrate) != c.citrate {
			t.Errorf("%s: charge %v, carbonate %v, citrate %v", c.formula, ions.ReferenceCharge(), ions.TIC, ions.Citrate)
		}
	}
}

func TestMissingNitrogenForms(t *testing.T) {
	grade := func(n, p, k float64) Grade { return Grade{percent(n), percent(p), percent(k), true} }
	cases := []struct {
		name       string
		label      Label
		want       [3]float64 // percent: nitrate, ammonium, urea
		assumption finding.ID
	}{
		{"complete powder", Label{Grade: grade(20, 20, 20)}, [3]float64{6, 4, 10}, AssumeSplit},
		{"one form missing", Label{Grade: grade(20, 20, 20), Stated: Statements{NitrateN: States(percent(6)), AmmoniumN: States(percent(3.9))}}, [3]float64{6, 3.9, 10.1}, AssumeRest},
		{"two missing", Label{Grade: grade(20, 20, 20), Stated: Statements{NitrateN: States(percent(6))}}, [3]float64{6, 4, 10}, AssumeSplit},
		{"all stated", Label{Grade: grade(20, 10, 20), Stated: Statements{NitrateN: States(percent(12)), AmmoniumN: States(percent(8)), UreaN: States(0)}}, [3]float64{12, 8, 0}, ""},
		{"all nitrate stated", Label{Grade: grade(13, 0, 46), Stated: Statements{NitrateN: States(percent(13))}}, [3]float64{13, 0, 0}, ""},
		{"calcium nitrate", Label{Grade: grade(15.5, 0, 0), Stated: Statements{Calcium: States(percent(19))}}, [3]float64{14.31, 1.19, 0}, AssumeSplit},
		{"urea", Label{Grade: grade(46, 0, 0)}, [3]float64{0, 0, 46}, AssumeSplit},
		{"ammonium sulfate", Label{Grade: grade(21, 0, 0), Stated: Statements{Sulfur: States(percent(24))}}, [3]float64{0, 21, 0}, AssumeSplit},
		{"potassium nitrate", Label{Grade: grade(13, 0, 46)}, [3]float64{13, 0, 0}, AssumeSplit},
		{"ammonium phosphate", Label{Grade: grade(12, 61, 0)}, [3]float64{0, 12, 0}, AssumeSplit},
		{"no nitrogen", Label{Grade: grade(0, 52, 34)}, [3]float64{}, ""},
		{"no grade", Label{Stated: Statements{NitrateN: States(percent(5)), Calcium: States(percent(10))}}, [3]float64{5, 0, 0}, ""},
	}
	for _, c := range cases {
		l := c.label
		got := contents(t, Material{Name: c.name, Label: &l})
		for i, n := range []Nutrient{NitrateN, AmmoniumN, UreaN} {
			if math.Abs(got.Shares[n].Percents()-c.want[i]) > 0.01 {
				t.Errorf("%s: %s is %.3f %%, want %.2f", c.name, n, got.Shares[n].Percents(), c.want[i])
			}
		}
		found := finding.ID("")
		for _, a := range got.Assumptions {
			if a.ID == AssumeSplit || a.ID == AssumeRest {
				found = a.ID
			}
		}
		if found != c.assumption {
			t.Errorf("%s: assumption %q, want %q", c.name, found, c.assumption)
		}
	}
}

func TestLabelsThatCannotBe(t *testing.T) {
	l := func(edit func(*Label)) *Label {
		x := *general2020().Label
		edit(&x)
		return &x
	}
	cases := []struct {
		name  string
		m     Material
		field string
		want  finding.ID
	}{
		{"forms above total", Material{Label: l(func(x *Label) { x.Stated[UreaN] = States(percent(15)) })}, "urea-n", FaultForms},
		{"forms below total", Material{Label: l(func(x *Label) { x.Stated[UreaN] = States(percent(5)) })}, "urea-n", FaultForms},
		{"more than all", Material{Label: l(func(x *Label) { x.Stated[Calcium].Share = 1.2 })}, "calcium", finding.FaultRange},
		{"negative", Material{Label: l(func(x *Label) { x.Stated[Iron].Share = -0.1 })}, "iron", finding.FaultRange},
		{"not a number", Material{Label: l(func(x *Label) { x.Stated[Zinc].Share = unit.Fraction(math.NaN()) })}, "zinc", finding.FaultRange},
		{"overfull", Material{Label: l(func(x *Label) { x.Stated[Calcium].Share = percent(20) })}, "label", FaultOverfull},
		{"too much nitrogen", Material{Label: &Label{Grade: Grade{percent(90), 0, 0, true}}}, "label", FaultNitrogen},
		{"P and P2O5 differ", Material{Label: l(func(x *Label) { x.Stated[Phosphorus] = States(percent(20)) })}, "phosphorus", FaultTwice},
		{"more chelated iron than iron", Material{Label: l(func(x *Label) { x.Stated[Iron], x.ChelatedIron = States(percent(.1)), States(percent(.2)) })}, "chelated iron", FaultChelated},
		{"nothing", Material{}, "label", FaultNothing},
		{"both", Material{Label: &Label{}, Formula: "KNO3"}, "formula", FaultBoth},
		{"bad formula", Material{Formula: "KNo3"}, "formula", chem.FaultFormula},
		{"purity", Material{Formula: "KNO3", Purity: 1.2}, "purity", finding.FaultRange},
		{"huge spoon", Material{Formula: "KNO3", LevelTeaspoon: 1}, "level teaspoon", finding.FaultRange},
		{"negative price", Material{Formula: "KNO3", Price: -1}, "price", finding.FaultRange},
	}
	for _, c := range cases {
		c.m.Name = c.name
		c.m.Path = "shelf[1]"
		_, faults := c.m.Contents()
		if len(faults) != 1 || faults[0].ID != c.want || faults[0].Path != finding.Path("shelf[1]").Key(c.field) {
			t.Errorf("%s: %v, want %s at %s", c.name, faults, c.want, c.field)
		}
	}
	if _, err := (Material{Formula: "KNO3"}).Contents(); err == nil {
		t.Error("a product without a name passes")
	}
}

func TestLabelsThatDoNotBalance(t *testing.T) {
	hydroponic := contents(t, Material{Name: "base", Label: &Label{Grade: Grade{percent(5), percent(12), percent(26), true}, Stated: Statements{NitrateN: States(percent(5))}}})
	if hydroponic.Shares[Sulfur] != 0 || hydroponic.Assumed == 0 || math.Abs(float64(hydroponic.Ions.ReferenceCharge())) > 1e-9 {
		t.Errorf("cations beyond the anions: S %v, assumed %v, charge %v", hydroponic.Shares[Sulfur], hydroponic.Assumed, hydroponic.Ions.ReferenceCharge())
	}
	potash := contents(t, Material{Name: "potash", Label: &Label{Grade: Grade{0, 0, percent(60), true}}})
	// potassium chloride at 60 % K2O is 95 % KCl: 45.2 % Cl
	if !near(potash.Shares[Chlorine].Percents(), 45.2, 0.01) {
		t.Errorf("60 %% K2O holds %.1f %% chloride, want 45.2", potash.Shares[Chlorine].Percents())
	}
	acid := contents(t, Material{Name: "acidic", Label: &Label{Grade: Grade{percent(17), percent(44), 0, true}, Stated: Statements{UreaN: States(percent(17))}}})
	if acid.Acid < plainAcid || len(acid.Findings) == 0 || acid.Findings[0].ID != FindLabelAcid {
		t.Errorf("urea phosphate leaves %v meq/g, findings %v", acid.Acid, acid.Findings)
	}
}

func TestHazards(t *testing.T) {
	has := func(m Material, h Hazard) bool {
		for _, x := range contents(t, m).Hazards {
			if x == h {
				return true
			}
		}
		return false
	}
	f := func(formula string) Material { return Material{Name: formula, Formula: formula} }
	for formula, want := range map[string]Hazard{"KNO3": Oxidiser, "5Ca(NO3)2.NH4NO3.10H2O": Oxidiser, "H2SO4": StrongAcid, "HNO3": StrongAcid, "H3PO4": StrongAcid, "KOH": StrongBase, "NaOH": StrongBase} {
		if !has(f(formula), want) {
			t.Errorf("%s is not called a %v", formula, want)
		}
	}
	for _, formula := range []string{"MgSO4.7H2O", "KH2PO4", "K2SO4", "CO(NH2)2", "NaHCO3", "C6H8O7", "H3BO3", "C10H12N2O8FeNa.3H2O", "CaCl2.2H2O", "(NH4)2HPO4"} {
		for _, h := range []Hazard{Oxidiser, StrongAcid, StrongBase} {
			if has(f(formula), h) {
				t.Errorf("%s is called a %v", formula, h)
			}
		}
	}
	if !has(general2020(), Oxidiser) {
		t.Error("a powder with 6 % nitrate nitrogen is an oxidiser")
	}
}

func TestTablesAreWhole(t *testing.T) {
	lib := library.Materials()
	if len(lib) != 28+8 {
		t.Fatalf("the library has %d materials", len(lib))
	}
	names, spoons := map[string]bool{}, 0.0
	for _, m := range lib {
		c := contents(t, m)
		if names[m.Name] {
			t.Errorf("%s stands twice", m.Name)
		}
		names[m.Name] = true
		if math.Abs(float64(c.Ions.ReferenceCharge())) > 0.3 && !strings.Contains(m.Formula, "HCO3") && !strings.Contains(m.Formula, "HPO4") && !strings.Contains(m.Formula, "Na2B") && m.Label == nil && m.Name != "citric acid" {
			t.Errorf("%s is not neutral: %v meq/g", m.Name, c.Ions.ReferenceCharge())
		}
		if m.Formula == "NH4NO3" {
			t.Error("ammonium nitrate is in the library")
		}
		s, _ := m.Spoon()
		spoons += s.Mass.Grams()
		if _, ok := source.Find(s.Source); !ok {
			t.Errorf("%s: source %q of its spoon is not known", m.Name, s.Source)
		}
		if s.Lot <= 0 || s.Mass.Grams() < 2 || s.Mass.Grams() > 7.1 {
			t.Errorf("%s: a teaspoon of %v g", m.Name, s.Mass.Grams())
		}
	}
	if math.Abs(spoons-174.43) > 0.01 {
		t.Errorf("the spoons sum to %.2f g", spoons)
	}
	if _, ok := library.Material("epsom SALT"); !ok {
		t.Error("names are found in any case")
	}
	if _, ok := library.Material("gold"); ok {
		t.Error("there is no gold in the library")
	}
}

// Fixed source IDs in this package's calls must resolve; the policy test of the
// root sees only those in named fields.
func TestSourcesOfTheRoom(t *testing.T) {
	for _, id := range []source.ID{"nh4_study", "urea_ratio_study", "urea_nft", "mattson_peters", "chelate_pages", "basin_plan", "boron_tolerance", "anderson2017", "crc_solubility", "spoon_memory", "langenfeld2022"} {
		if _, ok := source.Find(id); !ok {
			t.Errorf("source %q is not in the bibliography", id)
		}
	}
	for _, r := range library.Recipes.All() {
		if _, ok := source.Find(r.Source); !ok {
			t.Errorf("recipe %s: source %q is not in the bibliography", r.Key, r.Source)
		}
	}
}

// shared opens a file of the reference data beside the repository, or leaves
// the test out where that is not there (never in continuous integration).
func shared(t *testing.T, name string) string {
	t.Helper()
	b, err := os.ReadFile("../../shared/reference/" + name)
	if err != nil {
		if os.Getenv("CI") != "" {
			t.Fatal(err)
		}
		t.Skipf("left out: %v", err)
	}
	return string(b)
}

// A material under the British spelling is the same one.
func TestMaterialOfBritishSpelling(t *testing.T) {
	if _, ok := DefaultLibrary().Material("Complete fertiliser 20-20-20"); !ok {
		t.Error("complete fertiliser 20-20-20 is not found")
	}
}
