package proof

import (
	"fmt"
	"strings"

	"raftwright/finding"
	"raftwright/mix"
	"raftwright/page"
	"raftwright/plan"
)

// mostFaces is how many faces an ordinary bed takes: five sheets, printed on both sides.
const mostFaces = 10

// longYear is how many weeks with work stand on one face under a check of the season.
const longYear = 20

// reasons names what lets a face of this plan take another page.
func reasons(p plan.Plan, s page.Section) []string {
	var out []string
	weeks := 0
	each(s.Blocks, func(b page.Block) {
		switch b := b.(type) {
		case page.Caution:
			if b.Severity == finding.Stop {
				out = append(out, "a stop stands on it")
			}
		case page.Table:
			weeks = max(weeks, len(b.Rows))
		}
	})
	if p.Beds > 1 {
		out = append(out, "more than one bed")
	}
	switch _, checked := s.Blocks[0].(page.Caution); {
	case s.ID == "raft" && len(p.Raft.Pieces) > 1:
		out = append(out, "a raft of several sheets")
	case (s.ID == "mix" || s.ID == "card") && p.PrintedAcid() != nil && p.Measure().Kind == mix.Spoons:
		out = append(out, "hard water, which takes acid, and all of it in spoons and grams")
	case s.ID == "calendar" && checked && weeks > longYear:
		out = append(out, "a long year, and a check over it")
	}
	return out
}

// lengths gives how many pages each face of a packet takes; its title stands on its first.
func lengths(c *checker, doc page.Document) []int {
	var starts []int
	for _, s := range doc.Sections {
		from := 0
		if n := len(starts); n > 0 {
			from = starts[n-1] + 1
		}
		at := -1
		for _, w := range c.lines {
			if at < 0 && w.page >= from && w.size > 19 && w.size < 21 && strings.HasPrefix(s.Title, strings.TrimSpace(w.words)) {
				at = w.page
			}
		}
		starts = append(starts, max(at, from))
	}
	out := make([]int, len(starts))
	for i, at := range starts {
		to := len(c.pages)
		if i+1 < len(starts) {
			to = starts[i+1]
		}
		out[i] = to - at
	}
	return out
}

// unexplained gives the faces that take more than a page for no reason that docs/packet.md names, and whether
// the bed is an ordinary one; such a bed has ten faces and no more.
func unexplained(c *checker, p plan.Plan, doc page.Document) (bad []string, ordinary bool) {
	ordinary = p.Beds == 1
	for i, n := range lengths(c, doc) {
		why := reasons(p, doc.Sections[i])
		if n > 1 && len(why) == 0 {
			bad = append(bad, fmt.Sprintf("face %s takes %d pages for no reason", doc.Sections[i].ID, n))
		}
		ordinary = ordinary && len(why) == 0
	}
	if most := mostFaces; ordinary && len(c.pages) > most {
		bad = append(bad, fmt.Sprintf("an ordinary bed takes %d faces", len(c.pages)))
	}
	return bad, ordinary
}
