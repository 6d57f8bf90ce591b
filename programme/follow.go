package programme

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"raftwright/finding"
)

// mostSteps bounds a scale whose steps are told one by one.
const mostSteps = 10

// kindNames are the two designs of a questionnaire. They are never compared and never pooled.
var kindNames = []string{"before and after", "looking back"}

// learned compares what was answered before and after, item by item.
func (r *Report) learned() {
	s := &r.stood
	inRange := map[string]bool{}
	for _, e := range s.Events {
		inRange[e.ID] = r.covers.Has(e.Date)
	}
	items, by := map[string]bool{}, map[[2]string][]int{}
	for i, a := range s.Answers {
		if a.Wave != "" && !a.first() { // months later: with its wave
			continue
		}
		items[a.Item] = true
		if inRange[a.Event] {
			by[[2]string{a.Kind, a.Item}] = append(by[[2]string{a.Kind, a.Item}], i)
		}
	}
	own := map[ownCode]beforeAfter{}
	for _, kind := range kindNames {
		for _, item := range sorted(items) {
			clear(own)
			r.answered[[2]string{kind, item}] = len(by[[2]string{kind, item}]) > 0
			r.item(kind, kind+"/"+item, by[[2]string{kind, item}], own)
		}
	}
}

// ownCode is a code of somebody's own choosing at an event.
type ownCode struct{ event, code string }

// beforeAfter is how often a code was used at an event before and after, and what it answered last.
type beforeAfter struct{ before, after, wasBefore, wasAfter int32 }

// first tells of an answer to which one after is joined.
func (a Answer) first() bool { return a.Kind == kindNames[0] && a.Before.Given }

// item compares the answers of one design to one item; own is empty, for the codes.
func (r *Report) item(kind, of string, rows []int, own map[ownCode]beforeAfter) {
	var pairs [][2]int
	values := 0
	from := make([]Ref, 0, len(rows))
	var order []ownCode
	for _, i := range rows {
		a := &r.stood.Answers[i]
		from = append(from, inAnswers(i))
		for _, v := range []Maybe{a.Before, a.After} {
			if v.Given {
				values++
			}
		}
		switch {
		case kind == kindNames[1]:
			if a.Before.Given && a.After.Given {
				pairs = append(pairs, [2]int{a.Before.N, a.After.N})
			}
		case a.Code == "":
		case a.Before.Given:
			k := ownCode{a.Event, a.Code}
			x := own[k]
			if x.before == 0 {
				order = append(order, k)
			}
			x.before, x.wasBefore = x.before+1, int32(a.Before.N)
			own[k] = x
		case a.After.Given:
			k := ownCode{a.Event, a.Code}
			x := own[k]
			x.after, x.wasAfter = x.after+1, int32(a.After.N)
			own[k] = x
		}
	}
	for _, k := range order {
		if x := own[k]; x.before == 1 && x.after == 1 { // a code used twice at an event joins nothing
			pairs = append(pairs, [2]int{int(x.wasBefore), int(x.wasAfter)})
		}
	}
	r.about(of, ": pairs", People, len(pairs), from)
	r.about(of, leftOutNames, People, values-2*len(pairs), from)
	r.told(of, pairs, from)
	if len(pairs) < r.by.answers {
		r.withheld("E", "", of+meanNames, Change, notGivenNames, whyFewPairs, finding.Args{"Count": len(pairs), "Least": r.by.answers})
		return
	}
	rose, differences := 0, []float64(nil)
	for _, p := range pairs {
		differences = append(differences, float64(p[1]-p[0]))
		if p[1] > p[0] {
			rose++
		}
	}
	m := Mean(differences, r.by.level)
	r.real("E", "", of+meanNames, Change, m.At, from)
	r.real("E", "", of+": low", Change, m.Low, from)
	r.real("E", "", of+": high", Change, m.High, from)
	r.about(of, ": rose", People, rose, from)
	w := Wilson(float64(rose), float64(len(pairs)), r.by.level)
	r.real("E", "", of+roseLowNames, Share, w.Low, from)
	r.real("E", "", of+roseHighNames, Share, w.High, from)
}

// told counts the answers before and after, by step, as the scale is one of ranks; of yes and no (1 and 0), who changed, and how likely
// chance alone moves as many to one side.
func (r *Report) told(of string, pairs [][2]int, from []Ref) {
	most := 0
	for _, p := range pairs {
		most = max(most, p[0], p[1])
	}
	if len(pairs) == 0 || most > mostSteps {
		return
	}
	counts := [2][mostSteps + 1]int{}
	toYes, toNo := 0, 0
	for _, p := range pairs {
		counts[0][p[0]]++
		counts[1][p[1]]++
		if p[0] < p[1] {
			toYes++
		} else if p[0] > p[1] {
			toNo++
		}
	}
	for i, what := range []string{answersBeforeNames, answersAfterNames} {
		var text []string
		for step, n := range counts[i][:most+1] {
			if step > 0 || most == 1 || n > 0 {
				text = append(text, strconv.Itoa(step)+": "+strconv.Itoa(n))
			}
		}
		r.word("E", "", of+what, All, strings.Join(text, "; "), from)
	}
	if most == 1 && len(pairs) >= r.by.answers {
		r.about(of, toYesNames, People, toYes, from)
		r.about(of, toNoNames, People, toNo, from)
		r.real("E", "", of+byChanceNames, Share, Changers(toYes, toNo), from)
	}
}

func (r *Report) about(of, what string, kind Kind, n int, from []Ref) {
	r.Figures = append(r.Figures, Figure{Section: "E", Of: of + what, County: All, Kind: kind, Text: strconv.Itoa(n), Number: float64(n), From: from})
}

// adopted tells of each wave in the range how many answered, and of these how many do it.
func (r *Report) adopted() {
	s := &r.stood
	replies := map[string][]int{}
	for i, x := range s.Replies {
		if x.Returned <= s.day {
			replies[x.Wave] = append(replies[x.Wave], i)
		}
	}
	for i, w := range s.Waves {
		if r.covers.Has(w.Sent) {
			r.wave(w, inWaves(i), replies[w.ID])
			r.formOf(w, len(replies[w.ID]))
		}
	}
}

func (r *Report) wave(w Wave, at Ref, rows []int) {
	from := []Ref{at}
	var of [2][2]int // early and late: yes, answered
	yes, n := 0, 0
	var pounds Decimal
	var told []Ref
	for _, i := range rows {
		x := r.stood.Replies[i]
		from = append(from, inReplies(i))
		if x.Pounds.Given {
			pounds, told = pounds.Add(x.Pounds), append(told, inReplies(i))
		}
		if x.Answer == "" {
			continue
		}
		late := min(x.Mailing-1, 1)
		of[late][1]++
		n++
		if x.Answer == "yes" {
			of[late][0]++
			yes++
		}
	}
	count := func(what string, n int) {
		r.count("F", "wave ", w.ID+": "+what, All, People, n, from)
	}
	share := func(what string, x float64) { r.real("F", "wave ", w.ID+what, Share, x, from) }
	count("sent", w.Count)
	count("returned", len(rows))
	if w.Count == 0 {
		r.withheld("F", "wave ", w.ID+": response_rate", Share, notGivenNames, whyNoneSent, nil)
		return
	}
	sent, more := float64(w.Count), len(rows) > w.Count
	switch {
	case more: // of whom it was sent to nothing can be a part
		r.noticed("more_back", w.ID, at)
		r.withheld("F", "wave ", w.ID+": response_rate", Share, notGivenNames, whyMoreBack, finding.Args{"Back": len(rows), "Sent": w.Count})
	case w.Undeliverable > 0 && w.Undeliverable < w.Count:
		share(": response_rate", float64(len(rows))/sent)
		share(": response_of_delivered", float64(len(rows))/float64(w.Count-w.Undeliverable))
	default:
		share(": response_rate", float64(len(rows))/sent)
	}
	if pounds.Given {
		r.exact("F", "wave ", w.ID+poundsToldNames, Pounds, pounds, told)
	}
	if w.Question == "" && w.Form != "" {
		return
	}
	count("answered", n)
	count("yes", yes)
	if !more {
		share(": answer_rate", float64(n)/sent)
	}
	ofN := func(what string, yes, n int) {
		r.word("F", "wave ", w.ID+": "+what, All, strconv.Itoa(yes)+" of "+strconv.Itoa(n), from)
	}
	if n == 0 {
		r.withheld("F", "wave ", w.ID+": share", Share, notGivenNames, whyNoAnswer, nil)
	}
	if n < r.by.answers {
		ofN("print", yes, n)
		return
	}
	r.among("wave ", w.ID, yes, n, w, from)
	ofN("early", of[0][0], of[0][1])
	ofN("late", of[1][0], of[1][1])
	if of[0][1] > 0 && of[1][1] > 0 {
		d := Newcombe(float64(of[0][0]), float64(of[0][1]), float64(of[1][0]), float64(of[1][1]), r.by.level)
		share(earlyLateNames, d.At)
		share(earlyLateLowNames, d.Low)
		share(earlyLateHighNames, d.High)
	}
}

// among tells which share of those who answered said yes, between which limits, and what the silent could make of it.
func (r *Report) among(measure, of string, yes, n int, w Wave, from []Ref) {
	share := func(what string, x float64) { r.real("F", measure, of+what, Share, x, from) }
	x := Wilson(float64(yes), float64(n), r.by.level)
	share(": share", x.At)
	share(": low", x.Low)
	share(": high", x.High)
	exact := Exact(float64(yes), float64(n), r.by.level)
	share(exactLowNames, exact.Low)
	share(exactHighNames, exact.High)
	if yes == 0 {
		share(atMostNames, NobodySaid(float64(n), r.by.level))
	}
	if w.Whole.Given && w.Whole.N > n {
		all := Small(float64(yes), float64(n), float64(w.Whole.N), r.by.level)
		share(wholeLowNames, all.Low)
		share(wholeHighNames, all.High)
	}
	if n > w.Count { // told
		return
	}
	sent := float64(w.Count)
	share(silentNoneNames, float64(yes)/sent)
	share(silentAllNames, float64(yes+w.Count-n)/sent)
}

// sorted gives the names of a map in their order.
func sorted[V any](m map[string]V) []string {
	names := make([]string, 0, len(m))
	for name := range m {
		names = append(names, name)
	}
	slices.SortFunc(names, cmp.Compare[string])
	return names
}
