package finding

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"raftwright/unit"
)

// Path names a place of the brief: keys joined by dots, items of a list by their
// number from 0 ("bed.side board", "shelf[2].label", "site.months[3].tmax"), names
// of a table of the user's own as they are ("prices.items.foam board"), in quotes
// and brackets where they hold a dot, a bracket or a quote
// (`found.amounts["20.5-0-0"]`). "" is the whole brief.
type Path string

// Key gives the path of a key inside a group.
func (p Path) Key(key string) Path {
	if key == "" || strings.ContainsAny(key, `.[]"`) {
		return p + Path("["+strconv.Quote(key)+"]")
	}
	if p == "" {
		return Path(key)
	}
	return p + "." + Path(key)
}

// Item gives the path of an item of a list, counted from 0.
func (p Path) Item(n int) Path { return p + Path("["+strconv.Itoa(n)+"]") }

// Under tells whether a path is the other one or lies inside it.
func (p Path) Under(other Path) bool {
	rest, ok := strings.CutPrefix(string(p), string(other))
	return ok && (other == "" || rest == "" || rest[0] == '.' || rest[0] == '[')
}

// Fault is one thing with which nothing can be computed: what is wrong, where, and
// what would be right. Trades raise faults with the path of the key that is meant;
// the brief knows the line and column of each path, and lang the words.
//
// Two sentences belong to it, both with its figures in place: ID says what is
// wrong, Right what would be right. Where Right is "" it is "right." + ID. A
// constant of type ID whose name begins with Fault declares one, and a test fails
// where its sentences are missing:
//
//	const FaultRound finding.ID = "frame.fault.no_diameter"
//	faults = append(faults, finding.Fault{ID: FaultRound, Path: "bed.diameter", Args: finding.Args{"Length": l}})
//
// Its sentences stand in lang/en/fault_<room>.toml.
//
// A trade collects all faults and gives them at once, as Faults.
type Fault struct {
	ID    ID
	Path  Path // "" where it is about the whole, or about a file of its own
	Args  Args
	Right ID

	// Where in a file, for what stands in one; nowhere for a fault that has a path.
	File         string
	Line, Column int
}

// Error gives place, code and path, for tests and for whoever debugs; a reader is
// given the words of package lang.
func (f Fault) Error() string {
	return fmt.Sprintf("%s:%d:%d: %s at %s", f.File, f.Line, f.Column, f.ID, f.Path)
}

// RightID gives the sentence that says what would be right.
func (f Fault) RightID() ID { return cmp.Or(f.Right, "right."+f.ID) }

// Same tells whether another fault says the same at the same place.
func (f Fault) Same(g Fault) bool {
	return f.ID == g.ID && f.Path == g.Path && f.Right == g.Right && f.File == g.File && f.Line == g.Line && f.Column == g.Column &&
		fmt.Sprint(f.Args) == fmt.Sprint(g.Args)
}

// Faults are all the faults of one thing; as an error they are told together.
type Faults []Fault

// Error joins the faults, one a line.
func (f Faults) Error() string {
	lines := make([]string, len(f))
	for i, one := range f {
		lines[i] = one.Error()
	}
	return strings.Join(lines, "\n")
}

// Or gives the faults as an error: nil where there are none.
func (f Faults) Or() error {
	if len(f) == 0 {
		return nil
	}
	return f
}

// AnyOf is a list of which one is meant; in a sentence it reads "a, b or c".
type AnyOf []string

// FaultsOf gives an error of another trade as faults: those that it holds, or one
// with the code other. What has no path gets this one.
func FaultsOf(err error, path Path, other ID) Faults {
	if err == nil {
		return nil
	}
	var held Faults
	if !errors.As(err, &held) {
		held = Faults{{ID: other}}
	}
	held = slices.Clone(held)
	for i := range held {
		held[i].Path = cmp.Or(held[i].Path, path)
	}
	return held
}

// Change is a new text for one key of the brief; "" takes the key away.
type Change struct {
	Path  Path   `json:"path"`
	Value string `json:"value"`
}

// Act is the step of the work at which a finding is told, on paper and on a page.
type Act string

// Acts, in the order of the work.
const (
	AtCover  Act = "cover"
	AtFrame  Act = "frame"
	AtCorner Act = "corner"
	AtLiner  Act = "liner"
	AtFill   Act = "fill"
	AtRaft   Act = "raft"
	AtLift   Act = "lift"
	AtCut    Act = "cut"
	AtWater  Act = "water"
	AtAcid   Act = "acid" // told only where the dose of acid is
	AtMix    Act = "mix"
	AtSeason Act = "season"
	AtMoney  Act = "money"
)

// acts gives the act of findings that do not say one, by the room that raised them.
var acts = map[string]Act{"frame": AtFrame, "raft": AtRaft, "cut": AtCut, "water": AtWater, "chem": AtWater, "mix": AtMix,
	"season": AtSeason, "pool": AtSeason, "sky": AtSeason, "crop": AtSeason, "cost": AtMoney, "plan": AtSeason}

// Stands gives the act at which the finding is told.
func (f Finding) Stands() Act {
	room, _, _ := strings.Cut(string(f.ID), ".")
	return cmp.Or(f.Act, acts[room], AtCover)
}

// FaultRange is a figure that is no number, or outside the range in which anything
// can be computed.
const FaultRange ID = "fault.range"

// Within gives the fault of a figure outside its range, ends included; none inside it.
func Within[T ~float64 | ~int](path Path, x, least, most, example T) Faults {
	if x >= least && x <= most { // which no NaN does
		return nil
	}
	return Faults{{ID: FaultRange, Path: path, Args: Args{"Key": string(path), "Least": least, "Most": most, "Example": example}}}
}

// Unknown gives the fault of a name that a table does not have. Its figures are the
// name, the nearest one that the table has ("" where none is near) and all of them.
func Unknown(id ID, path Path, name string, known []string) Fault {
	return Fault{ID: id, Path: path, Args: Args{"Name": name, "Near": unit.Near(name, known), "Known": strings.Join(known, ", ")}}
}
