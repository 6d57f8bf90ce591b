package brief

import (
	"cmp"
	"slices"
	"strings"
	"time"

	"raftwright/finding"
	"raftwright/unit"
)

// check finds what is wrong between values that are each well written.
func check(r *reader) {
	r.checkSite()
	r.checkBed()
	r.checkRaft()
	r.checkShelf()
	r.checkFeed()
	r.checkSchedule()
	r.checkMoney()
	r.checkCut()
	r.checkLog()
}

func (r *reader) checkSite() {
	site := &r.brief.Site
	switch {
	case len(site.Months) > 0 && len(site.Climate) > 0:
		r.tell("site.months", site.Months[0].At, fault("brief.fault.climate_and_months"))
	case len(site.Months) > 0:
		r.checkMonths(site.Months)
	}
}

// numberMonths numbers months of which none says its number, in their order.
func (b *Brief) numberMonths() {
	months := slices.Clone(b.Site.Months)
	inOrder := !slices.ContainsFunc(months, func(m Month) bool { return m.Month.At.Line != 0 })
	for i := range months {
		if m := &months[i].Month; m.At.Line == 0 {
			if *m = (Field[int]{}); inOrder && i < 12 {
				m.Value, m.Given = i+1, true
			}
		}
	}
	b.Site.Months = months
}

func (r *reader) checkMonths(months []Month) {
	if len(months) != 12 {
		r.tell("site.months", months[0].At, fault("brief.fault.months", "Count", len(months)))
	}
	var seen [13]finding.Path
	for i, m := range months {
		path := finding.Path("site.months").Item(i)
		switch {
		case !m.Month.Given && m.Month.At.Line == 0:
			r.tell(path, m.At, fault("brief.fault.month_number"))
		case m.Month.Given && seen[m.Month.Value] != "":
			r.tell(path.Key("month"), m.Month.At, fault("brief.fault.month_twice", "Month", m.Month.Value, "First", string(seen[m.Month.Value])))
		case m.Month.Given:
			seen[m.Month.Value] = path
		}
		if m.Tmax.Given && m.Tmin.Given && m.Tmax.Value < m.Tmin.Value {
			r.tell(path.Key("tmax"), m.Tmax.At, fault("brief.fault.tmax", "High", m.Tmax.Value, "Low", m.Tmin.Value))
		}
		if m.Dewpoint.Given && m.Tmax.Given && m.Dewpoint.Value > m.Tmax.Value {
			r.tell(path.Key("dewpoint"), m.Dewpoint.At, fault("brief.fault.dewpoint", "Dewpoint", m.Dewpoint.Value, "High", m.Tmax.Value))
		}
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
	for _, l := range []struct {
		key string
		f   Field[unit.Length]
		is  Vessel // the vessel that has it, "" for all but round
	}{
		{"length", bed.Length, ""}, {"width", bed.Width, ""}, {"diameter", bed.Diameter, Round}, {"base diameter", bed.BaseDiameter, Round},
		{"base length", bed.BaseLength, Tub}, {"base width", bed.BaseWidth, Tub},
	} {
		if !l.f.Given || l.is == vessel || l.is == "" && vessel != Round {
			continue
		}
		bad := fault("brief.fault.vessel", "Vessel", finding.Word("brief.word."+string(vessel)), "Key", l.key)
		switch {
		case vessel == Round:
			bad.Right = "right.brief.fault.vessel_round"
		case l.is == Tub:
			bad.Right = "right.brief.fault.vessel_base"
		}
		r.tell(finding.Path("bed").Key(l.key), l.f.At, bad)
	}
	if bed.Space.Given && (bed.Length.Given || bed.Width.Given || bed.Diameter.Given) {
		r.tell("bed.space", bed.Space.At, fault("brief.fault.space"))
	}
}

func (r *reader) checkRaft() {
	raft := &r.brief.Raft
	if raft.Sheet.Given && raft.Diameter.Given {
		r.tell("raft.diameter", raft.Diameter.At, fault("brief.fault.sheet"))
	}
	if raft.NurserySpacing.Given && raft.Spacing.Given && raft.NurserySpacing.Value > raft.Spacing.Value {
		r.tell("raft.nursery spacing", raft.NurserySpacing.At, fault("brief.fault.nursery"))
	}
	if raft.Pot.Rim.Given && raft.Hole.Given && raft.Pot.Rim.Value <= raft.Hole.Value {
		r.tell("raft.pot.rim", raft.Pot.Rim.At, fault("brief.fault.rim"))
	}
}

func (r *reader) checkShelf() {
	seen := map[string]finding.Path{}
	for i := range r.brief.Shelf {
		p, path := &r.brief.Shelf[i], finding.Path("shelf").Item(i)
		if name := strings.ToLower(p.Name.Value); name != "" {
			if first, twice := seen[name]; twice {
				r.tell(path.Key("name"), cmp.Or(p.Name.At, p.At), fault("brief.fault.product_twice", "Product", clip(p.Name.Value), "First", string(first)))
			} else {
				seen[name] = path
			}
		}
		r.checkProduct(p, path)
	}
}

func (r *reader) checkProduct(p *Product, path finding.Path) {
	switch {
	case p.Given && p.Name.Value == "" && p.Name.At.Line+p.Label.At.Line+p.Formula.At.Line == 0:
		r.tell(path.Key("name"), p.At, fault("brief.fault.missing", "Key", "name", "Example", definition().field("shelf").field("name").eg))
	case p.Label.Given && p.Formula.Given:
		r.tell(path.Key("formula"), p.Formula.At, fault("brief.fault.label_and_formula"))
	case p.Purity.Given && !p.Formula.Given && p.Formula.At.Line == 0:
		r.tell(path.Key("purity"), p.Purity.At, fault("brief.fault.purity"))
	}
	c := &p.Contents
	nitrogen := c.Nitrate.Value + c.Ammonium.Value + c.Urea.Value + c.Organic.Value
	sum := nitrogen
	for _, f := range []*Field[unit.Fraction]{&c.Phosphorus, &c.Potassium, &c.Calcium, &c.Magnesium, &c.Sulfur, &c.Sodium, &c.Chloride, &c.Iron, // of which some is chelated
		&c.Manganese, &c.Zinc, &c.Copper, &c.Boron, &c.Molybdenum, &c.Silicon} {
		sum += f.Value
	}
	const rounding = 0.006 // three forms, each rounded to 0.1 or 0.2 %
	if p.Label.Given && nitrogen > p.Label.Value.N+rounding {
		r.tell(path.Key("label"), p.Label.At, fault("brief.fault.nitrogen", "Label", p.Label.Value.N, "Sum", nitrogen))
	}
	if sum > 1+rounding {
		r.tell(path, p.At, fault("brief.fault.contents", "Sum", sum))
	}
}

// longestSeason bounds a schedule; the plan goes through it day by day.
const longestSeason = 3 * 366 * 24 * time.Hour

func (r *reader) checkSchedule() {
	s := &r.brief.Schedule
	if first, last := s.FirstHarvest, s.LastHarvest; first.Given && last.Given {
		switch span := last.Value.Time().Sub(first.Value.Time()); {
		case span < 0:
			r.tell("schedule.last harvest", last.At, fault("brief.fault.harvest_order", "First", first.Value.String(), "Last", last.Value.String()))
		case span > longestSeason:
			r.tell("schedule.last harvest", last.At, fault("brief.fault.season_long", "First", first.Value.String(), "Last", last.Value.String()))
		}
	}
	if s.HeadsPerWeek.Given && s.People.Given {
		r.tell("schedule.people", s.People.At, fault("brief.fault.people"))
	}
	for i, b := range s.Breaks {
		if b.From.Given && b.To.Given && b.To.Value.Before(b.From.Value) {
			r.tell(finding.Path("schedule.breaks").Item(i).Key("to"), b.To.At, fault("brief.fault.break", "From", b.From.Value.String(), "To", b.To.Value.String()))
		}
	}
	days := map[time.Weekday]bool{}
	for i, d := range s.HarvestDays {
		if d.Given && days[d.Value] {
			r.tell(finding.Path("schedule.harvest days").Item(i), d.At, fault("brief.fault.day_twice", "Day", weekdays[d.Value]))
		}
		days[d.Value] = days[d.Value] || d.Given
	}
}

// mostPieces bounds a cutting job.
const mostPieces = 100_000

func (r *reader) checkCut() {
	pieces := 0
	for i, p := range r.brief.Cut.Pieces {
		n := p.Count.Or(1)
		if pieces <= mostPieces && pieces+n > mostPieces {
			r.tell(finding.Path("cut.pieces").Item(i), p.At, fault("brief.fault.pieces", "Most", mostPieces))
		}
		pieces += n
	}
}

func (r *reader) checkLog() {
	for i, v := range r.brief.Log {
		if v.AirHigh.Given && v.AirLow.Given && v.AirHigh.Value < v.AirLow.Value {
			r.tell(finding.Path("log").Item(i).Key("air high"), v.AirHigh.At, fault("brief.fault.air", "High", v.AirHigh.Value, "Low", v.AirLow.Value))
		}
	}
}

// checkFeed looks at what is said about feeding: spoons, the meter, a recipe as
// found, a bed with a wrong dose.
func (r *reader) checkFeed() {
	b := r.brief
	for i := range b.Shelf {
		r.checkSpoons(&b.Shelf[i], finding.Path("shelf").Item(i))
	}
	if m := b.Meter; m.Given && !m.Shows.Given && !m.Known.Given && !m.ECError.Given && !m.PHError.Given && !m.Checked.Given && m.Shows.At.Line == 0 {
		r.tell("meter", m.At, fault("brief.fault.meter"))
	}
	r.checkNames("found.amounts", b.Found.Amounts)
	r.checkNames("amiss.put in", b.Amiss.PutIn)
}

func (r *reader) checkSpoons(p *Product, path finding.Path) {
	weights, ways := 0, 0
	for _, f := range p.EachSpoon {
		if f.Given {
			weights++
		}
	}
	for _, given := range []bool{p.LevelTeaspoon.Given, p.TenSpoons.Given, weights > 0} {
		if given {
			ways++
		}
	}
	if ways > 1 {
		r.tell(path, p.At, fault("brief.fault.spoons"))
	}
	if weights == 1 {
		r.tell(path.Key("spoon weights"), p.EachSpoon[0].At, fault("brief.fault.one_spoon"))
	}
	if c := p.Contents; c.Chelated.Given && c.Iron.Given && c.Chelated.Value > c.Iron.Value*(1+1e-9) {
		r.tell(path.Key("chelated iron"), c.Chelated.At, fault("brief.fault.chelated", "Chelated", c.Chelated.Value, "Iron", c.Iron.Value))
	}
}

// checkNames wants each product once.
func (r *reader) checkNames(where finding.Path, t Table[Amount]) {
	seen := map[string]bool{}
	for _, e := range t {
		name := strings.ToLower(e.Name)
		if seen[name] {
			r.tell(where.Key(e.Name), e.At, fault("brief.fault.name_twice", "Product", clip(e.Name)))
		}
		seen[name] = true
	}
}
