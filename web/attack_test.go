package web

import (
	"bytes"
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"sync"
	"testing"

	"golang.org/x/net/html"

	"raftwright/brief"
)

// begun makes a bed of the demonstration and gives its form.
func begun(t *testing.T, address, text string) (made answered, form url.Values) {
	t.Helper()
	made = sendFile(t, address, text)
	if made.status != http.StatusOK {
		t.Fatalf("made: %d", made.status)
	}
	return made, fieldsOf(t, made.body)
}

// What two people type at once is not lost: the second sees their own over the other's.
func TestWhatWasTypedOutlivesAnotherVersion(t *testing.T) {
	s := house(t)
	made, mine := begun(t, s.URL, invented)
	theirs := fieldsOf(t, get(t, s.URL+made.where).body)
	theirs.Set("bed.depth", "9 in")
	theirs.Set("raft.sheet[0]", "3 ft")
	if got := post(t, s.URL+made.where, theirs); got.status != http.StatusOK {
		t.Fatalf("theirs: %d", got.status)
	}
	mine.Set("title", "Porch <b>")
	mine.Set("shelf[1].name", "Epsom salt")
	mine.Set("water.alkalinity", "180") // wrong: no unit
	got := post(t, s.URL+made.where, mine)
	now := fieldsOf(t, got.body)
	if got.status != http.StatusConflict || !strings.Contains(got.body, `role="alert"`) {
		t.Fatalf("%d, and nobody is told", got.status)
	}
	for key, want := range map[string]string{"title": "Porch <b>", "shelf[1].name": "Epsom salt", "water.alkalinity": "180", "bed.depth": "9 in", "raft.sheet[0]": "3 ft", "version": "2"} {
		if now.Get(key) != want {
			t.Errorf("%s: %q, want %q", key, now.Get(key), want)
		}
	}
	if kept := fieldsOf(t, get(t, s.URL+made.where).body); kept.Get("title") != "Invented bed" {
		t.Error("it was kept unseen")
	}
	if got = post(t, s.URL+made.where, now); got.status != http.StatusOK || fieldsOf(t, got.body).Get("title") != "Porch <b>" {
		t.Errorf("looked through and sent again: %d", got.status)
	}
	// back in the browser, another change, sent under the id that was used: told, not lost
	mine.Set("title", "Third")
	if got = post(t, s.URL+made.where, mine); got.status != http.StatusConflict || fieldsOf(t, got.body).Get("title") != "Third" {
		t.Errorf("sent from the page before: %d", got.status)
	}
}

// Of two that are sent at once one is kept, and the other is shown again.
func TestTwoAtOnce(t *testing.T) {
	s := house(t)
	made, _ := begun(t, s.URL, invented)
	var all sync.WaitGroup
	got, forms := make([]answered, 2), make([]url.Values, 2)
	for i := range forms { // both have the page before either sends
		forms[i] = fieldsOf(t, get(t, s.URL+made.where).body)
		forms[i].Set("title", fmt.Sprint("Bed ", i))
	}
	for i := range got {
		all.Go(func() { got[i] = post(t, s.URL+made.where, forms[i]) })
	}
	all.Wait()
	if a, z := got[0].status, got[1].status; a+z != http.StatusOK+http.StatusConflict {
		t.Fatalf("%d and %d", a, z)
	}
	for i, g := range got {
		if g.status == http.StatusConflict && fieldsOf(t, g.body).Get("title") != fmt.Sprint("Bed ", i) {
			t.Error("what the other typed is lost")
		}
	}
}

// A text that cannot be kept stays in its field.
func TestWhatCannotBeKeptStays(t *testing.T) {
	s := house(t)
	made, form := begun(t, s.URL, invented)
	form.Set("bed.depth", "8 in")
	form.Set("title", strings.Repeat("long ", 100_000))
	got := post(t, s.URL+made.where, form)
	if got.status >= 500 || got.status != http.StatusOK && fieldsOf(t, got.body).Get("bed.depth") != "8 in" {
		t.Errorf("%d: what was typed is lost", got.status)
	}
}

// Paths that are none change nothing; a list is not emptied by a place that it does not have.
func TestPathsThatAreNone(t *testing.T) {
	b, _ := brief.Parse(briefName, []byte(invented))
	was := string(b.Encode())
	for _, path := range []string{"shelf[999999999].name", "shelf[99999999999999999999999].name", "shelf[-1].name", "shelf[+1]", "shelf[", "shelf[]", "shelf[].name", "shelf[0", "shelf[0]]", "shelf[0][0].name", "shelf", "bed", "[0]", "]", "[\"", ".", " ", "raft.sheet", "raft.sheet[", "title.title", "nothing", "nothing[0].at all", "../../etc/passwd"} {
		forms := []url.Values{{"drop": {path}}, {path: {""}}}
		if formTree()[path] == nil {
			forms = append(forms, url.Values{"mend": {path + "="}})
		}
		for _, form := range forms {
			if now := string(posted(b, form).Encode()); now != was {
				t.Errorf("%v:\n%s", form, now)
			}
		}
	}
	for _, path := range []string{"raft.sheet[1000000]", "raft.sheet[-1]"} {
		if now := string(posted(b, url.Values{path: {"9 ft"}}).Encode()); now != was {
			t.Errorf("%s:\n%s", path, now)
		}
	}
	if now := string(posted(b, url.Values{"drop": {"shelf[1]"}}).Encode()); now == was {
		t.Error("nothing is taken away at all")
	}
	many := url.Values{}
	for i := range 1000 {
		many.Set(fmt.Sprintf("shelf[%d].name", 1000*i), "x")
		many.Set(fmt.Sprintf("nothing%d", i), "x")
	}
	if n := len(posted(b, many).Encode()); n > 100_000 {
		t.Errorf("a thousand places far apart became %d bytes", n)
	}
}

// What nobody's browser sends is answered as its sender's fault, on a page.
func TestWhatNoFormSends(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	s := house(t)
	made, _ := begun(t, s.URL, invented)
	bed := strings.TrimSuffix(made.where, "/brief")
	for _, c := range []struct {
		name, to, kind, body string
		want                 int
	}{
		{"broken escape", made.where, "application/x-www-form-urlencoded", "title=%zz", 400},
		{"broken escape", bed + "/log", "application/x-www-form-urlencoded", "%", 400},
		{"broken escape", "/beds", "application/x-www-form-urlencoded", "%", 400},
		{"no boundary", "/beds", "multipart/form-data", "x", 400},
		{"cut short", "/beds", "multipart/form-data; boundary=x", "--x\r\nContent-Disposition: form-data; name=\"file\"; filename=\"../../a\"\r\n\r\nabc", 400},
		{"too long", made.where, "application/x-www-form-urlencoded", "title=" + strings.Repeat("a", mostBody), 413},
		{"too long", "/beds", "multipart/form-data; boundary=x", "--x\r\nContent-Disposition: form-data; name=\"file\"; filename=\"a\"\r\n\r\n" + strings.Repeat("a", mostBody), 413},
		{"no path for an id", "/beds", "application/x-www-form-urlencoded", "id=../../x&bed.length=8+ft", 400},
		{"a list of nothing", made.where + "?more=" + url.QueryEscape(`"><script>`), "application/x-www-form-urlencoded", "", 200},
	} {
		r, err := http.NewRequest("POST", s.URL+c.to, strings.NewReader(c.body))
		if err != nil {
			t.Fatal(err)
		}
		r.Header.Set("Content-Type", c.kind)
		if got := do(t, r); got.status != c.want || !strings.Contains(got.body, `<h1>`) {
			t.Errorf("%s to %s: %d, want %d\n%.300s", c.name, c.to, got.status, c.want, got.body)
		}
	}
	for name, text := range map[string]string{
		"binary":  string(bytes.Repeat([]byte{0, 0xff, 0x89, 'P'}, 1000)),
		"aliases": "a: &a [x,x,x,x,x,x,x,x,x]\nb: &b [*a,*a,*a,*a,*a,*a,*a,*a,*a]\nc: &c [*b,*b,*b,*b,*b,*b,*b,*b,*b]\nd: [*c,*c,*c,*c]\n",
		"deep":    "title: " + strings.Repeat("[", 50_000),
		"empty":   "",
	} {
		if got := sendFile(t, s.URL, text); got.status >= 500 || len(got.body) > 1<<20 {
			t.Errorf("%s: %d, %d bytes", name, got.status, len(got.body))
		}
	}
	for _, page := range []string{bed + "/log", made.where + "/look"} { // loaded again, or in another language
		if got := get(t, s.URL+page); got.status != http.StatusOK {
			t.Errorf("%s: %d", page, got.status)
		}
	}
	for _, from := range []string{"//elsewhere.example", "https://elsewhere.example", `/\elsewhere.example`, "/\t/elsewhere.example", ""} {
		r, _ := http.NewRequest("POST", s.URL+"/language", strings.NewReader(url.Values{"language": {"es"}, "from": {from}}.Encode()))
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		if got := do(t, r); got.status != http.StatusOK || got.where != "/" {
			t.Errorf("from %q: led to %s (%d)", from, got.where, got.status)
		}
	}
}

// Whatever a person writes stands on the pages as text.
func TestWordsOfAPersonAreText(t *testing.T) {
	const bad = `</title><script>x</script><img src=x onerror=x>'"`
	text := strings.NewReplacer("Invented bed", "'"+strings.ReplaceAll(bad, "'", "''")+"'", "crop: lettuce", `crop: {name: "<script>x</script>"}`, "complete fertilizer", `"<script>x</script>"`, "calcium nitrate", `'<img src=x onerror=x>'`, "kind: school,", `kind: school, place: "<script>x</script>",`).Replace(invented)
	s := house(t)
	made, _ := begun(t, s.URL, text+"prices: {items: {\"<script>x</script>\": $3}}\n")
	bed := strings.TrimSuffix(made.where, "/brief")
	seen := 0
	for _, page := range []string{"/", "/beds", bed + "/brief", bed + "/plan", bed + "/plan/first", bed + "/plan/raft", bed + "/plan/mix", bed + "/plan/shopping", bed + "/working", bed + "/today", bed + "/versions", bed + "/packet.html", bed + "/brief?more=%22%3E%3Cscript%3E", "/%3Cscript%3Ex", "/beds?after=%22%3E%3Cscript%3E"} {
		got := get(t, s.URL+page)
		doc, err := html.Parse(strings.NewReader(got.body))
		if err != nil {
			t.Fatal(err)
		}
		if strings.Contains(got.body, "&lt;script&gt;x") {
			seen++
		}
		for n := range doc.Descendants() {
			if n.Type != html.ElementNode {
				continue
			}
			if n.Data == "script" && n.FirstChild != nil || n.Data == "img" {
				t.Errorf("%s: %s became a part of the page", page, n.Data)
			}
			for _, a := range n.Attr {
				if strings.HasPrefix(a.Key, "on") {
					t.Errorf("%s: <%s %s>", page, n.Data, a.Key)
				}
			}
		}
	}
	if seen < 5 {
		t.Errorf("only %d pages showed it", seen)
	}
}

// The Enter key in a field keeps the form: the first button in it is the one that it
// presses, and that one takes nothing away. No name of a field has a space in it, for what
// describes a field is named in a list that spaces part. Each name stands once.
func TestTheFormForKeyboardAndReader(t *testing.T) {
	s := house(t)
	made, _ := begun(t, s.URL, invented)
	for _, page := range []string{made.where, made.where + "?more=crop", made.where + "?more=shelf", strings.TrimSuffix(made.where, "brief") + "today"} {
		doc, err := html.Parse(strings.NewReader(get(t, s.URL+page).body))
		if err != nil {
			t.Fatal(err)
		}
		ids, first := map[string]bool{}, map[*html.Node]*html.Node{}
		var refs []string
		for n := range doc.Descendants() {
			for _, a := range n.Attr {
				switch a.Key {
				case "id":
					if strings.ContainsAny(a.Val, " \t\n") || ids[a.Val] {
						t.Errorf("%s: id %q has a space, or stands twice", page, a.Val)
					}
					ids[a.Val] = true
				case "for":
					refs = append(refs, a.Val)
				case "aria-describedby", "aria-labelledby":
					refs = append(refs, strings.Fields(a.Val)...)
				case "href":
					if to, ok := strings.CutPrefix(a.Val, "#"); ok {
						if plain, err := url.PathUnescape(to); err == nil {
							refs = append(refs, plain)
						}
					}
				}
			}
			if n.Data == "button" {
				for up := range n.Ancestors() {
					if up.Data == "form" && first[up] == nil {
						first[up] = n
					}
				}
			}
		}
		for _, to := range refs {
			if !ids[to] {
				t.Errorf("%s: nothing is named %q", page, to)
			}
		}
		for _, b := range first {
			for _, a := range b.Attr {
				if a.Key == "value" && (strings.HasPrefix(a.Val, "shelf") || strings.HasPrefix(a.Val, "crop")) {
					t.Errorf("%s: Enter presses the button of %s", page, a.Val)
				}
			}
		}
	}
}

// A log of thousands of visits does not stand in the way of the form.
func TestALongLog(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	s := house(t)
	var log strings.Builder
	for i := range 5000 {
		fmt.Fprintf(&log, "  - {at: 20%02d-%02d-%02dT%02d:00, ph: 6.0}\n", 10+i/1000, 1+i/100%10, 1+i/5%20, 8+i%5)
	}
	made, form := begun(t, s.URL, invented+"log:\n"+log.String())
	if len(made.body) > 500_000 {
		t.Errorf("the form weighs %d bytes", len(made.body))
	}
	form.Set("bed.depth", "7 in")
	if got := post(t, s.URL+made.where, form); got.status != http.StatusOK || fieldsOf(t, got.body).Get("bed.depth") != "7 in" {
		t.Errorf("kept: %d", got.status)
	}
	if file := get(t, s.URL+made.where+".yaml").body; strings.Count(file, "ph: 6.0") != 5000 {
		t.Error("visits are lost")
	}
}

// Whatever a form names, what comes of it is a brief that reads again as it was written.
func FuzzPosted(f *testing.F) {
	for _, s := range [][3]string{{"title", "x", ""}, {"shelf[0].name", "a: b", "shelf[1]"}, {"new:prices.items", "a b", ""}, {"mend", "bed.depth=7 in\nshelf[-1]=x", ""}, {"raft.sheet[0]", "[", "raft.sheet"}, {`prices.items["`, "x", "]"}, {"shelf[2147483647].name", "&a *a", ""}} {
		f.Add(s[0], s[1], s[2])
	}
	b, _ := brief.Parse(briefName, []byte(invented))
	f.Fuzz(func(t *testing.T, name, text, drop string) {
		next := posted(b, url.Values{name: {text}, "text:prices.items": {text}, "drop": {drop}})
		out := next.Encode()
		if len(out) > len(invented)+20*(len(name)+len(text))+1000 {
			t.Fatalf("%d bytes of %q", len(out), name)
		}
		again, _ := brief.Parse(briefName, out)
		if again == nil {
			t.Fatalf("no brief:\n%s", out)
		}
		if twice := again.Encode(); !bytes.Equal(twice, out) {
			t.Fatalf("%q became\n%q", out, twice)
		}
	})
}
