package raft

import (
	_ "embed"
	"sort"
	"strings"

	"raftwright/finding"
	"raftwright/internal/table"
	"raftwright/source"
	"raftwright/unit"
)

//go:embed foam.csv
var foamText string

//go:embed circles.csv
var circlesText string

// Book is what the raft looks up.
type Book struct {
	Foams   Foams
	Circles Circles
}

// Tables are the embedded tables.
func Tables() table.Texts {
	return table.Texts{{File: "foam.csv", Text: foamText, Key: []string{"type", "kind"}}, {File: "circles.csv", Text: circlesText}}
}

// ReadBook reads tables with the columns of the embedded ones.
func ReadBook(t table.Texts) (b Book, faults finding.Faults) {
	b.Foams, faults = ReadFoams("foam.csv", t.Of("foam.csv").Text)
	circles, more := ReadCircles("circles.csv", t.Of("circles.csv").Text)
	b.Circles = circles
	return b, append(faults, more...)
}

// DefaultBook gives the embedded tables.
func DefaultBook() Book { return table.Must(ReadBook(Tables())) }

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

// Foams is a table of boards, lightest first of each kind.
type Foams struct{ list []Foam }

// ReadFoams reads a table with the columns of foam.csv.
func ReadFoams(file, text string) (t Foams, _ finding.Faults) {
	faults := table.Read(file, text, func(r *table.Row) {
		pressure := func(column string) unit.Pressure { return unit.Pressure(r.Number(column, 1, 10000)) * unit.Kilopascal }
		t.list = append(t.list, Foam{Type: strings.ToUpper(r.Need("type")), Kind: strings.ToUpper(r.Need("kind")), Density: unit.Density(r.Number("density_kg_m3", 5, 500)),
			Compressive: pressure("compressive_kPa"), Flexural: pressure("flexural_kPa"),
			Uptake: unit.Fraction(r.Number("uptake_percent", 0, 20)) * unit.Percent, Source: r.Source("source")})
	})
	return t, faults
}

// All lists the boards in the order of the table.
func (t Foams) All() []Foam { return append([]Foam(nil), t.list...) }

// Find reads what a grower calls the board: "xps", "eps", a type of
// ASTM C578 ("X", "type IX"), or both ("xps IV"). Where only the kind is said the
// type most often on the shelf is taken (X for XPS, I for EPS: common practice)
// and assumed is true. An empty name means xps.
func (t Foams) Find(name string) (foam Foam, assumed, ok bool) {
	kind, typ := "", ""
	for _, w := range strings.Fields(strings.ToUpper(strings.NewReplacer(",", " ", "-", " ").Replace(name))) {
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
	for _, f := range t.list {
		if f.Type == typ && (kind == "" || kind == f.Kind) {
			return f, assumed, true
		}
	}
	return Foam{}, false, false
}

// Circles is the table of the best packings known of circles in a circle.
type Circles struct {
	ratios []float64 // of 1, 2 ... circles, ascending
}

// FaultCircles is a table of packings that leaves a number of circles out or does
// not ascend.
const FaultCircles finding.ID = "raft.fault.circles"

// ReadCircles reads a table with the columns of circles.csv, from 1 on without a gap.
func ReadCircles(file, text string) (t Circles, _ finding.Faults) {
	faults := table.Read(file, text, func(r *table.Row) {
		n, ratio := r.Number("circles", 1, 1e4), r.Number("ratio", 1, 1e3)
		if k := len(t.ratios); int(n) != k+1 || k > 0 && ratio < t.ratios[k-1] {
			r.Wrong(FaultCircles, "circles", nil)
		}
		t.ratios = append(t.ratios, ratio)
	})
	return t, faults
}

// Known gives the most circles that are known to fit at a ratio of container to
// circle radius, 0 where the table ends first.
func (t Circles) Known(ratio float64) int {
	n := sort.Search(len(t.ratios), func(i int) bool { return t.ratios[i] > ratio*(1+tolerance) })
	if n == len(t.ratios) {
		return 0
	}
	return n
}
