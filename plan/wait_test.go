package plan

import (
	"flag"
	"os"
	"runtime/debug"
	"slices"
	"testing"

	"raftwright/brief"
	"raftwright/finding"
)

func TestMain(m *testing.M) {
	if flag.Parse(); testing.Short() {
		debug.SetGCPercent(400) // a little memory for a little time
	}
	os.Exit(m.Run())
}

// What is wrong is waited for by what rests on it and by nothing else; the rest is
// what it is without the mistake.
func TestPartsWaitForWhatIsWrong(t *testing.T) {
	b, files := sample(t, "../examples/demo.yaml")
	sound := job(b, DefaultBook(), files, Everything).Make(nil)
	for path, want := range map[finding.Path][]Part{
		"title":                 nil,
		"prices.head":           {Cost},
		"water.calcium":         {Water, Mix, Cost},
		"shelf[1].label":        {Mix, Cost},
		"bed.side board":        {Frame, Cut, Season, Cost},
		"bed.length":            {Raft, Frame, Cut, Mix, Season, Cost},
		"raft.hole":             {Raft, Frame, Cut, Mix, Season, Cost},
		"site.months[3].tmax":   {Season, Cost},
		"schedule.last harvest": {Season, Cost},
		"crop.name":             {Raft, Frame, Cut, Mix, Season, Cost},
	} {
		j := job(b, DefaultBook(), files, Everything)
		j.Wrong = finding.Faults{{ID: "test.fault", Path: path}}
		p := j.Make(nil)
		var waiting []Part
		for _, w := range p.Waits {
			if waiting = append(waiting, w.Part); !slices.Equal(w.For, []finding.Path{path}) {
				t.Errorf("%s: the %s waits for %v", path, w.Part, w.For)
			}
		}
		if !slices.Equal(waiting, want) {
			t.Errorf("%s: %v wait, want %v", path, waiting, want)
		}
		for part, of := range map[Part]func(Plan) any{Raft: func(p Plan) any { return p.Raft }, Frame: func(p Plan) any { return p.Frame }, Cut: func(p Plan) any { return p.Boards },
			Water: func(p Plan) any { return p.Water }, Mix: func(p Plan) any { return p.Mix }, Season: func(p Plan) any { return p.Season }, Cost: func(p Plan) any { return p.Cost }} {
			if !slices.Contains(want, part) && !same(of(p), of(sound)) {
				t.Errorf("%s: the %s is another", path, part)
			}
		}
	}
}

// What is missing is a fault, and what needs it waits; a section that is wrong is not
// told as missing too.
func TestPartsWaitForWhatIsMissing(t *testing.T) {
	j := Job{Brief: &brief.Brief{File: "a.yaml"}, Book: DefaultBook(), Asked: Mix}
	p := j.Make(nil)
	if len(p.Faults) != 3 || len(p.Waits) != 1 || p.Waits[0].Part != Mix || !slices.Equal(p.Waits[0].For, []finding.Path{"shelf", "target", "water"}) || p.Mix != nil {
		t.Errorf("faults %v, waits %v", p.Faults, p.Waits)
	}
	j.Wrong = finding.Faults{{ID: "test.fault", Path: "water.calcium"}}
	if p := j.Make(nil); len(p.Faults) != 2 {
		t.Errorf("faults %v", p.Faults)
	}
	j.Asked, j.Wrong = Everything, nil
	if p := j.Make(nil); len(p.Faults) != 1 || p.Water == nil || p.Cost != nil || len(p.Waits) == 0 || p.Frame != nil {
		t.Errorf("faults %v, waits %v", p.Faults, p.Waits)
	}
}
