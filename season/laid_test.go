package season

import (
	"reflect"
	"testing"
	"time"

	"raftwright/pool"
	"raftwright/sky"
	"raftwright/unit"
)

// A calendar that is taken over from another ground is that of a ground made from nothing, whatever changed since it was
// made; a little wind changes only what its batches drink, and is not searched for anew.
func TestCalendarTakenOverChangesNothing(t *testing.T) {
	base := Job{Climate: station(t, 42.4, -76.5, 250), Crop: get(t, "lettuce_leaf"), Holes: 40, Schedule: schoolYear()}
	wind := func(j *Job) {
		for i := range j.Climate.Months {
			j.Climate.Months[i].Wind = new(unit.Speed(2.01))
		}
	}
	changes := map[string]func(*Job){
		"nothing": func(*Job) {}, "wind": wind,
		"heads": func(j *Job) { j.Schedule.HeadsPerWeek++ }, "no wish": func(j *Job) { j.Schedule.HeadsPerWeek = 0 }, "beds": func(j *Job) { j.Schedule.Beds = 2 },
		"first": func(j *Job) { j.Schedule.First = addDays(j.Schedule.First, 1) }, "last": func(j *Job) { j.Schedule.Last = addDays(j.Schedule.Last, -9) },
		"days": func(j *Job) { j.Schedule.Days = []time.Weekday{time.Friday} }, "off": func(j *Job) { j.Schedule.Off = []time.Weekday{time.Sunday, time.Monday} },
		"break": func(j *Job) { j.Schedule.Breaks = nil }, "whole": func(j *Job) { j.Schedule.Whole = true },
		"deep": func(j *Job) { j.Bed = pool.Bed{Area: 3, Rim: 7, Depth: 0.2, Gap: 0.02} }, "holes": func(j *Job) { j.Holes = 36 }, "nursery": func(j *Job) { j.Nursery = 60 }, "crop": func(j *Job) { j.Crop = get(t, "basil_sweet") },
		"head": func(j *Job) { j.Head = 120 * unit.Gram }, "fit": func(j *Job) { j.Fit = 0.8 }, "band": func(j *Job) { j.FitBand = 0.12 }, "thirst": func(j *Job) { j.Thirst = 9 },
		"warm": func(j *Job) { j.Offset = 12 }, "cover": func(j *Job) { j.Cover = sky.Tunnel },
		"frost": func(j *Job) {
			for i := range j.Climate.Months {
				j.Climate.Months[i].LowSpread = new(unit.TemperatureStep(9))
			}
		},
		"cold": func(j *Job) {
			for i := range j.Climate.Months {
				j.Climate.Months[i].High -= 4
			}
		},
	}
	ground := NewGround(base)
	ground.Season(base)
	for name, change := range changes {
		j := base
		change(&j)
		got, want := ground.Anew(j).Season(j), Make(j)
		got.still, want.still = [12]*month{}, [12]*month{} // made where it is first asked for
		if !reflect.DeepEqual(got, want) {
			t.Errorf("%s: another season than from nothing", name)
		}
		if ground = ground.Anew(base); !reflect.DeepEqual(ground.Season(base).Batches, Make(base).Batches) {
			t.Errorf("after %s: other batches than from nothing", name)
		}
	}
	before := ground.calendars.last
	j := base
	if wind(&j); ground.Anew(j).Season(j).Batches[0].Water == ground.Season(base).Batches[0].Water || ground.calendars.last != before {
		t.Error("after a wind its batches drink the same, or their days were searched for anew")
	}
}
