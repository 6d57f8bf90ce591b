package tend

import (
	"math"

	"raftwright/chem"
	"raftwright/unit"
)

// near is the chemistry room's answer for one solution, made quick for others like
// it: the shares of its acids and bases as conditional constants (with its ion pairs and
// activities), and how each ion raises the conductivity. It is exact at its own
// solution; 30 % more or less of all salt costs it 2 to 4 % of EC and 0.02 of pH.
type near struct {
	k1, k2, p1, p2, p3, n, c1, c2, c3, w float64 // times the activity of H+; mmol/L where a concentration is left
	free                                 float64 // mmol/L of H+ for its activity
	henry                                float64 // mmol/L an atm of CO2
	at                                   amounts
	ec                                   float64 // mS/cm there
	slope                                amounts // mS/cm per mmol/L
	rest                                 float64 // EC that the slopes leave
}

// standard is the temperature to which meters refer EC.
const standard = unit.Temperature(25)

// nearTo solves a litre of solution with the chemistry room.
func nearTo(k *chem.Equilibria, a amounts) (near, chem.Solution, error) {
	c := a.composition()
	s, err := k.Closed(c)
	if err != nil {
		return near{}, s, err
	}
	n := near{at: a, ec: s.Conductivity.MillisiemensPerCentimetre(), henry: k.Henry() * 1000}
	full := c // what shares are read from needs a trace of every family
	full.P = max(full.P, 1e-4)
	full.NH4 = max(full.NH4, 1e-4)
	full.Citrate = max(full.Citrate, 1e-4)
	full.TIC = max(full.TIC, 1e-3)
	f, err := k.FormsAtPH(full, 6.5)
	if err != nil {
		return near{}, s, err
	}
	sum := func(list ...chem.Species) float64 {
		t := 0.0
		for _, x := range list {
			t += f.Molality(x)
		}
		return max(t, 1e-30)
	}
	h := math.Pow(10, -f.PH)
	co2 := sum(chem.FreeCO2)
	hco3 := sum(chem.FreeHCO3, chem.PairCaHCO3, chem.PairMgHCO3, chem.PairNaHCO3)
	co3 := sum(chem.FreeCO3, chem.PairCaCO3, chem.PairMgCO3)
	h2po4 := sum(chem.FreeH2PO4, chem.PairCaH2PO4, chem.PairMgH2PO4)
	hpo4 := sum(chem.FreeHPO4, chem.PairCaHPO4, chem.PairMgHPO4, chem.PairNaHPO4, chem.PairKHPO4)
	po4 := sum(chem.FreePO4, chem.PairCaPO4, chem.PairMgPO4)
	h2c := sum(chem.FreeH2Citrate, chem.PairCaH2Citrate)
	hc := sum(chem.FreeHCitrate, chem.PairCaHCitrate, chem.PairNaHCitrate)
	cit := sum(chem.FreeCitrate, chem.PairCaCitrate, chem.PairMgCitrate, chem.PairNaCitrate, chem.PairKCitrate)
	n.k1, n.k2 = h*hco3/co2, h*co3/hco3
	n.p1, n.p2, n.p3 = h*h2po4/sum(chem.FreeH3PO4), h*hpo4/h2po4, h*po4/hpo4
	n.c1, n.c2, n.c3 = h*h2c/sum(chem.FreeH3Citrate), h*hc/h2c, h*cit/hc
	n.n = h * sum(chem.FreeNH3) / sum(chem.FreeNH4, chem.PairNH4SO4)
	n.w = h * sum(chem.FreeOH, chem.PairCaOH, chem.PairMgOH) * 1000
	n.free = f.Molality(chem.FreeH) / h * 1000
	return n, s, nil
}

// slopes finds how each ion raises EC, at a pH.
func (n *near) slopes(k *chem.Equilibria, pH float64) error {
	list, steps := make([]chem.Composition, 1, ions), amounts{}
	list[0] = n.at.composition()
	for i := range ions {
		if i == urea || i == inert {
			continue
		}
		steps[i] = max(0.02, 0.02*n.at[i])
		a := n.at
		a[i] += steps[i]
		list = append(list, a.composition())
	}
	told, err := k.Conductivities(pH, list)
	if err != nil {
		return err
	}
	var slope amounts
	for i := range ions {
		if steps[i] > 0 {
			told = told[1:]
			slope[i] = (told[0].MillisiemensPerCentimetre() - n.ec) / steps[i]
		}
	}
	n.slopesAre(slope)
	return nil
}

// slopesAre takes slopes that were found here or near.
func (n *near) slopesAre(slope amounts) {
	n.slope, n.rest = slope, n.ec
	for i := range ions {
		n.rest -= slope[i] * n.at[i]
	}
}

// conducts gives the EC of a litre like the solution, mS/cm at 25 °C.
func (n *near) conducts(a *amounts) float64 {
	ec := 0.0
	for i := range ions {
		ec += n.slope[i] * a[i]
	}
	return max(0.01, n.rest+ec)
}

// nearBy is by how much of its conductivity a solution may differ, so that the answer for another stands for it: what 30 % costs goes by its square.
const nearBy, nearBeside = 0.02, 0.01

// perAlkalinity is about what a change of alkalinity adds to it, mS/cm per meq/L (bicarbonate; reference methods, section 4), which no slope has.
const perAlkalinity = 0.04

// holds says whether the answer stands for a litre like the solution.
func (n *near) holds(a *amounts, by float64) bool {
	off := perAlkalinity * math.Abs(a.strong()-n.at.strong())
	for i := range ions {
		off += math.Abs(n.slope[i] * (a[i] - n.at[i]))
	}
	return off <= by*n.ec
}

// charge gives what is left over of the charge balance at an H+ activity, with a carbon
// that is closed (open < 0) or in balance with a CO2 pressure, and how that changes with
// the logarithm of the activity: its slope and how the slope bends.
func (n *near) charge(a *amounts, strong, h, open float64) (f, slope, bend float64) {
	per := 1 / h
	free, oh, bare := h*n.free, n.w*per, n.n/(h+n.n)
	f, slope, bend = free-oh, free+oh, free-oh
	nh3 := a[ammonium] * bare
	f, slope, bend = f+strong-nh3, slope+nh3*(1-bare), bend-nh3*(1-bare)*(1-2*bare)
	// an acid that gives off its protons one by one: moments of its mean charge
	acid := func(total, x, y, z float64) {
		by := 1 / (1 + x + y + z)
		mean, square, cube := (x+2*y+3*z)*by, (x+4*y+9*z)*by, (x+8*y+27*z)*by
		f -= total * mean
		slope += total * (square - mean*mean)
		bend -= total * (cube - mean*(3*square-2*mean*mean))
	}
	x := n.p1 * per
	y := x * n.p2 * per
	acid(a[phosphate], x, y, y*n.p3*per)
	if a[citrate] > 0 {
		x := n.c1 * per
		y := x * n.c2 * per
		acid(a[citrate], x, y, y*n.c3*per)
	}
	r, q := n.k1*per, n.k2*per
	if open >= 0 {
		co2 := open * n.henry * r
		return f - co2*(1+2*q), slope + co2*(1+4*q), bend - co2*(1+8*q)
	}
	acid(a[carbon], r, r*q, 0)
	return f, slope, bend
}

// Bounds of the H+ activity, and how near its logarithm is solved to.
const (
	lowestH, highestH = 1e-11, 1e-2
	nearEnough        = 0.02 // what is left after the step is a tenth of its cube
	airEnough         = 0.05 // the same in balance with the air, from which only the carbon is taken
)

// leap is how the logarithm of an H+ activity has to change for a balance to close, good to the cube
// of itself where it is small (Halley's step).
func leap(f, slope, bend float64) float64 {
	step := -f / slope
	if x := step * bend; math.Abs(x) < slope {
		step /= 1 + x/(2*slope)
	}
	return step
}

// leapt takes it.
func leapt(h, step float64) float64 { return h * (1 + step*(1+step*(1./2+step*(1./6)))) }

// hydrogen solves the balance for the activity of H+, by steps on its logarithm, held in a
// bracket. guess is an activity to begin with.
func (n *near) hydrogen(a *amounts, guess, open float64) float64 {
	lo, hi := lowestH, highestH
	strong := a.strong()
	h, enough := bounded(guess, lo, hi), nearEnough
	if open >= 0 {
		enough = airEnough
	}
	for range 60 {
		f, slope, bend := n.charge(a, strong, h, open)
		if f > 0 { // too much charge: less H+
			hi = h
		} else {
			lo = h
		}
		step := leap(f, slope, bend)
		next := leapt(h, step)
		switch size := math.Abs(step); {
		case size < enough:
			return next
		case size > 0.3:
			next = h * math.Exp(bounded(step, -3, 3))
		}
		if next <= lo || next >= hi {
			next = math.Sqrt(lo * hi)
		}
		h = next
	}
	return h
}

// once takes one of these steps from a solution that is near.
func (n *near) once(a *amounts, guess, open float64) float64 {
	return leapt(guess, bounded(leap(n.charge(a, a.strong(), guess, open)), -1, 1))
}

// pHof gives the pH of an activity of H+.
func pHof(h float64) float64 { return math.Log(h) * (-1 / math.Ln10) }

// held gives the carbon (mmol/L) that a litre has in balance with a CO2 pressure, where it has an H+
// activity.
func (n *near) held(open, pressure float64) float64 {
	r := n.k1 / open
	return pressure * n.henry * (1 + r*(1+n.k2/open))
}
