package page

import "strings"

// Run is a stretch of words in one weight.
type Run struct {
	Text string
	Bold bool
}

// Runs splits a text at its pairs of stars. A pair that is never closed makes
// the rest bold.
func (t Text) Runs() []Run {
	var out []Run
	var now strings.Builder
	bold := false
	flush := func() {
		if now.Len() > 0 {
			out = append(out, Run{now.String(), bold})
			now.Reset()
		}
	}
	s := string(t)
	for i := 0; i < len(s); i++ {
		switch {
		case s[i] == '\\' && i+1 < len(s) && (s[i+1] == '*' || s[i+1] == '\\'):
			i++
			now.WriteByte(s[i])
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

// Literal gives words that may hold stars, as a text without marks.
func Literal(s string) Text {
	if !strings.ContainsAny(s, `*\`) {
		return Text(s)
	}
	return Text(strings.NewReplacer(`\`, `\\`, "*", `\*`).Replace(s))
}
