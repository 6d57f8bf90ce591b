package plan_test

import (
	"reflect"
	"slices"
	"testing"
	"time"

	"raftwright/bed"
	"raftwright/brief"
	"raftwright/examples"
	"raftwright/finding"
	"raftwright/plan"
	"raftwright/season"
	"raftwright/tend"
)

// taught gives the job of a brief from whose log something is learned.
func taught(b *brief.Brief) plan.Job {
	j := of(b)
	j.Learn = tend.Learn
	return j
}

// learnedEdits are edits of the demonstration; the log is read again after the last two alone.
var learnedEdits = []struct{ path, text string }{
	{"title", "Another"}, {"prices.labor", "21 USD/h"}, {"shelf[0].price", "99 USD"}, {"schedule.last harvest", "2027-10-20"}, {"site.months[10].rain", "99 mm"},
	{"site.months[3].wind", "3 m/s"}, {"log[3].ph", "6.5"},
}

// What a log teaches is worked out again where the days of the log, its bed or its feed change, and not where a price, a title, a schedule or the
// rain of another month does; what is remembered is what is made anew.
func TestLogIsReadAgainWhereItMustBe(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	demo, faults := brief.Parse("demo.yaml", examples.Demo)
	if len(faults) > 0 {
		t.Fatal(faults[0])
	}
	var mem plan.Memory
	count := 0
	counted := func(b *brief.Brief) plan.Job {
		j := of(b)
		j.Learn = func(p *plan.Plan, log bed.Log) bed.Learned { count++; return tend.Learn(p, log) }
		return j
	}
	counted(demo).Make(&mem)
	for i, e := range learnedEdits {
		next, faults := demo.Set(finding.Path(e.path), e.text)
		if len(faults) > 0 {
			t.Errorf("%s: %v", e.path, faults[0])
			continue
		}
		count = 0
		got := counted(next).Make(&mem)
		if again := i >= len(learnedEdits)-2; (count > 0) != again {
			t.Errorf("%s: the log is read %d times", e.path, count)
		}
		if want := taught(next).Make(nil); !reflect.DeepEqual(got.Season.Batches, want.Season.Batches) || got.Season.Fit != want.Season.Fit || got.Season.Offset != want.Season.Offset {
			t.Errorf("%s: another season is remembered than is made", e.path)
		}
	}
}

// Where it is known what a log taught, the plan of a brief without it is the plan with it: from nothing, and with a memory in which the
// same brief was planned untaught, taught something else, and with its log.
func TestWhatALogTaughtIsKnown(t *testing.T) {
	whole, faults := brief.Parse("demo.yaml", examples.Demo)
	if len(faults) > 0 {
		t.Fatal(faults[0])
	}
	alone, _ := whole.Set("log", "")
	same := func(p plan.Plan) plan.Plan {
		p.Brief = nil
		return p
	}
	one, other := bed.Learned{Growth: 0.9, GrowthSpread: 0.1, Water: 1.2, WaterSpread: 0.1, Warmth: 1.5, WarmthSpread: 0.8, Read: 5}, bed.Learned{Growth: 1.1, GrowthSpread: 0.1}
	logged, known := of(whole), of(alone)
	logged.Learn = func(*plan.Plan, bed.Log) bed.Learned { return one }
	known.Taught = &one
	want := same(logged.Make(nil))
	if want.Season.Fit != one.Growth {
		t.Fatalf("the season is fitted by %v", want.Season.Fit)
	}
	if got := same(known.Make(nil)); !reflect.DeepEqual(got.Season, want.Season) || !reflect.DeepEqual(got.Findings, want.Findings) || !reflect.DeepEqual(got.Cost, want.Cost) {
		t.Error("what is known gives another plan than what is learned")
	}
	var mem plan.Memory
	of(alone).Make(&mem)
	another := known
	another.Taught = &other
	another.Make(&mem)
	logged.Make(&mem)
	for range 2 {
		if got := same(known.Make(&mem)); !reflect.DeepEqual(got.Season, want.Season) || !reflect.DeepEqual(got.Findings, want.Findings) || !reflect.DeepEqual(got.Cost, want.Cost) {
			t.Error("what is remembered gives another plan")
		}
	}
	if got := of(alone).Make(&mem); got.Season.Fit != 1 {
		t.Errorf("untaught the season is fitted by %v", got.Season.Fit)
	}
	known.Learn = func(*plan.Plan, bed.Log) bed.Learned { t.Error("who knows is asked"); return bed.Learned{} }
	known.Brief = whole
	known.Make(nil)
}

// BenchmarkPlanLearned makes the plan of the demonstration with what its log teaches: from nothing, and
// anew after an edit of one field.
func BenchmarkPlanLearned(b *testing.B) {
	demo, faults := brief.Parse("demo.yaml", examples.Demo)
	if len(faults) > 0 {
		b.Fatal(faults[0])
	}
	b.Run("whole", func(b *testing.B) {
		for b.Loop() {
			taught(demo).Make(nil)
		}
	})
	for _, e := range learnedEdits {
		next, faults := demo.Set(finding.Path(e.path), e.text)
		if len(faults) > 0 {
			b.Fatal(faults[0])
		}
		b.Run(e.path, func(b *testing.B) {
			for b.Loop() {
				b.StopTimer()
				var mem plan.Memory
				taught(demo).Make(&mem)
				b.StartTimer()
				taught(next).Make(&mem)
			}
		})
	}
}

// A batch is held against a harvest of the log that lies less than ten days from it, before or after (own choice): its heads say nothing of one that was
// cut earlier or later.
func TestLineNearHarvest(t *testing.T) {
	demo, faults := brief.Parse("demo.yaml", examples.Demo)
	if len(faults) > 0 {
		t.Fatal(faults[0])
	}
	held := func(cut time.Time) (batches []season.Batch) {
		b, faults := demo.Set("log[3].at", cut.Format("2006-01-02T15:04"))
		if len(faults) > 0 {
			t.Fatal(faults[0])
		}
		j := of(b)
		j.Learn = func(p *plan.Plan, _ bed.Log) bed.Learned { batches = p.Season.Batches; return bed.Learned{} }
		j.Make(nil)
		return batches
	}
	first := of(demo).Make(nil).Season.Batches[0].Harvest
	for hours, want := range map[time.Duration]bool{-241: false, -239: true, 0: true, 239: true, 241: false} {
		got := slices.ContainsFunc(held(first.Add(hours*time.Hour)), func(b season.Batch) bool { return b.Harvest.Equal(first) })
		if got != want {
			t.Errorf("a harvest %d hours from a batch: held against it %t", hours, got)
		}
	}
}
