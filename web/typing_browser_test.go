package web

import (
	"context"
	"fmt"
	"net/url"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"raftwright/store"
)

// Times of the keystroke-level model in seconds (Card, Moran and Newell 1980, Communications of the ACM 23(7), 396-410): who types at an average (40 words a minute, 0.28 a key; we take
// 200 keys a minute, a little slower), thinks before each sheet, row or command, points with the mouse, and moves the hand between it and the keys.
const (
	keyTime   = 60.0 / 200
	thinkTime = 1.35
	pointTime = 1.10
	handTime  = 0.40
)

// typist is somebody who types into a page, and is counted.
type typist struct {
	*testing.T
	ctx                         context.Context
	keys, thought, points, hand int
}

// types sends keys, one a letter; before thinks first.
func (p *typist) types(text string) {
	p.Helper()
	p.keys += len([]rune(text))
	run(p.T, p.ctx, chromedp.KeyEvent(text))
}

// clicks points at something, clicks it and brings the hand back.
func (p *typist) clicks(selector string) {
	p.Helper()
	p.thought, p.points, p.keys, p.hand = p.thought+1, p.points+1, p.keys+1, p.hand+1
	run(p.T, p.ctx, chromedp.Click(chromedp.CSS(selector)))
}

// takes gives the seconds of the model.
func (p *typist) takes() float64 {
	return float64(p.keys)*keyTime + float64(p.thought)*thinkTime + float64(p.points)*pointTime + float64(p.hand)*handTime
}

func (p *typist) tells(what string) {
	p.Helper()
	p.Logf("%s: %d keys, %d thoughts, %d points, %d times the hand: %.0f s", what, p.keys, p.thought, p.points, p.hand, p.takes())
	if p.takes() > 180 {
		p.Errorf("%s takes %.0f s, more than three minutes", what, p.takes())
	}
}

// A paper log of 28 days is keyed in three minutes: four readings a day, water in every third row, a note in three; the days are as they were written.
func TestAPaperLogInThreeMinutes(t *testing.T) {
	ctx := browser(t)
	s := house(t)
	bed := planted(t, s.URL)
	run(t, ctx, chromedp.Navigate(bed+"/paper"))
	until(t, ctx, `document.readyState === "complete"`)
	p := &typist{T: t, ctx: ctx}
	p.clicks(`[id="row0:day"]`)
	first := time.Date(2027, 5, 8, 0, 0, 0, 0, time.UTC)
	for i := range keyedRows {
		day := first.AddDate(0, 0, i)
		p.thought++ // the next row of the paper
		if want := fmt.Sprintf("row%d:day", i); ask[string](t, ctx, `document.activeElement.id`) == want {
			written := fmt.Sprint(day.Day())
			if i == 0 || day.Day() == 1 {
				written = day.Format("1/2")
			}
			p.types(written + "\t")
		}
		p.types(fmt.Sprintf("%s\t%d\t%d\t%d", []string{"6", "5-3/4", "5-1/2", "5-1/4"}[i%4], 62+i%9, 14+i%5, 58+i%7))
		if i%3 == 2 {
			p.types("\t4")
		}
		if i%9 == 4 {
			p.types(strings.Repeat("\t", 3) + "warm day")
		}
		p.types("\r")
	}
	p.thought++
	p.types("\r")
	until(t, ctx, fmt.Sprintf(`document.querySelectorAll(".keptrow").length === %d`, keyedRows))
	p.tells("the paper log")
	rows := logOf(t, bed)
	for i, row := range rows[len(rows)-keyedRows:] {
		if day := first.AddDate(0, 0, i).Format("2006-01-02"); !strings.HasPrefix(row["at"], day) || row["ph"] != fmt.Sprintf("%.1f", 5.8+float64(i%7)/10) {
			t.Fatal(i, row)
		}
	}
}

// A day that breaks the step is typed over, and nothing is filled on until two steps are alike again; over the end of a month the month is written.
func TestDaysAreFilledOn(t *testing.T) {
	ctx := browser(t)
	s := house(t)
	bed := planted(t, s.URL)
	run(t, ctx, chromedp.Navigate(bed+"/paper"))
	until(t, ctx, `document.readyState === "complete"`)
	ask[bool](t, ctx, `(`+el("row0:day")+`.focus(), true)`)
	run(t, ctx, chromedp.KeyEvent("5/24\t6\r26\t6\r28\t6\r"))
	at := func(row int, day string, in string) {
		t.Helper()
		if got := ask[string](t, ctx, el(fmt.Sprintf("row%d:day", row))+`.value + " " + document.activeElement.id.slice(5)`); got != day+" "+in {
			t.Errorf("row %d: %q", row, got)
		}
	}
	at(3, "30", "depth")
	run(t, ctx, chromedp.KeyEvent("6\r"))
	at(4, "6/1", "depth")
	ask[bool](t, ctx, `(`+el("row4:day")+`.focus(), `+el("row4:day")+`.select(), true)`)
	run(t, ctx, chromedp.KeyEvent("6/4\t6\r"))
	at(5, "", "day")
	run(t, ctx, chromedp.KeyEvent("6\t6\r"))
	at(6, "", "day")
}

// Twenty who signed, of whom six are new, are keyed in three minutes.
func TestASignInSheetInThreeMinutes(t *testing.T) {
	ctx := browser(t)
	s := houseWithYear(t)
	id := store.NewID()
	post(t, s.URL+"/keying", url.Values{"id": {id}, "event": {"E002"}, "kind": {"signins"}})
	run(t, ctx, chromedp.Navigate(s.URL+"/keying/"+id))
	until(t, ctx, `document.readyState === "complete"`)
	codes := ask[[]string](t, ctx, `fetch("/program/people").then(r => r.text()).then(x => [...x.matchAll(/<a class="touch"[^>]*>(P[0-9A-Z]{4})</g)].map(m => m[1]).slice(0, 14))`)
	p := &typist{T: t, ctx: ctx}
	p.clicks(`[id="row1:code"]`)
	for i := range 20 {
		p.thought++
		if i < len(codes) {
			p.types(strings.ToLower(codes[i]) + "\r")
		} else {
			p.types(fmt.Sprintf("\tnew neighbor %d\t555 010%d\ty\r", i, i%10))
		}
	}
	p.thought++
	p.types("\r")
	until(t, ctx, `document.querySelector("main [role=status]")?.textContent.includes("20") && !document.querySelector("[aria-invalid]")`)
	p.tells("the sign-in sheet")
}

// A question is answered by seven facts, written down and counted in three minutes of hand and head; what is said and heard meanwhile is not in them.
func TestAQuestionInThreeMinutes(t *testing.T) {
	ctx := browser(t)
	s := houseWithYear(t)
	counted := func() string {
		return regexp.MustCompile(`(?m)^.*contacts_inquiries.*ALD.*$|^.*ALD.*contacts_inquiries.*$`).FindString(get(t, s.URL+"/program/report.csv?funder=BOARD&day=2027-07-05").body)
	}
	before := counted()
	run(t, ctx, chromedp.Navigate(s.URL+"/question"))
	p := &typist{T: t, ctx: ctx}
	p.clicks(`input[name="seen"][value="young_interveinal"]`)
	p.clicks(`button.main`)
	for facts := 1; ; facts++ {
		until(t, ctx, `document.readyState === "complete" && document.querySelector("a[href^='/program/inquiries']")`)
		if !ask[bool](t, ctx, `Boolean(document.querySelector(".part.first .doors a"))`) || facts == 7 {
			break
		}
		at := ask[string](t, ctx, `location.href`)
		p.clicks(`.part.first .doors li:first-child a`)
		until(t, ctx, `location.href !== "`+at+`"`)
	}
	p.clicks(`a[href^='/program/inquiries']`)
	until(t, ctx, el("f-county"))
	p.clicks(`#f-county`)
	p.types("ALD\tphone" + strings.Repeat("\t", 6) + "12\r")
	until(t, ctx, `document.querySelector("main p[role=status]")?.textContent.startsWith("Kept: ")`)
	p.tells("the question")
	if now := counted(); now == before || now == "" {
		t.Errorf("not counted: %s", now)
	}
}
