package answer

import "raftwright/sky"

// PlaceDocument answers the command place: what a name can mean, and the climate
// stations about each, the nearest first.
type PlaceDocument struct {
	Places []Spot `json:"places"`
	Near   []Spot `json:"near"` // what is spelled most like it, where nothing has the name
}

// Spot is a named area by its middle.
type Spot struct {
	Name     string    `json:"name"`
	Kind     string    `json:"kind"` // zip, county or town
	State    string    `json:"state"`
	County   string    `json:"county"` // the nearest, where a name stands twice in a state
	Lat      float64   `json:"lat_deg"`
	Lon      float64   `json:"lon_deg"`
	Stations []Station `json:"stations"`
}

// Station is a climate station as it lies to a place.
type Station struct {
	ID     string  `json:"id"`
	Name   string  `json:"name"`
	Away   float64 `json:"km"`
	Height float64 `json:"height_m"` // above the sea
}

// nextStations is how many stations are named: the nearest and two that could
// stand in for it.
const nextStations = 3

// Places lists what a text can mean.
func Places(a *sky.Atlas, text string) PlaceDocument {
	d := PlaceDocument{Places: []Spot{}, Near: []Spot{}}
	found, near := a.Find(text)
	for _, s := range found {
		d.Places = append(d.Places, spotOf(a, s))
	}
	for _, s := range near {
		d.Near = append(d.Near, spotOf(a, s))
	}
	return d
}

func spotOf(a *sky.Atlas, s sky.Spot) Spot {
	p := Spot{Name: s.Name, Kind: s.Kind, State: s.State, County: s.County, Lat: s.Latitude.Degrees(), Lon: s.Longitude.Degrees(), Stations: []Station{}}
	for _, n := range a.Nearest(s.Place(), nextStations) {
		p.Stations = append(p.Stations, Station{ID: n.ID, Name: n.Title(), Away: n.Away.Metres() / 1000, Height: n.Place.Elevation.Metres()})
	}
	return p
}
