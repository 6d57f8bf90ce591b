package programme

import (
	"reflect"
	"slices"
	"sync"

	"raftwright/finding"
)

// Why a figure cannot be given.
const (
	whyNoContact  finding.ID = "programme.why.no_contact"
	whyNoSlips    finding.ID = "programme.why.no_slips"
	whyFewPairs   finding.ID = "programme.why.few_pairs"
	whyFewAnswers finding.ID = "programme.why.few_answers"
	whyNoneSent   finding.ID = "programme.why.none_sent"
	whyNoAnswer   finding.ID = "programme.why.no_answer"
	whyMoreBack   finding.ID = "programme.why.more_back"
	whyNoTongue   finding.ID = "programme.why.no_tongue"
	whyNoRate     finding.ID = "programme.why.no_rate"
	whyUnsafe     finding.ID = "programme.why.unsafe"
	whyFewSites   finding.ID = "programme.why.few_sites"
	whyFewPupils  finding.ID = "programme.why.few_pupils"
	whyOneClass   finding.ID = "programme.why.one_class"
)

// Faults of what a report is asked for.
const (
	FaultFunder finding.ID = "programme.fault.funder" // no such funder
	FaultEarly  finding.ID = "programme.fault.early"  // an as-of day before the funder's year begins
)

// Report is a funder's range and rules, an as-of day, and the figures that the records give.
type Report struct {
	Funder     Funder
	AsOf       Day
	Rules      []Held  // by which it was made
	Rates      []Rated // of the hours, the oldest first
	Matched    []Rated // of the hours for a match
	Figures    []Figure
	Took       Took
	Cells      Cells
	Parity     []Parity // of all groups with a share to speak of; printed where the funder asks
	Removed    []Removed
	Exceptions []Exception
	Noticed    []Exception // what else should be looked at
	Trials     []Trial

	by         rules
	whole      Records // without corrections
	stood      standing
	ofWave     map[string]string  // the wave of an item that was asked in one
	answered   map[[2]string]bool // designs and items that were answered in this time
	covers     Range              // what had happened by the as-of day
	ids        []reflect.Value    // the rows of the tables; made when first asked for
	digests    map[sameList]string
	tables     []Tables
	public     *Edition // made when first asked for
	slipCounty []string // of each slip; made when first asked for
}

// Make makes the report of a funder as of a day. The same records, rules and day give the same report.
func Make(records Records, funder string, asOf Day) (*Report, finding.Faults) {
	stood := records.stand(asOf)
	at := slices.IndexFunc(stood.Funders, func(f Funder) bool { return f.ID == funder })
	if at < 0 {
		var ids []string
		for _, f := range stood.Funders {
			ids = append(ids, f.ID)
		}
		return nil, finding.Faults{{ID: FaultFunder, Args: finding.Args{"Text": funder, "Known": finding.AnyOf(ids)}}}
	}
	if f := stood.Funders[at]; asOf < f.From {
		return nil, finding.Faults{{ID: FaultEarly, Args: finding.Args{"Day": asOf.Time(), "From": f.From.Time()}}}
	}
	return records.reportTo(stood, stood.Funders[at]), nil
}

// reportTo makes the report to a funder of records as they stand.
func (records Records) reportTo(stood standing, f Funder) *Report {
	asOf := stood.day
	held := stood.rulesOf(f)
	r := &Report{Funder: f, AsOf: asOf, Rules: held, by: rulesFrom(held), whole: records, stood: stood, ofWave: map[string]string{}, answered: map[[2]string]bool{}, covers: Range{f.From, min(f.To, asOf)}}
	other := r.aside()
	var doubles []double
	var beside sync.WaitGroup
	beside.Go(func() { doubles = r.doubles() })
	beside.Go(func() {
		other.given()
		other.grown()
		other.where()
		other.learned()
		other.classes()
		other.adopted()
		other.compared()
	})
	x := newReach(r)
	x.count()
	x.figures()
	r.heard()
	r.took(x)
	r.served(x)
	r.cells()
	r.parity()
	beside.Wait()
	r.takes(other)
	r.notice(x, doubles)
	return r
}

// aside gives a report of the same without figures, for those that rest on no contact and are made at the same time.
func (r *Report) aside() *Report {
	other := *r
	return &other
}

// takes puts figures that were made aside after those that are there.
func (r *Report) takes(other *Report) {
	r.Figures = append(r.Figures, other.Figures...)
	r.Rates, r.Matched, r.Trials, r.Noticed = other.Rates, other.Matched, other.Trials, other.Noticed
}

// counties gives the counties, then All.
func (r *Report) counties() []string {
	var out []string
	for _, c := range r.stood.Counties {
		out = append(out, c.ID)
	}
	return append(out, All)
}

// County gives the name of a county.
func (r *Report) County(id string) string {
	for _, c := range r.stood.Counties {
		if c.ID == id {
			return c.Name
		}
	}
	return id
}
