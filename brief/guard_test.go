package brief

import (
	"encoding/binary"
	"maps"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"
	"unicode/utf16"

	"pgregory.net/rapid"

	"raftwright/finding"
)

// sound tells what is wrong with a fault itself, "" if nothing: it must have a
// place within the file, say something and advise something, on one line.
func sound(f finding.Fault, text string) string {
	text = strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(text)
	lines := strings.Split(text, "\n")
	switch {
	case f.Line < 1 || f.Column < 1:
		return "is nowhere"
	case f.Line > len(lines):
		return "is below the end of the file"
	case what(f) == "" || right(f) == "":
		return "says nothing or advises nothing"
	case strings.ContainsAny(f.Error(), "\n\r\x00"):
		return "is not one line"
	case len(f.Error()) > 2000:
		return "is too long to read"
	}
	return ""
}

// answered parses any text and fails on a panic or on a fault that is none.
func answered(t interface {
	Helper()
	Errorf(string, ...any)
}, text string) finding.Faults {
	t.Helper()
	b, faults := Parse("f.yaml", []byte(text))
	if b == nil || b.File != "f.yaml" {
		t.Errorf("no brief for %.60q", text)
	}
	for i, f := range faults {
		if why := sound(f, text); why != "" {
			t.Errorf("a fault of %.60q %s: %v", text, why, f)
		}
		if i > 0 && (f.Line < faults[i-1].Line || f.Line == faults[i-1].Line && f.Column < faults[i-1].Column) {
			t.Errorf("the faults of %.60q are not in the order of the file", text)
		}
	}
	return faults
}

// Texts made to hurt: each is refused, and quickly enough that the whole test
// takes a second or two (BenchmarkHostile measures it). Without the bounds some
// of them take minutes or all memory.
func hostile() map[string]string {
	const n = 1<<20 - 50
	fill := func(s string) string { return strings.Repeat(s, n/len(s)) }
	out := map[string]string{"stairs": "", "keys of many items": "log:\n" + strings.Repeat("- a:\n"+strings.Repeat("  b: 1\n", 590), 250),
		"keys behind a bracket": "\"[\": 1\n" + fill("b: 1\n"), "keys of brackets": fill("[a]: 1\n")}
	for _, s := range []string{"[", "{", "]", "- ", "? ", ": ", "a: ", "&a ", "*a ", "!!a ", "%", "`", "@ ", "| ", "\"\" ", "'", ",", "<<: ", "- - - - - a:\n", "- a:\n", "b: 1\n", "a: &a 1\n", "- !!a\n", "? a\n", "---\na: 1\n", "a: [{b: 1}]\n", "{a: ", "[],", "\t", "\\"} {
		out["many "+s] = fill(s)
		out["after a key, many "+s] = "bed: " + fill(s)
		out["in a list, many "+s] = "bed: [" + fill(s)
		out["quoted, many "+s] = "bed: {depth: \"" + fill(s)
	}
	var stairs strings.Builder
	for i := 0; stairs.Len() < n-3000; i++ {
		stairs.WriteString(strings.Repeat(" ", i) + "a:\n")
	}
	out["stairs"] = stairs.String()
	bomb := "a: &a [x, x, x, x, x, x, x, x, x]\n"
	for c := 'b'; c <= 'z'; c++ {
		p := string(c - 1)
		bomb += string(c) + ": &" + string(c) + " [*" + p + strings.Repeat(", *"+p, 8) + "]\n"
	}
	out["anchors that explode"] = bomb
	out["merge keys"] = "a: &a {b: 1}\nbed:\n  <<: *a\n  <<: *a\n"
	return out
}

func TestHostileFilesAreRefused(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	texts := hostile()
	for _, name := range slices.Sorted(maps.Keys(texts)) {
		text := texts[name]
		// nothing but blanks is an empty brief
		if faults := answered(t, text); len(faults) == 0 && strings.Trim(text, "bed: \t") != "" {
			t.Errorf("%s: nothing is said", name)
		} else if len(faults) > mostFaults+1 {
			t.Errorf("%s: %d faults", name, len(faults))
		}
	}
}

func TestAHugeFileIsRefusedUnread(t *testing.T) {
	huge := make([]byte, 100<<20)
	copy(huge, "bed: {depth: 6 in}\n")
	b, faults := Parse("huge.yaml", huge)
	if len(faults) != 1 || !strings.Contains(what(faults[0]), "larger than 1 MB") || b.Bed.Depth.Given {
		t.Errorf("a file of 100 MB gives %v", faults)
	}
	if allocs := testing.AllocsPerRun(1, func() { Parse("huge.yaml", huge) }); allocs > 50 {
		t.Errorf("refusing it takes %v allocations", allocs)
	}
}

func TestALongLogIsRead(t *testing.T) {
	line := "- {at: 2027-05-03T08:00, ph: 6.4, ec: 1.5 mS/cm, water temperature: 24 C, depth: 5-1/4 in, added: {complete fertiliser: 30 g}}\n"
	long := 5000
	if testing.Short() {
		long = 500
	}
	b := mustParse(t, "log:\n"+strings.Repeat(line, long))
	if len(b.Log) != long {
		t.Errorf("read %d entries", len(b.Log))
	}
	if testing.Short() {
		return // the check counts to the limit
	}
	if _, faults := Parse("x", []byte("log:\n"+strings.Repeat(line, 5001))); len(faults) != 1 {
		t.Errorf("5001 entries give %v", faults)
	}
}

func TestPrettyJSONIsRead(t *testing.T) {
	entry := "    {\n      \"at\": \"2027-05-03T08:00\",\n      \"ph\": 6.4,\n      \"added\": {\n        \"Epsom salt\": \"12 g\"\n      }\n    }"
	b := mustParse(t, "{\n  \"log\": [\n"+strings.Repeat(entry+",\n", 1000)+entry+"\n  ]\n}\n")
	if len(b.Log) != 1001 {
		t.Errorf("read %d entries", len(b.Log))
	}
}

func TestManyFaultsAreCounted(t *testing.T) {
	text := "log:\n" + strings.Repeat("- {at: never, ph: 99}\n", 2000)
	faults := answered(t, text)
	if len(faults) != mostFaults+1 || !strings.Contains(what(faults[mostFaults]), "more faults") {
		t.Errorf("%d faults are told", len(faults))
	}
}

func TestAllFaultsAreToldAtOnce(t *testing.T) {
	faults := answered(t, "titel: x\nbed: {length: 8, width: 4 km, depth: 6 gal, holds: lots}\nwater: {ph: 99}\nunits: metrik\n")
	var at []int
	for _, f := range faults {
		at = append(at, f.Line)
	}
	if len(at) != 7 || at[0] != 1 || at[4] != 2 || at[5] != 3 || at[6] != 4 {
		t.Errorf("faults at lines %v: %v", at, faults)
	}
}

// What is wrong is told, what is right is understood.
func TestTheRestIsUnderstood(t *testing.T) {
	b, faults := Parse("x", []byte("bed: {length: 8 ft, width: wide, depth: 6 in}\nbad: 1\ncrop: {name: kale}\n"))
	if len(faults) != 2 || !b.Bed.Length.Given || b.Bed.Width.Given || !b.Bed.Depth.Given || b.Crop.Name.Value != "kale" {
		t.Errorf("%v\n%+v", faults, b.Bed)
	}
	if b.Bed.Width.At.Line != 1 {
		t.Error("the place of a wrong value is lost")
	}
}

func TestSyntaxFaults(t *testing.T) {
	for text, want := range map[string]string{
		"bed: {depth: 6 in\ncrop: {name: kale}\n": "bracket",
		"bed:\n\tdepth: 6 in\n":                   "not with a tab",
		"title: \"open\nbed: {}\n":                "quot",
		"bed: depth: 6 in\n":                      "lines of their own",
		"a: b\n c\nd: [\n":                        "bracket",
		"title: a: b\n":                           "between quotes",
		"%foo\n":                                  "indent",
		"bed: ]\n":                                "bracket",
	} {
		faults := answered(t, text)
		if len(faults) == 0 || !strings.Contains(what(faults[0])+right(faults[0]), want) {
			t.Errorf("%q gives %v, want something on %q", text, faults, want)
		}
	}
}

// A brief with one slip of the finger still gives sound faults.
func TestSlipsOfTheFinger(t *testing.T) {
	signs := []string{"", " ", ":", ",", "{", "}", "[", "]", "-", "\"", "'", "#", "\n", "\t", "&", "*", "!", "|", "?", "%", "é", "\x00", "\xff", "9", "x", "- ", ": "}
	rapid.Check(t, func(rt *rapid.T) {
		text := everything
		for range rapid.IntRange(1, 4).Draw(rt, "slips") {
			at := rapid.IntRange(0, len(text)-1).Draw(rt, "at")
			end := min(len(text), at+rapid.IntRange(0, 3).Draw(rt, "lost"))
			text = text[:at] + rapid.SampledFrom(signs).Draw(rt, "sign") + text[end:]
		}
		first, again := answered(rt, text), answered(rt, text)
		if first.Error() != again.Error() {
			rt.Fatalf("%v, then %v", first, again)
		}
	})
}

func FuzzParse(f *testing.F) {
	files, _ := filepath.Glob("../examples/*.yaml")
	for _, file := range files {
		if data, err := os.ReadFile(file); err == nil {
			f.Add(data)
		}
	}
	for _, c := range faultCases {
		f.Add([]byte(strings.Replace(c.text, "§", "", 1)))
	}
	f.Add([]byte(everything))
	f.Add([]byte("a: &a [*a]\n"))
	f.Add([]byte("\xef\xbb\xbfbed:\r\n  depth: 6 in\r\n"))
	f.Fuzz(func(t *testing.T, data []byte) { answered(t, string(data)) })
}

func BenchmarkParse(b *testing.B) {
	data := []byte(everything)
	b.ReportAllocs()
	for b.Loop() {
		if _, faults := Parse("x", data); faults != nil {
			b.Fatal(faults)
		}
	}
}

func BenchmarkHostile(b *testing.B) {
	for name, text := range hostile() {
		if len(text) < 5000 {
			continue
		}
		b.Run(strings.Fields(name)[0]+strings.Trim(strings.ReplaceAll(name[strings.LastIndex(name, " ")+1:], "\n", ""), " "), func(b *testing.B) {
			for b.Loop() {
				Parse("x", []byte(text))
			}
		})
	}
}

// A file in UTF-16 with its mark, as an editor of Windows may write it, is the same brief at the same places; one that breaks off or is cut in the
// middle of a letter is told as no text.
func TestWideText(t *testing.T) {
	text := "title: Jardín 🥬\r\nbed:\r\n  length: 8 fo\r\n"
	want, wrong := Parse("a", []byte(text))
	for name, order := range map[string]binary.ByteOrder{"low byte first": binary.LittleEndian, "high byte first": binary.BigEndian} {
		wide := func(units []uint16) []byte {
			data := make([]byte, 2*len(units))
			for i, u := range units {
				order.PutUint16(data[2*i:], u)
			}
			return data
		}
		units := utf16.Encode([]rune("\ufeff" + text))
		got, faults := Parse("a", wide(units))
		if !reflect.DeepEqual(got.Values(), want.Values()) || !reflect.DeepEqual(faults, wrong) || len(faults) == 0 {
			t.Errorf("%s: %v, %v; want %v, %v", name, got.Values(), faults, want.Values(), wrong)
		}
		for _, bad := range [][]byte{wide(units)[:41], wide(append([]uint16{0xfeff, 'a', ':', ' ', 0xd83e}, 'b')), wide([]uint16{0xfeff, 'a', 0xd83e}), wide(units)[2:]} {
			if _, faults := Parse("a", bad); len(faults) == 0 || faults[0].ID != "brief.fault.encoding" && faults[0].ID != "brief.fault.character" {
				t.Errorf("%s: %x is taken: %v", name, bad, faults)
			}
		}
	}
}
