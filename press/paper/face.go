// Package paper turns documents into PDF, Letter or A4, in normal or large print.
// It is the only room that knows the PDF library.
//
// The PDF is tagged: a screen reader finds headings, lists, tables with their heads and
// figures in words, in reading order. It does not claim to keep PDF/UA, since no validator
// has looked at it. The same document gives the same bytes.
package paper

import (
	"bytes"
	"fmt"
	"maps"
	"slices"
	"sync"

	"github.com/carlos7ags/folio/core"
	"github.com/carlos7ags/folio/font"

	"raftwright/press/letters"
	"raftwright/press/paper/pdf"
)

// face is a parsed typeface. It is read only and shared by all documents.
type face struct {
	font.Face
	known [faceKnown]glyph // the runes that are looked up all the time
}

const faceKnown = 0x2800

type glyph struct {
	id      uint16
	advance int16 // thousandths of the size: the faces have 1000 units an em
	written rune  // the first rune with this glyph: what a reader of the PDF gets back
}

// glyph gives the glyph of a rune; a letter that the face lacks is a question mark.
func (f *face) glyph(r rune) glyph {
	if r >= 0 && r < faceKnown {
		return f.known[r]
	}
	if id := f.GlyphIndex(r); id != 0 {
		return glyph{id, int16(f.GlyphAdvance(id)), r}
	}
	return f.known['?']
}

func parseFace(ttf []byte) (*face, error) {
	parsed, err := font.ParseTTF(ttf)
	if err != nil {
		return nil, fmt.Errorf("the embedded typeface cannot be read: %w", err)
	}
	f := &face{Face: parsed}
	first := map[uint16]rune{}
	for r := range rune(faceKnown) {
		id := parsed.GlyphIndex(r)
		if id == 0 {
			continue
		}
		if _, ok := first[id]; !ok {
			first[id] = r
		}
		f.known[r] = glyph{id, int16(parsed.GlyphAdvance(id)), first[id]}
	}
	for r, g := range f.known {
		if g.id == 0 {
			f.known[r] = f.known['?']
		}
	}
	return f, nil
}

// faces gives the regular and the bold face, parsed once.
var faces = sync.OnceValues(func() ([2]*face, error) {
	var out [2]*face
	for i, ttf := range [2][]byte{letters.Regular, letters.Bold} {
		f, err := parseFace(ttf)
		if err != nil {
			return out, err
		}
		out[i] = f
	}
	return out, nil
})

// embed writes the letters of a face that were printed into the file, and gives the
// number of the font.
func embed(out *pdf.File, f *face, used map[rune]bool) int {
	set := font.NewEmbeddedFont(f)
	set.EncodeString(string(slices.Sorted(maps.Keys(used))))
	add := func(v core.PdfObject) *core.PdfIndirectReference {
		var b bytes.Buffer
		if s, ok := v.(*core.PdfStream); ok {
			for key, value := range s.Dict.All() {
				b.WriteString("/" + key + " ")
				_, _ = value.WriteTo(&b) // a buffer takes everything
			}
			return core.NewPdfIndirectReference(out.Stream(b.Bytes(), s.Data), 0)
		}
		_, _ = v.WriteTo(&b)
		return core.NewPdfIndirectReference(out.Object(b.Bytes()), 0)
	}
	return add(set.BuildObjects(add)).Num()
}

// Missing gives the runes of s that the embedded faces cannot print, each once,
// in order. Line breaks need no glyph.
func Missing(s string) []rune {
	both, err := faces()
	if err != nil {
		return []rune(s)
	}
	var out []rune
	seen := map[rune]bool{'\n': true}
	for _, r := range s {
		if seen[r] {
			continue
		}
		seen[r] = true
		if both[0].GlyphIndex(r) == 0 || both[1].GlyphIndex(r) == 0 {
			out = append(out, r)
		}
	}
	return out
}
