package unit

import (
	"fmt"
	"math"
	"sort"
	"strconv"
	"strings"
	"unicode"
)

// ParseError says what is wrong with a written quantity and what would be right.
type ParseError struct {
	Text  string // as written
	What  string // what is wrong, in a few words
	Right string // an example that would be right
}

// Error joins the parts into one line.
func (e *ParseError) Error() string {
	return fmt.Sprintf("%q %s; write for example %s", clip(e.Text), e.What, e.Right)
}

func clip(s string) string {
	r := []rune(s)
	if len(r) > 40 {
		return string(r[:40]) + "..."
	}
	return s
}

// Kind is a set of units that measure the same thing.
type Kind struct {
	Name    string  // what is measured: "length"
	Example string  // a right example: "8 ft, 6-1/2 in or 1.2 m"
	units   []named // first spelling of each is the one to suggest
	sums    bool    // "4 ft 6 in" is allowed
}

type named struct {
	name   string
	factor float64
	offset float64 // added after the factor; only temperatures have one
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

// Parse reads a quantity of this kind and gives it in SI (degrees Celsius for
// temperatures). The error is a *ParseError.
func (k *Kind) Parse(s string) (float64, error) {
	rest, sum, terms := strings.TrimSpace(s), 0.0, 0
	fail := func(what string) (float64, error) {
		return 0, &ParseError{Text: s, What: what, Right: k.Example}
	}
	if rest == "" {
		return fail("is empty; a " + k.Name + " is wanted here")
	}
	negative := false
	for rest != "" {
		x, after, ok := number(rest)
		if !ok {
			if terms == 0 {
				return fail("does not start with a number")
			}
			return fail("has something after the " + k.Name + " that is not understood")
		}
		if terms == 0 {
			negative = strings.HasPrefix(rest, "-")
		}
		after = strings.TrimLeft(after, " ")
		u, n := k.match(after)
		if n < 0 {
			if after == "" {
				return fail("has no unit")
			}
			return fail("has a unit that is not a " + k.Name + suggest(after, k))
		}
		v := x*u.factor + u.offset
		if terms > 0 {
			if !k.sums || u.offset != 0 {
				return fail("has two numbers where one is wanted")
			}
			if x < 0 {
				return fail("has a minus sign in the middle")
			}
			if negative {
				v = -v
			}
		}
		sum += v
		terms++
		if terms > 4 {
			return fail("has too many parts")
		}
		rest = strings.TrimLeft(after[n:], " ")
	}
	if math.IsNaN(sum) || math.IsInf(sum, 0) {
		return fail("is not a finite number")
	}
	return sum, nil
}

// match finds the longest unit that s starts with and that ends at a word end.
func (k *Kind) match(s string) (named, int) {
	best, n := named{}, -1
	low := strings.ToLower(s)
	for _, u := range k.units {
		if len(u.name) <= n || !strings.HasPrefix(low, strings.ToLower(u.name)) {
			continue
		}
		if len(low) > len(u.name) {
			r := rune(low[len(u.name)])
			last := u.name[len(u.name)-1]
			if isWord(last) && (isWord(byte(r)) || r == '/' || r == '.' || r == '^') || r >= 0x80 {
				continue
			}
		}
		best, n = u, len(u.name)
	}
	return best, n
}

func isWord(c byte) bool {
	return c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c >= '0' && c <= '9'
}

// suggest names the unit of the kind that is nearest to what was written, and
// says what a wrong unit measures, if that is known.
func suggest(written string, k *Kind) string {
	word := written
	if i := strings.IndexFunc(word, unicode.IsSpace); i > 0 {
		word = word[:i]
	}
	for _, other := range Kinds() {
		if other.Name == k.Name {
			continue
		}
		if _, n := other.match(word); n == len(word) && n > 0 {
			return fmt.Sprintf(" (%s is a %s)", clip(word), other.Name)
		}
	}
	best, least := "", 3
	for _, u := range k.units {
		if d := distance(strings.ToLower(word), strings.ToLower(u.name)); d < least {
			best, least = u.name, d
		}
	}
	if best != "" {
		return fmt.Sprintf(" (did you mean %s?)", best)
	}
	return ""
}

// distance is the Levenshtein distance, for short words.
func distance(a, b string) int {
	if len(a) > 24 || len(b) > 24 {
		return 99
	}
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := 1; i <= len(a); i++ {
		last := row[0]
		row[0] = i
		for j := 1; j <= len(b); j++ {
			cost := 1
			if a[i-1] == b[j-1] {
				cost = 0
			}
			last, row[j] = row[j], min(row[j]+1, row[j-1]+1, last+cost)
		}
	}
	return row[len(b)]
}

// Near gives the name nearest to what was written, or "" if none is near.
func Near(written string, names []string) string {
	best, least := "", 1+max(1, len(written)/3)
	for _, n := range names {
		if d := distance(strings.ToLower(written), strings.ToLower(n)); d < least {
			best, least = n, d
		}
	}
	return best
}

var vulgar = map[rune]float64{
	'½': 1. / 2, '¼': 1. / 4, '¾': 3. / 4, '⅛': 1. / 8, '⅜': 3. / 8, '⅝': 5. / 8, '⅞': 7. / 8,
	'⅓': 1. / 3, '⅔': 2. / 3,
}

// number reads "6", "-2.5", "1e3", "3/4", "1-1/2", "1 1/2", "1½" from the front.
func number(s string) (x float64, rest string, ok bool) {
	neg := false
	t := s
	if strings.HasPrefix(t, "-") || strings.HasPrefix(t, "+") {
		neg = t[0] == '-'
		t = t[1:]
	}
	whole, t, got := decimal(t)
	if got {
		// "1-1/2" and "1 1/2": a mixed number, only after a whole number.
		if u := strings.TrimLeft(t, " "); u != "" {
			if u[0] == '-' {
				u = u[1:]
			}
			if a, b, after, isFrac := fraction(u); isFrac && u != t && whole == math.Trunc(whole) {
				x, t, got = whole+a/b, after, true
				goto done
			}
		}
		if strings.HasPrefix(t, "/") {
			if d, after, isNum := decimal(t[1:]); isNum && d != 0 {
				x, t = whole/d, after
				goto done
			}
		}
		x = whole
	}
	for r, v := range vulgar {
		if strings.HasPrefix(t, string(r)) {
			x, t, got = x+v, t[len(string(r)):], true
			break
		}
	}
done:
	if neg {
		x = -x
	}
	return x, t, got
}

func fraction(s string) (a, b float64, rest string, ok bool) {
	a, s, ok = digits(s)
	if !ok || !strings.HasPrefix(s, "/") {
		return 0, 0, "", false
	}
	b, s, ok = digits(s[1:])
	if !ok || b == 0 {
		return 0, 0, "", false
	}
	return a, b, s, true
}

func digits(s string) (float64, string, bool) {
	i := 0
	for i < len(s) && s[i] >= '0' && s[i] <= '9' {
		i++
	}
	if i == 0 || i > 18 {
		return 0, s, false
	}
	x, err := strconv.ParseFloat(s[:i], 64)
	return x, s[i:], err == nil
}

func decimal(s string) (float64, string, bool) {
	i, seen := 0, false
	for i < len(s) && (s[i] >= '0' && s[i] <= '9' || s[i] == '.' && !strings.Contains(s[:i], ".")) {
		seen = seen || s[i] != '.'
		i++
	}
	if !seen {
		return 0, s, false
	}
	// an exponent only when digits follow: "1e3", but "3 e" is a unit's business
	if i < len(s) && (s[i] == 'e' || s[i] == 'E') {
		j := i + 1
		if j < len(s) && (s[j] == '-' || s[j] == '+') {
			j++
		}
		k := j
		for k < len(s) && s[k] >= '0' && s[k] <= '9' {
			k++
		}
		if k > j {
			i = k
		}
	}
	x, err := strconv.ParseFloat(s[:i], 64)
	return x, s[i:], err == nil
}

// ParseNumber reads a plain number, also "1-1/2", with nothing after it.
func ParseNumber(s string) (float64, error) {
	x, rest, ok := number(strings.TrimSpace(s))
	if !ok || strings.TrimSpace(rest) != "" || math.IsInf(x, 0) || math.IsNaN(x) {
		return 0, &ParseError{Text: s, What: "is not a plain number", Right: "8"}
	}
	return x, nil
}
