package brief

import (
	"fmt"
	"reflect"
	"strings"

	"raftwright/finding"
	"raftwright/unit"
)

// ppmText takes a reading in ppm apart, "700 ppm" or "700 ppm (640)": the number,
// and the scale of the meter where one is written.
func ppmText(text string) (number, scale string, ok bool) {
	number, scale, ok = strings.Cut(strings.ToLower(text), "ppm")
	number, scale = strings.TrimSpace(number), strings.TrimSpace(scale)
	if number == "" || number[0] == '.' || strings.Trim(number, "0123456789.") != "" {
		return "", "", false
	}
	if scale != "" {
		scale = strings.TrimSuffix(strings.TrimPrefix(scale, "("), ")")
		ok = ok && (scale == "500" || scale == "640" || scale == "700")
	}
	return number, scale, ok
}

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
	number, own, ok := ppmText(written)
	if !ok {
		return written, nil
	}
	if own != "" {
		scale = own
	}
	shown, err := unit.ParseNumber(number)
	if err != nil {
		return written, nil
	}
	per, known := map[string]float64{"500": 500, "640": 640, "700": 700}[scale]
	if !known {
		return "", fault("brief.fault.ppm", "Text", clip(written), "Number", clip(number), "Least", shown/700, "Most", shown/500)
	}
	return fmt.Sprintf("%.12g mS/cm", shown/per), nil
}
