package lang

import (
	"encoding/csv"
	"maps"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

// quotes are the files whose sentences hold what is typed into a brief or a command, in which
// English words stay English.
var quotes = regexp.MustCompile(`^(fault|help|brief|work_|product|read)`)

// Where an English sentence holds a term of the list, the Spanish one holds its rendering: a
// term has one name all through. The list and its exceptions are in testdata.
func TestTermsAreKept(t *testing.T) {
	also := map[string][]string{}
	for _, row := range rows(t, "testdata/senses.csv") {
		also[row[0]] = strings.Split(row[1], ";")
		if row[1] == "*" && row[2] == "" {
			t.Errorf("%s is left out without a reason", row[0])
		}
	}
	checked, terms := 0, map[string]*regexp.Regexp{}
	rendered := map[string][][]string{}
	brackets := regexp.MustCompile(`\([^)]*\)`)
	for _, row := range rows(t, "testdata/terms.csv") {
		for term := range strings.SplitSeq(brackets.ReplaceAllString(row[0], ""), ",") {
			term = strings.TrimPrefix(strings.TrimSpace(term), "to ")
			if len(term) < 3 || slices.Contains(also[term], "*") {
				continue
			}
			terms[term] = regexp.MustCompile(`(?i)(^|[^\pL{.-])` + regexp.QuoteMeta(term) + `(s|es)?([^\pL}-]|$)`)
			for said := range strings.SplitSeq(strings.ReplaceAll(brackets.ReplaceAllString(row[1], ""), ";", ","), ",") {
				if stems := stemsOf(said); len(stems) > 0 {
					rendered[term] = append(rendered[term], stems)
				}
			}
			for _, stem := range also[term] {
				rendered[term] = append(rendered[term], strings.Fields(stem))
			}
		}
	}
	placeholder := regexp.MustCompile(`\{\{[^}]*\}\}`)
	for _, name := range filesOf(t, "es") {
		if quotes.MatchString(name) {
			continue
		}
		en, es := fileOf(t, "en/"+name), fileOf(t, "es/"+name)
		for _, id := range slices.Sorted(maps.Keys(en)) {
			if strings.HasPrefix(id, "replace.") {
				continue // names keys
			}
			english, spanish := placeholder.ReplaceAllString(en[id], "0"), " "+bare(placeholder.ReplaceAllString(es[id], "0"))
			low := strings.ToLower(english)
			for term, finds := range terms {
				if !strings.Contains(low, strings.ToLower(term)) || !finds.MatchString(english) {
					continue
				}
				checked++
				if !slices.ContainsFunc(rendered[term], func(stems []string) bool {
					return !slices.ContainsFunc(stems, func(s string) bool { return !strings.Contains(spanish, s) })
				}) {
					t.Errorf("%s: %q is %v in the list of terms, not so in\n%q\n%q", id, term, rendered[term], en[id], es[id])
				}
			}
		}
	}
	if checked < 2000 {
		t.Errorf("only %d terms were met", checked)
	}
}

// rows reads a table of testdata without its head.
func rows(t *testing.T, name string) [][]string {
	t.Helper()
	in, err := os.Open(name)
	if err != nil {
		t.Fatal(err)
	}
	defer in.Close()
	r := csv.NewReader(in)
	r.Comment = '#'
	all, err := r.ReadAll()
	if err != nil || len(all) < 2 {
		t.Fatal(name, len(all), err)
	}
	return all[1:]
}

// bare gives small letters without accents.
func bare(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.Is(unicode.Mn, r) {
			return -1
		}
		return r
	}, norm.NFD.String(strings.ToLower(s)))
}

// stemsOf gives the beginnings of the words of a rendering that carry its sense.
func stemsOf(said string) []string {
	words := strings.FieldsFunc(bare(said), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) })
	var out []string
	for _, w := range words {
		if len(words) > 1 && len(w) < 4 {
			continue
		}
		if len(w) > 4 {
			w = w[:max(3, len(w)-3)]
		}
		out = append(out, w)
	}
	return out
}
