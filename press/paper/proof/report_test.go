package proof

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"unicode"

	"raftwright/answer"
	"raftwright/answer/yearly"
	"raftwright/lang"
	"raftwright/packet"
	"raftwright/page"
	"raftwright/press"
	"raftwright/programme"
)

const programYear = "../../../programme/testdata/demo_year/"

// yearFiles reads the invented year.
func yearFiles(t *testing.T) map[string]string {
	t.Helper()
	files := map[string]string{}
	paths, err := filepath.Glob(programYear + "*.csv")
	if err != nil || len(paths) < 20 {
		t.Fatal(paths, err)
	}
	for _, path := range paths {
		text, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		files[filepath.Base(path)] = string(text)
	}
	delete(files, "expected.csv")
	return files
}

func reported(t *testing.T, files map[string]string, asOf string) *programme.Report {
	t.Helper()
	records, faults := programme.Read(files)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	day, _ := programme.ParseDay(asOf)
	r, faults := programme.Make(records, "BOARD", day)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	return r
}

// The report is tagged as any other document: both editions, on both papers, in large print and in Spanish.
func TestTheReportIsSound(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	files := yearFiles(t)
	now, before := reported(t, files, "2027-08-31"), reported(t, files, "2027-07-05")
	for _, o := range []packet.Options{{}, {Paper: page.A4}, {Large: true}} {
		for _, language := range []string{"en", "es"} {
			words, err := lang.For(language, lang.US)
			if err != nil {
				t.Fatal(err)
			}
			for name, doc := range map[string]page.Document{"inside": packet.Report(now.Inside(), before.Inside(), words, o), "public": packet.Report(now.Public(), nil, words, o)} {
				tree := sound(t, fmt.Sprintf("%s, %s, %+v", name, language, o), doc)
				if said := tree.words(); strings.Contains(said, "[report.") || strings.Contains(said, "[programme.") || strings.Contains(said, "<no value>") {
					t.Errorf("%s, %s: a sentence is missing", name, language)
				}
				if !bytes.Equal(made(t, doc), made(t, doc)) {
					t.Errorf("%s, %s: not the same bytes", name, language)
				}
			}
		}
	}
}

// planted are texts that nobody outside may read: names, telephones, addresses, places, pupils, in usual and in odd spelling. All are made up.
func planted() []string {
	var out []string
	for i := range 25 {
		n := fmt.Sprint(100 + i)
		out = append(out, "Pat Sample "+n, "SAMPLE-O'NEIL "+n, "p.a.t.sample"+n, "Zoë Muñoz "+n, "555-0"+n, "(555) 01 "+n, "pat."+n+"@example.org", n+" Sample Street, Apt 4", "38."+n+", -84.5"+n, "Robin (pupil "+n+")", "plate SMP"+n)
	}
	return out[:200]
}

// plant puts each text into a field of the year, every field that takes one in its turn; where the field names a row, all that name it
// too follow.
func plant(t *testing.T, files map[string]string, secrets []string) {
	t.Helper()
	tables := map[string][][]string{}
	var names []string
	for name, text := range files {
		rows, err := csv.NewReader(strings.NewReader(text)).ReadAll()
		if err != nil {
			t.Fatal(err)
		}
		tables[name] = rows
		names = append(names, name)
	}
	slices.Sort(names)
	// what may only hold a number, a day or one of a few words, and the funder, who is asked for by name
	fixed := " corrections.csv must_vanish.csv date county education adults youth minutes standard groups status fate heads pounds receipts kind hours role since purpose given withdrawn opened closed length_ft width_ft depth_in holes " +
		"first_planted retired others_met miles count before after sent_on sent undeliverable mailing returned_on answer pounds_told dollars basis unit year dollars_per_hour design value group share funder from to series same_day threshold made_on language part table start months record until served_in "
	codes := " event site person host bed wave rate item slip visit inquiry harvest price entry reply form crop "
	left := secrets
	for turn := 1; len(left) > 0; turn++ {
		for _, name := range names {
			rows := tables[name]
			for j, column := range rows[0] {
				if len(left) == 0 {
					break
				}
				free := name == "events.csv" && column == "series" || name == "indirect.csv" && column == "unit"
				if turn >= len(rows) || strings.Contains(fixed, " "+name+" ") || name == "settings.csv" && column == "name" || !free && strings.Contains(fixed, " "+column+" ") {
					continue
				}
				old := rows[turn][j]
				if old == "" && strings.Contains(codes, " "+column+" ") {
					continue
				}
				rows[turn][j] = left[0]
				if old != "" && strings.Contains(codes, " "+column+" ") { // whoever names it must name it so
					for _, other := range tables {
						for _, row := range other[1:] {
							for k := range row {
								if row[k] == old {
									row[k] = left[0]
								}
							}
						}
					}
				}
				left = left[1:]
			}
		}
	}
	for _, name := range names {
		var text strings.Builder
		if err := csv.NewWriter(&text).WriteAll(tables[name]); err != nil {
			t.Fatal(err)
		}
		files[name] = text.String()
	}
}

// plain takes away all but letters and digits, so that another spelling or a break of lines hides nothing.
func plain(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) {
			return unicode.ToLower(r)
		}
		return -1
	}, s)
}

// Of two hundred texts that nobody outside may read, in every field of the year, none is in any public output: figures, JSON, text, page, or
// PDF with its metadata. Inside some are: else this would look at nothing.
func TestNoSecretIsPublic(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	files, secrets := yearFiles(t), planted()
	files["stories.csv"] = "funder,language,part,text,person\nBOARD,en,issue,x,\nBOARD,es,done,x,\nBOARD,en,result,x,P2339\n"
	files["consents.csv"] += "P2339,tell,,2027-01-01,\n"
	files["efforts.csv"] = "date,county,event,what\n2027-05-01,ALD,,x\n2027-05-02,ALD,E007,x\n"
	files["keeping.csv"] = "table,start,months,source\nvisits,date,12,x\n"
	files["holds.csv"] = "hold,table,record,from,until,reason\nx,visits,W047,2027-01-01,,x\n"
	files["questions.csv"] = "form,kind,item,english,spanish,answer,choices,choices_spanish\nx,later,x,x,x,one of,x|x,x|x\n"
	files["settings.csv"] = "setting,name,funder,value,from,to,source\nx,meal_pounds,,1.2,2027-01-01,,x\ny,access_day,BOARD,2028-04-26,2027-01-01,,x\n"
	addTo := func(name, head string, cells func(i int) string) {
		lines := strings.Split(strings.TrimSpace(files[name]), "\n")
		for i := range lines {
			if lines[i] += "," + head; i > 0 {
				lines[i] = strings.TrimSuffix(lines[i], head) + cells(i)
			}
		}
		files[name] = strings.Join(lines, "\n") + "\n"
	}
	addTo("waves.csv", "question_spanish", func(int) string { return "x" })
	addTo("rates.csv", "name", func(int) string { return "x" })
	addTo("replies.csv", "own_code", func(int) string { return "x" })
	addTo("visits.csv", "served_in", func(i int) string { return []string{"en", "es", "vi", ""}[i%4] })
	if len(secrets) != 200 {
		t.Fatalf("%d secrets", len(secrets))
	}
	plant(t, files, secrets)
	// what a class is called, and what it was asked, are words of an office too
	event := strings.SplitN(strings.Split(files["events.csv"], "\n")[7], ",", 2)[0]
	files["classes.csv"] = "result,event,group,grades,item,right_before,answered_before,right_after,answered_after\nRobin (result 901)," + event + ",Robin (pupil 902),3-5,Robin (item 903),,,9,16\n"
	secrets = append(secrets, "Robin (result 901)", "Robin (pupil 902)", "Robin (item 903)")
	r := reported(t, files, "2027-08-31")
	outputs := func(e *programme.Edition, printer *lang.Printer) map[string]string {
		doc := packet.Report(e, nil, printer, packet.Options{})
		other, err := lang.For(map[string]string{"en": "es", "es": "en"}[printer.Language], lang.US)
		if err != nil {
			t.Fatal(err)
		}
		doc = packet.InBoth(doc, packet.Report(e, nil, other, packet.Options{}))
		var text, page, document bytes.Buffer
		if err := press.Text(doc, &text, 100); err != nil {
			t.Fatal(err)
		}
		if err := press.HTML(doc, &page); err != nil {
			t.Fatal(err)
		}
		if err := answer.Write(&document, yearly.Report(e, printer)); err != nil {
			t.Fatal(err)
		}
		data := made(t, doc)
		f := opened(t, data)
		c := checked(f)
		words := c.top.words()
		for _, d := range c.decor {
			words += " " + d.words
		}
		var pdf strings.Builder
		pdf.Write(data)
		for _, object := range f.objects {
			if s, ok := object.(*stream); ok {
				pdf.Write(s.data)
			} else {
				fmt.Fprint(&pdf, object)
			}
		}
		return map[string]string{"figures": e.FiguresCSV(nil), "audit": e.AuditCSV(), "text": text.String(), "page": page.String(), "JSON": document.String(), "PDF": words, "PDF bytes": pdf.String(), "published.csv": e.WithRemembered()}
	}
	languages := []string{"en", "es"}
	if testing.Short() {
		languages = languages[:1] // each is printed in both
	}
	for _, language := range languages {
		words, err := lang.For(language, lang.US)
		if err != nil {
			t.Fatal(err)
		}
		for what, text := range outputs(r.Public(), words) {
			bare := plain(text)
			for _, s := range secrets {
				if strings.Contains(text, s) || what != "PDF bytes" && len(plain(s)) > 9 && strings.Contains(bare, plain(s)) {
					t.Errorf("%s, %s: %q is public", what, language, s)
				}
			}
		}
		found := map[string]bool{}
		for what, text := range outputs(r.Inside(), words) {
			bare := plain(text)
			for _, s := range secrets {
				if strings.Contains(bare, plain(s)) {
					found[what] = true
				}
			}
		}
		for _, what := range []string{"figures", "text", "page", "JSON", "PDF"} {
			if !found[what] {
				t.Errorf("%s, %s: no secret is inside either, so this finds nothing", what, language)
			}
		}
	}
}
