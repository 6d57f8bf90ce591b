package workshop

import (
	"math"

	"raftwright/frame"
	"raftwright/unit"
)

// Step is a part of the day, in the order of the work. Its times are our own estimates from common
// practice; no source was found.
type Step struct {
	ID       string // of its sentences
	Begins   int    // minutes after the doors open
	Turn     int    // minutes that one turn takes
	Turns    int    // how often it is done, one group after the other
	Stations []Station
}

// Lasts gives the minutes of the step.
func (s Step) Lasts() int { return s.Turn * s.Turns }

// Station is a place where something is done.
type Station struct {
	ID       string
	Families int // at a time
	Helpers  int // grown people who stand there
}

// Of the day: times in minutes, and how many families share what is borrowed. Common practice, no source.
const (
	welcomeTime  = 20
	kitTime      = 15
	frameStart   = 20   // to lay out the pieces and to square the frame
	screwTime    = 0.75 // with its small hole, one drill for two families
	vesselTime   = 20
	lunchTime    = 45
	raftStart    = 10  // to mark
	holeTime     = 0.5 // to drill one
	sowTime      = 20
	feedTime     = 25
	linerTime    = 30
	loadTime     = 25
	closeTime    = 15
	groups       = 3   // that change places
	longest      = 240 // minutes of work without lunch
	lunchBy      = 210 // no step before lunch ends later than this, where one step can be put off
	aHelper      = 4   // families to one helper
	aDrill       = 2   // families to one drill
	quarterHours = 5   // turns are told in steps of so many minutes
)

// Drills gives how many drills are borrowed.
func (w Workshop) Drills() int { return over(len(w.Families), aDrill) }

// aisle is the way that is left beside each bed that is built.
const aisle = 3 * unit.Foot

// Place gives the floor that a family needs to build on, with a way along one side and one end; the next
// family's ways are the others. Of several sizes the largest.
func (w Workshop) Place() unit.Area {
	var most unit.Area
	for _, s := range w.Sizes {
		v := s.Bed().Frame.Job.Vessel
		long, wide := v.Length, v.Width
		if v.Shape == frame.RoundShape {
			long, wide = v.Diameter, v.Diameter
		}
		most = max(most, (long + aisle).By(wide+aisle))
	}
	return most
}

// Saws gives how many hole saws are bought: one at each place where holes are drilled.
func (w Workshop) Saws() int { return w.places() }

// Helpers gives how many grown people help at once, at most.
func (w Workshop) Helpers() int {
	most := 0
	for _, s := range w.Day {
		n := 0
		for _, st := range s.Stations {
			n += st.Helpers
		}
		most = max(most, n)
	}
	return most
}

// Lasts gives the minutes of the whole day.
func (w Workshop) Lasts() int {
	last := w.Day[len(w.Day)-1]
	return last.Begins + last.Lasts()
}

// places is how many families drill at once: one of the groups.
func (w Workshop) places() int { return over(len(w.Families), groups) }

// run lays out the day.
func (w *Workshop) run() {
	n := len(w.Families)
	bed := w.Bed()
	all := func(id string, turn int, helpers int) Step {
		return Step{ID: id, Turn: turn, Turns: 1, Stations: []Station{{id, n, helpers}}}
	}
	w.Day = []Step{all("welcome", welcomeTime, 1), all("kits", kitTime, over(n, 2*aHelper))}
	if bed.Frame.Job.Vessel.Shape == frame.FrameShape {
		screws := 0
		for _, s := range w.Sizes {
			n := 0
			for _, f := range s.Bed().Frame.Fasteners {
				if f.Kind != frame.BattenScrews { // these hold the liner, at home
					n += f.Count
				}
			}
			screws = max(screws, n) // who has the most sets the time
		}
		w.Day = append(w.Day, all("build", told(frameStart+screwTime*float64(screws)), over(n, aHelper)))
	} else {
		w.Day = append(w.Day, all("vessel", vesselTime, over(n, aHelper)))
	}
	if at := w.places(); bed.Raft != nil {
		holes := 0
		for _, s := range w.Sizes {
			holes = max(holes, s.Bed().Raft.Holes)
		}
		s := Step{ID: "groups", Turn: max(told(raftStart+holeTime*float64(holes)), sowTime), Turns: groups,
			Stations: []Station{{"raft", at, max(1, over(at, 2))}, {"sow", at, 1}}}
		if bed.Mix != nil {
			s.Turn = max(s.Turn, feedTime)
			s.Stations = append(s.Stations, Station{"feed", at, 1})
		}
		w.Day = append(w.Day, s)
	}
	if bed.Frame.Liner.Wanted {
		w.Day = append(w.Day, all("liner", linerTime, 2)) // one shows it, one watches the children
	}
	load := "load"
	if w.Boards == nil {
		load = "carry"
	}
	w.Day = append(w.Day, all(load, loadTime, over(n, aHelper)), all("close", closeTime, 1))
	w.eat(n)
	at := 0
	for i := range w.Day {
		w.Day[i].Begins = at
		at += w.Day[i].Lasts()
	}
}

// eat puts lunch into a long day: before the first step that would end too late for it.
func (w *Workshop) eat(n int) {
	whole := 0
	for _, s := range w.Day {
		whole += s.Lasts()
	}
	if whole <= longest {
		return
	}
	lunch := Step{ID: "lunch", Turn: lunchTime, Turns: 1, Stations: []Station{{"lunch", n, 1}}}
	end := 0
	for i, s := range w.Day {
		if end += s.Lasts(); end > lunchBy && i > 0 {
			w.Day = append(w.Day[:i], append([]Step{lunch}, w.Day[i:]...)...)
			return
		}
	}
}

// told rounds minutes up to what a clock on the wall tells.
func told(minutes float64) int { return over(int(math.Ceil(minutes)), quarterHours) * quarterHours }

// over divides and rounds up.
func over(n, by int) int { return (n + by - 1) / by }
