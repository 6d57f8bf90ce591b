package page

import "strings"

// Run is a stretch of words in one weight and one language.
type Run struct {
	Text     string
	Bold     bool
	Language string // tag of BCP 47 where it is not the document's; else empty
	Of       string // the ID of the working of the figure that it is; else empty
}

// Runs splits a text at its pairs of stars and at the ends of what In and Door marked. A pair
// that is never closed makes the rest bold.
func (t Text) Runs() []Run {
	var out []Run
	var now strings.Builder
	bold, language, of := false, "", ""
	flush := func() {
		if now.Len() > 0 {
			out = append(out, Run{now.String(), bold, language, of})
			now.Reset()
		}
	}
	s := string(t)
	for i := 0; i < len(s); i++ {
		switch {
		case s[i] == '\\' && i+1 < len(s) && strings.IndexByte(marks, s[i+1]) >= 0:
			i++
			now.WriteByte(s[i])
		case strings.HasPrefix(s[i:], "[["):
			tag, _, ok := strings.Cut(s[i+2:], "|")
			switch {
			case ok && isTag(tag):
				flush()
				language = tag
			case ok && isFigure(tag):
				flush()
				of = tag
			default:
				now.WriteByte(s[i])
				continue
			}
			i += len("[[|") + len(tag) - 1
		case of != "" && strings.HasPrefix(s[i:], "]]"): // a figure stands within words, not around them
			flush()
			of = ""
			i++
		case language != "" && strings.HasPrefix(s[i:], "]]"):
			flush()
			language = ""
			i++
		case strings.HasPrefix(s[i:], "**"):
			flush()
			bold = !bold
			i++
		default:
			now.WriteByte(s[i])
		}
	}
	flush()
	return out
}

// Plain gives the words without marks.
func (t Text) Plain() string {
	var b strings.Builder
	for _, r := range t.Runs() {
		b.WriteString(r.Text)
	}
	return b.String()
}

// Bold gives the whole text in bold.
func Bold(s string) Text { return "**" + Literal(s) + "**" }

// In gives words of another language, which a screen reader then says as that language
// is said; it is a tag of BCP 47 ("es", "es-US"). Words marked inside stay marked as they
// are.
func In(language string, t Text) Text {
	if !isTag(language) {
		return t
	}
	return "[[" + Text(language) + "|" + t + "]]"
}

// Door gives a figure from which a page may lead to its working, by the working's ID ("frame.volume").
func Door(id string, t Text) Text {
	if !isFigure(id) || t == "" {
		return t
	}
	return "[[" + Text(id) + "|" + t + "]]"
}

// isFigure tells whether a word has the shape of the ID of a working: a trade, a point and a code.
func isFigure(s string) bool {
	trade, code, ok := strings.Cut(s, ".")
	return ok && trade != "" && code != "" && strings.Trim(trade, "abcdefghijklmnopqrstuvwxyz") == "" && strings.Trim(code, "abcdefghijklmnopqrstuvwxyz0123456789_") == ""
}

// isTag tells whether a word has the shape of a language: letters, then parts of letters
// and digits between dashes (RFC 5646, 2.1).
func isTag(s string) bool {
	for i, part := range strings.Split(s, "-") {
		if len(part) < 2 || len(part) > 8 || i == 0 && len(part) > 3 {
			return false
		}
		for _, c := range part {
			if (c|0x20 < 'a' || c|0x20 > 'z') && (i == 0 || c < '0' || c > '9') {
				return false
			}
		}
	}
	return true
}

// marks are the signs of the marks, which a backslash makes plain.
const marks = `*\[]`

// Literal gives words that may hold such signs, as a text without marks.
func Literal(s string) Text {
	if !strings.ContainsAny(s, marks) {
		return Text(s)
	}
	var b strings.Builder
	for i := range len(s) {
		if strings.IndexByte(marks, s[i]) >= 0 {
			b.WriteByte('\\')
		}
		b.WriteByte(s[i])
	}
	return Text(b.String())
}
