// Package paper turns documents into PDF, Letter or A4, in normal or large print.
// It is the only room that knows the PDF library.
//
// The PDF is not tagged and does not claim to be accessible; the HTML of the
// same document is the accessible one. The same document gives the same bytes.
package paper

import (
	_ "embed" // the faces
	"fmt"
	"sync"

	"github.com/carlos7ags/folio/font"
)

//go:embed fonts/SourceSans3-Regular.ttf
var regularTTF []byte

//go:embed fonts/SourceSans3-SemiBold.ttf
var boldTTF []byte

// FontLicence is the licence of the embedded faces (SIL Open Font License 1.1).
//
//go:embed fonts/OFL.txt
var FontLicence string

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

func (f *face) glyph(r rune) glyph {
	if r >= 0 && r < faceKnown {
		return f.known[r]
	}
	id := f.GlyphIndex(r)
	return glyph{id, int16(f.GlyphAdvance(id)), r}
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
		if _, ok := first[id]; !ok {
			first[id] = r
		}
		f.known[r] = glyph{id, int16(parsed.GlyphAdvance(id)), first[id]}
	}
	return f, nil
}

// faces gives the regular and the bold face, parsed once.
var faces = sync.OnceValues(func() ([2]*face, error) {
	var out [2]*face
	for i, ttf := range [2][]byte{regularTTF, boldTTF} {
		f, err := parseFace(ttf)
		if err != nil {
			return out, err
		}
		out[i] = f
	}
	return out, nil
})

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
		if both[0].glyph(r).id == 0 || both[1].glyph(r).id == 0 {
			out = append(out, r)
		}
	}
	return out
}
