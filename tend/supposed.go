package tend

import (
	"strings"
	"time"

	"raftwright/finding"
	"raftwright/unit"
)

// Faults of what one asks about a bed.
const (
	FaultIf  finding.ID = "tend.fault.if"  // nothing that can be supposed
	FaultNow finding.ID = "tend.fault.now" // no moment
)

// The most rain and the longest absence that are looked at.
const mostRain, mostAway = unit.Foot, longestAway * unit.Day

// Supposed reads what may come, as a person types it: "rain=2in", "away=9d", "power=off",
// "heat=yes", "cold=yes". Rain is at most mostRain, away at most mostAway.
func Supposed(texts []string) (f If, err error) {
	for _, text := range texts {
		what, how, _ := strings.Cut(text, "=")
		wrong := finding.Fault{ID: FaultIf, Args: finding.Args{"Text": text, "Rain": mostRain, "Away": mostAway}}
		var x float64
		switch what = strings.TrimSpace(what); {
		case what == "rain":
			x, err = unit.LengthKind.Parse(how)
			f.Rain, f.RainKnown = unit.Length(x), true
		case what == "away":
			x, err = unit.DurationKind.Parse(how)
			f.Away = unit.Duration(x)
		case what == "power" && how == "off":
			f.PowerOff = true
		case what == "heat" && how == "yes":
			f.Hot = true
		case what == "cold" && how == "yes":
			f.Cold = true
		default:
			return f, wrong
		}
		if err != nil || f.Rain < 0 || f.Rain > mostRain || f.Away < 0 || f.Away > mostAway {
			return f, wrong
		}
	}
	return f, nil
}

// Moment reads a moment by the clock at the bed; "" is what that clock shows now.
func Moment(text string, now time.Time) (time.Time, error) {
	if text == "" {
		return AtBed(now), nil
	}
	for _, form := range []string{"2006-01-02T15:04", "2006-01-02 15:04", "2006-01-02", time.RFC3339} {
		if t, err := time.Parse(form, text); err == nil {
			return AtBed(t), nil
		}
	}
	return time.Time{}, finding.Fault{ID: FaultNow, Args: finding.Args{"Now": text}}
}

// AtBed gives what a clock shows, to the minute, as a log has it: as if it showed UTC.
func AtBed(t time.Time) time.Time {
	return time.Date(t.Year(), t.Month(), t.Day(), t.Hour(), t.Minute(), 0, 0, time.UTC)
}
