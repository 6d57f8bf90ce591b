package packet_test

import (
	"fmt"
	"math/rand/v2"
	"os"
	"regexp"
	"strconv"
	"strings"
	"sync"
	"testing"

	"raftwright/brief"
	"raftwright/lang"
	"raftwright/packet"
	"raftwright/page"
	"raftwright/plan"
	"raftwright/sky"
	"raftwright/sky/places"
)

// briefsToTry is how many random briefs a run goes through: a few seconds' worth, or
// as many as the environment says in RAFTWRIGHT_BRIEFS (2000 before a release).
func briefsToTry(t *testing.T) int {
	t.Helper()
	n, err := strconv.Atoi(os.Getenv("RAFTWRIGHT_BRIEFS"))
	switch {
	case err == nil && n > 0:
		return n
	case testing.Short():
		return 2
	}
	return 16
}

// everyWay says whether each example is printed in every way, as ./check --long does, or in some of them, by turns.
func everyWay() bool { return os.Getenv("RAFTWRIGHT_LAYOUTS") == "all" }

// bookWithPlaces is everything that plans look up, the table of climates too.
var bookWithPlaces = sync.OnceValue(func() plan.Book {
	atlas, err := sky.OpenAtlas(places.Packed)
	if err != nil {
		panic(err)
	}
	return plan.DefaultBook().With(atlas)
})

// wish draws a brief such as somebody could write, line by line.
type wish struct {
	*rand.Rand
	strings.Builder
}

func (w *wish) pick(words ...string) string { return words[w.IntN(len(words))] }

// say writes a line with a chance.
func (w *wish) say(chance float64, format string, args ...any) {
	if w.Float64() < chance {
		fmt.Fprintf(w, format+"\n", args...)
	}
}

// plausible draws a brief: any crop, a place from the table of climates, any water,
// shelf, size, support, schedule and break. All are invented.
func plausible(seed uint64, crops []string) string {
	w := &wish{Rand: rand.New(rand.NewPCG(seed, 9))}
	w.say(1, "units: %s", w.pick("us", "metric"))
	site := fmt.Sprintf("kind: %s, children: %s, cover: %s", w.pick("home", "school", "community", "market"), w.pick("none", "visit", "live here"), w.pick("open", "open", "shade", "tunnel", "greenhouse"))
	if w.Float64() < 0.2 {
		site += ", pump: " + w.pick("mains", "battery")
	}
	switch w.IntN(5) {
	case 0:
	case 1:
		site += ", place: " + w.pick("04473", "33101", "80302", "99701", "96720", "59801", "78701", "85001", "55401", "98101", "70112", "87501", "14850", "89431", "00901")
	default:
		site += fmt.Sprintf(", latitude: %.2f, longitude: %.2f", 27+21*w.Float64(), -121+44*w.Float64())
	}
	w.say(1, "site: {%s}", site)
	w.beds()
	w.say(0.85, "crop: {name: %s}", w.pick(crops...))
	w.waters()
	w.shelves()
	w.say(0.4, "target: %s", w.pick("{recipe: lettuce}", "{recipe: lettuce, ec: 1.4 mS/cm}", "{nitrogen: 120 mg/L, potassium: 150 mg/L}"))
	w.say(0.6, "mix: {measure: %s, bucket: %s%s}", w.pick("scale 1 g", "scale 0.1 g", "scale 5 g", "spoons"), w.pick("5 gal", "2 gal", "10 L", "20 L"),
		w.pick("", "", "", ", stock: {volume: 5 gal, ratio: 100}"))
	w.schedules()
	w.say(0.4, "prices: {on: 2026-11-01, place: our county, head: %s, labor: %s}", w.pick("1 USD", "2.50 USD", "4 USD"), w.pick("0 USD/h", "15 USD/h"))
	return w.String()
}

func (w *wish) beds() {
	support := w.pick("ground", "ground", "ground", "ground", "deck", "floor")
	switch w.IntN(8) {
	case 0:
		w.say(1, "bed: {vessel: round, diameter: %s, depth: %s, support: %s}", w.pick("4 ft", "6 ft", "8 ft", "2 m"), w.pick("6 in", "8 in", "200 mm"), support)
	case 1:
		w.say(1, "bed: {vessel: tub, length: %s, width: %s, depth: %s, support: %s}", w.pick("34 in", "4 ft"), w.pick("20 in", "22 in"), w.pick("6 in", "7 in"), support)
	default:
		w.say(1, "bed:\n  depth: %s\n  support: %s", w.pick("4 in", "5 in", "6 in", "6 in", "8 in", "150 mm"), support)
		w.say(0.8, "  length: %s\n  width: %s", w.pick("97 in", "8 ft", "10 ft", "16 ft", "20 ft", "32 ft", "2.4 m", "5 m"), w.pick("49 in", "4 ft", "1.2 m", "3 ft", "8 ft"))
		w.say(0.5, "  side board: %s", w.pick("2x6", "2x8", "2x8", "2x10", "2x12"))
		w.say(0.2, "  lumber: %s", w.pick("southern-pine-2", "hem-fir-2", "western-cedar-2"))
		w.say(0.2, "  hold with: %s", w.pick("tie", "stake"))
		w.say(0.2, "  level error: %s", w.pick("1/4 in", "1/2 in", "5 mm"))
		w.say(0.3, "  liner: %s", w.pick("6 mil", "20 mil", "45 mil"))
		w.say(0.2, "  count: %s", w.pick("2", "6"))
		w.say(0.4, "raft: {foam: %s, spacing: %s, hole: %s, pattern: %s}", w.pick("xps", "eps"), w.pick("6 in", "8 in", "10 in", "12 in", "250 mm"), w.pick("1-1/2 in", "2 in", "2-1/2 in"), w.pick("square", "staggered"))
	}
}

func (w *wish) waters() {
	switch w.IntN(5) {
	case 0:
	case 1:
		w.say(1, "water: {kind: %s}", w.pick("soft", "hard", "rain"))
	case 2:
		w.say(1, "water: {name: tap, ph: %s, %s: %s mg/L}", w.pick("6.8", "7.4", "8.1"), w.pick("free chlorine", "chloramine"), w.pick("0.5", "1", "2"))
	default:
		w.say(1, "water: {name: well, ph: %s, alkalinity: %s mg/L CaCO3, calcium: %s mg/L, magnesium: %s mg/L, sodium: %s mg/L, chloride: %s mg/L, sulfate: %s mg/L, boron: %s mg/L}",
			w.pick("6.5", "7.2", "7.8", "8.4"), w.pick("10", "60", "120", "180", "320"), w.pick("4", "40", "90"), w.pick("1", "11", "30"), w.pick("3", "40", "120"), w.pick("3", "50", "150"), w.pick("5", "40", "200"), w.pick("0", "0.1", "0.8"))
	}
	w.say(0.25, "acid: {product: %s, target ph: %s, air: %s}", w.pick("sulfuric 93 %", "nitric 67 %", "phosphoric 75 %", "citric"), w.pick("5.5", "5.8", "6.2"), w.pick("open", "closed"))
}

func (w *wish) shelves() {
	if w.Float64() < 0.3 {
		return
	}
	from := w.Len()
	w.WriteString("shelf:\n")
	for _, p := range []string{"{name: powder, label: 20-20-20, nitrate-n: 6.0 %, ammonium-n: 3.9 %, urea-n: 10.1 %, iron: 0.10 %, pack: 25 lb, price: 48 USD, limit: 2 g/L}",
		"{name: base powder, label: 5-12-26, nitrate-n: 5 %, magnesium: 6 %, iron: 0.3 %, chelate: DTPA, pack: 5 lb, price: 22 USD}",
		"{name: lawn food, label: 24-8-16}", "{name: calcium nitrate, label: 15.5-0-0, nitrate-n: 14.4 %, ammonium-n: 1.1 %, calcium: 19 %, pack: 5 lb, price: 14 USD}",
		"{name: potassium nitrate, formula: KNO3, pack: 5 lb, price: 19 USD}", "{name: Epsom salt, formula: MgSO4.7H2O, purity: 98 %, pack: 4 lb, price: 6 USD}"} {
		w.say(0.55, "  - %s", p)
	}
	if w.Len() == from+len("shelf:\n") {
		w.WriteString("  - {name: powder, label: 20-20-20}\n")
	}
}

func (w *wish) schedules() {
	switch w.IntN(4) {
	case 0:
		w.say(1, "schedule: {people: %s}", w.pick("2", "4", "25"))
	case 1:
		w.say(1, "schedule: {heads per week: %s}", w.pick("2", "6", "12", "40", "200"))
	case 2:
		w.say(1, "schedule: {heads per week: %s, first harvest: 2027-%s, last harvest: 2027-%s, harvest days: [%s], breaks: [{from: 2027-%s, to: 2027-%s}]}", w.pick("3", "8", "20"),
			w.pick("03-15", "05-01", "06-01"), w.pick("09-15", "10-31", "11-30"), w.pick("Tue", "Mon, Thu", "Wed, Fri"), w.pick("06-20", "07-01"), w.pick("07-05", "07-25", "08-20"))
	}
}

// made is a random brief with what came of it.
type made struct {
	seed  uint64
	brief string
	plan  plan.Plan
	words *lang.Printer
	doc   page.Document // the working
	faces page.Document
	paper string    // the packet as plain text, on one line
	texts [2]string // of the working and of the faces
}

// failing tells each kind of fault once, with its first brief, and counts the rest.
type failing struct {
	t     *testing.T
	count map[string]int
	m     made
}

var figure = regexp.MustCompile(`\d[\d.,/-]*`)

func (f *failing) errorf(check, format string, args ...any) {
	f.t.Helper()
	text := check + ": " + fmt.Sprintf(format, args...)
	kind := figure.ReplaceAllString(text, "#")
	if f.count[kind]++; f.count[kind] > 1 {
		return
	}
	f.t.Errorf("brief %d, %s", f.m.seed, text)
	if f.count[check]++; f.count[check] == 1 {
		f.t.Log(f.m.brief)
	}
}

// cropNames lists the crops that random briefs grow.
func cropNames() []string {
	var out []string
	for _, c := range bookWithPlaces().Crops.Crops() {
		out = append(out, c.ID)
	}
	return out
}

// printedPlan plans a brief and prints its packet; false where it has faults.
func printedPlan(t *testing.T, seed uint64, text string) (made, bool) {
	t.Helper()
	b, faults := brief.Parse("random.yaml", []byte(text))
	if len(faults) > 0 {
		return made{}, false
	}
	p, faults := plan.Make(b, bookWithPlaces(), plan.Files{}, plan.Everything)
	if len(faults) > 0 {
		return made{}, false
	}
	units := lang.US
	if p.Metric() {
		units = lang.Metric
	}
	m := made{seed: seed, brief: text, plan: p, words: words(t, units)}
	m.doc, m.faces = accounts(p, m.words, packet.Options{}), packet.Faces(p, m.words, packet.Options{})
	m.texts = [2]string{told(t, m.doc), told(t, m.faces)}
	m.paper = flat(m.texts[1] + m.texts[0])
	return m, true
}

// Random plausible briefs hold what every plan must hold: each check of the house goes
// over all of them.
func TestPlausibleBriefs(t *testing.T) {
	n, sound, planted, crops := briefsToTry(t), 0, 0, cropNames()
	f := &failing{t: t, count: map[string]int{}}
	for seed := range uint64(n) {
		m, ok := printedPlan(t, seed, plausible(seed, crops))
		if !ok {
			continue
		}
		sound++
		if said(m, "packet.glance.ok") {
			planted++
		}
		docs := []page.Document{m.doc}
		if !testing.Short() || seed%2 == 1 {
			docs = append(docs, m.faces)
		}
		for i, doc := range docs {
			m.doc, m.paper = doc, flat(m.texts[i])
			f.m = m
			for name, check := range checks {
				check(m, func(format string, args ...any) { f.errorf(name, format, args...) })
			}
		}
	}
	if sound < n*3/4 || planted == 0 {
		t.Errorf("only %d of %d briefs are sound, and %d can be planted", sound, n, planted)
	}
	if n >= 100 { // fewer do not meet the rarest
		everySayingIsMet(t)
	}
	t.Logf("%d of %d briefs are sound, %d say that the bed can be planted", sound, n, planted)
	for kind, n := range f.count {
		t.Logf("%d times: %s", n, kind)
	}
}

// The examples hold it too.
func TestExamplesHoldTheChecks(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	f := &failing{t: t, count: map[string]int{}}
	for i, path := range someExamples(t) {
		p := planOf(t, path)
		for k, u := range []lang.Units{lang.US, lang.Metric} {
			m := made{brief: path, plan: p, words: words(t, u)}
			for j, print := range []func() page.Document{
				func() page.Document { return packet.Faces(p, m.words, packet.Options{}) },
				func() page.Document { return accounts(p, m.words, packet.Options{}) },
			} {
				if !everyWay() && (i+j+k)%2 == 1 {
					continue // the faces in one system and the accounts in the other, by turns
				}
				m.doc = print()
				m.paper = flat(told(t, m.doc))
				f.m = m
				for name, check := range checks {
					check(m, func(format string, args ...any) { f.errorf(name, format, args...) })
				}
			}
		}
	}
}
