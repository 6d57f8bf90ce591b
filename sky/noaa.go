package sky

import (
	"strconv"

	"raftwright/finding"
	"raftwright/internal/table"
	"raftwright/unit"
)

// readNOAA reads a NOAA 1991-2020 monthly-normals file: one station, twelve
// rows, degrees Fahrenheit, inches, metres of elevation. Values flagged M
// (missing) and the codes -9999, -8888, -7777, -6666 and -5555 are taken as
// missing. MLY-TMIN-STDDEV is the spread of whole months between years and is
// not used. Nothing in the file gives radiation, humidity or wind.
func readNOAA(t *sheet) (Library, finding.Faults) {
	if t.missing("date", "latitude", "longitude", "elevation") {
		return Library{}, t.faults
	}
	s := station{file: t.file, years: 30}
	for t.next() {
		if s.id == "" {
			s.id, s.name = t.text("station"), t.text("name")
			s.place = placed(t.need("latitude"), t.need("longitude"), t.need("elevation"))
		} else if id := t.text("station"); id != s.id {
			t.wrong(FaultOther, "station", finding.Args{"Station": clip(id)})
			break
		}
		m, err := strconv.Atoi(t.text("date"))
		if err != nil || m < 1 || m > 12 {
			t.wrong(FaultMonth, "date", finding.Args{"Month": clip(t.text("date"))})
			t.faults[len(t.faults)-1].Right = rightMonthOfFile
			continue
		}
		if s.seen[m-1] {
			t.wrong(FaultTwice, "date", finding.Args{"Month": m})
			continue
		}
		hi, okHi := t.normal("mly_tmax_normal")
		lo, okLo := t.normal("mly_tmin_normal")
		if !okHi || !okLo {
			t.wrong(FaultNoFigure, "mly_tmax_normal", finding.Args{"Month": m})
			continue
		}
		s.seen[m-1] = true
		s.line, _ = t.in.FieldPos(0)
		s.at[m-1] = t.spot("mly_tmax_normal", "mly_tmin_normal", "", "", "mly_prcp_normal")
		s.months[m-1] = Month{High: unit.Fahrenheit(hi), Low: unit.Fahrenheit(lo)}
		if in, ok := t.normal("mly_prcp_normal"); ok {
			s.months[m-1].Rain = new(unit.Length(in) * unit.Inch)
		}
	}
	if s.name == "" {
		s.name = s.id
	}
	if s.id == "" && len(t.faults) == 0 {
		t.faults = t.only(table.FaultEmpty, nil)
	}
	return Library{stations: []station{s}, origin: Normals}, t.faults
}

// normal reads one value of a normals file unless it is marked missing.
func (t *sheet) normal(name string) (float64, bool) {
	for _, flag := range []string{"meas_flag_" + name, "comp_flag_" + name} {
		if t.text(flag) == "M" {
			return 0, false
		}
	}
	x, given := t.number(name)
	if !given || x <= -5555 {
		return 0, false
	}
	return x, true
}
