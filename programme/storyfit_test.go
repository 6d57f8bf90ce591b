package programme

import (
	"fmt"
	"testing"
)

// A part of the story goes to the public only once a person has read it, by that day; words of a person in neither edition without their consent to tell.
func TestAStoryGoesOutOnceItIsRead(t *testing.T) {
	r := invented(t)
	day, who := on("2027-08-31"), r.People[0].ID
	r.Stories = []Story{{Funder: "BOARD", Language: "en", Part: "issue", Text: "Read."}, {Funder: "BOARD", Language: "en", Part: "done", Text: "Not read."}, {Funder: "BOARD", Language: "en", Part: "result", Text: "Hers.", Person: "PSAID"}}
	r.Cleared = []Cleared{{Text: "Read.", By: who, On: day}, {Text: "Hers.", By: who, On: day}, {Text: "Not read.", By: who, On: day + 1}}
	for _, c := range []struct {
		withdrawn      Day
		inside, public string
	}{{0, "[Read. Not read. Hers.]", "[Read. Hers.]"}, {day + 1, "[Read. Not read. Hers.]", "[Read. Hers.]"}, {day, "[Read. Not read.]", "[Read.]"}} {
		q := r
		q.Consents = append(r.Consents[:len(r.Consents):len(r.Consents)], Consent{Person: "PSAID", Purpose: "tell", Given: day, Withdrawn: c.withdrawn})
		made, fault := Make(q, "BOARD", day)
		if fault != nil {
			t.Fatal(fault)
		}
		if in, out := fmt.Sprint(made.Inside().Story("en")), fmt.Sprint(made.Public().Story("en")); in != c.inside || out != c.public {
			t.Errorf("taken back on %v: inside %s, public %s", c.withdrawn, in, out)
		}
	}
}

// From seven letters or digits on what must vanish is found without regard to spaces and signs, as a telephone number of a town has them; what is shorter only as it stands.
func TestSevenDigitsAreFoundHoweverTheyAreSpaced(t *testing.T) {
	r := invented(t)
	for _, c := range []struct {
		note, must string
		found      bool
	}{{"Call 555.01 00 now.", "555-0100", true}, {"Call 55.01 00 now.", "55-0100", false}, {"Call 55-0100 now.", "55-0100", true}} {
		q := r
		q.Inquiries = append(r.Inquiries[:0:0], r.Inquiries...)
		q.Inquiries[0].Note = c.note
		q.Cleared = []Cleared{{Text: c.note, By: "S1", On: on("2027-08-01")}}
		q.MustVanish = []MustVanish{{Text: c.must}}
		if files, _, faults := q.Copy(on("2027-08-31")); (len(faults) > 0) != c.found || (files == nil) != c.found {
			t.Errorf("%q in %q: %v", c.must, c.note, faults)
		}
	}
}
