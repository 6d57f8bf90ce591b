package main

import (
	"os"
	"strings"
	"testing"
)

const foundTrade = `water: {ph: 7, alkalinity: 0 mg/L, calcium: 0 mg/L, magnesium: 0 mg/L, sodium: 0 mg/L, potassium: 0 mg/L, chloride: 0 mg/L, sulfate: 0 mg/L}
shelf: [{name: complete fertiliser, label: 20-20-20, nitrate-n: 6 %, ammonium-n: 4 %, urea-n: 10 %, ten spoons: 49.3 g}, {name: Epsom salt, formula: MgSO4.7H2O, purity: 100 %, ten spoons: 49.3 g}]
found: {where: a web page, per: 1 gal, amounts: {complete fertiliser: 2 tsp, Epsom salt: 1 tsp}}
`

// The trade's two measures a gallon through the program (common practice;
// arithmetic in the horticulture reference, row trade_202020).
func TestFoundRecipe(t *testing.T) {
	row := map[string]string{}
	for _, r := range reference(t, "horticulture/recipes.csv") {
		if r["recipe_id"] == "trade_202020" {
			row = r
		}
	}
	d := ask(t, foundTrade, "found")
	for symbol, column := range map[string]string{"N": "total_N", "P": "P", "K": "K", "Mg": "Mg", "S": "S", "NH4-N": "NH4_N", "urea-N": "urea_N", "NO3-N": "NO3_N"} {
		if got, want := d.number(t, "achieved_mg_L."+symbol), figure(t, row, column); !within(got, want, 0.013) {
			t.Errorf("%s is %.1f mg/L, want %.0f", symbol, got, want)
		}
	}
	if got := d.number(t, "achieved_mg_L.Ca"); got > 1e-9 {
		t.Errorf("calcium %v", got)
	}
	for symbol, want := range map[string]string{"N": "strong", "P": "strong", "Ca": "missing"} {
		if got, _ := d.at("verdicts." + symbol); got != want {
			t.Errorf("%s is %v, want %s", symbol, got, want)
		}
	}
	if mends, _ := d.at("mend.mends"); mends != true {
		t.Errorf("nothing mends it: %v", d["mend"])
	}
	told := tell(foundTrade, "found", "-")
	for _, want := range []string{"a web page", "too strong", "missing", "The smallest change that puts it right", "Do not judge this recipe by EC", "Week 3"} {
		if !strings.Contains(told.out, want) {
			t.Errorf("nothing says %q", want)
		}
	}
	if told.code != exitDone {
		t.Errorf("exit %d", told.code)
	}
}

func TestAmissBed(t *testing.T) {
	const brief = `water: {kind: soft}
shelf: [{name: complete fertiliser 20-10-20}, {name: calcium nitrate}, {name: Epsom salt}, {name: potassium nitrate}]
target: {recipe: lettuce}
amiss: {volume: 400 L, put in: {complete fertiliser 20-10-20: 900 g}}
`
	d := ask(t, brief, "amiss")
	if share := d.number(t, "replace_share"); share <= 0.3 || share >= 1 || !within(d.number(t, "replace_L"), 400*share, 1e-9) {
		t.Errorf("share %v, %v L", share, d["replace_L"])
	}
	if now, after := d.number(t, "ec_now_mS_cm"), d.number(t, "ec_after_mS_cm"); after >= now || after < 0.5 {
		t.Errorf("EC %v, then %v", now, after)
	}
	blind := ask(t, "water: {kind: rain}\namiss: {volume: 400 L, reads: 2100 ppm 700, wanted: 1.6 mS/cm}", "amiss")
	if !within(blind.number(t, "ec_now_mS_cm"), 3, 1e-9) || !within(blind.number(t, "ec_after_mS_cm"), 1.6, 1e-9) {
		t.Errorf("%v", blind)
	}
}

func TestFeedingFaultsAreTold(t *testing.T) {
	for _, c := range []struct{ command, brief, want string }{
		{"found", "water: {kind: rain}", `the section "found" is missing`},
		{"amiss", "water: {kind: rain}", `the section "amiss" is missing`},
		{"found", "found: {per: 1 gal, amounts: {mystery dust: 2 tsp}}", "-:1:45: found.amounts.mystery dust: the product \"mystery dust\" is neither on the shelf nor in the library"},
		{"mix", "log: [{at: 2027-05-03T08:00, ec: 900 ppm}]", "depends on the meter"},
	} {
		got := tell(c.brief, c.command, "-", "--json")
		if got.code != exitFaults || got.out != "" || !strings.Contains(got.err, c.want) {
			t.Errorf("%s %s: exit %d, %q, %q", c.command, c.brief, got.code, got.out, got.err)
		}
	}
}

// The JSON keeps the acid that was asked for; the safer one stands beside it.
func TestSchoolsKeepTheAskedAcidInJSON(t *testing.T) {
	brief := "site: {kind: school}\nwater: {ph: 7.6, alkalinity: 215 mg/L CaCO3, calcium: 78 mg/L}\nacid: {product: sulfuric 93 %, target ph: 6}\n"
	at := ask(t, brief, "water")
	home := ask(t, strings.Replace(brief, "school", "market", 1), "water")
	if a, b := at.number(t, "acid.dose_mL_L"), home.number(t, "acid.dose_mL_L"); a <= 0 || a != b {
		t.Errorf("dose %v and %v", a, b)
	}
	if at.number(t, "safer_acid.dose_g_L") <= 0 {
		t.Errorf("%v", at["safer_acid"])
	}
	if _, is := home["safer_acid"]; is {
		t.Error("a market has a safer acid")
	}
	if out := tell(brief, "water", "-").out; strings.Contains(out, "mL") || !strings.Contains(out, "itric acid") {
		t.Errorf("the terminal prints %s", out)
	}
}

func TestFoundExampleRuns(t *testing.T) {
	data, err := os.ReadFile("../../examples/found-recipe.yaml")
	if err != nil {
		t.Fatal(err)
	}
	for _, command := range []string{"found", "amiss", "mix", "water", "plan"} {
		if got := tell(string(data), command, "-"); got.code != exitDone && got.code != exitStop || got.err != "" {
			t.Errorf("%s: exit %d: %s", command, got.code, got.err)
		}
	}
}
