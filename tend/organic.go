package tend

import (
	"math"
	"slices"
	"time"

	"raftwright/bed"
	"raftwright/brief"
	"raftwright/chem"
	"raftwright/finding"
	"raftwright/mix"
	"raftwright/plan"
	"raftwright/source"
	"raftwright/unit"
)

// FindOrganic tells of an organic feed that is in a bed; FindUnlisted of something in a log that stands on no shelf.
const (
	FindOrganic  finding.ID = "tend.organic"
	FindUnlisted finding.ID = "tend.unlisted"
)

// What rots in a bed, and what it takes. Protein (C16H24O5N4, the usual formula of treatment works, from memory) takes 16.5 O2 for its four
// nitrogens, before any ammonium turns; of a feed without nitrogen three tenths are dry, taken as sugar, and a gram of sugar takes 1.07 g (own judgement).
// In a week half of it is gone (own judgement: protein in water of 20 °C in days, scales and bone in weeks).
const (
	oxygenOfDry = 0.3 * 1.07
	halfRotted  = 7.0
)

var oxygenOfProtein = 16.5 * 2 * chem.Oxygen.Weight() / (4 * chem.Nitrogen.Weight())

// Where it is told and where the bed is emptied, mg/L of oxygen that is yet to be taken. Water of 20 °C holds 9.1 mg/L in the air
// (standard tables, from memory). What comes in through the gaps of a covered bed is 0.4 of that a day (the reference methods, section 5, for carbon
// dioxide): what takes more than that in a day leaves none.
const (
	rotTold    = 9.1
	rotEmptied = 0.4 * 9.1 / (math.Ln2 / halfRotted)
)

// limitRotting stands for a feed that rots, which no pen shows.
const limitRotting Limit = "rotting"

// rotting is the organic feed of which something may be left in a bed.
type rotting struct {
	product  string  // of which most is left
	nitrogen float64 // mg/L at most that is still bound in it, or turned since unseen
	oxygen   float64 // mg/L that it takes until it is gone
}

// rotten is a dose of it, mg.
type rotten struct {
	product          string
	nitrogen, oxygen float64
	at               time.Time
}

// rottenOf gives a dose of a product by its place on the shelf.
func (h *history) rottenOf(k int, grams float64, at time.Time) rotten {
	d := rotten{product: h.names[k], nitrogen: 1000 * grams * h.organic[k], oxygen: 1000 * grams * oxygenOfDry, at: at}
	if d.nitrogen > 0 {
		d.oxygen = d.nitrogen * oxygenOfProtein
	}
	return d
}

// rottenIn gives what a dose of the log holds of it; what stands on no shelf goes by its name, and as heavy as water.
func (h *history) rottenIn(d bed.AddedProduct, at time.Time) (rotten, bool) {
	for k, name := range h.names {
		if name == d.Product {
			return h.rottenOf(k, h.grams(k, d.Amount), at), h.rots[k]
		}
	}
	grams := d.Amount.Mass.Grams() + d.Amount.Volume.Millilitres()
	return rotten{product: d.Product, oxygen: 1000 * grams * oxygenOfDry, at: at}, mix.Lived(d.Product)
}

// steeped gives what so much of the mix that was poured brought.
func (h *history) steeped(litres float64, at time.Time) (out []rotten) {
	for k, g := range h.pinned {
		if h.rots[k] && g > 0 {
			out = append(out, h.rottenOf(k, g*litres, at))
		}
	}
	return out
}

// rotting follows what rots from dose to dose. Nothing is taken to leave by a leak or over the sill: it is the most that there may be.
func (e *estimate) rotting() (out rotting) {
	h, moments := e.h, e.best.run.moments
	var in []rotten
	for i := range h.visits {
		v, volume := &h.visits[i], math.Max(1, moments[i].before.volume)
		for _, done := range v.from.Done {
			switch d := done.(type) {
			case bed.Dumped:
				stays := math.Max(0, 1-d.Volume.Litres()/volume)
				for k := range in {
					in[k].nitrogen, in[k].oxygen = in[k].nitrogen*stays, in[k].oxygen*stays
				}
				volume = math.Max(1, volume*stays)
			case bed.Filled:
				in, volume = nil, h.area*h.depth
				if !d.Water {
					in = h.steeped(volume, v.at)
				}
			case bed.AddedWater:
				volume += d.Volume.Litres()
			case bed.AddedSolution:
				volume += d.Volume.Litres()
				in = append(in, h.steeped(d.Volume.Litres()*float64(d.Strength), v.at)...)
			case bed.AddedProduct:
				if x, rots := h.rottenIn(d, v.at); rots {
					in = append(in, x)
				}
			}
		}
	}
	end, now, most := moments[len(moments)-1].before.volume, h.visits[len(h.visits)-1].at, 0.0
	for _, x := range in {
		out.nitrogen += x.nitrogen / math.Max(1, end)
		left := x.oxygen / math.Max(1, end) * math.Exp2(-now.Sub(x.at).Hours()/24/halfRotted)
		if out.oxygen += left; left > most {
			out.product, most = x.product, left
		}
	}
	return out
}

// rots widens what is told by what an organic feed may have given since, which nobody can know, and tells of it.
func (t *Tending) rots(r rotting) {
	if r.oxygen < rotTold {
		return
	}
	for _, s := range [...]Substance{Nitrogen, Ammonium} {
		x := t.State.Holds[s]
		x.High += r.nitrogen
		t.State.Holds[s] = x
	}
	t.Findings = append(t.Findings, finding.Finding{ID: FindOrganic, Severity: finding.Caution, Figure: r.oxygen, Hurts: finding.Harvest, Source: source.OwnChoice,
		Args: finding.Args{"Product": r.product, "Oxygen": milligrams(r.oxygen), "Nitrogen": milligrams(r.nitrogen), "Holds": milligrams(rotTold), "Known": r.nitrogen > 0,
			"Soon": r.oxygen < rotEmptied}})
}

func milligrams(x float64) unit.MassConcentration {
	return unit.MassConcentration(x) * unit.MilligramPerLitre
}

// fouled gives the way out of a bed in which so much rots that roots get no air: all of it goes, and no planned mix that starves is poured after it.
func (a *adviser) fouled() (trial, bool) {
	if a.e.rotting().oxygen < rotEmptied {
		return trial{}, false
	}
	why := trouble{limitRotting, 1}
	a.wanted = map[trouble]bool{why: true}
	r := a.refill(why)
	r.plain = a.h.plan.Starves()
	return a.try(r, 1, math.Inf(1)), true
}

// feedFirst tells what to buy, or to change in the brief, where the bed is filled with plain water since the planned mix feeds no crop.
func (a *adviser) feedFirst() Action {
	out := Action{Do: DoCall, Why: WhyNewMix, Source: source.OwnChoice}
	if b := a.h.plan.Mix.Buy; b != nil && len(b.Goods) > 0 {
		full := a.h.plan.Frame.Volume
		out.Why, out.Product = WhyBuyFeed, b.Goods[0].Product
		out.Args = finding.Args{"First": b.Goods[0].Product, "Amount": unit.Bought(b.Goods[0].Strength.In(full)), "More": len(b.Goods) > 1, "EC": b.Mix.EC}
		if len(b.Goods) > 1 {
			out.Args["Second"], out.Args["Also"] = b.Goods[1].Product, unit.Bought(b.Goods[1].Strength.In(full))
		}
	}
	return out
}

// unlisted tells of what was put in and stands on no shelf: nobody knows what is in it.
func unlisted(p *plan.Plan, v *bed.Visit) (found []finding.Finding) {
	for _, done := range v.Done {
		d, is := done.(bed.AddedProduct)
		if !is || d.Product == bicarbonateOfPotassium || slices.ContainsFunc(p.Shelf, func(m mix.Material) bool { return m.Name == d.Product }) {
			continue
		}
		found = append(found, left(FindUnlisted, v, v.Path.Key("added").Key(d.Product), finding.Args{"Product": d.Product, "Lived": mix.Lived(d.Product)}))
	}
	return found
}

// grams gives the mass of an amount of a product of the shelf: of a powder by level spoons, of a liquid by its density.
func (h *history) grams(k int, a brief.Amount) float64 {
	if a.Volume <= 0 {
		return a.Mass.Grams()
	}
	m := h.plan.Shelf[k]
	if m.Density > 0 {
		return float64(m.Density) * float64(a.Volume) * 1000
	}
	s, _ := m.Spoon()
	return s.Mass.Grams() * float64(a.Volume/unit.Teaspoon)
}
