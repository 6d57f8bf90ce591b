package programme

import (
	"cmp"
	"reflect"
	"slices"

	"raftwright/finding"
	"raftwright/internal/table"
)

// span is a beginning and an end that a row names; end is the column of the latter.
type span struct {
	from, to   Day
	begin, end string
}

func (x span) wrong() bool { return x.to != 0 && x.to < x.from }

func (x span) args() finding.Args {
	return finding.Args{"From": x.from.String(), "To": x.to.String()}
}

// spans are the beginnings and ends of a row, so many of them.
func spans(row any) (out [2]span, n int) {
	switch x := row.(type) {
	case *Funder:
		return [2]span{{x.From, x.To, "from", "to"}}, 1
	case *Site:
		return [2]span{{x.Opened, x.Closed, "opened", "closed"}}, 1
	case *Bed:
		return [2]span{{x.Planted, x.Retired, "first_planted", "retired"}}, 1
	case *Consent:
		return [2]span{{x.Given, x.Withdrawn, "given", "withdrawn"}}, 1
	case *Inquiry:
		return [2]span{{x.Date, x.AskAgain, "date", "ask_again"}, {x.Date, x.AskedAgain, "date", "asked_again"}}, 2
	case *Setting:
		return [2]span{{x.From, x.To, "from", "to"}}, 1
	case *Hold:
		return [2]span{{x.From, x.Until, "from", "until"}}, 1
	}
	return out, 0
}

// reversed tells which corrections, by their number, put an end before its beginning as the row stands at the end of their day: two of one day may move both.
func (r *Records) reversed() map[int]span {
	type of struct{ table, record string }
	moved, tables := map[of][]int{}, map[string]bool{}
	for i, c := range r.Corrections {
		at := place(c.Table)
		if at < 0 || c.Action != "change" {
			continue
		}
		if list, n := spans(reflect.New(sheets[at].row).Interface()); slices.ContainsFunc(list[:n], func(x span) bool { return x.begin == c.Field || x.end == c.Field }) {
			tables[c.Table] = true
			moved[of{c.Table, c.Record}] = append(moved[of{c.Table, c.Record}], i)
		}
	}
	if len(moved) == 0 {
		return nil
	}
	void := map[string]bool{}
	for _, c := range r.Corrections {
		void[c.ID] = true
	}
	for _, c := range standingCorrections(inTheirOrder(r.Corrections)) {
		delete(void, c.ID)
	}
	var out map[int]span
	for _, s := range sheets {
		if !tables[s.name] || s.id != 0 {
			continue
		}
		rows := s.rows(r)
		for i := range rows.Len() {
			list := moved[of{s.name, rows.Index(i).Field(0).String()}]
			if list == nil {
				continue
			}
			slices.SortStableFunc(list, func(a, b int) int { return cmp.Compare(r.Corrections[a].MadeOn, r.Corrections[b].MadeOn) })
			row := reflect.New(s.row)
			row.Elem().Set(rows.Index(i))
			for k, n := range list {
				c := r.Corrections[n]
				if col, ok := s.column(c.Field); ok && !void[c.ID] {
					col.set(row.Elem(), c.New) // one that does not fit is told
				} else {
					continue
				}
				if k+1 < len(list) && r.Corrections[list[k+1]].MadeOn == c.MadeOn {
					continue
				}
				both, many := spans(row.Interface())
				for _, x := range both[:many] {
					if x.wrong() {
						if out == nil {
							out = map[int]span{}
						}
						out[n] = x
					}
				}
			}
		}
	}
	return out
}

// inTheirOrder gives corrections by their days, those of one day as they were written.
func inTheirOrder(list []Correction) []Correction {
	list = slices.Clone(list)
	slices.SortStableFunc(list, func(a, b Correction) int { return cmp.Compare(a.MadeOn, b.MadeOn) }) // names are by chance
	return list
}

// misplaced tells the corrections that put an end before its beginning, each at its place in the text of its file.
func (r *Records) misplaced(text string) finding.Faults {
	wrong := r.reversed()
	if len(wrong) == 0 {
		return nil
	}
	n := -1
	faults := table.Read("corrections.csv", text, func(row *table.Row) {
		if n++; wrong[n] != (span{}) {
			row.Wrong(FaultOrder, "new", wrong[n].args())
		}
	})
	return slices.DeleteFunc(faults, func(f finding.Fault) bool { return f.ID != FaultOrder })
}

// Reverses tells whether corrections of one row that are written together, each a text for each column, would put an end before its beginning, as the records stand
// with all corrections. Beside is then the other column of the two, which is moved in the same step.
func (r Records) Reverses(rows ...[]string) (beside string, faults finding.Faults) {
	s, before := sheets[place("corrections")], len(r.Corrections)
	r.Corrections = slices.Clip(r.Corrections)
	for _, row := range rows {
		one := reflect.New(s.row).Elem()
		for i, c := range s.columns {
			if i < len(row) {
				if id, _ := c.set(one, row[i]); id != "" {
					return "", nil // told by itself
				}
			}
		}
		r.Corrections = append(r.Corrections, one.Interface().(Correction))
	}
	wrong := r.reversed()
	for n := before; n < len(r.Corrections); n++ {
		if x, is := wrong[n]; is {
			if beside = x.end; r.Corrections[n].Field == x.end {
				beside = x.begin
			}
			return beside, finding.Faults{{ID: FaultOrder, Args: x.args()}}
		}
	}
	return "", nil
}
