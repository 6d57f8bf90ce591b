package bed

import (
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"raftwright/brief"
	"raftwright/lang"
	"raftwright/unit"
)

func parse(t *testing.T, text string) *brief.Brief {
	t.Helper()
	b, faults := brief.Parse("test.yaml", []byte(text))
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	return b
}

// Every key of a log's entry, as the contract of the format lists them, and the
// order in which it says that things are done.
const visits = `
acid: {product: citric}
log:
  - {at: 2027-05-10T09:30, shade: 40 %, air: on, lost: 2, harvested: {heads: 4, mass: 2 kg}, planted: {heads: 8, crop: basil, age: 21 d},
     added acid: 12 g, added: {complete fertiliser: 30 g, Epsom salt: 1 tsp}, added solution: {volume: 5 gal, strength: 50 %},
     added water: 3 gal, filled: water, dumped: 20 gal}
  - {at: 2027-05-03, ph: 6.4, ec: 1.5 mS/cm, water temperature: 24 C, depth: 5-1/4 in, oxygen: 7.5 mg/L, alkalinity: 60 mg/L CaCO3,
     nitrate-n: 110 mg/L, ammonium-n: 5 mg/L NH4, air high: 29 C, air low: 16 C, rain: 0 mm,
     lab: {name: no. 12, ph: 6.3, calcium: 88 mg/L}, seen: [young_interveinal, roots_brown], roots: cream, note: a frog,
     filled: yes, planted: 32, added solution: 5 gal, air: off}
`

func TestVisitsStandInTheOrderOfTime(t *testing.T) {
	log, faults := FromBrief(parse(t, visits))
	if len(faults) > 0 || len(log) != 2 {
		t.Fatalf("%d visits, faults %v", len(log), faults)
	}
	first, second := log[0], log[1]
	if first.Path != "log[1]" || !first.At.Equal(time.Date(2027, 5, 3, 0, 0, 0, 0, time.UTC)) || !second.At.After(first.At) {
		t.Errorf("the first visit is %s at %v", first.Path, first.At)
	}
	want := []Happening{Filled{}, AddedSolution{5 * unit.Gallon, 1}, Planted{Heads: 32}, AirPump{}}
	if d := cmp.Diff(want, first.Done); d != "" {
		t.Error(d)
	}
	want = []Happening{Dumped{20 * unit.Gallon}, Filled{Water: true}, AddedWater{3 * unit.Gallon}, AddedSolution{5 * unit.Gallon, 0.5},
		AddedProduct{"complete fertiliser", brief.Amount{Mass: 30 * unit.Gram}}, AddedProduct{"Epsom salt", brief.Amount{Volume: unit.Teaspoon}},
		AddedAcid{brief.Amount{Mass: 12 * unit.Gram}}, Planted{8, "basil", 21 * 24 * unit.Hour}, Harvested{4, 2 * unit.Kilogram}, Lost{2},
		AirPump{On: true}, Shade{0.4}}
	if d := cmp.Diff(want, second.Done); d != "" {
		t.Error(d)
	}
}

func TestReadings(t *testing.T) {
	log, _ := FromBrief(parse(t, visits))
	r := log[0].Read
	for _, c := range []struct {
		what      string
		got, want float64
	}{
		{"pH", r.PH.Value, 6.4}, {"EC", r.EC.Value.MillisiemensPerCentimetre(), 1.5}, {"water", float64(r.WaterTemperature.Value), 24},
		{"depth", r.Depth.Value.Inches(), 5.25}, {"oxygen", r.Oxygen.Value.MilligramsPerLitre(), 7.5}, {"alkalinity", r.Alkalinity.Value.Value, 60},
		{"nitrate", r.Nitrate.Value.Value, 110}, {"ammonium", r.Ammonium.Value.Value, 5}, {"high", float64(r.AirHigh.Value), 29},
		{"low", float64(r.AirLow.Value), 16}, {"lab pH", r.Lab.PH.Value, 6.3}, {"lab calcium", r.Lab.Calcium.Value.Value, 88},
	} {
		if diff := c.got - c.want; diff > 1e-9 || diff < -1e-9 {
			t.Errorf("%s is %v, want %v", c.what, c.got, c.want)
		}
	}
	if !r.Rain.Given || r.Rain.Value != 0 || log[1].Read.Rain.Given {
		t.Error("no rain and rain that is not known are the same")
	}
	if d := cmp.Diff([]string{"young_interveinal", "roots_brown"}, r.Seen); d != "" || r.Roots != brief.CreamRoots || r.Note != "a frog" || r.Ammonium.Value.Form != "NH4" || r.Lab.Name.Value != "no. 12" {
		t.Errorf("%v %v %v %v\n%s", r.Roots, r.Note, r.Ammonium, r.Lab.Name, d)
	}
}

func TestAcidThatIsNotKnown(t *testing.T) {
	words, err := lang.For("en", lang.US)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ text, want string }{
		{"log: [{at: 2027-05-03, added acid: 10 mL}]", "the log adds acid, but the brief names none; add for example acid: {product: citric}"},
		{"acid: {product: citric}\nlog: [{at: 2027-05-03, added acid: 2 tsp}]", "crystals of acid cannot be told by volume; weigh them, for example 10 g"},
		{"acid: {product: citric}\nlog: [{at: 2027-05-03, added acid: 2 g}]", ""},
		{"acid: {product: citric 50 %}\nlog: [{at: 2027-05-03, added acid: 2 mL}]", ""},
		{"acid: {label: 0-31-0}\nlog: [{at: 2027-05-03, added acid: 10 mL}]", ""},
	} {
		_, faults := FromBrief(parse(t, c.text))
		got := ""
		for _, f := range faults {
			what, right := words.Fault(f)
			got += what + "; " + right
			if f.Path != "log[0].added acid" || f.Line < 1 || f.Column < 2 {
				t.Errorf("stands at %s %d:%d", f.Path, f.Line, f.Column)
			}
		}
		if got != c.want {
			t.Errorf("%s\n gives %q\n want  %q", c.text, got, c.want)
		}
	}
}

func TestAVisitWithoutATimeIsLeftOut(t *testing.T) {
	b, faults := brief.Parse("test.yaml", []byte("log: [{at: noon, ph: 6}, {at: 2027-05-03, ph: 6.5}]"))
	log, _ := FromBrief(b)
	if len(faults) != 1 || len(log) != 1 || log[0].Path != "log[1]" {
		t.Errorf("%v gives %v", faults, log)
	}
}
