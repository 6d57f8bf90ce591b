package packet_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"raftwright/internal/table"
	"raftwright/lang"
	"raftwright/packet"
	"raftwright/page"
	"raftwright/tend"
	"raftwright/trouble"
	"raftwright/unit"
)

var troubles = table.Must(trouble.ReadBook(trouble.Tables()))

// letterOf writes the letter of a call.
func letterOf(t *testing.T, language string, c trouble.Call, concerns ...trouble.Concern) page.Document {
	t.Helper()
	words, err := lang.For(language, lang.US)
	if err != nil {
		t.Fatal(err)
	}
	day := time.Date(2027, 6, 1, 0, 0, 0, 0, time.UTC)
	return packet.Letter(trouble.Inquiry{Number: "N015", Call: c, Opinion: troubles.Answer(c), Concerns: concerns}, day, day.AddDate(0, 0, 7), words, packet.Options{})
}

// With a concern no cause and no remedy is told: the question is sent on. Else the letter tells what is likely, with its
// evidence and its source, and by when to write again.
func TestTheLetter(t *testing.T) {
	rot := trouble.Call{Seen: []string{"midday_wilt_cool_water", "roots_brown_slimy"}, Is: []string{"temp_high"}, Not: []string{"aphids"}}
	for _, language := range []string{"en", "es"} {
		words, _ := lang.For(language, lang.US)
		name, do := words.Say("word.trouble.root_rot", nil), words.Say("trouble.do.root_rot", nil)
		all := allWords(letterOf(t, language, rot))
		for _, want := range []string{name, do, words.Say("trouble.sign.temp_high", nil), "N015", words.Say("inquiry.letter.sources", nil)} {
			if !strings.Contains(all+letterOf(t, language, rot).Subtitle, want) {
				t.Errorf("%s: no %q in\n%s", language, want, all)
			}
		}
		for _, c := range trouble.Asked() {
			all := allWords(letterOf(t, language, rot, c))
			if strings.Contains(all, name) || strings.Contains(all, do) || !strings.Contains(all, words.Say("inquiry.refer."+string(c), nil)) {
				t.Errorf("%s, %s: advice is given\n%s", language, c, all)
			}
			if refer := strings.Index(all, words.Say("inquiry.refer."+string(c), nil)); refer > strings.Index(all, words.Say("inquiry.letter.lead", nil)) || strings.Contains(all, words.Say("inquiry.letter.doubt", nil)) {
				t.Errorf("%s, %s: what cannot wait does not stand first, or shares are spoken of where there are none\n%s", language, c, all)
			}
		}
	}
}

// Whatever was told, the letter is whole in both languages; and no cause below a quarter comes with a remedy.
func TestEveryLetterIsWhole(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	for _, language := range []string{"en", "es"} {
		words, _ := lang.For(language, lang.US)
		for _, key := range troubles.Signs() {
			c := trouble.Call{Is: []string{key}, Unknown: []string{"top"}}
			if troubles.Group(key) == trouble.Seen {
				c = trouble.Call{Seen: []string{key}}
			}
			all := allWords(letterOf(t, language, c))
			q := trouble.Inquiry{Call: c, Opinion: troubles.Answer(c)}
			all += allWords(packet.Intake(q, words))
			if strings.Contains(all, "[inquiry") || strings.Contains(all, "[trouble") || strings.Contains(all, "[word") || strings.Contains(all, "<no value>") {
				t.Errorf("%s, %s: %s", language, key, all)
			}
			for _, x := range troubles.Rank(trouble.Evidence{Seen: c.Seen}) {
				if x.Share < trouble.Acted && len(c.Seen) > 0 && strings.Contains(all, words.Say("trouble.do."+x.Trouble, nil)) {
					t.Errorf("%s: a remedy for %s, whose share is %g", key, x.Trouble, x.Share)
				}
				for _, p := range tend.Portions(x, 100*unit.Gallon) {
					id, args := p.Said()
					if strings.Contains(all, words.Say("trouble.do."+x.Trouble, nil)) && !strings.Contains(all, words.Say(id, args)) {
						t.Errorf("%s, %s: it is told to add something, and not how much: %s", language, key, x.Trouble)
					}
				}
			}
		}
		for _, g := range troubles.Groups() {
			if !words.Can("inquiry.ask."+g) || !words.Can("inquiry.group."+g) {
				t.Errorf("%s: the group %s has no question", language, g)
			}
		}
	}
}

// In a letter only what somebody told speaks for a cause or against it.
func TestOnlyWhatWasToldIsEvidence(t *testing.T) {
	c := trouble.Call{Seen: []string{"midday_wilt_cool_water"}, Is: []string{"roots_slimy"}}
	all := allWords(letterOf(t, "en", c))
	words, _ := lang.For("en", lang.US)
	for _, key := range troubles.Signs() {
		said := words.Say("trouble.sign."+key, nil)
		for line := range strings.Lines(all) {
			if strings.Contains(line, "speaks") && strings.Contains(line, said) && !slices.Contains([]string{"midday_wilt_cool_water", "roots_slimy"}, key) {
				t.Errorf("%s was not told: %s", key, line)
			}
		}
	}
}
