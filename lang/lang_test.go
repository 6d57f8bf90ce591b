package lang

import (
	"maps"
	"slices"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"github.com/pelletier/go-toml/v2"

	"raftwright/cost"
	"raftwright/finding"
	"raftwright/mix"
	"raftwright/unit"
)

func printer(t testing.TB, u Units) *Printer {
	p, err := For("en", u)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func TestValues(t *testing.T) {
	us, si := printer(t, US), printer(t, Metric)
	day := time.Date(2027, 3, 3, 0, 0, 0, 0, time.UTC)
	for _, c := range []struct {
		v      any
		us, si string
	}{
		{97 * unit.Inch, "97 in", "2464 mm"}, {1.5 * unit.Inch, "1-1/2 in", "38 mm"},
		{unit.Inch / 4, "1/4 in", "6.3 mm"}, {16 * unit.Foot, "192 in", "4877 mm"}, {48 * unit.Foot, "576 in", "14.63 m"},
		{unit.PlantDensity(10.7639), "1.0 per ft²", "10.8 per m²"},
		{100 * unit.Gallon, "100 gal", "379 L"}, {5 * unit.Gallon, "5.0 gal", "18.9 L"}, {4.7 * unit.Gram, "4.7 g", "4.7 g"},
		{998 * unit.Pound, "998 lb", "453 kg"}, {unit.Pressure(1494), "31.2 lb/ft²", "1.49 kPa"},
		{275 * unit.PoundPerSquareInch, "275 psi", "1.9 MPa"}, {unit.Temperature(25), "77 °F (25 °C)", "25 °C"},
		{150 * unit.MilligramPerLitre, "150 mg/L", "150 mg/L"}, {2 * unit.GramPerLitre, "2 g/L", "2 g/L"},
		{1.62 * unit.MillisiemensPerCentimetre, "1.6 mS/cm", "1.6 mS/cm"}, {0.29 * unit.Fraction(1), "29 %", "29 %"},
		{cost.Cents(250, "USD"), "$2.50", "$2.50"}, {day, "Wed, Mar 3, 2027", "Wed, Mar 3, 2027"},
		{1234567.0, "1,234,567", "1,234,567"}, {0.000001, "0.000001", "0.000001"}, {36 * unit.Hour, "36 hours", "36 hours"},
		{finding.Word("month.4"), "Apr", "Apr"}, {"a name", "a name", "a name"},
	} {
		if got := us.Value(c.v); got != c.us {
			t.Errorf("US %v: %q, want %q", c.v, got, c.us)
		}
		if got := si.Value(c.v); got != c.si {
			t.Errorf("metric %v: %q, want %q", c.v, got, c.si)
		}
	}
}

// Spanish for readers in the United States: the forms are those of the style for
// translators (numbers of es-US by the Unicode locale data; the joints of a list by the
// Ortografía of the RAE, from memory).
func TestSpanishFigures(t *testing.T) {
	us, err := For("es", US)
	if err != nil {
		t.Fatal(err)
	}
	day := time.Date(2027, 3, 2, 0, 0, 0, 0, time.UTC)
	for _, c := range []struct {
		got, want string
	}{
		{us.Value(5.25 * unit.Inch), "5-1/4 pulg"}, {us.Feet(100 * unit.Inch), "8 pies 4 pulg"}, {us.Feet(12 * unit.Inch), "1 pie"},
		{us.Value(1200 * unit.Mile), "1,200 millas"}, {us.Value(1 * unit.Mile), "1 milla"}, {us.Value(unit.PlantDensity(10.7639)), "1.0 por pie²"},
		{us.Value(unit.Pressure(1494)), "31.2 lb/pie²"}, {us.Thickness(6 * unit.Mil), "0.006 pulg (0.15 mm)"}, {us.Value(36 * unit.Hour), "36 horas"},
		{us.Value(unit.Hour), "1 hora"}, {us.Value(1234.5), "1,234"}, {us.Value(1.5), "1.5"}, {us.Value(cost.Cents(123450, "USD")), "$1,234.50"},
		{us.Value(day), "martes 2 de marzo de 2027"}, {us.Date(day), "2 de marzo de 2027"}, {us.MonthDay(3, 2), "2 mar"}, {us.Weekday(day), "ma"},
		{us.Value(finding.Word("month.3")), "marzo"}, {us.Product("Epsom salt"), "sal de Epsom"}, {us.Product("calcium nitrate 15.5-0-0"), "nitrato de calcio 15.5-0-0"},
		{us.Product("mi mezcla 9-9-9"), "mi mezcla 9-9-9"}, {us.Bag("calcium nitrate 15.5-0-0"), "nitrato de calcio (calcium nitrate) 15.5-0-0"}, {us.Bag("urea"), "urea"}, {us.Bag("mi mezcla"), "mi mezcla"}, {us.Product(""), ""}, {us.Product("x "), "x "}, {us.Products([]string{"urea", "iron EDTA"}), "urea y hierro EDTA"},
		{us.fill("{{.Product}}", finding.Args{"Product": "Epsom salt"}), "sal de Epsom"}, {capital("¿qué?"), "¿Qué?"},
		{us.Join([]string{"agua", "hierro"}), "agua y hierro"}, {us.Join([]string{"pH", "indicador"}), "pH e indicador"}, {us.Join([]string{"padres", "hijos"}), "padres e hijos"},
		{us.Join([]string{"sal", "iones"}), "sal y iones"}, {us.Value(finding.AnyOf{"siete", "ocho"}), "siete u ocho"}, {us.Value(finding.AnyOf{"7", "8"}), "7 u 8"},
		{us.Value(finding.AnyOf{"uno", "dos", "hongos"}), "uno, dos u hongos"}, {us.Value(finding.AnyOf{"10", "11"}), "10 u 11"}, {us.Value(finding.AnyOf{"10", "12"}), "10 o 12"},
	} {
		if c.got != c.want {
			t.Errorf("%q, want %q", c.got, c.want)
		}
	}
	// a fault names a product as it stands in the brief
	if what, _ := us.Fault(finding.Fault{ID: "mix.fault.same_name", Args: finding.Args{"Product": "Epsom salt"}}); !strings.Contains(what, "Epsom salt") {
		t.Error(what)
	}
}

// Every name of the library has its translation.
func TestEveryProductIsNamed(t *testing.T) {
	es, err := For("es", US)
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range mix.DefaultLibrary().Names() {
		if said := es.Product(name); said == name && name != "urea" {
			t.Errorf("%s has no Spanish name", name)
		}
	}
	for _, r := range mix.DefaultLibrary().Recipes.All() {
		if es.Recipe(r.Name) == r.Name {
			t.Errorf("%s has no Spanish name", r.Name)
		}
	}
}

func TestThickness(t *testing.T) {
	if us, si := printer(t, US).Thickness(6*unit.Mil), printer(t, Metric).Thickness(6*unit.Mil); us != "6 mil" || si != "0.15 mm" {
		t.Error(us, si)
	}
}

func TestMissingSentenceIsShown(t *testing.T) {
	p := printer(t, US)
	if got := p.Say("no.such.sentence", nil); got != "[no.such.sentence]" {
		t.Error(got)
	}
	if p.Can("no.such.sentence") || !p.Can("cost.loss") {
		t.Error("Can is wrong")
	}
}

func TestSayFillsFigures(t *testing.T) {
	got := printer(t, US).Say("cost.loss", finding.Args{"Price": cost.Cents(50, "USD"), "BreakEven": cost.Cents(191, "USD")})
	if !strings.Contains(got, "$0.50") || !strings.Contains(got, "$1.91") {
		t.Error(got)
	}
}

// A folder of sentences is all that a language needs to be spoken; what it has not
// translated yet stays English. The marks of decimals and thousands are those of
// the Unicode locale data (de: 1.234,5).
func TestALanguageIsAFolder(t *testing.T) {
	all, err := books(fstest.MapFS{
		"en/a.toml": {Data: []byte("say.first = \"one {{.X}}\"\nsay.second = \"two\"\n")},
		"de/a.toml": {Data: []byte("say.first = \"eins {{.X}}\"\n")},
	})
	if err != nil {
		t.Fatal(err)
	}
	p, err := speak(all, "de", Metric)
	if err != nil {
		t.Fatal(err)
	}
	if got := p.Say("say.first", finding.Args{"X": 1234.0}); got != "eins 1.234" {
		t.Error(got)
	}
	if got := p.Say("say.second", nil); got != "two" || p.Language != "de" {
		t.Error(got, p.Language)
	}
	if got := p.Fixed(1234.5, 1); got != "1.234,5" {
		t.Error(got)
	}
	for _, missing := range []string{"fr", "", "../en", "not a tag"} {
		if p, err := speak(all, missing, Metric); err != nil || p.Language != "en" {
			t.Errorf("%q: %v %v", missing, p, err)
		}
	}
}

// A bundle says what the folders say, in one text of TOML: its own sentences, English
// where there is none. A form that counts (one) is not mixed of two languages.
func TestBundles(t *testing.T) {
	all, err := bundles(fstest.MapFS{
		"en/a.toml":     {Data: []byte("say.first = \"one {{.X}}\"\nsay.second = \"two\"\n[say.some]\none = \"a bed\"\nother = \"{{.Count}} beds\"\n")},
		"en/paper.toml": {Data: []byte("say.paper = \"paper\"\n")},
		"de/a.toml":     {Data: []byte("say.first = \"eins \\\"{{.X}}\\\"\"\nsay.some = \"{{.Count}} Beete\"\n")},
	}, "paper.toml")
	if err != nil || len(all) != 2 {
		t.Fatal(all, err)
	}
	for tag, text := range all {
		b, err := ReadBundle(text)
		if err != nil {
			t.Fatal(err)
		}
		var tree map[string]any
		if err := toml.Unmarshal([]byte(text), &tree); err != nil {
			t.Errorf("%s: %v", text, err)
		}
		want := map[string][]string{"en": {"one 1,234", "two", "a bed", "2 beds"}, "de": {`eins "1.234"`, "two", "1 Beete", "2 Beete"}}[tag]
		p, err := b.For(Metric)
		if err != nil {
			t.Fatal(err)
		}
		got := []string{p.Say("say.first", finding.Args{"X": 1234.0}), p.Say("say.second", nil),
			p.Say("say.some", finding.Args{"Count": 1}), p.Say("say.some", finding.Args{"Count": 2})}
		if !slices.Equal(got, want) || p.Language != tag || p.Can("say.paper") {
			t.Errorf("%s: %q, want %q", tag, got, want)
		}
	}
	for _, text := range []string{"", "say.first = \"one\"\n", "<!doctype html>"} {
		b, err := ReadBundle(text)
		if err == nil {
			t.Errorf("%q is taken for a bundle", text)
		}
		if p, err := b.For(US); err == nil || p != nil {
			t.Error("an empty bundle speaks")
		}
	}
}

// The English bundle holds every sentence of the folder as it is.
func TestTheEnglishBundle(t *testing.T) {
	texts, err := Bundles()
	if err != nil {
		t.Fatal(err)
	}
	b, err := ReadBundle(texts["en"])
	if err != nil {
		t.Fatal(err)
	}
	delete(b.sentences, languageOfBundle)
	if want := printer(t, US).sentences[0]; !maps.Equal(b.sentences, want) {
		t.Errorf("%d sentences, want %d", len(b.sentences), len(want))
	}
}

func TestBrokenFilesAreNamed(t *testing.T) {
	for text, want := range map[string]string{
		"a.b = \"x\"\na.b = \"y\"": "en/a.toml:2: a.b has a sentence already",
		"# c\n\na.b = 'x'":         "en/a.toml:3: not a sentence",
		"a.b":                      "en/a.toml:1: not a sentence",
		"a.b = \"x":                "en/a.toml:1: not a sentence",
		"a.b = `x`":                "en/a.toml:1: not a sentence",
		"a.b = \"x\" y":            "en/a.toml:1: not a sentence",
	} {
		all, err := books(fstest.MapFS{"en/a.toml": {Data: []byte(text)}})
		if err != nil {
			t.Fatal(err)
		}
		if _, err := speak(all, "en", US); err == nil || !strings.Contains(err.Error(), "lang: "+want) {
			t.Errorf("%q: %v, want %s", text, err, want)
		}
	}
}

func BenchmarkLoad(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		if _, err := readBook(sentences, "en"); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkFor(b *testing.B) {
	for b.Loop() {
		if _, err := For("en", US); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkSay(b *testing.B) {
	p := printer(b, US)
	args := finding.Args{"Count": 3, "Size": "2x4", "Board": finding.Word("word.side"), "Embed": 18 * unit.Inch, "Spacing": 24 * unit.Inch, "Force": unit.Force(900)}
	b.ReportAllocs()
	for b.Loop() {
		p.Say("frame.stake", args)
	}
}

// What a browser sends (RFC 9110, section 12.5.4: a quality of 0 is not acceptable, the greatest comes first, a part of a tag
// speaks its language): of the languages that we speak the one that is asked for first.
func TestAccepted(t *testing.T) {
	if got := Languages(); !slices.Equal(got, []string{"en", "es"}) {
		t.Fatal(got)
	}
	for header, want := range map[string]string{
		"da, en-gb;q=0.8, en;q=0.7": "en", // the example of that section
		"es-MX,es;q=0.9,en;q=0.8":   "es",
		"en;q=0.5, es;q=0.6":        "es",
		"es-US":                     "es",
		"fr, de;q=0.5":              "",
		"":                          "",
		"no;;;language":             "",
	} {
		if got := Accepted(header); got != want {
			t.Errorf("%q: %q, not %q", header, got, want)
		}
	}
}

// A figure prints as its name in a sentence asks for: a film in mils, a height in feet, a stock length in feet, an acid by its name, a
// day without its weekday, a pH as a pen reads it. A foot is 0.3048 m (exact, NIST SP 811).
func TestUnderItsName(t *testing.T) {
	us := printer(t, US)
	for _, c := range []struct {
		name string
		v    any
		want string
	}{
		{"LeastThickness", 20 * unit.Mil, "20 mil"}, {"Least", 20 * unit.Mil, us.Length(20 * unit.Mil)}, {"Altitude", 300 * unit.Metre, "984 ft"}, {"StockLength", 10 * unit.Foot, "10 ft"},
		{"TargetPH", 5.84, "5.8"}, {"FirstDate", time.Date(2027, 5, 11, 0, 0, 0, 0, time.UTC), us.Date(time.Date(2027, 5, 11, 0, 0, 0, 0, time.UTC))},
		{"Acid", "no acid of ours", "no acid of ours"},
	} {
		if got := us.Under(c.name, c.v); got != c.want {
			t.Errorf("%s: %q, not %q", c.name, got, c.want)
		}
	}
}
