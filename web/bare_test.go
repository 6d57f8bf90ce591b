package web

import (
	"bytes"
	"context"
	"database/sql"
	"errors"
	"log/slog"
	"path/filepath"
	"runtime/debug"
	"slices"
	"strings"
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
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
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
	if due, err := s.AttentionDue(t.Context(), day, "", 10); err != nil || len(due) > 0 {
		t.Errorf("due still: %v, %v (of %s and %s)", due, err, bad, good)
	}
	if due, _ := s.AttentionDue(t.Context(), day.Add(passedFor), "", 10); len(due) == 0 {
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
	was := store.Attention{Group: store.Group{County: "Alder County"}, Reading: store.LastReading{Texts: map[string]string{"ec": "1.6 mS/cm"}}}
	if err := s.SetAttention(t.Context(), store.Holder(), bad, was); err != nil {
		t.Fatal(err)
	}
	if err := h.reckonDue(t.Context()); err != nil {
		t.Fatal(err)
	}
	list, err := s.Attention(t.Context(), store.Holder(), was.Group, nil, 10)
	if err != nil || len(list) != 1 || list[0].Bed.ID != bad || list[0].Rank < rankNow || list[0].Reasons[0].Code != unknown || list[0].Reading.Texts["ec"] != "1.6 mS/cm" {
		t.Errorf("a bed of which it is not known what it needs stands on the list of its county as %+v, %v", list, err)
	}
	if page := get(t, serving(t, h).URL+"/beds").body; !strings.Contains(page, "What this bed needs could not be worked out.") {
		t.Error("the list does not say so")
	}
	if due, err := s.AttentionDue(t.Context(), day, "", 10); err != nil || !slices.Equal(due, []string{worse}) {
		t.Errorf("due still: %v, %v; not %s and %s, but %s", due, err, bad, good, worse)
	}
	if due, _ := s.AttentionDue(t.Context(), day.Add(againSoon), "", 10); !slices.Contains(due, bad) || slices.Contains(due, good) {
		t.Errorf("due soon: %v", due)
	}
	if !bytes.Contains(told.Bytes(), []byte(bad)) || bytes.Count(told.Bytes(), []byte(worse)) != 2 {
		t.Errorf("the log of the server says %s", &told)
	}
}

// However many beds are stuck, of which not even that can be kept, they hide none behind them; they are tried again after a while, and not at each
// turn.
func TestStuckBedsHideNoOther(t *testing.T) {
	s, at := copied(t, empty.made(t, nil, func(*store.Store) {}))
	t.Cleanup(func() { s.Close() })
	bed := func() string {
		id := store.NewID()
		if _, err := s.PutBed(t.Context(), store.Holder(), id, invented, plan.Code); err != nil {
			t.Fatal(err)
		}
		return id
	}
	for range 2*reckonAtOnce + 3 {
		bed()
	}
	good := bed()
	db, err := sql.Open("sqlite3", "file:"+filepath.ToSlash(at))
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	if _, err := db.Exec("CREATE TRIGGER kept BEFORE INSERT ON attention WHEN NEW.bed <> '" + good + "' BEGIN SELECT RAISE(ABORT, 'invented'); END"); err != nil {
		t.Fatal(err)
	}
	var told bytes.Buffer
	day := time.Date(2027, 5, 11, 8, 0, 0, 0, time.Local)
	h := &House{Store: s, Book: plan.DefaultBook(), Own: true, Log: slog.New(slog.NewTextHandler(&told, nil)), Now: func() time.Time { return day }}
	due := func() (n int, isGood bool) {
		list, err := s.AttentionDue(t.Context(), day, "", 100)
		if err != nil {
			t.Fatal(err)
		}
		return len(list), slices.Contains(list, good)
	}
	for range 2 {
		if err := h.reckonDue(t.Context()); err != nil {
			t.Fatal(err)
		}
	}
	if n, is := due(); n != 2*reckonAtOnce+3 || is {
		t.Errorf("%d beds are due still, the one behind them: %v", n, is)
	}
	if n := bytes.Count(told.Bytes(), []byte("msg=attention")); n != 2*(2*reckonAtOnce+3) {
		t.Errorf("%d lines of the log of the server, two are wanted of each bed", n)
	}
	if _, err := db.Exec("DROP TRIGGER kept"); err != nil {
		t.Fatal(err)
	}
	day = day.Add(againSoon)
	if err := h.reckonDue(t.Context()); err != nil {
		t.Fatal(err)
	}
	if n, _ := due(); n != 0 {
		t.Errorf("%d beds are never tried again", n)
	}
}

// A bed that takes all the time that there is for one turn hides none behind it: the next turn begins with those.
func TestABedThatTakesAllTheTimeHidesNoOther(t *testing.T) {
	s := emptyStore(t)
	first, day := grown(t, s, 1)
	second, _ := grown(t, s, 1)
	stop := func() {}
	h := &House{Store: s, Book: plan.DefaultBook(), Own: true}
	h.Now = func() time.Time {
		if bytes.Contains(debug.Stack(), []byte(".(*House).attention(")) {
			stop()
		}
		return day
	}
	for _, want := range []string{first, second, first} {
		ctx, cancel := context.WithCancel(t.Context())
		stop = cancel
		if err := h.reckonDue(ctx); !errors.Is(err, context.Canceled) {
			t.Fatal(err)
		}
		if got, _ := h.reckoned.Load().(string); got != want {
			t.Errorf("it was broken off at %s, not %s", got, want)
		}
		cancel()
	}
}
