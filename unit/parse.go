package unit

import (
	"math"
	"sort"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Kind is a set of units that measure the same thing.
type Kind struct {
	Name  string  // what is measured, a key of lang: "length"
	units []named // first spelling of each is the one to suggest
	sums  bool    // "4 ft 6 in" is allowed
}

type named struct {
	name    string
	factor  float64
	offset  float64 // added after the factor; only temperatures have one
	metric  bool    // of the metric system; the two are not added
	spanish bool    // a name of it that Spanish has
}

// Units lists the spellings that this kind understands, sorted.
func (k *Kind) Units() []string {
	out := make([]string, 0, len(k.units))
	for _, u := range k.units {
		out = append(out, u.name)
	}
	sort.Strings(out)
	return out
}

// Senses reads a quantity of this kind in SI (degrees Celsius for temperatures).
// It gives one sense, or two where a comma can stand between thousands or be a
// decimal comma ("1,200 ft"): the one who knows the range of the figure chooses.
// The error is a *ParseError.
func (k *Kind) Senses(s string) ([]Sense[float64], error) {
	all, err := senses(s, k.read)
	for i := range all {
		_, after, _ := number(all[i].Plain)
		u, _ := k.match(after)
		all[i].Foot = k.sums && k != DurationKind && !u.metric
	}
	return all, err
}

// Parse reads a quantity that can be meant in one way only. The error is a *ParseError.
func (k *Kind) Parse(s string) (float64, error) {
	all, err := k.Senses(s)
	return only(s, all, err)
}

// read reads a plain text: numbers, each with its unit, from the largest unit to
// the smallest.
func (k *Kind) read(text string) (float64, error) {
	if text == "" {
		return 0, Wrong("unit.fault.empty", text, "Kind", k)
	}
	var sum float64
	var last named
	rest, negative := text, strings.HasPrefix(text, "-")
	for part := 0; rest != ""; part++ {
		x, after, bad := number(rest)
		switch {
		case bad == noNumber && part > 0:
			return 0, Wrong("unit.fault.rest", text, "Rest", clip(rest))
		case bad != "":
			return 0, Wrong(bad, text, "Part", clip(rest))
		case part > 3:
			return 0, Wrong("unit.fault.many_parts", text)
		}
		u, n := k.match(after)
		if n < 0 {
			return 0, k.noUnit(text, strings.TrimLeft(after, " -"))
		}
		v := x*u.factor + u.offset
		if part > 0 {
			if bad := k.follows(last, u, x, rest); bad != "" {
				return 0, Wrong(bad, text, "Unit", u.name, "Before", last.name)
			}
			if negative {
				v = -v
			}
		}
		sum += v
		last, rest = u, strings.TrimLeft(after[n:], " ")
	}
	if math.IsNaN(sum) || math.IsInf(sum, 0) {
		return 0, Wrong(notFinite, text)
	}
	return sum, nil
}

// follows says what is wrong with x of a unit after one of another, "" if nothing:
// a carpenter says 8 ft 1 in, never 8 ft 8 ft, 1 in 8 ft, 8 ft 14 in or 2 ft 3 cm.
func (k *Kind) follows(last, u named, x float64, written string) string {
	switch {
	case !k.sums:
		return "unit.fault.two_numbers"
	case written[0] == '-' || written[0] == '+':
		return "unit.fault.minus_inside"
	case u.metric != last.metric:
		return "unit.fault.mixed"
	case u.factor >= last.factor*(1-1e-9):
		return "unit.fault.order"
	case x*u.factor >= last.factor*(1-1e-9):
		return "unit.fault.over"
	}
	return ""
}

// match finds the longest unit that s starts with and that ends at a word's end,
// and how much of s it takes; -1 if there is none. "6-inch" and "6 in." are
// written too.
func (k *Kind) match(s string) (named, int) {
	body := strings.TrimLeft(s, " ")
	if len(body) > 1 && body[0] == '-' && isWord(body[1]) && !isDigit(rune(body[1])) {
		body = body[1:]
	}
	best, most := named{}, -1
	for _, u := range k.units {
		n := len(u.name)
		if n <= most || len(body) < n || !strings.EqualFold(body[:n], u.name) || !ends(u.name, body[n:]) {
			continue
		}
		best, most = u, n
	}
	if most < 0 {
		return best, -1
	}
	if after := body[most:]; after == "." || strings.HasPrefix(after, ". ") {
		most++
	}
	return best, len(s) - len(body) + most
}

// ends tells whether a unit ends before what follows it.
func ends(name, after string) bool {
	if after == "" {
		return true
	}
	c := after[0]
	if c == '.' {
		return after == "." || after[1] == ' '
	}
	return c < utf8.RuneSelf && !(isWord(name[len(name)-1]) && (isWord(c) || c == '/' || c == '^'))
}

func isWord(c byte) bool {
	return c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c >= '0' && c <= '9'
}

// noUnit says what stands where a unit is wanted: nothing, the unit of another
// kind, or a word that is near to one.
func (k *Kind) noUnit(text, written string) error {
	word := written
	if i := strings.IndexFunc(word, unicode.IsSpace); i > 0 {
		word = word[:i]
	}
	if word == "" {
		return Wrong("unit.fault.no_unit", text, "Kind", k)
	}
	for _, other := range Kinds() {
		if _, n := other.match(word); n == len(word) && other != k {
			return Wrong("unit.fault.other_kind", text, "Word", clip(word), "Other", other, "Kind", k)
		}
	}
	best, least := "", 3
	for _, u := range k.units {
		if u.spanish {
			continue
		}
		if d := Letters(strings.ToLower(word), strings.ToLower(u.name)); d < least {
			best, least = u.name, d
		}
	}
	if best != "" && isWord(word[0]) { // "1/0" is no word
		return Wrong("unit.fault.near_unit", text, "Word", clip(word), "Near", best, "Kind", k)
	}
	return Wrong("unit.fault.not_unit", text, "Word", clip(word), "Kind", k)
}

// Letters is how many letters of one short word must be changed, added, taken away or
// swapped with the next to make the other (Damerau 1964, no letter twice); 99 for words
// of over 24 bytes.
func Letters(a, b string) int {
	if len(a) > 24 || len(b) > 24 {
		return 99
	}
	var rows [3][25]int
	row, above, before := rows[0][:len(b)+1], rows[1][:len(b)+1], rows[2][:len(b)+1]
	for j := range row {
		row[j] = j
	}
	for i := 1; i <= len(a); i++ {
		before, above, row = above, row, before
		row[0] = i
		for j := 1; j <= len(b); j++ {
			cost := 1
			if a[i-1] == b[j-1] {
				cost = 0
			}
			row[j] = min(above[j]+1, row[j-1]+1, above[j-1]+cost)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
		}
	}
	return row[len(b)]
}

// unaccented takes the accents of Spanish from small letters.
var unaccented = strings.NewReplacer("á", "a", "é", "e", "í", "i", "ó", "o", "ú", "u", "ü", "u", "ñ", "n")

// Fold gives a text as words are compared: in small letters, without accents, single spaces.
func Fold(s string) string {
	return unaccented.Replace(strings.Join(strings.Fields(strings.ToLower(s)), " "))
}

// Near gives the name nearest to what was written, or "" if none is near.
func Near(written string, names []string) string {
	best, least := "", 1+max(1, len(written)/3)
	written = strings.ToLower(written)
	for _, n := range names {
		if longer := len(n) - len(written); max(longer, -longer) >= least {
			continue // so many letters must be added or taken away at least
		}
		if d := Letters(written, strings.ToLower(n)); d < least {
			best, least = n, d
		}
	}
	return best
}

// What can be wrong with a number.
const (
	noNumber  = "unit.fault.no_number"
	notFinite = "unit.fault.not_finite"
	topHeavy  = "unit.fault.fraction" // "5-9/8": a fraction of 1 or more after a whole number
)

// number reads "6", "-2.5", "1e3", "3/4", "1-1/2", "1 1/2", "1½" from the front;
// bad is the code of what is wrong, "" if nothing is.
func number(s string) (x float64, rest, bad string) {
	sign := 1.0
	if strings.HasPrefix(s, "-") {
		sign = -1
	}
	s = strings.TrimPrefix(strings.TrimPrefix(s, "-"), "+")
	if part, after, ok := fraction(s); ok {
		return sign * part, after, ""
	}
	figure := decimal(s)
	if figure == "" {
		return 0, s, noNumber
	}
	x, err := strconv.ParseFloat(figure, 64)
	if err != nil {
		return 0, s, notFinite
	}
	rest = s[len(figure):]
	if strings.Trim(figure, "0123456789") != "" {
		return sign * x, rest, ""
	}
	if part, after, ok := fraction(strings.TrimPrefix(strings.TrimLeft(rest, " "), "-")); ok { // only after a whole number
		if part >= 1 {
			return 0, s, topHeavy
		}
		return sign * (x + part), after, ""
	}
	return sign * x, rest, ""
}

var vulgar = map[rune]float64{
	'½': 1. / 2, '¼': 1. / 4, '¾': 3. / 4, '⅛': 1. / 8, '⅜': 3. / 8, '⅝': 5. / 8, '⅞': 7. / 8,
	'⅓': 1. / 3, '⅔': 2. / 3,
}

// fraction reads "3/4" or "¾" from the front.
func fraction(s string) (x float64, rest string, ok bool) {
	r, n := utf8.DecodeRuneInString(s)
	if v, is := vulgar[r]; is {
		return v, s[n:], true
	}
	over := digits(s)
	if rest, ok = strings.CutPrefix(s[over:], "/"); !ok || over == 0 {
		return 0, s, false
	}
	under := digits(rest)
	a, _ := strconv.ParseFloat(s[:over], 64)
	b, err := strconv.ParseFloat(rest[:under], 64)
	if err != nil || b == 0 || math.IsInf(a/b, 0) {
		return 0, s, false
	}
	return a / b, rest[under:], true
}

// digits counts the digits that s starts with.
func digits(s string) int { return len(s) - len(strings.TrimLeft(s, "0123456789")) }

// decimal gives the decimal number that s starts with, "" if it starts with none.
func decimal(s string) string {
	n := digits(s)
	if strings.HasPrefix(s[n:], ".") {
		part := digits(s[n+1:])
		if n+part == 0 {
			return ""
		}
		n += 1 + part
	}
	// an exponent only when digits follow: "1e3", but "3 e" is a unit's business
	if n > 0 && n < len(s) && (s[n] == 'e' || s[n] == 'E') {
		mark := n + 1
		if mark < len(s) && (s[mark] == '-' || s[mark] == '+') {
			mark++
		}
		if power := digits(s[mark:]); power > 0 {
			n = mark + power
		}
	}
	return s[:n]
}

// NumberSenses reads a plain number with nothing after it, also "1-1/2"; two
// senses as for Kind.Senses. The error is a *ParseError.
func NumberSenses(s string) ([]Sense[float64], error) {
	return senses(s, func(text string) (float64, error) {
		x, rest, bad := number(text)
		if bad == topHeavy || bad == notFinite {
			return 0, Wrong(bad, text, "Part", clip(text))
		}
		if bad != "" || rest != "" {
			return 0, Wrong("unit.fault.not_number", text)
		}
		return x, nil
	})
}

// ParseNumber reads a plain number that can be meant in one way only.
func ParseNumber(s string) (float64, error) {
	all, err := NumberSenses(s)
	return only(s, all, err)
}
