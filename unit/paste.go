package unit

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// A Sense is one way to read what was written.
type Sense[V any] struct {
	Value V
	Plain string // the same, written so that it can be read in this way only
	// Foot says that it is of a unit of feet, pounds or gallons, whose users write a comma between thousands and none for decimals.
	Foot bool
}

// signs turns the signs that people paste from a page or a word processor into
// those of a keyboard. Units are then matched in their plain spelling only.
var signs = strings.NewReplacer(
	"\t", " ", "\u2002", " ", "\u2003", " ", "\u2004", " ", "\u2005", " ", "\u2006", " ", "\u3000", " ", // wide spaces
	"\u00a0", thin, "\u2007", thin, "\u2008", thin, "\u2009", thin, "\u200a", thin, // no-break and thin ones
	"\u2212", "-", "\u2010", "-", "\u2011", "-", "\u2012", "-", "\u2013", "-", "\u2014", "-", "\ufe63", "-", "\uff0d", "-", // minus and dashes
	"\u2044", "/", "\u2215", "/", // strokes of fractions
	"\u201c", `"`, "\u201d", `"`, "\u201e", `"`, "\u2033", `"`, "\u02ba", `"`, // inch
	"\u2018", "'", "\u2019", "'", "\u2032", "'", "\u02bc", "'", "\u00b4", "'", // foot
	"\u00ba", "°", "\u02da", "°", "\u2103", "°C", "\u2109", "°F", "\u212a", "K",
	"\u00b5", "u", "\u03bc", "u",
)

// thin is the space that may stand between the thousands of one number.
const thin = "\u202f"

// Plain gives a text in the signs of a keyboard, with single spaces. Thin spaces
// between the digits of a number stay, for Senses to judge.
func Plain(text string) string {
	text = signs.Replace(text)
	text = strings.ReplaceAll(text, "''", `"`)
	var b strings.Builder
	last, all := ' ', []rune(text)
	for i, r := range all {
		next := rune(0)
		if i+1 < len(all) {
			next = all[i+1]
		}
		switch {
		case r == '\u202f' && !(isDigit(last) && isDigit(next)):
			r = ' '
		case (r == '²' || r == '³') && unicode.IsLetter(last) && next != '⁺' && next != '⁻':
			r = map[rune]rune{'²': '2', '³': '3'}[r]
		}
		if r == ' ' && (last == ' ' || last == '°') { // "25 ° C"
			continue
		}
		b.WriteRune(r)
		last = r
	}
	return strings.TrimRight(b.String(), " ")
}

func isDigit(r rune) bool { return r >= '0' && r <= '9' }

// ways gives the plain texts that a text with commas or thin spaces in its
// numbers can stand for: first the one with commas between the thousands, then
// the one with a decimal comma. All numbers of a text follow one of the two.
func ways(text string) []string {
	text = Plain(text)
	if !strings.ContainsAny(text, ","+thin) {
		return []string{text}
	}
	text = strings.ReplaceAll(text, ", ", " ") // "4 ft, 6 in"
	var out []string
	for _, mark := range []string{".", ","} {
		if way, ok := rewrite(text, mark); ok && (len(out) == 0 || out[0] != way) {
			out = append(out, way)
		}
	}
	return out
}

// rewrite writes every number of a text with a decimal point and without marks
// between the thousands, where mark is the decimal mark that was used.
func rewrite(text, mark string) (string, bool) {
	var b strings.Builder
	for text != "" {
		start := strings.IndexFunc(text, isDigit)
		if start < 0 {
			start = len(text)
		}
		b.WriteString(text[:start])
		text = text[start:]
		end := strings.IndexFunc(text, func(r rune) bool { return !isDigit(r) && r != '.' && r != ',' && r != '\u202f' })
		if end < 0 {
			end = len(text)
		}
		run := strings.TrimRight(text[:end], ".,"+thin)
		text = text[len(run):]
		if strings.ContainsAny(run, ","+thin) {
			var ok bool
			if run, ok = oneNumber(run, mark); !ok {
				return "", false
			}
		}
		b.WriteString(run)
	}
	return b.String(), true
}

// oneNumber writes "1,200.5" as "1200.5", or with a comma for a mark "1.200,5".
func oneNumber(run, mark string) (string, bool) {
	whole, part, cut := strings.Cut(run, mark)
	if cut && (part == "" || strings.ContainsAny(part, ".,"+thin)) {
		return "", false
	}
	between := thin
	if other := map[string]string{".": ",", ",": "."}[mark]; strings.Contains(whole, other) {
		between = other
	}
	if groups := strings.Split(whole, between); len(groups) > 1 {
		for i, g := range groups {
			if i > 0 && len(g) != 3 || i == 0 && (len(g) > 3 || strings.HasPrefix(g, "0")) {
				return "", false
			}
		}
		whole = strings.Join(groups, "")
	}
	if strings.ContainsAny(whole, ".,"+thin) {
		return "", false
	}
	if cut {
		return whole + "." + part, true
	}
	return whole, true
}

// senses reads a text in every way that it can be meant. A text that can be read
// in no way gives the complaint about the first.
func senses[V comparable](text string, read func(string) (V, error)) ([]Sense[V], error) {
	var out []Sense[V]
	var first error
	if utf8.RuneCountInString(text) > longest {
		return nil, Wrong("unit.fault.long", text, "Most", longest)
	}
	all := ways(text)
	if len(all) == 0 {
		return nil, Wrong("unit.fault.comma", text)
	}
	for _, way := range all {
		v, err := read(way)
		switch {
		case err != nil && first == nil:
			first = about(err, text)
		case err == nil && (len(out) == 0 || out[0].Value != v):
			out = append(out, Sense[V]{Value: v, Plain: way})
		}
	}
	if len(out) == 0 {
		return nil, first
	}
	return out, nil
}

// only gives the sense of a text that has but one.
func only[V any](text string, all []Sense[V], err error) (V, error) {
	var none V
	if err != nil {
		return none, err
	}
	if len(all) > 1 {
		return none, Wrong("unit.fault.two_ways", text, "First", all[0].Plain, "Second", all[1].Plain)
	}
	return all[0].Value, nil
}

// longest is the most characters that a written quantity has.
const longest = 100

// ParseError says what is wrong with a written quantity: a code whose sentence
// stands in lang, and what the sentence names. Args always has Text, as written;
// a figure in it is typed, a *Kind is printed as what it measures. What would be
// right is known to the one who wanted the quantity.
type ParseError struct {
	Code string
	Args map[string]any
}

// Error gives the code and the text, for tests and logs.
func (e *ParseError) Error() string { return e.Code + ": " + e.Args["Text"].(string) }

// Wrong makes an error of a code, the text as written, and pairs of a name and a value.
func Wrong(code, text string, pairs ...any) *ParseError {
	e := &ParseError{Code: code, Args: map[string]any{"Text": clip(text)}}
	for i := 0; i+1 < len(pairs); i += 2 {
		e.Args[pairs[i].(string)] = pairs[i+1]
	}
	return e
}

// about puts the text as it was written into an error about its plain form.
func about(err error, text string) error {
	if e, ok := err.(*ParseError); ok {
		e.Args["Text"] = clip(text)
	}
	return err
}

func clip(s string) string {
	r := []rune(strings.TrimSpace(s))
	if len(r) > 40 {
		return string(r[:40]) + "..."
	}
	return string(r)
}

// Pair takes two quantities apart that are joined by a cross: "4 ft × 8 ft". A
// unit that stands only behind the second is that of both: "48 x 96 in".
func Pair(s string) (first, second string, ok bool) {
	text := strings.NewReplacer("×", " x ", "X", "x", " by ", " x ").Replace(Plain(s))
	parts := strings.FieldsFunc(text, func(r rune) bool { return r == 'x' })
	if len(parts) != 2 {
		return "", "", false
	}
	first, second = strings.TrimSpace(parts[0]), strings.TrimSpace(parts[1])
	_, after, bad := number(first)
	_, unit, worse := number(second)
	if bad != "" || worse != "" {
		return "", "", false
	}
	if after == "" {
		first += " " + strings.TrimSpace(unit)
	}
	return strings.TrimSpace(first), second, true
}
