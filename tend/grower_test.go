package tend_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"raftwright/bed"
	"raftwright/brief"
	"raftwright/finding"
	"raftwright/plan"
	"raftwright/tend"
	"raftwright/unit"
)

// stock is a product of an invented shelf: its entry in a brief, and the mmol in a gram of it.
type stock struct {
	name, entry string
	gram        bag
}

var (
	powder = stock{"powder", "label: 5-12-26, nitrate-n: 5 %, ammonium-n: 0 %, urea-n: 0 %, magnesium: 6.3 %, sulfur: 8.2 %, iron: 0.3 %, chelate: DTPA",
		bag{no3: 50 / 14.007, phos: 120 * 2 / 141.94, kal: 260 * 2 / 94.196, mg: 63 / 24.305, so4: 82 / 32.06}}
	garden = stock{"garden", "label: 20-20-20, nitrate-n: 6 %, ammonium-n: 3.9 %, urea-n: 10.1 %, iron: 0.1 %, chelate: EDTA",
		bag{no3: 60 / 14.007, nh4: 39 / 14.007, ureaN: 101 / 14.007, phos: 200 * 2 / 141.94, kal: 200 * 2 / 94.196}}
	lime   = stock{"calcium nitrate", "formula: 5Ca(NO3)2.NH4NO3.10H2O", bag{ca: 5, no3: 11, nh4: 1}.times(1000 / 1080.7)}
	epsom  = stock{"Epsom salt", "formula: MgSO4.7H2O", bag{mg: 1, so4: 1}.times(1000 / 246.47)}
	nitre  = stock{"potassium nitrate", "formula: KNO3", bag{kal: 1, no3: 1}.times(1000 / 101.10)}
	monoKP = stock{"monopotassium phosphate", "formula: KH2PO4", bag{kal: 1, phos: 1}.times(1000 / 136.09)}
)

// shelves are what growers have, with the g/L of a full mix.
var shelves = [...]struct {
	of    []stock
	doses []float64
}{{[]stock{powder, lime}, []float64{0.55, 0.50}}, {[]stock{garden, epsom, lime}, []float64{0.37, 0.22, 0.40}},
	{[]stock{lime, nitre, monoKP, epsom}, []float64{0.45, 0.45, 0.16, 0.22}}}

// taps are fill waters, mg/L: alkalinity as CaCO3, calcium, magnesium, sodium, potassium, chloride, sulfate, nitrate-N; pH.
var taps = [...][9]float64{{4, 1, 0.3, 2.5, 0.3, 3, 1, 0.2, 6.2}, {35, 9, 3, 8, 1, 8, 8, 0.4, 7.1}, {90, 32, 8, 15, 2, 20, 24, 1, 7.5},
	{180, 75, 14, 18, 2, 40, 30, 1.5, 7.5}, {200, 4, 0.7, 100, 1, 8, 18, 1, 7.9}, {120, 40, 12, 75, 4, 110, 40, 1, 7.6}}

func tapBag(t [9]float64) bag {
	b := bag{alk: 0, ca: t[1] / 40.078, mg: t[2] / 24.305, na: t[3] / 22.99, kal: t[4] / 39.098, cl: t[5] / 35.453, so4: t[6] / 96.06, no3: t[7] / 14.007}
	b[alk] = t[0]/50.04 - b.charge() // what the analysis leaves open
	b[tic] = 1e-3
	for lo, hi := 1e-4, 60.0; hi/lo > 1.0001; { // the carbon with which it has its pH
		b[tic] = math.Sqrt(lo * hi)
		if p, _ := b.pH(-1); p > t[8] {
			lo = b[tic]
		} else {
			hi = b[tic]
		}
	}
	return b
}

// sours are acids: their name in a brief, the mmol in a mL (in a g of the dry one), and what a mmol brings.
var sours = [...]struct {
	name string
	dry  bool
	mmol float64
	of   bag
}{{"citric 100 %", true, 1000 / 192.12, bag{cit: 1}}, {"phosphoric 75 %", false, 12.08, bag{phos: 1}}, {"nitric 67 %", false, 14.9, bag{no3: 1}}, {"sulfuric 93 %", false, 17.35, bag{so4: 1}}}

// grower is a stranger's bed with the one who tends it: pens, spoons, slips, and a log.
type grower struct {
	*stranger
	plan    plan.Plan
	start   time.Time
	log     bed.Log
	shelf   []stock
	doses   []float64 // g/L
	tap     bag
	clean   bag // as it was analysed
	acid    int
	acidMM  float64 // of a litre of the mix
	hasPH   bool
	notes   bool // rain is written
	open    bool
	gain    float64
	phOff   float64
	phStep  float64
	rule    float64 // mm
	ruleIn  bool
	spoon   float64 // spread of a dose
	bias    []float64
	slips   int
	styles  int // 0 fills up with water, 1 with solution, 2 seldom
	slipped map[string]bool
	rainSum float64
	planned float64 // L
	mark    float64 // mm
	sill    float64 // mm, as planned
	nominal float64 // m2, as planned
	climate [12][4]float64
	cover   string
	age     int  // days, of the seedlings
	sets    bool // the pens, where that is advised
	crop    string

	latitude float64    // of kin
	needs    [6]float64 // of their crop, over those of lettuce
}

// invent makes a bed by its number.
func invent(tb testing.TB, number int, leaks bool) *grower {
	tb.Helper()
	r := rand.New(rand.NewPCG(uint64(number), 20271))
	s := &stranger{r: r}
	g := &grower{stranger: s, slipped: map[string]bool{}, crop: "lettuce"}
	pick := func(n int) int { return r.IntN(n) }
	shelf := shelves[pick(len(shelves))]
	g.shelf = shelf.of
	strong := []float64{1, 1, 1, 1.35, 0.75}[pick(5)]
	for _, d := range shelf.doses {
		g.doses = append(g.doses, math.Round(d*strong*s.lognormal(0.06)*1000)/1000)
	}
	tap := taps[pick(len(taps))]
	for i := range 8 {
		tap[i] *= s.lognormal(0.08)
	}
	g.water(tap)
	g.acid = pick(len(sours))
	if pick(4) > 0 { // some leave the acid off
		g.soured()
	}
	cover := []string{"open", "open", "tunnel", "greenhouse"}[pick(4)]
	g.open = cover == "open"
	month := []int{4, 5, 6, 8, 9}[pick(5)]
	g.start = time.Date(2027, time.Month(month), 1+pick(28), 8, 0, 0, 0, time.UTC)
	length := []int{49, 61, 73, 97}[pick(4)]
	depth := []float64{4.5, 5, 6}[pick(3)]
	spacing := []int{6, 7, 8, 9}[pick(4)]
	rainy := 45 + 60*r.Float64()
	latitude := 31 + 13*r.Float64()
	months, climate := monthsOf(latitude, rainy)
	measure := []string{"scale 1 g", "spoons"}[pick(2)]
	g.spoon = map[string]float64{"scale 1 g": 0.02, "spoons": 0.07}[measure]
	var text strings.Builder
	fmt.Fprintf(&text, "raftwright: 1\ntitle: Bed %d\nsite:\n  {kind: community, children: none, latitude: %.2f, elevation: 100 m, cover: %s, months: [\n%s]}\n", number, latitude, cover, months)
	fmt.Fprintf(&text, "bed: {length: %d in, width: 49 in, depth: %g in, side board: 2x8, end board: 2x8, liner: 6 mil, level error: 1/4 in}\n", length, depth)
	fmt.Fprintf(&text, "raft: {sheet: [48 in, %d in], thickness: 1-1/2 in, foam: xps, gap: 1/2 in, spacing: %d in}\n", length-1, spacing)
	fmt.Fprintf(&text, "water: {ph: %.1f, alkalinity: %.1f mg/L CaCO3, calcium: %.2f mg/L, magnesium: %.2f mg/L, sodium: %.2f mg/L, potassium: %.2f mg/L, chloride: %.2f mg/L, sulfate: %.2f mg/L, nitrate-n: %.2f mg/L}\nshelf:\n",
		tap[8], tap[0], tap[1], tap[2], tap[3], tap[4], tap[5], tap[6], tap[7])
	var doses []string
	for k, x := range g.shelf {
		fmt.Fprintf(&text, "  - {name: %s, %s}\n", x.name, x.entry)
		doses = append(doses, fmt.Sprintf("%s: %g g/L", x.name, g.doses[k]))
	}
	fmt.Fprintf(&text, "target: {recipe: lettuce}\nmix: {measure: %s, doses: {%s}}\n", measure, strings.Join(doses, ", "))
	fmt.Fprintf(&text, "acid: {product: %s, target ph: 5.8, dose: %g mmol/L}\ncrop: {name: lettuce}\nmeter: {shows: mS/cm, ec error: 5 %%, ph error: 0.2, checked: 2027-03-20}\n", sours[g.acid].name, g.acidMM)
	b, faults := brief.Parse("bed.yaml", []byte(text.String()))
	if len(faults) > 0 {
		tb.Fatal(faults, text.String())
	}
	if g.plan, faults = plan.Make(b, plan.DefaultBook(), nil, plan.Everything); len(faults) > 0 {
		tb.Fatal(number, faults)
	}
	g.settle(tb, climate, cover, spacing, leaks)
	return g
}

// water gives the grower a water, of which the analysis is off a little.
func (g *grower) water(tap [9]float64) {
	g.tap = tapBag(tap)
	g.clean = g.tap
	for _, i := range [...]int{ca, mg, na, kal, cl, so4, no3} {
		x := g.tap[i]
		g.tap[i] *= g.lognormal(0.03)
		charge := map[int]float64{ca: 2, mg: 2, na: 1, kal: 1, cl: -1, so4: -2, no3: -1}[i]
		g.tap[alk] -= charge * (g.tap[i] - x)
	}
}

// soured doses the mix with the acid that brings it to pH 5.9.
func (g *grower) soured() {
	mixed := g.clean
	for k, d := range g.doses {
		mixed = mixed.plus(g.shelf[k].gram, d)
	}
	for x := 0.0; x < 6; x += 0.02 {
		c := mixed.plus(sours[g.acid].of, x)
		if p, _ := c.pH(3 * 420e-6); p < 5.9 {
			break
		}
		g.acidMM = math.Round(100*x) / 100
	}
}

// monthsOf invents a climate: the months of a brief, and by month the middle of the day's heat, its swing, the sun and the rain.
func monthsOf(latitude, rain float64) (string, [12][4]float64) {
	var out strings.Builder
	var climate [12][4]float64
	for m := range 12 {
		season := -math.Cos(2 * math.Pi * (float64(m) - 0.4) / 12)
		mean, swing, sun := 15-0.6*(latitude-37)+10.5*season, 11.0, 14.5+6.5*season-0.1*(latitude-37)
		climate[m] = [4]float64{mean, swing, sun, rain}
		fmt.Fprintf(&out, "    {month: %d, tmax: %.1f C, tmin: %.1f C, solar: %.2f MJ/m2, wind: 1.8 m/s, rain: %.0f mm},\n", m+1, mean+swing/2, mean-swing/2, sun, rain)
	}
	return out.String(), climate
}

// settle draws what nobody knows of the bed, and fills and plants it.
func (g *grower) settle(tb testing.TB, climate [12][4]float64, cover string, spacing int, leaks bool) {
	r, s, p := g.r, g.stranger, g.plan
	area := p.Frame.Volume.Litres() / p.Depth().Millimetres()
	g.planned, g.mark = p.Frame.Volume.Litres(), p.Depth().Millimetres()
	g.nominal, g.climate, g.cover, g.sill = area, climate, cover, p.Frame.Brim.Millimetres()
	if n := p.Frame.Notch; n.Possible {
		g.sill = n.Sill.Millimetres()
	}
	s.heads = math.Round(0.8 * area / math.Pow(float64(spacing)*0.0254, 2))
	g.drawBed()
	g.age = 18 + r.IntN(10)
	s.drawPlants(g.age)
	if leaks || r.IntN(100) < 12 {
		s.leak, s.leakFrom = 4+8*r.Float64(), 3+7*r.Float64()
		if leaks { // 2 gal a day, the leak that is asked for
			s.leak, s.leakFrom = 7.571, 3+7*r.Float64()
		}
	}
	g.gain, g.phOff, g.rule = s.lognormal(0.045), 0.16*r.NormFloat64(), 2.5*r.NormFloat64()
	g.phStep, g.ruleIn, g.hasPH = []float64{0.01, 0.1}[r.IntN(2)], r.IntN(2) == 0, r.IntN(20) > 0
	g.notes, g.styles = leaks || r.IntN(6) > 0, r.IntN(3)
	for range g.shelf {
		g.bias = append(g.bias, s.lognormal(g.spoon/2))
	}
	g.fill(g.age)
}

// drawBed draws what the saw and the sky make of a bed.
func (g *grower) drawBed() {
	s := g.stranger
	s.area = g.nominal * s.lognormal(0.018)
	s.brim = s.area * (g.sill + 3*s.r.NormFloat64())
	s.gaps = 0.03 + 0.05*s.r.Float64()
	s.drawSky(g.start, g.climate, g.cover)
}

// drawPlants draws how plants of an age and microbes behave.
func (s *stranger) drawPlants(age int) {
	s.dry = 0.06 * math.Exp(0.09*float64(age-18)) * s.lognormal(0.22)
	s.growth, s.thirst = s.lognormal(0.20), s.lognormal(0.22)
	usual := [kinds]float64{no3: 47, phos: 6.6, kal: 64, ca: 5.6, mg: 4.3, so4: 3.0}
	g1 := [kinds]float64{no3: 14.007, phos: 30.974, kal: 39.098, ca: 40.078, mg: 24.305, so4: 32.06}
	spread := [kinds]float64{no3: 0.08, phos: 0.16, kal: 0.13, ca: 0.16, mg: 0.16, so4: 0.16}
	for i := range kinds {
		if usual[i] > 0 {
			s.content[i] = usual[i] / g1[i] * s.lognormal(spread[i])
		}
	}
	s.lime = s.lognormal(0.2)
	s.leafy, s.slow = 0.030*s.lognormal(0.1), 0.08
	s.eatersMax, s.oxidMax = 0.24*s.lognormal(0.35), 0.08*s.lognormal(0.4)
	s.eaters, s.oxidizers = s.eatersMax*math.Exp(-4.5*s.lognormal(0.2)), s.oxidMax*math.Exp(-5.5*s.lognormal(0.2))
	s.breath, s.airing, s.breathing, s.settles = 3*420e-6*s.lognormal(0.4), 0.7*s.lognormal(0.3), 0.25, 0.05*s.lognormal(0.5)
	s.warm = (s.sky[0].high + s.sky[0].low) / 2
}

// drawSky invents the days: what is warm today is warm tomorrow, rain comes on three days of ten.
func (s *stranger) drawSky(start time.Time, climate [12][4]float64, cover string) {
	through := map[string]float64{"open": 1, "tunnel": 0.72, "greenhouse": 0.62}[cover]
	warm, year := 0.0, 1.2*s.r.NormFloat64()
	for d := range 60 {
		c := climate[start.AddDate(0, 0, d).Month()-1]
		warm = 0.65*warm + 0.76*2.2*s.r.NormFloat64()
		w := weather{sun: c[2] * through * math.Min(1.45, math.Max(0.2, s.lognormal(0.28)*0.97))}
		if s.r.Float64() < 0.3 {
			if cover == "open" {
				w.rain = c[3] / 9.1 * s.r.ExpFloat64()
			}
			w.sun *= 0.75
		} else {
			w.sun *= 1.09
		}
		swing := c[1] * (0.6 + 0.4*math.Min(1.6, w.sun/through/c[2]))
		w.high, w.low = c[0]+year+warm+swing/2, c[0]+year+warm-swing/2
		if cover != "open" {
			w.high += 2
		}
		w.dry = 0.45 * (vapour(w.high) - vapour(w.low-1))
		s.sky = append(s.sky, w)
	}
}

// vapour is the pressure over water, kPa (Tetens 1930, from memory).
func vapour(t float64) float64 { return 0.6108 * math.Exp(17.27*t/(t+237.3)) }

// fill is the first visit; one bed in fourteen does not get what is written.
func (g *grower) fill(age int) {
	v := bed.Visit{At: g.start, Path: finding.Path("log").Item(0), Done: []bed.Happening{bed.Filled{Water: true}}}
	g.v = g.area * (g.mark + 3.5*g.r.NormFloat64())
	g.in = g.tap.times(g.v)
	wrong, factor := -1, 1.0
	if g.r.IntN(14) == 0 {
		wrong, factor = g.r.IntN(len(g.shelf)+1), []float64{1.5, 2, 0.5, 1.7}[g.r.IntN(4)]
	}
	for k := range g.shelf {
		grams := math.Round(g.doses[k] * g.planned)
		v.Done = append(v.Done, bed.AddedProduct{Product: g.shelf[k].name, Amount: brief.Amount{Mass: unit.Mass(grams) * unit.Gram}})
		if wrong == k || wrong == len(g.shelf) {
			grams *= factor
		}
		g.dose(k, grams)
	}
	if g.acidMM > 0 {
		v.Done = append(v.Done, g.sour(g.acidMM*g.planned))
	}
	v.Done = append(v.Done, bed.Planted{Heads: int(g.heads), Crop: g.crop, Age: unit.Duration(age) * unit.Day})
	g.log = append(g.log, v)
}

func (g *grower) dose(k int, grams float64) {
	g.in = g.in.plus(g.shelf[k].gram, grams*g.bias[k]*g.lognormal(g.spoon))
}

// sour adds acid and gives what is written.
func (g *grower) sour(mmol float64) bed.Happening {
	a := sours[g.acid]
	x := math.Round(mmol / a.mmol)
	g.in = g.in.plus(a.of, x*a.mmol*g.lognormal(0.03))
	if a.dry {
		return bed.AddedAcid{Amount: brief.Amount{Mass: unit.Mass(x) * unit.Gram}}
	}
	return bed.AddedAcid{Amount: brief.Amount{Volume: unit.Volume(x/1000) * unit.Litre}}
}

func (g *grower) now() time.Time {
	return g.start.Add(time.Duration(g.day * 24 * float64(time.Hour)))
}

// wait lets days go by, and remembers the rain.
func (g *grower) wait(days float64) {
	for d := 0.0; d < days; d++ {
		g.rainSum += g.sky[int(g.day)].rain * math.Min(1, days-d)
		g.live(math.Min(1, days-d))
	}
}

// visit reads what this grower reads, with the errors of cheap pens.
func (g *grower) visit() *bed.Visit {
	v := bed.Visit{At: g.now(), Path: finding.Path("log").Item(len(g.log))}
	c := g.litre()
	ec, depth := c.ec()*g.gain*g.lognormal(0.02), g.v/g.area+g.rule+1.6*g.r.NormFloat64()
	pH, _ := c.pH(-1)
	pH += g.phOff + 0.08*g.r.NormFloat64()
	slip := func(key string) bool {
		if g.r.Float64() >= 0.03 {
			return false
		}
		g.slips++
		g.slipped[string(v.Path.Key(key))] = true
		return true
	}
	if slip("ec") {
		ec *= []float64{2, 0.5, 0.1, 1.4, 0.71}[g.r.IntN(5)]
	}
	if slip("depth") {
		depth += []float64{25.4, -25.4}[g.r.IntN(2)]
	}
	if g.hasPH && slip("ph") {
		pH += []float64{1.2, -1.2, 1.5, -1}[g.r.IntN(4)]
	}
	if g.ruleIn {
		depth = math.Round(depth/3.175) * 3.175
	}
	v.Read.EC = brief.Field[unit.Conductivity]{Given: true, Value: unit.Conductivity(math.Round(ec*100)/100) * unit.MillisiemensPerCentimetre}
	v.Read.Depth = brief.Field[unit.Length]{Given: true, Value: unit.Length(math.Round(depth*10)/10) * unit.Millimetre}
	if g.hasPH {
		v.Read.PH = brief.Field[float64]{Given: true, Value: math.Round(pH/g.phStep) * g.phStep}
	}
	if g.open && g.notes {
		v.Read.Rain = brief.Field[unit.Length]{Given: true, Value: unit.Length(math.Round(g.rainSum*g.lognormal(0.08)*4)/4) * unit.Millimetre}
	}
	g.rainSum = 0
	v.Read.WaterTemperature = brief.Field[unit.Temperature]{Given: true, Value: unit.Temperature(g.warm + 0.5*g.r.NormFloat64())}
	g.log = append(g.log, v)
	return &g.log[len(g.log)-1]
}

// habits is what this grower does by custom: fills up what is low, feeds what reads weak, sours what reads high, not always.
func (g *grower) habits(v *bed.Visit) { g.habitsBy(v, &v.Read) }

// habitsBy is that by what was read before.
func (g *grower) habitsBy(v *bed.Visit, read *bed.Readings) {
	if depth := read.Depth.Value.Millimetres(); g.plain == nil && (depth < 0.93*g.mark && g.styles < 2 || depth < 0.85*g.mark && depth > 20) {
		litres := math.Floor((g.mark - depth) * g.planned / g.mark)
		if g.styles == 1 {
			of := g.mixed()
			g.pour(litres*g.lognormal(0.04), of)
			v.Done = append(v.Done, bed.AddedSolution{Volume: unit.Volume(litres) * unit.Litre, Strength: 1})
		} else {
			g.pour(litres*g.lognormal(0.04), g.tap)
			v.Done = append(v.Done, bed.AddedWater{Volume: unit.Volume(litres) * unit.Litre})
		}
	}
	if ec := read.EC.Value.MillisiemensPerCentimetre(); ec < 1.0 && g.r.IntN(2) == 0 {
		for k := range g.shelf {
			grams := math.Round(0.25 * g.doses[k] * g.planned)
			v.Done = append(v.Done, bed.AddedProduct{Product: g.shelf[k].name, Amount: brief.Amount{Mass: unit.Mass(grams) * unit.Gram}})
			g.dose(k, grams)
		}
	}
	if g.plain == nil && g.hasPH && read.PH.Value > 6.9 && g.r.IntN(3) == 0 {
		v.Done = append(v.Done, g.sour(0.6*g.planned))
	}
}

// setPens sets the pens in known solutions: how far off they are then is drawn anew, as wide as the reference has it within a month of that.
func (g *grower) setPens() {
	g.gain, g.phOff = g.lognormal(0.03), 0.10*g.r.NormFloat64()
	now := g.now()
	g.plan.Brief.Meter.Checked = brief.Field[brief.Date]{Given: true, Value: brief.Date{Year: now.Year(), Month: now.Month(), Day: now.Day()}}
}

func (g *grower) mixed() bag {
	b := g.tap
	for k, d := range g.doses {
		b = b.plus(g.shelf[k].gram, d)
	}
	return b.plus(sours[g.acid].of, g.acidMM)
}

// gaps between visits: three a week.
var week = [...]float64{2, 2, 3}

// until tends by custom to a day; at the last visit nothing is done. each is told of every visit as it is read.
func (g *grower) until(day float64, each func()) {
	for n := len(g.log) - 1; g.day < day; n++ {
		g.wait(week[n%len(week)])
		read := g.visit().Read
		if each != nil {
			each()
		}
		if g.day < day {
			g.habitsBy(&g.log[len(g.log)-1], &read)
		}
	}
}

// alike is the same bed in a life of its own.
func (g *grower) alike() *grower {
	out, life := *g, *g.stranger
	out.stranger, out.log = &life, slices.Clone(g.log)
	return &out
}

// leaking asks whether a leak is to be looked for, with the depth measured once or twice more where that is asked for first.
func (g *grower) leaking(tb testing.TB) (told bool, chance float64) {
	tb.Helper()
	got := g.ask(tb)
	for n := time.Duration(1); n < 3 && slices.ContainsFunc(got.Actions, func(a tend.Action) bool { return a.Do == tend.DoRead && a.Product == "depth" }); n++ {
		v := g.visit()
		v.At = g.now().Add(5 * n * time.Minute)
		v.Read = bed.Readings{Depth: v.Read.Depth}
		got = g.ask(tb)
	}
	return slices.ContainsFunc(got.Actions, func(a tend.Action) bool { return a.Do == tend.DoLook }), got.Leak.Probability
}

func (g *grower) ask(tb testing.TB) *tend.Tending {
	tb.Helper()
	got, faults := tend.Make(tend.Job{Plan: g.plan, Log: append(bed.Log(nil), g.log...), Now: g.log[len(g.log)-1].At})
	if len(faults) > 0 {
		tb.Fatal(faults)
	}
	return got
}

// on does what is advised, with the errors of a measure at hand.
func (g *grower) on(list []tend.Action) (meddled bool) {
	v := &g.log[len(g.log)-1]
	for _, a := range list {
		litres := a.Volume.Litres()
		real := litres * g.lognormal(0.03)
		switch a.Do {
		case tend.DoRefill:
			g.take(g.v)
			g.pour(g.area*(g.mark+3*g.r.NormFloat64()), g.mixed())
			v.Done = append(v.Done, bed.Filled{})
		case tend.DoDump:
			g.take(real)
			v.Done = append(v.Done, bed.Dumped{Volume: a.Volume})
		case tend.DoWater:
			g.pour(real, g.tap)
			v.Done = append(v.Done, bed.AddedWater{Volume: a.Volume})
		case tend.DoFeed:
			if litres > 0 {
				g.pour(real, g.tap.times(1-float64(a.Strength)).plus(g.mixed(), float64(a.Strength)))
				v.Done = append(v.Done, bed.AddedSolution{Volume: a.Volume, Strength: a.Strength})
				break
			}
			for k := range g.shelf {
				if g.shelf[k].name == a.Product {
					g.dose(k, a.Mass.Grams())
				}
			}
			v.Done = append(v.Done, bed.AddedProduct{Product: a.Product, Amount: brief.Amount{Mass: a.Mass}})
		case tend.DoAcid:
			amount := a.Mass.Grams() + a.Liquid.Litres()*1000
			g.in = g.in.plus(sours[g.acid].of, amount*sours[g.acid].mmol*g.lognormal(0.03))
			v.Done = append(v.Done, bed.AddedAcid{Amount: brief.Amount{Mass: a.Mass, Volume: a.Liquid}})
		case tend.DoBase:
			g.in = g.in.plus(bag{kal: 1, tic: 1}, a.Mass.Grams()/0.100115*g.lognormal(0.02))
			v.Done = append(v.Done, bed.AddedProduct{Product: a.Product, Amount: brief.Amount{Mass: a.Mass}})
		}
		switch a.Do {
		case tend.DoFeed, tend.DoAcid, tend.DoBase, tend.DoDump, tend.DoRefill:
			meddled = true
		}
	}
	return meddled
}
