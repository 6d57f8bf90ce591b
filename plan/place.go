package plan

import (
	"slices"
	"strings"

	"raftwright/brief"
	"raftwright/finding"
	"raftwright/sky"
	"raftwright/unit"
)

// What is told of a place that was named.
const (
	FindNoAtlas     finding.ID = "plan.no_atlas"
	FindOutside     finding.ID = "plan.outside_atlas"
	FaultPlace      finding.ID = "plan.fault.place"
	FaultPlaceTwice finding.ID = "plan.fault.place_twice"
	AssumeMiddle    finding.ID = "plan.place_middle"
)

// mostStates is how many spots of one name a fault lists.
const mostStates = 12

// where gives the place of the bed: as it was measured, else the middle of the
// place that was named. False where neither says it.
func (m *maker) where(b brief.Site) (sky.Place, bool) {
	place := sky.Place{Latitude: b.Latitude.Value}
	if b.Longitude.Given {
		longitude := b.Longitude.Value
		place.Longitude = &longitude
	}
	if b.Elevation.Given {
		elevation := b.Elevation.Value
		place.Elevation = &elevation
	}
	if !b.Place.Given {
		return place, b.Latitude.Given
	}
	if m.book.Places == nil {
		if !b.Latitude.Given {
			m.find(finding.Finding{ID: FindNoAtlas, Severity: finding.Note, Source: ownChoice, Args: finding.Args{"Text": b.Place.Value}, Paths: paths("site.place")})
		}
		return place, b.Latitude.Given
	}
	found, near := m.book.Places.Find(b.Place.Value)
	switch {
	case len(found) > 1 && !together(found):
		m.wrong(finding.Fault{ID: FaultPlaceTwice, Path: "site.place", Args: finding.Args{"Text": b.Place.Value, "Places": spotNames(found), "More": max(0, len(found)-mostStates)}})
		return place, b.Latitude.Given
	case len(found) == 0:
		m.wrong(finding.Fault{ID: FaultPlace, Path: "site.place", Args: finding.Args{"Text": b.Place.Value, "Places": spotNames(near)}})
		return place, b.Latitude.Given
	}
	if !b.Latitude.Given || !b.Longitude.Given {
		spot := found[0].Place()
		place.Latitude, place.Longitude = spot.Latitude, spot.Longitude
		m.assume(finding.Assumption{ID: AssumeMiddle, Args: finding.Args{"Text": found[0].String()}, Source: "gazetteer"})
	}
	return place, true
}

// together says whether spots of one name in one state lie so near each other that their
// climate is one: a city that two counties share.
func together(spots []sky.Spot) bool {
	const apart = 40 * unit.Kilometre
	return !slices.ContainsFunc(spots, func(s sky.Spot) bool {
		d, known := sky.Distance(spots[0].Place(), s.Place())
		return s.State != spots[0].State || !known || d > apart
	})
}

// spotNames lists spots by name, and by county where one state has several.
func spotNames(spots []sky.Spot) string {
	var out []string
	for _, s := range spots[:min(len(spots), mostStates)] {
		name := s.String()
		if s.County != "" {
			name += " (" + s.County + ")"
		}
		out = append(out, name)
	}
	return strings.Join(out, ", ")
}

// fromAtlas takes the climate of a place from the table of stations, where one is
// near.
func (m *maker) fromAtlas(place sky.Place, coast bool) {
	nearest := m.book.Places.Nearest(place, 3)
	if len(nearest) < 3 || nearest[0].Away > sky.AtlasReach {
		m.find(finding.Finding{ID: FindOutside, Severity: finding.Note, Source: "cligen", Paths: paths("site")})
		return
	}
	c := m.book.Places.ClimateAt(place, nearest[0])
	c.Others, c.Coast = nearest[1:], coast
	m.climate = &c
}
