package programme

import (
	"strings"

	"raftwright/finding"
	"raftwright/internal/table"
)

// MostStory is how many words a story has at most (NOAA Sea Grant asks the same length of its impact statements).
const MostStory = 250

// storyWords counts the words of the story of a funder in a language, while its parts are read.
type storyWords map[[2]string]int

// teller stands before the code of a person among the names of people who let their words be told.
const teller = "tell "

// told keeps whose words may be told.
func (k known) told(c *Consent) {
	if c.Purpose == "tell" {
		if k[teller] == nil {
			k[teller] = map[string]bool{}
		}
		k[teller][c.Person] = true
	}
}

// check tells the part with which a story is too long, and somebody's words without their consent.
func (w storyWords) check(s *Story, at *table.Row, all known) {
	of := [2]string{s.Funder, s.Language}
	before := w[of]
	w[of] += len(strings.Fields(s.Text))
	if before <= MostStory && w[of] > MostStory {
		at.Wrong(FaultWords, "text", finding.Args{"Count": w[of], "Most": MostStory})
	}
	if s.Person != "" && !all[teller][s.Person] {
		at.Wrong(FaultTell, "person", finding.Args{"Text": s.Person})
	}
}

// agrees tells whether a consent of a person for a purpose is in force on the day.
func (s *standing) agrees(person, purpose string) bool {
	for _, c := range s.Consents {
		if c.Person == person && c.Purpose == purpose && c.holds(s.day) {
			return !s.gone[person]
		}
	}
	return false
}

// holds tells whether a consent is in force on a day.
func (c Consent) holds(day Day) bool {
	return c.Given <= day && (c.Withdrawn == 0 || c.Withdrawn > day)
}

// Story gives the parts of the story in a language: those that tell somebody's words only while they agree; of the public edition
// those that a person has read.
func (e *Edition) Story(language string) []string {
	var out []string
	for _, part := range []string{"issue", "done", "result", "evidence"} {
		for _, s := range e.stood.Stories {
			if s.Funder != e.Funder.ID || s.Language != language || s.Part != part || s.Person != "" && !e.stood.agrees(s.Person, "tell") {
				continue
			}
			if !e.Public || e.Fit(s.Text) {
				out = append(out, s.Text)
			}
		}
	}
	return out
}
