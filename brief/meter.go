package brief

import (
	"fmt"
	"reflect"
	"regexp"
	"strings"

	"raftwright/finding"
	"raftwright/unit"
)

// ppmText is a reading in ppm, with the scale of the meter where one is written.
var ppmText = regexp.MustCompile(`(?i)^\s*([0-9][0-9.]*)\s*ppm(?:\s*\(?(500|640|700)\)?)?\s*$`)

// statedScale gives the ppm scale of meter.shows, wherever it stands in the file:
// readings before it are in its scale too. "" where it is no ppm scale.
func statedScale(root *node) string {
	shows := root.kid("meter").kid("shows")
	if shows == nil {
		return ""
	}
	scale, is := strings.CutPrefix(strings.ToLower(strings.Join(strings.Fields(shows.text), " ")), "ppm ")
	if !is {
		return ""
	}
	return scale
}

// inEC turns a conductivity that was written in ppm into mS/cm. Without a scale,
// on the value or under meter, it is refused: the same number is half as much
// again on another meter.
func inEC(s *spec, written, scale string) (string, *finding.Fault) {
	if s.typ != reflect.TypeFor[unit.Conductivity]() {
		return written, nil
	}
	m := ppmText.FindStringSubmatch(written)
	if m == nil {
		return written, nil
	}
	if m[2] != "" {
		scale = m[2]
	}
	shown, err := unit.ParseNumber(m[1])
	if err != nil {
		return written, nil
	}
	per, known := map[string]float64{"500": 500, "640": 640, "700": 700}[scale]
	if !known {
		return "", fault("brief.fault.ppm", "Text", clip(written), "Number", clip(m[1]), "Least", shown/700, "Most", shown/500)
	}
	return fmt.Sprintf("%.12g mS/cm", shown/per), nil
}
