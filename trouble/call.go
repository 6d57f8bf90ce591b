package trouble

import (
	"slices"

	"raftwright/finding"
)

// MostFacts is how many facts a volunteer gathers of one question (the programme's rule).
const MostFacts = 7

// Acted is the share from which on a cause is acted on (reference methods, section 14: no cause above it is referred).
const Acted = 0.25

// reach is the most effort that somebody at a telephone is asked for: a label or a table, no laboratory.
const reach = 3

// Faults of what a volunteer wrote down.
const (
	FaultFact   finding.ID = "trouble.fault.fact"   // no sign of the table
	FaultSeen   finding.ID = "trouble.fault.seen"   // not one that is seen, or one that is
	FaultBoth   finding.ID = "trouble.fault.both"   // two of which only one can hold
	FaultNobody finding.ID = "trouble.fault.nobody" // neither a sign nor a group
)

// Call is what somebody told of a bed from afar.
type Call struct {
	Seen    []string // signs on plants and water that were seen
	Not     []string // looked for and not seen
	Is      []string // of any other group, the one that holds
	Unknown []string // signs and groups that nobody knows
}

// Facts is how many facts were gathered.
func (c Call) Facts() int { return len(c.Seen) + len(c.Not) + len(c.Is) + len(c.Unknown) }

// Opinion is what a call points to.
type Opinion struct {
	Causes []Cause  // the likeliest first, from worth on
	Next   Question // the fact that splits the causes best; none once there are enough
	Asks   bool     // there is one
	Sure   bool     // the likeliest may be acted on
}

// worth is the share from which on a cause is told.
const worth = 0.05

// Check tells what is wrong with a call, all at once.
func (b Book) Check(c Call) (faults finding.Faults) {
	held := map[string]string{}
	for _, list := range []struct {
		keys []string
		seen bool
	}{{c.Seen, true}, {c.Not, true}, {c.Is, false}} {
		for _, key := range list.keys {
			g := b.Group(key)
			at := g
			if g == Seen {
				at = key
			}
			switch other := held[at]; {
			case g == "":
				faults = append(faults, finding.Unknown(FaultFact, "", key, b.Signs()))
			case (g == Seen) != list.seen:
				faults = append(faults, finding.Fault{ID: FaultSeen, Args: finding.Args{"Text": key}})
			case other != "":
				faults = append(faults, finding.Fault{ID: FaultBoth, Args: finding.Args{"First": other, "Second": key}})
			default:
				held[at] = key
			}
		}
	}
	for _, key := range c.Unknown {
		if len(b.groups[key]) == 0 && b.Group(key) == "" {
			faults = append(faults, finding.Fault{ID: FaultNobody, Args: finding.Args{"Text": key}})
		}
	}
	return faults
}

// Answer weighs what was told. What to ask next stands until MostFacts are gathered.
func (b Book) Answer(c Call) Opinion {
	e := Evidence{Seen: c.Seen, Not: c.Not, Skip: c.Unknown, Reach: reach, Facts: map[string]float64{}}
	for _, key := range c.Is {
		e.Facts[key] = 1
	}
	var o Opinion
	for _, cause := range b.Rank(e) {
		if cause.Share >= worth {
			o.Causes = append(o.Causes, cause)
		}
	}
	o.Sure = len(o.Causes) > 0 && o.Causes[0].Share >= Acted
	if c.Facts() < MostFacts {
		o.Next, o.Asks = b.Next(e)
	}
	return o
}

// Groups lists the groups of facts beside what is seen, in the order of the table.
func (b Book) Groups() (out []string) {
	for _, s := range b.signs {
		if s.group != Seen && !slices.Contains(out, s.group) {
			out = append(out, s.group)
		}
	}
	return out
}

// Members lists the signs of a group.
func (b Book) Members(group string) (out []string) {
	for _, k := range b.groups[group] {
		out = append(out, b.signs[k].key)
	}
	return out
}

// Concern is why a question is sent on to somebody else.
type Concern string

// Concerns. The first four are asked for before anything else: with one of them a volunteer gives no advice.
const (
	Illness   Concern = "illness"
	Structure Concern = "structure"
	Spray     Concern = "spray"
	Farm      Concern = "farm"
	Serious   Concern = "serious" // the likeliest cause is more than a grower should settle alone
	Label     Concern = "label"   // it tempts to spray
	Unsure    Concern = "unsure"  // nothing is likely
)

// Asked are the concerns that are asked for, the most urgent first.
func Asked() []Concern { return []Concern{Illness, Structure, Spray, Farm} }

// SentOn tells why a question is sent on, if it is: for what was told, or else for what the causes are.
func SentOn(o Opinion, told []Concern) (out []Concern) {
	for _, c := range Asked() {
		if slices.Contains(told, c) {
			out = append(out, c)
		}
	}
	if out != nil {
		return out
	}
	if !o.Sure {
		return []Concern{Unsure}
	}
	add := func(c Concern) {
		if !slices.Contains(out, c) {
			out = append(out, c)
		}
	}
	for _, c := range o.Causes {
		switch {
		case c.Share < Acted:
		case c.Refer == AlwaysCall:
			add(Serious)
		case c.Refer == BeforeUse:
			add(Label)
		}
	}
	return out
}

// Inquiry is a question of somebody, as it is answered.
type Inquiry struct {
	Number   string // of the question, no name
	Call     Call
	Opinion  Opinion
	Concerns []Concern // told
}
