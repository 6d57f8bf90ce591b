package plan

import (
	"cmp"
	"slices"
	"strings"

	"raftwright/brief"
	"raftwright/chem"
	"raftwright/cost"
	"raftwright/finding"
	"raftwright/mix"
	"raftwright/source"
	"raftwright/unit"
	"raftwright/usual"
	"raftwright/water"
)

// SaferAcid is what stands on paper in place of a strong acid, where children
// come.
type SaferAcid struct {
	Asked water.Product
	// Dose is that of the safer acid: for the finished mix where there is one, else
	// for the water alone. Nil where none reaches the pH.
	Dose *water.Dose
	// Rain is the share of rain water that does without acid: it leaves as much
	// alkalinity as an acid should; 0 where there is little to take out.
	Rain unit.Fraction
	// Cost and AskedCost are what a fill of the bed takes; zero where the size of
	// the bed is not known.
	Cost, AskedCost cost.Money
}

// strong is what an explicit call gives where a strong acid stays off the paper; nil
// where none does.
type strong struct {
	water *water.Assessment
	mix   *mix.Mix
}

// What is said of an acid that nobody asked for.
const (
	FindAcidProposed finding.ID = "plan.acid_proposed"
	FindAcidBeyond   finding.ID = "plan.acid_beyond" // no mild acid is enough
	FindFeedInstead  finding.ID = "plan.feed_instead"
)

// What is said where a strong acid stays off the paper.
const (
	FindStrongNone  finding.ID = "plan.strong_acid_none"
	FindRainInstead finding.ID = "plan.rain_instead"
	FindSaferCosts  finding.ID = "plan.safer_costs"
)

// Faults of the acid of a brief.
const (
	FaultTwoAcids  finding.ID = "plan.fault.two_acids"
	FaultLabelAcid finding.ID = "plan.fault.label_acid" // a label that does not tell one acid
)

// AssumeLabelAcid stands for the acid that the label of a bottle of pH-down tells.
const AssumeLabelAcid finding.ID = "plan.label_acid"

// Grams of the acid that bring a gram of what the label counts: P2O5 is half a
// mole of it for each mole of phosphorus, nitrogen is that of nitrate (IUPAC
// atomic weights).
var (
	phosphoricOfP2O5 = 2 * water.Phosphoric.MolarMass() / (2*chem.Phosphorus.Weight() + 5*chem.Oxygen.Weight())
	nitricOfN        = water.Nitric.MolarMass() / chem.Nitrogen.Weight()
)

// labelledAcid reads the acid off the label of a bottle of pH-down: one with
// phosphorus alone is phosphoric acid, one with nitrogen alone nitric acid.
func (m *maker) labelledAcid(b brief.Acid) water.Product {
	l := b.Label.Value
	p := m.book.Water.Product(water.Citric, 0) // where there is a fault, so that no other follows from it
	switch {
	case b.Product.Given:
		m.wrong(finding.Fault{ID: FaultTwoAcids, Path: "acid.label"})
	case l.K2O > 0 || l.N > 0 && l.P2O5 > 0 || l.N+l.P2O5 == 0:
		m.wrong(finding.Fault{ID: FaultLabelAcid, Path: "acid.label", Args: finding.Args{"Label": l.String()}})
	case l.P2O5 > 0:
		p = m.book.Water.Product(water.Phosphoric, l.P2O5*unit.Fraction(phosphoricOfP2O5))
	default:
		p = m.book.Water.Product(water.Nitric, l.N*unit.Fraction(nitricOfN))
	}
	m.assume(finding.Assumption{ID: AssumeLabelAcid, Source: ownChoice,
		Args: finding.Args{"Label": l.String(), "Product": p.Word(), "Strength": p.Strength}})
	return p
}

// safer lists what a home with children or a school may handle, the best first:
// crystals that burn nobody, then phosphoric acid as weak as a leaflet allows.
var safer = []struct {
	reagent  water.Reagent
	strength unit.Fraction
}{{water.Citric, 1}, {water.Phosphoric, 0.30}}

// mostSafer is the most of a weak acid that makes sense in a bed (own choice):
// twice what the hardest usual water takes.
const mostSafer = 5 * unit.MillimolePerLitre

// StopPH is where acid by a guess of the water ends, before the feed: powders for
// leaf crops take the pH down by about as much again (own choice).
const StopPH = 6.0

// mild lists the acids that may be proposed here, the best first: what is on the shelf, and
// where no children come phosphoric acid, which microbes leave alone.
func (m *maker) mild() (out []water.Product, there int) {
	for _, p := range safer {
		out = append(out, m.book.Water.Product(p.reagent, p.strength))
	}
	if !m.WithChildren() {
		slices.Reverse(out)
	}
	shelf := m.shelfAcids()
	return append(shelf, out...), len(shelf)
}

// shelfAcids gives the mild acids on the shelf of the brief, as strong as they may be here.
func (m *maker) shelfAcids() []water.Product {
	var out []water.Product
	for _, p := range m.Shelf {
		switch strength := cmp.Or(p.Purity, 1); {
		case strings.HasPrefix(p.Formula, "C6H8O7"):
			out = append(out, m.book.Water.Product(water.Citric, 1))
		case p.Formula == "H3PO4" && (strength <= safer[1].strength || !m.WithChildren() && strength <= mostPhosphoric):
			out = append(out, m.book.Water.Product(water.Phosphoric, strength))
		}
	}
	return out
}

// mostPhosphoric is the strongest phosphoric acid that is sold (85 %).
const mostPhosphoric = 0.86

// tellFeed tells what a feed with ammonium takes out of the water, where neither acid nor
// rain is allowed or enough: a root lets go of one acid for each ammonium that it takes up
// (balance of charges).
func (m *maker) tellFeed() {
	mmol := mix.StandingAmmonium.MilligramsPerLitre() / chem.Nitrogen.Weight()
	m.find(finding.Finding{ID: FindFeedInstead, Act: finding.AtWater, Severity: finding.Note, Figure: mix.StandingAmmonium, Source: "nh4_study",
		Args: finding.Args{"Ammonium": mix.StandingAmmonium, "Takes": water.Alkalinity.Mass(unit.MolarConcentration(mmol) * unit.MillimolePerLitre), "Product": ammoniumFeed}})
}

// ammoniumFeed is a fertilizer of the trade with two fifths of its nitrogen as ammonium.
const ammoniumFeed = "complete fertilizer 20-10-20"

// enough says that so much of a mild acid does it, within what its phosphorus allows.
func enough(d *water.Dose, most unit.MolarConcentration) bool {
	return d != nil && !d.Away && d.Amount > 0 && d.Amount <= most && d.P <= water.MostPhosphorus
}

// proposeAcid takes the mildest acid that does it, where the brief tells of none and
// the water of the bed needs one.
func (m *maker) proposeAcid() {
	plain := m.Water
	if plain == nil || !plain.NeedsAcid() {
		return
	}
	alkalinity := water.Alkalinity.Mass(unit.MolarConcentration(plain.Alkalinity))
	mild, there := m.mild()
	for i, p := range mild {
		a := plain.With(water.Want{Product: p, PH: usual.PH})
		if a.Acid != nil && a.Acid.Away { // its gas holds the pH down, until it has left
			return
		}
		if !enough(a.Acid, mostProposed) {
			continue
		}
		m.Proposed = a.Acid
		m.find(finding.Finding{ID: FindAcidProposed, Act: finding.AtWater, Severity: finding.Caution, Figure: a.Acid.Amount, Source: "umassalkalinity",
			Mend: to("acid.product", writtenAcid(p)),
			Args: finding.Args{"Product": p.Word(), "Alkalinity": alkalinity, "PH": usual.PH, "Stop": StopPH, "Guess": plain.Guess(), "There": i < there, "Typical": plain.Standing(water.Alkalinity) == water.Guessed, "Kind": plain.Kind().Word()}})
		m.find(a.Findings[len(plain.Findings):]...)
		m.assume(finding.Assumption{ID: AssumeAcidTarget, Args: finding.Args{"PH": usual.PH}, Source: source.CommonPractice}, finding.Assumption{ID: AssumeAcidClosed, Source: ownChoice})
		if p.Reagent == water.Citric {
			m.tellRain(plain)
		}
		return
	}
	m.find(finding.Finding{ID: FindAcidBeyond, Act: finding.AtWater, Severity: finding.Caution, Figure: alkalinity, Source: "umassalkalinity",
		Args: finding.Args{"Alkalinity": alkalinity, "Share": 1 - unit.Fraction(water.KeptAlkalinity/alkalinity)}})
	m.tellFeed()
}

// FindAcidToBuy is a mix that stays sour enough for no leaf crop because its brief allows no acid.
const FindAcidToBuy finding.ID = "plan.acid_to_buy"

// tellAcidToBuy names the acid that a hard water without one would take, and how much: the
// mildest that does it in the finished mix.
func (m *maker) tellAcidToBuy() {
	day := m.Mix.Meters.Day.PH
	if m.volume <= 0 || !m.Water.NeedsAcid() || max(m.Mix.PH, day) <= mix.MostWellPH {
		return
	}
	k, err := chem.At(usual.Warmth)
	if err != nil { // the mix was worked out there
		return
	}
	mild, _ := m.mild()
	for _, p := range mild {
		d, err := water.DoseFor(k, m.Mix.Ions(), water.Want{Product: p, PH: usual.PH})
		if err != nil || !enough(&d, mostSafer) {
			continue
		}
		args := finding.Args{"Product": p.Word(), "PH": max(m.Mix.PH, day), "Goal": usual.PH, "Amount": any(d.Mass.In(m.volume))}
		if !p.Solid() {
			args["Amount"] = unit.Volume(d.Volume) * m.volume
		}
		m.find(finding.Finding{ID: FindAcidToBuy, Act: finding.AtMix, Severity: finding.Caution, Hurts: finding.Harvest, Figure: d.Amount, Source: "umassalkalinity",
			Paths: paths("acid.product"), Mend: to("acid.product", writtenAcid(p)), Args: args})
		return
	}
}

// writtenAcid writes an acid as a brief does.
func writtenAcid(p water.Product) string {
	if p.Solid() {
		return p.Reagent.String()
	}
	return brief.AcidProduct{Name: brief.AcidName(p.Reagent.String()), Strength: p.Strength}.String()
}

// PouredAcid gives what of the acid goes into the finished mix: its dose (0 where there is
// none), and its product as a brief writes it where that is not the acid that the brief
// names: one that was proposed, or a mild one in place of a strong one.
func (p Plan) PouredAcid() (product string, dose unit.MolarConcentration) {
	d := p.PrintedAcid()
	if d == nil || d.Away || p.Mix == nil || p.Mix.Acid.Dose <= 0 {
		return "", 0
	}
	if p.Bottle == nil || *p.Bottle != d.Want.Product {
		product = writtenAcid(d.Want.Product)
	}
	return product, p.Mix.Acid.Dose
}

// takesNoAcid says that the feed alone takes the pH as low as it should be, now and after a
// day in the air, so that nobody has to handle any.
func (p Plan) takesNoAcid() bool {
	return p.Mix != nil && p.Mix.Acid.Name != "" && p.Mix.Acid.Dose <= 0 && p.Mix.Meters.Drift() <= 0
}

// tellRain tells how much rain water does without acid, where the acid is against
// hard water that somebody tested.
func (m *maker) tellRain(a *water.Assessment) unit.Fraction {
	alkalinity := water.Alkalinity.Mass(unit.MolarConcentration(a.Alkalinity))
	if a.Guess() || alkalinity <= water.KeptAlkalinity {
		return 0
	}
	share := 1 - unit.Fraction(water.KeptAlkalinity/alkalinity)
	m.find(finding.Finding{ID: FindRainInstead, Act: finding.AtWater, Severity: finding.Note, Figure: share, Source: "umassalkalinity",
		Args: finding.Args{"Share": share, "Keep": water.KeptAlkalinity, "Calcium": water.Calcium.Mass(a.Solution.Totals.Ca * unit.MolarConcentration(1-share))}})
	return share
}

// mostProposed is the most of an acid that is proposed unasked: what the hardest usual
// water takes (own choice).
const mostProposed = mostSafer / 2

// saferAcid assesses the water with what may be printed in place of a strong acid,
// and without any where none reaches the pH.
func (m *maker) saferAcid(j water.Job) *water.Assessment {
	for _, p := range safer {
		want := *j.Acid
		want.Product, want.Dose = j.Book.Product(p.reagent, p.strength), 0 // what was given is of the other
		a, faults := water.Assess(water.Job{Test: j.Test, Book: j.Book, Acid: &want})
		if faults == nil && a.Acid != nil && (enough(a.Acid, mostSafer) || a.Acid.Amount == 0 && !a.Acid.Away) {
			return &a
		}
	}
	a, faults := water.Assess(water.Job{Test: j.Test, Book: j.Book})
	if faults != nil { // the asked one was assessed just before, so this cannot be
		return nil
	}
	return &a
}

// tellSafer says what is used for the water in place of the strong acid.
func (m *maker) tellSafer() {
	if m.strong.water != nil {
		m.Safer = m.saferFor(m.Water.Acid, *m.strong.water.Acid)
	}
}

// tellSaferMix says the same for the finished mix: the feed takes a part of the work.
func (m *maker) tellSaferMix() {
	if m.strong.water == nil {
		return
	}
	dose, asked := m.Water.Acid, *m.strong.water.Acid
	if dose != nil {
		used := dose.Scaled(m.Mix.Acid.Dose)
		dose, asked = &used, asked.Scaled(m.strong.mix.Acid.Dose)
	}
	m.saferFor(dose, asked)
}

// saferFor tells what stands in place of a strong acid, and what that costs.
func (m *maker) saferFor(dose *water.Dose, asked water.Dose) *SaferAcid {
	s := &SaferAcid{Asked: asked.Want.Product, Dose: dose}
	s.Rain = m.tellRain(m.strong.water)
	args := finding.Args{"Product": s.Asked.Word()}
	if d := s.Dose; d == nil {
		m.find(finding.Finding{ID: FindStrongNone, Act: finding.AtWater, Severity: finding.Caution, Hurts: finding.Person, Args: args, Source: "umassalkalinity"})
		m.tellFeed()
	} else {
		each := 100 * unit.Gallon
		if m.Metric() {
			each = 100 * unit.Litre
		}
		args["Safer"], args["Volume"] = d.Want.Product.Word(), each
		args["Dose"] = any(d.Mass.In(each))
		if !d.Want.Product.Solid() {
			args["Dose"] = unit.Volume(d.Volume) * each
		}
		m.find(finding.Finding{ID: FindStrongAcid, Act: finding.AtWater, Severity: finding.Caution, Hurts: finding.Person, Args: args, Figure: d.Amount, Source: "umassalkalinity"})
		if m.volume > 0 {
			s.Cost, s.AskedCost = m.acidCost(d, m.volume), m.acidCost(&asked, m.volume)
			if s.Cost.Currency != "" && s.AskedCost.Currency != "" {
				m.find(finding.Finding{ID: FindSaferCosts, Act: finding.AtWater, Severity: finding.Note, Figure: s.Cost, Source: "umassalkalinity",
					Args: finding.Args{"Safer": d.Want.Product.Word(), "Cost": s.Cost, "Asked": s.AskedCost, "Product": s.Asked.Word(), "Volume": m.volume}})
			}
		}
	}
	return s
}

// acidCost prices the acid of one fill by the price book; no money where it has none.
func (m *maker) acidCost(d *water.Dose, v unit.Volume) cost.Money {
	key, _, quantity := acidNeed(d, v)
	p, _, _ := m.prices.Find(key...)
	return p.Amount.Times(quantity)
}

// acidNeed gives the price names, the unit and the quantity of an acid for a
// volume of water.
func acidNeed(d *water.Dose, v unit.Volume) (keys []string, per string, quantity float64) {
	keys = []string{d.Want.Product.Reagent.String() + " acid", "acid"}
	if d.Want.Product.Solid() {
		return keys, "kilogram", d.Mass.In(v).Kilograms()
	}
	return keys, "litre", float64(d.Volume) * v.Litres()
}

// AsAsked gives the plan with the acid that was asked for, and with the working of a
// recipe as found. A plan by itself is what may be printed: where children come, no
// dose of a strong acid or base is in it, neither in the card, the order of mixing
// and the shopping list, nor in the working. What this gives is for whoever asked for
// that dose, and never for paper.
func (p Plan) AsAsked() Plan {
	if w := p.strong.water; w != nil {
		p.Water = w
	}
	if x := p.strong.mix; x != nil {
		p.Mix = x
	}
	if f := p.Found; f != nil && f.quiet {
		all := *f
		all.quiet = false
		p.Found = &all
	}
	return p
}
