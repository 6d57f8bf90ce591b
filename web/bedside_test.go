package web

import (
	"bytes"
	"encoding/csv"
	"image"
	"image/color"
	"image/jpeg"
	"mime/multipart"
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	ics "github.com/arran4/golang-ical"

	"raftwright/brief"
)

// planted makes a bed of these tests that was filled and planted a week ago.
func planted(t *testing.T, address string) (bed string) {
	t.Helper()
	made := sendFile(t, address, invented+"acid: {product: citric, target ph: 5.8}\nlog:\n  - {at: 2027-05-03T08:00, filled: yes, planted: {heads: 32, age: 21 d}, depth: 6 in, ec: 1.6 mS/cm, ph: 6.1}\n")
	if made.status != http.StatusOK {
		t.Fatal(made.status)
	}
	return address + strings.TrimSuffix(made.where, "/brief")
}

// formIn reads the form of a page that is sent to an address.
func formIn(t *testing.T, page, action string) url.Values {
	t.Helper()
	for _, part := range strings.Split(page, "<form")[1:] {
		form, _, _ := strings.Cut(part, "</form>")
		if head, _, _ := strings.Cut(form, ">"); strings.Contains(head, `action="`+action) && strings.Contains(head, "post") {
			return fieldsOf(t, "<form"+form+"</form>")
		}
	}
	return nil
}

// The answer says what to pour; one touch writes down just that, once however often it is
// sent; then there is nothing more to pour.
func TestDoneIsOneTouch(t *testing.T) {
	s := house(t)
	bed := planted(t, s.URL)
	path := strings.TrimPrefix(bed, s.URL)
	for at, deep := range map[string]string{"2027-05-05T08:00": "5-1/2", "2027-05-08T08:00": "5"} {
		post(t, bed+"/log", url.Values{"at": {at}, "depth": {deep}, "ec": {"1.6"}, "ph": {"6.2"}})
	}
	form := formIn(t, get(t, bed+"/today").body, path+"/log")
	form.Set("at", "2027-05-11T07:55")
	form.Set("depth", "4-1/2")
	form.Set("ec", "1.6")
	form.Set("ph", "6.2")
	form.Set("water temperature", "66")
	answer := post(t, bed+"/log", form)
	if answer.status != 200 || !strings.Contains(answer.body, "What to do now") {
		t.Fatalf("%d", answer.status)
	}
	mainIs := func(page, want string) { // a page has one main button: what is due
		t.Helper()
		_, after, _ := strings.Cut(page, `<button class="do main`)
		if text, _, _ := strings.Cut(after, "</button>"); strings.Count(page, `class="do main`) != 1 || !strings.HasSuffix(text, ">"+want) {
			t.Errorf("%d main buttons, the first %q, not %s", strings.Count(page, `class="do main`), text, want)
		}
	}
	mainIs(answer.body, "Done")
	mainIs(get(t, bed+"/today").body, "Keep it, and tell me what to do")
	var done url.Values
	for _, part := range strings.Split(answer.body, "<form")[1:] {
		if strings.Contains(part[:200], `class="once"`) {
			done = fieldsOf(t, "<form"+part)
		}
	}
	if done.Get("added water")+done.Get("added solution.volume")+done.Get("filled") == "" {
		t.Fatalf("an inch and a half is missing, and done writes down %v", done)
	}
	for range 3 {
		if got := post(t, bed+"/log", done); got.status != 200 || !strings.Contains(got.body, `role="status"`) {
			t.Fatalf("done: %d", got.status)
		}
	}
	mainIs(post(t, bed+"/log", done).body, "Keep it, and tell me what to do")
	rows := logOf(t, bed)
	if len(rows) != 5 {
		t.Fatalf("%d visits, 5 were kept", len(rows))
	}
	if again := get(t, bed+"/today").body; strings.Contains(again, `name="added water"`) && strings.Contains(again, `class="once"`) {
		t.Error("what was done is advised once more")
	}
}

// logOf reads the log that a bed gives as a table.
func logOf(t *testing.T, bed string) (rows []map[string]string) {
	t.Helper()
	all, err := csv.NewReader(strings.NewReader(get(t, bed+"/log.csv").body)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range all[1:] {
		row := map[string]string{}
		for i, h := range all[0] {
			if r[i] != "" {
				row[h] = r[i]
			}
		}
		rows = append(rows, row)
	}
	return rows
}

// A number alone is in the unit that stands beside it, or that was chosen.
func TestUnitsOfAReading(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	s := house(t)
	bed := planted(t, s.URL)
	for _, c := range []struct{ key, text, unit, want string }{
		{"depth", "5-1/4", "in", "5-1/4 in"}, {"depth", "13", "cm", "13 cm"}, {"depth", "5 in", "cm", "5 in"}, {"ec", "850", "ppm (500)", "850 ppm (500)"}, {"ec", "1.7", "", "1.7 mS/cm"},
		{"water temperature", "19", "C", "19 C"}, {"water temperature", "66", "", "66 F"}, {"added acid", "12", "", "12 g"}, {"added.calcium nitrate", "30", "", "30 g"}, {"added.calcium nitrate", "2 tsp", "", "2 tsp"},
		{"harvested.mass", "2.1", "", "2.1 lb"}, {"added water", "3", "", "3 gal"}, {"ph", "6.4", "", "6.4"},
	} {
		form := url.Values{"at": {"2027-05-10T08:00"}, "id": {"0197f000-0000-7000-8000-00000000000" + string("0123456789abcdef"[len(logOf(t, bed))%16])}, c.key: {c.text}, "unit:" + c.key: {c.unit}}
		if got := post(t, bed+"/log", form); got.status != 200 {
			t.Errorf("%s %q: %d", c.key, c.text, got.status)
			continue
		}
		found := false
		for _, r := range logOf(t, bed) {
			found = found || r[c.key] == c.want
		}
		if !found {
			t.Errorf("%s %q in %q is not kept as %q", c.key, c.text, c.unit, c.want)
		}
	}
	// from the rim down: the wall of the frame is 2x8 lumber, 7-1/4 in dressed (PS 20), so 2 in under it are 5-1/4 in deep
	form := url.Values{"at": {"2027-05-11T06:00"}, "depth": {"2"}, "unit:depth": {"rim-in"}}
	post(t, bed+"/log", form)
	if rows := logOf(t, bed); rows[len(rows)-1]["depth"] != "133.3 mm" {
		t.Errorf("2 in under the rim: %v", rows[len(rows)-1])
	}
}

// An entry is corrected on its page; what stood there stays, shown. It is struck out and put back.
func TestAnEntryIsCorrected(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	s := house(t)
	bed := planted(t, s.URL)
	id := "0197f000-0000-7000-8000-000000000001"
	post(t, bed+"/log", url.Values{"at": {"2027-05-10T08:00"}, "id": {id}, "ec": {"16"}, "note": {"<b>windy</b>"}})
	page := get(t, bed+"/history").body
	if !strings.Contains(page, "/log/"+id) {
		t.Fatal("the history does not lead to the visit")
	}
	entry := bed + "/log/" + id
	form := formIn(t, get(t, entry).body, strings.TrimPrefix(entry, s.URL))
	other := strings.Replace(entry, bed, planted(t, s.URL), 1)
	if got := get(t, other); got.status != http.StatusNotFound {
		t.Errorf("under the address of another bed: %d", got.status)
	}
	if got := post(t, other, form); got.status != http.StatusNotFound {
		t.Errorf("corrected under the address of another bed: %d", got.status)
	}
	form.Set("ec", "1.6")
	form.Del("strike")
	got := post(t, entry, form)
	if got.status != 200 || fieldsOf(t, got.body).Get("ec") != "1.6 mS/cm" || !strings.Contains(got.body, "16 mS/cm") || !strings.Contains(got.body, "&lt;b&gt;windy") {
		t.Errorf("corrected: %d, or what stood there is gone", got.status)
	}
	if again := post(t, entry, form); again.status != 200 {
		t.Errorf("sent twice: %d", again.status)
	}
	form.Set("ec", "1.9")
	form.Set("id", "0197f000-0000-7000-8000-000000000002")
	if stale := post(t, entry, form); stale.status != http.StatusConflict {
		t.Errorf("on top of a version that is not the last: %d", stale.status)
	}
	form = formIn(t, got.body, strings.TrimPrefix(entry, s.URL))
	form.Set("strike", "yes")
	post(t, entry, form)
	if n := len(logOf(t, bed)); n != 1 {
		t.Errorf("struck out, and %d visits are left", n)
	}
	form = formIn(t, get(t, entry).body, strings.TrimPrefix(entry, s.URL))
	form.Del("strike")
	post(t, entry, form)
	if rows := logOf(t, bed); len(rows) != 2 || rows[1]["ec"] != "1.6 mS/cm" {
		t.Errorf("put back: %v", rows)
	}
}

// What is picked from the drawings is ranked with its doubt, and kept once.
func TestSeen(t *testing.T) {
	s := house(t)
	bed := planted(t, s.URL)
	page := get(t, bed+"/seen").body
	if n := strings.Count(page, `class="pick"`); n != len(signArt) || strings.Count(page, "<svg") != n {
		t.Errorf("%d signs to pick, %d drawings, %d are in the table", n, strings.Count(page, "<svg"), len(signArt))
	}
	if strings.Contains(page, `id="causes"`) {
		t.Error("nothing was picked, and causes are told")
	}
	page = get(t, bed+"/seen?seen=young_interveinal&seen=nonsense&roots=cream").body
	for _, want := range []string{`id="causes"`, `class="rest"`, "Make sure", `value="young_interveinal" checked`, `value="cream" checked`} {
		if !strings.Contains(page, want) {
			t.Errorf("no %s", want)
		}
	}
	form := formIn(t, page, strings.TrimPrefix(bed, s.URL)+"/log")
	if form.Get("seen") != "young_interveinal" {
		t.Fatalf("%v", form)
	}
	post(t, bed+"/log", form)
	rows := logOf(t, bed)
	if r := rows[len(rows)-1]; r["seen[0]"] != "young_interveinal" || r["roots"] != "cream" {
		t.Errorf("kept: %v", r)
	}
}

// On the day of filling the mix that is planned is pinned in the brief, with the day on which
// the meters were set; once, however often it is sent.
func TestFillingPinsTheMix(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	s := house(t)
	made := sendFile(t, s.URL, invented)
	bed := s.URL + strings.TrimSuffix(made.where, "/brief")
	form := formIn(t, get(t, bed+"/did").body, strings.TrimPrefix(bed, s.URL)+"/log")
	form.Set("at", "2027-05-03T08:00")
	form.Set("filled", "yes")
	form.Set("planted.heads", "32")
	form.Set("meter-set", "yes")
	for range 2 {
		if got := post(t, bed+"/log", form); got.status != 200 {
			t.Fatal(got.status)
		}
	}
	b, _ := brief.Parse("", []byte(get(t, bed+"/brief.yaml").body))
	if len(b.Mix.Doses) == 0 || b.Meter.Checked.Value.Day != 3 {
		t.Errorf("%d doses are pinned; meters set on day %d", len(b.Mix.Doses), b.Meter.Checked.Value.Day)
	}
	if versions := get(t, bed+"/versions").body; !strings.Contains(versions, "Version 2") || strings.Contains(versions, "Version 3") {
		t.Error("not one version was written")
	}
	if whole, _ := brief.Parse("", []byte(get(t, bed+"/bed.yaml").body)); len(whole.Log) != 1 || whole.Log[0].Planted.Heads.Value != 32 {
		t.Error("the export has not the log")
	}
}

// A photo is kept upright, small and with nothing in it but the picture.
func TestPhotos(t *testing.T) {
	s := house(t)
	bed := planted(t, s.URL)
	// wide and dark at the left; the camera was held so that its right is the top (sign 8, TIFF 6.0)
	sent := exif(t, 2400, 1200, 8)
	if !bytes.Contains(sent, []byte("GPS place")) {
		t.Fatal("the test's photo has no place")
	}
	if got := sendPhoto(t, bed, sent); got.status != 200 || !strings.Contains(got.body, "<img src=") {
		t.Fatalf("%d", got.status)
	}
	_, rest, _ := strings.Cut(get(t, bed+"/photos").body, `<img src="`)
	src, _, _ := strings.Cut(rest, `"`)
	kept := get(t, s.URL+src)
	if kept.header.Get("Content-Type") != "image/jpeg" || strings.Contains(kept.body, "GPS place") || strings.Contains(kept.body, "Exif") {
		t.Error("the place is still in it")
	}
	picture, err := jpeg.Decode(strings.NewReader(kept.body))
	if err != nil {
		t.Fatal(err)
	}
	b := picture.Bounds()
	if b.Dx() != 800 || b.Dy() != 1600 {
		t.Errorf("%v", b)
	}
	dark := func(x, y int) bool { r, _, _, _ := picture.At(x, y).RGBA(); return r < 0x4000 }
	if !dark(400, 1500) || dark(400, 100) { // turned a quarter to the left, its left is at the foot
		t.Error("it was not turned")
	}
	for name, bad := range map[string][]byte{"text": []byte("no picture"), "cut": sent[:200], "empty": nil} {
		if got := sendPhoto(t, bed, bad); got.status != http.StatusUnprocessableEntity || !strings.Contains(got.body, `class="wrong"`) {
			t.Errorf("%s: %d", name, got.status)
		}
	}
	page := get(t, bed+"/photos").body
	if n := strings.Count(page, "<img"); n != 1 {
		t.Fatalf("%d photos", n)
	}
	if other := get(t, s.URL+strings.Replace(src, "/photos/", "/photos/0", 1)); other.status != http.StatusNotFound {
		t.Errorf("another's photo: %d", other.status)
	}
	if got := post(t, s.URL+src, nil); got.status != 200 || strings.Contains(got.body, "<img") {
		t.Error("it was not taken away")
	}
}

// exif makes a photo that is dark at the left and bright at the right, with the sign of how
// it was held and a place in it.
func exif(t *testing.T, wide, high, sign int) []byte {
	t.Helper()
	p := image.NewGray(image.Rect(0, 0, wide, high))
	for x := wide / 2; x < wide; x++ {
		for y := range high {
			p.SetGray(x, y, color.Gray{230})
		}
	}
	var out bytes.Buffer
	if err := jpeg.Encode(&out, p, nil); err != nil {
		t.Fatal(err)
	}
	body := append([]byte("Exif\x00\x00MM\x00*\x00\x00\x00\x08\x00\x01\x01\x12\x00\x03\x00\x00\x00\x01\x00"), byte(sign), 0, 0, 0, 0, 0, 0)
	body = append(body, "GPS place"...)
	head := append([]byte{0xFF, 0xD8, 0xFF, 0xE1, byte((len(body) + 2) >> 8), byte(len(body) + 2)}, body...)
	return append(head, out.Bytes()[2:]...)
}

func sendPhoto(t *testing.T, bed string, picture []byte) answered {
	t.Helper()
	var body bytes.Buffer
	w := multipart.NewWriter(&body)
	if picture != nil {
		f, err := w.CreateFormFile("photo", "IMG_1.jpg")
		if err != nil {
			t.Fatal(err)
		}
		f.Write(picture)
	}
	w.Close()
	r, err := http.NewRequest("POST", bed+"/photos", &body)
	if err != nil {
		t.Fatal(err)
	}
	r.Header.Set("Content-Type", w.FormDataContentType())
	return do(t, r)
}

// How a camera is held is read from what is no Exif at all, or is cut anywhere, without harm.
func FuzzHeld(f *testing.F) {
	f.Add([]byte("\xff\xd8\xff\xe1\x00\x22Exif\x00\x00MM\x00*\x00\x00\x00\x08\x00\x01\x01\x12\x00\x03\x00\x00\x00\x01\x00\x06\x00\x00"))
	f.Add([]byte("\xff\xd8\xff\xe1\x00\x10Exif\x00\x00II*\x00\x08\x00\x00\x00"))
	f.Add([]byte("\xff\xd8\xff"))
	f.Fuzz(func(t *testing.T, sent []byte) {
		if n := held(sent); n < 1 || n > 8 {
			t.Errorf("sign %d", n)
		}
	})
}

// Each of the eight signs is undone: the corner that is meant to be at the top left is there
// (TIFF 6.0, tag 274: which row and column of the file the top and left are).
func TestUpright(t *testing.T) {
	p := image.NewRGBA(image.Rect(0, 0, 3, 2))
	for i, at := range []image.Point{{0, 0}, {2, 0}, {2, 1}, {0, 1}} { // clockwise from the file's first
		p.SetRGBA(at.X, at.Y, color.RGBA{uint8(i + 1), 0, 0, 255})
	}
	for sign, corner := range map[int]uint8{1: 1, 2: 2, 3: 3, 4: 4, 5: 1, 6: 4, 7: 3, 8: 2} {
		out := upright(p, sign)
		if got := out.RGBAAt(0, 0).R; got != corner || (sign > 4) != (out.Rect.Dx() == 2) {
			t.Errorf("sign %d: corner %d at the top left, %v", sign, got, out.Rect)
		}
	}
}

// The paper log is keyed in: what can be meant is kept, each row once; a fault stands at its
// cell with what was typed, and nothing is lost.
func TestPaperLog(t *testing.T) {
	s := house(t)
	bed := planted(t, s.URL)
	form := fieldsOf(t, get(t, bed+"/paper").body)
	set := func(row string, cells ...string) {
		for i, c := range cells {
			form.Set("row"+row+":"+keyedColumns[i], c)
		}
	}
	set("0", "5/4", "5-3/4", "64", "1.6", "6.2", "", "", "clear")
	set("1", "6", `"`, "-", "1.5", "62", "3") // a pH of 62, and of the day only its number
	set("2", "5/8/27", "5 1/4", "66", `"`, "6.3", "", "2")
	set("3", "31/31", "5")
	got := post(t, bed+"/paper", form)
	if got.status != http.StatusUnprocessableEntity || strings.Count(got.body, "mendrow") != 2 {
		t.Fatalf("%d, %d faults", got.status, strings.Count(got.body, "mendrow"))
	}
	now := fieldsOf(t, got.body)
	if now.Get("row1:ph") != "62" || now.Get("row1:depth") != "5-3/4" || now.Get("row3:day") != "31/31" {
		t.Errorf("what was typed is lost: %v", now)
	}
	if n := len(logOf(t, bed)); n != 3 {
		t.Errorf("%d visits, two rows were sound", n-1)
	}
	now.Set("row1:ph", "6.2")
	now.Set("row3:day", "5/10")
	got = post(t, bed+"/paper", now)
	if got.status != 200 || strings.Count(got.body, "keptrow") != 4 {
		t.Errorf("%d, %d rows are kept", got.status, strings.Count(got.body, "keptrow"))
	}
	post(t, bed+"/paper", now) // and once more
	rows := logOf(t, bed)
	if len(rows) != 5 {
		t.Fatalf("%d visits", len(rows))
	}
	for i, want := range []map[string]string{
		{"at": "2027-05-04T08:00", "depth": "5-3/4 in", "water temperature": "64 F", "ec": "1.6 mS/cm", "ph": "6.2", "note": "clear"},
		{"at": "2027-05-06T08:00", "depth": "5-3/4 in", "ec": "1.5 mS/cm", "ph": "6.2", "added water": "3 gal"},
		{"at": "2027-05-08T08:00", "depth": "5 1/4 in", "ec": "1.5 mS/cm", "added solution.volume": "2 gal"},
		{"at": "2027-05-10T08:00", "depth": "5 in"},
	} {
		for key, text := range want {
			if rows[i+1][key] != text {
				t.Errorf("row %d, %s: %q, want %q", i+1, key, rows[i+1][key], text)
			}
		}
	}
	if rows[2]["water temperature"] != "" {
		t.Error("what was not read was kept as read")
	}
}

// Days as people write them.
func TestDaysOnPaper(t *testing.T) {
	may := time.Date(2027, 5, 3, 8, 0, 0, 0, time.UTC)
	for _, c := range []struct {
		text, order, want string
		last              time.Time
	}{
		{"5/3", monthFirst, "2027-05-03", time.Time{}}, {"5/3", dayFirst, "2027-03-05", time.Time{}}, {"2027-05-03", dayFirst, "2027-05-03", time.Time{}}, {"5/3/28", monthFirst, "2028-05-03", time.Time{}},
		{"9", monthFirst, "2027-05-09", may}, {"1/2", monthFirst, "2028-01-02", time.Date(2027, 12, 30, 8, 0, 0, 0, time.UTC)}, {"2/29", monthFirst, "", may}, {"13/1", monthFirst, "", may}, {"9", monthFirst, "", time.Time{}}, {"soon", monthFirst, "", may}, {"", monthFirst, "", may},
	} {
		at, ok := dayIn(c.text, c.order, 2027, c.last)
		if got := at.Format(time.DateOnly); ok != (c.want != "") || ok && got != c.want {
			t.Errorf("%q: %s, want %q", c.text, got, c.want)
		}
	}
}

// The days of a bed are a calendar (read by the library, RFC 5545), by an address that can be
// withdrawn; another address tells nothing.
func TestCalendar(t *testing.T) {
	s := house(t)
	bed := planted(t, s.URL)
	if page := get(t, bed+"/dates").body; !strings.Contains(page, "Look at the bed again.") {
		t.Error("the page does not tell when to look again")
	}
	given := post(t, bed+"/share", url.Values{"kind": {"feed"}, "label": {"invented phone"}})
	_, rest, ok := strings.Cut(given.body, "/calendar/")
	if !ok {
		t.Fatal("no address is told")
	}
	token, _, _ := strings.Cut(rest, "<")
	feed := get(t, s.URL+"/calendar/"+strings.TrimSpace(token)+"?language=es")
	cal, err := ics.ParseCalendar(strings.NewReader(feed.body))
	if err != nil || feed.status != 200 || len(cal.Events()) == 0 || !strings.Contains(feed.body, "Mire la cama") {
		t.Fatalf("%d, %v, %.300s", feed.status, err, feed.body)
	}
	_, rest, _ = strings.Cut(get(t, bed+"/share").body, `action="/passes/`)
	pass, _, _ := strings.Cut(rest, `"`)
	post(t, s.URL+"/passes/"+pass, url.Values{"from": {"/"}})
	for _, token := range []string{strings.TrimSpace(token), "invented.ics", strings.Repeat("A", 43)} {
		if got := get(t, s.URL+"/calendar/"+token); got.status != http.StatusNotFound || strings.Contains(got.body, "Invented bed") {
			t.Errorf("%s: %d", token, got.status)
		}
	}
}

// A label is a PDF with the link of its bed; a link of another bed, or none, is not printed.
func TestLabels(t *testing.T) {
	s := house(t)
	bed, other := planted(t, s.URL), planted(t, s.URL)
	made := post(t, bed+"/labels", url.Values{"label": {"on the frame"}})
	link := fieldsOf(t, made.body).Get("link")
	if made.status != 200 || !strings.HasPrefix(link, s.URL+"/with/") {
		t.Fatalf("%d, %q", made.status, link)
	}
	got := post(t, bed+"/labels.pdf", url.Values{"link": {link}, "count": {"6"}})
	if got.status != 200 || !strings.HasPrefix(got.body, "%PDF-") || got.header.Get("Cache-Control") != "no-store" {
		t.Errorf("%d %.20q", got.status, got.body)
	}
	for _, bad := range []string{"", "http://elsewhere.invalid/", link + "x"} {
		if got := post(t, bed+"/labels.pdf", url.Values{"link": {bad}}); got.status != http.StatusUnprocessableEntity {
			t.Errorf("%q: %d", bad, got.status)
		}
	}
	if got := post(t, other+"/labels.pdf", url.Values{"link": {link}}); got.status != http.StatusUnprocessableEntity {
		t.Errorf("a link of another bed: %d", got.status)
	}
	if page := get(t, bed+"/labels").body; strings.Contains(page, link) || !strings.Contains(page, "on the frame") {
		t.Error("the link is told again, or not listed")
	}
}

// What a table program would take for a formula is no formula.
func TestHarmless(t *testing.T) {
	for in, want := range map[string]string{"=1+1": "'=1+1", "@x": "'@x", "+1": "'+1", "-2 C": "-2 C", "5 in": "5 in", "": ""} {
		if got := harmless(in); got != want {
			t.Errorf("%q: %q", in, got)
		}
	}
}
