package mix

import (
	"bytes"
	"cmp"
	"encoding/json"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"testing"

	"pgregory.net/rapid"

	"raftwright/unit"
)

// oracleShelf is a random shelf as the independent solver reads it.
type oracleShelf struct {
	Wishes []oracleWish `json:"wishes"`
	Shares [][]float64  `json:"shares"`
	Base   []float64    `json:"base"`
	Upper  []float64    `json:"upper"`
	G      [][]float64  `json:"G"`
	H      []float64    `json:"h"`
	Most   int          `json:"most"`
	EC     oracleEC     `json:"ec"`
}

type oracleWish struct {
	Level    unit.MassConcentration `json:"level"`
	Weight   float64                `json:"weight"`
	High     unit.MassConcentration `json:"high"`
	Harm     unit.MassConcentration `json:"harm"`
	Given    unit.MassConcentration `json:"given"`
	Strength float64                `json:"strength"`
}

// oracleEC is the straight line of the EC and its range; low is 0 where it does not
// count.
type oracleEC struct {
	Base   float64   `json:"base"`
	Slopes []float64 `json:"slopes"`
	Low    float64   `json:"low"`
	High   float64   `json:"high"`
}

// plainWishes are those of the lettuce recipe and some sulfur.
func plainWishes() []Wish {
	wish := func(n Nutrient, level unit.MassConcentration, weight float64) Wish {
		return Wish{Nutrient: n, Level: level, Weight: weight}
	}
	return []Wish{wish(Nitrogen, .15, 1), wish(Phosphorus, .031, 1), wish(Potassium, .21, 1), wish(Calcium, .09, 1), wish(Magnesium, .024, 1), wish(Sulfur, .04, 1), wish(Iron, .001, .1)}
}

// randomShelf has 2 to 7 products, some alike, limits on ammonium and sodium,
// a water that brings something, weights and bands.
func randomShelf(r *rand.Rand) (*blend, int) {
	b := &blend{wishes: plainWishes()}
	b.wishes = b.wishes[:4+r.IntN(4)]
	for i := range b.wishes {
		b.wishes[i].Weight *= []float64{1, 1, 1, 2, 0.5, 10}[r.IntN(6)]
		b.base[b.wishes[i].Nutrient] = b.wishes[i].Level * unit.MassConcentration([]float64{0, 0, 0.2, 0.9, 1.4}[r.IntN(5)])
	}
	for i, w := range b.wishes { // bands of any width, or none
		b.wishes[i].High = w.Level * unit.MassConcentration([]float64{0, 1, 1.2, 2, 4}[r.IntN(5)])
		b.wishes[i].Harm = max(w.Level, b.wishes[i].High) * unit.MassConcentration([]float64{0, 1, 1.1, 1.5}[r.IntN(4)])
	}
	if r.IntN(2) == 0 {
		b.give(b.base)
	}
	n := 2 + r.IntN(6)
	for i := range n {
		var s Shares
		for range 1 + r.IntN(5) {
			w := b.wishes[r.IntN(len(b.wishes))]
			s[w.Nutrient] = unit.Fraction(r.Float64() * 0.3)
			if w.Nutrient == Iron {
				s[Iron] /= 50
			}
		}
		s[AmmoniumN] = s[Nitrogen] * unit.Fraction(r.Float64()/2)
		s[Sodium] = unit.Fraction(math.Max(0, r.Float64()-0.7) / 5)
		if i > 0 && r.IntN(6) == 0 { // a twin, nearly
			s = b.products[i-1].contents.Shares
			s[Potassium] *= unit.Fraction(1 + 1e-6*r.Float64())
		}
		b.products = append(b.products, product{index: i, contents: Contents{Shares: s}, cost: 0.001 + 0.01*r.Float64()})
	}
	b.limits = []Limit{{Nutrient: AmmoniumN, Most: unit.MassConcentration(.01 + .03*r.Float64()), MostGiven: true},
		{Nutrient: Sodium, Most: unit.MassConcentration(.005 + .05*r.Float64()), MostGiven: true}}
	most := 1 + r.IntN(min(n, 4))
	if r.IntN(2) == 0 { // a range of EC, and a recipe at another strength
		b.ec = &rising{base: r.Float64(), low: 0.5 + 1.5*r.Float64()}
		b.ec.high = b.ec.low * (1.1 + r.Float64())
		for range b.products {
			b.ec.slopes = append(b.ec.slopes, 1.5*r.Float64())
		}
		for i := range b.wishes {
			b.wishes[i].strength = 0.85 + r.Float64()
		}
	}
	return b, most
}

func (b *blend) forOracle(most int) oracleShelf {
	o := oracleShelf{Most: most}
	for _, w := range b.wishes {
		row := make([]float64, len(b.products))
		for j, q := range b.products {
			row[j] = float64(q.contents.Shares[w.Nutrient])
		}
		o.Wishes, o.Shares, o.Base = append(o.Wishes, oracleWish{w.Level, w.Weight, w.High, w.Harm, w.Given, cmp.Or(w.strength, 1)}), append(o.Shares, row), append(o.Base, float64(b.base[w.Nutrient]))
	}
	for range b.products {
		o.Upper = append(o.Upper, tallest)
	}
	if r := b.ec; r != nil {
		o.EC = oracleEC{r.base, r.slopes, r.low, r.high}
	}
	for _, l := range b.limits {
		row := make([]float64, len(b.products))
		for j, q := range b.products {
			row[j] = float64(q.contents.Shares[l.Nutrient])
		}
		o.G, o.H = append(o.G, row), append(o.H, float64(l.Most-b.base[l.Nutrient]))
	}
	return o
}

// fit runs the solver's own search, with limits or with a number of products.
func (b *blend) fit(most int, limits []Limit) (float64, bool) {
	c := *b
	c.limits, c.slacks, c.held = limits, 0, nil
	c.build()
	n := len(c.products)
	w := &search{p: c.p, products: n, most: most, least: make([]float64, n), maxNodes: mostNodes}
	if limits == nil { // the other solver knows no largest dose there
		for j := range c.upper {
			c.upper[j] = 1e9
		}
	}
	w.run(make([]float64, c.p.n), c.upper)
	if !w.found {
		return c.missed(c.base) + c.ec.cost(make([]float64, n)), w.proven
	}
	return c.missed(c.achieved(c.doses(w.best))) + c.ec.cost(c.doses(w.best)), w.proven
}

// The optimum on 1,000 random shelves (100 where time is short) is SciPy's, to 1e-6: all products within
// limits by SLSQP, every set of at most so many by non-negative least squares.
func TestOptimumIsAnIndependentSolvers(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	python := ""
	for _, p := range []string{"/usr/bin/python3", "python3"} {
		if exec.Command(p, "-c", "import scipy.optimize").Run() == nil {
			python = p
			break
		}
	}
	if python == "" {
		if os.Getenv("CI") != "" {
			t.Fatal("python3 with scipy is not installed (Debian: python3-scipy)")
		}
		t.Skip("left out: python3 with scipy is not installed (Debian: python3-scipy)")
	}
	r := rand.New(rand.NewPCG(20, 26))
	var blends []*blend
	var most []int
	var ask struct {
		Shelves []oracleShelf `json:"shelves"`
	}
	shelves := 1000
	if testing.Short() {
		shelves = 30
	}
	for range shelves {
		b, k := randomShelf(r)
		blends, most = append(blends, b), append(most, k)
		ask.Shelves = append(ask.Shelves, b.forOracle(k))
	}
	in, err := json.Marshal(ask)
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(python, "testdata/oracle.py")
	cmd.Stdin, cmd.Stderr = bytes.NewReader(in), os.Stderr
	printed, err := cmd.Output()
	if err != nil {
		t.Fatal(err)
	}
	var want []struct{ Limited, Set float64 }
	if err := json.Unmarshal(printed, &want); err != nil || len(want) != len(blends) {
		t.Fatalf("%d answers, %v", len(want), err)
	}
	worst := 0.0
	for i, b := range blends {
		limited, proven := b.fit(len(b.products), b.limits)
		set, alsoProven := b.fit(most[i], nil)
		if !proven || !alsoProven {
			t.Errorf("shelf %d: not proven", i)
		}
		for _, x := range []struct {
			what      string
			got, want float64
		}{{"limited", limited, want[i].Limited}, {"set", set, want[i].Set}} {
			off := (x.got - x.want) / (1 + x.want)
			worst = math.Max(worst, math.Abs(off))
			if math.Abs(off) > 1e-6 {
				t.Errorf("shelf %d, %s: misfit %.9f, the independent solver's %.9f", i, x.what, x.got, x.want)
			}
		}
	}
	t.Logf("worst difference %.2g", worst)
}

// Rounding is no worse than trying every measurable mix, on small shelves.
func TestRoundingIsExhaustive(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 7))
	for shelf := range 30 {
		b, most := randomShelf(r)
		if len(b.products) > 3 {
			b.products = b.products[:3]
		}
		most = min(most, len(b.products))
		b.ec = nil // the exhaustive search knows no EC, and no other strength
		for i := range b.wishes {
			b.wishes[i].strength = 0
		}
		b.build()
		s := &solver{}
		s.take(b)
		s.products = b.products
		for range b.products {
			s.grid = append(s.grid, unit.MassConcentration([]float64{0.2, 0.05, 0.1, 0.066}[r.IntN(4)]))
		}
		exact := s.best(most, nil)
		got := s.round(exact, most, mostGridWork)
		if !got.proven {
			t.Errorf("shelf %d: not proven", shelf)
		}
		want := exhaustive(b, s.grid, most)
		if got.misfit > want+1e-6 {
			t.Errorf("shelf %d: rounded misfit %.9f, best on the grid %.9f", shelf, got.misfit, want)
		}
		for j, d := range got.doses {
			if steps := d / float64(s.grid[j]); math.Abs(steps-math.Round(steps)) > 1e-9 {
				t.Errorf("shelf %d: %v g/L is %.6f steps", shelf, d, steps)
			}
		}
	}
}

// exhaustive tries every point of the grid up to where a product alone makes
// more misfit than none does.
func exhaustive(b *blend, grid []unit.MassConcentration, most int) float64 {
	n := len(b.products)
	tops := make([]int, n)
	for j, q := range b.products {
		for {
			d := make([]float64, n)
			d[j] = float64(grid[j]) * float64(tops[j]+1)
			over := false
			for _, w := range b.wishes {
				over = over || surplusWeight*w.Weight*sq(math.Max(0, d[j]*float64(q.contents.Shares[w.Nutrient])/float64(w.Level)-1)) > b.missed(b.base)
			}
			if over || d[j] > 3 {
				break
			}
			tops[j]++
		}
	}
	best := math.Inf(1)
	doses := make([]float64, n)
	var try func(j, used int)
	try = func(j, used int) {
		if j == n {
			l := b.achieved(doses)
			for _, limit := range b.limits {
				if l[limit.Nutrient] > max(limit.Most, b.base[limit.Nutrient])*(1+1e-12) {
					return
				}
			}
			best = math.Min(best, b.missed(l))
			return
		}
		for k := 0; k <= tops[j]; k++ {
			if k > 0 && used == most {
				break
			}
			doses[j] = float64(grid[j]) * float64(k)
			try(j+1, used+min(k, 1))
		}
		doses[j] = 0
	}
	try(0, 0)
	return best
}

// Properties of the answer, on shelves of the library.
func TestPropertiesOfAMix(t *testing.T) {
	lib := library.Materials()
	rapid.Check(t, func(t *rapid.T) {
		order := rapid.Permutation(lib).Draw(t, "shelf")
		j := Job{Shelf: order[:rapid.IntRange(1, 7).Draw(t, "products")], Target: Target{Recipe: rapid.SampledFrom([]string{"lettuce", "steiner", "yamazaki_lettuce"}).Draw(t, "recipe")},
			MostProducts: rapid.IntRange(0, 4).Draw(t, "most"), Bed: 380 * unit.Litre}
		if rapid.Bool().Draw(t, "hard") {
			j.Water = hardWell()
		}
		j.Measure = rapid.SampledFrom([]Measure{{}, {Scale, unit.Gram}, {Kind: Spoons}}).Draw(t, "measure")
		m, err := Solve(j, library)
		if err != nil {
			t.Fatal(err)
		}
		checkMix(t, j, m)
		again, err := Solve(j, library)
		if err != nil || again.Misfit != m.Misfit || len(again.Doses) != len(m.Doses) {
			t.Fatal("the same job gave another answer")
		}
		for i := range m.Doses {
			if m.Doses[i] != again.Doses[i] {
				t.Fatal("the same job gave other doses")
			}
		}
	})
}

func checkMix(t *rapid.T, j Job, m Mix) {
	sum := j.Water.Levels()
	for _, d := range m.Doses {
		if !(d.Strength > 0) {
			t.Fatalf("%s: dose %v", d.Product, d.Strength)
		}
		c, err := j.Shelf[d.Shelf].Contents()
		if err != nil {
			t.Fatal(err)
		}
		sum = sum.Add(c.Shares.At(d.Strength))
		if d.Spread < 0 || d.Spread > 0.5 {
			t.Fatalf("%s: spread %v", d.Product, d.Spread)
		}
		if j.Measure.Kind == Scale {
			step := j.Measure.Step
			if d.Jug.Take > 0 {
				step = d.Jug.step()
			}
			if steps := float64(d.PerBucket / step); math.Abs(steps-math.Round(steps)) > 1e-9 || d.Steps != int(math.Round(steps)) {
				t.Fatalf("%s: %v steps of the scale", d.Product, steps)
			}
		}
	}
	for n := range NutrientCount {
		if math.Abs(float64(sum[n]-m.Achieved[n])) > 1e-15 {
			t.Fatalf("%s: water and doses sum to %v, achieved says %v", n, sum[n], m.Achieved[n])
		}
	}
	if j.MostProducts > 0 && len(m.Doses) > j.MostProducts {
		t.Fatalf("%d products, at most %d were asked for", len(m.Doses), j.MostProducts)
	}
	if a := m.Achieved[AmmoniumN]; a > StandingAmmonium*(1+1e-9) && a > m.Water[AmmoniumN] {
		t.Fatalf("ammonium nitrogen stands at %v", a)
	}
	if m.Misfit < m.Best-1e-6 {
		t.Fatalf("rounded misfit %v is below the exact optimum %v", m.Misfit, m.Best)
	}
	if ec := m.EC.MillisiemensPerCentimetre(); !(ec >= 0 && ec < 20) || !(m.PH > 2 && m.PH < 12) {
		t.Fatalf("EC %v, pH %v", ec, m.PH)
	}
}

// More on the shelf never gives a worse mix.
func TestMoreChoiceIsNoWorse(t *testing.T) {
	lib := library.Materials()
	rapid.Check(t, func(t *rapid.T) {
		order := rapid.Permutation(lib).Draw(t, "shelf")
		n := rapid.IntRange(1, 6).Draw(t, "products")
		most := rapid.IntRange(1, 4).Draw(t, "most")
		last := math.Inf(1)
		for k := n; k <= n+3; k++ {
			m, err := Solve(Job{Shelf: order[:k], Target: Target{Recipe: "lettuce"}, MostProducts: most}, library)
			if err != nil {
				t.Fatal(err)
			}
			if !m.Proven || m.Misfit > last+1e-6 {
				t.Fatalf("with %d products the misfit is %v, with one fewer %v", k, m.Misfit, last)
			}
			last = m.Misfit
		}
	})
}
