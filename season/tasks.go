package season

import (
	"maps"
	"slices"
	"time"

	"raftwright/finding"
	"raftwright/source"
	"raftwright/unit"
)

// sourceID shortens the signatures here.
type sourceID = source.ID

// TaskKind says what a task is.
type TaskKind string

// Kinds of tasks.
const (
	TaskSow     TaskKind = "sow"
	TaskSetOut  TaskKind = "set_out"
	TaskMove    TaskKind = "move" // from the nursery spacing to the last one
	TaskHarvest TaskKind = "harvest"
	TaskClean   TaskKind = "clean"
	TaskCheck   TaskKind = "check" // level, temperature, pH, EC, roots
	TaskShade   TaskKind = "shade"
	TaskUnshade TaskKind = "unshade" // take the cloth down
	TaskFrost   TaskKind = "frost"
	TaskLeave   TaskKind = "leave"  // fill, feed and cover a planted bed before an absence
	TaskEmpty   TaskKind = "empty"  // a bed without plants before an absence
	TaskCover   TaskKind = "cover"  // a bed without plants before a short one
	TaskTrays   TaskKind = "trays"  // water the seedlings before an absence
	TaskRefill  TaskKind = "refill" // the emptied bed
	TaskFill    TaskKind = "fill"   // the new bed, and leave it for the night
	TaskCure    TaskKind = "cure"   // take the chlorine out; the plan knows its dose, and where there is none
	TaskFeed    TaskKind = "feed"   // mix the feed into the bed that held
	TaskFetch   TaskKind = "fetch"  // seedlings that nobody was there to raise
)

// Word is the task's sentence for translation.
func (k TaskKind) Word() finding.ID { return finding.ID("season.task." + string(k)) }

// Task is something to do on a day.
type Task struct {
	Day   time.Time
	Kind  TaskKind
	Batch int // 0: the bed
	Args  finding.Args
}

// mostTasks bounds the calendar.
const mostTasks = 4000

// tasks lists the work in the order of its days.
func (m *maker) tasks() {
	m.Tasks = make([]Task, 0, 5*len(m.Batches)+32)
	if known := m.ground.calendars.tasks(m.laid); known != nil {
		m.Tasks = append(m.Tasks, known...)
	} else {
		m.regular()
		m.ground.calendars.keep(m.laid, m.Tasks)
	}
	if len(m.Batches) > 0 {
		m.shadeTasks()
		m.frostTasks()
		m.leaveTasks()
	}
	m.Tasks = inOrder(m.Tasks)
	if len(m.Tasks) > mostTasks {
		m.Tasks = m.Tasks[:mostTasks]
	}
}

// regular lists the work that rests on the batches alone, whatever the weather.
func (m *maker) regular() {
	m.opening()
	word := m.Crop.Word()
	for i := range m.Batches {
		b := &m.Batches[i]
		args := finding.Args{"Crop": word, "Count": b.Plants, "Batch": b.Number}
		if b.Sow.Before(b.SetOut) {
			m.Tasks = append(m.Tasks, Task{b.Sow, TaskSow, b.Number, args})
		}
		if b.Fetched {
			a := maps.Clone(args)
			sown := addDays(b.SetOut, -m.nurseryDays())
			a["Month"], a["Day"] = monthWord(int(sown.Month())), sown.Day()
			m.Tasks = append(m.Tasks, Task{b.SetOut, TaskFetch, b.Number, a})
		}
		if !b.Move.IsZero() && b.Move.After(b.SetOut) {
			m.Tasks = append(m.Tasks, Task{b.Move, TaskMove, b.Number, args})
		}
		cut := finding.Args{"Crop": word, "Count": b.Plants, "Batch": b.Number, "Earliest": b.Earliest, "Latest": b.Latest}
		m.Tasks = append(m.Tasks, Task{b.SetOut, TaskSetOut, b.Number, args}, Task{b.Harvest, TaskHarvest, b.Number, cut})
		day := m.roster.next(addDays(b.Harvest, 1))
		if m.anyBatch(func(x *Batch) bool { return x.SetOut.Before(day) && x.Harvest.After(b.Harvest) }) {
			continue // other plants stand in the bed
		}
		if m.roster.open[m.roster.day(day)] && !m.emptied(b.Harvest, day) {
			m.Tasks = append(m.Tasks, Task{day, TaskClean, 0, finding.Args{}})
			if back, ok := m.nextSetOut(b.Harvest); ok && !m.emptied(day, back) {
				m.fillAgain(day, back)
			}
		}
	}
	m.checks()
}

// inOrder gives tasks in the order of their days, those of one day as they are done; it moves
// numbers, which are lighter than tasks.
func inOrder(tasks []Task) []Task {
	const places = 1 << 24
	order := make([]int64, len(tasks))
	for i := range tasks {
		t := &tasks[i]
		order[i] = (dayNumber(t.Day)*8+int64(t.Kind.early()))*places + int64(i)
	}
	slices.Sort(order)
	out := make([]Task, len(tasks))
	for i, place := range order {
		out[i] = tasks[place%places]
	}
	return out
}

// early orders what is done on one day: the bed is cleaned, filled, cured, fed and planted.
func (k TaskKind) early() int {
	switch k {
	case TaskClean:
		return 0
	case TaskFill, TaskRefill:
		return 1
	case TaskCure:
		return 2
	case TaskFeed:
		return 3
	case TaskFetch:
		return 4
	}
	return 5
}

// fillAgain fills and feeds an emptied bed, from a day on which somebody is there, before plants are set out on another.
func (m *maker) fillAgain(here, back time.Time) {
	feed := maxTime(here, m.comes(addDays(back, -1)))
	m.Tasks = append(m.Tasks, Task{maxTime(here, m.comes(addDays(feed, -1))), TaskRefill, 0, finding.Args{"Depth": m.Bed.Depth}},
		cure(feed), Task{feed, TaskFeed, 0, finding.Args{"New": false}})
}

// opening puts the first filling before the first plants: the bed is filled and stands for a
// night, and is fed when it held.
func (m *maker) opening() {
	if len(m.Batches) == 0 {
		return
	}
	out := m.Batches[0].SetOut
	for i := range m.Batches {
		b := &m.Batches[i]
		if b.SetOut.Before(out) {
			out = b.SetOut
		}
	}
	feed := m.comes(addDays(out, -1))
	m.Tasks = append(m.Tasks, Task{m.comes(addDays(feed, -1)), TaskFill, 0, finding.Args{"Depth": m.Bed.Depth}}, cure(feed), Task{feed, TaskFeed, 0, finding.Args{"New": true}})
}

// cure asks on a day for the chlorine: the season does not know the water.
func cure(day time.Time) Task { return Task{day, TaskCure, 0, finding.Args{"Filter": false}} }

// comes gives the last day up to another on which somebody comes, the first after it where
// there is none.
func (m *maker) comes(d time.Time) time.Time {
	if m.roster.before[m.roster.day(d)] < 0 {
		return m.roster.next(d)
	}
	return m.roster.last(d)
}

// anyBatch says whether something holds of a batch, none of which is copied for it.
func (m *maker) anyBatch(holds func(*Batch) bool) bool {
	for i := range m.Batches {
		if holds(&m.Batches[i]) {
			return true
		}
	}
	return false
}

// emptied says whether the bed is emptied, and so cleaned, between a cut and a day.
func (m *maker) emptied(cut, day time.Time) bool {
	return slices.ContainsFunc(m.Leaves, func(l Leave) bool { return l.empties() && !l.From.Before(cut) && l.From.Before(day) })
}

// frostTasks puts the cover beside the bed on the first day of each cold season on
// which a freeze comes in one year of ten and plants stand in the bed, also those
// that are set out within two months of that day.
func (m *maker) frostTasks() {
	f := m.Frost.First10
	if f == 0 || m.Frost.Always {
		return
	}
	first, last := m.Batches[0].SetOut, m.Batches[len(m.Batches)-1].Harvest
	for year := first.Year() - 1; year <= last.Year(); year++ {
		from, day := f.In(year), time.Time{}
		for i := range m.Batches {
			b := &m.Batches[i]
			out := maxTime(b.SetOut, from)
			if b.Harvest.After(from) && !out.After(addDays(from, 60)) && (day.IsZero() || out.Before(day)) {
				day = out
			}
		}
		if day.IsZero() {
			continue
		}
		m.Tasks = append(m.Tasks, Task{m.comes(day), TaskFrost, 0, finding.Args{}})
	}
}

// plantedFrom is the first day from this one on with plants in the bed, or this day where
// none follow.
func (m *maker) plantedFrom(day time.Time) time.Time {
	for i := range m.Batches {
		b := &m.Batches[i]
		if b.Harvest.After(day) {
			return maxTime(day, b.SetOut)
		}
	}
	return day
}

// shadeTasks puts the hanging of shade cloth on the first day, with plants in the
// bed, of a run of months that want it, and its taking down after the last.
func (m *maker) shadeTasks() {
	cloth := map[int]unit.Fraction{}
	for _, r := range m.shaded() {
		for i := r.From; ; i = i%12 + 1 {
			cloth[i] = r.Shade
			if i == r.To {
				break
			}
		}
	}
	month := func(d time.Time) int { return d.Year()*12 + int(d.Month()) }
	stands := map[int]bool{}
	for i := range m.Batches {
		b := &m.Batches[i]
		stands[month(addDays(b.Harvest, -1))] = true
		for d := b.SetOut; d.Before(b.Harvest); d = addDays(d, 28) {
			stands[month(d)] = true
		}
	}
	first, last := m.Batches[0].SetOut, m.Batches[len(m.Batches)-1].Harvest
	hung := unit.Fraction(0)
	for d := time.Date(first.Year(), first.Month(), 1, 0, 0, 0, 0, time.UTC); !d.After(last); d = d.AddDate(0, 1, 0) {
		want := cloth[int(d.Month())]
		if !stands[month(d)] {
			want = 0
		}
		day := m.comes(maxTime(d, first))
		if hung == 0 {
			day = m.comes(m.plantedFrom(d))
		}
		switch {
		case want > 0 && want != hung && m.plantDays(day, m.shadeEnds(d, cloth)) < leastShaded:
			continue // not worth hanging, nor changing
		case want > 0 && want != hung:
			m.Tasks = append(m.Tasks, Task{day, TaskShade, 0, finding.Args{"Shade": want, "Month": monthWord(int(d.Month()))}})
		case want == 0 && hung > 0:
			m.Tasks = append(m.Tasks, Task{day, TaskUnshade, 0, finding.Args{}})
		}
		hung = want
	}
}

// leastShaded is for how many days with plants under it cloth is hung (own choice).
const leastShaded = 7

// shadeEnds gives the first day of the month in which the cloth of a month is no longer wanted.
func (m *maker) shadeEnds(month time.Time, cloth map[int]unit.Fraction) time.Time {
	want := cloth[int(month.Month())]
	end := month.AddDate(0, 1, 0)
	for range 11 {
		if cloth[int(end.Month())] != want {
			break
		}
		end = end.AddDate(0, 1, 0)
	}
	return end
}

// plantDays counts the days from one to before another on which plants stand in the bed.
func (m *maker) plantDays(from, to time.Time) int {
	days := 0
	for d := from; d.Before(to); d = addDays(d, 1) {
		if m.anyBatch(func(b *Batch) bool { return !d.Before(b.SetOut) && d.Before(b.Harvest) }) {
			days++
		}
	}
	return days
}

// checks puts a check on each week in which plants stand in the bed, on the day
// before a break where one falls into it; where two do, once.
func (m *maker) checks() {
	var last, on time.Time
	for i := range m.Batches {
		b := &m.Batches[i]
		for d := addDays(b.SetOut, 7); d.Before(b.Harvest); d = addDays(d, 7) {
			if !last.IsZero() && d.Before(addDays(last, 7)) {
				continue
			}
			day := m.comes(d)
			if day.Before(b.SetOut) {
				continue
			}
			if last = d; day.After(on) {
				m.Tasks = append(m.Tasks, Task{day, TaskCheck, 0, finding.Args{}})
				on = day
			}
		}
	}
}

func digit(n int) string { return string(rune('0' + n%10)) }

func monthWord(n int) finding.Word {
	if n >= 10 {
		return finding.Word("month.1" + digit(n))
	}
	return finding.Word("month." + digit(n))
}
