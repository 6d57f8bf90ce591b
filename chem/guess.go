package chem

import "math"

// guess sets starting values: every pair left out, the ionic strength from the
// totals, the hydrogen ion by halving the interval of its balance. It is within
// a few tenths of a pH unit, so that Newton's steps need no luck.
func (k *Equilibria) guess(y *system) {
	y.x[ionRow] = y.roughStrength()
	if y.fixedPH {
		h := hydrogen(y.x[protonRow])
		y.x[ionRow] = min(y.x[ionRow]+h[3]+y.stability[FreeOH]*h[1], mostIonic)
	}
	k.factors(y)
	y.fresh = true
	if !y.fixedPH {
		low, high := math.Log(1e-14), math.Log(1.)
		for range 12 {
			mid := (low + high) / 2
			if k.rough(y, mid) > 0 {
				high = mid
			} else {
				low = mid
			}
		}
		y.x[protonRow] = (low + high) / 2
	}
	h := hydrogen(y.x[protonRow])
	if y.titrated {
		k.guessCarbon(y, &h)
	}
	for j, list := range ligands {
		if y.ligand[j] <= 0 || ligand(j) == ligandC && (y.fixedC || y.titrated) {
			continue
		}
		sum := 0.0
		for _, s := range list {
			sum += y.factor[s] * h[k.protons[s]+2]
		}
		y.x[j] = math.Log(y.ligand[j] / sum)
	}
}

// guessCarbon takes what the alkalinity lacks without carbon for bicarbonate and
// carbonate.
func (k *Equilibria) guessCarbon(y *system, h *powers) {
	y.x[ligandC] = math.Log(y.missing / (y.factor[FreeHCO3]*h[1] + 2*y.factor[FreeCO3]*h[0]))
}

func (y *system) roughStrength() float64 {
	sum := 4*(y.base[baseCa]+y.base[baseMg]+y.base[baseFe]+y.ligand[ligandSO4]) + y.base[baseNa] + y.base[baseK] + y.base[baseNH4] +
		y.nitrate + y.chloride + y.ligand[ligandP] + 2*y.ligand[ligandCitrate] + math.Abs(y.proton)
	return min(sum/2, 0.5) + 1e-7
}

// rough is the proton balance without pairs; it rises with hydrogen.
func (k *Equilibria) rough(y *system, x float64) float64 {
	h := hydrogen(x)
	sum := y.factor[FreeH]*h[3] - y.factor[FreeOH]*h[1] - y.proton
	for j, list := range ligands {
		carbon := ligand(j) == ligandC && y.fixedC
		if y.ligand[j] <= 0 && !carbon {
			continue
		}
		all, held := 0.0, 0.0
		for _, s := range list {
			c := y.factor[s] * h[k.protons[s]+2]
			all += c
			held += float64(k.protons[s]) * c
		}
		if carbon {
			sum += held * math.Exp(y.x[ligandC])
		} else {
			sum += held / all * y.ligand[j]
		}
	}
	for _, b := range [...]base{baseNH4, baseB, baseSi} {
		if y.base[b] > 0 {
			acid, basic := y.factor[bases[b][0]], y.factor[bases[b][1]]*h[1]
			sum -= basic / (acid + basic) * y.base[b]
		}
	}
	return sum
}
