package packet

import (
	"reflect"
	"slices"
	"strings"

	"raftwright/draw"
	"raftwright/finding"
	"raftwright/page"
	"raftwright/plan"
	"raftwright/season"
	"raftwright/sky"
	"raftwright/source"
	"raftwright/unit"
)

// monthDoors are the doors of the months of a chart, on a page.
func (w writer) monthDoors() []draw.Door {
	if w.doors == nil {
		return nil
	}
	var out []draw.Door
	for _, m := range w.p.Season.Months {
		out = append(out, draw.Door{Of: partID("season.month", m.Number), Name: w.words.Month(m.Number)})
	}
	return out
}

func (w writer) monthTrace(n []int) (trace, bool) {
	if len(n) != 1 || !w.hasYear() {
		return trace{}, false
	}
	at := slices.IndexFunc(w.p.Season.Months, func(m season.Month) bool { return m.Number == n[0] })
	if at < 0 {
		return trace{}, false
	}
	m := w.p.Season.Months[at]
	t := trace{title: w.words.Month(m.Number), rests: []string{"season.capacity", "season.tau"}, all: []page.Block{w.months()}}
	t.tells = []page.Block{w.para("packet.trace.month", finding.Args{"Light": w.fixed(float64(m.Light), 0), "Air": w.degrees(m.Air), "Pool": w.degrees(m.Pool), "Max": w.degrees(m.PoolMax), "Hot": w.degrees(m.PoolHot),
		"Most": w.fixed(m.Oxygen.MilligramsPerLitre(), 1), "Held": w.fixed(m.Held.MilligramsPerLitre(), 1)})}
	name := w.words.Month(m.Number)
	for _, s := range w.p.Working(plan.Season) {
		if len(s.Of) == 1 && strings.EqualFold(w.words.Value(s.Of[0]), name) {
			s.Of = nil
			t.steps = append(t.steps, s)
		}
	}
	return t, true
}

// stretch gives the stretch of weeks, of what the crop of the plan may do, in which a week lies, from 0.
func (w writer) stretch(week int) (from, to int, what season.Limit, ok bool) {
	for _, y := range w.p.Season.Weeks {
		if y.Crop != w.p.Crop.ID || week < 0 || week >= len(y.Weeks) {
			continue
		}
		from, to, what = week, week+1, y.Weeks[week]
		for from > 0 && y.Weeks[from-1] == what {
			from--
		}
		for to < len(y.Weeks) && y.Weeks[to] == what {
			to++
		}
		return from, to, what, true
	}
	return 0, 0, "", false
}

// weeksName says from when to when a stretch of weeks goes, and what they are.
func (w writer) weeksName(from, to int, what season.Limit) string {
	last := sky.DayOfYear(7 * to)
	if to == 52 {
		last = 365
	}
	word := string(what.Word())
	if what == season.None {
		word = "packet.season.open"
	}
	return w.say("packet.trace.weeks", finding.Args{"From": string(w.dayOfYear(sky.DayOfYear(7*from + 1))), "To": string(w.dayOfYear(last)), "What": w.say(word, nil)})
}

func (w writer) weekTrace(n []int) (trace, bool) {
	if len(n) != 1 || !w.hasYear() {
		return trace{}, false
	}
	from, to, what, ok := w.stretch(n[0] - 1)
	if !ok {
		return trace{}, false
	}
	k := w.p.Crop
	t := trace{title: w.weeksName(from, to, what), rests: []string{"season.last_half", "season.last_ten", "season.first_half", "season.first_ten", "season.light", "season.solution"}}
	t.tells = []page.Block{w.para("packet.trace.weeks_how", nil)}
	kill, chance := k.Killing()
	list := page.List{Kind: page.Bullets}
	add := func(limit season.Limit, from []source.ID, args finding.Args) {
		if what == season.None || what == limit {
			list.Items = append(list.Items, w.text("packet.trace.limit."+string(limit), args)+w.cite(from...))
		}
	}
	add(season.Frost, k.Cited.Frost, finding.Args{"Kill": kill, "Chance": chance})
	add(season.Cold, k.Cited.Air, finding.Args{"Least": k.Coldest()})
	add(season.Heat, k.Cited.Heat, finding.Args{"Most": min(k.HeatLimit, k.AirLimit.Max)})
	add(season.Solution, k.Cited.Root, finding.Args{"Most": k.RootUpper})
	add(season.Light, k.Cited.Light, finding.Args{"Least": w.fixed(float64(k.Light.Min), 0)})
	t.tells = append(t.tells, list)
	all := page.Table{Compact: true, Columns: w.columns("packet.trace.col.weeks")}
	for at := 0; at < 52; {
		a, b, x, ok := w.stretch(at)
		if !ok {
			break
		}
		name := page.Literal(w.weeksName(a, b, x))
		if a != from {
			name = w.partDoor(partID("season.week", a+1), name)
		}
		all.Add(name)
		at = b
	}
	t.all = []page.Block{all, w.months()}
	return t, true
}

// FindingPart names what was noticed in the address of its working, behind Options.Doors: by its code, all that are alike together.
func FindingPart(id finding.ID) string {
	return "finding." + strings.ReplaceAll(string(id), ".", "_")
}

// whyOf gives the door that stands behind the sentence of what was noticed, on a page.
func (w writer) whyOf(f finding.Finding) page.Text {
	if w.doors == nil || !slices.ContainsFunc(w.p.Findings, func(o finding.Finding) bool { return o.ID == f.ID }) {
		return ""
	}
	return " " + page.Door(FindingPart(f.ID), w.text("packet.trace.why", nil))
}

// findingTrace tells what was noticed, what it rests on in the brief, and the figures that it tells of.
func (w writer) findingTrace(name string) (trace, bool) {
	t := trace{title: w.say("packet.trace.finding", nil)}
	found := false
	for _, f := range w.told() {
		if strings.TrimPrefix(FindingPart(f.ID), "finding.") != name {
			continue
		}
		found = true
		t.tells = append(t.tells, w.box(f.Severity, f.Hurts, page.Text(w.words.Finding(f))+w.cite(f.Source)))
		for _, id := range w.figuresIn(f) {
			if !slices.Contains(t.rests, id) {
				t.rests = append(t.rests, id)
			}
		}
	}
	return t, found
}

// eachStep calls every step of the working with its chapter.
func (w writer) eachStep(each func(chapter string, s finding.Step)) {
	for _, c := range chapters {
		if c.id == "" {
			continue
		}
		for _, s := range w.p.Working(c.part) {
			each(c.id, s)
		}
	}
}

// scales are the units of the working with what makes them SI, for each kind of figure of a finding.
var scales = map[reflect.Type]map[string]float64{
	reflect.TypeFor[unit.Length]():            {"m": 1, "mm": 1e-3, "ft": float64(unit.Foot)},
	reflect.TypeFor[unit.Area]():              {"m2": 1, "mm2": 1e-6},
	reflect.TypeFor[unit.Volume]():            {"m3": 1, "L": 1e-3},
	reflect.TypeFor[unit.Mass]():              {"kg": 1, "g": 1e-3},
	reflect.TypeFor[unit.Force]():             {"N": 1, "kN": 1e3},
	reflect.TypeFor[unit.Pressure]():          {"Pa": 1, "kPa": 1e3, "MPa": 1e6},
	reflect.TypeFor[unit.Fraction]():          {"": 1, "%": 1e-2},
	reflect.TypeFor[unit.Duration]():          {"min": float64(unit.Minute), "h": float64(unit.Hour), "days": float64(unit.Day)},
	reflect.TypeFor[unit.MassConcentration](): {"mg/L": float64(unit.MilligramPerLitre)},
}

// figuresIn gives the IDs of the figures of the working that a finding tells of: those of its kind and, to the last digit, its value.
func (w writer) figuresIn(f finding.Finding) (out []string) {
	values := []any{f.Figure}
	for _, v := range f.Args {
		values = append(values, v)
	}
	w.eachStep(func(chapter string, s finding.Step) {
		for _, v := range values {
			by, known := scales[reflect.TypeOf(v)]
			if !known {
				continue
			}
			x, scale := reflect.ValueOf(v).Float(), by[s.Unit]
			if id := figureID(chapter, s); scale != 0 && x != 0 && same(x, s.Value*scale) && !slices.Contains(out, id) {
				out = append(out, id)
			}
		}
	})
	return out
}

// same tells whether two figures are one, but for the dust of a conversion.
func same(a, b float64) bool { return (a-b)*(a-b) <= 1e-20*a*a }

// RestsOn lists the keys of the brief on which a finding of an address rests; none for another part.
func RestsOn(p plan.Plan, id string) (out []finding.Path) {
	for _, f := range (writer{p: p}).told() {
		for _, path := range f.Paths {
			if FindingPart(f.ID) == id && !slices.Contains(out, path) {
				out = append(out, path)
			}
		}
	}
	return out
}
