package proof

import (
	"fmt"
	"strings"
	"testing"

	"raftwright/lang"
	"raftwright/packet"
	"raftwright/page"
)

// small gives the words of an element and of those in it that are smaller than they may be:
// running text, labels of drawings, and lists to look things up in, which are tables.
func small(e *element, text, label, table float64) []string {
	var out []string
	least := text
	switch {
	case e.kind == "Figure":
		least = label
	case strings.Contains(e.path, "/Table"):
		least = table
	}
	for _, s := range e.own {
		if s.said && s.least < least-0.005 {
			out = append(out, fmt.Sprintf("%s in %.1f points, wanted %g: %s", e.path, s.least, least, ending(s.text)))
		}
	}
	for _, k := range e.kids {
		out = append(out, small(k, text, label, table)...)
	}
	return out
}

// sized walks every run of words of a document. What is not read aloud is the foot, heads that
// are repeated, and the signs beside a warning, which are drawings.
func sized(t *testing.T, what string, doc page.Document, text, label, table, foot float64) {
	t.Helper()
	c := checked(opened(t, made(t, doc)))
	bad := small(c.top, text, label, table)
	for _, d := range c.decor {
		if len(d.words) > 1 && d.size < foot-0.005 {
			bad = append(bad, fmt.Sprintf("decoration in %.1f points: %q", d.size, d.words))
		}
	}
	for i, b := range bad {
		if i == 8 {
			t.Errorf("%s: and %d more", what, len(bad)-i)
			break
		}
		t.Errorf("%s: %s", what, b)
	}
}

// On the ten faces every word is 12 point or more, in tables too, and a label in a drawing 9 (the bar; no source says where reading fails).
func TestFacesAreLargeEnough(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	for _, name := range []string{"demo", "home"} {
		p := planned(t, "../../../examples/"+name+".yaml")
		for i := range 4 {
			tag, u := []string{"en", "es"}[i/2], []lang.Units{lang.US, lang.Metric}[i%2]
			words, err := lang.For(tag, u)
			if err != nil {
				t.Fatal(err)
			}
			for k, o := range []packet.Options{{}, {Paper: page.A4}} {
				if testing.Short() && (i+2*k)%4 != 0 {
					continue // the check measures each in every way
				}
				sized(t, fmt.Sprintf("%s, units %d, %s, %s", name, u, o.Paper, tag), packet.Faces(p.In(tag), words, o), 12, 9, 12, 9)
			}
		}
	}
}

// In large print every word is 18 point or more, as publishers of large print have it (from
// memory: the American Printing House's guidelines), in drawings too.
func TestLargePrintIsLarge(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	names, ways := []string{"demo", "minimal", "tank", "hard-water"}, []packet.Options{{Large: true}, {Large: true, Paper: page.A4}}
	if testing.Short() {
		names, ways = names[1:2], ways[:1]
	}
	words, err := lang.For("en", lang.US)
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range names {
		p := planned(t, "../../../examples/"+name+".yaml")
		for _, o := range ways {
			faces := packet.Faces(p, words, o)
			sized(t, fmt.Sprintf("faces of %s, %s", name, o.Paper), faces, 18, 18, 18, 18)
			sized(t, fmt.Sprintf("working of %s, %s", name, o.Paper), packet.Working(p, words, o), 18, 18, 18, 18)
			sized(t, fmt.Sprintf("class of %s, %s", name, o.Paper), packet.Class(p, words, o), 18, 18, 18, 18)
			tables(t, name, checked(opened(t, made(t, faces))).top)
		}
	}
}

// tables fails on a table in large print that is not one to write in: they are lists there.
func tables(t *testing.T, what string, e *element) {
	t.Helper()
	if e.kind == "Table" {
		rows := e.kids
		for _, row := range rows[min(1, len(rows)):] {
			if row.words() != "" {
				t.Errorf("%s: a table in large print: %q", what, e.words())
				return
			}
		}
	}
	for _, k := range e.kids {
		tables(t, what, k)
	}
}
