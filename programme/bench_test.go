package programme_test

import (
	"fmt"
	"math/rand/v2"
	"runtime"
	"strconv"
	"testing"

	"raftwright/programme"
)

// decade makes up ten years with 100,000 encounters, and what goes with them, as files.
func decade() map[string]string {
	r := rand.New(rand.NewPCG(7, 13))
	start, _ := programme.ParseDay("2017-07-01")
	day := func() programme.Day { return start + programme.Day(r.IntN(3650)) }
	x := programme.Records{Funders: []programme.Funder{{ID: "F", Label: "ten years", From: start, To: start + 3650, Series: "each", SameDay: "once", Threshold: 11}}}
	for c := range 8 {
		id := string(rune('A' + c))
		x.Counties = append(x.Counties, programme.County{ID: id, Name: "County " + id})
		x.Sites = append(x.Sites, programme.Site{ID: "S" + id, County: id, Opened: start})
		for b := range 8 {
			x.Sites = append(x.Sites, programme.Site{ID: fmt.Sprint("S", id, b), County: id, Opened: start})
			x.Beds = append(x.Beds, programme.Bed{ID: fmt.Sprint("B", id, b), Site: fmt.Sprint("S", id, b), Length: 8, Width: 4, Planted: start})
		}
	}
	county := func() string { return string(rune('A' + r.IntN(8))) }
	person := func() string { return fmt.Sprintf("P%04d", r.IntN(4000)) }
	for i := range 5000 {
		e := programme.Event{ID: fmt.Sprintf("E%05d", i), Date: day(), County: county(), Education: true, Adults: 5 + r.IntN(30), Youth: r.IntN(20), Title: "Heads all season", Lead: "K1"}
		x.Events = append(x.Events, e)
		for range 8 {
			x.SignIns = append(x.SignIns, programme.SignIn{Event: e.ID, Person: person()})
		}
		for range 5 {
			x.Slips = append(x.Slips, programme.Slip{ID: fmt.Sprintf("L%06d", len(x.Slips)), Event: e.ID, Standard: "2024", Groups: groups[r.IntN(7)], Sex: "F"})
		}
	}
	for i := range 15000 {
		x.Visits = append(x.Visits, programme.Visit{ID: fmt.Sprintf("V%05d", i), Date: day(), Site: "S" + county(), Education: i%5 > 0, Person: person(), Minutes: 30, Miles: 12})
	}
	for i := range 80000 {
		x.Inquiries = append(x.Inquiries, programme.Inquiry{ID: fmt.Sprintf("N%05d", i), Date: day(), County: county(), Mode: "phone", Education: i%4 > 0, Person: person(), Status: "closed", Note: "yellow leaves after a week of rain"})
	}
	half, _ := programme.ParseDecimal("2.5")
	for i := range 10000 {
		x.Harvests = append(x.Harvests, programme.Harvest{ID: fmt.Sprintf("H%05d", i), Date: day(), Bed: fmt.Sprint("B", county(), r.IntN(8)), Crop: "lettuce", Heads: 8, Pounds: half, Fate: "given"})
		x.Hours = append(x.Hours, programme.Hours{ID: strconv.Itoa(i), Date: day(), Person: person(), Kind: "service", Hours: half})
	}
	return programme.Write(x)
}

// Ten years and 100,000 encounters, from the texts of the files to both editions.
func BenchmarkDecade(b *testing.B) {
	files := decade()
	day, _ := programme.ParseDay("2027-07-05")
	runtime.GC()
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	var r *programme.Report
	b.ReportAllocs()
	for b.Loop() {
		records, faults := programme.Read(files)
		if len(faults) > 0 {
			b.Fatal(faults)
		}
		r, faults = programme.Make(records, "F", day)
		if len(faults) > 0 {
			b.Fatal(faults)
		}
		r.Public()
	}
	runtime.ReadMemStats(&after)
	b.ReportMetric(float64(after.HeapSys)/1e6, "MB-of-heap")
	runtime.KeepAlive(r)
}

// A page of the records of the largest figure.
func BenchmarkOpen(b *testing.B) {
	day, _ := programme.ParseDay("2027-07-05")
	records, _ := programme.Read(decade())
	r, _ := programme.Make(records, "F", day)
	f, ok := r.Find("direct_contacts", programme.All)
	if !ok || len(f.From) < 60000 {
		b.Fatal(len(f.From))
	}
	for b.Loop() {
		r.Open(f, 50000, 200)
	}
}
