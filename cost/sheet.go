package cost

import (
	"math"
	"slices"
	"sort"
	"strconv"
	"time"

	"raftwright/finding"
	"raftwright/source"
	"raftwright/unit"
)

// Stale is the age after which a price is flagged (USERS: 180 days; own choice).
const Stale = 180 * 24 * time.Hour

// Need is one thing that a bed wants: how much of it, and how it is bought.
type Need struct {
	// Keys are the names it may be priced under, best first ("2x8x10", then
	// "2x8"). The user's own price of any key beats every assumed one.
	Keys     []string
	Name     finding.Word // what to call it on paper
	Args     finding.Args // figures in the name
	Quantity float64      // how many units are wanted
	Unit     string       // "each", "foot", ...; the unit the quantity is counted in
	PerKey   []float64    // units of Keys[i] in one of Unit (a 10 ft board is 10 of "foot"); nil: all 1
	Pack     float64      // sold in packs of this many units; 0: by the unit
	Fixed    *Money       // the price of one unit is known (bought boards, a priced bag)
	Once     bool         // bought once, not for every crop
	Life     float64      // years; 0 takes the price book's
	Group    string       // heading in the list: "frame", "raft", "liner", "plants", "feed", "tools"
	Mass     unit.Mass    // of what is sold by the pack: how much of it is wanted; 0: it is counted
}

// Line is one line of the shopping list with its price.
type Line struct {
	Need
	Buy       float64 // units bought, whole packs
	UnitPrice Money
	Price     Money
	From      Price // where the price comes from
	Unknown   bool  // no price is known: it counts nothing
	PerCrop   Money // what one crop uses of it: all, or its share of the life
}

// Job says what is to be costed.
type Job struct {
	Needs         []Need
	Book          Book
	Currency      string    // of everything; the caller sees to it
	Rate          Rate      // by which the book's guesses were turned into it; zero: none was needed or given
	Day           time.Time // the day the plan starts, for stale prices; zero: unknown
	On            time.Time // the day of the fixed prices; zero: unknown
	Place         string    // where the fixed prices were seen
	Heads         int       // planted in a crop, all beds
	Sold          unit.Fraction
	CropsPerYear  float64
	HeadPrice     *Money // what a head brings; nil: not known
	LaborRate     *Money // an hour's pay; nil: labour is not counted
	LaborPerCrop  unit.Duration
	LaborToBuild  unit.Duration
	PerCropExtras []Need // running costs that are no shopping: power, water
}

// Sheet is the whole reckoning.
type Sheet struct {
	Lines        []Line
	FirstCost    Money // everything bought once, and the labour to build
	CashPerCrop  Money // what must be paid for each crop, labour included
	PerCrop      Money // cash and the share of the lasting parts
	PerHead      Money // PerCrop over the heads planted
	BreakEven    Money // PerCrop over the heads sold: the price at which nothing is lost
	HeadsSold    float64
	PaybackCrops float64 // crops until the first cost is earned back; +Inf: never, or a price that it takes is not known
	Unpriced     int     // lines without a price, which the sums leave out
	HeadPrice    *Money
	Labor        Money // a crop's labour
	Findings     []finding.Finding
	Assumptions  []finding.Assumption
	job          Job
}

// Findings and assumptions of the room.
const (
	FindStale      finding.ID = "cost.stale"
	FindUndated    finding.ID = "cost.undated"
	FindUnused     finding.ID = "cost.unused_price"
	FindNoRate     finding.ID = "cost.no_rate"
	FindOldRate    finding.ID = "cost.old_rate"
	FindLoss       finding.ID = "cost.loss"
	AssumePrices   finding.ID = "cost.assumed_prices"
	AssumeRate     finding.ID = "cost.rate"
	AssumeNoLabor  finding.ID = "cost.no_labor"
	AssumeLabor    finding.ID = "cost.labor_hours"
	AssumeSold     finding.ID = "cost.sold_share"
	AssumeLifespan finding.ID = "cost.lifespan"
)

// Reckon prices the needs and draws up the sheet. It never fails: a need
// without any price is listed at nothing and said.
func Reckon(j Job) Sheet {
	s := Sheet{job: j, HeadPrice: j.HeadPrice}
	for _, m := range []*Money{&s.FirstCost, &s.CashPerCrop, &s.PerCrop, &s.Labor} {
		m.Currency = j.Currency
	}
	for _, n := range slices.Concat(j.Needs, j.PerCropExtras) {
		s.Lines = append(s.Lines, price(n, j))
	}
	if j.LaborRate != nil {
		s.Lines = append(s.Lines, price(j.work("need.labor_build", j.LaborToBuild, true), j), price(j.work("need.labor_crop", j.LaborPerCrop, false), j))
		s.Labor = s.Lines[len(s.Lines)-1].Price
	}
	for _, l := range s.Lines {
		if l.Once {
			s.FirstCost = s.FirstCost.Add(l.Price)
		} else {
			s.CashPerCrop = s.CashPerCrop.Add(l.Price)
		}
		s.PerCrop = s.PerCrop.Add(l.PerCrop)
		if l.Unknown {
			s.Unpriced++
		}
	}
	s.HeadsSold = float64(j.Heads) * float64(j.Sold)
	s.PerHead = s.PerCrop.Over(float64(j.Heads))
	s.BreakEven = s.PerCrop.Over(s.HeadsSold)
	s.PaybackCrops = math.Inf(1)
	if j.HeadPrice != nil && s.Unpriced == 0 {
		if gain := j.HeadPrice.Times(s.HeadsSold).Sub(s.CashPerCrop); gain.Amount > 0 {
			s.PaybackCrops = s.FirstCost.Float() / gain.Float()
		}
	}
	s.tell()
	return s
}

// Work is the heading that labor stands under.
const Work = "work"

// work is labor as a line of the list. What it takes to build is spread over the
// years that the boards last.
func (j Job) work(name finding.Word, takes unit.Duration, once bool) Need {
	n := Need{Name: name, Quantity: takes.Hours(), Unit: "hour", Fixed: j.LaborRate, Once: once, Group: Work}
	if once {
		n.Life = j.Book.Life("2x8")
	}
	return n
}

// price finds the price of a need: fixed, the user's own, or assumed.
func price(n Need, j Job) Line {
	l := Line{Need: n, Buy: n.Quantity}
	if n.Pack > 0 {
		l.Buy = math.Ceil(n.Quantity/n.Pack-1e-9) * n.Pack
	}
	for _, k := range n.Keys {
		if l.Life == 0 {
			l.Life = j.Book.Life(k)
		}
	}
	if n.Fixed != nil {
		l.UnitPrice, l.From = *n.Fixed, Price{Amount: *n.Fixed, Own: true, On: j.On, Place: j.Place}
	} else if p, i, ok := j.Book.Find(n.Keys...); ok {
		l.UnitPrice, l.From = p.Amount, p
		if p.Unit != "" && i < len(n.PerKey) { // "1.15 USD/ft" is for a foot; a bare price is for the thing as it is sold
			l.UnitPrice = p.Amount.Times(n.PerKey[i])
		}
	} else {
		l.UnitPrice.Currency = j.Currency
		l.Unknown = true
	}
	l.Price = l.UnitPrice.Times(l.Buy).Rounded()
	l.PerCrop = l.Price
	if n.Once {
		l.PerCrop = Money{Currency: l.Price.Currency}
		if l.Life > 0 && j.CropsPerYear > 0 {
			l.PerCrop = l.Price.Over(l.Life * j.CropsPerYear)
		}
	}
	return l
}

// tell adds the findings and the assumptions.
func (s *Sheet) tell() {
	j := s.job
	assumed, undated, year := 0, 0, 0
	oldest, place := time.Time{}, ""
	for _, l := range s.Lines {
		switch {
		case l.Unknown || l.Group == Work:
		case !l.From.Own:
			assumed++
			year = max(year, l.From.Year)
		case l.From.On.IsZero():
			undated++
		case oldest.IsZero() || l.From.On.Before(oldest):
			oldest, place = l.From.On, l.From.Place
		}
	}
	if assumed > 0 {
		s.Assumptions = append(s.Assumptions, finding.Assumption{ID: AssumePrices, Args: finding.Args{"Count": assumed, "Year": year}, Source: source.FromMemory})
	}
	if !oldest.IsZero() && !j.Day.IsZero() && j.Day.Sub(oldest) > Stale {
		s.Findings = append(s.Findings, finding.Finding{ID: FindStale, Severity: finding.Caution, Hurts: finding.Purse,
			Args: finding.Args{"On": oldest, "Place": place, "Days": int(j.Day.Sub(oldest).Hours() / 24)}, Source: source.OwnChoice})
	}
	if undated > 0 {
		s.Findings = append(s.Findings, finding.Finding{ID: FindUndated, Severity: finding.Note, Args: finding.Args{"Count": undated}, Source: source.OwnChoice})
	}
	s.tellRate()
	unused := j.Book.Unused(append(append([]Need{}, j.Needs...), j.PerCropExtras...))
	names := make([]string, 0, len(unused))
	for n := range unused {
		names = append(names, n)
	}
	sort.Strings(names)
	for _, n := range names {
		s.Findings = append(s.Findings, finding.Finding{ID: FindUnused, Severity: finding.Note,
			Args: finding.Args{"Name": n, "Near": unused[n]}, Source: source.OwnChoice})
	}
	if j.LaborRate == nil {
		s.Assumptions = append(s.Assumptions, finding.Assumption{ID: AssumeNoLabor, Source: source.OwnChoice})
	} else {
		s.Assumptions = append(s.Assumptions, finding.Assumption{ID: AssumeLabor,
			Args: finding.Args{"Crop": j.LaborPerCrop, "Build": j.LaborToBuild}, Source: source.CommonPractice})
	}
	if j.Sold > 0 {
		s.Assumptions = append(s.Assumptions, finding.Assumption{ID: AssumeSold, Args: finding.Args{"Share": j.Sold}, Source: source.CommonPractice})
	}
	s.Assumptions = append(s.Assumptions,
		finding.Assumption{ID: AssumeLifespan, Args: finding.Args{"Crops": j.CropsPerYear}, Source: "lifetimes"})
	if j.HeadPrice != nil && s.Unpriced == 0 && math.IsInf(s.PaybackCrops, 1) {
		s.Findings = append(s.Findings, finding.Finding{ID: FindLoss, Severity: finding.Caution, Hurts: finding.Purse,
			Args:   finding.Args{"Price": *j.HeadPrice, "BreakEven": s.BreakEven},
			Figure: s.BreakEven, Source: source.CommonPractice})
	}
}

// tellRate says by which rate the guesses were turned, or that none leads to the
// currency of the plan.
func (s *Sheet) tellRate() {
	j := s.job
	if s.Unpriced > 0 {
		s.Findings = append(s.Findings, finding.Finding{ID: FindNoRate, Severity: finding.Caution, Hurts: finding.Purse, Figure: s.Unpriced, Source: source.OwnChoice, Paths: []finding.Path{"prices.rate"},
			Args: finding.Args{"Count": s.Unpriced, "Currency": j.Currency, "Tabled": Tabled}})
	}
	if j.Currency == Tabled || !j.Book.Guesses() {
		return
	}
	s.Assumptions = append(s.Assumptions, finding.Assumption{ID: AssumeRate, Path: "prices.items", Source: source.Given,
		Args: finding.Args{"Paid": strconv.FormatFloat(j.Rate.Paid.Float(), 'f', -1, 64), "Currency": j.Rate.Paid.Currency, "For": j.Rate.For, "Tabled": Tabled, "On": j.Rate.On}})
	if on := j.Rate.On; !on.IsZero() && !j.Day.IsZero() && j.Day.Sub(on) > Stale {
		s.Findings = append(s.Findings, finding.Finding{ID: FindOldRate, Severity: finding.Caution, Hurts: finding.Purse, Source: source.OwnChoice, Paths: []finding.Path{"prices.rate"},
			Args: finding.Args{"On": on, "Days": int(j.Day.Sub(on).Hours() / 24)}})
	}
}

// Working shows how the figures of the sheet came to be.
func (s Sheet) Working() []finding.Step {
	c := s.FirstCost.Currency
	in := func(sym string, m Money) finding.Input {
		return finding.Input{Symbol: sym, Value: m.Float(), Unit: c}
	}
	var once, build, used, share Money
	for _, l := range s.Lines {
		switch {
		case l.Once && l.Group == Work:
			build, share = build.Add(l.Price), share.Add(l.PerCrop)
		case l.Once:
			once, share = once.Add(l.Price), share.Add(l.PerCrop)
		case l.Group != Work:
			used = used.Add(l.Price)
		}
	}
	heads := finding.Input{Symbol: "n", Value: float64(s.job.Heads), Unit: "heads"}
	step := func(symbol, name, formula string, value Money, inputs ...finding.Input) finding.Step {
		return finding.Step{Symbol: symbol, Name: name, Formula: formula, Inputs: inputs, Value: value.Float(), Unit: c, Source: source.CommonPractice}
	}
	sold := finding.Input{Symbol: "s", Value: float64(s.job.Sold), Unit: "1"}
	steps := []finding.Step{
		step("C1", "work.cost.first", "C1 = O + B", s.FirstCost, in("O", once), in("B", build)),
		step("Cc", "work.cost.crop", "Cc = U + L + S", s.PerCrop, in("U", used), in("L", s.Labor), in("S", share)),
		step("Ch", "work.cost.head", "Ch = Cc / n", s.PerHead, in("Cc", s.PerCrop), heads),
		step("Pb", "work.cost.break_even", "Pb = Cc / (n x s)", s.BreakEven, in("Cc", s.PerCrop), heads, sold),
	}
	if s.HeadPrice != nil && !math.IsInf(s.PaybackCrops, 0) {
		back := step("N", "work.cost.payback", "N = C1 / (n x s x P - M)", Money{}, in("C1", s.FirstCost), heads, sold, in("P", *s.HeadPrice), in("M", s.CashPerCrop))
		back.Value, back.Unit = s.PaybackCrops, "crops"
		steps = append(steps, back)
	}
	return steps
}
