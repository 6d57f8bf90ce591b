package programme

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"raftwright/finding"
	"raftwright/internal/table"
)

// classKind begins the name of a figure of classes: "class/ph: right after".
const classKind = "class/"

// check tells what in a class's result contradicts itself.
func (x *Class) check(at *table.Row) {
	more := func(right, of int, column string) {
		if right > of {
			at.Wrong(FaultRight, column, finding.Args{"Right": right, "Answered": of})
		}
	}
	more(x.After, x.AfterOf, "right_after")
	switch {
	case x.both():
		more(x.Before.N, x.BeforeOf.N, "right_before")
	case x.Before.Given:
		at.Wrong(table.FaultBlank, "answered_before", finding.Args{"Name": "answered_before"})
	case x.BeforeOf.Given:
		at.Wrong(table.FaultBlank, "right_before", finding.Args{"Name": "right_before"})
	}
}

// both tells whether the class was asked before too.
func (x Class) both() bool { return x.Before.Given && x.BeforeOf.Given }

// alike are the results of all classes for one item: of those asked before and after, and of those asked after alone.
type alike struct {
	both, after []int // rows
}

// classes counts what classes of pupils answered, item by item. Classes asked before and after are compared with themselves; those that were asked after
// alone stand apart, since without a count before nothing has risen. Pupils are not joined from one time to the other, so the unit of a change is
// the class: its share after less its share before, with the mean and Student's t over classes. With more answers than pupils at an event all
// its results for the item are set aside and told; so is one that a correction made impossible.
func (r *Report) classes() {
	s := &r.stood
	if len(s.Classes) == 0 {
		return
	}
	events := map[string]Event{}
	for _, e := range s.Events {
		events[e.ID] = e
	}
	type asked struct{ event, item string }
	answered, seen := map[asked]int{}, map[[3]string]bool{}
	for _, x := range s.Classes {
		answered[asked{x.Event, x.Item}] += x.AfterOf
	}
	by := map[string]*alike{}
	for i, x := range s.Classes {
		if !r.covers.Has(events[x.Event].Date) {
			continue
		}
		if answered[asked{x.Event, x.Item}] > events[x.Event].Youth || x.After > x.AfterOf || x.Before.N > x.BeforeOf.N {
			r.noticed("pupils", x.ID, inClasses(i))
			continue
		}
		if of := [3]string{x.Event, x.Group, x.Item}; seen[of] {
			r.noticed("class_twice", x.ID, inClasses(i))
		} else {
			seen[of] = true
		}
		if by[x.Item] == nil {
			by[x.Item] = &alike{}
		}
		if a := by[x.Item]; x.both() {
			a.both = append(a.both, i)
		} else {
			a.after = append(a.after, i)
		}
	}
	for _, item := range sorted(by) {
		r.answered[[2]string{kindNames[0], item}] = true
		r.classItem(classKind+item, by[item])
	}
}

// classItem gives the figures of an item: counts, and the mean change of a class.
func (r *Report) classItem(of string, a *alike) {
	refs := func(rows []int) (from []Ref) {
		for _, i := range rows {
			from = append(from, inClasses(i))
		}
		return from
	}
	result := func(when string, rows []int, counts func(Class) (right, answered int)) {
		n, k := 0, 0
		for _, i := range rows {
			right, answered := counts(r.stood.Classes[i])
			k, n = k+right, n+answered
		}
		r.about(of, classAnsweredNames+when, People, n, refs(rows))
		if n < r.by.pupils {
			r.withheld("E", "", of+classRightNames+when, Word, notGivenNames, whyFewPupils, finding.Args{"Least": r.by.pupils})
			return
		}
		r.word("E", "", of+classRightNames+when, All, strconv.Itoa(k)+" of "+strconv.Itoa(n), refs(rows))
	}
	after := func(x Class) (int, int) { return x.After, x.AfterOf }
	r.about(of, classesNames, Count, len(a.both)+len(a.after), refs(append(a.both[:len(a.both):len(a.both)], a.after...)))
	if len(a.after) > 0 {
		result(onlyAfterNames, a.after, after)
	}
	if len(a.both) == 0 {
		return
	}
	result("before", a.both, func(x Class) (int, int) { return x.Before.N, x.BeforeOf.N })
	result("after", a.both, after)
	var changes []float64
	pupils := 0
	for _, i := range a.both {
		x := r.stood.Classes[i]
		pupils += min(x.BeforeOf.N, x.AfterOf)
		changes = append(changes, float64(x.After)/float64(x.AfterOf)-float64(x.Before.N)/float64(x.BeforeOf.N))
	}
	switch {
	case pupils < r.by.pupils:
		r.withheld("E", "", of+classChangeNames, Share, notGivenNames, whyFewPupils, finding.Args{"Least": r.by.pupils})
	case len(changes) < 2:
		r.withheld("E", "", of+classChangeNames, Share, notGivenNames, whyOneClass, nil)
	default:
		m := Mean(changes, r.by.level)
		r.real("E", "", of+classChangeNames, Share, m.At, refs(a.both))
		r.real("E", "", of+classChangeNames+" low", Share, m.Low, refs(a.both))
		r.real("E", "", of+classChangeNames+" high", Share, m.High, refs(a.both))
	}
}

// ClassResult is what a class answered to an item as paper may tell it. A small class is not told of, nor one whose result would give it away.
type ClassResult struct {
	ID, Event, Group, Grades, Item string
	Before, After                  string // Before is "" where the class was not asked; both are where it is not told
	Told                           bool
}

// ClassResults gives the results of the range, in the order of their rows. Since the results of an item add up to its figures, a small class is covered by the smallest
// of the others, until those that are not told are as many pupils as a class must be.
func (r *Report) ClassResults() (out []ClassResult) {
	rows := map[[2]string][]int{} // by item, and whether they were asked before
	var order [][2]string
	for _, f := range r.Figures {
		if end := strings.LastIndex(f.Of, classesNames); f.ofClass() && end >= 0 {
			for _, ref := range f.From {
				x := r.stood.Classes[ref.Row()]
				of := [2]string{x.Item, strconv.FormatBool(x.both())}
				if rows[of] == nil {
					order = append(order, of)
				}
				rows[of] = append(rows[of], ref.Row())
			}
		}
	}
	pupils := func(i int) int {
		if x := r.stood.Classes[i]; x.both() {
			return min(x.BeforeOf.N, x.AfterOf)
		}
		return r.stood.Classes[i].AfterOf
	}
	for _, of := range order {
		list := slices.Clone(rows[of])
		slices.SortStableFunc(list, func(a, b int) int { return cmp.Compare(pupils(a), pupils(b)) })
		hidden, away := map[int]bool{}, 0
		for _, i := range list {
			if pupils(i) < r.by.pupils || away > 0 && away < r.by.pupils {
				hidden[i] = true
				away += pupils(i)
			}
		}
		for _, i := range rows[of] {
			x := r.stood.Classes[i]
			c := ClassResult{ID: x.ID, Event: x.Event, Group: x.Group, Grades: x.Grades, Item: x.Item, Told: !hidden[i]}
			if c.Told {
				c.After = strconv.Itoa(x.After) + " of " + strconv.Itoa(x.AfterOf)
				if x.both() {
					c.Before = strconv.Itoa(x.Before.N) + " of " + strconv.Itoa(x.BeforeOf.N)
				}
			}
			out = append(out, c)
		}
	}
	return out
}

// ofClass tells whether a figure is of classes of pupils.
func (f Figure) ofClass() bool { return f.ofItem() && strings.HasPrefix(f.Of, classKind) }

// pupils puts a figure of classes as the public may read it: no result of fewer pupils than the rule has, neither all nor none, none that differs from what went
// out before by a small class, and no change from which a class's own result could be worked out. How many records stand behind it is not told.
func (p *publisher) pupils(f Figure) {
	end := strings.LastIndex(f.Of, ": ")
	of, what := f.Of[:end], f.Of[end:]
	when, counted := strings.CutPrefix(what, classAnsweredNames)
	right, told := strings.CutPrefix(what, classRightNames)
	shown := true
	switch {
	case counted:
		shown = p.tellable(of, when)
	case told:
		if shown = f.Why == "" && p.tellable(of, right); shown {
			k, n, _ := strings.Cut(f.Text, " of ")
			yes, _ := strconv.Atoi(k)
			all, _ := strconv.Atoi(n)
			f.Text = PupilsShown(yes, all, p.by.pupils)
		}
	case strings.HasPrefix(what, classChangeNames):
		shown = f.Why == whyOneClass || f.Why == "" && p.tellable(of, "before") && p.tellable(of, "after") && p.eachShown(f.From)
	}
	f = p.renamed(f)
	f.From = nil
	if !shown {
		f.Text, f.Number, f.Why, f.Args = withheldNames, 0, whyFewPupils, finding.Args{"Least": p.by.pupils}
		p.e.Held++
	}
	p.e.Figures = append(p.e.Figures, f)
}

// tellable tells whether so many pupils answered that a result of theirs may be told, and no earlier edition differs by a small class.
func (p *publisher) tellable(of, when string) bool {
	i, ok := p.at[of+classAnsweredNames+when+"|"+All]
	if !ok || int(p.Figures[i].Number) < p.by.pupils {
		return false
	}
	name, n := p.renamed(p.Figures[i]).Name(), int(p.Figures[i].Number)
	for _, old := range p.stood.Published {
		if d := n - old.Count; !old.Hidden && old.County == All && old.Measure == name && small(max(d, -d), p.by.pupils) {
			if near := (Near{County: All, Measure: name, AsOf: old.AsOf}); !slices.Contains(p.e.Near, near) {
				p.e.Near = append(p.e.Near, near)
			}
			return false
		}
	}
	return true
}

// eachShown tells whether the result of each of these classes could be told as it is.
func (p *publisher) eachShown(from []Ref) bool {
	exact := func(right, of int) bool { return strings.Contains(PupilsShown(right, of, p.by.pupils), " of ") }
	return !slices.ContainsFunc(from, func(ref Ref) bool {
		x := p.stood.Classes[ref.Row()]
		return !exact(x.Before.N, x.BeforeOf.N) || !exact(x.After, x.AfterOf)
	})
}
