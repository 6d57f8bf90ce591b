package crop

import (
	"math"

	"raftwright/unit"
)

// expolinearDay moves a dry mass (g/m2) on by one day: the same curve with Cm
// and Rm of that day, entered where the mass stands.
func expolinearDay(w, cm, rm float64) float64 {
	if cm <= 0 || rm <= 0 || w <= 0 {
		return w
	}
	x := rm * w / cm
	if x > 40 {
		return w + cm
	}
	return cm / rm * math.Log1p(math.Expm1(x)*math.Exp(rm))
}

// Constants of the expolinear crops. Early growth 0.30 a day (range 0.25 to
// 0.35 for leaf crops, memory). Light use falls off as days get bright: at 25
// mol a day half of what it is in dim light (own fit, see warmthPower).
const (
	earlyGrowth   = 0.30 // 1/day at the best temperature
	brightHalf    = 25.0 // mol/m2/day
	gramsPerMole  = 0.75 // g dry a mol at full cover before the factor, mid of 0.6 to 0.9 (memory)
	shootShare    = unit.Fraction(0.85)
	lettucePlant  = 3.42 / 25 // g dry of a seedling: the model's usual start, 3.4 g/m2 at 25 a m2
	seedlingShare = 0.05      // of the final dry mass, other crops (own fit, see warmthPower)
)

// seedling gives the dry mass with which a plant goes on the raft.
func seedling(k Crop) unit.Mass {
	final := k.Mass.Middle().Grams() * float64(k.Growth.DryMatter) / float64(shootShare)
	if k.Growth.Model == TwoState {
		// a baby-leaf plant is cut before it would be that heavy
		return unit.Mass(min(lettucePlant, 0.04*final)) * unit.Gram
	}
	return unit.Mass(seedlingShare*final) * unit.Gram
}

// dailyGain gives Cm for a day's light, g/m2/day at factor 1.
func dailyGain(moles float64) float64 { return gramsPerMole * moles / (1 + moles/brightHalf) }

// leafPerGram is the leaf area of a gram of dry plant, m2 (memory: 0.02 to 0.04 in
// leaf crops).
const leafPerGram = 0.03

// spread gives the share of the ground that plants of a dry mass (g/m2) take up:
// each only its own until they touch, as with lettuce.
func spread(w, plants float64) float64 {
	r := math.Cbrt(leafPerGram * w / plants)
	return math.Min(1, crownScale*r*r*plants)
}

// growExpolinear moves a dry mass (g/m2) on by a day: light is caught on the
// ground that the plants take up.
func growExpolinear(w, plants, gain, speed float64) float64 {
	return expolinearDay(w, gain*spread(w, plants), speed)
}

// fitExpolinear finds the factor with which a crop reaches the middle of its
// published weight in the middle of its published days on the raft, in the middle of
// its light and of its plant densities, in the warmth of the usual house.
func fitExpolinear(k Crop) float64 {
	plants := float64(k.Plants.Middle())
	w0 := k.Growth.Seedling.Grams() * plants
	want := k.Mass.Middle().Grams() * float64(k.Growth.DryMatter) / float64(k.Growth.Shoot) * plants
	days := int(math.Round(k.Raft.Middle().Days()))
	gain := dailyGain(float64(k.Light.Middle())) * k.gain(k.house())
	speed := earlyGrowth * k.Ramp(k.house())
	end := func(factor float64) float64 {
		w := w0
		for range days {
			w = growExpolinear(w, plants, gain*factor, speed)
		}
		return w
	}
	lo, hi := 1e-3, 1e3
	for range 40 {
		if mid := math.Sqrt(lo * hi); end(mid) < want {
			lo = mid
		} else {
			hi = mid
		}
	}
	return math.Sqrt(lo * hi)
}
