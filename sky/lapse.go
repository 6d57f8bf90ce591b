package sky

import (
	"cmp"
	"encoding/binary"
	"math"
	"strconv"

	"raftwright/finding"
	"raftwright/internal/inorder"
	"raftwright/unit"
)

// LapseRate is how much cooler the air is a kilometre higher up: 6.5 °C (ISO 2533
// standard atmosphere; common practice for climate normals).
const LapseRate = 6.5 // °C a km

// What is told of a climate that comes from the atlas.
const (
	AssumeLapse       finding.ID = "sky.lapse"
	FindOtherStations finding.ID = "sky.other_stations"
)

// AtlasReach is how far a station of the atlas may be: beyond it a place lies
// outside the table (own choice; 99 % of ZIP codes have one within 74 km).
const AtlasReach = 400 * unit.Kilometre

// Neighbour is a climate station and how it lies to a place.
type Neighbour struct {
	ID, Name, State string
	Place           Place
	Years           float64
	Away            unit.Length
	Rise            unit.Length // the station above the place; 0 where its height is not known
	row             int
}

// perNormals is how many stations share a packed piece of normals.
const perNormals = 32

// Nearest lists the stations nearest a place, 100 m of height counted as 10 km.
func (a *Atlas) Nearest(p Place, most int) []Neighbour {
	var all []Neighbour
	for i, row := range a.rows("stations") {
		if len(row) != 7 {
			continue
		}
		height, years := number(row[5]), number(row[6])
		lon, z := unit.Angle(number(row[4]))/100*unit.Degree, unit.Length(height)*unit.Metre
		n := Neighbour{ID: row[0], Name: row[1], State: row[2], Years: years, row: i,
			Place: Place{Latitude: unit.Angle(number(row[3])) / 100 * unit.Degree, Longitude: &lon, Elevation: &z}}
		n.Away, _ = Distance(p, n.Place)
		if p.Elevation != nil {
			n.Rise = z - *p.Elevation
		}
		all = append(all, n)
	}
	inorder.Put(all, func(a, b Neighbour) int { return cmp.Compare(a.score(), b.score()) })
	return all[:min(most, len(all))]
}

// Title gives the name of the station with its state.
func (n Neighbour) Title() string { return n.Name + ", " + n.State }

func (n Neighbour) score() float64 { return float64(n.Away) + 100*math.Abs(float64(n.Rise)) }

func number(s string) float64 {
	x, _ := strconv.ParseFloat(s, 64)
	return x
}

// ClimateAt gives the climate of a station as that of a place: temperatures moved
// with the height by LapseRate where the height of the place is known, else the
// station's height taken for it.
func (a *Atlas) ClimateAt(p Place, n Neighbour) Climate {
	c := Climate{Place: p, Origin: Station, ID: n.ID, Name: n.Title(), Years: n.Years, Away: n.Away, Rise: n.Rise, Months: a.normals(n.row)}
	if p.Elevation == nil {
		c.Place.Elevation, c.StationHeight = n.Place.Elevation, true
		return c
	}
	c.Moved = unit.TemperatureStep(LapseRate * n.Rise.Metres() / 1000)
	for i := range c.Months {
		m := &c.Months[i]
		m.High, m.Low = m.High+unit.Temperature(c.Moved), m.Low+unit.Temperature(c.Moved)
		if m.Dew != nil {
			m.Dew = new(*m.Dew + unit.Temperature(c.Moved))
		}
	}
	return c
}

// normals unpacks the twelve months of a station: nine figures a month, each in
// the smallest step that the table prints, shifted by one so that 0 is none.
func (a *Atlas) normals(row int) [12]Month {
	b := a.piece("normals." + strconv.Itoa(row/perNormals))
	var figures [12 * 9]float64
	for at := 0; at <= row%perNormals; at++ {
		for i := range figures {
			v, n := binary.Varint(b)
			if n <= 0 {
				return [12]Month{}
			}
			b, figures[i] = b[n:], math.NaN()
			if v != 0 {
				figures[i] = float64(v-sign(v)) / 10
			}
		}
	}
	var out [12]Month
	for m := range out {
		f := figures[m*9:]
		out[m] = Month{High: unit.Temperature(f[0]), Low: unit.Temperature(f[1]), HighSpread: known(unit.TemperatureStep(f[2])), LowSpread: known(unit.TemperatureStep(f[3])),
			Solar: known(unit.DailyRadiation(f[4]) * unit.MegajoulePerSquareMetre), Dew: known(unit.Temperature(f[5])), Rain: known(unit.Length(f[6]) * unit.Millimetre),
			Wind: known(unit.Speed(f[8]))}
	}
	return out
}

func known[Q ~float64](q Q) *Q {
	if math.IsNaN(float64(q)) {
		return nil
	}
	return &q
}

func sign(v int64) int64 {
	if v < 0 {
		return -1
	}
	return 1
}
