package programme

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"raftwright/finding"
	"raftwright/internal/table"
)

// Setting is a rule of the office from a day on, for all funders or for one. A change is another row: what held before still
// holds for a report of an earlier as-of day. Off takes a rule back that nothing stands for.
type Setting struct {
	ID     string `key:"setting" id:"yes"`
	Name   string `key:"name" words:"pupils|sites|answers|price_days|meal_pounds|level|power|parity_part|parity_least|wide|response|sex_answers|slips|languages|withheld|access_day|produce_limit|food_limit"`
	Funder string `key:"funder" of:"funders"`
	Value  string `key:"value" need:"yes"`
	From   Day    `key:"from" need:"yes"`
	To     Day    `key:"to"` // the last day; blank: until another row
	Source string `key:"source"`
}

// Off is the value of a setting that is not in use.
const Off = "off"

// settingKind is what a value may be.
type settingKind int

const (
	wholeSetting settingKind = iota
	numberSetting
	wordSetting
	columnsSetting
	daySetting
)

// SettingRule is what a setting may say, and what stands where nothing was entered.
type SettingRule struct {
	Name     string
	Standard string
	By       string // who says the standard, with day or number
	Words    []string
	Off      bool    // it may be Off
	Sourced  bool    // its figure needs a source
	Least    float64 // of a number
	Most     float64
	kind     settingKind
}

// The rules that an office may set. Thresholds of small groups can be raised and not lowered: 10 pupils (NCES 2011-603: most States 10),
// 5 sites for a number on a map or an amount of a county, and 10 answers for a percent (both our rule, no source). 180 days, 95 % and 0.80 are common practice, no source.
// Parity asks four fifths of a group's share, as two State universities teach it. An interval of 0.30 is called wide as the health-statistics office hides it (from memory). Below a response of 80 % a federal survey studies who is silent (OMB, Standards and Guidelines for Statistical Surveys, 2006). The day of
// access is that of 28 CFR 35.200 for 50,000 people or more (91 FR 20902). A figure of food for a meal and limits of sales have
// no standard: an office that uses them enters them with their source.
var settingRules = []SettingRule{
	{Name: "pupils", Standard: "10", By: "NCES 2011-603", Least: 10, Most: 1000},
	{Name: "sites", Standard: "5", Least: 5, Most: 1000},
	{Name: "answers", Standard: "10", Least: 10, Most: 1000},
	{Name: "price_days", Standard: "180", Least: 1, Most: 1000},
	{Name: "meal_pounds", Standard: Off, Off: true, Sourced: true, Least: 0.1, Most: 10, kind: numberSetting},
	{Name: "level", Standard: "0.95", Least: 0.8, Most: 0.999, kind: numberSetting},
	{Name: "power", Standard: "0.80", Least: 0.5, Most: 0.99, kind: numberSetting},
	{Name: "parity_part", Standard: "0.80", By: sayerNames[0], Least: 0.5, Most: 1, kind: numberSetting},
	{Name: "parity_least", Standard: "0.05", Least: 0.01, Most: 0.5, kind: numberSetting}, // our rule, no source: of a smaller share four fifths is about nobody in a small program
	{Name: "wide", Standard: "0.30", By: sayerNames[1], Least: 0.05, Most: 1, kind: numberSetting},
	{Name: "response", Standard: "0.80", By: "OMB 2006", Least: 0.5, Most: 1, kind: numberSetting},
	{Name: "sex_answers", Standard: "written", Words: []string{"written", "F and M"}, kind: wordSetting},
	{Name: "slips", Standard: "2024", By: "89 FR 22182", Words: []string{"2024", "1997"}, kind: wordSetting}, // what blank slips ask; each slip says by which it was asked
	{Name: "languages", Standard: "reader", Words: []string{"reader", "en", "es", "en+es"}, kind: wordSetting},
	{Name: "withheld", Standard: Off, Off: true, Sourced: true, kind: columnsSetting},
	{Name: "access_day", Standard: "2027-04-26", By: "28 CFR 35.200; 91 FR 20902", Sourced: true, kind: daySetting},
	{Name: "produce_limit", Standard: Off, Off: true, Sourced: true, Least: 25000, Most: 10e6, kind: numberSetting},
	{Name: "food_limit", Standard: Off, Off: true, Sourced: true, Least: 500000, Most: 100e6, kind: numberSetting},
}

// sayerNames are the proper names of who says a rule.
var sayerNames = [...]string{"New Mexico State Univ.; Purdue Univ.", "Vital Health Stat. 2(175), 2017"}

// SettingRules lists the rules that an office may set, in the order in which they are printed.
func SettingRules() []SettingRule { return slices.Clone(settingRules) }

func ruleOf(name string) SettingRule {
	return settingRules[slices.IndexFunc(settingRules, func(r SettingRule) bool { return r.Name == name })]
}

// Faults of a setting.
const (
	FaultSource  finding.ID = "programme.fault.source"  // a figure without its source
	FaultColumns finding.ID = "programme.fault.columns" // no column that a copy for the public holds
)

// check tells what in a setting cannot be meant.
func (x *Setting) check(at *table.Row) {
	if x.Name == "" {
		return // told
	}
	rule := ruleOf(x.Name)
	if id, args := rule.wrong(x.Value); id != "" {
		at.Wrong(id, "value", args)
	}
	if rule.Sourced && x.Value != Off && strings.TrimSpace(x.Source) == "" {
		at.Wrong(FaultSource, "source", finding.Args{"Text": x.Value})
	}
}

// wrong gives the fault of a value, "" where it may stand.
func (r SettingRule) wrong(value string) (finding.ID, finding.Args) {
	if value == "" || r.Off && value == Off {
		return "", nil
	}
	args := finding.Args{"Name": "value", "Text": value}
	switch r.kind {
	case wholeSetting, numberSetting:
		d, ok := ParseDecimal(value)
		if _, err := strconv.Atoi(value); r.kind == wholeSetting && err != nil {
			ok = false
		}
		if !ok || d.Float() < r.Least || d.Float() > r.Most {
			args["Least"], args["Most"] = r.Least, r.Most
			return table.FaultNumber, args
		}
	case wordSetting:
		if !slices.Contains(r.Words, value) {
			args["Words"] = finding.AnyOf(r.Words)
			return table.FaultWord, args
		}
	case daySetting:
		if _, ok := ParseDay(value); !ok {
			return FaultDay, args
		}
	case columnsSetting:
		for name := range strings.SplitSeq(value, "|") {
			of, column, _ := strings.Cut(name, ".")
			if !slices.Contains(allowed[of], column) {
				args["Text"] = name
				return FaultColumns, args
			}
		}
	}
	return "", nil
}

// Held is a rule as it stood on a day.
type Held struct {
	Name, Value, Source string
	Since               Day  // 0: from the beginning
	Standard            bool // nothing was entered
	All                 bool // it is of all funders, not of this one
	Withheld            bool // it has a source that the public may not read
}

// whole and number give the value; Off is zero.
func (h Held) whole() int {
	n, _ := strconv.Atoi(h.Value)
	return n
}

func (h Held) number() Decimal {
	d, _ := ParseDecimal(h.Value)
	return d
}

// standard is the rule where nothing was entered.
func (r SettingRule) standard() Held {
	return Held{Name: r.Name, Value: r.Standard, Source: r.By, Standard: true, All: true}
}

// holds gives a setting as it stands: of a row of the funder before one of all, of these the one of the latest day, then name.
func (s *standing) holds(name, funder string) Held {
	out, best := ruleOf(name).standard(), Setting{}
	for _, x := range s.Settings {
		if x.Name != name || x.From > s.day || x.To != 0 && x.To < s.day || x.Funder != "" && x.Funder != funder {
			continue
		}
		own := func(y Setting) int { return min(1, len(y.Funder)) }
		if best.ID == "" || cmp.Or(cmp.Compare(own(x), own(best)), cmp.Compare(x.From, best.From), cmp.Compare(x.ID, best.ID)) > 0 {
			best = x
			out = Held{Name: name, Value: x.Value, Source: x.Source, Since: x.From, All: x.Funder == ""}
		}
	}
	return out
}

// rulesOf gives all rules by which a funder's report is made, as they stand: the funder's own, then the settings.
func (s *standing) rulesOf(f Funder) []Held {
	var out []Held
	at := place("funders")
	of := sheets[at]
	rows := of.rows(&s.Records)
	i := slices.IndexFunc(s.Funders, func(x Funder) bool { return x.ID == f.ID })
	for _, c := range of.columns[2:] {
		h := Held{Name: c.name, Value: c.text(rows.Index(i))}
		for _, made := range s.made {
			if made.Table == of.name && made.Record == f.ID && made.Field == c.name && made.Action == "change" {
				h.Since, h.Source = made.MadeOn, made.Reason
			}
		}
		out = append(out, h)
	}
	for _, r := range settingRules {
		out = append(out, s.holds(r.Name, f.ID))
	}
	return out
}

// Rule gives a setting as it stands on a day, of a funder or, with none, of all.
func (r Records) Rule(name, funder string, day Day) Held {
	s := r.stand(day)
	return s.holds(name, funder)
}

// SlipsAsk is by which standard slips ask, and for which funders, in the order of their names; none: by the rule of the office.
type SlipsAsk struct {
	Standard string
	Funders  []string
	Apart    bool // the funders ask by two standards: then it is that of the office
}

// SlipsOn tells by which standard slips ask at what happens on a day: that of the funders in whose years the day is and who have a rule of
// their own; of none such, or where they differ, that of the office. With a funder's name it is that funder's, whatever the day.
func (r Records) SlipsOn(day Day, funder string) SlipsAsk {
	s := r.stand(day)
	out := SlipsAsk{Standard: s.holds("slips", "").Value}
	var asks []string
	for _, f := range s.Funders {
		held := s.holds("slips", f.ID)
		if f.ID == funder || funder == "" && !held.All && f.From <= day && day <= f.To {
			asks, out.Funders = append(asks, held.Value), append(out.Funders, f.ID)
		}
	}
	slices.Sort(out.Funders)
	slices.Sort(asks)
	if asks = slices.Compact(asks); len(asks) == 1 {
		out.Standard = asks[0]
	}
	out.Apart = len(asks) > 1
	return out
}

// RulesOn gives the rules of each funder as they stand on a day.
func (r Records) RulesOn(day Day) (out map[string][]Held) {
	s := r.stand(day)
	out = map[string][]Held{}
	for _, f := range s.Funders {
		out[f.ID] = s.rulesOf(f)
	}
	return out
}

// Standing gives the rules for the readers of this edition: outside without the names of rates, and a source only where somebody has read it. A source
// that is left out says so by Withheld.
func (e *Edition) Standing() []Held {
	if !e.Public {
		return e.Rules
	}
	var out []Held
	for _, h := range e.Rules {
		if h.Name == "rate" || h.Name == "match_rate" { // names of rows
			continue
		}
		if !h.Standard && h.Source != "" && !e.Fit(h.Source) {
			h.Source, h.Withheld = "", true
		}
		out = append(out, h)
	}
	return out
}

// Language gives the language, or the two as en+es, that the rules set the report in; blank: the reader's.
func (r *Report) Language() string {
	for _, h := range r.Rules {
		if h.Name == "languages" && !h.Standard && h.Value != ruleOf(h.Name).Standard {
			return h.Value
		}
	}
	return ""
}

// rules are the settings that figures are made by.
type rules struct {
	answers, sites, days int
	pupils               int
	meal                 Decimal
	level, power         float64
	part, share          float64 // of its share that parity asks of a group, from this share on
	wide, response       float64 // of an interval; of those asked
	two                  bool    // only F and M are reported; another answer counts as unknown
}

func rulesFrom(held []Held) (x rules) {
	at := map[string]Held{}
	for _, h := range held {
		at[h.Name] = h
	}
	return rules{answers: at["answers"].whole(), sites: at["sites"].whole(), days: at["price_days"].whole(), pupils: at["pupils"].whole(), meal: at["meal_pounds"].number(),
		level: at["level"].number().Float(), power: at["power"].number().Float(), part: at["parity_part"].number().Float(), share: at["parity_least"].number().Float(),
		wide: at["wide"].number().Float(), response: at["response"].number().Float(), two: at["sex_answers"].Value == "F and M"}
}
