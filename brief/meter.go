package brief

import (
	"fmt"
	"reflect"
	"strings"

	"raftwright/finding"
	"raftwright/unit"
)

// ppm begins the name of a scale of ppm.
const ppm = "ppm "

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
		ok = ok && Shown(ppm+scale).PPM() > 0
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
	scale, is := strings.CutPrefix(strings.ToLower(strings.Join(strings.Fields(shows.text), " ")), ppm)
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
	per := Shown(ppm + scale).PPM()
	if per == 0 {
		return "", fault("brief.fault.ppm", "Text", clip(written), "Number", clip(number), "Least", shown/ShowsPPM700.PPM(), "Most", shown/ShowsPPM500.PPM())
	}
	return fmt.Sprintf("%.12g mS/cm", shown/per), nil
}
