package packet_test

import (
	"strings"
	"testing"

	"raftwright/brief"
	"raftwright/lang"
	"raftwright/packet"
	"raftwright/page"
	"raftwright/plan"
	"raftwright/workshop"
)

// mixedDay plans a day for the families of a table.
func mixedDay(t *testing.T, text, table string) workshop.Workshop {
	t.Helper()
	b, faults := brief.Parse("a.yaml", []byte(text))
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	families, faults := workshop.Read("f.csv", []byte(table), b)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	ws, faults := workshop.Make(plan.Job{Brief: b, Book: plan.DefaultBook()}, families)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	return ws
}

// A day with two sizes says on its first page how many kits there are of each and for whom; the kits are listed by size, each with the pieces of its
// own frame, and so is the count of pieces; every label of a piece is of the kit's own frame. A day with one size says nothing of sizes.
func TestTheLeaderKnowsTheSizes(t *testing.T) {
	for _, language := range []string{"en", "es"} {
		ws := mixedDay(t, workshopBrief, "kit,bed.length,bed.width\nOAK,,\nELM,49 in,25 in\nASH,,\n")
		words, err := lang.For(language, lang.US)
		if err != nil {
			t.Fatal(err)
		}
		large := words.Say("leader.size.name", map[string]any{"Number": 1, "Length": ws.Each[0].Frame.Job.Vessel.Length, "Width": ws.Each[0].Frame.Job.Vessel.Width, "Holes": ws.Each[0].Raft.Holes})
		small := words.Say("leader.size.name", map[string]any{"Number": 2, "Length": ws.Each[1].Frame.Job.Vessel.Length, "Width": ws.Each[1].Frame.Job.Vessel.Width, "Holes": ws.Each[1].Raft.Holes})
		d := packet.Leader(ws, words, packet.Options{})
		told := map[string]string{}
		tables := map[string][]page.Table{}
		walk(d, func(s page.Section, b page.Block) {
			if t, ok := b.(page.Table); ok {
				tables[s.ID] = append(tables[s.ID], t)
				for _, r := range t.Rows {
					for _, c := range r.Cells {
						told[s.ID] += c.Plain() + "|"
					}
				}
			}
			if h, ok := b.(page.Heading); ok {
				told[s.ID] += h.Text + "|"
			}
		})
		if !strings.Contains(told["glance"], large+"|2|OAK, ASH|") || !strings.Contains(told["glance"], small+"|1|ELM|") {
			t.Errorf("%s: the first page does not tell the sizes: %s", language, told["glance"])
		}
		for _, id := range []string{"saw", "kits"} {
			if !strings.Contains(told[id], large) || !strings.Contains(told[id], small) {
				t.Errorf("%s: %s is not by size", language, id)
			}
		}
		for i, s := range ws.Sizes {
			for n, p := range s.Bed().Frame.Pieces {
				if said := tables["kits"][2*i].Rows[n].Cells[0].Plain(); !strings.Contains(said, words.Value(p.Length)) {
					t.Errorf("%s: kit of size %d: %q has not %v", language, i+1, said, p.Length)
				}
			}
		}
		all := allWords(d)
		if strings.Contains(all, "[leader.") || strings.Contains(all, "<no value>") {
			t.Errorf("%s: a sentence is missing", language)
		}
		if one := allWords(packet.Leader(workshopOf(t, workshopBrief, 3), words, packet.Options{})); strings.Contains(one, words.Say("leader.size.short", map[string]any{"Number": 1})) {
			t.Errorf("%s: one size is called a size", language)
		}
	}
}

// What forbids to build the bed of one size stands on the first page, also where it is not the first size.
func TestTheStopOfAnySizeStandsOnTheFirstPage(t *testing.T) {
	words := words(t, lang.US)
	for support, want := range map[string]bool{"roof": true, "ground": false} {
		d := packet.Leader(mixedDay(t, workshopBrief, "kit,bed.length,bed.width,bed.support\nOAK,,,\nELM,49 in,25 in,"+support+"\n"), words, packet.Options{})
		d.Sections = d.Sections[:1]
		if told := strings.Contains(allWords(d), "Never put a bed on a roof"); told != want {
			t.Errorf("on the %s: told %v", support, told)
		}
	}
}
