package main

import (
	"encoding/json"
	"fmt"
	"math"
	"strings"
	"testing"
)

// The structure cases S1 to S7 of shared/reference/structure/examples.csv that a
// brief can reach, through the program: NDS 2018 and its supplement, AWC Design
// Aid 6 (2005), fluid statics. Tolerances are those of the table.
func TestStructureExamples(t *testing.T) {
	want := map[string]float64{}
	share := map[string]float64{}
	for _, row := range reference(t, "structure/examples.csv") {
		if row["unit"] == "lb/ft" && row["case"] == "S1" || row["answer"] == "" {
			continue
		}
		key := row["case"] + " " + row["quantity"]
		want[key] = figure(t, row, "answer")
		share[key] = math.Max(figure(t, row, "tolerance_percent"), 1e-6) / 100
	}
	near := func(key string, got float64) {
		t.Helper()
		if w, ok := want[key]; !ok || !within(got, w, share[key]) {
			t.Errorf("%s: %.6g, the table says %.6g", key, got, w)
		}
	}
	open := ask(t, "bed: {length: 96 in, width: 48 in, depth: 6 in, side board: 2x8, end board: 2x10, lumber: southern-pine-2, holds: none}\n", "frame")
	near("S1 thrust_per_length", open.number(t, "thrust_N_m"))
	near("S1 thrust_on_side", open.number(t, "thrust_N_m")*open.number(t, "boards.0.span_mm")/1000)
	near("S1 floor_load", open.number(t, "floor_load_Pa"))
	near("S2 bending_stress", open.number(t, "boards.0.bending_Pa"))
	near("S2 bending_allow", open.number(t, "boards.0.bending_allow_Pa"))
	near("S2 shear_stress", open.number(t, "boards.0.shear_Pa"))
	near("S2 shear_allow", open.number(t, "boards.0.shear_allow_Pa"))
	near("S2 deflection_short", open.number(t, "boards.0.deflection_short_mm"))
	near("S2 deflection_long", open.number(t, "boards.0.deflection_long_mm"))

	staked := ask(t, "bed: {length: 96 in, width: 48 in, depth: 6 in, side board: 2x8, end board: 2x10, lumber: southern-pine-2, holds: 1}\n", "frame")
	near("S5 stake_reaction", staked.number(t, "hold_force_N"))
	near("S5 bending_stress", staked.number(t, "boards.0.bending_Pa"))
	near("S5 deflection_short", staked.number(t, "boards.0.deflection_short_mm"))

	raft := ask(t, "raft: {sheet: [4 ft, 8 ft], thickness: 1-1/2 in, foam: xps, spacing: 12 in, edge: 6 in, hole: 2-1/2 in}\n", "raft")
	near("S6 foam_mass", raft.number(t, "foam_mass_kg"))
	near("S6 draft_planted", raft.number(t, "draft_mm"))
	near("S6 draft_grown", raft.number(t, "draft_grown_mm"))

	lined := ask(t, "bed: {length: 97 in, width: 49 in, depth: 6 in, side board: 2x8, end board: 2x10}\n", "frame")
	near("S7 liner_length", lined.number(t, "liner.length_mm")/25.4)
	near("S7 liner_width", lined.number(t, "liner.width_mm")/25.4)
	near("S7 water_volume", lined.number(t, "volume_L")/3.785411784)
	near("S7 water_weight", lined.number(t, "water_mass_kg")/0.45359237)
}

// The frames of METHODS section 0: eight feet without a stake is a caution,
// sixteen feet a stop. The bare numbers are of the table there.
func TestLongSidesWithoutHolds(t *testing.T) {
	for _, c := range []struct {
		length string
		use    float64
		code   int
	}{{"96 in", 0.287683, exitDone}, {"192 in", 1.1507, exitStop}} {
		brief := "bed: {length: " + c.length + ", width: 48 in, depth: 6 in, side board: 2x8, end board: 2x10, holds: none}\n"
		if got := tell(brief, "frame", "-", "--json"); got.code != c.code {
			t.Errorf("%s: exit %d, not %d", c.length, got.code, c.code)
		}
		d := ask(t, brief, "frame")
		if got := d.number(t, "boards.0.bending_Pa") / d.number(t, "boards.0.bending_allow_Pa"); !within(got, c.use, 0.005) {
			t.Errorf("%s: %.4f of the strength, not %.4f", c.length, got, c.use)
		}
	}
}

// ecShare is the tolerance of a conductivity: chemistry/METHODS.md.
func ecShare(t *testing.T, row map[string]string) float64 {
	return math.Max(0.03, figure(t, row, "SC_half_pct")/100+0.02)
}

// Recipes as waters without a pH: the pH closes the charge balance (table b).
func TestRecipesAsWaters(t *testing.T) {
	keys := map[string]string{"NH4_mM": "ammonium-n", "K_mM": "potassium", "Ca_mM": "calcium", "Mg_mM": "magnesium", "Na_mM": "sodium",
		"NO3_mM": "nitrate-n", "P_mM": "phosphorus", "SO4_mM": "sulfate", "Cl_mM": "chloride", "B_mM": "boron"}
	for _, row := range reference(t, "chemistry/b_nutrient_solutions_public.csv") {
		var b strings.Builder
		b.WriteString("water:\n  alkalinity: 0 mg/L CaCO3\n")
		for _, column := range []string{"NH4_mM", "K_mM", "Ca_mM", "Mg_mM", "Na_mM", "NO3_mM", "P_mM", "SO4_mM", "Cl_mM", "B_mM"} {
			fmt.Fprintf(&b, "  %s: %s mmol/L\n", keys[column], plain(figure(t, row, column)))
		}
		d := ask(t, b.String(), "water")
		if got, w := d.number(t, "ec_mS_cm")*1000, figure(t, row, "SC_ref"); !within(got, w, ecShare(t, row)) {
			t.Errorf("%s: EC %.1f, not %.1f", row["id"], got, w)
		}
		if got, w := d.number(t, "ph"), figure(t, row, "pH_closed_noCO2"); math.Abs(got-w) > 0.05 {
			t.Errorf("%s: pH %.3f, not %.3f", row["id"], got, w)
		}
		if got, w := d.number(t, "ionic_strength_mol_L"), figure(t, row, "I_mol_kgw"); !within(got, w, 0.02) {
			t.Errorf("%s: I %.5f, not %.5f", row["id"], got, w)
		}
		for key, column := range map[string]string{"gypsum": "SI_gypsum", "brushite": "SI_DCPD"} {
			if got, w := d.number(t, "saturation_index."+key), figure(t, row, column); math.Abs(got-w) > 0.06 {
				t.Errorf("%s: %s %.3f, not %.3f", row["id"], key, got, w)
			}
		}
		if got, w := d.number(t, "saturation_index.hydroxyapatite"), figure(t, row, "SI_hydroxyapatite"); math.Abs(got-w) > 0.3 {
			t.Errorf("%s: hydroxyapatite %.3f, not %.3f", row["id"], got, w)
		}
	}
}

// waterOf writes a row of table c as the section of a brief.
func waterOf(t *testing.T, row map[string]string) string {
	var b strings.Builder
	fmt.Fprintf(&b, "water:\n  ph: %s\n  alkalinity: %s mg/L CaCO3\n", row["pH"], row["alkalinity_mg_CaCO3_L"])
	for _, x := range [][2]string{{"calcium", "Ca_mg_L"}, {"magnesium", "Mg_mg_L"}, {"sodium", "Na_mg_L"}, {"potassium", "K_mg_L"}, {"sulfate", "SO4_mg_L"},
		{"chloride", "Cl_mg_L"}, {"nitrate-n", "NO3N_mg_L"}, {"iron", "Fe2_mg_L"}, {"boron", "B_mg_L"}} {
		fmt.Fprintf(&b, "  %s: %s mg/L\n", x[0], row[x[1]])
	}
	return b.String()
}

// Source waters (table c).
func TestSourceWaters(t *testing.T) {
	for _, row := range reference(t, "chemistry/c_source_waters_public.csv") {
		d := ask(t, waterOf(t, row), "water")
		id := row["water"] + row["id"]
		if got, w := d.number(t, "ec_mS_cm")*1000, figure(t, row, "SC_ref"); !within(got, w, ecShare(t, row)) {
			t.Errorf("%s: EC %.1f, not %.1f", id, got, w)
		}
		if got, w := d.number(t, "inorganic_carbon_mmol_L"), figure(t, row, "TIC_mmol_L"); !within(got, w, 0.01) {
			t.Errorf("%s: inorganic carbon %.4f, not %.4f", id, got, w)
		}
		if got, w := math.Log10(d.number(t, "pco2_atm")), figure(t, row, "log_pCO2"); math.Abs(got-w) > 0.03 {
			t.Errorf("%s: log pCO2 %.3f, not %.3f", id, got, w)
		}
		for key, column := range map[string]string{"saturation_index.calcite": "SI_calcite", "saturation_index.gypsum": "SI_gypsum"} {
			if got, w := d.number(t, key), figure(t, row, column); math.Abs(got-w) > 0.06 {
				t.Errorf("%s: %s %.3f, not %.3f", id, key, got, w)
			}
		}
		if got, w := d.number(t, "hardness_mg_L_CaCO3"), figure(t, row, "hardness_mg_CaCO3_L"); math.Abs(got-w) > 0.1+0.001*w {
			t.Errorf("%s: hardness %.2f, not %.2f", id, got, w)
		}
		if got, w := d.number(t, "charge_error_percent"), figure(t, row, "charge_error_pct"); math.Abs(got-w) > 0.5 {
			t.Errorf("%s: charge error %.2f, not %.2f", id, got, w)
		}
		if got, w := d.number(t, "aired.ph"), figure(t, row, "pH_air420"); math.Abs(got-w) > 0.05 {
			t.Errorf("%s: aired pH %.3f, not %.3f", id, got, w)
		}
	}
}

// Acid for source waters (table d): closed and open, four acids, two targets.
func TestAcidDoses(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	waters := map[string]string{}
	for _, row := range reference(t, "chemistry/c_source_waters_public.csv") {
		waters[row["id"]] = waterOf(t, row)
	}
	strength := map[string]string{"sulfuric": "sulfuric 93 %", "nitric": "nitric 67 %", "phosphoric": "phosphoric 75 %", "citric": "citric 100 %"}
	seen := 0
	for _, row := range reference(t, "chemistry/d_acid_dosing_public.csv") {
		w, ok := waters[row["water"]]
		if !ok {
			continue
		}
		seen++
		id := strings.Join([]string{row["water"], row["acid"], row["target_pH"], row["system"]}, " ")
		d := ask(t, w+fmt.Sprintf("acid: {product: %s, target ph: %s, air: %s}\n", strength[row["acid"]], row["target_pH"], row["system"]), "water")
		if got, w := d.number(t, "acid.dose_mmol_L"), figure(t, row, "acid_mmol_L"); !within(got, w, 0.01) {
			t.Errorf("%s: %.4f mmol/L, not %.4f", id, got, w)
		}
		if got, w := d.number(t, "acid.ec_mS_cm")*1000, figure(t, row, "SC_ref"); !within(got, w, ecShare(t, row)) {
			t.Errorf("%s: EC %.1f, not %.1f", id, got, w)
		}
		if got := d.number(t, "acid.ph"); math.Abs(got-figure(t, row, "target_pH")) > 0.005 {
			t.Errorf("%s: pH %.3f", id, got)
		}
		left := "residual_alkalinity_mg_CaCO3_L"
		if row["acid"] == "citric" { // that column counts citrate too
			left = "residual_carbonate_alkalinity_mg_CaCO3_L"
		}
		if got, w := d.number(t, "acid.alkalinity_left_mg_L_CaCO3"), figure(t, row, left); math.Abs(got-w) > 0.5+0.02*w {
			t.Errorf("%s: alkalinity left %.2f, not %.2f", id, got, w)
		}
		if row["acid_ml_per_100L"] != "" {
			if got, w := d.number(t, "acid.dose_mL_L")*100, figure(t, row, "acid_ml_per_100L"); math.Abs(got-w) > 0.02*w+0.01 {
				t.Errorf("%s: %.3f mL/100 L, not %.3f", id, got, w)
			}
		}
		if row["citric_g_per_100L"] != "" {
			if got, w := d.number(t, "acid.dose_g_L")*100, figure(t, row, "citric_g_per_100L"); math.Abs(got-w) > 0.02*w+0.01 {
				t.Errorf("%s: %.3f g/100 L, not %.3f", id, got, w)
			}
		}
		for key, column := range map[string]string{"S": "added_S_mg_L", "N": "added_N_mg_L", "P": "added_P_mg_L"} {
			if w := figure(t, row, column); w > 0 {
				if got := d.number(t, "acid.adds_mg_L."+key); !within(got, w, 0.012) {
					t.Errorf("%s: adds %.3f %s, not %.3f", id, got, key, w)
				}
			}
		}
	}
	if seen < 90 {
		t.Fatalf("saw only %d doses", seen)
	}
}

const powder = `shelf:
  - {name: powder, label: 20-20-20, nitrate-n: 6.0 %, ammonium-n: 3.9 %, urea-n: 10.1 %}
  - {name: Epsom salt, formula: MgSO4.7H2O}
`

// The usual powder and Epsom salt in several waters (table e). The target is
// what the table's grams bring, so that the mix must find those grams.
func TestPowderInWaters(t *testing.T) {
	waters := map[string]map[string]string{}
	for _, row := range reference(t, "chemistry/c_source_waters_public.csv") {
		waters[row["id"]] = row
	}
	for _, row := range reference(t, "chemistry/e_fertiliser_mix_public.csv") {
		w, nitrate, magnesium, slack := "water: {alkalinity: 0 mg/L CaCO3}\n", 0.0, 0.0, 0.1
		if x, ok := waters[row["water"]]; ok {
			w, nitrate, magnesium = waterOf(t, x), figure(t, x, "NO3N_mg_L"), figure(t, x, "Mg_mg_L")
			if figure(t, x, "alkalinity_mg_CaCO3_L") >= 30 {
				slack = 0.05
			}
		}
		grams, epsom := figure(t, row, "fertiliser_g_L"), figure(t, row, "MgSO4_7H2O_g_L")
		// ammonium and urea are named, since they stand under a limit otherwise
		target := fmt.Sprintf("target: {nitrogen: %s mg/L, ammonium-n: %s mg/L, urea-n: %s mg/L", plain(nitrate+200*grams), plain(39*grams), plain(101*grams))
		if epsom > 0 {
			target += fmt.Sprintf(", magnesium: %s mg/L", plain(magnesium+epsom*24305/246.466))
		}
		d := ask(t, w+powder+target+"}\nmix: {bucket: 1000 L, measure: scale 0.1 g}\n", "mix")
		id := fmt.Sprintf("%s %g+%g", row["water"], grams, epsom)
		dose := map[string]float64{}
		for _, x := range d.list(t, "doses") {
			one := document(x.(map[string]any))
			dose[one["product"].(string)] = one.number(t, "g_L")
		}
		if !within(dose["powder"], grams, 0.002) || !within(dose["Epsom salt"], epsom, 0.002) {
			t.Errorf("%s: doses %v", id, dose)
			continue
		}
		if got, w := d.number(t, "ec_mS_cm")*1000, figure(t, row, "SC_ref"); !within(got, w, ecShare(t, row)) {
			t.Errorf("%s: EC %.1f, not %.1f", id, got, w)
		}
		if got, w := d.number(t, "ph"), figure(t, row, "pH_closed"); math.Abs(got-w) > slack {
			t.Errorf("%s: pH %.3f, not %.3f", id, got, w)
		}
		for key, column := range map[string]string{"brushite": "SI_DCPD", "gypsum": "SI_gypsum", "calcite": "SI_calcite"} {
			if row[column] == "" {
				continue
			}
			if got, w := d.number(t, "saturation_index."+key), figure(t, row, column); math.Abs(got-w) > 0.06+slack-0.05 {
				t.Errorf("%s: %s %.3f, not %.3f", id, key, got, w)
			}
		}
		shares := []float64{d.number(t, "nitrogen.nitrate_percent"), d.number(t, "nitrogen.ammonium_percent"), d.number(t, "nitrogen.urea_percent")}
		if sum := shares[0] + shares[1] + shares[2]; math.Abs(sum-100) > 1e-6 {
			t.Errorf("%s: the forms of nitrogen sum to %g %%", id, sum)
		}
		if got, w := d.number(t, "achieved_mg_L.N"), nitrate+200*grams; !within(got, w, 0.002) {
			t.Errorf("%s: nitrogen %.2f, not %.2f", id, got, w)
		}
	}
}

// lumber is shared/reference/cutting/lumber.json.
type lumber struct {
	Cases []struct {
		Name  string  `json:"name"`
		Kerf  float64 `json:"kerf_in"`
		Stock []struct {
			Length float64 `json:"length_in"`
			Price  float64 `json:"price"`
			Limit  *int    `json:"limit"`
		} `json:"stock"`
		Pieces []struct {
			Name   string  `json:"name"`
			Length float64 `json:"length_in"`
			Count  int     `json:"count"`
		} `json:"pieces"`
		Least    *float64 `json:"least_price"`
		Fewest   *float64 `json:"fewest_boards"`
		Feasible bool     `json:"feasible"`
	} `json:"cases"`
}

// Cutting with limits and prices; each optimum is proved there by two integer
// solvers.
func TestLumberCases(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	var l lumber
	if err := json.Unmarshal(referenceFile(t, "cutting/lumber.json"), &l); err != nil {
		t.Fatal(err)
	}
	if len(l.Cases) < 8 {
		t.Fatalf("saw only %d cases", len(l.Cases))
	}
	for _, c := range l.Cases {
		for _, priced := range []bool{true, false} {
			var b strings.Builder
			fmt.Fprintf(&b, "cut:\n  kerf: %s in\n  stock:\n", plain(c.Kerf))
			for _, s := range c.Stock {
				fmt.Fprintf(&b, "    - {length: %s in", plain(s.Length))
				if priced {
					fmt.Fprintf(&b, ", price: %.2f USD", s.Price)
				}
				if s.Limit != nil {
					fmt.Fprintf(&b, ", count: %d", *s.Limit)
				}
				b.WriteString("}\n")
			}
			b.WriteString("  pieces:\n")
			for _, p := range c.Pieces {
				fmt.Fprintf(&b, "    - {name: %s, length: %s in, count: %d}\n", p.Name, plain(p.Length), p.Count)
			}
			got := tell(b.String(), "cut", "-", "--json")
			if !c.Feasible {
				if got.code != exitStop {
					t.Errorf("%s: exit %d where nothing can be cut", c.Name, got.code)
				}
				continue
			}
			d := ask(t, b.String(), "cut")
			if got.code != exitDone || d["optimal"] != true {
				t.Errorf("%s: exit %d, optimal %v", c.Name, got.code, d["optimal"])
			}
			if got := d.number(t, "price"); priced && math.Abs(got-*c.Least) > 1e-9 {
				t.Errorf("%s: %.2f, not %.2f", c.Name, got, *c.Least)
			}
			if got := d.number(t, "boards_bought"); !priced && got != *c.Fewest {
				t.Errorf("%s: %g boards, not %g", c.Name, got, *c.Fewest)
			}
			if bound, most := d.number(t, "lower_bound"), d.number(t, "price"); priced && bound > most+1e-9 {
				t.Errorf("%s: the bound %g lies above the price %g", c.Name, bound, most)
			}
			checkCuts(t, c.Name, d, c.Kerf*25.4)
		}
	}
}

// checkCuts adds up every board: pieces, kerfs and waste.
func checkCuts(t *testing.T, name string, d document, kerf float64) {
	t.Helper()
	for i, x := range d.list(t, "boards") {
		one := document(x.(map[string]any))
		sum := one.number(t, "waste_mm")
		cuts := one.list(t, "cuts_mm")
		for _, c := range cuts {
			sum += c.(float64)
		}
		stock := one.number(t, "stock_mm")
		if over := stock - sum; over < -1e-6 || over > float64(len(cuts))*kerf+1e-6 {
			t.Errorf("%s: board %d of %g mm: pieces and waste sum to %g mm", name, i, stock, sum)
		}
	}
}
