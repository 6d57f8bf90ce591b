package paper

import (
	"flag"
	"fmt"
	"os"
	"strings"
	"testing"
	"unicode"

	"raftwright/internal/gate"
)

var update = flag.Bool("update", false, "write the letters of the faces anew")

// Package gate, which knows no typeface, holds the letters of both faces (-update
// writes them anew).
func TestGateKnowsTheLettersOfTheFaces(t *testing.T) {
	both, err := faces()
	if err != nil {
		t.Fatal(err)
	}
	var spans [][2]rune
	has, wrong := 0, 0
	for r := rune(0x20); r <= unicode.MaxRune; r++ {
		printable := both[0].GlyphIndex(r) != 0 && both[1].GlyphIndex(r) != 0 && !gate.Refused(r)
		if printable != gate.Printable(r) {
			wrong++
		}
		if !printable {
			continue
		}
		has++
		if n := len(spans); n > 0 && spans[n-1][1] == r-1 {
			spans[n-1][1] = r
		} else {
			spans = append(spans, [2]rune{r, r})
		}
	}
	if has < 1000 {
		t.Fatalf("the faces have only %d letters", has)
	}
	if wrong == 0 {
		return
	}
	t.Errorf("gate is wrong about %d letters (-update writes them anew)", wrong)
	if *update {
		var b strings.Builder
		b.WriteString("package gate\n\n// letters are the spans of characters, first and last, that both faces of the paper\n// have. Written by the test of package press/paper; not to be edited.\nvar letters = [][2]rune{\n")
		for i, s := range spans {
			if i%8 == 0 {
				b.WriteString("\t")
			}
			fmt.Fprintf(&b, "{%#x, %#x},", s[0], s[1])
			if i%8 == 7 {
				b.WriteString("\n")
			} else {
				b.WriteString(" ")
			}
		}
		b.WriteString("\n}\n")
		if err := os.WriteFile("../../internal/gate/letters.go", []byte(b.String()), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}
