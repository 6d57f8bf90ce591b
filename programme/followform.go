package programme

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"raftwright/finding"
)

// later is the kind of an answer that is compared with none: what somebody does months after.
const laterNames = "later"

// formOf tells what came back to the items of a wave's form: pairs compared by its design, and what is asked once. Beside each stands the
// response. What is asked months later is never pooled with the forms of an event, but joined to what these said before.
func (r *Report) formOf(w Wave, back int) {
	s := &r.stood
	by := map[[2]string][]int{}
	for i, a := range s.Answers {
		if a.Wave == w.ID && !a.first() {
			by[[2]string{a.Kind, a.Item}] = append(by[[2]string{a.Kind, a.Item}], i)
		}
	}
	var asked [][2]string
	for key := range by {
		asked = append(asked, key)
	}
	slices.SortFunc(asked, func(a, b [2]string) int { return cmp.Or(cmp.Compare(a[0], b[0]), cmp.Compare(a[1], b[1])) })
	for _, key := range asked {
		kind, item, rows := key[0], key[1], by[key]
		of := kind + "/" + item + " (" + w.ID + ")"
		r.ofWave[of] = w.ID
		r.answered[[2]string{kind, item}] = true
		var before []int
		for i, a := range s.Answers {
			if kind == kindNames[0] && w.Event != "" && a.Event == w.Event && a.Item == item && a.first() {
				before = append(before, i)
			}
		}
		if kind == laterNames {
			r.once(of, w, s.FormOf(w.Form), rows)
		} else {
			r.item(kind, of, append(before, rows...), map[ownCode]beforeAfter{})
		}
		if w.Count > 0 && back <= w.Count {
			section := "E"
			if kind == laterNames {
				section = "F"
			}
			r.real(section, "", of+responseNames, Share, float64(back)/float64(w.Count), r.refsOf(rows))
		}
	}
}

func (r *Report) refsOf(rows []int) (from []Ref) {
	for _, i := range rows {
		from = append(from, inAnswers(i))
	}
	return from
}

// once tells what was answered to an item that is asked one time: how many said yes, the mean of a number, or how many gave each answer.
func (r *Report) once(of string, w Wave, items []Asked, rows []int) {
	from, counts, n := r.refsOf(rows), map[int]int{}, 0
	for _, i := range rows {
		if a := r.stood.Answers[i].After; a.Given {
			counts[a.N]++
			n++
		}
	}
	r.count("F", "", of+": answered", All, People, n, from)
	is := func(answer string) bool {
		return slices.ContainsFunc(items, func(q Asked) bool { return q.Answer == answer && strings.HasPrefix(of, laterNames+"/"+q.Item+" (") })
	}
	yesNo := is("yes")
	if is("number") {
		r.average(of, rows, from)
	}
	switch {
	case yesNo:
		r.count("F", "", of+": yes", All, People, counts[1], from)
		r.word("F", "", of+": print", All, strconv.Itoa(counts[1])+" of "+strconv.Itoa(n), from)
		if n >= r.by.answers && w.Count > 0 {
			r.among("", of, counts[1], n, w, from)
		}
	case len(counts) > 0 && len(counts) <= mostSteps:
		var text []string
		for _, step := range slices.Sorted(func(yield func(int) bool) {
			for step := range counts {
				if !yield(step) {
					return
				}
			}
		}) {
			text = append(text, strconv.Itoa(step)+": "+strconv.Itoa(counts[step]))
		}
		r.word("F", "", of+answersGivenNames, All, strings.Join(text, "; "), from)
	}
}

// average tells the mean of a number that was answered, with the limits of Student's t; of few answers why there is none.
func (r *Report) average(of string, rows []int, from []Ref) {
	values := r.numbers(rows)
	if len(values) < r.by.answers {
		r.withheld("F", "", of+averageNames, Average, notGivenNames, whyFewAnswers, finding.Args{"Count": len(values), "Least": r.by.answers})
		return
	}
	m := Mean(values, r.by.level)
	r.real("F", "", of+averageNames, Average, m.At, from)
	r.real("F", "", of+averageLowNames, Average, m.Low, from)
	r.real("F", "", of+averageHighNames, Average, m.High, from)
}

// numbers gives what was answered in rows of answers.
func (r *Report) numbers(rows []int) (out []float64) {
	for _, i := range rows {
		if a := r.stood.Answers[i].After; a.Given {
			out = append(out, float64(a.N))
		}
	}
	return out
}
