package trial

import (
	"encoding/csv"
	"encoding/json"
	"math"
	"math/big"
	"os"
	"strconv"
	"strings"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
	"pgregory.net/rapid"
)

// expected is a row of testdata/trials.csv: its values are published (Student 1908 and Dobson 1983 by the help pages of
// R; NIST/SEMATECH e-Handbook 7.3.1.1 and AUTO83B; Fisher 1935, Darwin's maize; power.t.test of R) or were worked out
// with scipy; each row names its source.
type expected struct {
	id, quantity, value, tolerance string
	in                             struct {
		A, B                         []float64
		N1, N2                       int
		Mean1, Mean2, SD1, SD2       float64
		N, SD, Delta, Power, Alpha   float64
		Sides                        int
		Differences                  []float64   `json:"differences_eighths"`
		BedsA                        [][]float64 `json:"beds_a"`
		BedsB                        [][]float64 `json:"beds_b"`
		Strips, Holes, Rows, Columns int
	}
}

func cases(t *testing.T) (out []expected) {
	t.Helper()
	f, err := os.Open("testdata/trials.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for _, row := range rows[1:] {
		e := expected{id: row[0], quantity: row[3], value: row[4], tolerance: row[5]}
		if err := json.Unmarshal([]byte(row[2]), &e.in); err != nil {
			t.Fatalf("%s: %v", row[0], err)
		}
		out = append(out, e)
	}
	return out
}

var paired = map[string]bool{"t02": true, "t07": true, "t16": true}

// said are the verdicts as the reference writes them.
var said = map[Verdict]string{Shown: "difference shown", NotShown: "no difference shown", TooFew: "cannot be compared: one plot each", NoSpread: "no spread recorded: check the scale"}

func means(beds [][]float64) (out []float64) {
	for _, b := range beds {
		m, _ := spread(b)
		out = append(out, m)
	}
	return out
}

func (e expected) compare(t *testing.T) Comparison {
	t.Helper()
	var c Comparison
	var err error
	switch {
	case e.in.N1 > 0:
		return Summaries(Summary{e.in.N1, e.in.Mean1, e.in.SD1}, Summary{e.in.N2, e.in.Mean2, e.in.SD2})
	case e.in.BedsA != nil:
		c, err = Groups(means(e.in.BedsA), means(e.in.BedsB))
	case paired[e.id]:
		c, err = Pairs(e.in.A, e.in.B)
	default:
		c, err = Groups(e.in.A, e.in.B)
	}
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func number(x float64) string { return strconv.FormatFloat(x, 'g', -1, 64) }

// quantities gives what the program says for a row of the reference.
func (e expected) got(t *testing.T) string {
	in := e.in
	tail := 0.025
	if in.Sides == 1 {
		tail = 0.05
	}
	signs := AllSigns(in.Differences)
	df := 2*in.N - 2
	exact := func() float64 { return Detectable(in.SD*math.Sqrt(2/in.N), df, max(in.Power, Power)) }
	quick := func() float64 {
		s := distuv.StudentsT{Sigma: 1, Nu: df}
		return (s.Quantile(0.975) + s.Quantile(Power)) * in.SD * math.Sqrt(2/in.N)
	}
	switch e.quantity {
	case "power":
		return number(Chance(in.Delta/(in.SD*math.Sqrt(2/in.N)), df, tail))
	case "n_exact":
		return number(Needed(in.Delta, in.SD, in.Power, tail))
	case "n":
		return number(math.Ceil(Needed(in.Delta, in.SD, in.Power, tail)))
	case "sum":
		sum := 0.0
		for _, d := range in.Differences {
			sum += d
		}
		return number(sum)
	case "arrangements":
		return number(float64(signs.Arrangements))
	case "as_large_or_larger":
		return number(float64(signs.AsLarge))
	case "p_two_sided":
		return number(signs.P)
	case "quick_formula":
		return number(quick())
	case "quick_error_percent":
		return number(100 * (quick()/exact() - 1))
	case "least_detectable":
		if in.A == nil {
			return number(exact())
		}
		if e.id == "t19" { // from one spread of both groups, as before a trial
			_, a := spread(in.A)
			_, b := spread(in.B)
			n := float64(len(in.A))
			return number(Detectable(math.Sqrt((a*a+b*b)/n), 2*n-2, Power))
		}
	case "per_strip_each", "layouts_per_strip", "layouts", "same_seed_same_layout", "holes", "inner":
		return e.laid(t)
	case "low_if_plants_were_wrongly_used", "high_if_plants_were_wrongly_used":
		var a, b []float64
		for i := range in.BedsA {
			a, b = append(a, in.BedsA[i]...), append(b, in.BedsB[i]...)
		}
		c, _ := Groups(a, b)
		if strings.HasPrefix(e.quantity, "low") {
			return number(c.Low)
		}
		return number(c.High)
	}
	c := e.compare(t)
	switch e.quantity {
	case "difference":
		return number(c.Difference)
	case "t":
		return number(c.T)
	case "df":
		return number(c.DF)
	case "p":
		return number(c.P)
	case "low":
		return number(c.Low)
	case "high":
		return number(c.High)
	case "least_detectable":
		return number(c.Least)
	case "n_used":
		return number(float64(c.A))
	case "pooled_sd":
		return number(c.Error * math.Sqrt(float64(c.A)/2))
	case "verdict":
		return said[c.Verdict]
	case "interval":
		if c.Error == 0 && c.Low == 0 && c.High == 0 {
			return "not given"
		}
	}
	return ""
}

// laid lays a trial out over a rectangle that has the holes asked for inside its rim, or just these.
func (e expected) laid(t *testing.T) string {
	if e.in.Rows > 0 {
		holes := grid(e.in.Columns, e.in.Rows)
		if e.quantity == "holes" {
			return number(float64(len(holes)))
		}
		n := 0
		for _, in := range inside(holes) {
			if in {
				n++
			}
		}
		return number(float64(n))
	}
	l, faults := Lay(grid(e.in.Strips*2+2, e.in.Holes/2+2), 7, e.in.Strips)
	if len(faults) > 0 || l.Strips != e.in.Strips {
		t.Fatal(faults, l.Strips)
	}
	again, _ := Lay(grid(e.in.Strips*2+2, e.in.Holes/2+2), 7, e.in.Strips)
	switch e.quantity {
	case "per_strip_each":
		return number(float64(l.Each[0]))
	case "layouts_per_strip":
		return new(big.Int).Binomial(int64(2*l.Each[0]), int64(l.Each[0])).String()
	case "layouts":
		return l.Plans.String()
	}
	for i := range l.Spots {
		if l.Spots[i] != again.Spots[i] {
			return "no"
		}
	}
	return "yes"
}

func grid(columns, rows int) (out [][2]float64) {
	for y := range rows {
		for x := range columns {
			out = append(out, [2]float64{0.2 * float64(x), 0.2 * float64(y)})
		}
	}
	return out
}

func TestEveryCaseOfTheReference(t *testing.T) {
	list, met := cases(t), map[string]bool{}
	for _, e := range list {
		if e.quantity == "words_forbidden" {
			continue // held over the sentences, in packet
		}
		met[e.id] = true
		got := e.got(t)
		if e.tolerance == "exact" {
			if want, err := strconv.ParseFloat(e.value, 64); err == nil {
				x, err := strconv.ParseFloat(got, 64)
				if err != nil || math.Abs(x-want) > 1e-9 {
					t.Errorf("%s %s: %s, not %s", e.id, e.quantity, got, e.value)
				}
			} else if got != e.value {
				t.Errorf("%s %s: %q, not %q", e.id, e.quantity, got, e.value)
			}
			continue
		}
		want, _ := strconv.ParseFloat(e.value, 64)
		near, _ := strconv.ParseFloat(e.tolerance, 64)
		x, err := strconv.ParseFloat(got, 64)
		if err != nil || math.Abs(x-want) > near {
			t.Errorf("%s %s: %s, not %s within %s", e.id, e.quantity, got, e.value, e.tolerance)
		}
	}
	if len(met) != 24 {
		t.Errorf("%d cases, not 24", len(met))
	}
}

// The lot is SplitMix64: the first draws from the seed 1234567 that are given with it (from memory of public test vectors).
func TestLotIsThePublishedOne(t *testing.T) {
	l := lot{1234567}
	for _, want := range []uint64{6457827717110365317, 3203168211198807973, 9817491932198370423, 4593380528125082431, 16408922859458223821} {
		if got := l.next(); got != want {
			t.Fatalf("%d, not %d", got, want)
		}
	}
}

// Every hole is as likely to get a treatment as any other: over many seeds the shares lie within five standard errors.
func TestLotIsFair(t *testing.T) {
	const draws, holes = 4000, 8
	var first, together [holes]int
	for seed := range uint64(draws) {
		half := (&lot{seed}).half(holes)
		for i, yes := range half {
			if yes {
				first[i]++
				if half[0] {
					together[i]++
				}
			}
		}
	}
	for i, n := range first {
		if math.Abs(float64(n)-draws/2) > 5*math.Sqrt(draws)/2 {
			t.Errorf("hole %d: %d of %d", i, n, draws)
		}
		want := draws * 3.0 / 14 // with the first hole: 1/2 x 3/7
		if i > 0 && math.Abs(float64(together[i])-want) > 5*math.Sqrt(want) {
			t.Errorf("holes 0 and %d together: %d, not about %g", i, together[i], want)
		}
	}
}

func TestLayoutHolds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		columns, rows := rapid.IntRange(4, 16).Draw(t, "columns"), rapid.IntRange(4, 16).Draw(t, "rows")
		stagger := rapid.Bool().Draw(t, "stagger")
		holes := grid(columns, rows)
		for i := range holes {
			if stagger && i/columns%2 == 1 {
				holes[i][0] += 0.1
			}
		}
		strips := rapid.SampledFrom([]int{0, 0, 2, 3, 5}).Draw(t, "strips")
		l, faults := Lay(holes, rapid.Uint64().Draw(t, "seed"), strips)
		if len(faults) > 0 {
			if strips == 0 && (columns-2)*(rows-2) >= 12 && !stagger {
				t.Fatal("refused ", faults)
			}
			return
		}
		names, count := map[string]bool{}, make([][2]int, l.Strips+1)
		for i, s := range l.Spots {
			if s.X != holes[i][0] || s.Y != holes[i][1] {
				t.Fatal("holes changed places")
			}
			x, y := i%columns, i/columns
			if rim := x == 0 || y == 0 || x == columns-1 || y == rows-1; rim && s.Weighed() {
				t.Fatalf("the rim is weighed: %d, %d", x, y)
			}
			if !s.Weighed() {
				continue
			}
			if names[s.Name()] {
				t.Fatal("two holes of one name")
			}
			names[s.Name()] = true
			if s.First {
				count[s.Strip][0]++
			} else {
				count[s.Strip][1]++
			}
		}
		for i, c := range count[1:] {
			if c[0] != c[1] || c[0] < leastHoles/2 || c[0] != l.Each[i] {
				t.Fatalf("strip %d holds %v", i+1, c)
			}
		}
	})
}

func TestOverBeds(t *testing.T) {
	for _, n := range []int{-2, 0, 2, 3, 5, mostBeds + 2} {
		if _, faults := Over(n, 1); len(faults) != 1 || faults[0].ID != FaultBeds {
			t.Errorf("%d beds: %v", n, faults)
		}
	}
	differ := false
	for seed := range uint64(20) {
		b, faults := Over(6, seed)
		if len(faults) > 0 || b.Plans.Int64() != 8 {
			t.Fatal(faults, b.Plans)
		}
		for i := 0; i < 6; i += 2 {
			if b.First[i] == b.First[i+1] {
				t.Fatal("a block of one treatment")
			}
			differ = differ || b.First[i] != b.First[0]
		}
	}
	if !differ {
		t.Error("no lot was drawn")
	}
}

// A layout that is weighed is compared by strips; what is not weighed is named, and a strip with one side left is left out.
func TestWeights(t *testing.T) {
	l, _ := Lay(grid(6, 8), 3, 3)
	var rows strings.Builder
	rows.WriteString("plot,weight_g\n")
	lost := 0
	for i, p := range l.Plots() {
		w := 150.0 + float64(p.Block) + float64(i%3)
		if p.First {
			w += 20
		}
		cell := number(w)
		if p.Block == 3 && p.First {
			cell = "" // all of one side died
			lost++
		}
		rows.WriteString(p.Name + "," + cell + "\n")
	}
	r, faults := Read("w.csv", rows.String(), l.Plots())
	if len(faults) > 0 || r.Left != 1 || len(r.Not) != lost || r.A != 2 || !r.Paired || r.Plants != len(l.Plots())-lost || math.Abs(r.Difference-20) > 3 {
		t.Errorf("%+v %v", r, faults)
	}
	for text, id := range map[string]string{
		"plot,weight_g\n9-9,3\n":        string(FaultPlot),
		"plot,weight_g\n1-1,3\n1-1,4\n": string(FaultTwice),
		"plot,weight_g\n1-1,x\n":        "table.fault.number",
		"plot,weight_g\n1-1,-1\n":       "table.fault.number",
		"plot,weight_g\n1-1,5001\n":     "table.fault.number",
		"plot\n1-1\n":                   "table.fault.column",
		"plot,weight_g\n,1\n":           "table.fault.blank",
		"":                              "table.fault.empty",
	} {
		_, faults := Read("w.csv", text, l.Plots())
		if len(faults) == 0 || string(faults[0].ID) != id || faults[0].Line == 0 || faults[0].File != "w.csv" {
			t.Errorf("%q: %v", text, faults)
		}
	}
}

// The plants of a bed are averaged first: the case of the reference with three beds a side, as rows of a table.
func TestBedsAreThePlots(t *testing.T) {
	for _, e := range cases(t) {
		if e.id != "t18" || e.quantity != "high" {
			continue
		}
		rows := "plot,weight_g\n"
		for side, beds := range [][][]float64{e.in.BedsA, e.in.BedsB} {
			for i, plants := range beds {
				for _, w := range plants {
					rows += string(rune('A'+side)) + strconv.Itoa(i+1) + "," + number(w) + "\n"
				}
			}
		}
		r, faults := ReadSites("s.csv", rows)
		if len(faults) > 0 || r.A != 3 || r.Plants != 24 || number(math.Round(r.High*1e6)/1e6) != "21.054269" {
			t.Errorf("%+v %v", r, faults)
		}
	}
	if _, faults := ReadSites("s.csv", "plot,weight_g\nC1,3\n"); len(faults) != 1 || faults[0].ID != FaultSide {
		t.Error(faults)
	}
}

// Power grows with the difference and the number, and turns round what is detectable.
func TestPowerTurnsRound(t *testing.T) {
	for _, df := range []float64{1, 2, 3, 7, 14.6, 60, 500} {
		least := Detectable(1, df, Power)
		if got := Chance(least, df, 0.025); math.Abs(got-Power) > 1e-9 {
			t.Errorf("df %g: %g", df, got)
		}
		if got := Chance(0, df, 0.025); math.Abs(got-0.025) > 1e-6 {
			t.Errorf("df %g: a difference of none is shown %g of the time, not one in forty", df, got)
		}
	}
	if Detectable(1, 4, Power) <= Detectable(1, 8, Power) {
		t.Error("fewer plots show less")
	}
}

func TestWhatIsNoNumberIsRefused(t *testing.T) {
	if _, err := Groups([]float64{1, math.NaN()}, []float64{1, 2}); err == nil {
		t.Error("NaN")
	}
	if _, err := Pairs([]float64{1, 2}, []float64{1}); err == nil {
		t.Error("unequal pairs")
	}
	if c, err := Pairs(nil, nil); err != nil || c.Verdict != TooFew {
		t.Error("no pairs", c, err)
	}
}

func FuzzRead(f *testing.F) {
	f.Add("plot,weight_g\n1-1,150\n1-2,160\n")
	l, _ := Lay(grid(6, 8), 3, 3)
	f.Fuzz(func(t *testing.T, text string) {
		r, faults := Read("w.csv", text, l.Plots())
		if len(faults) == 0 && (math.IsNaN(r.Difference) || r.Verdict == "") {
			t.Errorf("%+v", r)
		}
		ReadSites("w.csv", text)
	})
}
