package letters

import (
	"bytes"
	"compress/zlib"
	"io"
	"strings"
	"testing"

	"github.com/carlos7ags/folio/font"
)

// unpack reads a WOFF file back into the TrueType file that it holds, by the same standard.
func unpack(t *testing.T, woff []byte) []byte {
	t.Helper()
	if string(woff[:4]) != "wOFF" || int(u32(woff, 8)) != len(woff) {
		t.Fatalf("no WOFF, or not of the length that it says: %d of %d", u32(woff, 8), len(woff))
	}
	n := int(u16(woff, 12))
	out := append([]byte{0, 1, 0, 0, 0, byte(n)}, make([]byte, 6+16*n)...)
	for i := range n {
		e := woff[44+20*i:]
		table := woff[u32(e, 4) : u32(e, 4)+u32(e, 8)]
		if u32(e, 8) < u32(e, 12) {
			z, err := zlib.NewReader(bytes.NewReader(table))
			if err != nil {
				t.Fatal(err)
			}
			if table, err = io.ReadAll(z); err != nil {
				t.Fatal(err)
			}
		}
		if uint32(len(table)) != u32(e, 12) {
			t.Fatalf("table %s has %d bytes, says %d", e[:4], len(table), u32(e, 12))
		}
		entry := out[12+16*i:]
		copy(entry, e[:4])
		copy(entry[4:], e[16:20])
		for k, v := range []int{len(out), len(table)} {
			copy(entry[8+4*k:], []byte{byte(v >> 24), byte(v >> 16), byte(v >> 8), byte(v)})
		}
		out = append(append(out, table...), make([]byte, -len(table)&3)...)
	}
	if want := u32(woff, 16); int(want) != len(out) {
		t.Errorf("unpacked it takes %d bytes, says %d", len(out), want)
	}
	return out
}

// A packed face, read by a library, has the letters that were said with their widths, and no
// others.
func TestWoffHoldsWhatIsSaid(t *testing.T) {
	said := []rune("Fill the bed: 1½ in, ñáÉ °F – 5.5")
	for _, face := range [][]byte{Regular, Bold} {
		whole, err := font.ParseTTF(face)
		if err != nil {
			t.Fatal(err)
		}
		woff := Woff(face, said)
		if len(woff) > 30_000 {
			t.Errorf("a few letters take %d bytes", len(woff))
		}
		packed, err := font.ParseTTF(unpack(t, woff))
		if err != nil {
			t.Fatal(err)
		}
		for _, r := range said {
			a, b := whole.GlyphIndex(r), packed.GlyphIndex(r)
			if b == 0 || whole.GlyphAdvance(a) != packed.GlyphAdvance(b) {
				t.Errorf("%q: glyph %d became %d, its width %d became %d", r, a, b, whole.GlyphAdvance(a), packed.GlyphAdvance(b))
			}
		}
		for _, r := range "zQ€" {
			if packed.GlyphIndex(r) != 0 {
				t.Errorf("%q was not said", r)
			}
		}
	}
}

// A letter of parts, as ñ is, brings its parts.
func TestPartsComeAlong(t *testing.T) {
	if a, b := Woff(Regular, []rune("n")), Woff(Regular, []rune("ñ")); len(b) <= len(a) {
		t.Errorf("ñ takes %d bytes, n %d", len(b), len(a))
	}
}

func TestLicence(t *testing.T) {
	if !strings.Contains(Licence, "SIL Open Font License") {
		t.Error("the licence is not there")
	}
}
