package sky

import (
	"math"
	"strings"

	"raftwright/finding"
	"raftwright/internal/table"
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
func ReadFiles(files ...File) (Library, finding.Faults) {
	inBrief := func(id finding.ID) finding.Faults {
		return finding.Faults{{ID: id, Path: "site.climate[0]", Args: finding.Args{"Count": len(files)}}}
	}
	if len(files) == 0 || len(files) > 2 {
		return Library{}, inBrief(FaultFiles)
	}
	var stations, normals *sheet
	var faults finding.Faults
	for _, f := range files {
		t, wrong := openSheet(f)
		switch {
		case wrong != nil:
			faults = append(faults, wrong...)
		case t.has("mly_tmax_normal") && t.has("mly_tmin_normal"):
			return alone(t, files, readNOAA)
		case t.has("station_id") && t.has("month"):
			normals = t
		case t.has("station_id") && t.has("lat_deg"):
			stations = t
		case t.first("date", "day") != "":
			return alone(t, files, readDaily)
		default:
			faults = append(faults, t.only(FaultHead, finding.Args{"Head": clip(strings.Join(t.head, ", "))})...)
		}
	}
	switch {
	case len(faults) > 0:
		return Library{}, faults
	case stations == nil:
		return Library{}, inBrief(FaultNoStations)
	case normals == nil:
		return Library{}, inBrief(FaultNoNormals)
	}
	return readStations(stations, normals)
}

func alone(t *sheet, files []File, read func(*sheet) (Library, finding.Faults)) (Library, finding.Faults) {
	if len(files) != 1 {
		return Library{}, t.only(FaultAlone, nil)
	}
	return read(t)
}

func readStations(s, n *sheet) (Library, finding.Faults) {
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
			s.wrong(table.FaultBlank, "station_id", finding.Args{"Name": "station_id"})
			continue
		}
		if _, twice := index[id]; twice {
			s.wrong(FaultStation, "station_id", finding.Args{"Station": clip(id)})
			continue
		}
		lat, lon, z := s.between("lat_deg", -90, 90), s.between("lon_deg", -360, 360), s.need("elev_m")
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
			s.faults = s.only(table.FaultEmpty, nil)
		}
		return lib, s.faults
	}
	for n.next() {
		i, ok := index[n.text("station_id")]
		if !ok {
			n.wrong(FaultNoStation, "station_id", finding.Args{"Station": clip(n.text("station_id"))})
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
func (s *station) readMonth(n *sheet) {
	m := int(n.need("month"))
	if m < 1 || m > 12 {
		n.wrong(FaultMonth, "month", finding.Args{"Month": m})
		return
	}
	if s.seen[m-1] {
		n.wrong(FaultTwice, "month", finding.Args{"Month": m})
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
func (t *sheet) spot(names ...string) spot {
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

func optional[T ~float64](t *sheet, name string, one T) *T {
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
func (l Library) At(p Place, far bool) (Climate, finding.Faults) {
	if len(l.stations) == 0 {
		return Climate{}, finding.Faults{{ID: FaultNoStations, Path: "site.climate[0]"}}
	}
	from := p
	if p.Longitude == nil && !l.stations[0].noPlace {
		if len(l.stations) > 1 {
			return Climate{}, finding.Faults{{ID: FaultLongitude, Path: "site.longitude"}}
		}
		from.Longitude = l.stations[0].place.Longitude // it is at least as far as the latitudes are apart
	}
	i, away, rise := l.nearest(from)
	st := l.stations[i]
	if !far && (away > StationReach || max(rise, -rise) > StationRise) {
		return Climate{}, finding.Faults{l.refuse(p, st, away, rise)}
	}
	c := Climate{Place: p, Months: st.months, Origin: l.origin, Name: st.name, Years: st.years, Away: away, Rise: rise}
	if c.Place.Elevation == nil && st.place.Elevation != nil && !st.noPlace {
		c.Place.Elevation, c.StationHeight = st.place.Elevation, true
	}
	if missing := unseen(st.seen[:]); missing != "" {
		return Climate{}, finding.Faults{{ID: FaultMissing, Args: finding.Args{"Months": missing}, File: st.file, Line: max(1, st.line), Column: 1}}
	}
	return c, c.check(func(month int, field string) finding.Fault {
		if month == 0 && (field == "latitude" || !c.StationHeight) {
			return finding.Fault{Path: finding.Path("site").Key(field)}
		}
		f := finding.Fault{File: st.file, Line: max(1, st.line), Column: 1}
		if month > 0 && st.at[month-1].line > 0 {
			f.Line, f.Column = st.at[month-1].line, st.at[month-1].columns[spotOf[field]]
		}
		return f
	})
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

func (l Library) refuse(p Place, s station, away, rise unit.Length) finding.Fault {
	args := finding.Args{"Station": clip(s.name), "Away": away, "Altitude": max(rise, -rise), "Below": rise < 0, "Other": "", "OtherAway": away, "Sea": false}
	if p.Longitude != nil {
		flip := p
		flip.Longitude = new(-*p.Longitude)
		if i, d, z := l.nearest(flip); d <= StationReach && max(z, -z) <= StationRise {
			args["Other"], args["OtherAway"] = clip(l.stations[i].name), d
		}
		args["Sea"] = AtSea(p.Latitude, *p.Longitude)
	}
	return finding.Fault{ID: FaultFar, Path: "site.climate[0]", Args: args}
}
