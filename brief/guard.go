package brief

import (
	"bytes"
	"fmt"
	"strings"
	"unicode/utf16"
	"unicode/utf8"

	"raftwright/finding"
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

// misplaced is a fault of the file with its place.
type misplaced struct {
	at Place
	*finding.Fault
}

// crowd is the fault of a text with too many of something.
func crowd(at Place, of string) *misplaced {
	return &misplaced{at, fault("brief.fault.crowded", "Of", finding.Word("brief.word."+of))}
}

// guard refuses what is no text, too big or too crowded to be a brief, and gives the
// text with plain line ends.
func guard(data []byte) (string, *misplaced) {
	text, bad := plain(narrow(data))
	if bad == nil {
		bad = crowded(text)
	}
	return text, bad
}

// narrow gives UTF-16 text that begins with its mark (RFC 2781, 3.2), as a plain editor of Windows may write it, in UTF-8. What is none stays
// as it is, to be told as such.
func narrow(data []byte) []byte {
	if len(data) < 2 || len(data)%2 != 0 || len(data) > 2*largestFile {
		return data
	}
	high, low := 0, 1
	switch {
	case data[0] == 0xff && data[1] == 0xfe:
		high, low = 1, 0
	case data[0] != 0xfe || data[1] != 0xff:
		return data
	}
	units := make([]uint16, 0, len(data)/2-1)
	for i := 2; i < len(data); i += 2 {
		units = append(units, uint16(data[i+high])<<8|uint16(data[i+low]))
	}
	var out []byte
	for i := 0; i < len(units); i++ {
		r := rune(units[i])
		if utf16.IsSurrogate(r) {
			if i+1 == len(units) {
				return data
			}
			if r = utf16.DecodeRune(r, rune(units[i+1])); r == utf8.RuneError {
				return data
			}
			i++
		}
		out = utf8.AppendRune(out, r)
	}
	return out
}

// lineEnds makes every end of a line the same.
var lineEnds = strings.NewReplacer("\r\n", "\n", "\r", "\n")

// plain refuses what is no text, and gives it with plain line ends.
func plain(data []byte) (string, *misplaced) {
	if len(data) > largestFile {
		return "", &misplaced{Place{1, 1}, fault("brief.fault.large")}
	}
	data = bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))
	if at := odd(data); at >= 0 {
		place := placeOf(data, at)
		r, n := utf8.DecodeRune(data[at:])
		if r == utf8.RuneError && n <= 1 {
			return "", &misplaced{place, fault("brief.fault.encoding")}
		}
		return "", &misplaced{place, fault("brief.fault.character", "Character", fmt.Sprintf("U+%04X", r))}
	}
	return lineEnds.Replace(string(data)), nil
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
func crowded(text string) *misplaced {
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
			return crowd(at, "lines")
		}
		if dashes(body) > mostDashes {
			return crowd(at, "dashes")
		}
		if strings.HasPrefix(body, "-") {
			items++
		}
		if items > mostItems {
			return crowd(at, "items")
		}
		if c.depth > 0 {
			inside++
		} else if keysAt(level, body, at.Column) > mostKeys {
			return crowd(at, "level")
		}
		if inside > mostInside {
			return crowd(at, "inside")
		}
		if of := c.count(body); of != "" {
			return crowd(at, of)
		}
	}
	return nil
}

// census counts the signs of a file.
type census struct{ depth, marks, rare int }

// count counts a line and says of what there is too much, "" if of nothing.
func (c *census) count(body string) string {
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
			return "nest"
		}
	}
	if c.marks > mostMarks || c.rare > mostRare {
		return "values"
	}
	return ""
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
