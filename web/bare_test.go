package web

import (
	"bytes"
	"database/sql"
	"log/slog"
	"path/filepath"
	"runtime/debug"
	"slices"
	"sync/atomic"
	"testing"
	"time"

	"raftwright/plan"
	"raftwright/store"
)

// A bed without a visit whose form was looked at is reckoned when its brief was kept anew.
func TestABedWithoutALogIsReckoned(t *testing.T) {
	s := emptyStore(t)
	id, day := grown(t, s, 0)
	h := &House{Store: s, Book: plan.DefaultBook(), Own: true, Now: func() time.Time { return day }}
	get(t, serving(t, h).URL+"/beds/"+id+"/brief")
	b, err := s.Bed(t.Context(), store.Holder(), id)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := s.PutBrief(t.Context(), store.Holder(), store.NewID(), id, 1, b.Brief+"# another\n", plan.Code); err != nil {
		t.Fatal(err)
	}
	if err := h.reckon(t.Context(), id); err != nil {
		t.Fatal(err)
	}
}

// Where every visit was struck out the plan is that of before the first: what they taught is not so, and nothing is late for ever.
func TestStruckVisitsTeachNothing(t *testing.T) {
	s := emptyStore(t)
	id, day := grown(t, s, 0)
	h := &House{Store: s, Book: plan.DefaultBook(), Own: true, Now: func() time.Time { return day }}
	bed := serving(t, h).URL + "/beds/" + id
	bare := figuresShown(t, get(t, bed+"/plan").body)
	id, day = grown(t, s, 30)
	bed = bed[:len(bed)-len(id)] + id
	if figuresShown(t, get(t, bed+"/plan").body) == bare || figuresShown(t, get(t, bed+"/brief").body) == bare {
		t.Fatal("the log teaches nothing")
	}
	list, err := s.Log(t.Context(), store.Holder(), id)
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range list {
		if _, err := s.Correct(t.Context(), store.Holder(), store.NewID(), e.ID, e.Version, e.At, nil); err != nil {
			t.Fatal(err)
		}
	}
	day = day.Add(25 * time.Hour)
	for _, page := range []string{"/plan", "/brief", "/plan"} {
		if got := figuresShown(t, get(t, bed+page).body); got != bare {
			t.Errorf("%s says\n%s\nwithout a log\n%s", page, got, bare)
		}
	}
	for _, page := range []string{"/today", "/history", "/dates", "/seen?seen=bolting"} {
		if got := get(t, bed+page); got.status != 200 {
			t.Errorf("%s: %d", page, got.status)
		}
	}
}

// Where our own work breaks at one bed the server goes on, and the others are reckoned.
func TestABedThatBreaksStopsNoOther(t *testing.T) {
	s := emptyStore(t)
	bad, day := grown(t, s, 1)
	good, _ := grown(t, s, 1)
	var told bytes.Buffer
	h := &House{Store: s, Book: plan.DefaultBook(), Own: true, Log: slog.New(slog.NewTextHandler(&told, nil))}
	breaks := atomic.Bool{}
	h.Now = func() time.Time {
		if breaks.Load() && bytes.Contains(debug.Stack(), []byte(".(*House).attention(")) {
			breaks.Store(false) // at one of them
			panic("invented")
		}
		return day
	}
	breaks.Store(true)
	if err := h.reckonDue(t.Context()); err != nil {
		t.Fatal(err)
	}
	if !bytes.Contains(told.Bytes(), []byte("invented")) || bytes.Contains(told.Bytes(), []byte("79 F")) {
		t.Errorf("the log of the server says %s", &told)
	}
	if due, err := s.AttentionDue(t.Context(), day, 10); err != nil || len(due) > 0 {
		t.Errorf("due still: %v, %v (of %s and %s)", due, err, bad, good)
	}
	if due, _ := s.AttentionDue(t.Context(), day.Add(passedFor), 10); len(due) == 0 {
		t.Error("the bed that was passed over is never reckoned again")
	}
	breaks.Store(true)
	server := serving(t, h)
	get(t, server.URL+"/beds/"+bad+"/today", "Prefer", "wait=2")
	for end := time.Now().Add(20 * time.Second); h.follower.waits() || working(h); time.Sleep(20 * time.Millisecond) {
		if time.Now().After(end) {
			t.Fatal("the follower stands still")
		}
	}
	if got := get(t, server.URL+"/beds/"+good+"/today"); got.status != 200 {
		t.Errorf("after it broke: %d", got.status)
	}
}

// A bed of which the store gives no sense is told and passed over for a while, and the beds behind it are reckoned; so are they where it cannot even be
// passed over.
func TestABedThatCannotBeReadHoldsBackNoOther(t *testing.T) {
	s, at := copied(t, empty.made(t, nil, func(*store.Store) {}))
	t.Cleanup(func() { s.Close() })
	bad, day := grown(t, s, 1)
	worse, _ := grown(t, s, 1)
	good, _ := grown(t, s, 1)
	db, err := sql.Open("sqlite3", "file:"+filepath.ToSlash(at))
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	for _, statement := range []string{
		"UPDATE entry SET pairs = 'none' WHERE bed IN ('" + bad + "', '" + worse + "')",
		"CREATE TRIGGER kept BEFORE INSERT ON attention WHEN NEW.bed = '" + worse + "' BEGIN SELECT RAISE(ABORT, 'invented'); END",
	} {
		if _, err := db.Exec(statement); err != nil {
			t.Fatal(err)
		}
	}
	var told bytes.Buffer
	h := &House{Store: s, Book: plan.DefaultBook(), Own: true, Log: slog.New(slog.NewTextHandler(&told, nil)), Now: func() time.Time { return day }}
	if err := h.reckonDue(t.Context()); err == nil {
		t.Error("nothing is said of a bed that cannot be passed over")
	}
	if due, err := s.AttentionDue(t.Context(), day, 10); err != nil || !slices.Equal(due, []string{worse}) {
		t.Errorf("due still: %v, %v; not %s and %s, but %s", due, err, bad, good, worse)
	}
	if due, _ := s.AttentionDue(t.Context(), day.Add(againSoon), 10); !slices.Contains(due, bad) || slices.Contains(due, good) {
		t.Errorf("due soon: %v", due)
	}
	if !bytes.Contains(told.Bytes(), []byte(bad)) {
		t.Errorf("the log of the server says %s", &told)
	}
}
