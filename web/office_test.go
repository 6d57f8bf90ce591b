package web

import (
	"math"
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"
	"time"

	"raftwright/brief"
	"raftwright/finding"
	"raftwright/plan"
	"raftwright/store"
)

// An office keeps a water once; a bed takes it, what differs is shown first, and nothing is taken unseen.
func TestSharedIntoABed(t *testing.T) {
	server, kept, askers, _ := staffedHouse(t)
	volunteer, grower := askers[1], askers[2]
	_, empty := volunteer.page(t, "GET", server.URL+"/shared/new/water", nil)
	form := fieldsOf(t, empty)
	form.Set("name", "Invented town water")
	form.Set("place", "Invented town")
	form.Set("day", "2027-03-01")
	form.Set("water.alkalinity", "180 mg/L CaCO3")
	form.Set("water.calcium", "61 mg/L")
	form.Set("site.place", "04473") // not of a water
	form.Del("water.kind")
	at := strings.Index(empty, `action="/shared/`)
	address := empty[at+8 : at+8+strings.IndexByte(empty[at+8:], '"')]
	if status, body := volunteer.page(t, "POST", server.URL+address, form); status != http.StatusSeeOther {
		t.Fatalf("kept: %d %s", status, body)
	}
	if status, body := grower.page(t, "GET", server.URL+address, nil); status != 200 || !strings.Contains(body, `value="2027-03-01"`) || !strings.Contains(body, "61 mg/L") || strings.Contains(body, "button class=\"do main\"") {
		t.Errorf("a grower reads it: %d", status)
	}
	id := strings.TrimPrefix(address, "/shared/")
	sheet, err := kept.Sheet(t.Context(), store.Holder(), id)
	if err != nil || strings.Contains(sheet.Text, "04473") || sheet.Kind != store.WaterSheet {
		t.Errorf("kept: %+v %v", sheet, err)
	}
	status, offer := grower.page(t, "POST", server.URL+"/beds/"+grower.bed+"/import", url.Values{"sheet": {id}})
	if status != 200 || !strings.Contains(offer, "61 mg/L") || !strings.Contains(offer, "hard") {
		t.Fatalf("offered: %d", status)
	}
	if b, _ := kept.Bed(t.Context(), store.Holder(), grower.bed); b.Version != 1 {
		t.Error("it was taken unseen")
	}
	take := fieldsOf(t, offer)
	take.Set("text", strings.TrimPrefix(textOf(t, offer), "\n"))
	take.Set("take", "here")
	if status, _ := grower.page(t, "POST", server.URL+"/beds/"+grower.bed+"/import", take); status != http.StatusSeeOther {
		t.Fatalf("taken: %d", status)
	}
	b, err := kept.Bed(t.Context(), store.Holder(), grower.bed)
	if err != nil || b.Version != 2 || !strings.Contains(b.Brief, "61 mg/L") || strings.Contains(b.Brief, "kind: hard") || !strings.Contains(b.Brief, "title: Invented bed") {
		t.Errorf("taken: version %d\n%s", b.Version, b.Brief)
	}
	take.Set("id", store.NewID())
	if status, _ := grower.page(t, "POST", server.URL+"/beds/"+grower.bed+"/import", take); status != http.StatusOK && status != http.StatusConflict {
		t.Errorf("taken over a later version: %d", status)
	}
}

// The day of filling pins the mix, keeps the edition, and stands in the log, once however often it is sent; the next season frees it.
func TestFillAndNextSeason(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	server, kept, askers, _ := staffedHouse(t)
	grower := askers[2]
	at := server.URL + "/beds/" + grower.bed
	_, page := grower.page(t, "GET", at+"/fill", nil)
	form := fieldsOf(t, page)
	if form.Get("at") == "" {
		t.Fatalf("no mix to fill with:\n%s", page)
	}
	_, section := grower.page(t, "GET", at+"/plan/mix", nil)
	_, card, _ := strings.Cut(section, `<div class="pressed">`)
	if card, _, _ = strings.Cut(card, "</div>\n<details class=\"more\"><summary>How each"); len(card) < 500 || !strings.Contains(page, card) {
		t.Error("the amounts, their order and their cautions are not those of the mixing card")
	}
	for range 2 {
		if status, _ := grower.page(t, "POST", at+"/fill", form); status != http.StatusSeeOther {
			t.Fatalf("filled: %d", status)
		}
	}
	b, err := kept.Bed(t.Context(), store.Holder(), grower.bed)
	if err != nil {
		t.Fatal(err)
	}
	known, faults := brief.Parse("", []byte(b.Brief))
	if len(faults) > 0 || len(known.Mix.Doses) == 0 || b.Version != 2 || !strings.HasPrefix(b.Edition, "1-") {
		t.Errorf("version %d, edition %q, %v\n%s", b.Version, b.Edition, faults, b.Brief)
	}
	list, err := kept.Log(t.Context(), store.Holder(), grower.bed)
	if err != nil || len(list) != 1 || list[0].Pairs[0] != (store.Pair{Path: "filled", Text: "yes"}) {
		t.Errorf("log: %v %v", list, err)
	}
	status, page := grower.page(t, "GET", at+"/next", nil)
	if status != 200 || !strings.Contains(page, "mix") {
		t.Errorf("next season: %d", status)
	}
	table, _, _ := strings.Cut(page, "<textarea")
	if raw := regexp.MustCompile(`mix\.doses|acid\.|\d\.\d{4}|\d{4}-\d\d-\d\d</td>`).FindString(table); raw != "" || !strings.Contains(table, "Mix already settled: ") || !strings.Contains(table, "\u00a0g/L</td>") {
		t.Errorf("what differs is not told in words and rounded amounts: %q\n%s", raw, table)
	}
	take := fieldsOf(t, page)
	take.Set("text", textOf(t, page))
	take.Set("take", "here")
	if status, _ := grower.page(t, "POST", at+"/import", take); status != http.StatusSeeOther {
		t.Fatalf("next season: %d", status)
	}
	b, _ = kept.Bed(t.Context(), store.Holder(), grower.bed)
	if known, _ := brief.Parse("", []byte(b.Brief)); b.Version != 3 || len(known.Mix.Doses) > 0 {
		t.Errorf("the next season has the old mix:\n%s", b.Brief)
	}
	named := func(version int) string { // the acid that a version names
		list, err := kept.Versions(t.Context(), store.Holder(), grower.bed)
		if err != nil {
			t.Fatal(err)
		}
		known, _ := brief.Parse("", []byte(list[version-1].Text))
		return textsOf(known.Values())["acid.product"]
	}
	if named(1) != "" || named(2) == "" {
		t.Fatalf("the fill did not name the acid that was proposed: %q, then %q", named(1), named(2))
	}
	if named(3) != "" {
		t.Errorf("the next season keeps %q, which nobody named", named(3))
	}
	v := &visit{House: &House{}}
	was, _ := kept.Versions(t.Context(), store.Holder(), grower.bed)
	if mine, _ := brief.Parse("", []byte(was[1].Text)); textsOf(v.unnamed(must(mine.Set("acid.product", "sulfuric")), was[:2]).Values())["acid.product"] != "sulfuric" {
		t.Error("an acid that was named after the fill is forgotten")
	}
}

// must gives a brief that was set without a fault.
func must(b *brief.Brief, faults finding.Faults) *brief.Brief {
	if b == nil {
		panic(faults)
	}
	return b
}

// Of the next season every day of the schedule is a year on; of a leap day the day before.
func TestNextSeasonsDays(t *testing.T) {
	b, _ := brief.Parse("", []byte("schedule: {first harvest: 2028-02-29, last harvest: 2028-10-31, breaks: [{from: 2028-06-20, to: 2028-07-05}]}\nprices: {on: 2027-03-01}\nmix: {doses: {a: 1 g/L}}\nacid: {product: citric, dose: 1 mmol/L}\n"))
	got := string(nextSeason(b).Encode())
	for _, want := range []string{"2029-02-28", "2029-10-31", "2029-06-20", "2029-07-05", "2027-03-01", "citric"} {
		if !strings.Contains(got, want) {
			t.Errorf("no %s in\n%s", want, got)
		}
	}
	if strings.Contains(got, "doses") || strings.Contains(got, "mmol") || strings.Contains(got, "2028") {
		t.Errorf("pinned or old:\n%s", got)
	}
	if on := yearOn(time.Date(2027, 2, 28, 0, 0, 0, 0, time.UTC)); on.Format(time.DateOnly) != "2028-02-28" {
		t.Error(on)
	}
}

// textOf reads the brief that an offer holds.
func textOf(t *testing.T, page string) string {
	t.Helper()
	at := strings.Index(page, "<textarea")
	if at < 0 {
		t.Fatalf("nothing is offered:\n%s", page)
	}
	at += strings.IndexByte(page[at:], '>') + 1
	text := page[at : at+strings.Index(page[at:], "</textarea>")]
	return strings.NewReplacer("&lt;", "<", "&gt;", ">", "&#34;", `"`, "&#39;", "'", "&#43;", "+", "&amp;", "&").Replace(text)
}

// The acid that is poured on the day of filling is pinned with the mix: the one that the brief names, the one that the plan proposes where it
// names none, and at a home the mild one that stands in place of a strong one. The plan of the pinned brief pours as much of it.
func TestFillingPinsTheAcid(t *testing.T) {
	hard := strings.Replace(invented, "kind: hard", "alkalinity: 180 mg/L CaCO3, ph: 7.6, calcium: 60 mg/L, magnesium: 12 mg/L", 1)
	for what, acid := range map[string]string{"named": "acid: {product: citric}\n", "proposed": "", "strong": "acid: {product: sulfuric 93 %}\n"} {
		b, faults := brief.Parse("", []byte(hard+acid)) // at a school
		if len(faults) > 0 {
			t.Fatal(faults)
		}
		p := plan.Job{Brief: b, Book: plan.DefaultBook(), Files: plan.Files{}, Asked: plan.Everything}.Make(nil)
		if p.Mix == nil || p.Mix.Acid.Dose <= 0 {
			t.Fatalf("%s: no acid is poured", what)
		}
		next := pinned(b, p)
		again := plan.Job{Brief: next, Book: plan.DefaultBook(), Files: plan.Files{}, Asked: plan.Everything}.Make(nil)
		if !next.Acid.Dose.Given || next.Acid.Product.Value.Name == brief.Sulfuric || !next.Acid.Product.Given {
			t.Errorf("%s: pinned is\n%s", what, next.Encode())
		}
		if again.Mix == nil || math.Abs(float64(again.Mix.Acid.Dose/p.Mix.Acid.Dose)-1) > 1e-4 {
			t.Errorf("%s: %v mmol/L were poured, %v are planned of the pinned brief", what, p.Mix.Acid.Dose.MillimolesPerLitre(), again.Mix.Acid.Dose.MillimolesPerLitre())
		}
	}
}

// Whoever fills a bed by its link writes the log and not the plan, and is told so; its owner holds the mix with one touch, and the
// log has the filling once.
func TestAVisitorFills(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	server, kept, askers, _ := staffedHouse(t)
	grower, link := askers[2], askers[3]
	at := server.URL + "/beds/" + grower.bed
	if status, _ := link.page(t, "POST", at+"/log", url.Values{"id": {store.NewID()}, "at": {"2027-05-10T09:00"}, "filled": {"yes"}, "planted.heads": {"32"}}); status != http.StatusSeeOther {
		t.Fatal(status)
	}
	if _, page := link.page(t, "GET", at+"/today", nil); !strings.Contains(page, "the plan does not hold the mix yet") || !strings.Contains(page, "not the plan. Tell whoever") {
		t.Error("a visitor is not told that the mix is not held")
	}
	_, page := grower.page(t, "GET", at+"/today", nil)
	form := formIn(t, page, "/beds/"+grower.bed+"/fill")
	if form.Get("at") != "2027-05-10T09:00" {
		t.Fatalf("its owner is not asked to hold the mix: %v", form)
	}
	if status, _ := link.page(t, "POST", at+"/fill", form); status != http.StatusForbidden {
		t.Errorf("a visitor holds the mix: %d", status)
	}
	if status, _ := grower.page(t, "POST", at+"/fill", form); status != http.StatusSeeOther {
		t.Fatal(status)
	}
	b, _ := kept.Bed(t.Context(), store.Holder(), grower.bed)
	list, _ := kept.Log(t.Context(), store.Holder(), grower.bed)
	if known, _ := brief.Parse("", []byte(b.Brief)); len(known.Mix.Doses) == 0 || len(list) != 1 {
		t.Errorf("%d visits;\n%s", len(list), b.Brief)
	}
	if _, page := link.page(t, "GET", at+"/today", nil); strings.Contains(page, "does not hold the mix") {
		t.Error("held, and still told")
	}
}
