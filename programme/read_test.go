package programme_test

import (
	"flag"
	"fmt"
	"maps"
	"os"
	"runtime/debug"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"raftwright/programme"
)

func TestMain(m *testing.M) {
	if flag.Parse(); testing.Short() {
		debug.SetGCPercent(400) // a little memory for a little time
	}
	os.Exit(m.Run())
}

// Written and read again the records are the same, and so are the bytes.
func TestRoundTrip(t *testing.T) {
	files := year(t)
	r := read(t, files)
	written := programme.Write(r)
	again := read(t, written)
	if d := cmp.Diff(written, programme.Write(again)); d != "" {
		t.Error(d)
	}
	for name, text := range files {
		if d := cmp.Diff(text, written[name]); d != "" {
			t.Errorf("%s: %s", name, d)
		}
	}
	for seed := range uint64(20) {
		x := invent(seed)
		first := programme.Write(x)
		if d := cmp.Diff(first, programme.Write(read(t, first))); d != "" {
			t.Errorf("year %d: %s", seed, d)
		}
	}
}

// All that is wrong with a folder is told at once, each at its place.
func TestFaults(t *testing.T) {
	files := year(t)
	change := func(file, old, new string) {
		if !strings.Contains(files[file], old) {
			t.Fatalf("%s has no %q", file, old)
		}
		files[file] = strings.Replace(files[file], old, new, 1)
	}
	change("events.csv", "E010,2026-07-02,ALD", "E010,2026-02-30,OAK")
	change("counties.csv", "BIR,Birch", "ALD,Birch")
	change("slips.csv", "Hispanic or Latino,M,65+", "Purple,M,65+")
	change("hours.csv", ",service,2.5", ",help,two")
	change("corrections.csv", "adults,48,25", "adults,48,many")
	change("corrections.csv", "hours,HXCRY", "hours,H0000")
	change("harvests.csv", "S015-3,lettuce,17,4.4", "S999-9,lettuce,-17,4.4")
	change("funders.csv", "2026-07-01,2027-06-30", "2027-07-01,2027-06-30")
	delete(files, "rates.csv")
	_, faults := programme.Read(files)
	got := map[string]string{}
	for _, f := range faults {
		got[fmt.Sprintf("%s:%d:%d", f.File, f.Line, f.Column)] += string(f.ID) + " "
	}
	for at, id := range map[string]string{
		"counties.csv:3:1": "programme.fault.twice", "events.csv:3:6": "programme.fault.day", "events.csv:3:17": "programme.fault.unknown", "slips.csv:2:18": "programme.fault.group",
		"corrections.csv:2:45": "table.fault.number", "corrections.csv:3:22": "programme.fault.unknown", "hours.csv:2:43": "table.fault.word", "hours.csv:2:48": "table.fault.number",
		"harvests.csv:2:18": "programme.fault.unknown", "harvests.csv:2:33": "table.fault.number", "funders.csv:2:47": "programme.fault.order", "funders.csv:2:71": "programme.fault.unknown",
	} {
		if !strings.Contains(got[at], id) {
			t.Errorf("%s: %q, want %s", at, got[at], id)
		}
	}
	if len(faults) < 12 {
		t.Errorf("only %d faults: %v", len(faults), faults)
	}
	_, faults = programme.Read(map[string]string{"people.csv": "person,role\n"})
	if len(faults) != 2 {
		t.Errorf("a folder without the tables that a report needs: %v", faults)
	}
	if t.Failed() {
		t.Log(maps.Keys(got), got)
	}
}

func TestNoSuchFunderAndTooEarly(t *testing.T) {
	r := read(t, year(t))
	day, _ := programme.ParseDay("2026-06-30")
	if _, faults := programme.Make(r, "BOARD", day); len(faults) != 1 || faults[0].ID != programme.FaultEarly {
		t.Error(faults)
	}
	if _, faults := programme.Make(r, "NOBODY", day+400); len(faults) != 1 || faults[0].ID != programme.FaultFunder {
		t.Error(faults)
	}
}

// A report made before its range ends covers what had happened by then: replies that came later, prices and consents are not seen.
func TestEarlyReport(t *testing.T) {
	r := read(t, year(t))
	early := report(t, r, "BOARD", "2027-03-31")
	late := report(t, r, "BOARD", "2027-07-05")
	for _, name := range []string{"direct_contacts", "wave A6: returned", "harvest_records", "visits"} {
		a, _ := early.Find(name, programme.All)
		b, _ := late.Find(name, programme.All)
		if a.Number == 0 || a.Number >= b.Number {
			t.Errorf("%s: %v by the end of March, %v by July", name, a.Number, b.Number)
		}
	}
}

// The same records, rules and day give the same figures, in the same order.
func TestSameFigures(t *testing.T) {
	first := ""
	for range 5 {
		r := report(t, read(t, year(t)), "SCHOOLFUND", "2027-07-05")
		text := r.Inside().FiguresCSV(nil) + r.Public().FiguresCSV(nil)
		if first == "" {
			first = text
		} else if text != first {
			t.Fatal(cmp.Diff(first, text))
		}
	}
}

// The rows that a figure opens to are its records as they stood, without the codes of those who withdrew.
func TestOpen(t *testing.T) {
	r := report(t, read(t, year(t)), "BOARD", "2027-08-31")
	f, ok := r.Find("direct_contacts", programme.All)
	if !ok || len(f.From) == 0 {
		t.Fatal("no contacts")
	}
	lines := r.Open(f, 0, len(f.From))
	heads := 0
	for _, l := range lines {
		if l.Table == "events" && l.ID == "E006" {
			for i, c := range l.Columns {
				if c == "adults" && l.Values[i] != "25" {
					t.Errorf("E006 has %s adults; it was corrected to 25", l.Values[i])
				}
			}
			heads++
		}
	}
	if len(lines) != len(f.From) || heads != 1 {
		t.Errorf("%d lines of %d records, E006 %d times", len(lines), len(f.From), heads)
	}
	if got := r.Open(f, 10, 20); len(got) != 20 || got[0].ID != lines[10].ID {
		t.Errorf("a page has %d lines", len(got))
	}
	if got := r.Open(f, len(f.From)+5, 20); len(got) != 0 {
		t.Errorf("behind the end stand %d lines", len(got))
	}
}

const (
	aCounty = "county,name\nALD,Alder\n"
	aFunder = "funder,label,from,to,series,same_day,threshold,rate\nB,b,2026-07-01,2027-06-30,each,once,11,\n"
	anEvent = "event,date,county,education,adults,youth\nE,2026-08-01,ALD,yes,3,1\n"
)

func FuzzRead(f *testing.F) {
	f.Add(aCounty, aFunder, anEvent)
	f.Fuzz(func(t *testing.T, counties, funders, events string) {
		_, faults := programme.Read(map[string]string{"counties.csv": counties, "funders.csv": funders, "events.csv": events})
		for _, f := range faults {
			if f.File != "" && (f.Line < 1 || f.Column < 1) {
				t.Errorf("a fault without a place: %v", f)
			}
		}
	})
}

// What is written of a book is read as the same book.
func FuzzWrite(f *testing.F) {
	f.Add(aCounty, aFunder, anEvent)
	f.Fuzz(func(t *testing.T, counties, funders, events string) {
		r, faults := programme.Read(map[string]string{"counties.csv": counties, "funders.csv": funders, "events.csv": events})
		if len(faults) > 0 || len(r.Funders) == 0 {
			return
		}
		wrote := programme.Write(r)
		if again := programme.Write(read(t, wrote)); cmp.Diff(wrote, again) != "" {
			t.Error(cmp.Diff(wrote, again))
		}
	})
}

// FuzzReport makes the report of what was read, and what is published of it.
func FuzzReport(f *testing.F) {
	f.Add(aCounty, aFunder, anEvent)
	f.Fuzz(func(t *testing.T, counties, funders, events string) {
		r, faults := programme.Read(map[string]string{"counties.csv": counties, "funders.csv": funders, "events.csv": events})
		if len(faults) > 0 || len(r.Funders) == 0 {
			return
		}
		if rep, faults := programme.Make(r, r.Funders[0].ID, r.Funders[0].To); len(faults) == 0 {
			rep.Public()
		}
	})
}
