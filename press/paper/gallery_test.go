package paper

import (
	"bytes"
	"flag"
	"io"
	"os"
	"path/filepath"
	"testing"

	"raftwright/page"
	"raftwright/press"
	"raftwright/press/testdata/gallery"
)

// look is a directory to write the gallery to, for a person to look at:
// go test ./press/paper -run Gallery -look DIR
var look = flag.String("look", "", "directory to write the gallery to")

func TestGallery(t *testing.T) {
	if *look == "" {
		return
	}
	for _, v := range []struct {
		name  string
		large bool
		paper page.Paper
	}{{"letter", false, page.Letter}, {"a4", false, page.A4}, {"large", true, page.Letter}} {
		doc := gallery.Document()
		doc.Large, doc.Paper = v.large, v.paper
		if v.large {
			doc.Sections = append(doc.Sections, page.Section{Blocks: []page.Block{page.Figure{Drawing: gallery.Season(true), Height: 480}}})
		}
		var b bytes.Buffer
		if err := PDF(doc, &b); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(*look, v.name+".pdf"), b.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
		for ext, write := range map[string]func(io.Writer) error{
			".html": func(w io.Writer) error { return press.HTML(doc, w) },
			".txt":  func(w io.Writer) error { return press.Text(doc, w, 80) },
			".svg":  func(w io.Writer) error { return press.SVG(gallery.Section(), gallery.Fit(), w) },
		} {
			b.Reset()
			if err := write(&b); err != nil {
				t.Fatal(err)
			}
			if err := os.WriteFile(filepath.Join(*look, v.name+ext), b.Bytes(), 0o644); err != nil {
				t.Fatal(err)
			}
		}
	}
}
