package crop

import "math"

// Constants of the two-state lettuce model of van Henten 1994, per square metre
// of bed. The names follow the paper's symbols; units stand beside each.
type Constants struct {
	Alpha, Beta      float64 // CO2 to sugar; yield of growth
	GrowthMax        float64 // 1/s at 20 °C
	Gamma            float64 // saturation of growth with stored sugar
	Q10Growth        float64
	RespShoot        float64 // 1/s at 25 °C
	RespRoot         float64 // 1/s at 25 °C
	Q10Resp          float64
	RootShare        float64 // of structural dry mass
	Extinction       float64
	LeafArea         float64 // m2 a gram structural shoot
	LightUse         float64 // g a J PAR, at high CO2
	CompensationPPM  float64 // at 20 °C
	Q10Compensation  float64
	Boundary         float64 // m/s
	Stomata          float64 // m/s
	Car2, Car1, Car0 float64 // carboxylation conductance, m/s over T², T, 1
	GramsPerPPM      float64 // g CO2 in m3 a ppm
}

// VanHenten1994 gives the constants of solution culture (set P1: two public
// copies compared; CO2 density from physics, 1 ppm = 1.83e-3 g/m3, where
// one copy has four times that; boundary conductance 0.004 m/s, where
// others have 0.007).
func VanHenten1994() Constants {
	return Constants{
		Alpha: 0.68, Beta: 0.8, GrowthMax: 5e-6, Gamma: 1, Q10Growth: 1.6,
		RespShoot: 3.47e-7, RespRoot: 1.16e-7, Q10Resp: 2, RootShare: 0.15,
		Extinction: 0.9, LeafArea: 0.075, LightUse: 17e-6, CompensationPPM: 40, Q10Compensation: 2,
		Boundary: 0.004, Stomata: 0.005, Car2: -1.32e-5, Car1: 5.94e-4, Car0: -2.64e-3, GramsPerPPM: 1.83e-3,
	}
}

// State is dry mass on a square metre of bed, grams.
type State struct{ NonStructural, Structural float64 }

// Total gives all the dry mass, g/m2.
func (s State) Total() float64 { return s.NonStructural + s.Structural }

// Drive is what one stretch of constant light, warmth and CO2 means for the
// model: worked out once, used for every crop.
type Drive struct {
	Light  float64 // light-limited uptake of a full canopy at factor 1, g CO2/m2/s
	Sink   float64 // CO2-limited uptake, g/m2/s
	Growth float64 // most specific growth, 1/s
	Resp   float64 // maintenance a gram structural, 1/s
}

// Drive prepares a stretch: PAR in W/m2 of canopy (energy of photosynthetic
// light, not global radiation; PPFD / 4.57), canopy temperature in °C, CO2 in ppm.
func (c *Constants) Drive(par, celsius, ppm float64) Drive {
	d := Drive{
		Growth: c.GrowthMax * q10(c.Q10Growth, celsius-20),
		Resp:   (c.RespShoot*(1-c.RootShare) + c.RespRoot*c.RootShare) * q10(c.Q10Resp, celsius-25),
	}
	car := (c.Car2*celsius+c.Car1)*celsius + c.Car0
	if car <= 0 || par <= 0 {
		return d
	}
	gamma := c.CompensationPPM * q10(c.Q10Compensation, celsius-20)
	if ppm <= gamma {
		return d
	}
	d.Light = c.LightUse * (ppm - gamma) / (ppm + 2*gamma) * par
	d.Sink = c.GramsPerPPM * (ppm - gamma) / (1/c.Boundary + 1/c.Stomata + 1/car)
	return d
}

// q10 gives the factor of a rate that grows by q in ten degrees.
func q10(q, above float64) float64 {
	log := math.Ln2
	if q != 2 {
		log = math.Log(q)
	}
	return math.Exp(log * above / 10)
}

// Canopy says how the plants meet the light.
type Canopy struct {
	Factor float64 // on the light use
	Plants float64 // a m2; 0 for a stand that covers the ground evenly, as in the paper
	Ramp   float64 // 0 to 1, of the 24 h mean temperature, on uptake and growth
}

// Crown area of a plant: 0.12 (leaf area)^(2/3), m2. A seedling of 0.14 g dry
// then covers 7.5 cm across and a 150 g head 30 cm (own judgement, common sizes
// in the trade). The share of ground covered is at most 1.
const crownScale = 0.12

// cover gives the share of the ground under leaves, and the leaf area on that
// share, for a structural dry mass.
func (c *Constants) cover(structural, plants float64) (share, leaf float64) {
	leaf = c.LeafArea * (1 - c.RootShare) * structural
	if plants <= 0 || leaf <= 0 {
		return 1, leaf
	}
	r := math.Cbrt(leaf / plants)
	share = min(1, crownScale*r*r*plants)
	return share, leaf / share
}

// change gives the rates of both states, g/m2/s, for a known share of the light
// caught (van Henten 1994, the equations of the two states; the ramp and the
// cover are additions of this project).
func (c *Constants) change(s State, d Drive, k Canopy, caught float64) State {
	uptake := 0.0
	if d.Light > 0 {
		light := d.Light * k.Factor
		uptake = caught * k.Ramp * light * d.Sink / (light + d.Sink)
	}
	grow := 0.0
	if t := c.Gamma*s.Structural + s.NonStructural; t > 0 {
		grow = d.Growth * k.Ramp * s.NonStructural / t * s.Structural
	}
	resp := d.Resp * s.Structural
	if s.NonStructural <= 0 {
		resp = min(resp, c.Alpha*uptake) // nothing left to burn: the plant stands still
	}
	return State{NonStructural: c.Alpha*uptake - grow/c.Beta - resp, Structural: grow}
}

// Advance moves the state on by a stretch of constant drive, by the midpoint
// rule. With steps of an hour it stays within 0.2 % of a 60 s Runge-Kutta run.
func (c *Constants) Advance(s State, d Drive, k Canopy, seconds float64) State {
	caught := 0.0
	if d.Light > 0 {
		// growth of the structure does not need the light, so the leaves of
		// half way are known before the light that they catch
		half := s.Structural + c.change(s, d, k, 0).Structural*seconds/2
		share, leaf := c.cover(half, k.Plants)
		caught = share * (1 - math.Exp(-c.Extinction*leaf))
	}
	a := c.change(s, d, k, caught)
	mid := State{s.NonStructural + a.NonStructural*seconds/2, s.Structural + a.Structural*seconds/2}
	b := c.change(mid, d, k, caught)
	return State{max(0, s.NonStructural+b.NonStructural*seconds), s.Structural + b.Structural*seconds}
}

// parts is in how many steps a day goes by, with the mean of what its hours give: within
// 1e-3 of the mass that steps of an hour give.
const parts = 8

// rate is what a part of a day means for one crop.
type rate struct {
	gain float64 // of sugar where all light is caught, g/m2/s
	grow float64 // most specific growth, 1/s
	resp float64 // maintenance a gram structural, 1/s
}

// rates gives the parts of a day for a crop's light use and ramp.
func (c *Constants) rates(hours *[24]Drive, factor, ramp float64) (out [parts]rate) {
	const each = parts / 24.0
	for h := range hours {
		d, r := &hours[h], &out[h*parts/24]
		if light := d.Light * factor; light > 0 {
			r.gain += each * c.Alpha * ramp * light * d.Sink / (light + d.Sink)
		}
		r.grow += each * d.Growth * ramp
		r.resp += each * d.Resp
	}
	return out
}

// day moves states on by 24 hours, each of its own weather, as Advance does hour by
// hour. The light that is caught follows the leaves smoothly, so it is worked out every
// few hours and carried on by its slope between.
func (c *Constants) day(states []State, days []*[parts]rate, plants []float64) {
	const (
		step = 86400.0 / parts // s
		anew = parts / 2       // parts of light
	)
	var caught, slope, at [Rows]float64
	var left [Rows]int
	cost := 1 / c.Beta
	for h := range parts {
		for i := range states {
			s, d := &states[i], &days[i][h]
			grow := d.grow * s.NonStructural / (c.Gamma*s.Structural + s.NonStructural) * s.Structural
			gain := 0.0
			if d.gain > 0 {
				half := s.Structural + grow*(step/2)
				if left[i] == 0 {
					caught[i], slope[i] = c.catch(half, plants[i])
					at[i], left[i] = half, anew
				}
				left[i]--
				gain = d.gain * (caught[i] + slope[i]*(half-at[i]))
			}
			mid := State{s.NonStructural + (gain-grow*cost-burnt(d.resp*s.Structural, gain, s.NonStructural))*(step/2), s.Structural + grow*(step/2)}
			grow = d.grow * mid.NonStructural / (c.Gamma*mid.Structural + mid.NonStructural) * mid.Structural
			s.NonStructural = max(0, s.NonStructural+(gain-grow*cost-burnt(d.resp*mid.Structural, gain, mid.NonStructural))*step)
			s.Structural += grow * step
		}
	}
}

// burnt is the sugar that upkeep takes: where none is left, no more than is gained.
func burnt(upkeep, gain, store float64) float64 {
	if store <= 0 {
		return min(upkeep, gain)
	}
	return upkeep
}

// catch gives the share of the light that a structural dry mass catches, and its
// slope: cover grows as the leaves to the power of two thirds until it is full, and
// the leaves on it with the rest.
func (c *Constants) catch(structural, plants float64) (caught, slope float64) {
	share, leaf := c.cover(structural, plants)
	through := math.Exp(-c.Extinction * leaf)
	caught = share * (1 - through)
	if structural <= 0 {
		return caught, 0
	}
	if share < 1 {
		return caught, (2*caught + c.Extinction*leaf*share*through) / (3 * structural)
	}
	return caught, c.Extinction * leaf * through / structural
}
