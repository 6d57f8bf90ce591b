package sky

import (
	"fmt"
	"math"
	"strings"

	"raftwright/unit"
)

// Library is what a set of climate files holds: one or many stations.
type Library struct {
	stations []station
	origin   Origin
}

type station struct {
	id, name string
	place    Place // complete for a stations file
	years    float64
	months   [12]Month
	seen     [12]bool
	line     int // of the last month read
	at       [12]spot
	file     string
	noPlace  bool // a daily file need not say where it is
}

// ReadFiles reads one or two climate files and finds out by their head rows
// what they are:
//
//   - a stations file (station_id, name, lat_deg, lon_deg, elev_m, years) and its
//     normals (station_id, month, tmax_c, tmin_c; tmax_sd_c, tmin_sd_c,
//     solar_mj_m2_d, dewpoint_c, precip_mm, wind_m_s at 10 m as they are known);
//   - a NOAA 1991-2020 monthly-normals file of one station (MLY-TMAX-NORMAL ...);
//   - a daily weather file of the user's own (date, tmax_c or tmax_f, tmin_c or
//     tmin_f; rain_mm or rain_in, solar_mj_m2, dewpoint_c or dewpoint_f,
//     wind_m_s or wind_mph at 2 m as they are known).
//
// All faults are returned, each with its file, line and column.
func ReadFiles(files ...File) (Library, []Fault) {
	if len(files) == 0 || len(files) > 2 {
		return Library{}, []Fault{{Field: "climate", What: fmt.Sprintf("%d climate files", len(files)), Right: "give one file, or a stations file and its normals"}}
	}
	var stations, normals *table
	var faults []Fault
	for _, f := range files {
		t, err := openTable(f)
		if err != nil {
			fault, ok := err.(Fault)
			if !ok {
				fault = Fault{File: f.Name, What: err.Error()}
			}
			faults = append(faults, fault)
			continue
		}
		switch {
		case t.has("mly_tmax_normal") && t.has("mly_tmin_normal"):
			return alone(t, files, readNOAA)
		case t.has("station_id") && t.has("month"):
			normals = t
		case t.has("station_id") && t.has("lat_deg"):
			stations = t
		case t.first("date", "day") != "":
			return alone(t, files, readDaily)
		default:
			faults = append(faults, Fault{File: f.Name, Line: 1, Column: 1, Field: "climate",
				What:  "the head row is none that is known (" + clip(strings.Join(t.head, ", ")) + ")",
				Right: "give stations and normals, a NOAA monthly-normals file, or daily weather with date, tmax_c, tmin_c"})
		}
	}
	if len(faults) > 0 {
		return Library{}, faults
	}
	switch {
	case stations == nil:
		return Library{}, []Fault{{File: files[0].Name, Field: "climate", What: "the stations file is missing", Right: "give both: climate: [stations.csv, normals.csv]"}}
	case normals == nil:
		return Library{}, []Fault{{File: files[0].Name, Field: "climate", What: "the file of normals is missing", Right: "give both: climate: [stations.csv, normals.csv]"}}
	}
	return readStations(stations, normals)
}

func alone(t *table, files []File, read func(*table) (Library, []Fault)) (Library, []Fault) {
	if len(files) != 1 {
		return Library{}, []Fault{{File: t.file, Field: "climate", What: "this file stands alone, but two were given", Right: "give only this one"}}
	}
	return read(t)
}

func readStations(s, n *table) (Library, []Fault) {
	lib := Library{origin: Station}
	if s.missing("station_id", "lat_deg", "lon_deg", "elev_m") {
		return lib, s.faults
	}
	if n.missing("station_id", "month", "tmax_c", "tmin_c") {
		return lib, n.faults
	}
	index := map[string]int{}
	for s.next() {
		id := s.text("station_id")
		if id == "" {
			s.fault("station_id", "a row without a station_id", "give each station a name of its own")
			continue
		}
		if _, twice := index[id]; twice {
			s.fault("station_id", fmt.Sprintf("station %q stands twice", clip(id)), "keep one of the rows")
			continue
		}
		lat, lon, z := s.need("lat_deg"), s.need("lon_deg"), s.need("elev_m")
		if math.Abs(lat) > 90 || math.Abs(lon) > 360 {
			s.fault("lat_deg", fmt.Sprintf("%.6g, %.6g is not on the globe", lat, lon), "latitude -90 to 90, longitude -180 to 180")
		}
		st := station{id: id, name: s.text("name"), file: n.file}
		st.place = placed(lat, lon, z)
		if st.name == "" {
			st.name = id
		}
		if s.text("years") != "" {
			st.years, _ = s.number("years")
		}
		index[id] = len(lib.stations)
		lib.stations = append(lib.stations, st)
	}
	if len(lib.stations) == 0 {
		if len(s.faults) == 0 {
			s.faults = append(s.faults, Fault{File: s.file, What: "the stations file has no rows", Right: "one row a station"})
		}
		return lib, s.faults
	}
	for n.next() {
		i, ok := index[n.text("station_id")]
		if !ok {
			n.fault("station_id", fmt.Sprintf("station %q is not in the stations file", clip(n.text("station_id"))), "add it there or take the row out")
			continue
		}
		lib.stations[i].readMonth(n)
	}
	return lib, append(s.faults, n.faults...)
}

func placed(lat, lon, z float64) Place {
	return Place{Latitude: unit.Angle(lat) * unit.Degree, Longitude: new(unit.Angle(lon) * unit.Degree), Elevation: new(unit.Length(z))}
}

// readMonth takes a row of normals. Wind stands at 10 m there: u2 = 0.748 u10.
func (s *station) readMonth(n *table) {
	m := int(n.need("month"))
	if m < 1 || m > 12 {
		n.fault("month", fmt.Sprintf("there is no month %d", m), "number the months 1 to 12")
		return
	}
	if s.seen[m-1] {
		n.fault("month", fmt.Sprintf("month %d of station %s stands twice", m, clip(s.id)), "keep one of the rows")
		return
	}
	s.seen[m-1] = true
	s.line, _ = n.in.FieldPos(0)
	s.at[m-1] = n.spot("tmax_c", "tmin_c", "solar_mj_m2_d", "dewpoint_c", "precip_mm", "wind_m_s", "tmax_sd_c", "tmin_sd_c")
	out := Month{High: unit.Temperature(n.need("tmax_c")), Low: unit.Temperature(n.need("tmin_c"))}
	out.HighSpread = optional(n, "tmax_sd_c", unit.TemperatureStep(1))
	out.LowSpread = optional(n, "tmin_sd_c", unit.TemperatureStep(1))
	out.Solar = optional(n, "solar_mj_m2_d", unit.MegajoulePerSquareMetre)
	out.Dew = optional(n, "dewpoint_c", unit.Temperature(1))
	out.Rain = optional(n, "precip_mm", unit.Millimetre)
	out.Wind = optional(n, "wind_m_s", WindAtTwoMetres(1, 10*unit.Metre))
	s.months[m-1] = out
}

// spot is where the figures of a month stand in a file: tmax, tmin, solar, dew
// point, rain, wind and the spreads.
type spot struct {
	line    int
	columns [8]int
}

// spotOf gives the place of a field of a fault in a spot.
var spotOf = map[string]int{"tmax": 0, "tmin": 1, "solar": 2, "dewpoint": 3, "rain": 4, "wind": 5, "tmax sd": 6, "tmin sd": 7}

// spot notes where the columns of the row stand.
func (t *table) spot(names ...string) spot {
	var s spot
	s.line, _ = t.in.FieldPos(0)
	for i, name := range names {
		s.columns[i] = 1
		if c, ok := t.columns[name]; ok && c < len(t.rec) {
			_, s.columns[i] = t.in.FieldPos(c)
		}
	}
	return s
}

func optional[T ~float64](t *table, name string, one T) *T {
	x, given := t.number(name)
	if !given {
		return nil
	}
	return new(T(x) * one)
}

// earthRadius is the mean radius of the earth.
const earthRadius = 6371 * unit.Kilometre

// Distance gives the way along the globe between two places that have a
// longitude; ok is false when one has none.
func Distance(a, b Place) (unit.Length, bool) {
	if a.Longitude == nil || b.Longitude == nil {
		return 0, false
	}
	hav := func(x float64) float64 { s := math.Sin(x / 2); return s * s }
	h := hav(float64(b.Latitude-a.Latitude)) + math.Cos(float64(a.Latitude))*math.Cos(float64(b.Latitude))*hav(float64(*b.Longitude-*a.Longitude))
	return 2 * earthRadius * unit.Length(math.Asin(math.Min(1, math.Sqrt(h)))), true
}

// At gives the climate for a place: the station nearest by distance, with 100 m
// of height counted as 10 km. A station beyond 150 km or 400 m is refused unless
// far is said; both figures are shown. A file of one station is held to the same.
func (l Library) At(p Place, far bool) (Climate, []Fault) {
	if len(l.stations) == 0 {
		return Climate{}, []Fault{{Field: "climate", What: "the climate files hold no station"}}
	}
	from := p
	if p.Longitude == nil && !l.stations[0].noPlace {
		if len(l.stations) > 1 {
			return Climate{}, []Fault{{Field: "longitude", What: "the longitude is missing, so no nearest station can be found", Right: "give site.longitude, west negative"}}
		}
		from.Longitude = l.stations[0].place.Longitude // it is at least as far as the latitudes are apart
	}
	i, away, rise := l.nearest(from)
	st := l.stations[i]
	if !far && (away > StationReach || max(rise, -rise) > StationRise) {
		return Climate{}, []Fault{l.refuse(p, st, away, rise)}
	}
	c := Climate{Place: p, Months: st.months, Origin: l.origin, Name: st.name, Years: st.years, Away: away, Rise: rise}
	if c.Place.Elevation == nil && st.place.Elevation != nil && !st.noPlace {
		c.Place.Elevation, c.StationHeight = st.place.Elevation, true
	}
	var missing []string
	for m, seen := range st.seen {
		if !seen {
			missing = append(missing, fmt.Sprint(m+1))
		}
	}
	if len(missing) > 0 {
		return Climate{}, []Fault{{File: st.file, Line: st.line, Field: "month", What: "station " + clip(st.name) + " lacks the months " + strings.Join(missing, ", "), Right: "all twelve are needed"}}
	}
	faults := c.Check()
	for k := range faults {
		faults[k].File, faults[k].Line = st.file, st.line
		if m := faults[k].Month; m > 0 && st.at[m-1].line > 0 {
			faults[k].Line, faults[k].Column = st.at[m-1].line, st.at[m-1].columns[spotOf[faults[k].Field]]
		}
	}
	return c, faults
}

// nearest gives the best station among those in reach, or the best of all.
func (l Library) nearest(p Place) (best int, away, rise unit.Length) {
	score, reached := math.Inf(1), false
	for i, s := range l.stations {
		d, _ := Distance(p, s.place)
		var z unit.Length
		if p.Elevation != nil && s.place.Elevation != nil {
			z = *s.place.Elevation - *p.Elevation
		}
		inReach := d <= StationReach && max(z, -z) <= StationRise
		sc := float64(d) + math.Abs(float64(z))*100 // 100 m of height is 10 km of way
		if inReach && !reached || inReach == reached && sc < score {
			best, away, rise, score, reached = i, d, z, sc, inReach
		}
	}
	return best, away, rise
}

func (l Library) refuse(p Place, s station, away, rise unit.Length) Fault {
	f := Fault{Field: "climate", File: s.file,
		What:  fmt.Sprintf("the nearest station, %s, is %.0f km away and %.0f m %s the site", clip(s.name), away.Metres()/1000, math.Abs(rise.Metres()), updown(rise)),
		Right: "give a nearer station, type twelve months under site.months, or write far climate: yes"}
	if p.Longitude != nil {
		flip := p
		flip.Longitude = new(-*p.Longitude)
		if i, d, z := l.nearest(flip); d <= StationReach && max(z, -z) <= StationRise {
			f.What += fmt.Sprintf("; with the other sign of the longitude %s would be %.0f km away", clip(l.stations[i].name), d.Metres()/1000)
		}
		if AtSea(p.Latitude, *p.Longitude) {
			f.What += "; the site is in the open sea"
		}
	}
	return f
}

func updown(z unit.Length) string {
	if z < 0 {
		return "below"
	}
	return "above"
}
