package tend_test

import (
	"math"
	"math/rand/v2"
)

// What is dissolved in a stranger's bed, mmol. alk is the charge of what is not followed; tic all dissolved carbon dioxide.
const (
	no3 = iota
	nh4
	ureaN
	phos
	kal
	ca
	mg
	so4
	na
	cl
	cit
	alk
	tic
	kinds
)

type bag [kinds]float64

func (b bag) plus(o bag, x float64) bag {
	for i := range b {
		b[i] += x * o[i]
	}
	return b
}

func (b bag) times(x float64) bag { return bag{}.plus(b, x) }

// grams a mole, counted as this house tells them.
var molar = map[string]struct {
	of int
	g  float64
}{"nitrate": {no3, 14.007}, "ammonium": {nh4, 14.007}, "urea": {ureaN, 14.007}, "P": {phos, 30.974}, "K": {kal, 39.098}, "Ca": {ca, 40.078},
	"Mg": {mg, 24.305}, "S": {so4, 32.06}, "Na": {na, 22.990}, "Cl": {cl, 35.453}}

// strength gives the ionic strength of a litre (mol/L), its carbonate and phosphate told by rule.
func (b *bag) strength() float64 {
	one := b[no3] + b[nh4] + b[phos] + b[kal] + b[na] + b[cl]
	return (one + 4*(b[ca]+b[mg]+b[so4]) + math.Abs(b.charge())) / 2000
}

// charge is that of the ions that no acid moves, meq.
func (b *bag) charge() float64 {
	return b[kal] + b[na] + b[nh4] + 2*b[ca] + 2*b[mg] + b[alk] - b[no3] - b[cl] - 2*b[so4]
}

// davies gives the logarithm (base 10) of a single charge's activity (Davies 1962, from memory).
func davies(i float64) float64 {
	r := math.Sqrt(i)
	return -0.509 * (r/(1+r) - 0.3*i)
}

// Constants at 25 °C: carbonic, phosphoric and citric acid, ammonium, water (textbook values, from memory).
var pk = struct{ c1, c2, p1, p2, p3, t1, t2, t3, n, w, henry float64 }{6.352, 10.329, 2.148, 7.199, 12.35, 3.128, 4.761, 6.396, 9.246, 13.995, 0.0339}

// excess is what is left of the charge balance of a litre at a pH, meq; with a pressure of carbon dioxide (atm) or, below
// 0, with the carbon that there is.
func (b *bag) excess(pH, pressure float64) (left, carbon float64) {
	g := davies(b.strength())
	h := math.Pow(10, -pH)
	k := func(p, z float64) float64 { return math.Pow(10, -p-(2*z-1)*g) } // of the step to a charge of -z, the activity of H+ kept
	mean := func(k1, k2, k3 float64) float64 {
		x := k1 / h
		y := x * k2 / h
		z := y * k3 / h
		return (x + 2*y + 3*z) / (1 + x + y + z)
	}
	c1, c2 := k(pk.c1, 1), k(pk.c2, 2)
	carbon = b[tic]
	if pressure >= 0 {
		carbon = pressure * pk.henry * 1000 * (1 + c1/h*(1+c2/h))
	}
	left = b.charge() + h*1000/math.Pow(10, g) - k(pk.w, 1)/h*1000
	left -= carbon * mean(c1, c2, 0)
	left -= b[phos] * mean(k(pk.p1, 1), k(pk.p2, 2), k(pk.p3, 3))
	left -= b[cit] * mean(k(pk.t1, 1), k(pk.t2, 2), k(pk.t3, 3))
	left -= b[nh4] / (1 + h*math.Pow(10, pk.n-g))
	return left, carbon
}

func (b *bag) pH(pressure float64) (pH, carbon float64) {
	lo, hi := 2.0, 12.0
	for range 34 {
		pH = (lo + hi) / 2
		if left, _ := b.excess(pH, pressure); left > 0 {
			lo = pH
		} else {
			hi = pH
		}
	}
	_, carbon = b.excess(pH, pressure)
	return pH, carbon
}

// equivalent conductivities at no strength, S cm2/mol of charge (CRC Handbook, from memory).
var conducts = [kinds]float64{no3: 71.4, nh4: 73.5, kal: 73.5, ca: 59.5, mg: 53.0, so4: 80.0, na: 50.1, cl: 76.3}

// ec gives mS/cm at 25 °C: each ion's conductivity less what its cloud holds back (Onsager's limiting law, tempered with the
// strength so that potassium chloride of 0.01 mol/L reads its 1.41), without calcium and magnesium that stand paired with sulfate.
func (b *bag) ec() float64 {
	i := b.strength()
	pH, _ := b.pH(-1)
	h, root, g := math.Pow(10, -pH), math.Sqrt(i), davies(i)
	cloud := root / (1 + 1.3*root)
	free := *b
	for range 12 { // pairs: log K 2.31 and 2.37
		for j, p := range [...]float64{2.31, 2.37} {
			m := [...]int{ca, mg}[j]
			bound := math.Pow(10, p+8*g) * free[m] * free[so4] / 1000
			bound = math.Min(bound, 0.6*math.Min(b[m], b[so4]))
			free[m] = (free[m] + b[m] - bound) / 2
		}
		free[so4] = (free[so4] + b[so4] - (b[ca] - free[ca]) - (b[mg] - free[mg])) / 2
	}
	sum := 0.0
	add := func(mmol, z, at0 float64) {
		if z > 1 { // as calcium chloride and potassium sulfate of 0.01 mol/L of charge read it
			cloud := 1.3 * cloud
			sum += mmol * z * math.Max(0, at0-(30.1*z+0.229*z*at0)*cloud)
			return
		}
		sum += mmol * math.Max(0, at0-(30.1+0.229*at0)*cloud)
	}
	for k, at0 := range conducts {
		z := 1.0
		if k == ca || k == mg || k == so4 {
			z = 2
		}
		add(free[k], z, at0)
	}
	x := math.Pow(10, -pk.c1-g) / h
	add(b[tic]*x/(1+x), 1, 44.5)
	y := math.Pow(10, -pk.p2-3*g) / h
	add(b[phos]/(1+y), 1, 33)
	add(b[phos]*y/(1+y), 2, 57)
	add(h*1000/math.Pow(10, g), 1, 349.8)
	return sum / 1000
}

// stranger is a bed that lives by other equations than those of this house, with draws of its own: leaves that catch the light and
// thin as they grow, thirst by sun and dry air, uptake that takes more where more is, microbes that multiply on urea
// and ammonium. Nothing of it comes from the rooms that are tested. Its figures are judgment, the forms those of the reference methods and of
// textbooks: leaf area and light (Monsi & Saeki 1953), sun and dryness (Baille 1994), multiplying microbes (Monod 1949), all from memory.
type stranger struct {
	r    *rand.Rand
	area float64 // m2
	brim float64 // L
	gaps float64 // share of the area
	v    float64 // L
	in   bag     // mmol
	day  float64 // since the start
	sky  []weather

	heads, dry          float64 // plants, g of each
	growth, thirst      float64
	content             [kinds]float64 // mmol a g of new dry mass, at ample strength
	lime                float64
	leafy, slow         float64 // m2 a g, and how it thins
	eaters, oxidizers   float64 // microbes, as the rate (per day) that they have come to
	eatersMax, oxidMax  float64
	breath, airing      float64 // CO2 pressure by which roots hold the bed (atm), exchange per day
	breathing           float64 // its log spread from day to day
	settles             float64
	leak, leakFrom      float64 // L a day, from a day on
	warm                float64 // of the solution
	drunk, dried, spilt float64
	plain               *plainly // it lives as the reference has it
	quick               bool     // its pH and carbon are left as they are: where only water and salt are asked for
}

type weather struct{ high, low, sun, dry, rain, evaporates float64 } // °C, °C, MJ/m2 that come in, kPa, mm, mm (of kin)

func (s *stranger) lognormal(sd float64) float64 { return math.Exp(sd * s.r.NormFloat64()) }

func (s *stranger) litre() bag { return s.in.times(1 / math.Max(1, s.v)) }

// live goes through some days, a quarter day at a time.
func (s *stranger) live(days float64) {
	const step = 0.25
	for n := int(math.Round(days / step)); n > 0; n-- {
		if s.plain != nil {
			s.livePlainly(step)
			continue
		}
		w := s.sky[min(len(s.sky)-1, int(s.day))]
		c := s.litre()
		pH := 6.3
		if !s.quick {
			pH, _ = c.pH(-1)
		}
		s.warm += ((w.high+w.low)/2 + 1 - s.warm) * (1 - math.Exp(-24*step/20))
		vital := math.Pow(1.9, (s.warm-22)/10)
		leaf := s.heads * s.dry * s.leafy * math.Pow(1+s.dry, -s.slow) / s.area
		caught := 1 - math.Exp(-0.65*leaf)
		// growth: what the light that is caught makes, less where it is cold or hot
		ease := math.Max(0.1, math.Min(1, ((w.high+w.low)/2-3)/15)) * math.Max(0.3, math.Min(1, (36-w.high)/6))
		grown := s.growth * 0.85 * w.sun * caught * ease * s.area * step // g
		if s.heads > 0 {
			s.dry += grown / s.heads
		}
		drinks := s.thirst * s.area * step * (0.60*caught*w.sun/2.45 + 0.35*leaf*w.dry)
		dries := s.thirst * s.area * step * s.gaps * (0.65*w.sun/2.45 + 0.6*w.dry)
		drinks, dries = s.there(drinks, dries)
		s.eat(grown, drinks, &c)
		s.rot(step, vital, pH)
		if pH > 6.9 {
			x := s.in[phos] * math.Min(0.3, s.settles*(pH-6.9)*step*c[ca]/(c[ca]+1))
			s.in[phos], s.in[ca] = s.in[phos]-x, math.Max(0, s.in[ca]-1.2*x)
		}
		s.v -= drinks + dries
		s.drunk, s.dried = s.drunk+drinks, s.dried+dries
		if s.leak > 0 && s.day >= s.leakFrom {
			s.take(math.Min(s.leak*step, s.v/3))
		}
		s.pour(w.rain*step*s.area, bag{})
		if !s.quick {
			c = s.litre()
			_, goal := c.pH(s.breath * s.lognormal(s.breathing))
			s.in[tic] += (goal - c[tic]) * (1 - math.Exp(-s.airing*step)) * s.v
		}
		s.day += step
	}
}

// film is what stays in the folds of a bed that runs dry, L.
const film = 1.0

// there gives what leaves and air take of what is there.
func (s *stranger) there(drinks, dries float64) (float64, float64) {
	share := math.Min(1, math.Max(0, s.v-film)/math.Max(1e-9, drinks+dries))
	return share * drinks, share * dries
}

// eat takes up what growth asks for, more of it where the water is rich, and what comes with the water.
func (s *stranger) eat(grown, drinks float64, c *bag) {
	take := func(i int, x float64) {
		s.in[i] -= math.Max(0, math.Min(x, 0.4*s.in[i]))
	}
	age := math.Pow(1+s.dry, -0.04)                 // what is older holds less
	rich := func(c, usual, power float64) float64 { // what is rich is taken beyond need, what is poor is spared
		return math.Max(0.5, math.Min(1.3, math.Pow((c+0.02)/usual, power)))
	}
	n := c[no3] + c[nh4]
	ask := s.content[no3] * grown * age * rich(n, 8, 0.07) * n / (n + 0.08)
	if c[ureaN] > 0.1 {
		take(ureaN, 0.025*ask)
	}
	sour := 2.2 * c[nh4] / (c[no3] + 2.2*c[nh4] + 1e-9)
	take(nh4, ask*sour)
	take(no3, ask*(1-sour))
	for _, x := range [...]struct {
		i           int
		usual, half float64
	}{{phos, 1.2, 0.01}, {kal, 4, 0.05}, {mg, 1.2, 0.03}} {
		take(x.i, s.content[x.i]*grown*age*rich(c[x.i], x.usual, 0.13)*c[x.i]/(c[x.i]+x.half))
	}
	take(so4, s.content[so4]*grown*c[so4]/(c[so4]+0.03))
	take(ca, s.content[ca]*grown*c[ca]/(c[ca]+0.15)+0.2*s.lime*c[ca]*drinks)
	take(na, 0.12*c[na]*drinks)
	take(cl, 0.40*c[cl]*drinks)
}

// rot lets microbes live on urea and ammonium: they double until they are many, and few live in sour water.
func (s *stranger) rot(step, vital, pH float64) {
	gain := func(now *float64, most, double float64) float64 {
		*now += *now * (1 - *now/most) * math.Ln2 / double * vital * step
		return *now * vital * step
	}
	x := s.in[ureaN] * (1 - math.Exp(-gain(&s.eaters, s.eatersMax, 1.1)))
	s.in[ureaN], s.in[nh4], s.in[tic] = s.in[ureaN]-x, s.in[nh4]+x, s.in[tic]+x/2
	ease := 1 / (1 + math.Exp(-2.5*(pH-5.7)))
	y := s.in[nh4] * (1 - math.Exp(-ease*gain(&s.oxidizers, s.oxidMax, 1.6/(0.05+ease))))
	s.in[nh4], s.in[no3] = s.in[nh4]-y, s.in[no3]+y
	z := s.in[cit] * (1 - math.Exp(-0.17*vital*step))
	s.in[cit], s.in[tic] = s.in[cit]-z, s.in[tic]+6*z
}

func (s *stranger) take(litres float64) {
	litres = math.Max(0, math.Min(litres, s.v))
	s.in = s.in.times(1 - litres/s.v)
	s.v -= litres
}

// pour adds a solution and lets run off what stands over the sill.
func (s *stranger) pour(litres float64, of bag) {
	s.v += litres
	s.in = s.in.plus(of, litres)
	if s.v > s.brim {
		s.spilt += s.v - s.brim
		s.take(s.v - s.brim)
	}
}

// mgL gives what this house would call a substance.
func (s *stranger) mgL(name string) float64 {
	c := s.litre()
	if name == "N" {
		return (c[no3] + c[nh4] + c[ureaN]) * 14.007
	}
	return c[molar[name].of] * molar[name].g
}
