package lang

import "strings"

// marks are how a language writes numbers: the mark before the decimals and the
// one between thousands.
type marks struct{ decimal, thousand string }

// marksOf gives the marks of a language. What is not listed, English and Spanish
// among them, has those of the United States, as on the labels, tapes and scales
// that the reader holds. Source: the Unicode locale data (CLDR), held against in the tests.
func marksOf(language string) marks {
	switch language {
	case "de", "id", "it", "nl", "pt", "tr", "vi":
		return marks{",", "."}
	case "cs", "fr", "pl", "ru", "uk":
		return marks{",", "\u00a0"}
	}
	return marks{".", ","}
}

// write puts the marks into a number of plain digits ("-1234.5").
func (m marks) write(plain string) string {
	whole, decimals, broken := strings.Cut(plain, ".")
	first := len(strings.TrimPrefix(whole, "-")) % 3
	var out strings.Builder
	if strings.HasPrefix(whole, "-") {
		out.WriteByte('-')
		whole = whole[1:]
	}
	out.WriteString(whole[:first])
	for at := first; at < len(whole); at += 3 {
		if at > 0 {
			out.WriteString(m.thousand)
		}
		out.WriteString(whole[at : at+3])
	}
	if broken {
		out.WriteString(m.decimal + decimals)
	}
	return out.String()
}
