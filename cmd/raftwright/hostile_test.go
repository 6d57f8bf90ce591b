package main

import (
	"bytes"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	ics "github.com/arran4/golang-ical"

	"raftwright/answer"
	"raftwright/brief"
	"raftwright/examples"
	"raftwright/internal/gate"
	"raftwright/lang"
	"raftwright/packet"
	"raftwright/plan"
	"raftwright/press"
	"raftwright/press/testdata/gallery"
)

// free are the keys of free text: what a stranger writes there is printed as it is.
var free = regexp.MustCompile(`^(title|water\.name|shelf\[\d+\]\.name|prices\.place|cut\.pieces\[\d+\]\.name|found\.where)$`)

// planted is a brief with a text behind every free text of it, behind the gate of
// the reader.
func planted(t testing.TB, text string) (*brief.Brief, plan.Files) {
	t.Helper()
	b, faults := brief.Parse("x", examples.Demo)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	n := 0
	var walk func(path string, v reflect.Value)
	walk = func(path string, v reflect.Value) {
		switch v.Kind() {
		case reflect.Struct:
			if f, ok := v.Addr().Interface().(*brief.Field[string]); ok {
				if free.MatchString(path) && (f.Given || path == "title") {
					f.Value, f.Given = f.Value+text, true
					n++
				}
				return
			}
			for i := range v.NumField() {
				at := path
				if key := v.Type().Field(i).Tag.Get("key"); key != "" {
					at = strings.TrimPrefix(path+"."+key, ".")
				}
				if v.Type().Field(i).IsExported() {
					walk(at, v.Field(i))
				}
			}
		case reflect.Slice:
			for i := range v.Len() {
				walk(path+"["+string(rune('0'+i%10))+"]", v.Index(i))
			}
		}
	}
	walk("", reflect.ValueOf(b).Elem())
	if n < 4 {
		t.Fatalf("only %d texts are planted", n)
	}
	return b, plan.Files{}
}

// What gets past the reader's gate all the same comes out of no writer as more
// than text: the terminal, JSON, the page and the calendar.
func TestHostileTextOfAPlan(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	texts := gallery.Hostile
	if testing.Short() {
		texts = texts[:3]
	}
	for _, text := range texts {
		b, files := planted(t, text)
		p, faults := plan.Make(b, plan.DefaultBook(), files, plan.Everything)
		if len(faults) > 0 {
			continue // refused is as well
		}
		words, err := printer(p)
		if err != nil {
			t.Fatal(err)
		}
		var out bytes.Buffer
		if err := press.Text(packet.Answer(p, plan.Everything, words, true), &out, 100); err != nil {
			t.Fatal(err)
		}
		if r, at := gate.First(out.String(), true); at >= 0 {
			t.Errorf("%q brings %U to the terminal", text, r)
		}
		out.Reset()
		if err := answer.Write(&out, answer.For(p, plan.Everything, words, true)); err != nil {
			t.Errorf("%q: %v", text, err)
		}
		if !utf8.Valid(out.Bytes()) || bytes.ContainsRune(out.Bytes(), '\x1b') {
			t.Errorf("%q is not escaped in JSON", text)
		}
		out.Reset()
		if err := press.HTML(packet.Working(p, words, packet.Options{}), &out); err != nil {
			t.Fatal(err)
		}
		if page := out.String(); strings.Contains(page, "<script") || strings.Contains(page, "<img") || strings.Contains(page, "href=\"http") {
			t.Errorf("%q is not escaped in the page", text)
		}
		calendarIsSound(t, p, words)
	}
}

// dated is a plan with dates, made once.
func dated(t testing.TB, text string) (plan.Plan, *lang.Printer) {
	t.Helper()
	b, files := planted(t, text)
	p, faults := plan.Make(b, plan.DefaultBook(), files, plan.Season)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	words, err := printer(p)
	if err != nil {
		t.Fatal(err)
	}
	return p, words
}

// calendarIsSound reads the calendar back with the library: as many events as
// there are tasks, none with more than its own properties, lines of at most 75
// octets that end as RFC 5545, 3.1 says, and the title as it was written.
func calendarIsSound(t *testing.T, p plan.Plan, words *lang.Printer) {
	t.Helper()
	text := calendar(p, words)
	if !utf8.ValidString(text) {
		t.Fatalf("%q breaks the encoding", p.Title())
	}
	for _, line := range strings.Split(strings.TrimSuffix(text, "\r\n"), "\r\n") {
		if len(line) > 75 || strings.ContainsAny(line, "\r\n\x1b") {
			t.Fatalf("%q makes the line %q", p.Title(), line)
		}
	}
	back, err := ics.ParseCalendar(strings.NewReader(text))
	if err != nil {
		t.Fatalf("%q: %v", p.Title(), err)
	}
	if len(back.Components) != len(p.Season.Tasks) {
		t.Fatalf("%q makes %d parts of %d tasks", p.Title(), len(back.Components), len(p.Season.Tasks))
	}
	for _, c := range back.Components {
		for _, property := range c.UnknownPropertiesIANAProperties() {
			switch property.IANAToken {
			case "UID", "DTSTAMP", "DTSTART", "DTEND", "TRANSP", "SUMMARY", "DESCRIPTION":
			default:
				t.Fatalf("%q puts %s into an event", p.Title(), property.IANAToken)
			}
		}
	}
	for _, property := range back.CalendarProperties {
		if property.IANAToken == "NAME" && ics.FromText(property.Value) != gate.Clean(p.Title()) && property.Value != gate.Clean(p.Title()) {
			t.Fatalf("the name is %q, not %q", property.Value, p.Title())
		}
	}
}

func FuzzCalendar(f *testing.F) {
	p, words := dated(f, "")
	if p.Season == nil || len(p.Season.Tasks) < 3 {
		f.Fatal("the demonstration has no dates")
	}
	for _, s := range gallery.Hostile {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		named := *p.Brief
		named.Title.Value = s
		of := p
		of.Brief = &named
		calendarIsSound(t, of, words)
	})
}

// A text that the gate refuses is shown by what reads a brief, in the column of what was typed, and told as a fault: neither sends to the terminal what the text
// would have it do.
func TestRefusedTextsReachNoTerminal(t *testing.T) {
	brief := `title: "a\e[31mb\x07c\rd\u202Ee\u2028f"` + "\nbed: {length: \"8\\e[31m ft\", width: 4 ft}\n\"ti\\e]0;x\\x07tle\": y\nshelf: [{name: \"x\\e]0;t\\x07\", label: 20-20-20}]\n"
	for _, args := range [][]string{{"read", "-"}, {"read", "-", "--json"}, {"plan", "-"}, {"plan", "-", "--partial"}, {"season", "-"}, {"set", "-", "bed.width=5 ft"}, {"set", "-", "title=\x1b[31m"}} {
		got := tell(brief, args...)
		for _, text := range []string{got.out, got.err} {
			if r, at := gate.First(text, true); at >= 0 && r != utf8.RuneError && (r < 0xa0 || !slices.Contains(args, "--json")) { // JSON is for programs, which turn no direction
				t.Errorf("%v: %U at %d of %.200q", args, r, at, text)
			}
		}
		if got.out+got.err == "" {
			t.Errorf("%v tells nothing", args)
		}
	}
}
