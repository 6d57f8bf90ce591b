// Package gate says which characters a text of a stranger may hold. A title or the
// name of a product comes from a file that somebody sent; it goes to a terminal, a
// calendar, a web page and paper. What could steer any of these, or make two texts
// look alike that are not, is refused where it comes in; each writer escapes for its
// own medium all the same.
package gate

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Refused tells whether a character is no part of a text: control characters (C0,
// C1, delete), those that turn the direction of writing, that break lines or that
// are not seen (Unicode category Cf: bidirectional marks, zero-width characters,
// soft hyphens, tags), noncharacters and halves of surrogate pairs. Line feeds and
// tabs are refused too; First lets them pass where lines are wanted.
func Refused(r rune) bool {
	return unicode.In(r, unicode.Cc, unicode.Cf, unicode.Zl, unicode.Zp, unicode.Cs, unicode.Noncharacter_Code_Point) || r < 0 || r > unicode.MaxRune
}

// First finds the first character of a text that is refused and the byte at which
// it stands, -1 if there is none. Broken UTF-8 is found as the rune U+FFFD. With
// lines, line feeds and tabs pass.
func First(text string, lines bool) (r rune, at int) {
	for at, r := range text {
		if r >= ' ' && r < 0x7f || lines && (r == '\n' || r == '\t') {
			continue
		}
		if r == utf8.RuneError {
			if _, n := utf8.DecodeRuneInString(text[at:]); n > 1 {
				continue // written as it is
			}
			return r, at
		}
		if Refused(r) {
			return r, at
		}
	}
	return 0, -1
}

// Clean puts U+FFFD in the place of every character that is refused, but for line
// feeds and tabs. It is the last thing before a text reaches a terminal.
func Clean(text string) string {
	if _, at := First(text, true); at < 0 {
		return text
	}
	return strings.Map(func(r rune) rune {
		if Refused(r) && r != '\n' && r != '\t' {
			return utf8.RuneError
		}
		return r
	}, text)
}

// Printable tells whether the typeface of the paper has the letter.
func Printable(r rune) bool {
	i, found := slices.BinarySearchFunc(letters, r, func(span [2]rune, r rune) int { return int(span[0] - r) })
	return found || i > 0 && r <= letters[i-1][1]
}

// Lacking gives the first letter of a text that the paper cannot print, and where
// it stands; -1 if it can print all of them.
func Lacking(text string) (r rune, at int) {
	for at, r := range text {
		if r != '\n' && r != '\t' && !Printable(r) {
			return r, at
		}
	}
	return 0, -1
}
