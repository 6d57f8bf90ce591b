package brief

import (
	"fmt"
	"reflect"
	"regexp"
	"strings"

	"github.com/goccy/go-yaml/ast"

	"raftwright/unit"
)

// ppmText is a reading in ppm, with the scale of the meter where one is written.
var ppmText = regexp.MustCompile(`(?i)^\s*([0-9][0-9.]*)\s*ppm(?:\s*\(?(500|640|700)\)?)?\s*$`)

// statedScale looks in the tree for meter.shows, wherever it stands in the file:
// readings before it are in its scale too. "" where it is no ppm scale.
func statedScale(root ast.Node) string {
	shows := child(child(root, "meter"), "shows")
	if shows == nil {
		return ""
	}
	written, _ := text(shows)
	scale, is := strings.CutPrefix(strings.ToLower(strings.Join(strings.Fields(written), " ")), "ppm ")
	if !is {
		return ""
	}
	return scale
}

// child gives the value of a key of a group, nil where there is none.
func child(n ast.Node, key string) ast.Node {
	var list []*ast.MappingValueNode
	switch v := n.(type) {
	case *ast.MappingNode:
		list = v.Values
	case *ast.MappingValueNode:
		list = []*ast.MappingValueNode{v}
	}
	for _, kv := range list {
		if k, is := keyText(kv.Key); is && k == key {
			return kv.Value
		}
	}
	return nil
}

// inEC turns a conductivity that was written in ppm into mS/cm. Without a scale,
// on the value or under meter, it is refused: the same number is half as much
// again on another meter.
func (r *reader) inEC(s *spec, written string) (string, *wrong) {
	if s.typ != reflect.TypeFor[unit.Conductivity]() {
		return written, nil
	}
	m := ppmText.FindStringSubmatch(written)
	if m == nil {
		return written, nil
	}
	scale := m[2]
	if scale == "" {
		scale = r.scale
	}
	shown, err := unit.ParseNumber(m[1])
	if err != nil {
		return written, nil
	}
	per, known := map[string]float64{"500": 500, "640": 640, "700": 700}[scale]
	if !known {
		return "", &wrong{fmt.Sprintf("%s %q depends on the meter: it is %.3g mS/cm on one scale and %.3g on another", s.key, clip(written), shown/700, shown/500),
			"write the scale too, for example " + clip(m[1]) + " ppm 700 (or 500, or 640), or say it once for all: meter: {shows: ppm 700}"}
	}
	return fmt.Sprintf("%.12g mS/cm", shown/per), nil
}
