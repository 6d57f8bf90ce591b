package packet_test

import (
	"fmt"
	"strings"
	"testing"

	"raftwright/lang"
	"raftwright/packet"
	"raftwright/page"
	"raftwright/programme"
)

// written gives all that a report says in its paragraphs and tables, by section.
func written(d page.Document) map[string]string {
	out := map[string]string{}
	walk(d, func(s page.Section, b page.Block) {
		switch b := b.(type) {
		case page.Para:
			out[s.ID] += b.Text.Plain() + "\n"
		case page.List:
			for _, x := range b.Items {
				out[s.ID] += x.Plain() + "\n"
			}
		case page.KeyFigures:
			for _, x := range b.Items {
				out[s.ID] += x.Label + "|" + x.Value + "|" + x.Note + "\n"
			}
		case page.Table:
			out[s.ID] += b.Caption.Plain() + "\n"
			for _, row := range b.Rows {
				for _, cell := range row.Cells {
					out[s.ID] += cell.Plain() + "|"
				}
				out[s.ID] += "\n"
			}
			out[s.ID] += b.Note.Plain() + "\n"
		}
	})
	return out
}

// Sections C, E, F, H, I, K and L hold what an auditor asks for (METHODS, section 15): each item with who counted it, the words that were asked, hours by
// task, plots and the number of the lot, the table before and after. The public reads none of somebody's words that nobody has read.
func TestSectionsHoldWhatAnAuditAsksFor(t *testing.T) {
	const question = "still growing in the bed six months after building it"
	for _, cleared := range []bool{false, true} {
		r := programYear(t, func(x *programme.Records) {
			x.Questions = []programme.Asked{{Form: "B", Kind: "before", Item: "ph", English: "I can set the pH", Spanish: "Sé ajustar el pH", Answer: "five"},
				{Form: "A", Kind: "after", Item: "ph", English: "I set the pH alone", Spanish: "Ajusto el pH", Answer: "five"}}
			for i := range x.Plots {
				x.Plots[i].Seed = programme.Maybe{Given: true, N: 4711}
			}
			if cleared {
				for _, text := range []string{question, "I can set the pH", "Sé ajustar el pH", "ph"} {
					x.Cleared = append(x.Cleared, programme.Cleared{Text: text, By: "K1", On: 1})
				}
			}
		})
		words, err := lang.For("en", lang.US)
		if err != nil {
			t.Fatal(err)
		}
		inside, public := written(packet.Report(r.Inside(), nil, words, packet.Options{})), written(packet.Report(r.Public(), nil, words, packet.Options{}))
		everything := fmt.Sprint(public)
		for _, c := range []struct {
			section, text string
			open          bool // the public may read it once somebody has
		}{
			{"report-c", "mailing list count", false}, {"report-c", "I001|Jul 4, 2026|Raft bed letter, copies sent|394|", false},
			{"report-e", "I can set the pH", true}, {"report-e", "I set the pH alone", false}, {"report-f", question, true},
			{"report-h", "bed care", false}, {"report-i", "4711", false}, {"report-i", "1A|bed 1|A|182.4|", false},
			{"report-k", "ph|asked in other words by two forms|", false}, {"report-l", "American Indian or Alaska Native|0|2|5|", false},
		} {
			if !strings.Contains(inside[c.section], c.text) {
				t.Errorf("inside, %s: no %q", c.section, c.text)
			}
			if strings.Contains(everything, c.text) != (cleared && c.open) {
				t.Errorf("public, read %v: %q", cleared, c.text)
			}
		}
		for name, all := range map[string]map[string]string{"inside": inside, "public": public} {
			for section, text := range map[string]string{"report-i": "The least that it can show four times in five: ", "report-e": "(Nolte and others, 2012)", "first": "in follow-up A6, sent to 84; 95\u00a0% interval", "first ": "Measured this year: came, learned, does, gained. Not measured: liked, means to."} {
				if !strings.Contains(all[strings.TrimSpace(section)], text) {
					t.Errorf("%s, %s: no %q in\n%s", name, section, text, all[strings.TrimSpace(section)])
				}
			}
			if !strings.Contains(all["report-g"], "42 USC 1791") || !strings.Contains(all["report-g"], "ask counsel") {
				t.Errorf("%s: who gives food is not told of its protection", name)
			}
		}
		if !strings.Contains(inside["report-a"], "Events|58|2|") { // two of its 58 events lie outside the year
			t.Error(inside["report-a"])
		}
	}
}

// What is not shown is explained where something is not shown, and nowhere else.
func TestWhatIsNotShownIsExplainedThere(t *testing.T) {
	words, err := lang.For("en", lang.US)
	if err != nil {
		t.Fatal(err)
	}
	tables := 0
	walk(packet.Report(programYear(t, nil).Public(), nil, words, packet.Options{}), func(s page.Section, b page.Block) {
		if x, ok := b.(page.Table); ok && len(s.ID) == len("report-a") {
			hidden := false
			for _, row := range x.Rows {
				for _, cell := range row.Cells {
					hidden = hidden || cell.Plain() == "not shown"
				}
			}
			tables++
			if told := strings.Contains(x.Note.Plain(), "Not shown:"); told != hidden {
				t.Errorf("%s: hidden %v, explained %v", s.ID, hidden, told)
			}
		}
	})
	if tables < 8 {
		t.Error(tables)
	}
}

// A year in which hardly anything happened contradicts itself nowhere: slips that are set aside came back and cannot be used, a wave that all answered leaves
// nobody silent, pounds without a price have no value of nothing, and few answers are told by the rule of the office.
func TestALeanYearDoesNotContradictItself(t *testing.T) {
	day := func(text string) programme.Day {
		d, _ := programme.ParseDay(text)
		return d
	}
	may := day("2027-05-01")
	pounds, _ := programme.ParseDecimal("2.5")
	r := programYear(t, func(x *programme.Records) {
		*x = programme.Records{Counties: []programme.County{{ID: "ALD", Name: "Ñandú–Álder"}}, Funders: x.Funders, Rates: x.Rates,
			Sites: []programme.Site{{ID: "S1", County: "ALD", Opened: may}}, Beds: []programme.Bed{{ID: "B1", Site: "S1", Length: 8, Width: 4, Planted: may}},
			Events:   []programme.Event{{ID: "E1", Date: may, County: "ALD", Education: true, Adults: 1}},
			Slips:    []programme.Slip{{ID: "L1", Event: "E1", Standard: "2024", Groups: "Asian"}, {ID: "L2", Event: "E1", Standard: "2024", Groups: "White"}},
			Waves:    []programme.Wave{{ID: "W1", Question: "q", Sent: may, Count: 1}, {ID: "W2", Question: "q", Sent: may, Count: 2}, {ID: "W3", Question: "q", Sent: may, Count: 4, Undeliverable: 4}, {ID: "W4", Question: "q", Sent: may}},
			Replies:  []programme.Reply{{ID: "R1", Wave: "W1", Mailing: 1, Returned: may, Answer: "yes"}, {ID: "R2", Wave: "W2", Mailing: 1, Returned: may, Answer: "no"}},
			Harvests: []programme.Harvest{{ID: "H1", Date: may, Bed: "B1", Crop: "kale", Heads: 3, Pounds: pounds, Fate: "given"}},
			Settings: []programme.Setting{{ID: "K1", Name: "answers", Value: "30", From: may}}}
	})
	words, err := lang.For("en", lang.US)
	if err != nil {
		t.Fatal(err)
	}
	doc := packet.Report(r.Inside(), nil, words, packet.Options{})
	inside := written(doc)
	first := ""
	walk(doc, func(s page.Section, b page.Block) {
		if x, ok := b.(page.List); ok {
			for _, i := range x.Items {
				inside[s.ID] += i.Plain() + "\n"
			}
			if s.ID == "first" {
				first = inside[s.ID]
			}
		}
	})
	for section, want := range map[string]string{"report-d": "no slips that can be used came back", "report-g": "Value: given away|no valid price|", "report-f": "Under 30 answers there is no percent", "report-n": "Ñandú–Álder: 2|"} {
		if !strings.Contains(inside[section], want) && !strings.Contains(inside[section], strings.ReplaceAll(want, "Ñandú–Álder", "other counties")) {
			t.Errorf("%s: no %q in %s", section, want, inside[section])
		}
	}
	if strings.Contains(first, "W1") || !strings.Contains(first, "Follow-up W2: 1 of the 2 asked") || strings.Contains(first, "W4") {
		t.Error(first)
	}
	public := packet.Report(r.Public(), nil, words, packet.Options{})
	walk(public, func(s page.Section, b page.Block) {
		if x, ok := b.(page.List); ok && s.ID == "first" {
			for _, i := range x.Items {
				if strings.Contains(i.Plain(), "of the not shown") {
					t.Error(i.Plain())
				}
			}
		}
	})
}

// The list of corrections names tables, columns and words of ours as the pages do, in the reader's language, and no table by its file; a blank is a dash.
func TestCorrectionsAreToldInTheReadersWords(t *testing.T) {
	r := programYear(t, func(x *programme.Records) {
		h := x.Harvests[0].ID
		x.Corrections = []programme.Correction{
			{ID: "X1", MadeOn: x.Harvests[0].Date, Table: "harvests", Record: h, Action: "change", Field: "fate", Old: "kitchen", New: "given", Reason: "R"},
			{ID: "X2", MadeOn: x.Harvests[0].Date, Table: "harvests", Record: h, Action: "change", Field: "pounds", Old: "", New: "2.5", Reason: "R"},
			{ID: "X3", MadeOn: x.Harvests[0].Date, Table: "events", Record: x.Events[0].ID, Action: "change", Field: "date", Old: "2026-08-01", New: "2026-08-02", Reason: "R"},
		}
	})
	for tag, want := range map[string][]string{
		"en": {"Harvests H", "was eaten at home, is given away", "was –, is 2.5", "Events E", "was Aug 1, 2026, is Aug 2, 2026"},
		"es": {"Cosechas H", "antes se comió en casa, ahora se regaló", "Actividades E", "antes –, ahora 2.5", "antes 1 de agosto de 2026, ahora 2 de agosto de 2026"},
	} {
		words, err := lang.For(tag, lang.US)
		if err != nil {
			t.Fatal(err)
		}
		told := strings.ReplaceAll(written(packet.Report(r.Inside(), nil, words, packet.Options{Paper: page.Letter}))["report-k"], "\u00a0", " ")
		for _, w := range want {
			if !strings.Contains(told, w) {
				t.Errorf("%s: no %q in\n%s", tag, w, told)
			}
		}
		for _, file := range []string{"harvests H", "events E", "fate:", "kitchen to"} {
			if strings.Contains(told, file) {
				t.Errorf("%s: %q in\n%s", tag, file, told)
			}
		}
	}
}

// An edition in which an amount waits says how it goes out: with the days of the report that shows it, or what it waits for.
func TestAnAmountThatWaitsNamesItsWay(t *testing.T) {
	day := func(text string) programme.Day {
		d, _ := programme.ParseDay(text)
		return d
	}
	for tag, want := range map[string][2]string{"en": {"Jan 1, 2028 to Sep 30, 2028", "wait until 5 others"}, "es": {"1 de enero de 2028 a 30 de septiembre de 2028", "esperan hasta que 5"}} {
		words, err := lang.For(tag, lang.US)
		if err != nil {
			t.Fatal(err)
		}
		for i, asOf := range []string{"2028-12-31", "2028-07-20"} {
			pounds, _ := programme.ParseDecimal("10.5")
			x := programme.Records{Counties: []programme.County{{ID: "A", Name: "A"}}, Funders: []programme.Funder{{ID: "F", From: day("2028-01-01"), To: day("2028-06-30"), Series: "each", SameDay: "once", Threshold: 11}}}
			for n := range 8 {
				id := fmt.Sprint("S", n)
				x.Sites = append(x.Sites, programme.Site{ID: id, County: "A", Opened: 1})
				x.Beds = append(x.Beds, programme.Bed{ID: id, Site: id, Length: 8, Width: 4, Planted: 1})
				for _, on := range []string{"2028-03-01", "2028-08-01"} {
					x.Harvests = append(x.Harvests, programme.Harvest{ID: id + on, Date: day(on), Bed: id, Crop: "lettuce", Heads: 9, Pounds: pounds, Fate: "given"})
				}
			}
			made := func(asOf string) *programme.Edition {
				r, faults := programme.Make(x, "F", day(asOf))
				if len(faults) > 0 {
					t.Fatal(faults)
				}
				return r.Public()
			}
			x.Published = made("2028-07-01").Remember()
			x.Harvests = append(x.Harvests, programme.Harvest{ID: "LATE", Date: day("2028-04-01"), Bed: "S3", Crop: "lettuce", Heads: 9, Pounds: pounds, Fate: "given"})
			told := strings.ReplaceAll(written(packet.Report(made(asOf), nil, words, packet.Options{Paper: page.Letter}))["report-l"], "\u00a0", " ")
			if !strings.Contains(told, want[i]) || strings.Contains(told, want[1-i]) {
				t.Errorf("%s as of %s: no %q in\n%s", tag, asOf, want[i], told)
			}
		}
	}
}
