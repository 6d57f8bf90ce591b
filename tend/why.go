package tend

import (
	"math"

	"raftwright/finding"
	"raftwright/source"
	"raftwright/unit"
)

// Why something is to be done. The figures: Now what the bed is thought to hold, End what it should be kept from.
const (
	WhyNothing    finding.ID = "tend.why.nothing"
	WhyLevel      finding.ID = "tend.why.level"
	WhyMark       finding.ID = "tend.why.mark"
	WhyWeak       finding.ID = "tend.why.weak"
	WhyStrong     finding.ID = "tend.why.strong"
	WhyWeakSoon   finding.ID = "tend.why.weak_soon"
	WhyStrongSoon finding.ID = "tend.why.strong_soon"
	WhySour       finding.ID = "tend.why.sour"
	WhySharp      finding.ID = "tend.why.alkaline"
	WhySourSoon   finding.ID = "tend.why.sour_soon"
	WhySharpSoon  finding.ID = "tend.why.alkaline_soon"
	WhySharpMix   finding.ID = "tend.why.alkaline_mix"
	WhyAmmonium   finding.ID = "tend.why.ammonium"
	WhyAmmonia    finding.ID = "tend.why.ammonia"
	WhyNitrogen   finding.ID = "tend.why.nitrogen"
	WhyPotassium  finding.ID = "tend.why.potassium"
	WhyCalcium    finding.ID = "tend.why.calcium"
	WhySodium     finding.ID = "tend.why.sodium"
	WhyChloride   finding.ID = "tend.why.chloride"
	WhySulfate    finding.ID = "tend.why.sulfate"
	WhyBlind      finding.ID = "tend.why.blind"
	WhyImbalance  finding.ID = "tend.why.imbalance"
	WhySlip       finding.ID = "tend.why.slip"
	WhySilent     finding.ID = "tend.why.silent"
	WhyVague      finding.ID = "tend.why.vague"
	WhyLeftOut    finding.ID = "tend.why.left_out"
	WhySums       finding.ID = "tend.why.sums"
	WhyOverSums   finding.ID = "tend.why.over_sums"
	WhyPen        finding.ID = "tend.why.pen"
	WhyUnchecked  finding.ID = "tend.why.unchecked"
	WhySetFirst   finding.ID = "tend.why.set_first"
	WhyApart      finding.ID = "tend.why.apart"
	WhyLeak       finding.ID = "tend.why.leak"
	WhyLeakStill  finding.ID = "tend.why.leak_still"
	WhyMayLeak    finding.ID = "tend.why.may_leak"
	WhyHole       finding.ID = "tend.why.hole"
	WhyDrained    finding.ID = "tend.why.drained"
	WhyLow        finding.ID = "tend.why.low"
	WhyWarm       finding.ID = "tend.why.warm"
	WhyHot        finding.ID = "tend.why.hot"
	WhyCool       finding.ID = "tend.why.cool"
	WhyCold       finding.ID = "tend.why.cold"
	WhyAir        finding.ID = "tend.why.air"
	WhyRoots      finding.ID = "tend.why.roots"
	WhyIfFull     finding.ID = "tend.why.if_full"
	WhyRot        finding.ID = "tend.why.rot"
	WhyRipe       finding.ID = "tend.why.ripe"
	WhyAllRipe    finding.ID = "tend.why.all_ripe"
	WhyEnds       finding.ID = "tend.why.ends"
	WhyFills      finding.ID = "tend.why.fills"
	WhyRim        finding.ID = "tend.why.rim"
	WhyScales     finding.ID = "tend.why.scales"
	WhyDryDays    finding.ID = "tend.why.dry_days"
	WhyRotting    finding.ID = "tend.why.rotting"
	WhyBuyFeed    finding.ID = "tend.why.buy_feed"
	WhyNewMix     finding.ID = "tend.why.new_mix"
	WhyBuy        finding.ID = "tend.why.buy"
	WhyNoAcid     finding.ID = "tend.why.no_acid"
	WhyAskValue   finding.ID = "tend.why.ask"
	WhyAskMissing finding.ID = "tend.why.ask_missing"
)

var whys = map[trouble]finding.ID{
	{LimitLevel, -1}: WhyLevel, {LimitBand, -1}: WhyWeak, {LimitBand, 1}: WhyStrong, {LimitEC, 1}: WhyStrong, {LimitPH, -1}: WhySour, {LimitPH, 1}: WhySharp,
	{LimitAmmonium, 1}: WhyAmmonium, {LimitAmmonia, 1}: WhyAmmonia, {LimitNitrate, -1}: WhyNitrogen, {LimitPotassium, -1}: WhyPotassium,
	{LimitCalcium, -1}: WhyCalcium, {LimitSodium, 1}: WhySodium, {LimitChloride, 1}: WhyChloride, {LimitSulfate, 1}: WhySulfate,
	{LimitBlind, 1}: WhyBlind, {LimitImbalance, 1}: WhyImbalance, {LimitImbalance, -1}: WhyImbalance,
}

// soon are the sentences of what is acted on by its chance, where the likeliest figure is still within its limit.
var soon = map[finding.ID]finding.ID{WhyWeak: WhyWeakSoon, WhyStrong: WhyStrongSoon, WhySour: WhySourSoon, WhySharp: WhySharpSoon}

// limitRoots stands for roots that rot, which no figure tells.
const limitRoots Limit = "roots"

// why gives the sentence of a trouble, its figures and the source of its limit.
func (a *adviser) why(t trouble) (finding.ID, finding.Args, source.ID) {
	switch {
	case t.limit == limitRoots:
		return WhyRoots, nil, source.CommonPractice
	case t.limit == limitRotting:
		return WhyRotting, finding.Args{"Product": a.e.rotting().product}, source.OwnChoice
	case t.limit == LimitLevel && !a.wanted[t]: // filled up for the strength or the pH of it
		if _, strong := a.first(dilutes[:]); !strong {
			return WhyFills, nil, source.CommonPractice
		}
		return WhyMark, nil, source.CommonPractice
	}
	k := indexOf(t.limit)
	p := a.middle.point(&a.middle.water, a.middle.h, pHof(a.middle.h))
	now, b := a.figure(t.limit, &p, a.middle.near), a.bounds[k]
	end := b.actBelow
	if t.side > 0 {
		end = math.Min(b.actAbove, b.stopAbove)
	}
	id := whys[t]
	if t.limit == LimitPH { // as both are printed
		now, end = twentieth(now), twentieth(end)
	}
	if may := soon[id]; may != "" && (now-end)*float64(t.side) <= 0 {
		id = may
	}
	args := finding.Args{"Now": a.h.typed(t.limit, now), "End": a.h.typed(t.limit, end)}
	if id == WhyAmmonium {
		args["Sums"] = !a.has(readAmmonium)
	}
	return id, args, b.source
}

// twentieth rounds a pH as it is printed.
func twentieth(pH float64) float64 { return math.Round(pH*20) / 20 }

// typed gives a limit's figure as a quantity to print.
func (h *history) typed(l Limit, x float64) any {
	switch l {
	case LimitLevel:
		return unit.Length(x/h.area) * unit.Millimetre
	case LimitBand, LimitEC:
		return unit.Conductivity(x) * unit.MillisiemensPerCentimetre
	case LimitPH:
		return twentieth(x)
	case LimitBlind:
		return unit.Fraction(x)
	case LimitImbalance:
		return math.Round(x*10) / 10
	case LimitWarmth:
		return unit.Temperature(x)
	}
	return unit.MassConcentration(x) * unit.MilligramPerLitre
}
