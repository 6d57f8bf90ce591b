package api

import (
	"context"
	"testing"
	"time"

	"raftwright/plan"
	"raftwright/store"
)

// Without a moment the advice of the same hour is told again, until a visit is kept or another hour begins; a moment
// that is named is worked out for itself.
func TestAdviceOfTheHour(t *testing.T) {
	h := withBed(t)
	made, now := 0, today.Add(10*time.Minute)
	h.Now = func() time.Time { return now }
	h.Taught = func(_ context.Context, _ store.Who, _ store.Bed, j plan.Job) (plan.Plan, error) {
		made++
		return j.Make(nil), nil
	}
	visit := func(id, at, ec string) {
		t.Helper()
		h.ask(t, h.key, "POST", "/api/beds/"+bedA+"/log", `{"id": "`+id+`", "at": "`+at+`", "ec": "`+ec+`", "ph": "6.0", "depth": "5 in"}`).want(t, 201)
	}
	ask := func(query string, worked bool) {
		t.Helper()
		before := made
		h.ask(t, h.key, "GET", "/api/beds/"+bedA+"/advice"+query, "").want(t, 200)
		if (made > before) != worked {
			t.Errorf("%q at %s: worked out %v, want %v", query, now.Format("15:04"), made > before, worked)
		}
	}
	visit(visitA, "2027-05-10T08:00", "1.6 mS/cm")
	ask("", true)
	now = now.Add(40 * time.Minute)
	ask("", false)
	ask("?now="+now.Truncate(time.Hour).Format("2006-01-02T15:04"), true)
	visit(visitB, "2027-05-11T08:20", "1.5 mS/cm")
	ask("", true)
	ask("", false)
	now = now.Add(20 * time.Minute)
	ask("", true)
}
