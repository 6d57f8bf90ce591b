package frame

import (
	_ "embed"
	"slices"
	"strconv"
	"strings"

	"raftwright/finding"
	"raftwright/internal/table"
	"raftwright/unit"
)

//go:embed board.csv
var boardTable string

// otherBoards is the row of every size that has none.
const otherBoards = "other"

// Racks is a table of the lengths in which boards are sold, by their size.
type Racks struct{ lengths map[string][]unit.Length }

// ReadRacks reads a table with the columns of board.csv.
func ReadRacks(file, text string) (n Racks, _ finding.Faults) {
	n.lengths = map[string][]unit.Length{}
	faults := table.Read(file, text, func(r *table.Row) {
		size := r.Need("size")
		if _, wrong := ParseSize("", size); wrong != nil && size != otherBoards {
			r.Wrong(FaultSize, "size", finding.Args{"Size": clip(size)})
		}
		for _, word := range strings.Fields(r.Need("lengths_ft")) {
			feet, err := strconv.ParseFloat(word, 64)
			if err != nil || !(feet >= 1 && feet <= 60) {
				r.Wrong(FaultBoard, "lengths_ft", finding.Args{"Length": clip(word)})
			}
			n.lengths[size] = append(n.lengths[size], unit.Length(feet)*unit.Foot)
		}
		r.Source("source")
		slices.Sort(n.lengths[size])
	})
	return n, faults
}

// Lengths gives the lengths in which a size is sold, the shortest first.
func (n Racks) Lengths(size string) []unit.Length {
	if l, ok := n.lengths[size]; ok {
		return l
	}
	return n.lengths[otherBoards]
}

// Longest gives the longest board of a size that is sold.
func (n Racks) Longest(size string) (most unit.Length) {
	for _, l := range n.Lengths(size) {
		most = max(most, l)
	}
	return most
}
