package programme_test

import (
	"runtime"
	"testing"

	"raftwright/programme"
	"raftwright/programme/decade"
)

// ten are the files of ten years of 25 offices: 100,000 encounters with the harvests, slips, replies, answers, hours and money that go with them.
func ten(b *testing.B) map[string]string {
	b.Helper()
	one, faults := programme.Read(year(b))
	if len(faults) > 0 {
		b.Fatal(faults)
	}
	files := decade.Of(one, 25)
	records, faults := programme.Read(files)
	if n := len(records.Events) + len(records.Visits) + len(records.Inquiries); len(faults) > 0 || n != 100_000 || len(records.Harvests) < 200_000 {
		b.Fatal(n, faults)
	}
	return files
}

// Ten years and 100,000 encounters, from the texts of the files to both editions.
func BenchmarkDecade(b *testing.B) {
	files := ten(b)
	day, _ := programme.ParseDay("2027-07-31")
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
	day, _ := programme.ParseDay("2027-07-31")
	records, _ := programme.Read(ten(b))
	r, _ := programme.Make(records, "F", day)
	f, ok := r.Find("direct_contacts", programme.All)
	if !ok || len(f.From) < 60000 {
		b.Fatal(len(f.From))
	}
	for b.Loop() {
		r.Open(f, 50000, 200)
	}
}
