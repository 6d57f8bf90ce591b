package plan

import (
	"testing"

	"raftwright/brief"
	"raftwright/examples"
	"raftwright/finding"
)

// Where nothing can be had of what is wanted in winter, the plan tells of the cold of these months and not of a July in which the bed is empty.
func TestOfMonthsThatNobodyAskedForNothingIsTold(t *testing.T) {
	months := func(first, last string) (out map[finding.Word]bool, batches int) {
		b, _ := brief.Parse("demo.yaml", examples.Demo)
		for _, set := range [][2]finding.Path{{"log", ""}, {"crop", ""}, {"crop.name", "spinach"}, {"schedule.breaks", ""}, {"schedule.first harvest", finding.Path(first)}, {"schedule.last harvest", finding.Path(last)}} {
			b, _ = b.Set(set[0], string(set[1]))
		}
		p := Job{Brief: b, Book: DefaultBook(), Asked: Everything}.Make(nil)
		if p.Season == nil {
			t.Fatal(p.Faults)
		}
		out = map[finding.Word]bool{}
		for _, f := range p.Findings {
			switch f.ID {
			case "pool.warm_act", "pool.warm_watch", "pool.hot_spell", "pool.ice", "pool.cold":
				out[f.Args["Month"].(finding.Word)] = true
			}
		}
		return out, len(p.Season.Batches)
	}
	winter, batches := months("2027-01-12", "2027-02-23")
	if batches > 0 || len(winter) == 0 {
		t.Errorf("%d batches stand in winter, and %v is told", batches, winter)
	}
	for m := range winter {
		if m != "month.12" && m != "month.1" && m != "month.2" {
			t.Errorf("of a winter it tells of %s", m)
		}
	}
	if summer, _ := months("2027-07-06", "2027-08-24"); !summer["month.7"] && !summer["month.8"] {
		t.Errorf("of a summer it tells of %v", summer)
	}
}
