package packet_test

import (
	"bytes"
	"flag"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode"

	"github.com/google/go-cmp/cmp"

	"raftwright/brief"
	"raftwright/draw"
	"raftwright/finding"
	"raftwright/lang"
	"raftwright/packet"
	"raftwright/page"
	"raftwright/plan"
	"raftwright/press"
	"raftwright/press/paper"
	"raftwright/tend"
	"raftwright/unit"
)

var update = flag.Bool("update", false, "write the golden files anew")

// examples lists the briefs of the examples folder.
func examples(t testing.TB) []string {
	t.Helper()
	list, err := filepath.Glob("../examples/*.yaml")
	if err != nil || len(list) < 5 {
		t.Fatalf("%d examples, %v", len(list), err)
	}
	return list
}

// someExamples lists every third example where time is short; the check takes all.
func someExamples(t testing.TB) []string {
	list := examples(t)
	if !testing.Short() {
		return list
	}
	var some []string
	for i := 0; i < len(list); i += 3 {
		some = append(some, list[i])
	}
	return some
}

// plans keeps what was planned: a plan is a value, and making it anew is tested
// where the same bytes are asked for.
var plans = map[string]plan.Plan{}

// planOf plans an example once.
func planOf(t testing.TB, path string) plan.Plan {
	t.Helper()
	if p, ok := plans[path]; ok {
		return p
	}
	plans[path] = planAnew(t, path)
	return plans[path]
}

// planAnew plans an example, read with the climate files beside it.
func planAnew(t testing.TB, path string) plan.Plan {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	b, faults := brief.Parse(path, data)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	files := plan.Files{}
	for _, f := range b.Site.Climate {
		if files[f.Value], err = os.ReadFile(filepath.Join(filepath.Dir(path), f.Value)); err != nil {
			t.Fatal(err)
		}
	}
	p := plan.Job{Brief: b, Learn: tend.Learn, Book: plan.DefaultBook(), Files: files, Asked: plan.Everything}.Make(nil)
	faults = p.Faults
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	return p
}

func words(t testing.TB, u lang.Units) *lang.Printer {
	t.Helper()
	w, err := lang.For("en", u)
	if err != nil {
		t.Fatal(err)
	}
	return w
}

// told prints a document as plain text.
func told(t testing.TB, d page.Document) string {
	t.Helper()
	var out bytes.Buffer
	if err := press.Text(d, &out, 100); err != nil {
		t.Fatal(err)
	}
	return out.String()
}

// walk calls each block of a document, those inside others too.
func walk(d page.Document, each func(s page.Section, b page.Block)) {
	var blocks func(s page.Section, list []page.Block)
	blocks = func(s page.Section, list []page.Block) {
		for _, b := range list {
			each(s, b)
			switch b := b.(type) {
			case page.Together:
				blocks(s, b.Blocks)
			case page.Beside:
				for _, c := range b.Columns {
					blocks(s, c)
				}
			}
		}
	}
	for _, s := range d.Sections {
		blocks(s, s.Blocks)
	}
}

// Everything that the whole job for one bed promises on paper is there.
func TestDemoHasEverySection(t *testing.T) {
	d := accounts(planOf(t, "../examples/demo.yaml"), words(t, lang.US), packet.Options{})
	var got []string
	for _, s := range d.Sections {
		got = append(got, s.ID)
	}
	for _, want := range []string{"glance", "safety", "shop", "money", "cut", "frame", "liner", "fill", "raft", "water", "mix", "content", "season", "seed", "care",
		"calendar", "card", "log", "watch", "harvest", "clean", "assume", "source"} {
		if !slices.Contains(got, want) {
			t.Errorf("no section %q in %v", want, got)
		}
	}
	figures := map[string]bool{}
	walk(d, func(_ page.Section, b page.Block) {
		if f, ok := b.(page.Figure); ok {
			figures[f.Drawing.ID] = true
		}
	})
	for _, want := range []string{"frame-plan", "frame-section", "corner", "rim", "raft", "pot", "cutting-1", "year", "dipstick"} {
		if !figures[want] {
			t.Errorf("no figure %q", want)
		}
	}
}

var missing = regexp.MustCompile(`\[[a-z_]+\.[a-z0-9_.]+\]|%!|<nil>|<no value>|NaN`)

// Every example prints in both units, both sizes and on both papers without a
// missing sentence, an empty list, a figure without words, or a repeated ID.
func TestEveryExamplePrints(t *testing.T) {
	for i, path := range someExamples(t) {
		p := planOf(t, path)
		for k, u := range []lang.Units{lang.US, lang.Metric} {
			for n, o := range []packet.Options{{}, {Large: true}, {Paper: page.A4}} {
				if testing.Short() && (i%2 != k || o.Large != (u == lang.Metric)) {
					continue // the check prints each in three ways
				}
				if !testing.Short() && !everyWay() && (i+n)%2 != k {
					continue // each option in one system, by turns
				}
				name := fmt.Sprintf("%s, units %d, %+v", filepath.Base(path), u, o)
				for _, d := range []page.Document{packet.Faces(p, words(t, u), o), accounts(p, words(t, u), o)} {
					if m := missing.FindString(told(t, d)); m != "" {
						t.Errorf("%s: %s", name, m)
					}
					checkBlocks(t, name, d)
				}
			}
			answer := told(t, packet.Answer(p, plan.Everything, words(t, u), true))
			if m := missing.FindString(answer); m != "" {
				t.Errorf("%s, terminal: %s", filepath.Base(path), m)
			}
			for _, l := range strings.Split(answer, "\n") {
				if n := len([]rune(l)); n > 100 {
					t.Errorf("%s: a line of %d columns: %s", filepath.Base(path), n, l)
				}
			}
		}
	}
}

func checkBlocks(t *testing.T, name string, d page.Document) {
	t.Helper()
	ids := map[string]bool{}
	for _, s := range d.Sections {
		if len(s.Blocks) == 0 || s.ID == "" || ids[s.ID] {
			t.Errorf("%s: section %q is empty or there twice", name, s.ID)
		}
		ids[s.ID] = true
		if _, ok := s.Blocks[len(s.Blocks)-1].(page.Heading); ok {
			t.Errorf("%s: section %q ends in a heading", name, s.ID)
		}
	}
	walk(d, func(s page.Section, b page.Block) {
		switch b := b.(type) {
		case page.List:
			for _, i := range b.Items {
				if strings.TrimSpace(i.Plain()) == "" {
					t.Errorf("%s: an empty item in %s", name, s.ID)
				}
			}
			if len(b.Items) == 0 {
				t.Errorf("%s: an empty list in %s", name, s.ID)
			}
		case page.Caution:
			if len(b.Text) == 0 || b.Word == "" {
				t.Errorf("%s: an empty caution in %s", name, s.ID)
			}
		case page.Table:
			for _, r := range b.Rows {
				if !r.Group && len(r.Cells) != len(b.Columns) {
					t.Errorf("%s: a row of %d cells under %d columns in %s", name, len(r.Cells), len(b.Columns), s.ID)
				}
			}
		case page.Figure:
			if b.Drawing.Alt == "" || b.Drawing.Title == "" || ids["figure "+b.Drawing.ID] {
				t.Errorf("%s: figure %q has no words or is there twice", name, b.Drawing.ID)
			}
			ids["figure "+b.Drawing.ID] = true
			for _, m := range draw.Lay(b.Drawing, draw.Fitting{Width: 468, Height: 600}).Marks {
				if bad := paper.Missing(m.Text); len(bad) > 0 {
					t.Errorf("%s: figure %q: no glyph for %q", name, b.Drawing.ID, string(bad))
				}
			}
		}
	})
}

// No finding of a plan gets lost between the steps: each is told in the packet.
func TestEveryFindingIsTold(t *testing.T) {
	seen := 0
	for _, path := range someExamples(t) {
		p := planOf(t, path)
		w := words(t, lang.US)
		text := flat(told(t, accounts(p, w, packet.Options{})))
		for _, f := range p.Findings {
			switch f.ID { // the step itself says it, or three of a kind are one sentence
			case "frame.liner_buy", "frame.local_code", "frame.fill", "plan.cure", "water.chlorine_ask", "mix.urea", "mix.oxidiser", "mix.too_small", "raft.sparse", "raft.crowded", "plan.no_climate", "cost.unused_price":
				continue
			}
			if f.Severity == finding.Note && strings.HasPrefix(string(f.ID), "water.acid") && p.PrintedAcid() == nil {
				continue
			}
			seen++
			if s := flat(w.Finding(f)); !strings.Contains(text, s) {
				t.Errorf("%s: %s is not told: %s", filepath.Base(path), f.ID, s)
			}
		}
	}
	if seen < 100 {
		t.Errorf("only %d findings seen", seen)
	}
}

// flat takes out what the terminal adds: line breaks, bars, bullets.
func flat(s string) string {
	return strings.Join(strings.FieldsFunc(s, func(r rune) bool { return unicode.IsSpace(r) || strings.ContainsRune("┃█│•", r) }), " ")
}

// The words of the demonstration's packet are read by a person when they change, in both
// languages.
func TestGoldenDemo(t *testing.T) {
	p := planOf(t, "../examples/demo.yaml")
	for language, file := range map[string]string{"en": "testdata/demo.golden", "es": "testdata/demo.es.golden"} {
		w, err := lang.For(language, lang.US)
		if err != nil {
			t.Fatal(err)
		}
		got := told(t, packet.Faces(p.In(language), w, packet.Options{})) + told(t, accounts(p.In(language), w, packet.Options{}))
		if *update {
			if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		want, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(strings.Split(string(want), "\n"), strings.Split(got, "\n")); diff != "" {
			t.Errorf("the packet changed; look at it, then run the tests of packet with -update:\n%s", diff)
		}
	}
}

func TestSamePlanSameBytes(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	var files [2]bytes.Buffer
	for i := range files {
		if err := paper.PDF(packet.Faces(planAnew(t, "../examples/demo.yaml"), words(t, lang.US), packet.Options{}), &files[i]); err != nil {
			t.Fatal(err)
		}
	}
	if files[0].Len() < 10_000 || !bytes.Equal(files[0].Bytes(), files[1].Bytes()) {
		t.Errorf("%d and %d bytes, not the same file", files[0].Len(), files[1].Len())
	}
}

// Every letter of every sentence has a glyph in the embedded faces.
func TestEveryLetterPrints(t *testing.T) {
	files, err := filepath.Glob("../lang/*/*.toml")
	if err != nil || len(files) < 10 {
		t.Fatal(files, err)
	}
	for _, f := range files {
		data, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		if m := paper.Missing(strings.ReplaceAll(string(data), "\t", " ")); len(m) > 0 {
			t.Errorf("%s: no glyph for %q", f, string(m))
		}
	}
}

// A strong acid stays off the paper where children come, in every section.
func TestNoStrongAcidWhereChildrenCome(t *testing.T) {
	text := `
site: {kind: school, children: visit}
bed: {length: 97 in, width: 49 in, depth: 6 in}
water: {ph: 7.6, alkalinity: 215 mg/L CaCO3, calcium: 78 mg/L, magnesium: 11 mg/L}
acid: {product: sulfuric 93 %, target ph: 6.0}
shelf: [{name: complete fertiliser, label: 20-20-20, nitrate-n: 6 %, ammonium-n: 4 %, urea-n: 10 %}]
target: {recipe: lettuce}
`
	b, faults := brief.Parse("school.yaml", []byte(text))
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	p, faults := plan.Make(b, plan.DefaultBook(), plan.Files{}, plan.Everything)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	for _, s := range strings.Split(told(t, accounts(p, words(t, lang.US), packet.Options{})), "\n") {
		if strings.Contains(s, "mL") && strings.Contains(strings.ToLower(s), "sulfuric") {
			t.Errorf("a dose of the strong acid is printed: %s", s)
		}
	}
}

// The pattern of the holes is at full size: its bars are 100 mm, its holes as
// wide as the saw, and the distance from hole to hole is the raft's.
func TestTemplateIsFullSize(t *testing.T) {
	for _, path := range []string{"../examples/demo.yaml", "../examples/tank.yaml", "../examples/school.yaml"} {
		p := planOf(t, path)
		for _, o := range []packet.Options{{}, {Paper: page.A4}} {
			d, err := packet.Template(p, words(t, lang.US), o)
			if err != nil {
				t.Fatal(err)
			}
			width, height := o.Paper.Size()
			pages, bars, holes := 0, 0, 0
			walk(d, func(_ page.Section, b page.Block) {
				f, ok := b.(page.Figure)
				if !ok || !f.Exact {
					return
				}
				pages++
				laid := draw.Lay(f.Drawing, draw.Fitting{})
				if laid.Scale != draw.Full || laid.Width > width || laid.Height > height {
					t.Errorf("%s: page %s is %v by %v at %v", path, f.Drawing.ID, laid.Width, laid.Height, laid.Scale)
				}
				for _, m := range laid.Marks {
					if m.Kind != draw.Outline || len(m.Moves) == 0 {
						continue
					}
					a, z := m.Box()
					long := max(float64(z.X-a.X), float64(z.Y-a.Y))
					if len(m.Moves) == 2 && math.Abs(long-100/25.4*72) < 0.01 {
						bars++
					}
					if m.Moves[len(m.Moves)-1].Kind == draw.CurveTo && math.Abs(long-float64(draw.OnPaper(p.Raft.Job.Hole))) < 0.02 {
						holes++
					}
				}
			})
			whole := !strings.HasSuffix(path, "school.yaml") // there, A4 pages happen to cut every hole
			if pages < 10 || bars != 2*pages || whole && holes == 0 {
				t.Errorf("%s: %d bars of 100 mm and %d whole holes on %d pages", path, bars, holes, pages)
			}
		}
	}
	if _, err := packet.Template(plan.Plan{Brief: &brief.Brief{}}, words(t, lang.US), packet.Options{}); err == nil {
		t.Error("a plan without a raft has a pattern")
	}
}

// The dipstick is at full size on every example, in both units and both papers.
func TestDipstickIsFullSize(t *testing.T) {
	for _, path := range someExamples(t) {
		p := planOf(t, path)
		for _, u := range []lang.Units{lang.US, lang.Metric} {
			d := accounts(p, words(t, u), packet.Options{})
			found := false
			walk(d, func(_ page.Section, b page.Block) {
				f, ok := b.(page.Figure)
				if !ok || f.Drawing.ID != "dipstick" {
					return
				}
				found = true
				room := draw.Points(167) // of the narrow column
				if p.Frame.Brim > 7.3*unit.Inch {
					room = 451
				}
				if laid := draw.Lay(f.Drawing, draw.Fitting{Width: room, Height: f.Height}); laid.Scale != draw.Full {
					t.Errorf("%s: the dipstick is drawn at %v", path, laid.Scale)
				}
			})
			if found != (p.Frame != nil) {
				t.Errorf("%s: no dipstick", path)
			}
		}
	}
}

// BenchmarkPacketDemo takes the demonstration from its brief to the PDF.
func BenchmarkPacketDemo(b *testing.B) {
	w := words(b, lang.US)
	for b.Loop() {
		p := planAnew(b, "../examples/demo.yaml")
		if err := paper.PDF(packet.Faces(p, w, packet.Options{}), io.Discard); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkWorkingDemo takes the demonstration from its brief to the PDF of the second document.
func BenchmarkWorkingDemo(b *testing.B) {
	w := words(b, lang.US)
	for b.Loop() {
		p := planAnew(b, "../examples/demo.yaml")
		if err := paper.PDF(packet.Working(p, w, packet.Options{}), io.Discard); err != nil {
			b.Fatal(err)
		}
	}
}
