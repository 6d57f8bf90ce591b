package packet_test

import (
	"fmt"
	"html"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"raftwright/lang"
	"raftwright/packet"
	"raftwright/page"
	"raftwright/press"
	"raftwright/programme"
)

var (
	firstFigure = regexp.MustCompile(`<div><dt>([^<]*)</dt><dd><span class="value">(.*?)</span>.*?</dd></div>`)
	itsLink     = regexp.MustCompile(`<a class="small" href="#([^"]*)">([^<]*)</a>`)
	tagged      = regexp.MustCompile(`<[^>]*>`)
	aNumber     = regexp.MustCompile(`\d[\d,.]*`)
)

// numbersIn gives the numbers of a text.
func numbersIn(text string) (out []float64) {
	for _, n := range aNumber.FindAllString(strings.ReplaceAll(text, ",", ""), -1) {
		x, err := strconv.ParseFloat(strings.TrimRight(n, "."), 64)
		if err == nil {
			out = append(out, x)
		}
	}
	return out
}

// leadsRight tells what is wrong with the marks of page one in a page: each leads, without script, to one row, which has the mark and the same figure. Of a
// number of counties the row has so many that are more than nothing; of yes in all who answered it has the share, of those who rose the count.
func leadsRight(page string) (count int, wrong []string) {
	for _, f := range firstFigure.FindAllStringSubmatch(page, -1) {
		count++
		label, value := html.UnescapeString(f[1]), html.UnescapeString(tagged.ReplaceAllString(f[2], ""))
		say := func(form string, args ...any) { wrong = append(wrong, label+": "+fmt.Sprintf(form, args...)) }
		link := itsLink.FindStringSubmatch(f[0])
		if link == nil {
			say("leads nowhere")
			continue
		}
		if n := strings.Count(page, `id="`+link[1]+`"`); n != 1 {
			say("%d places are called %s", n, link[1])
			continue
		}
		_, row, _ := strings.Cut(page, ` id="`+link[1]+`"`)
		row, _, _ = strings.Cut(row, "</tr>")
		var cells []string
		for _, c := range regexp.MustCompile(`(?s)<t[hd][^>]*>(.*?)</t[hd]>`).FindAllStringSubmatch(row, -1) {
			cells = append(cells, html.UnescapeString(tagged.ReplaceAllString(c[1], "")))
		}
		if len(cells) < 3 || !strings.Contains(link[2]+",", " "+cells[0]+",") {
			say("%q leads to the row %q", link[2], cells)
			continue
		}
		numbers := numbersIn(value)
		same := false
		some := 0
		for i, c := range cells[2:] {
			same = same || c == value
			for _, x := range numbersIn(c) {
				if i < len(cells)-3 && x > 0 {
					some++
				}
				if len(numbers) == 2 { // a share, or the first of both
					same = same || x == numbers[0] || strings.Contains(c, "%") && fmt.Sprintf("%.1f", 100*numbers[0]/numbers[1]) == fmt.Sprintf("%.1f", x)
				}
			}
		}
		counties := strings.Contains(strings.ToLower(label), "count") && len(numbers) == 1 || strings.Contains(strings.ToLower(label), "condado")
		if counties {
			same = some == int(numbers[0])
		}
		if !same {
			say("%s is not in the row %q", value, cells)
		}
	}
	return count, wrong
}

// Every mark of page one leads to the row in which its figure stands, inside and for the public, in either language and in both together; classes of pupils
// as what was learned too.
func TestMarksOfPageOneLead(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	pupils := func(x *programme.Records) {
		x.Answers = nil
		x.Classes = []programme.Class{{ID: "C1", Event: "E012", Group: "the herons", Grades: "3-5", Item: "ph", After: 14, AfterOf: 22}}
	}
	for _, change := range []func(*programme.Records){nil, pupils} {
		r := programYear(t, change)
		for name, e := range map[string]*programme.Edition{"inside": r.Inside(), "public": r.Public()} {
			docs := map[string]page.Document{}
			for _, language := range []string{"en", "es"} {
				words, err := lang.For(language, lang.US)
				if err != nil {
					t.Fatal(err)
				}
				docs[language] = packet.Report(e, nil, words, packet.Options{})
			}
			docs["both"] = packet.InBoth(docs["en"], docs["es"])
			for language, d := range docs {
				var out strings.Builder
				if err := press.HTML(d, &out); err != nil {
					t.Fatal(err)
				}
				count, wrong := leadsRight(out.String())
				if most := map[bool]int{false: 5, true: 10}[language == "both"]; count < most {
					t.Errorf("%s, %s: %d figures on page one", name, language, count)
				}
				for _, w := range wrong {
					t.Errorf("%s, %s: %s", name, language, w)
				}
			}
		}
	}
}

// A mark that leads nowhere, to two places, to another row, or to another figure is found.
func TestWrongMarksAreFound(t *testing.T) {
	figure := func(to string) string {
		return `<div><dt>Reach</dt><dd><span class="value">44</span><br><a class="small" href="#` + to + `">opens at B1, 3 records</a></dd></div>`
	}
	row := func(id, mark, value string) string {
		return `<tr id="` + id + `"><th scope="row">` + mark + `</th><td>Contacts</td><td>` + value + `</td></tr>`
	}
	if n, wrong := leadsRight(figure("row-b1") + row("row-b1", "B1", "44")); n != 1 || wrong != nil {
		t.Error(n, wrong)
	}
	for what, page := range map[string]string{"nowhere": figure("row-b2") + row("row-b1", "B1", "44"), "twice": figure("row-b1") + row("row-b1", "B1", "44") + row("row-b1", "B1", "44"), "another row": figure("row-b1") + row("row-b1", "B11", "44"),
		"another figure": figure("row-b1") + row("row-b1", "B1", "45"), "no link": `<div><dt>Reach</dt><dd><span class="value">44</span></dd></div>`} {
		if _, wrong := leadsRight(page); len(wrong) == 0 {
			t.Error("not found:", what)
		}
	}
}
