package web

import (
	"encoding/json"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"raftwright/answer"
	"raftwright/brief"
	"raftwright/finding"
	"raftwright/plan"
	"raftwright/store"
)

// watered is a bed of the demonstration's brief on a store, with the readings of a week that ask for something to be poured.
type watered struct {
	*testing.T
	kept *store.Store
	bed  string
	now  time.Time
}

func wateredBed(t *testing.T) *watered {
	t.Helper()
	demo, err := os.ReadFile("../examples/demo.yaml")
	if err != nil {
		t.Fatal(err)
	}
	s, err := store.Open(t.Context(), store.InFolder(filepath.Join(t.TempDir(), "kept")))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	w := &watered{t, s, store.NewID(), time.Date(2027, 5, 11, 8, 0, 0, 0, time.UTC)}
	if _, err := s.PutBed(t.Context(), store.Holder(), w.bed, string(demo), plan.Code); err != nil {
		t.Fatal(err)
	}
	w.visit(w.now.AddDate(0, 0, -9), "filled", string(brief.FilledMix), "planted", "32", "depth", "5-1/2 in")
	w.visit(w.now.AddDate(0, 0, -1), "ec", "1.6 mS/cm", "ph", "6.0", "depth", "4 in", "water temperature", "66 F")
	return w
}

func (w *watered) visit(at time.Time, texts ...string) {
	w.Helper()
	var pairs []brief.Pair
	for i := 0; i < len(texts); i += 2 {
		pairs = append(pairs, brief.Pair{Path: finding.Path(texts[i]), Text: texts[i+1]})
	}
	if _, err := w.kept.Keep(w.Context(), store.Holder(), store.NewID(), w.bed, at, pairs); err != nil {
		w.Fatal(err)
	}
}

// server is one server on the store, which waits for a log as long as it is told.
func (w *watered) server(patience time.Duration) (*House, http.Handler) {
	h := &House{Store: w.kept, Book: plan.DefaultBook(), Demo: []byte(invented), Own: true, Patience: patience, Now: func() time.Time { return w.now }}
	w.Cleanup(h.follower.stop)
	return h, h.Handler()
}

// look asks for a page of the bed.
func (w *watered) look(at http.Handler, page string, prefer ...string) string {
	w.Helper()
	out, r := httptest.NewRecorder(), httptest.NewRequest("GET", "/beds/"+w.bed+"/"+page, nil)
	r.Host, r.Header["Prefer"] = "127.0.0.1", prefer
	if at.ServeHTTP(out, r); out.Code != http.StatusOK {
		w.Fatal(page, out.Code, out.Body.String())
	}
	return out.Body.String()
}

// engaged keeps a server from following any log until it is told to go on.
func engaged(t *testing.T, h *House) (goOn func()) {
	t.Helper()
	behind, err := h.turns.takeBehind(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	ahead, err := h.turns.takeAhead(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	return sync.OnceFunc(func() { behind(); ahead() })
}

// What was worked out before a visit is never shown as if it were of after it: the page says so at once, of what was to be poured
// nothing is left, and what the visit says by itself stands there. Who waits for it is shown the new advice.
func TestNothingOfBeforeIsShownAsNew(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	w := wateredBed(t)
	h, at := w.server(time.Minute)
	first := w.look(at, "today")
	if strings.Contains(first, "data-late") || !strings.Contains(first, `class="once"`) {
		t.Fatal("nothing is to be poured at this bed")
	}
	h.Patience = time.Millisecond
	goOn := engaged(t, h)
	defer goOn()
	w.visit(w.now.Add(-time.Minute), "depth", "5 in", "ec", "3.4 mS/cm", "ph", "5.8")
	late := w.look(at, "today?kept=x")
	for _, want := range []string{"data-late", "New advice is being worked out.", "May 11, 2027, 08:00, before the last entry", "Do not pour what an earlier page said", "3.4 mS/cm – higher than this bed should have", "pH: 5.8 – as it should be", "late.", `http-equiv="refresh"`} {
		if !strings.Contains(late, want) {
			t.Errorf("the page of a late answer does not say %q", want)
		}
	}
	_, poured, _ := strings.Cut(first, `class="now answer"`)
	poured, _, _ = strings.Cut(poured, "<details")
	for _, never := range []string{`class="once"`, `class="now answer"`, "What to do now"} {
		if !strings.Contains(first, never) || strings.Contains(late, never) {
			t.Errorf("a late answer shows %q", never)
		}
	}
	for _, text := range strings.FieldsFunc(poured, func(r rune) bool { return r == '<' || r == '>' }) {
		if len(text) > 25 && strings.Contains(text, " ") && !strings.Contains(text, "=") && strings.ContainsAny(text, "0123456789") && strings.Contains(late, text) {
			t.Errorf("of before the visit there stands: %s", text)
		}
	}
	if again := w.look(at, "today?kept=x&again=yes"); strings.Contains(again, `http-equiv="refresh"`) {
		t.Error("it looks again more than once by itself")
	}
	for _, page := range []string{"history", "dates"} {
		if got := w.look(at, page); !strings.Contains(got, "data-late") {
			t.Errorf("%s does not say that it waits", page)
		}
	}
	if !strings.Contains(w.look(at, "history"), "3.4") {
		t.Error("the history has not the visit that was kept")
	}
	goOn()
	fresh := w.look(at, "today", "respond-async, wait=10")
	if strings.Contains(fresh, "data-late") || !strings.Contains(fresh, `class="now answer"`) {
		t.Error("who waits is not shown the new advice")
	}
	for _, page := range []string{"history", "dates"} {
		if got := w.look(at, page, "wait=10"); strings.Contains(got, "data-late") {
			t.Errorf("%s is late still", page)
		}
	}
	w.now = w.now.Add(2 * time.Hour) // nothing was written, and it is old
	defer engaged(t, h)()
	if old := w.look(at, "today"); !strings.Contains(old, "data-late") || strings.Contains(old, `class="once"`) || strings.Contains(old, "before the last entry") {
		t.Error("an answer of hours before is shown as of now")
	}
}

// However many ask for whatever of a bed, its log is followed once; and the bed at which somebody waits comes first.
func TestALogIsFollowedOnce(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	w := wateredBed(t)
	h, at := w.server(time.Millisecond)
	goOn := engaged(t, h)
	w.look(at, "history") // its log stands in the plan that is made for this page alone
	before := h.memory.made.Load()
	var all sync.WaitGroup
	for i := range 12 {
		page := []string{"today", "dates"}[i%2]
		all.Go(func() {
			if got := w.look(at, page, "wait=10"); strings.Contains(got, "data-late") {
				t.Error(page, "is late")
			}
		})
	}
	for range 1000 {
		h.follower.mutex.Lock()
		a := h.follower.asked[w.bed]
		n := 0
		if a != nil {
			n = a.looks
		}
		h.follower.mutex.Unlock()
		if n == 12 {
			break
		}
		time.Sleep(5 * time.Millisecond)
	}
	goOn()
	all.Wait()
	if n := h.memory.made.Load() - before; n > 2 { // the log, and at most once that the bed was taken before all had asked
		t.Errorf("%d plans for one bed", n)
	}
	f := &h.follower
	f.stop()
	f.asked = map[string]*sought{"a": {bed: "a", last: 1}, "b": {bed: "b", last: 2, looks: 1}, "c": {bed: "c", last: 3, looks: 2}, "d": {bed: "d", last: 4}}
	order := ""
	for _, hurry := range []bool{true, false} { // while somebody waits the others are left
		for a := f.next(hurry); a != nil; a = f.next(hurry) {
			order += a.bed
		}
		order += " "
	}
	if order != "bc da " {
		t.Errorf("order %q: who waits longest first, then the last that asked", order)
	}
}

// A server that ends while something waits loses nothing: the next one works it out by itself. What one server worked out another tells.
func TestWhatWaitsOutlivesAServer(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	w := wateredBed(t)
	one, first := w.server(time.Minute)
	w.look(first, "today")
	one.Patience = time.Millisecond
	goOn := engaged(t, one)
	w.visit(w.now.Add(-time.Minute), "ec", "3.4 mS/cm")
	if got := w.look(first, "today"); !strings.Contains(got, "data-late") {
		t.Fatal("it is not late")
	}
	one.follower.stop()
	goOn()
	two, second := w.server(time.Millisecond)
	if err := two.reckonDue(t.Context()); err != nil {
		t.Fatal(err)
	}
	before := two.memory.made.Load()
	got := w.look(second, "today")
	if strings.Contains(got, "data-late") || !strings.Contains(got, `class="now answer"`) {
		t.Error("what waited was not worked out by the next server")
	}
	if n := two.memory.made.Load() - before; n != 0 {
		t.Errorf("%d plans for what is known", n)
	}
	three, third := w.server(time.Minute)
	if again := w.look(third, "today"); fresh.ReplaceAllString(again, "") != fresh.ReplaceAllString(got, "") || three.memory.made.Load() != 0 {
		t.Error("another server works it out again, or tells another thing")
	}
}

// The document of advice goes into the store and comes back as it was; it is of the bed as it stands, or late.
func TestAdviceIsKept(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	w := wateredBed(t)
	h, _ := w.server(time.Minute)
	b, err := w.kept.Bed(t.Context(), store.Holder(), w.bed)
	if err != nil {
		t.Fatal(err)
	}
	doc, made, late, err := h.Advice(t.Context(), store.Holder(), b, "es", nil)
	if err != nil || late || doc == nil || len(doc.Actions) == 0 || !made.Equal(w.now) {
		t.Fatal(doc, made, late, err)
	}
	v, err := h.background(t.Context(), "es")
	if err != nil {
		t.Fatal(err)
	}
	v.exact = false
	worked, err := v.tend(aBed{Bed: b, reading: h.memory.parse(b.Brief)})
	if err != nil {
		t.Fatal(err)
	}
	want, err := json.Marshal(answer.Tend(worked.Tending, worked.words))
	if err != nil {
		t.Fatal(err)
	}
	if got, err := json.Marshal(doc); err != nil || string(got) != string(want) {
		t.Errorf("kept:\n%s\nworked out:\n%s", got, want)
	}
	h.Patience = time.Millisecond
	defer engaged(t, h)()
	w.visit(w.now.Add(-time.Minute), "ec", "3.4 mS/cm")
	if b, err = w.kept.Bed(t.Context(), store.Holder(), w.bed); err != nil {
		t.Fatal(err)
	}
	if _, of, late, err := h.Advice(t.Context(), store.Holder(), b, "es", nil); err != nil || !late || !of.Equal(made) {
		t.Errorf("after a visit: late %v, of %v, %v", late, of, err)
	}
	if _, of, late, err := h.Advice(t.Context(), store.Holder(), b, "en", []string{"wait=0"}); err != nil || !late || !of.Equal(made) { // of the same following
		t.Errorf("in a language in which nobody asked: late %v, of %v, %v", late, of, err)
	}
}

// Where somebody waits the log is followed though what nobody waits for is at work, and what else is known of the bed is worked out after it: until then
// it is of before.
func TestWhoWaitsGoesBeforeWhatIsLeft(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	w := wateredBed(t)
	h, at := w.server(time.Millisecond)
	today := func() store.Answer {
		a, _, err := w.kept.Answer(t.Context(), store.Holder(), w.bed, knownToday+" es")
		if err != nil {
			t.Fatal(err)
		}
		return a
	}
	behind, err := h.turns.takeBehind(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	w.visit(w.now.Add(-time.Minute), "depth", "5 in", "ec", "1.4 mS/cm")
	if late := w.look(at, "today"); !strings.Contains(late, "data-late") {
		t.Fatal("what nobody waits for is worked out beside other such work")
	}
	if fresh := w.look(at, "today", "wait=10"); strings.Contains(fresh, "data-late") {
		t.Error("who waits waits for what nobody waits for")
	}
	if today().Made.Equal(w.now) {
		t.Error("the other language is worked out while what nobody waits for is at work")
	}
	behind()
	for end := time.Now().Add(20 * time.Second); !today().Made.Equal(w.now); time.Sleep(20 * time.Millisecond) {
		if time.Now().After(end) {
			t.Fatal("the other language is never worked out")
		}
	}
}

// A page of the plan has its answer without that the log is followed to this moment: what the bed needs is reckoned later, and the store knows it.
func TestAPlanWaitsForNoLog(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	w := wateredBed(t)
	h, at := w.server(time.Minute)
	w.look(at, "today")
	w.visit(w.now.Add(-time.Minute), "depth", "5 in", "ec", "1.4 mS/cm")
	if got := w.look(at, "plan"); strings.Contains(got, "data-late") {
		t.Fatal("the plan is late")
	}
	over := func() {
		for end := time.Now().Add(20 * time.Second); h.follower.waits() || working(h); time.Sleep(20 * time.Millisecond) {
			if time.Now().After(end) {
				t.Fatal("the follower stands still")
			}
		}
	}
	over()
	if due, err := w.kept.AttentionDue(t.Context(), w.now, "", 5); err != nil || len(due) != 1 {
		t.Errorf("due is %v, %v: the log was followed for a page of the plan, or nobody knows that it must be", due, err)
	}
	if got := w.look(at, "today"); strings.Contains(got, "data-late") {
		t.Fatal("the page of the bed is late")
	}
	over()
	if due, err := w.kept.AttentionDue(t.Context(), w.now, "", 5); err != nil || len(due) != 0 {
		t.Errorf("due is %v still, %v", due, err)
	}
}
