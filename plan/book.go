package plan

import (
	"raftwright/cost"
	"raftwright/crop"
	"raftwright/finding"
	"raftwright/frame"
	"raftwright/mix"
	"raftwright/raft"
	"raftwright/sky"
	"raftwright/water"
)

// DefaultBook reads the tables that the trades carry. They are embedded and
// tested; one that cannot be read is a mistake of ours.
func DefaultBook() Book {
	return Book{Crops: crop.Default(), Raft: raft.DefaultBook(), Yard: frame.DefaultYard(), Library: mix.DefaultLibrary(), Water: water.DefaultHandbook(), Prices: cost.DefaultBook()}
}

// With gives the book with an atlas, so that places are looked up in it.
func (b Book) With(places *sky.Atlas) Book {
	b.Places = places
	return b
}

// Tables is a hash of each table that a plan was made with, by name. With the Edition
// of the code it tells why an old plan prints otherwise now.
type Tables map[string]string

// Tables gives the hashes of the book. An atlas is as old as the program.
func (b Book) Tables() Tables {
	return Tables{"crops": b.Crops.Hash(), "raft": b.Raft.Hash(), "yard": b.Yard.Hash(), "library": b.Library.Hash(), "water": b.Water.Hash(), "prices": b.Prices.Hash()}
}

// Differs names the tables that are others now, in the order of the alphabet.
func (t Tables) Differs(now Tables) []string {
	var out []string
	for _, name := range sorted(now) {
		if t[name] != now[name] {
			out = append(out, name)
		}
	}
	return out
}

// Working gives the derivation of every figure of the asked parts, in the order
// of the work.
func (p Plan) Working(asked Part) []finding.Step {
	var out []finding.Step
	if p.Raft != nil && asked.Has(Raft) {
		out = append(out, p.Raft.Working()...)
	}
	if p.Frame != nil && asked.Has(Frame) {
		out = append(out, p.Frame.Working()...)
	}
	if p.Boards != nil && asked.Has(Cut) {
		for _, j := range p.Boards.Jobs {
			for _, step := range j.Plan.Working() {
				step.Of = j.Size
				out = append(out, step)
			}
		}
	}
	if p.Water != nil && asked.Has(Water) {
		out = append(out, p.Water.Working()...)
	}
	if p.Mix != nil && asked.Has(Mix) {
		out = append(out, p.Mix.Working()...)
	}
	if p.Found != nil && asked.Has(Found) {
		out = append(out, p.Found.Working()...)
	}
	if p.Amiss != nil && asked.Has(Amiss) {
		out = append(out, p.Amiss.Working()...)
	}
	if p.Season != nil && asked.Has(Season) {
		out = append(out, p.Season.Working()...)
		if p.Warmth != nil {
			out = append(out, p.Warmth.Working()...)
		}
	}
	if p.Cost != nil && asked.Has(Cost) {
		out = append(out, p.Cost.Working()...)
	}
	return out
}
