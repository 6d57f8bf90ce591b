package crop

import (
	"slices"
	"testing"

	"raftwright/finding"
	"raftwright/unit"
)

// Tips of lettuce burn above 17 mol of light a day where no fan moves the air (Both et
// al. 1997, from memory), and surely above 25 in warm, still air (own judgement): one
// step of either figure away, and this fails.
func TestLineTipburn(t *testing.T) {
	k, _ := catalogue(t).ByID("lettuce_leaf")
	tip := func(w Weather) (finding.Finding, bool) {
		list := k.Risks(w)
		i := slices.IndexFunc(list, func(f finding.Finding) bool { return f.ID == FindTipburn })
		if i < 0 {
			return finding.Finding{}, false
		}
		return list[i], true
	}
	for light, want := range map[unit.DailyLight]bool{16.8: false, 17.2: true} {
		if f, ok := tip(Weather{LastLight: light, LastAir: 18}); ok != want || ok && f.Severity != finding.Note {
			t.Errorf("%v mol: %v", float64(light), f)
		}
	}
	for light, want := range map[unit.DailyLight]finding.Severity{24.8: finding.Note, 25.2: finding.Caution} {
		if f, _ := tip(Weather{LastLight: light, LastAir: 22}); f.Severity != want {
			t.Errorf("%v mol in warm air: %v", float64(light), f.Severity)
		}
	}
	if f, _ := tip(Weather{LastLight: 30, LastAir: 22, Airy: true}); f.Severity != finding.Note {
		t.Error("wind over the heads keeps tips from burning")
	}
}
