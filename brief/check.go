package brief

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"raftwright/unit"
)

func sortFaults(list []fault) {
	slices.SortStableFunc(list, func(a, b fault) int {
		return cmp.Or(cmp.Compare(a.at.Line, b.at.Line), cmp.Compare(a.at.Column, b.at.Column))
	})
}

// check finds what is wrong between values that are each well written.
func check(r *reader) {
	r.checkSite()
	r.checkBed()
	r.checkShelf()
	r.checkFeed()
	r.checkSchedule()
	r.checkMoney()
	r.checkCut()
	r.checkLog()
}

func (r *reader) checkSite() {
	site := &r.brief.Site
	if len(site.Months) > 0 && len(site.Climate) > 0 {
		r.fault(site.Months[0].At, "site has both climate files and months", "keep the one that is meant for this place")
		return
	}
	if len(site.Months) > 0 {
		r.checkMonths(site.Months)
	}
}

func (r *reader) checkMonths(months []Month) {
	at := months[0].At
	if len(months) != 12 {
		r.fault(at, fmt.Sprintf("site.months has %d months", len(months)), "give all twelve, from month: 1 to month: 12")
	}
	inOrder := !slices.ContainsFunc(months, func(m Month) bool { return m.Month.At.Line != 0 })
	var seen [13]Place
	for i := range months {
		m := &months[i]
		if inOrder && i < 12 {
			m.Month = Field[int]{i + 1, true, m.At}
		}
		switch {
		case m.Month.At.Line == 0:
			r.fault(m.At, "this month has no number", "add month: 1 for January to month: 12 for December, or leave it out of all twelve")
		case m.Month.Given && seen[m.Month.Value].Line != 0:
			r.fault(m.Month.At, fmt.Sprintf("month %d is given twice, first on line %d", m.Month.Value, seen[m.Month.Value].Line), "give each of the twelve months once")
		case m.Month.Given:
			seen[m.Month.Value] = m.At
		}
		r.checkMonth(m)
	}
}

func (r *reader) checkMonth(m *Month) {
	if m.Tmax.Given && m.Tmin.Given && m.Tmax.Value < m.Tmin.Value {
		r.fault(m.Tmax.At, fmt.Sprintf("tmax %.1f C is colder than tmin %.1f C", m.Tmax.Value, m.Tmin.Value), "swap them: tmax is the daily high, tmin the daily low")
	}
	if m.Dewpoint.Given && m.Tmax.Given && m.Dewpoint.Value > m.Tmax.Value {
		r.fault(m.Dewpoint.At, fmt.Sprintf("dewpoint %.1f C is warmer than tmax %.1f C", m.Dewpoint.Value, m.Tmax.Value), "the dew point is at most the temperature of the air")
	}
}

func (r *reader) checkBed() {
	bed := &r.brief.Bed
	vessel := bed.Vessel.Value
	if !bed.Vessel.Given {
		vessel = Frame
		if bed.Diameter.Given || r.brief.Raft.Diameter.Given {
			vessel = Round
		}
	}
	long := []struct {
		key string
		f   Field[unit.Length]
		is  Vessel // the vessel that has it, "" for all but round
	}{
		{"length", bed.Length, ""}, {"width", bed.Width, ""}, {"diameter", bed.Diameter, Round}, {"base diameter", bed.BaseDiameter, Round},
		{"base length", bed.BaseLength, Tub}, {"base width", bed.BaseWidth, Tub},
	}
	for _, l := range long {
		switch {
		case !l.f.Given || l.is == vessel || l.is == "" && vessel != Round:
		case vessel == Round:
			r.fault(l.f.At, "a round vessel has no "+l.key, "give diameter in place of length and width, or write vessel: frame or vessel: tub")
		case l.is == Round:
			r.fault(l.f.At, fmt.Sprintf("a %s has no %s", vessel, l.key), "give length and width, or write vessel: round")
		default:
			r.fault(l.f.At, fmt.Sprintf("a %s has no %s", vessel, l.key), "only a tub has a base of its own size; write vessel: tub or leave the line out")
		}
	}
	if bed.Space.Given && (bed.Length.Given || bed.Width.Given || bed.Diameter.Given) {
		r.fault(bed.Space.At, "bed has both its own size and the space to fit it in", "keep space and leave the size out, or the other way round")
	}
	raft := &r.brief.Raft
	if raft.Sheet.Given && raft.Diameter.Given {
		r.fault(raft.Diameter.At, "raft has both a sheet and a diameter", "keep sheet for a rectangular raft, diameter for a round one")
	}
	if raft.NurserySpacing.Given && raft.Spacing.Given && raft.NurserySpacing.Value > raft.Spacing.Value {
		r.fault(raft.NurserySpacing.At, "nursery spacing is wider than spacing", "young plants stand closer; swap the two if they are mixed up")
	}
	if raft.Pot.Rim.Given && raft.Hole.Given && raft.Pot.Rim.Value <= raft.Hole.Value {
		r.fault(raft.Pot.Rim.At, "the rim of the pot is no wider than the hole, so the pot falls through", "give a rim wider than the hole")
	}
}

func (r *reader) checkShelf() {
	seen := map[string]Place{}
	for i := range r.brief.Shelf {
		p := &r.brief.Shelf[i]
		if name := strings.ToLower(p.Name.Value); p.Name.Given {
			if first, twice := seen[name]; twice {
				r.fault(p.Name.At, fmt.Sprintf("shelf has two products called %q, the first on line %d", clip(p.Name.Value), first.Line), "give each product a name of its own")
			} else {
				seen[name] = p.Name.At
			}
		}
		r.checkProduct(p)
	}
}

func (r *reader) checkProduct(p *Product) {
	contents := p.Contents.Each()
	switch {
	case p.Label.Given && p.Formula.Given:
		r.fault(p.Formula.At, "this product has a label and a formula", "keep the label of a mixed fertiliser, or the formula of a single salt")
	case p.Purity.Given && !p.Formula.Given && p.Formula.At.Line == 0:
		r.fault(p.Purity.At, "purity goes with a formula, and there is none", "add the formula, or leave purity out")
	}
	var sum, nitrogen unit.Fraction
	for _, c := range contents {
		if c.Name == "chelated iron" {
			continue // a part of the iron
		}
		sum += c.Value
		if strings.HasSuffix(c.Name, "-n") {
			nitrogen += c.Value
		}
	}
	const rounding = 0.006 // three forms, each rounded to 0.1 or 0.2 %
	if p.Label.Given && nitrogen > p.Label.Value.N+rounding {
		r.fault(p.Label.At, fmt.Sprintf("the label has %.3g %% nitrogen, its forms add to %.3g %%", p.Label.Value.N.Percents(), nitrogen.Percents()),
			"nitrate-n, ammonium-n and urea-n add to the first number of the label")
	}
	if sum > 1+rounding {
		r.fault(p.At, fmt.Sprintf("the shares of this product add to %.4g %%", sum.Percents()), "they are percent of the mass and add to at most 100")
	}
}

// longestSeason bounds a schedule; the plan goes through it day by day.
const longestSeason = 3 * 366 * 24 * time.Hour

func (r *reader) checkSchedule() {
	s := &r.brief.Schedule
	if first, last := s.FirstHarvest, s.LastHarvest; first.Given && last.Given {
		switch span := last.Value.Time().Sub(first.Value.Time()); {
		case span < 0:
			r.fault(last.At, fmt.Sprintf("last harvest %v is before first harvest %v", last.Value, first.Value), "swap them")
		case span > longestSeason:
			r.fault(last.At, fmt.Sprintf("from %v to %v is more than three years", first.Value, last.Value), "plan one season at a time")
		}
	}
	if s.HeadsPerWeek.Given && s.People.Given {
		r.fault(s.People.At, "schedule has both people and heads per week", "keep the one that is sure")
	}
	for _, b := range s.Breaks {
		if b.From.Given && b.To.Given && b.To.Value.Before(b.From.Value) {
			r.fault(b.To.At, fmt.Sprintf("this break ends on %v, before it begins on %v", b.To.Value, b.From.Value), "swap from and to")
		}
	}
	days := map[time.Weekday]bool{}
	for _, d := range s.HarvestDays {
		if d.Given && days[d.Value] {
			r.fault(d.At, d.Value.String()+" is listed twice", "list each day once")
		}
		days[d.Value] = days[d.Value] || d.Given
	}
}

// checkMoney wants one currency in the whole brief.
func (r *reader) checkMoney() {
	b := r.brief
	currency, at := b.Prices.Currency.Value, b.Prices.Currency.At
	agree := func(f Field[Price]) {
		switch {
		case !f.Given:
		case currency == "":
			currency, at = f.Value.Currency, f.At
		case f.Value.Currency != currency:
			r.fault(f.At, fmt.Sprintf("this price is in %s, the one on line %d in %s", f.Value.Currency, at.Line, currency), "write all prices in one currency")
		}
	}
	for _, p := range b.Shelf {
		agree(p.Price)
	}
	agree(b.Mix.Budget)
	agree(b.Prices.Head)
	agree(b.Prices.Labor)
	for _, e := range b.Prices.Items {
		agree(e.Field)
	}
	for _, s := range append(slices.Clone(b.Cut.Stock), b.Cut.OnHand...) {
		agree(s.Price)
	}
}

// mostPieces bounds a cutting job.
const mostPieces = 100_000

func (r *reader) checkCut() {
	pieces := 0
	for _, p := range r.brief.Cut.Pieces {
		n := p.Count.Or(1)
		if pieces <= mostPieces && pieces+n > mostPieces {
			r.fault(p.At, fmt.Sprintf("more than %d pieces in all", mostPieces), "cut for fewer beds at a time")
		}
		pieces += n
	}
}

func (r *reader) checkLog() {
	for _, v := range r.brief.Log {
		if v.AirHigh.Given && v.AirLow.Given && v.AirHigh.Value < v.AirLow.Value {
			r.fault(v.AirHigh.At, fmt.Sprintf("air high %.1f C is colder than air low %.1f C", v.AirHigh.Value, v.AirLow.Value), "swap them")
		}
	}
}
