package raft

import (
	_ "embed"
	"encoding/csv"
	"strconv"
	"strings"

	"raftwright/source"
	"raftwright/unit"
)

// Foam is one type of rigid polystyrene board. The figures are the least the
// standard lets pass (the most, for the uptake); a real board is a little
// heavier and stronger.
type Foam struct {
	Type        string // "X", "IX": the type of ASTM C578
	Kind        string // "XPS" extruded, "EPS" beads moulded together
	Density     unit.Density
	Compressive unit.Pressure
	Flexural    unit.Pressure
	Uptake      unit.Fraction // water taken up in 24 h, by volume
	Source      source.ID
}

//go:embed foam.csv
var foamCSV string

// foams is the table of foam.csv, in its order.
var foams = readFoams(foamCSV)

// readFoams reads the embedded table. A slip in it is a fault of the build that
// the tests catch, so it yields a short table rather than an error.
func readFoams(text string) []Foam {
	reader := csv.NewReader(strings.NewReader(text))
	reader.Comment = '#'
	rows, err := reader.ReadAll()
	if err != nil {
		return nil
	}
	var out []Foam
	for _, row := range rows[1:] {
		var v [4]float64
		for i := range v {
			if v[i], err = strconv.ParseFloat(row[2+i], 64); err != nil {
				return nil
			}
		}
		out = append(out, Foam{Type: row[0], Kind: row[1], Density: unit.Density(v[0]),
			Compressive: unit.Pressure(v[1]) * unit.Kilopascal, Flexural: unit.Pressure(v[2]) * unit.Kilopascal,
			Uptake: unit.Fraction(v[3]) * unit.Percent, Source: source.ID(row[6])})
	}
	return out
}

// Foams lists every board type known, lightest first within the table's order.
func Foams() []Foam { return append([]Foam(nil), foams...) }

// FindFoam reads what a grower calls the board: "xps", "eps", a type of
// ASTM C578 ("X", "type IX"), or both ("xps IV"). Where only the kind is said the
// type most often on the shelf is taken (X for XPS, I for EPS: common practice)
// and assumed is true. An empty name means xps; known is false for any other.
func FindFoam(name string) (foam Foam, assumed, known bool) {
	words := strings.Fields(strings.ToUpper(strings.NewReplacer(",", " ", "-", " ").Replace(name)))
	kind, typ := "", ""
	for _, w := range words {
		switch w {
		case "XPS", "EPS":
			kind = w
		case "TYPE", "FOAM", "BOARD":
		default:
			typ = w
		}
	}
	if typ == "" {
		assumed, typ = true, "X"
		if kind == "EPS" {
			typ = "I"
		}
	}
	for _, f := range foams {
		if f.Type == typ && (kind == "" || kind == f.Kind) {
			return f, assumed, true
		}
	}
	return Foam{}, false, false
}

// stockThicknesses are the boards a store has, thinnest first (common practice).
var stockThicknesses = []unit.Length{0.75 * unit.Inch, 1 * unit.Inch, 1.5 * unit.Inch, 2 * unit.Inch}
