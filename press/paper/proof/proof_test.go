package proof

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"raftwright/brief"
	"raftwright/lang"
	"raftwright/packet"
	"raftwright/page"
	"raftwright/plan"
	"raftwright/press/paper"
	"raftwright/press/testdata/gallery"
)

func made(t testing.TB, doc page.Document) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := paper.PDF(doc, &b); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// opened reads a file of ours.
func opened(t testing.TB, data []byte) *file {
	t.Helper()
	f, err := read(data)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// sound fails where a document has faults, and gives its tree.
func sound(t *testing.T, what string, doc page.Document) *element {
	t.Helper()
	faults, tree := check(opened(t, made(t, doc)))
	for i, f := range faults {
		if i == 10 {
			t.Errorf("%s: and %d faults more", what, len(faults)-i)
			break
		}
		t.Errorf("%s: %s: %s: %s", what, f.rule, f.where, f.what)
	}
	return tree
}

// spanish is the gallery with a stretch of words in another language.
func spanish() page.Document {
	doc := gallery.Document()
	first := doc.Sections[0].Blocks
	doc.Sections[0].Blocks = append(first[:len(first):len(first)], page.Para{Text: "The bag says " + page.In("es", "**abono** completo") + ", which is complete fertilizer."})
	return doc
}

func TestGalleryIsSound(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	for _, size := range []page.Paper{page.Letter, page.A4} {
		for _, large := range []bool{false, true} {
			for _, title := range []string{"A bed", ""} {
				doc := spanish()
				doc.Paper, doc.Large, doc.Title = size, large, title
				sound(t, fmt.Sprintf("%v, large %v, title %q", size, large, title), doc)
			}
		}
	}
}

// Every packet of the examples, on both papers and in large print, with the template and the documents beside it. Each is proven
// in one language, the next example in the other, and the documents beside it on each paper in one print; RAFTWRIGHT_LAYOUTS=all
// proves every one in both.
func TestEveryPacketIsSound(t *testing.T) {
	list, err := filepath.Glob("../../../examples/*.yaml")
	if err != nil || len(list) < 5 {
		t.Fatalf("%d examples, %v", len(list), err)
	}
	if testing.Short() {
		list = list[:1]
	}
	words, err := lang.For("en", lang.US)
	if err != nil {
		t.Fatal(err)
	}
	spanish, err := lang.For("es", lang.Metric)
	if err != nil {
		t.Fatal(err)
	}
	all := os.Getenv("RAFTWRIGHT_LAYOUTS") == "all"
	for n, path := range list {
		p := planned(t, path)
		for u, size := range []page.Paper{page.Letter, page.A4} {
			for v, large := range []bool{false, true} {
				if testing.Short() && (large || size != page.Letter) {
					continue // the check makes each in every way
				}
				o := packet.Options{Paper: size, Large: large}
				for k, w := range []*lang.Printer{words, spanish} {
					name := fmt.Sprintf("%s, %s, %+v", filepath.Base(path), w.Language, o)
					if all || (n+u+v)%2 == 0 && (n/2+v+k)%2 == 0 {
						sound(t, "faces of "+name, packet.Faces(p.In(w.Language), w, o))
					}
					if all || (n+u+v)%2 == 0 && (n/2+u+k)%2 == 0 {
						sound(t, "working of "+name, packet.Working(p.In(w.Language), w, o))
						sound(t, "class of "+name, packet.Class(p.In(w.Language), w, o))
					}
				}
				if doc, err := packet.Template(p, words, o); err == nil && (all || (n+u+v)%2 == 1) {
					sound(t, fmt.Sprintf("template of %s, %+v", filepath.Base(path), o), doc)
				}
			}
		}
	}
}

func planned(t testing.TB, path string) plan.Plan {
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
	p, faults := plan.Make(b, plan.DefaultBook(), files, plan.Everything)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	return p
}

// A folded table is read down its rows as it was written, whatever stands beside what on
// the paper.
func TestFoldedTableIsReadInOrder(t *testing.T) {
	table := page.Table{Fold: 3, Columns: []page.Column{{Title: "in"}, {Title: "gal"}}}
	var want []string
	for i := range 8 {
		table.Add(page.Text(fmt.Sprint("d", i)), page.Text(fmt.Sprint("w", i)))
		want = append(want, fmt.Sprintf("d%d w%d", i, i))
	}
	tree := sound(t, "fold", page.Document{Title: "T", Sections: []page.Section{{Title: "S", Blocks: []page.Block{table}}}})
	if got := tree.words(); !strings.HasSuffix(got, "in gal "+strings.Join(want, " ")) {
		t.Error(got)
	}
}

// edit changes the operators of a page.
func edit(at int, old, with string) func(*file) bool {
	return func(f *file) bool {
		pages := f.list(f.dict(f.dict(f.trailer["Root"])["Pages"])["Kids"])
		for _, k := range f.list(f.dict(pages[at])["Contents"]) {
			s := f.get(k).(*stream)
			before := string(s.data)
			if s.data = []byte(strings.Replace(before, old, with, 1)); string(s.data) != before {
				return true
			}
		}
		return false
	}
}

// of changes the first object that has a value under a key.
func of(key name, value any, change func(f *file, d dict)) func(*file) bool {
	return func(f *file) bool {
		for r := ref(1); int(r) <= len(f.objects); r++ {
			if d := f.dict(r); d != nil && d[key] == value {
				change(f, d)
				return true
			}
		}
		return false
	}
}

func kind(of_ string, change func(f *file, d dict)) func(*file) bool {
	return of("S", name(of_), change)
}

func set(key name, value any) func(*file, dict) { return func(_ *file, d dict) { d[key] = value } }

func catalogue(change func(f *file, d dict)) func(*file) bool {
	return of("Type", name("Catalog"), change)
}

// xmp changes the metadata.
func xmp(old, with string) func(*file) bool {
	return func(f *file) bool {
		s := f.get(f.dict(f.trailer["Root"])["Metadata"]).(*stream)
		before := string(s.data)
		s.data = []byte(strings.Replace(before, old, with, 1))
		return string(s.data) != before
	}
}

func info(key name, value string) func(*file) bool {
	return func(f *file) bool { f.dict(f.trailer["Info"])[key] = value; return true }
}

// first gives the first child of an element as it is written.
func first(f *file, d dict) ref {
	r, _ := f.several(d["K"])[0].(ref)
	return r
}

// Each fault that is put into a sound file is found by the rule that is meant for it.
func TestPlantedFaultsAreFound(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	data := made(t, spanish())
	for _, c := range []struct {
		rule, name string
		plant      func(*file) bool
	}{
		{"lang", "no language", catalogue(set("Lang", nil))},
		{"lang", "a language that is none", kind("Span", set("Lang", "!"))},
		{"marked", "not marked", catalogue(set("MarkInfo", dict{"Marked": false}))},
		{"title", "the name of the file in the window", catalogue(set("ViewerPreferences", dict{}))},
		{"title", "no title in the metadata", xmp("Library terrace bed", "")},
		{"claim", "a claim", xmp("</rdf:Description>", `<x:part xmlns:x="http://www.aiim.org/pdfua/ns/id/">1</x:part></rdf:Description>`)},
		{"xmp", "another title", info("Title", "Another")},
		{"xmp", "another date", info("ModDate", "D:20010101000000+00'00'")},
		{"xmp", "another language", xmp("<rdf:li>en<", "<rdf:li>es<")},
		{"xmp", "no metadata", catalogue(set("Metadata", nil))},
		{"tree", "no tree", catalogue(set("StructTreeRoot", nil))},
		{"tree", "an unknown type", kind("LBody", set("S", name("LBoddy")))},
		{"tree", "a wrong parent", kind("H2", set("P", ref(1)))},
		{"tree", "an element twice", kind("L", func(f *file, d dict) { d["K"] = append(f.several(d["K"]), first(f, d)) })},
		{"tabs", "another way for the keyboard", of("Type", name("Page"), set("Tabs", name("R")))},
		{"content", "words in nothing", edit(0, "/H1 <</MCID 0>>BDC", "/H1 <<>>BDC")},
		{"content", "words in two", edit(0, "/H1 <</MCID 0>>BDC", "/Artifact BMC /H1 <</MCID 0>>BDC")},
		{"content", "a number twice", edit(0, "/P <</MCID 1>>BDC", "/P <</MCID 0>>BDC")},
		{"content", "an artifact with a value too few", edit(0, "/Artifact BMC", "/Artifact BDC")},
		{"content", "a line in nothing", edit(0, "/Artifact BMC", "/Span BMC")},
		{"content", "no end", edit(0, "EMC", "")},
		{"content", "an end too much", edit(0, "EMC", "EMC EMC")},
		{"parents", "a sequence that nobody has", kind("H1", set("K", 99.0))},
		{"parents", "a sequence in two elements", kind("H2", set("K", 0.0))},
		{"parents", "the way back of another page", of("StructParents", 0.0, set("StructParents", 1.0))},
		{"parents", "a link without a way back", of("Subtype", name("Link"), set("StructParent", 7777.0))},
		{"parents", "owners swapped", func(f *file) bool {
			owners := f.list(f.list(f.dict(f.dict(f.dict(f.trailer["Root"])["StructTreeRoot"])["ParentTree"])["Nums"])[1])
			owners[0], owners[1] = owners[1], owners[0]
			return true
		}},
		{"heading", "a level skipped", kind("H2", set("S", name("H3")))},
		{"heading", "nothing in a heading", kind("H1", set("K", nil))},
		{"figure", "no words", kind("Figure", set("Alt", " "))},
		{"figure", "no box", kind("Figure", set("A", nil))},
		{"link", "no link in the element", kind("Link", func(f *file, d dict) { d["K"] = f.several(d["K"])[:1] })},
		{"link", "no words for a link", of("Subtype", name("Link"), set("Contents", ""))},
		{"link", "a link that leads nowhere", of("Subtype", name("Link"), set("Dest", nil))},
		{"table", "a cell too few", kind("TR", func(f *file, d dict) { d["K"] = f.several(d["K"])[1:] })},
		{"table", "a cell too wide", kind("TD", set("A", dict{"O": name("Table"), "ColSpan": 2.0}))},
		{"table", "a head of nothing", kind("TH", set("A", nil))},
		{"table", "a caption at the end", kind("Table", func(f *file, d dict) { d["K"] = append(f.several(d["K"])[1:], first(f, d)) })},
		{"shape", "a cell in a list", kind("LI", set("S", name("TD")))},
		{"shape", "a paragraph in a row", kind("TD", set("S", name("P")))},
		{"shape", "an item in the contents", kind("TOCI", set("S", name("LI")))},
		{"font", "not embedded", of("Type", name("FontDescriptor"), set("FontFile2", nil))},
		{"font", "codes without meaning", of("Type", name("Font"), func(f *file, d dict) {
			for _, o := range f.objects {
				if d, ok := o.(dict); ok {
					delete(d, "ToUnicode")
				}
			}
		})},
		{"font", "a letter that is missing", edit(0, "[<", "[<0000")},
	} {
		t.Run(c.rule+", "+c.name, func(t *testing.T) {
			f := opened(t, data)
			if !c.plant(f) {
				t.Fatal("nothing was planted")
			}
			faults, _ := check(f)
			for _, x := range faults {
				if x.rule == c.rule {
					return
				}
			}
			t.Errorf("not found; found %v", faults)
		})
	}
}

// A word that a line is too short for is cut, and the rule about words finds it.
func TestBrokenWordIsFound(t *testing.T) {
	faults, _ := check(opened(t, made(t, page.Document{Title: "T", Sections: []page.Section{{Title: "S", Blocks: []page.Block{page.Para{Text: page.Text(strings.Repeat("x", 300))}}}}})))
	if len(faults) == 0 || faults[0].rule != "words" {
		t.Error(faults)
	}
}

// Nothing in a file makes the checker fail or hang.
func FuzzCheck(f *testing.F) {
	f.Add(made(f, page.Document{Title: "T", Sections: []page.Section{{Title: "S", Blocks: []page.Block{page.Para{Text: "a"}}}}}))
	f.Add([]byte("1 0 obj <</Pages 2 0 R>> endobj 2 0 obj <</Kids[2 0 R 3 0 R]>> 3 0 obj <</Contents 4 0 R>> 4 0 obj <</Length 9>>stream\nBDC TJ Tm EMC\n5 0 obj <</Type/XRef/Root 1 0 R/Length 0>>stream\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		if got, err := read(data); err == nil {
			check(got)
		}
	})
}
