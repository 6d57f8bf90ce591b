package packet_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"raftwright/brief"
	"raftwright/lang"
	"raftwright/packet"
	"raftwright/page"
	"raftwright/plan"
	"raftwright/workshop"
)

// workshopOf plans a workshop with so many families.
func workshopOf(t *testing.T, text string, n int) workshop.Workshop {
	t.Helper()
	b, faults := brief.Parse("a.yaml", []byte(text))
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	families, faults := workshop.Alike(b, n)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	ws, faults := workshop.Make(plan.Job{Brief: b, Book: plan.DefaultBook()}, families)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	return ws
}

const workshopBrief = "title: Garden day\nbed: {length: 97 in, width: 49 in, depth: 6 in}\nwater: {ph: 7.6, alkalinity: 180 mg/L CaCO3, free chlorine: 1 mg/L}\n"

// allWords gives all words of a document, one block a line.
func allWords(d page.Document) string {
	var out strings.Builder
	walk(d, func(s page.Section, b page.Block) { fmt.Fprintf(&out, "%s: %v\n", s.ID, b) })
	return out.String()
}

// The leader's document is whole in both languages and systems of units, for a frame, a tub and a tank.
func TestTheLeadersDocumentIsWhole(t *testing.T) {
	for _, text := range []string{workshopBrief, "bed: {vessel: tub, length: 1.2 m, width: 0.8 m, depth: 20 cm}\n", "bed: {vessel: round, diameter: 6 ft, depth: 10 in}\n"} {
		ws := workshopOf(t, text, 5)
		for _, language := range []string{"en", "es"} {
			for _, units := range []lang.Units{lang.US, lang.Metric} {
				words, err := lang.For(language, units)
				if err != nil {
					t.Fatal(err)
				}
				d := packet.Leader(ws, words, packet.Options{})
				all := allWords(d)
				if len(d.Sections) < 6 || strings.Contains(all, "[leader.") || strings.Contains(all, "<no value>") || strings.Contains(all, "[alt.") {
					t.Errorf("%s, units %d: %d sections\n%s", language, units, len(d.Sections), all)
				}
				for _, asked := range []string{"form.ask_later", "form.sign_foot"} { // what is keyed in from the sheet is asked on it, and no child is to sign
					if !strings.Contains(all, words.Say(asked, nil)) {
						t.Errorf("%s, units %d: the sign-in sheet does not say %s", language, units, asked)
					}
				}
			}
		}
	}
}

// The day begins when the leader says, at nine where nothing is said, and noon stays noon.
func TestTheDayBeginsWhenItIsTold(t *testing.T) {
	ws := workshopOf(t, workshopBrief, 5)
	for begins, want := range map[int]string{0: "9:00 a.m.", 8*60 + 30: "8:30 a.m.", 12 * 60: "12:00 p.m."} {
		all := allWords(packet.Leader(ws, words(t, lang.US), packet.Options{Begins: begins}))
		if at := strings.Index(all, want); at < 0 || begins > 0 && strings.Contains(all, "9:00 a.m.") {
			t.Errorf("begun at minute %d: %q at %d", begins, want, at)
		}
	}
}

// A slip has no place for a name and says nothing of whose it is: no code of a kit, no blank to write on, no square code.
func TestSlipsAreWithoutNames(t *testing.T) {
	ws := workshopOf(t, workshopBrief, 7)
	d := packet.Leader(ws, words(t, lang.US), packet.Options{Address: "https://example.org"})
	slips := 0
	walk(d, func(s page.Section, b page.Block) {
		if s.ID != "slip" {
			return
		}
		slips++
		switch b := b.(type) {
		case page.Fields, page.LogSheet, page.Code, page.Figure:
			t.Errorf("%T stands on a slip", b)
		}
		for _, f := range ws.Families {
			if strings.Contains(fmt.Sprint(b), "kit "+f.Code) || strings.Contains(fmt.Sprint(b), " "+f.Code+" ") {
				t.Errorf("a slip says %s: %v", f.Code, b)
			}
		}
	})
	if slips < 5 {
		t.Errorf("%d blocks on the slips", slips)
	}
}

// Each kit holds the pieces of the family's own first face, with the same letters and counts, and a box for each kit.
func TestAKitHoldsThePiecesOfTheFace(t *testing.T) {
	const n = 12
	ws := workshopOf(t, workshopBrief, n)
	w := words(t, lang.US)
	kit, boxes := map[string]string{}, 0
	walk(packet.Leader(ws, w, packet.Options{}), func(s page.Section, b page.Block) {
		table, ok := b.(page.Table)
		if !ok || s.ID != "kits" || len(table.Columns) < 4 {
			return
		}
		for _, r := range table.Rows {
			if len(r.Cells) > 2 && r.Cells[2] == "☐" {
				kit[r.Cells[0].Plain()] = r.Cells[1].Plain()
				boxes += len(r.Cells) - 2
			}
		}
	})
	if boxes != n*len(kit) {
		t.Errorf("%d boxes for %d parts of %d kits", boxes, len(kit), n)
	}
	parts := 0
	walk(packet.Faces(ws.Each[n-1], w, packet.Options{}, "make"), func(_ page.Section, b page.Block) {
		table, ok := b.(page.Table)
		if !ok {
			return
		}
		for _, r := range table.Rows {
			letter, count := r.Cells[0].Plain(), r.Cells[2].Plain()
			found := false
			for name, much := range kit {
				found = found || strings.HasPrefix(name, letter+" ") && much == count && (letter == "J" || strings.HasSuffix(name, r.Cells[1].Plain()))
			}
			if parts++; !found {
				t.Errorf("%s %s × %s is in no kit: %v", letter, count, r.Cells[1].Plain(), kit)
			}
		}
	})
	if parts < 6 {
		t.Errorf("%d parts on the face", parts)
	}
}

// Each station that can hurt somebody says so, before what is done there; lunch begins with clean hands.
func TestCautionsStandAtTheirStation(t *testing.T) {
	ws := workshopOf(t, workshopBrief, 9)
	w := words(t, lang.US)
	var day []page.Block
	for _, s := range packet.Leader(ws, w, packet.Options{}).Sections {
		if s.ID == "day" {
			day = s.Blocks
		}
	}
	warned := map[string]bool{}
	for _, b := range day {
		if card, ok := b.(page.Together); ok {
			if _, ok := card.Blocks[1].(page.Caution); ok {
				warned[strings.Split(card.Blocks[0].(page.Heading).Text, ",")[0]] = true
			}
		}
	}
	for _, id := range []string{"build", "raft", "feed", "liner", "load"} {
		if title := w.Say("leader.step."+id+".title", nil); !warned[title] {
			t.Errorf("%s: no warning; %v", title, warned)
		}
	}
	if !slices.ContainsFunc(day, func(b page.Block) bool { return strings.Contains(fmt.Sprint(b), "Wash hands with soap first") }) {
		t.Error("nobody washes hands")
	}
}

// No words of a drawing cover others or leave it, and none is smaller than 9 points.
func TestLabelsOfTheLeaderCoverNothing(t *testing.T) {
	for _, text := range []string{workshopBrief, "bed: {length: 3.7 m, width: 0.62 m, depth: 15 cm}\n"} {
		ws := workshopOf(t, text, 13)
		for _, units := range []lang.Units{lang.US, lang.Metric} {
			for _, large := range []bool{false, true} {
				figures := 0
				walk(packet.Leader(ws, words(t, units), packet.Options{Large: large}), func(_ page.Section, b page.Block) {
					if f, ok := b.(page.Figure); ok {
						figures++
						coversNothing(t, fmt.Sprintf("%d, large %v", units, large), f, 516)
					}
				})
				if figures < 4 {
					t.Errorf("%d figures", figures)
				}
			}
		}
	}
}

// The faces that rest on the water differ from family to family, those of the bed do not; a family that would build
// another bed is a fault.
func TestEachFamilyHasItsOwnWater(t *testing.T) {
	b, faults := brief.Parse("a.yaml", []byte("title: Bed\nbed: {length: 97 in, width: 49 in, depth: 6 in}\n"))
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	table := "kit,water.ph,water.alkalinity,bed.width\n1,8.1,230 mg/L CaCO3,\n2,6.6,20 mg/L CaCO3,\n"
	families, faults := workshop.Read("f.csv", []byte(table), b)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	ws, faults := workshop.Make(plan.Job{Brief: b, Book: plan.DefaultBook()}, families)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	w := words(t, lang.US)
	face := func(i int, id string) string { return allWords(packet.Faces(ws.Each[i], w, packet.Options{}, id)) }
	if face(0, "mix") == face(1, "mix") {
		t.Error("one mixing card for two waters")
	}
	for _, id := range []string{"cut", "frame", "raft"} {
		if face(0, id) != face(1, id) {
			t.Errorf("face %s differs", id)
		}
	}
	families, _ = workshop.Read("f.csv", []byte("kit,language\n1,\n2,es\n3,es\n"), b)
	if ws, _ = workshop.Make(plan.Job{Brief: b, Book: plan.DefaultBook()}, families); len(ws.Each) != 3 {
		t.Fatal("three families")
	}
	d := packet.Leader(ws, w, packet.Options{})
	if last := d.Sections[len(d.Sections)-1]; last.ID != "slip-es" || last.Speaks.Language != "es" || d.Sections[len(d.Sections)-2].ID != "slip" {
		t.Errorf("the last section is %s: no slips in Spanish", last.ID)
	}
	families, _ = workshop.Read("f.csv", []byte(strings.Replace(table, "bed.width", "bed.vessel", 1)+"3,,,tub\n"), b)
	_, faults = workshop.Make(plan.Job{Brief: b, Book: plan.DefaultBook()}, families)
	if len(faults) != 1 || faults[0].ID != workshop.FaultOtherBed || faults[0].Line != 4 || faults[0].File != "f.csv" {
		t.Errorf("another bed: %v", faults)
	}
}

// What a volunteer reads is at grade 8 at most, nine pieces in ten, and half of it at grade 5.
func TestTheLeaderReadsPlainWords(t *testing.T) {
	var grades []float64
	see := func(s page.Text) {
		if g, ok := grade(s.Plain()); ok {
			grades = append(grades, g)
		}
	}
	walk(packet.Leader(workshopOf(t, workshopBrief, 8), words(t, lang.US), packet.Options{}), func(_ page.Section, b page.Block) {
		switch b := b.(type) {
		case page.Para:
			see(b.Text)
		case page.List:
			for _, i := range b.Items {
				see(i)
			}
		case page.Caution:
			for _, x := range b.Text {
				see(x)
			}
		}
	})
	slices.Sort(grades)
	if n := len(grades); n < 40 || grades[n/2] > 5 || grades[n*9/10] > 8 {
		t.Errorf("%d pieces, half below grade %.1f, nine in ten below %.1f", n, grades[n/2], grades[n*9/10])
	}
}
