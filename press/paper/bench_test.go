package paper

import (
	"io"
	"testing"

	"raftwright/page"
	"raftwright/press"
	"raftwright/press/testdata/gallery"
)

// packet30 repeats the gallery until it fills at least 30 pages.
func packet30() page.Document {
	doc := gallery.Document()
	one := doc.Sections
	for range 4 {
		doc.Sections = append(doc.Sections, one...)
	}
	return doc
}

func pageCount(t testing.TB, doc page.Document) int {
	t.Helper()
	s, err := newSetter(doc)
	if err != nil {
		t.Fatal(err)
	}
	return len(s.pages())
}

func BenchmarkPDF30Pages(b *testing.B) {
	doc := packet30()
	n := pageCount(b, doc)
	if n < 30 {
		b.Fatalf("only %d pages", n)
	}
	b.ReportAllocs()
	for b.Loop() {
		if err := PDF(doc, io.Discard); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(n), "pages")
}

func BenchmarkHTML30Pages(b *testing.B) {
	doc := packet30()
	for b.Loop() {
		if err := press.HTML(doc, io.Discard); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkText30Pages(b *testing.B) {
	doc := packet30()
	for b.Loop() {
		if err := press.Text(doc, io.Discard, 80); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkSVG(b *testing.B) {
	d := gallery.BedPlan()
	for b.Loop() {
		if err := press.SVG(d, gallery.Fit(), io.Discard); err != nil {
			b.Fatal(err)
		}
	}
}
