package brief

import (
	"fmt"
	"os"
	"reflect"
	"strings"
	"testing"

	"raftwright/finding"
)

// The list of keys in docs is made from the definition. After a change of the
// definition: UPDATE=1 go test ./brief -run TestListOfKeys
func TestListOfKeys(t *testing.T) {
	const file = "../docs/brief.md"
	want := keyList()
	if os.Getenv("UPDATE") != "" {
		if err := os.WriteFile(file, []byte(want), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	got, err := os.ReadFile(file)
	if err != nil || string(got) != want {
		t.Errorf("%s is not the list of this definition (%v); run the line above", file, err)
	}
}

func keyList() string {
	var out strings.Builder
	out.WriteString("# The keys of a brief\n\nMade from the definition in `brief/`; do not edit. Every section is optional. Quantities need their unit. " +
		"`[]` marks the items of a list. Faults and `raftwright set` name a key by the same path, with the number of an item from 0 (`shelf[0].name`) and with your own names " +
		"as they are (`prices.items.foam board`). `raftwright schema` prints the same for an editor, `raftwright new` writes a first brief.\n")
	for _, k := range Keys() {
		if !strings.ContainsAny(k.Path, ".[") && k.Example == "" {
			fmt.Fprintf(&out, "\n## %s\n\n%s.\n\n| key | meaning | example |\n|---|---|---|\n", k.Path, capital(say(string(k.Help), nil)))
			continue
		}
		if k.Path == "raftwright" {
			out.WriteString("\n## At the top\n\n| key | meaning | example |\n|---|---|---|\n")
		}
		help := capital(say(string(k.Help), nil))
		if k.Words != nil {
			help += ". One of: " + strings.Join(k.Words, ", ")
		}
		if k.Most != "" {
			help += " (" + say("brief.range", finding.Args{"Least": k.Least, "Most": k.Most, "Open": k.Open}) + ")"
		}
		if k.Required {
			help += ". **Needed**"
		}
		example := ""
		if k.Example != "" {
			example = "`" + k.Example + "`"
			if k.Metric != k.Example {
				example += " or `" + k.Metric + "`"
			}
		}
		fmt.Fprintf(&out, "| `%s` | %s | %s |\n", k.Path, help, example)
	}
	return out.String()
}

func capital(s string) string { return strings.ToUpper(s[:1]) + s[1:] }

// The values under some keys are those of all values that stand under them, in their order.
func TestValuesUnderSomeKeys(t *testing.T) {
	b, _ := Parse("", []byte("units: metric\nbed: {length: 2.4 m}\nmeter: {shows: ppm 500, checked: 2027-05-01}\nwater: {ph: 7}\nacid: citric\n"))
	var want []Value
	for _, v := range b.Values() {
		if v.Path.Under("meter") || v.Path.Under("acid") || v.Path == "units" {
			want = append(want, v)
		}
	}
	if got := b.ValuesUnder("units", "acid", "meter"); len(got) != 4 || !reflect.DeepEqual(got, want) {
		t.Errorf("%v for %v", got, want)
	}
	if len((&Brief{}).ValuesUnder("units")) > 0 {
		t.Error("of nothing there is something")
	}
}
