package brief

import (
	"bytes"
	"fmt"
	"strings"
	"unicode/utf8"
)

// Bounds of a file that is looked into at all. A brief with a season's log is
// some 50 kB; what is far beyond is a mistake or an attack, and is refused before
// the YAML parser sees it, whose time can grow with the square of the keys of a
// group or of the tags, and its memory with the square of the depth. Measured:
// the slowest text within these bounds takes about half a second.
const (
	largestFile = 1 << 20 // bytes
	deepestNest = 40      // brackets within brackets
	mostKeys    = 600     // lines at one level of one group
	mostInside  = 12_000  // lines between brackets, as in JSON on many lines
	mostDashes  = 1       // "- - -" at the beginning of a line
	mostLines   = 60_000  // lines that are no notes
	mostItems   = 20_000  // lines that begin with a dash
	mostMarks   = 150_000 // commas, colons, dashes, quotes and brackets
	mostRare    = 10_000  // signs that YAML gives a meaning but briefs hardly need
)

// What the bounds count.
const (
	marks = ",:-\"'[]{}"
	rare  = "?|>%&*!@`"
)

// guard refuses what is no text or too big to be a brief, and gives the text
// with plain line ends.
func guard(data []byte) (string, *fault) {
	if len(data) > largestFile {
		return "", &fault{Place{1, 1}, wrong{"the file is larger than 1 MB", "give a brief, which is a text of a few pages"}}
	}
	data = bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))
	if at := odd(data); at >= 0 {
		place := placeOf(data, at)
		r, n := utf8.DecodeRune(data[at:])
		if r == utf8.RuneError && n <= 1 {
			return "", &fault{place, wrong{"the file is not UTF-8 text here", "save it as plain text in UTF-8"}}
		}
		return "", &fault{place, wrong{fmt.Sprintf("the character U+%04X is not text", r), "take it out, or save the file again as plain text"}}
	}
	text := strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(string(data))
	return text, crowded(text)
}

// odd finds the first byte that is not text, -1 if there is none.
func odd(data []byte) int {
	for i := 0; i < len(data); {
		r, n := utf8.DecodeRune(data[i:])
		if r == utf8.RuneError && n <= 1 || r < ' ' && r != '\n' && r != '\r' && r != '\t' || r >= 0x7f && r < 0xa0 && r != 0x85 || r == '\ufeff' {
			return i
		}
		i += n
	}
	return -1
}

func placeOf(data []byte, at int) Place {
	before := data[:at]
	line := bytes.Count(before, []byte("\n"))
	return Place{line + 1, utf8.RuneCount(before[bytes.LastIndexByte(before, '\n')+1:]) + 1}
}

// crowded refuses a text that would take the YAML parser too long. It does not
// know quotes, so that nothing can hide behind one; its bounds are far beyond any
// brief.
func crowded(text string) *fault {
	var c census
	level := map[int]int{}
	number, lines, items, inside := 0, 0, 0, 0
	for line := range strings.SplitSeq(text, "\n") {
		number++
		body := strings.TrimLeft(line, " \t")
		if body == "" || body[0] == '#' {
			continue
		}
		at := Place{number, len(line) - len(body) + 1}
		if lines++; lines > mostLines {
			return &fault{at, wrong{"too many lines", fmt.Sprintf("a brief has at most %d lines", mostLines)}}
		}
		if dashes(body) > mostDashes {
			return &fault{at, wrong{"too many dashes in a row", "write one dash for each item of a list"}}
		}
		if strings.HasPrefix(body, "-") {
			items++
		}
		if items > mostItems {
			return &fault{at, wrong{"too many items", fmt.Sprintf("the lists of a brief have at most %d items in all", mostItems)}}
		}
		if c.depth > 0 {
			inside++
		} else if keysAt(level, body, at.Column) > mostKeys {
			return &fault{at, wrong{fmt.Sprintf("more than %d lines at one level", mostKeys), "a group has a few dozen keys at most"}}
		}
		if inside > mostInside {
			return &fault{at, wrong{fmt.Sprintf("more than %d lines between brackets", mostInside), "write a long log as a list with dashes; is a closing bracket missing?"}}
		}
		if bad := c.count(body); bad != nil {
			return &fault{at, *bad}
		}
	}
	return nil
}

// census counts the signs of a file.
type census struct{ depth, marks, rare int }

func (c *census) count(body string) *wrong {
	for i := range len(body) {
		switch b := body[i]; {
		case b == '[' || b == '{':
			c.depth++
			c.marks++
		case b == ']' || b == '}':
			c.depth = max(0, c.depth-1)
			c.marks++
		case strings.IndexByte(marks, b) >= 0:
			c.marks++
		case strings.IndexByte(rare, b) >= 0:
			c.rare++
		}
		if c.depth > deepestNest {
			return &wrong{"too many brackets within brackets", "a brief is at most four levels deep; is a closing bracket missing?"}
		}
	}
	if c.marks > mostMarks || c.rare > mostRare {
		return &wrong{"too many values", "a brief has a few thousand values at most"}
	}
	return nil
}

// keysAt counts the lines of a group, which are those at one column until a line
// further left ends it or a dash begins the next one.
func keysAt(level map[int]int, body string, column int) int {
	for c := range level {
		if c > column {
			delete(level, c)
		}
	}
	if rest, dash := strings.CutPrefix(body, "- "); dash {
		inner := strings.TrimLeft(rest, " ")
		level[column+len(body)-len(inner)] = 1
		return 1
	}
	level[column]++
	return level[column]
}

// dashes counts the list, key and value signs in a row that a line begins with.
func dashes(body string) int {
	n := 0
	for {
		rest := strings.TrimLeft(body, "-?:")
		if len(body)-len(rest) != 1 || rest != "" && rest[0] != ' ' && rest[0] != '\t' {
			return n
		}
		n++
		body = strings.TrimLeft(rest, " \t")
	}
}
