package web

import (
	"math"
	"net/http"
	"slices"
	"strings"

	"raftwright/cost"
	"raftwright/finding"
	"raftwright/lang"
	"raftwright/plan"
	"raftwright/unit"
)

// How much a field matters is what the figures of the plan do while it moves over its usual range. That is several plans:
// they are made when somebody asks, never while somebody types.

// usually are the fields on which the figures of a plan hang, with the ends of their usual range, US customary and metric (common practice,
// no source; waters as they come from soft to hard). Of a word each other one is tried.
var usually = map[string][2][]string{
	"bed.length": {{"6 ft", "12 ft"}, {"1.8 m", "3.6 m"}}, "bed.width": {{"3 ft", "5 ft"}, {"0.9 m", "1.5 m"}}, "bed.depth": {{"4 in", "8 in", "12 in"}, {"100 mm", "200 mm", "300 mm"}},
	"raft.spacing": {{"6 in", "8 in", "12 in"}, {"150 mm", "200 mm", "300 mm"}}, "site.cover": {}, "bed.support": {}, "water.kind": {},
	"water.alkalinity": {{"30 mg/L CaCO3", "120 mg/L CaCO3", "250 mg/L CaCO3"}, {"30 mg/L CaCO3", "120 mg/L CaCO3", "250 mg/L CaCO3"}},
	"water.calcium":    {{"10 mg/L", "100 mg/L"}, {"10 mg/L", "100 mg/L"}}, "water.magnesium": {{"2 mg/L", "30 mg/L"}, {"2 mg/L", "30 mg/L"}},
	"water.ph": {{"6.5", "8.5"}, {"6.5", "8.5"}}, "water.ec": {{"0.1 mS/cm", "0.8 mS/cm"}, {"0.1 mS/cm", "0.8 mS/cm"}},
	"bed.heat to": {{"60 F", "68 F"}, {"16 C", "20 C"}}, "raft.thickness": {{"1 in", "2 in"}, {"25 mm", "50 mm"}},
}

// tried are the texts that are tried of a field; none where nothing hangs on it.
func tried(path string, metric bool) []string {
	ends, is := usually[path]
	switch t := formTree()[path]; {
	case !is:
		return nil
	case len(t.Words) > 0:
		return t.Words
	case metric:
		return ends[1]
	}
	return ends[0]
}

// matters shows the form as it was sent, with what moves when the asked field does. Nothing is kept.
func (v *visit) matters() error {
	b, err := v.asTyped()
	if err != nil {
		return err
	}
	path := v.PostFormValue("matters")
	if _, is := usually[path]; !is {
		return finding.Fault{ID: FaultForm}
	}
	p, words, err := v.typedPlan(b)
	if err != nil {
		return err
	}
	with, err := v.planBeside(b, p, words)
	if err != nil {
		return err
	}
	lines, err := v.moves(b, path)
	if err != nil {
		return err
	}
	with.Matters = map[finding.Path][]string{finding.Path(path): lines}
	body, err := v.formWith(b, with)
	if err != nil {
		return err
	}
	return v.showAsForm(b, http.StatusOK, body)
}

// moves tells what the plan does when a field of its brief moves, a sentence for each text that is tried.
func (v *visit) moves(b aBed, path string) (out []string, err error) {
	now, words, err := v.typedPlan(b)
	if err != nil {
		return nil, err
	}
	stands := b.texts()[path]
	for _, text := range tried(path, words.Units == lang.Metric) {
		if strings.EqualFold(text, stands) {
			continue
		}
		with, faults := b.brief().Set(finding.Path(path), text)
		if with == nil || len(faults) > 0 {
			continue
		}
		other := b
		other.reading = readAs(with, with.Faults())
		then, _, err := v.typedPlan(other)
		if err != nil {
			return nil, err
		}
		what := moved(now, then, words)
		if len(what) == 0 {
			what = []string{words.Say("web.matters.nothing", nil)}
		}
		out = append(out, words.Say("web.matters.at", finding.Args{"Value": wordOf(words, text), "What": words.Join(what)}))
	}
	if len(out) > 0 {
		out = append(out, words.Say("web.matters.against", nil))
	}
	return out, nil
}

// moved tells what the main figures of one plan are against those of another, each where a grower would see the difference.
func moved(now, then plan.Plan, words *lang.Printer) (out []string) {
	say := func(id string, args finding.Args) { out = append(out, words.Say("web.matters."+id, args)) }
	switch was, is := now.Worst() == finding.Stop, then.Worst() == finding.Stop; {
	case is && !was:
		say("stops", nil)
	case was && !is:
		say("stands", nil)
	}
	const seen = 0.01 // share of a figure
	if a, b := now.Frame, then.Frame; a != nil && b != nil {
		if d := b.Volume - a.Volume; math.Abs(float64(d)) > seen*float64(a.Volume) {
			say("water", finding.Args{"Volume": max(d, -d), "Less": d < 0})
		}
	}
	if a, b := now.Raft, then.Raft; a != nil && b != nil && a.Holes != b.Holes {
		say("plants", finding.Args{"Count": max(b.Holes-a.Holes, a.Holes-b.Holes), "Less": b.Holes < a.Holes})
	}
	if a, b := now.Mix, then.Mix; a != nil && b != nil {
		const shown = 0.05 * unit.MillisiemensPerCentimetre // of a common meter
		if d := b.EC - a.EC; max(d, -d) >= shown {
			say("ec", finding.Args{"EC": max(d, -d), "Less": d < 0})
		}
		_, before := now.PouredAcid()
		_, after := then.PouredAcid()
		switch {
		case before == 0 && after > 0:
			say("acid_begins", nil)
		case before > 0 && after == 0:
			say("acid_ends", nil)
		case before > 0 && math.Abs(float64(after/before)-1) > seen:
			say("acid", finding.Args{"Share": unit.Fraction(math.Abs(float64(after/before) - 1)), "Less": after < before})
		}
	}
	if a, b := now.Cost, then.Cost; a != nil && b != nil && a.Unpriced == b.Unpriced && a.FirstCost.Currency == b.FirstCost.Currency {
		if d := b.FirstCost.Amount - a.FirstCost.Amount; math.Abs(float64(d)) > seen*float64(a.FirstCost.Amount) {
			say("cost", finding.Args{"Cost": cost.About{Amount: max(d, -d), Currency: a.FirstCost.Currency}, "Less": d < 0})
		}
	}
	if a, b := now.NextBatch(), then.NextBatch(); a != nil && b != nil {
		if d := int(math.Round((b.Harvest.Sub(b.Sow) - a.Harvest.Sub(a.Sow)).Hours() / 24)); d != 0 {
			say("days", finding.Args{"Count": max(d, -d), "Less": d < 0})
		}
	}
	return out
}

// asksMatters gives a field what asks how much it matters.
func (f *formOf) asksMatters(x *field) {
	if _, is := usually[x.Path]; !is || f.bed == "" || !slices.Contains([]string{"line", "word"}, x.Kind) {
		return
	}
	x.Asks, x.Matters = "/beds/"+f.bed+"/brief/matters", f.matters[finding.Path(x.Path)]
	x.Ask = fixed(f.words, "web.matters.show")
}
