package tend

import (
	_ "embed"
	"math"
	"sync"

	"raftwright/finding"
	"raftwright/internal/table"
	"raftwright/source"
)

//go:embed limits.csv
var limitsText string

// Limit is something that must stay within bounds, by its key in limits.csv.
type Limit string

// The limits.
const (
	LimitBand      Limit = "ec_band"
	LimitEC        Limit = "ec"
	LimitPH        Limit = "ph"
	LimitLevel     Limit = "level"
	LimitWarmth    Limit = "warmth"
	LimitOxygen    Limit = "oxygen"
	LimitAmmonium  Limit = "ammonium"
	LimitAmmonia   Limit = "ammonia"
	LimitNitrate   Limit = "nitrate"
	LimitPotassium Limit = "potassium"
	LimitCalcium   Limit = "calcium"
	LimitSodium    Limit = "sodium"
	LimitChloride  Limit = "chloride"
	LimitSulfate   Limit = "sulfate"
	LimitBlind     Limit = "blind"
	LimitImbalance Limit = "imbalance"
)

// watched are the limits that the water itself may pass, in the order in which they are settled.
var watched = [...]Limit{onLevel: LimitLevel, onBand: LimitBand, onEC: LimitEC, onPH: LimitPH, onAmmonium: LimitAmmonium, onAmmonia: LimitAmmonia,
	onNitrate: LimitNitrate, onPotassium: LimitPotassium, onCalcium: LimitCalcium, onSodium: LimitSodium, onChloride: LimitChloride,
	onSulfate: LimitSulfate, onBlind: LimitBlind, onImbalance: LimitImbalance}

// Where each stands in watched.
const (
	onLevel = iota
	onBand
	onEC
	onPH
	onAmmonium
	onAmmonia
	onNitrate
	onPotassium
	onCalcium
	onSodium
	onChloride
	onSulfate
	onBlind
	onImbalance
)

// bounds are the ends of a limit; those that it has not lie infinitely far off.
type bounds struct {
	stopBelow, actBelow, goodFrom, goodTo, actAbove, stopAbove float64
	source                                                     source.ID
}

// readLimits reads a table with the columns of limits.csv.
func readLimits(file, text string) (map[Limit]bounds, finding.Faults) {
	out := map[Limit]bounds{}
	faults := table.Read(file, text, func(r *table.Row) {
		end := func(column string, none float64) float64 {
			if r.Text(column) == "" {
				return none
			}
			return r.Number(column, 0, 1000)
		}
		low, high := math.Inf(-1), math.Inf(1)
		b := bounds{stopBelow: end("stop_below", low), actBelow: end("act_below", low), goodFrom: end("good_from", low),
			goodTo: end("good_to", high), actAbove: end("act_above", high), stopAbove: end("stop_above", high), source: r.Source("source")}
		out[Limit(r.Need("what"))] = b
	})
	return out, faults
}

// limits are the embedded ones. One that cannot be read is a mistake of ours.
var limits = sync.OnceValue(func() map[Limit]bounds { return table.Must(readLimits("limits.csv", limitsText)) })

// times scales a limit whose figures are shares.
func (b bounds) times(low, high float64) bounds {
	b.stopBelow, b.actBelow, b.goodFrom = b.stopBelow*low, b.actBelow*low, b.goodFrom*low
	b.goodTo, b.actAbove, b.stopAbove = b.goodTo*high, b.actAbove*high, b.stopAbove*high
	return b
}

// mild is between what a figure costs nothing, as nearly all do.
type mild struct{ from, to float64 }

// mild works it out.
func (b *bounds) mild() mild {
	out := mild{max(b.actBelow, b.stopBelow), min(b.actAbove, b.stopAbove)}
	if !math.IsInf(b.actBelow, 0) {
		out.from = max(out.from, b.goodFrom)
	}
	if !math.IsInf(b.actAbove, 0) {
		out.to = min(out.to, b.goodTo)
	}
	return out
}

// What a day outside costs (reference methods, section 12: judgement); in amber it rises from nothing.
const (
	costStop  = 10.0
	costAct   = 3.0
	costAmber = 1.0
)

// side says on which side of a limit something lies: -1 below where to act, 1 above, 0 between.
func (b *bounds) side(x float64) int {
	switch {
	case x < b.actBelow || x < b.stopBelow:
		return -1
	case x > b.actAbove || x > b.stopAbove:
		return 1
	}
	return 0
}

// stops says whether it cannot wait.
func (b *bounds) stops(x float64) bool { return x < b.stopBelow || x > b.stopAbove }

// cost gives what a day there costs.
func (b *bounds) cost(x float64) float64 {
	switch {
	case b.stops(x):
		return costStop
	case b.side(x) != 0:
		return costAct
	case x < b.goodFrom && !math.IsInf(b.actBelow, 0):
		return costAmber * (b.goodFrom - x) / (b.goodFrom - b.actBelow)
	case x > b.goodTo && !math.IsInf(b.actAbove, 0):
		return costAmber * (x - b.goodTo) / (b.actAbove - b.goodTo)
	}
	return 0
}
