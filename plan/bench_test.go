package plan_test

import (
	"fmt"
	"os"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"raftwright/brief"
	"raftwright/examples"
	"raftwright/plan"
)

// usual is the 4 x 8 ft bed with everything said but a climate and a schedule.
const usual = `raftwright: 1
bed: {vessel: frame, length: 97 in, width: 49 in, depth: 6 in, side board: 2x8, end board: 2x10, lumber: southern-pine-2, liner: 6 mil}
raft: {sheet: [4 ft, 8 ft], thickness: 1-1/2 in, foam: xps, gap: 1/2 in, spacing: 12 in, edge: 6 in, hole: 2-1/2 in, pattern: square}
water: {ph: 7.6, alkalinity: 215 mg/L CaCO3, calcium: 78 mg/L, magnesium: 11 mg/L, sodium: 9 mg/L, chloride: 14 mg/L, sulfate: 20 mg/L, ec: 0.50 mS/cm}
acid: {product: sulfuric 93 %, target ph: 5.8, air: closed}
shelf:
  - {name: complete fertiliser, label: 20-20-20, nitrate-n: 6.0 %, ammonium-n: 3.9 %, urea-n: 10.1 %, iron: 0.10 %}
  - {name: calcium nitrate, label: 15.5-0-0, nitrate-n: 14.4 %, ammonium-n: 1.1 %, calcium: 19 %}
  - {name: potassium nitrate, formula: KNO3}
  - {name: Epsom salt, formula: MgSO4.7H2O, purity: 98 %}
target: {recipe: lettuce}
mix: {bucket: 5 gal, measure: scale 1 g, most products: 4}
crop: {name: lettuce}
`

func benchmark(b *testing.B, text string, part plan.Part) {
	parsed, faults := brief.Parse("bench.yaml", []byte(text))
	if len(faults) > 0 {
		b.Fatal(faults[0])
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, faults := plan.Make(parsed, book, plan.Files{}, part); len(faults) > 0 {
			b.Fatal(faults[0])
		}
	}
}

// BenchmarkPlan makes the whole plan of one 4 x 8 ft bed without a schedule.
func BenchmarkPlan(b *testing.B) { benchmark(b, usual, plan.Everything) }

// BenchmarkPlanAssumed makes the plan of a brief that says next to nothing.
func BenchmarkPlanAssumed(b *testing.B) { benchmark(b, "bed: {}\n", plan.Everything) }

// BenchmarkPlanScheduled makes the plan of the demonstration: a year of weather,
// and a season of weekly harvests.
func BenchmarkPlanScheduled(b *testing.B) { benchmark(b, string(examples.Demo), plan.Everything) }

// The parts one by one, on the same bed.
func BenchmarkParts(b *testing.B) {
	for name, part := range map[string]plan.Part{"frame": plan.Frame, "raft": plan.Raft, "cut": plan.Cut, "water": plan.Water, "mix": plan.Mix, "cost": plan.Cost} {
		b.Run(name, func(b *testing.B) { benchmark(b, usual, part) })
	}
}

// BenchmarkParse reads the demonstration's brief.
func BenchmarkParse(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		if _, faults := brief.Parse("demo.yaml", examples.Demo); len(faults) > 0 {
			b.Fatal(faults[0])
		}
	}
}

// BenchmarkPlanEdited makes the plan of the demonstration anew after an edit of one
// field, for all fields in turn, with a memory of the plan before, and takes the least of
// three; the median and the slowest field are reported.
func BenchmarkPlanEdited(b *testing.B) {
	demo, faults := brief.Parse("demo.yaml", examples.Demo)
	if len(faults) > 0 {
		b.Fatal(faults[0])
	}
	edits := editsOf(b, demo)
	var took []time.Duration
	slow, field := time.Duration(0), ""
	for b.Loop() {
		for _, e := range edits {
			one := time.Hour
			for range 3 {
				var mem plan.Memory
				of(demo).Make(&mem)
				from := time.Now()
				of(e.brief).Make(&mem)
				one = min(one, time.Since(from))
			}
			if took = append(took, one); one > slow {
				slow, field = one, e.path
			}
		}
	}
	slices.Sort(took)
	b.ReportMetric(float64(took[len(took)/2].Microseconds())/1e3, "ms/median")
	b.ReportMetric(float64(took[len(took)*9/10].Microseconds())/1e3, "ms/p90")
	b.ReportMetric(float64(slow.Microseconds())/1e3, "ms/slowest")
	b.Logf("%d fields, the slowest is %s", len(edits), field)
}

// BenchmarkEditOfEachField makes the plan of the demonstration anew after an edit of one
// field, for all fields in turn, with a memory of the plan before. Each field counts by the mean of
// six, with what the collector takes; the median over the fields is reported, and a quarter, nine
// tenths and the slowest of them. RAFTWRIGHT_FIELDS is an expression that picks fields by their paths,
// and lists what each took.
func BenchmarkEditOfEachField(b *testing.B) {
	demo, faults := brief.Parse("demo.yaml", examples.Demo)
	if len(faults) > 0 {
		b.Fatal(faults[0])
	}
	edits, pick := editsOf(b, demo), os.Getenv("RAFTWRIGHT_FIELDS")
	if pick != "" {
		re := regexp.MustCompile(pick)
		edits = slices.DeleteFunc(edits, func(e edit) bool { return !re.MatchString(e.path) })
	}
	const times = 6
	took, passes := make([]time.Duration, len(edits)), 0
	for ; b.Loop(); passes++ {
		for i, e := range edits {
			for range times {
				var mem plan.Memory
				of(demo).Make(&mem)
				from := time.Now()
				of(e.brief).Make(&mem)
				took[i] += time.Since(from)
			}
		}
	}
	milli := func(d time.Duration) float64 { return d.Seconds() * 1e3 / float64(times*passes) }
	if pick != "" {
		for i, e := range edits {
			b.Logf("%.3f ms  %s", milli(took[i]), e.path)
		}
	}
	slices.Sort(took)
	for share, name := range map[float64]string{0.25: "ms/quarter", 0.5: "ms/median", 0.9: "ms/p90"} {
		b.ReportMetric(milli(took[int(float64(len(took))*share)]), name)
	}
	b.ReportMetric(milli(took[len(took)-1]), "ms/slowest")
	b.ReportMetric(0, "ns/op") // a pass over all fields says nothing
}

func of(b *brief.Brief) plan.Job {
	return plan.Job{Brief: b, Book: book, Asked: plan.Everything}
}

type edit struct {
	path  string
	brief *brief.Brief
}

// editsOf gives a brief anew for each of its fields: a figure a little larger, a word
// another word, a day a day later, any other text as the key's example or with a letter more.
// Fields that take no other text alone (the kind of a vessel) are left out.
func editsOf(b *testing.B, demo *brief.Brief) []edit {
	keys := map[string]brief.Key{}
	for _, k := range brief.Keys() {
		keys[k.Path] = k
	}
	item := regexp.MustCompile(`\[\d+\]`)
	figure := regexp.MustCompile(`^-?\d+(?:\.\d+)?`)
	var out []edit
	values := demo.Values()
	for _, v := range values {
		k := keys[strings.TrimSuffix(item.ReplaceAllString(string(v.Path), "[]"), "[]")]
		texts := append(slices.Clone(k.Words), k.Example, v.Text+"a")
		if x, err := strconv.ParseFloat(figure.FindString(v.Text), 64); err == nil {
			rest := v.Text[len(figure.FindString(v.Text)):]
			texts = append([]string{strconv.FormatFloat(x*1.01+0.01, 'f', -1, 64) + rest, strconv.Itoa(int(x)+1) + rest}, texts...)
		}
		if day, err := time.Parse(time.DateOnly, v.Text); err == nil {
			texts = []string{day.AddDate(0, 0, 1).Format(time.DateOnly)}
		}
		for _, text := range texts {
			next, faults := demo.Set(v.Path, text)
			if text != v.Text && next != nil && len(faults) == 0 && len(of(next).Make(nil).Faults) == 0 {
				out = append(out, edit{fmt.Sprintf("%s: %s", v.Path, text), next})
				break
			}
		}
	}
	if len(out) < len(values)*8/10 {
		b.Fatalf("only %d of %d fields", len(out), len(values))
	}
	return out
}
