package programme

import (
	"strconv"

	"raftwright/finding"
)

// Kind says how a figure is printed.
type Kind int

// Kinds of figures.
const (
	Count  Kind = iota // a whole number
	People             // a whole number of people, contacts or answers: a small one is hidden from the public
	Pounds
	Hour
	Dollars
	Share   // 0 to 1
	Change  // of a mean
	Average // of numbers that were answered
	Meals
	Word // one of ours
)

// All is the county of a figure that is of all of them.
const All = "all"

// NoCounty is the county of what was harvested at no bed of the records.
const NoCounty = noCountyNames

// Figure is one figure of a report.
type Figure struct {
	Section string // A to M
	Measure string // its stable name
	Of      string // what it is of where there are several alike: a group, a unit, an item, a wave
	County  string
	Kind    Kind
	Text    string // the figure exactly, or one of our words
	Number  float64
	Why     finding.ID // why it cannot be given; "" where it is
	Args    finding.Args
	From    []Ref // the records that it opens to
}

// Name gives the measure with what it is of: "indirect: copies sent".
func (f Figure) Name() string { return f.Measure + f.Of }

// Ref is a record of the report: a table of ours, and a row of it as it stood on the as-of day. Of many years there are millions.
type Ref uint32

// rowBits are those of the row, of which a table has 67 million at most; the rest is the table, of which there may be 64.
const rowBits = 26

// Table gives the place of its table.
func (r Ref) Table() int { return int(r >> rowBits) }

// Row gives its row.
func (r Ref) Row() int { return int(r & (1<<rowBits - 1)) }

// The tables that figures open to.
var (
	inEvents, inSlips, inVisits, inInquiries = refs("events"), refs("slips"), refs("visits"), refs("inquiries")
	inIndirect, inAnswers, inWaves           = refs("indirect"), refs("answers"), refs("waves")
	inReplies, inHarvests, inPrices          = refs("replies"), refs("harvests"), refs("prices")
	inHours, inRates, inBeds, inSites        = refs("hours"), refs("rates"), refs("beds"), refs("sites")
	inAudience, inQuestions                  = refs("audience"), refs("questions")
	inPlots, inClasses                       = refs("trials"), refs("classes")
	inStories                                = refs("stories")
)

func refs(name string) func(int) Ref {
	at := place(name)
	return func(row int) Ref { return Ref(at<<rowBits | row) }
}

// Line is a record that a figure opens to.
type Line struct {
	Table   string
	ID      string
	Columns []string
	Values  []string
}

// Open gives the records of a figure, from one of them on, at most so many. Codes that may no longer be held are blank. A slip is never opened: in place
// of the slips of a figure stands how many there are, a line a county.
func (r *Report) Open(f Figure, from, most int) []Line {
	refs, slips := r.besideSlips(f)
	var out []Line
	if from == 0 {
		out = slips
	}
	for _, ref := range refs[min(from, len(refs)):min(from+most, len(refs))] {
		s := sheets[ref.Table()]
		row := s.rows(&r.stood.Records).Index(ref.Row())
		l := Line{Table: s.name, ID: row.Field(0).String()}
		for _, c := range s.columns {
			text := c.text(row)
			if r.stood.gone[text] {
				text = ""
			}
			l.Columns, l.Values = append(l.Columns, c.name), append(l.Values, text)
		}
		out = append(out, l)
	}
	return out
}

// tally counts and keeps what it counted.
type tally struct {
	n    int
	from []Ref
}

func (t *tally) add(n int, from ...Ref) {
	t.n += n
	t.from = append(t.from, from...)
}

// ledger is counts by county and measure; those of all counties stand under All.
type ledger map[string]map[string]*tally

func (l ledger) add(county, measure string, n int, from ...Ref) {
	l.at(county, measure).add(n, from...)
	l.at(All, measure).add(n, from...)
}

func (l ledger) at(county, measure string) *tally {
	of := l[county]
	if of == nil {
		of = map[string]*tally{}
		l[county] = of
	}
	t := of[measure]
	if t == nil {
		t = &tally{}
		of[measure] = t
	}
	return t
}

// count adds a whole number to the report.
func (r *Report) count(section, measure, of, county string, kind Kind, n int, from []Ref) {
	r.Figures = append(r.Figures, Figure{Section: section, Measure: measure, Of: of, County: county, Kind: kind, Text: strconv.Itoa(n), Number: float64(n), From: from})
}

// exact adds a figure with its places.
func (r *Report) exact(section, measure, of string, kind Kind, d Decimal, from []Ref) {
	r.exactAt(section, measure, of, All, kind, d, from)
}

func (r *Report) exactAt(section, measure, of, county string, kind Kind, d Decimal, from []Ref) {
	if !d.Given {
		d = Decimal{Given: true}
	}
	r.Figures = append(r.Figures, Figure{Section: section, Measure: measure, Of: of, County: county, Kind: kind, Text: d.String(), Number: d.Float(), From: from})
}

// real adds a figure that was computed.
func (r *Report) real(section, measure, of string, kind Kind, x float64, from []Ref) {
	r.Figures = append(r.Figures, Figure{Section: section, Measure: measure, Of: of, County: All, Kind: kind, Text: strconv.FormatFloat(x, 'f', 6, 64), Number: x, From: from})
}

// word adds a figure that is one of our words.
func (r *Report) word(section, measure, of, county, text string, from []Ref) {
	r.Figures = append(r.Figures, Figure{Section: section, Measure: measure, Of: of, County: county, Kind: Word, Text: text, From: from})
}

// withheld adds a figure that cannot be given, with the reason.
func (r *Report) withheld(section, measure, of string, kind Kind, text string, why finding.ID, args finding.Args) {
	r.Figures = append(r.Figures, Figure{Section: section, Measure: measure, Of: of, County: All, Kind: kind, Text: text, Why: why, Args: args})
}

// Find gives a figure by its name and county.
func (r *Report) Find(name, county string) (Figure, bool) {
	for _, f := range r.Figures {
		if f.Name() == name && f.County == county {
			return f, true
		}
	}
	return Figure{}, false
}
