package season

import (
	"slices"
	"sync"
	"time"

	"raftwright/crop"
	"raftwright/sky"
	"raftwright/unit"
)

// laid is the calendar of a steady harvest as it was made last: what it rests on, and what came of
// it. What its batches drink rests on more and is not taken over. Nobody may change it but for the tasks.
type laid struct {
	ground     grounds
	wish       wish
	days       []time.Weekday
	open       []bool
	dry, trays []int
	list       []harvest
	weight     unit.Mass
	steady     Steady
	batches    []Batch
	tasks      []Task // the regular ones; nil: not listed yet
}

// grounds is all of the place and of the plants that a calendar rests on. Growth, course and freeze
// are never made twice of the same, so that one pointer is one content.
type grounds struct {
	growth *growth
	course *course
	freeze *sky.FreezeTable
	limit  [365]Limit
}

// wish is all of a job that a calendar rests on.
type wish struct {
	crop               string
	fit, perWeek       float64
	head, target       unit.Mass
	harvest, emergence unit.Duration
	area               unit.Area
	depth              unit.Length
	holes, beds        int
	plants, nursery    crop.Density
	roster, from, to   time.Time
}

// calendars is the last of those of several grounds.
type calendars struct {
	mutex sync.Mutex
	last  *laid
}

// asked gives what the calendar of a fit rests on.
func (f *fit) asked() *laid {
	j, r := &f.job, &f.roster
	return &laid{
		ground: grounds{f.ground.growth, f.freeze.course, f.freeze.freeze, f.limit},
		wish: wish{crop: f.Crop.ID, fit: j.Fit, perWeek: j.Schedule.HeadsPerWeek, head: j.Head, target: f.Target, harvest: f.Calendar.Harvest, emergence: f.Emerge.After,
			area: f.Bed.Area, depth: f.Bed.Depth, holes: f.Holes, beds: j.Schedule.Beds, plants: f.Plants, nursery: j.Nursery, roster: r.first, from: j.Schedule.First, to: j.Schedule.Last},
		days: j.Schedule.Days, open: r.open, dry: r.dry, trays: r.trays,
	}
}

// is says whether two calendars rest on the same.
func (l *laid) is(o *laid) bool {
	return l.wish == o.wish && l.ground == o.ground && slices.Equal(l.days, o.days) && slices.Equal(l.open, o.open) && slices.Equal(l.dry, o.dry) && slices.Equal(l.trays, o.trays)
}

// again makes the batches of a steady harvest, seated, or takes over those of the last calendar
// where it rests on the same: only what they drink is worked out anew.
func (f *fit) again() []Batch {
	asked, calendars := f.asked(), f.ground.calendars
	calendars.mutex.Lock()
	last := calendars.last
	calendars.mutex.Unlock()
	if last == nil || !last.is(asked) {
		f.Batches = f.steadily()
		f.seat()
		asked.list, asked.weight, asked.steady, asked.batches = slices.Clone(f.list), f.weight, *f.Steady, slices.Clone(f.Batches)
		calendars.mutex.Lock()
		calendars.last, f.laid = asked, asked
		calendars.mutex.Unlock()
		return f.Batches
	}
	f.laid = last
	f.list, f.weight, *f.Steady = slices.Clone(last.list), last.weight, last.steady
	out := slices.Clone(last.batches)
	for i := range out {
		b := &out[i]
		b.Water = f.water(index(b.SetOut), b.run, b.Plants)
	}
	return out
}

// tasks gives the regular tasks of a calendar; nil where they are not known.
func (c *calendars) tasks(l *laid) []Task {
	if l == nil {
		return nil
	}
	c.mutex.Lock()
	defer c.mutex.Unlock()
	return l.tasks
}

// keep keeps the regular tasks of a calendar.
func (c *calendars) keep(l *laid, tasks []Task) {
	if l == nil {
		return
	}
	c.mutex.Lock()
	defer c.mutex.Unlock()
	l.tasks = slices.Clone(tasks)
}
