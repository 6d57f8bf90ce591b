package crop

import (
	"math"
	"slices"
	"testing"

	"raftwright/finding"
	"raftwright/unit"
)

// Tips of butterhead burn above 17 mol of light a day where no fan moves the air (Both et
// al. 1997, from memory), and are likely to above half as much again (own judgement); cool air
// and wind raise that, to the 57.6 mol at which none burned with air on the heads (Frantz et
// al. 2004), and other kinds stand more or do not burn: one step of a figure away, and this fails.
// It is told by whole moles, as it prints: half a mole above the line the two would read alike.
func TestLineTipburn(t *testing.T) {
	k, _ := catalogue(t).ByID("lettuce_butterhead")
	tip := func(w Weather) (finding.Finding, bool) {
		list := k.Risks(w)
		i := slices.IndexFunc(list, func(f finding.Finding) bool { return f.ID == FindTipburn })
		if i < 0 {
			return finding.Finding{}, false
		}
		return list[i], true
	}
	for light, want := range map[unit.DailyLight]bool{17.4: false, 17.6: true} {
		if f, ok := tip(Weather{LastLight: light, LastAir: 20}); ok != want || ok && f.Severity != finding.Note {
			t.Errorf("%v mol: %v", float64(light), f)
		}
	}
	for light, want := range map[unit.DailyLight]finding.Severity{25.3: finding.Note, 25.7: finding.Caution} {
		if f, _ := tip(Weather{LastLight: light, LastAir: 22}); f.Severity != want {
			t.Errorf("%v mol in warm air: %v", float64(light), f.Severity)
		}
	}
	for light, want := range map[unit.DailyLight]bool{58.4: false, 58.6: true} {
		if _, ok := tip(Weather{LastLight: light, LastAir: 22, LastWind: 1.2}); ok != want {
			t.Errorf("%v mol with air blown on the heads: %v", float64(light), ok)
		}
	}
	if got := k.TipLight(10, 0); math.Abs(float64(got)-25.5) > 1e-9 || k.TipLight(0, 0) != got || k.TipLight(30, 0) != 17 {
		t.Errorf("in air of 10 °C %v mol", float64(got))
	}
	for id, want := range map[string]float64{"lettuce_leaf": 21, "lettuce_batavia": 25, "kale": math.Inf(1)} {
		if k, _ := catalogue(t).ByID(id); float64(k.TipLight(22, 0)) != want {
			t.Errorf("%s: %v mol", id, k.TipLight(22, 0))
		}
	}
}

// In full sun lettuce is too hot above 26 °C at noon (about 80 °F, memory of teaching texts) or
// with a solution above 23 °C, and cloth brings its light to 25 to 30 mol; what likes warmth
// stands more.
func TestLineHot(t *testing.T) {
	k, _ := catalogue(t).ByID("lettuce_leaf")
	if k.Hot(26, 23) || !k.Hot(26.1, 20) || !k.Hot(20, 23.1) || k.SunLight() < 25 || k.SunLight() > 30 || k.Watch() != 23 || k.Act() != 26 {
		t.Errorf("lettuce: %v mol, watched above %v, act above %v", k.SunLight(), k.Watch(), k.Act())
	}
	if k, _ := catalogue(t).ByID("water_spinach"); k.Hot(36, 27) || k.SunLight() <= 30 {
		t.Error("water spinach likes what lettuce does not")
	}
}
