package gate

import (
	"strings"
	"testing"
	"unicode/utf8"
)

// Code points by their names in The Unicode Standard 17.0; the bidirectional ones
// are those of Unicode Standard Annex 9, the rest of categories Cc, Cf, Zl and Zp.
func TestRefused(t *testing.T) {
	for name, text := range map[string]string{
		"escape": "\x1b", "carriage return": "\r", "null": "\x00", "bell": "\a", "backspace": "\b", "delete": "\x7f", "next line": "\u0085", "control sequence introducer": "\u009b",
		"left-to-right mark": "\u200e", "right-to-left mark": "\u200f", "arabic letter mark": "\u061c",
		"left-to-right embedding": "\u202a", "right-to-left override": "\u202e", "left-to-right isolate": "\u2066", "pop directional isolate": "\u2069",
		"line separator": "\u2028", "paragraph separator": "\u2029", "zero width space": "\u200b", "zero width joiner": "\u200d", "word joiner": "\u2060",
		"byte order mark": "\ufeff", "soft hyphen": "\u00ad", "tag": "\U000e0041", "noncharacter": "\ufdd0", "noncharacter at the end": "\uffff", "noncharacter of plane 16": "\U0010ffff",
		"broken UTF-8": "\xff", "half a surrogate pair": "\xed\xa0\x80", "line feed": "\n", "tab": "\t",
	} {
		if _, at := First("ab"+text+"c", false); at != 2 {
			t.Errorf("%s is let through, or found at %d", name, at)
		}
		lines := name == "line feed" || name == "tab"
		if _, at := First("ab"+text+"c", true); (at < 0) != lines {
			t.Errorf("%s where lines are wanted: %d", name, at)
		}
		clean := Clean("ab" + text + "c")
		if lines != (clean == "ab"+text+"c") || !lines && !strings.HasPrefix(clean, "ab\ufffd") || !utf8.ValidString(clean) {
			t.Errorf("%s is cleaned to %q", name, clean)
		}
	}
	for _, text := range []string{"", "Library terrace bed", "Ñandú año 2027", "½ × 8′ – “x” ☐ № €", "漢字", "عربي", "e\u0301", "\ufffd", "\u00a0", "🥬"} {
		if r, at := First(text, false); at >= 0 {
			t.Errorf("%q: %U is refused", text, r)
		}
		if Clean(text) != text {
			t.Errorf("%q is cleaned to %q", text, Clean(text))
		}
	}
}

// That the letters are those of the typeface is tested beside the typeface.
func TestLacking(t *testing.T) {
	for _, text := range []string{"", "ABCxyz 0-9", "Ñandú ß ő ğ ż", "Ελληνικά", "Українська", "½ × ° ″ ☐", "a\nb\tc"} {
		if r, at := Lacking(text); at >= 0 {
			t.Errorf("%q: %U cannot be printed", text, r)
		}
	}
	for text, at := range map[string]int{"漢": 0, "ab漢c": 2, "🥬": 0, "عربي": 0, "שלום": 0, "ไทย": 0, "हिन्दी": 0, "ñ 漢": 3, "\x1b": 0} {
		if _, got := Lacking(text); got != at {
			t.Errorf("%q: lacks a letter at %d, want %d", text, got, at)
		}
	}
}

func FuzzGate(f *testing.F) {
	f.Add("Library\x1b[2J")
	f.Add("\u202egnp.exe")
	f.Fuzz(func(t *testing.T, s string) {
		clean := Clean(s)
		if _, at := First(clean, true); at >= 0 {
			t.Fatalf("%q is cleaned to %q, of which byte %d is refused", s, clean, at)
		}
		if _, at := First(s, true); at < 0 && clean != s {
			t.Fatalf("%q is changed to %q", s, clean)
		}
		Lacking(s)
	})
}
