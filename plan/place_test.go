package plan_test

import (
	"strings"
	"testing"

	"raftwright/brief"
	"raftwright/finding"
	"raftwright/plan"
	"raftwright/sky"
	"raftwright/sky/places"
)

func withPlaces(t *testing.T) plan.Book {
	t.Helper()
	a, err := sky.OpenAtlas(places.Packed)
	if err != nil {
		t.Fatal(err)
	}
	return plan.DefaultBook().With(a)
}

func made(t *testing.T, book plan.Book, text string) (plan.Plan, finding.Faults) {
	t.Helper()
	b, faults := brief.Parse("bed.yaml", []byte(text))
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	return plan.Make(b, book, plan.Files{}, plan.Everything)
}

func tells(p plan.Plan, id finding.ID) bool {
	for _, f := range p.Findings {
		if f.ID == id {
			return true
		}
	}
	for _, a := range p.Assumptions {
		if a.ID == id {
			return true
		}
	}
	return false
}

// A name, or a latitude and longitude alone, are enough for a season. A place that
// was measured wins over the middle of the named one.
func TestWhereILiveIsEnough(t *testing.T) {
	book := withPlaces(t)
	for _, site := range []string{"{place: 04473}", "{place: Ithaca NY}", "{place: Penobscot County ME}", "{latitude: 44.88, longitude: -68.67}",
		"{place: Orono ME, latitude: 44.9, longitude: -68.7, elevation: 130 ft}"} {
		p, faults := made(t, book, "bed: {length: 8 ft, width: 4 ft}\nsite: "+site)
		if len(faults) > 0 || p.Season == nil {
			t.Errorf("%s: no season, %v", site, faults)
			continue
		}
		c := p.Season.Sky.Climate
		if c.ID == "" || len(c.Others) != 2 || !tells(p, sky.FindStation) || !tells(p, sky.FindOtherStations) {
			t.Errorf("%s: station %q, others %v", site, c.Name, c.Others)
		}
		if named := strings.Contains(site, "place") && !strings.Contains(site, "latitude"); named != tells(p, plan.AssumeMiddle) {
			t.Errorf("%s: that the middle of the place is taken: %v", site, !named)
		}
		if high := strings.Contains(site, "elevation"); high != tells(p, sky.AssumeLapse) || high == tells(p, sky.AssumeHeight) {
			t.Errorf("%s: height %v", site, high)
		}
	}
}

// Beyond 100 km a station is told as far (own choice); outside the table the
// reader is asked for twelve months, and the rest of the plan stands.
func TestAPlaceFarFromEveryStation(t *testing.T) {
	book := withPlaces(t)
	p, faults := made(t, book, "bed: {length: 8 ft, width: 4 ft}\nsite: {latitude: 48.86, longitude: 2.35}")
	if len(faults) > 0 || p.Season != nil || p.Frame == nil || !tells(p, plan.FindOutside) || tells(p, plan.FindNoClimate) {
		t.Errorf("Europe: %v", faults)
	}
	for _, c := range []struct {
		longitude string
		far       bool
	}{{"-68.7", false}, {"-66.0", true}} {
		p, faults := made(t, book, "bed: {length: 8 ft, width: 4 ft}\nsite: {latitude: 44.1, longitude: "+c.longitude+"}")
		if len(faults) > 0 || p.Season == nil {
			t.Fatal(faults)
		}
		if away := p.Season.Sky.Climate.Away; tells(p, sky.FindFarStation) != c.far || (away > sky.NearStation) != c.far {
			t.Errorf("%s: %v away, far %v", c.longitude, away, tells(p, sky.FindFarStation))
		}
	}
}

func TestAWrongPlaceIsAFaultAtItsKey(t *testing.T) {
	book := withPlaces(t)
	for text, want := range map[string]finding.ID{"Ithaca": plan.FaultPlaceTwice, "Ithica NY": plan.FaultPlace, "99999": plan.FaultPlace, "Washington PA": plan.FaultPlaceTwice} {
		_, faults := made(t, book, "bed: {length: 8 ft, width: 4 ft}\nsite: {place: "+text+"}")
		if len(faults) != 1 || faults[0].ID != want || faults[0].Path != "site.place" || faults[0].Line != 2 || faults[0].Args["Places"] == "" {
			t.Errorf("%s: %v", text, faults)
		}
	}
	p, faults := made(t, plan.DefaultBook(), "bed: {length: 8 ft, width: 4 ft}\nsite: {place: Ithaca NY}")
	if len(faults) > 0 || !tells(p, plan.FindNoAtlas) || p.Season != nil {
		t.Error("a program without the table of places says nothing of that")
	}
}

// A city that two counties share is one place: nobody in Chicago is asked for the county. Towns of
// one name that lie apart are.
func TestCityOfTwoCounties(t *testing.T) {
	book := withPlaces(t)
	for place, one := range map[string]bool{"Chicago IL": true, "Washington PA": false} {
		p, faults := made(t, book, "bed: {length: 8 ft, width: 4 ft}\nsite: {place: "+place+"}")
		if one != (p.Season != nil) || one != (len(faults) == 0) {
			t.Errorf("%s: %v", place, faults)
		}
	}
}
