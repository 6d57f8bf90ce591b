package paper

import (
	"bytes"
	"os/exec"
	"strings"
	"testing"

	"github.com/carlos7ags/folio/reader"

	"raftwright/internal/gate"
	"raftwright/press/testdata/gallery"
)

// Whatever a stranger writes, the PDF can be read, its title is that text, and it
// opens, runs and fetches nothing.
func FuzzPDF(f *testing.F) {
	for i, s := range gallery.Hostile {
		if !testing.Short() || i%5 == 0 { // the check tries all
			f.Add(s)
		}
	}
	f.Fuzz(func(t *testing.T, s string) {
		doc := gallery.Planted(s)
		data := made(t, doc)
		read, err := reader.Parse(data)
		if err != nil {
			t.Fatalf("%q: %v", s, err)
		}
		title, _, _, creator, _ := read.Info()
		if title != gate.Clean(doc.Title) || creator != "raftwright" {
			t.Fatalf("%q: the title is %q, the creator %q", s, title, creator)
		}
		if read.PageCount() < 5 {
			t.Fatalf("%q: %d pages", s, read.PageCount())
		}
		for _, key := range []string{"OpenAction", "AA", "Names", "AcroForm"} {
			if read.Catalog().Get(key) != nil {
				t.Fatalf("%q: the catalogue has %s", s, key)
			}
		}
	})
}

// An independent program finds the file sound and nothing in it that acts.
func TestHostileTextInAPDF(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	for _, s := range gallery.Hostile {
		path := file(t, "hostile.pdf", made(t, gallery.Planted(s)))
		tool(t, "qpdf", "--check", path)
		whole, err := exec.Command("qpdf", "--qdf", "--object-streams=disable", path, "-").Output()
		if err != nil {
			t.Fatal(err)
		}
		for line := range bytes.Lines(whole) {
			text := strings.TrimSpace(string(line))
			for _, key := range []string{"/URI", "/JavaScript", "/JS", "/Launch", "/OpenAction", "/AA", "/EmbeddedFile"} {
				if text == key || strings.HasPrefix(text, key+" ") {
					t.Errorf("%q puts %s into the file", s, text)
				}
			}
		}
	}
}
