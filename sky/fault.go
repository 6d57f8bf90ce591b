package sky

import (
	"cmp"

	"raftwright/finding"
	"raftwright/unit"
)

// Faults of climate figures: typed ones stand at keys of the brief, those of a file at
// its lines.
const (
	FaultMonth       finding.ID = "sky.fault.month" // not 1 to 12
	FaultTwice       finding.ID = "sky.fault.twice" // a month given twice
	FaultMissing     finding.ID = "sky.fault.missing"
	FaultHot         finding.ID = "sky.fault.hot" // hotter than any place: °F typed as °C
	FaultSwappedMost finding.ID = "sky.fault.swapped_most"
	FaultSwapped     finding.ID = "sky.fault.swapped"
	FaultTemperature finding.ID = "sky.fault.temperature"
	FaultApart       finding.ID = "sky.fault.apart"
	FaultBright      finding.ID = "sky.fault.bright" // more than the sun sends
	FaultDark        finding.ID = "sky.fault.dark"   // less than passes the thickest cloud
	FaultSunshine    finding.ID = "sky.fault.sunshine"
	FaultDew         finding.ID = "sky.fault.dew"
	FaultLongitude   finding.ID = "sky.fault.longitude" // needed to find a station
	FaultFar         finding.ID = "sky.fault.far"
)

// Faults of climate files.
const (
	FaultFiles       finding.ID = "sky.fault.files" // none, or more than two
	FaultHead        finding.ID = "sky.fault.head"  // of no kind of file that is known
	FaultColumns     finding.ID = "sky.fault.columns"
	FaultNoStations  finding.ID = "sky.fault.no_stations"
	FaultNoNormals   finding.ID = "sky.fault.no_normals"
	FaultAlone       finding.ID = "sky.fault.alone" // a second file beside one that is whole
	FaultNumber      finding.ID = "sky.fault.number"
	FaultStation     finding.ID = "sky.fault.station" // given twice
	FaultNoStation   finding.ID = "sky.fault.no_station"
	FaultOther       finding.ID = "sky.fault.other_station" // in a file of one
	FaultNoFigure    finding.ID = "sky.fault.no_figure"
	FaultUnit        finding.ID = "sky.fault.unit" // a column that does not say it
	FaultDate        finding.ID = "sky.fault.date"
	rightFahrenheit  finding.ID = "right.sky.fault.hot_fahrenheit"
	rightMonthOfFile finding.ID = "right.sky.fault.month_file"
)

// where gives a fault at the place of a figure of a month (0: of the place), without
// its code: a key of the brief, or a line of a file.
type where func(month int, field string) finding.Fault

func (at where) wrong(id finding.ID, month int, field string, args finding.Args) finding.Fault {
	f := at(month, field)
	f.ID, f.Args = id, args
	return f
}

// ranged gives the fault of a figure outside its range, if it is.
func ranged[T ~float64](at where, month int, field string, x, least, most, example T) finding.Faults {
	faults := finding.Within("", x, least, most, example)
	for i, f := range faults {
		place := at(month, field)
		f.Args["Key"] = cmp.Or(string(place.Path), field)
		faults[i] = at.wrong(f.ID, month, field, f.Args)
	}
	return faults
}

// typedMonths says where typed months stand, by their place in the list.
func typedMonths(place [13]int) where {
	return func(month int, field string) finding.Fault {
		if month == 0 {
			return finding.Fault{Path: finding.Path("site").Key(field)}
		}
		return finding.Fault{Path: finding.Path("site.months").Item(place[month]).Key(field)}
	}
}

func clip(s string) string {
	if r := []rune(s); len(r) > 24 {
		return string(r[:24]) + "..."
	}
	return s
}

// hot is the fault of a month hotter than any place on earth.
func (at where) hot(month int, t unit.Temperature) finding.Fault {
	f := at.wrong(FaultHot, month, "tmax", finding.Args{"Degrees": t.Celsius(), "Meant": unit.Fahrenheit(t.Celsius())})
	if t <= 130 {
		f.Right = rightFahrenheit
	}
	return f
}
