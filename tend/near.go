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
	f, err := k.AtPH(full, 6.5)
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
	base := n.ec
	for i := range ions {
		if i == urea || i == inert {
			continue
		}
		step := max(0.02, 0.02*n.at[i])
		a := n.at
		a[i] += step
		t, err := k.AtPH(a.composition(), pH)
		if err != nil {
			return err
		}
		n.slope[i] = (t.Conductivity.MillisiemensPerCentimetre() - base) / step
	}
	return nil
}

// conducts gives the EC of a litre like the solution, mS/cm at 25 °C.
func (n *near) conducts(a *amounts) float64 {
	ec := n.ec
	for i := range ions {
		ec += n.slope[i] * (a[i] - n.at[i])
	}
	return max(0.01, ec)
}

// charge gives what is left over of the charge balance at an H+ activity, with a carbon
// that is closed (open < 0) or in balance with a CO2 pressure, and how that changes with
// the logarithm of the activity.
func (n *near) charge(a *amounts, strong, h, open float64) (f, slope float64) {
	per := 1 / h
	free, oh, bare := h*n.free, n.w*per, n.n/(h+n.n)
	nh3 := a[ammonium] * bare
	f, slope = strong-nh3+free-oh, nh3*(1-bare)+free+oh
	// three steps of phosphoric and citric acid: moments of the mean charge
	three := func(total, k1, k2, k3 float64) {
		x := k1 * per
		y := x * k2 * per
		z := y * k3 * per
		share := 1 / (1 + x + y + z)
		mean := (x + 2*y + 3*z) * share
		f -= total * mean
		slope += total * ((x+4*y+9*z)*share - mean*mean)
	}
	three(a[phosphate], n.p1, n.p2, n.p3)
	if a[citrate] > 0 {
		three(a[citrate], n.c1, n.c2, n.c3)
	}
	r, q := n.k1*per, n.k2*per
	if open >= 0 {
		co2 := open * n.henry * r
		return f - co2*(1+2*q), slope + co2*(1+4*q)
	}
	share := r / (1 + r*(1+q))
	mean := (1 + 2*q) * share
	return f - a[carbon]*mean, slope + a[carbon]*((1+4*q)*share-mean*mean)
}

// Bounds of the H+ activity, and how near its logarithm is solved to.
const (
	lowestH, highestH = 1e-11, 1e-2
	nearEnough        = 5e-4 // what is left after the step is its square
)

// hydrogen solves the balance for the activity of H+, by Newton's steps on its logarithm, held in a
// bracket. guess is an activity to begin with.
func (n *near) hydrogen(a *amounts, guess, open float64) float64 {
	lo, hi := lowestH, highestH
	strong := a.strong()
	h := max(lo, min(hi, guess))
	for range 60 {
		f, slope := n.charge(a, strong, h, open)
		if f > 0 { // too much charge: less H+
			hi = h
		} else {
			lo = h
		}
		step := -f / slope
		if math.Abs(step) < nearEnough {
			return h * (1 + step + step*step/2)
		}
		next := h * (1 + step + step*step/2)
		if math.Abs(step) > 0.3 {
			next = h * math.Exp(max(-3, min(3, step)))
		}
		if next <= lo || next >= hi {
			next = math.Sqrt(lo * hi)
		}
		h = next
	}
	return h
}

// once takes one of Newton's steps from a solution that is near: good to the square of the difference.
func (n *near) once(a *amounts, guess, open float64) float64 {
	f, slope := n.charge(a, a.strong(), guess, open)
	step := max(-1, min(1, -f/slope))
	return guess * (1 + step + step*step/2)
}

// held gives the carbon (mmol/L) that a litre has in balance with a CO2 pressure, where it has an H+
// activity.
func (n *near) held(open, pressure float64) float64 {
	r := n.k1 / open
	return pressure * n.henry * (1 + r*(1+n.k2/open))
}
