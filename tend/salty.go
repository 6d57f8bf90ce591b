package tend

import (
	"raftwright/finding"
)

// FindSalty tells that the fill water itself holds so much of a salt that emptying the bed does not bring it down.
const FindSalty finding.ID = "tend.salty"

// climbs is how many times what the fill water holds of a salt a bed may hold before it is emptied for it, where that is more than the limit: water of that source cannot
// do better than once, and to half as much again most growers come in a crop (own judgement).
const climbs = 1.5

// salts are the limits of what comes with the water and stays.
var salts = [...]Limit{LimitSodium, LimitChloride, LimitSulfate}

// soften raises the limit of a salt of which the fill water brings nearly as much by itself.
func (a *adviser) soften(l Limit, b bounds) bounds {
	if has := a.h.saltOf(l); has*climbs > b.actAbove {
		b.goodTo, b.actAbove = max(b.goodTo, has*(1+climbs)/2), has*climbs
	}
	return b
}

// saltOf gives what the fill water holds of a salt, mg/L.
func (h *history) saltOf(l Limit) float64 {
	switch l {
	case LimitSodium:
		return h.source[sodium] * weight[sodium]
	case LimitChloride:
		return h.source[chloride] * weight[chloride]
	case LimitSulfate:
		return h.source[sulfate] * sulfateWeight
	}
	return 0
}

// salty tells of each such salt.
func (t *Tending) salty(h *history) {
	for _, l := range salts {
		b := limits()[l]
		if has := h.saltOf(l); has*climbs > b.actAbove {
			t.Findings = append(t.Findings, finding.Finding{ID: FindSalty, Severity: finding.Caution, Figure: milligrams(has), Source: b.source,
				Args: finding.Args{"Salt": finding.Word("tend.salt." + string(l)), "Has": milligrams(has), "End": milligrams(b.actAbove), "Over": has > b.actAbove}})
		}
	}
}
