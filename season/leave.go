package season

import (
	"slices"
	"time"

	"raftwright/finding"
	"raftwright/source"
	"raftwright/unit"
)

// AssumeTrays says how long seedlings are left alone.
const AssumeTrays finding.ID = "season.trays"

// fedShare is the share of the depth above which what is drunk is made good with feed, not
// with water (common practice, no source).
const fedShare = 0.25

// attend says how each absence finds the bed, once the batches are known.
func (m *maker) attend() {
	if len(m.Batches) == 0 {
		return
	}
	r := &m.roster
	first, end := r.day(m.Batches[0].Sow), r.day(m.Batches[0].Harvest)
	for _, b := range m.Batches {
		first, end = min(first, r.day(b.Sow)), max(end, r.day(b.Harvest))
	}
	trays := false
	for _, l := range r.leaves {
		if l.to-l.from < shortLeave || l.to < first || l.from > end {
			continue
		}
		for _, b := range m.Batches {
			if sown, out, cut := r.day(b.Sow), r.day(b.SetOut), r.day(b.Harvest); out < l.from && cut > l.to {
				l.Plants += b.Plants
			} else if sown < l.from && out > l.to {
				l.Trays = true
			}
			out, cut := r.day(b.SetOut), r.day(b.Harvest)
			l.before, l.after = l.before || out < l.from, l.after || cut > l.to
		}
		l.Used = l.before && l.after
		for i := l.from; i <= l.to; i++ {
			l.Drinks += m.drinks(unit.DailyDepth(m.days.et0[r.year[i]])*unit.MillimetrePerDay, m.cover(i))
		}
		l.Drop = unit.Length(float64(l.Drinks) / float64(m.Bed.Area))
		trays = trays || l.Trays
		m.Leaves = append(m.Leaves, l)
	}
	if trays {
		m.assume(AssumeTrays, source.CommonPractice, finding.Args{"Days": trayStands})
	}
}

// cover gives the share of the raft under leaves on a day.
func (m *maker) cover(day int) float64 {
	r := &m.roster
	cover := 0.0
	for _, b := range m.Batches {
		if out, cut := r.day(b.SetOut), r.day(b.Harvest); out < day && cut >= day {
			now := b.run[day-out-1]
			cover += float64(b.Plants) / float64(now.Plants) / m.Bed.Area.SquareMetres() * float64(now.Cover)
		}
	}
	return min(1, cover)
}

// leaveTasks puts what is done about each absence on the last day before it, and the
// filling of an emptied bed on the first day on which plants go on again.
func (m *maker) leaveTasks() {
	for _, l := range m.Leaves {
		day := m.roster.last(l.From)
		if day.Equal(l.From) || m.roster.before[l.from] < 0 {
			continue
		}
		args := finding.Args{"From": l.From, "Back": m.roster.next(l.To), "Days": l.to - l.from + 1, "Drinks": l.Drinks, "Drop": l.Drop, "Drawable": l.Drawable,
			"Depth": m.Bed.Depth, "Feed": float64(l.Drop) > fedShare*float64(m.Bed.Depth), "Trays": l.Trays}
		switch {
		case l.Plants > 0:
			args["Count"] = l.Plants
			m.Tasks = append(m.Tasks, Task{day, TaskLeave, 0, args})
		case l.empties() && m.cleared(l.From): // it stands empty under its raft
		case l.empties():
			args["Clean"] = m.cleaned(day)
			m.Tasks = append(m.Tasks, Task{day, TaskEmpty, 0, args})
			if back, ok := m.nextSetOut(l.To); ok {
				m.fillAgain(m.roster.next(addDays(l.To, 1)), back)
			}
		case l.before:
			m.Tasks = append(m.Tasks, Task{day, TaskCover, 0, args})
		}
		if l.Trays && l.Plants == 0 {
			m.Tasks = append(m.Tasks, Task{day, TaskTrays, 0, args})
		}
	}
}

// empties says whether a bed in use stands without plants for so long that it is emptied.
func (l Leave) empties() bool { return l.before && l.Plants == 0 && l.to-l.from+1 >= emptyBefore }

// cleaned says whether the bed was cleaned since plants last stood in it.
func (m *maker) cleaned(day time.Time) bool { return m.since(TaskClean, day) }

// cleared says whether the bed was emptied for another absence since plants last stood in it.
func (m *maker) cleared(day time.Time) bool { return m.since(TaskEmpty, day) }

// since says whether something was done before a day, and no plant set out after it.
func (m *maker) since(what TaskKind, day time.Time) bool {
	return slices.ContainsFunc(m.Tasks, func(t Task) bool {
		return t.Kind == what && t.Day.Before(day) && !slices.ContainsFunc(m.Batches, func(b Batch) bool { return !b.SetOut.Before(t.Day) && b.SetOut.Before(day) })
	})
}

// nextSetOut gives the first day after another on which plants go on the raft.
func (m *maker) nextSetOut(after time.Time) (time.Time, bool) {
	var out time.Time
	for _, b := range m.Batches {
		if b.SetOut.After(after) && (out.IsZero() || b.SetOut.Before(out)) {
			out = b.SetOut
		}
	}
	return out, !out.IsZero()
}
