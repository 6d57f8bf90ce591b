package web

import (
	"context"
	"slices"
	"strconv"
	"strings"
	"sync"
	"time"

	"raftwright/lang"
	"raftwright/store"
)

// How long a request waits for a log to be followed before it answers with what is known: in an office where nothing
// else is being followed, on one's own computer, and at most where whoever asks says how long ("Prefer: wait", RFC 7240).
const (
	patience    = 30 * time.Millisecond
	ownPatience = 4 * time.Second
	mostWait    = 10 * time.Second
)

// want is an answer that is asked for: its kind, and in which language.
type want struct{ kind, language string }

// follower follows the logs of beds for which somebody asks, one bed after the other, so that requests keep a processor.
// What is asked of a bed while it waits is worked out with it, once.
type follower struct {
	mutex sync.Mutex
	asked map[string]*sought // by bed: what waits
	count int
	works bool
	under string // the bed that is being followed
	begin sync.Once
	lives context.Context // what is being worked out ends with it
	end   context.CancelFunc
	looks chan struct{} // somebody begins to wait
}

// sought is a bed whose log is to be followed.
type sought struct {
	bed   string
	wants map[want]bool
	last  int // the number of the last that asked
	looks int // how many wait for it at this moment
	done  chan struct{}
	err   error // once it is done
}

func (f *follower) life() context.Context {
	f.begin.Do(func() {
		f.lives, f.end = context.WithCancel(context.Background())
		f.looks = make(chan struct{}, 1)
	})
	return f.lives
}

// ask has something worked out of a bed. Free tells whether no other bed is before it.
func (h *House) ask(bed string, w want) (a *sought, free bool) {
	f := &h.follower
	life := f.life()
	f.mutex.Lock()
	defer f.mutex.Unlock()
	if f.asked == nil {
		f.asked = map[string]*sought{}
	}
	if a = f.asked[bed]; a == nil {
		a = &sought{bed: bed, wants: map[want]bool{}, done: make(chan struct{})}
		f.asked[bed] = a
	}
	f.count++
	a.wants[w], a.last = true, f.count
	free = len(f.asked) == 1 && (!f.works || f.under == bed)
	if !f.works && life.Err() == nil {
		f.works = true
		go h.followAsked(life)
	}
	return a, free
}

// next takes the bed that is followed next: one at which somebody waits, else, unless it hurries, the one that was asked for last.
func (f *follower) next(hurry bool) *sought {
	f.mutex.Lock()
	defer f.mutex.Unlock()
	var best *sought
	for _, a := range f.asked {
		if hurry && a.looks == 0 {
			continue
		}
		if best == nil || a.looks > 0 && best.looks == 0 || (a.looks > 0) == (best.looks > 0) && (a.last > best.last) == (a.looks == 0) {
			best = a
		}
	}
	if f.under = ""; best != nil {
		f.under = best.bed
		delete(f.asked, best.bed)
	}
	return best
}

// goesOn tells whether there is something to do, with so much left of what was followed; else the work ends.
func (f *follower) goesOn(left int) bool {
	f.mutex.Lock()
	defer f.mutex.Unlock()
	f.works, f.under = left+len(f.asked) > 0, ""
	return f.works
}

// ends notes that nothing is worked out any more.
func (f *follower) ends() {
	f.mutex.Lock()
	defer f.mutex.Unlock()
	f.works, f.under = false, ""
}

// hurries tells whether somebody waits for a log to be followed.
func (f *follower) hurries() bool {
	f.mutex.Lock()
	defer f.mutex.Unlock()
	for _, a := range f.asked {
		if a.looks > 0 {
			return true
		}
	}
	return false
}

// rest lets requests have the processors between two beds for as long as the one before took, where nobody waits: so many open a form at
// once whose logs were never followed. Whoever begins to wait ends it.
func (f *follower) rest(ctx context.Context, took time.Duration) {
	f.mutex.Lock()
	waited := len(f.asked) == 0
	for _, a := range f.asked {
		waited = waited || a.looks > 0
	}
	if !waited {
		select {
		case <-f.looks: // of one that was before
		default:
		}
	}
	f.mutex.Unlock()
	if waited {
		return
	}
	end := time.NewTimer(took)
	defer end.Stop()
	select {
	case <-f.looks:
	case <-end.C:
	case <-ctx.Done():
	}
}

// waits tells whether somebody asked for something that is not worked out yet.
func (f *follower) waits() bool {
	f.mutex.Lock()
	defer f.mutex.Unlock()
	return len(f.asked) > 0
}

// stop ends what is being worked out; nothing more is begun. What waits is worked out after a new start: the store knows
// which beds were written to.
func (f *follower) stop() {
	f.life()
	f.end()
	for {
		f.mutex.Lock()
		works := f.works
		f.mutex.Unlock()
		if !works {
			return
		}
		time.Sleep(5 * time.Millisecond)
	}
}

// left is what else is known of a bed whose log was followed, and is of before: it is worked out when nobody waits.
type left struct {
	t     tended
	whole bool // its log was followed; else its plan is known, and the store knows that it is to be reckoned
	wants []want
}

// mostLeft bounds the beds of which something is left. What is dropped is worked out when somebody looks.
const mostLeft = 8

// followAsked works out what is asked for until nothing is: first where somebody waits, then what is left of the beds that were followed, then what
// nobody waits for. From the latter two it is called away, before it began with one.
func (h *House) followAsked(ctx context.Context) {
	f := &h.follower
	var rest []left
	for f.goesOn(len(rest)) {
		hurry := f.hurries()
		turn := h.turns.takeAhead
		if !hurry {
			turn = func(ctx context.Context) (func(), error) { return h.turns.takeBehindUnless(ctx, f.looks) }
		}
		done, err := turn(ctx)
		if err != nil {
			f.ends()
			return
		}
		if done == nil { // somebody waits
			continue
		}
		begun, pause := time.Now(), false
		if !hurry && len(rest) > 0 {
			at := rest[0]
			if rest[0].wants = at.wants[1:]; len(at.wants) == 1 {
				rest = rest[1:]
			}
			err = unbroken(func() error { return h.workOut(ctx, at.t, at.wants[0], false) })
		} else if a := f.next(hurry); a != nil {
			err = unbroken(func() (err error) { rest, err = h.workAsked(ctx, a, hurry, rest); return err })
			pause = !hurry
		}
		if done(); err != nil && ctx.Err() == nil && h.Log != nil {
			h.Log.Error("answer", "error", ours(err))
		}
		if pause {
			f.rest(ctx, time.Since(begun))
		}
	}
}

// workAsked works out what is asked of a bed that is not known by now, and tells who waits. Rest is what is left of beds, before it and after.
func (h *House) workAsked(ctx context.Context, a *sought, hurry bool, rest []left) (_ []left, err error) {
	told := sync.OnceFunc(func() { a.err = err; close(a.done) })
	defer told()
	v, err := h.background(ctx, lang.Languages()[0])
	if err != nil {
		return rest, err
	}
	v.exact, v.yields, v.hurries = false, !h.Own, hurry
	b, err := h.Store.Bed(ctx, v.who, a.bed)
	if store.WasRemoved(err) {
		return rest, nil // whoever waits is told so
	}
	if err != nil {
		return rest, err
	}
	there, err := h.Store.Answers(ctx, v.who, a.bed)
	if err != nil {
		return rest, err
	}
	for _, x := range there {
		kind, language, _ := strings.Cut(x.Kind, " ")
		if x.Seen >= b.Changed && x.Basis == h.basis(b, language) && v.sameHour(x.Made, false) {
			delete(a.wants, want{kind, language})
		}
	}
	if len(a.wants) == 0 {
		return rest, nil
	}
	t, whole := tended{}, false
	for w := range a.wants {
		whole = whole || !ofPlan(w.kind)
	}
	if i := slices.IndexFunc(rest, func(r left) bool { return r.t.ID == b.ID && r.t.Changed == b.Changed && (r.whole || !whole) }); i >= 0 {
		t, whole = rest[i].t, rest[i].whole // it was followed a moment ago
	} else if t, err = v.untended(aBed{Bed: b, reading: h.memory.parse(b.Brief)}); err != nil {
		return rest, err
	} else if whole && len(t.log)+len(t.faults) > 0 {
		t = v.tendOn(t)
	}
	for w := range a.wants {
		if err := h.workOut(ctx, t, w, hurry); err != nil {
			return rest, err
		}
	}
	told()
	if whole {
		if err := h.Store.SetAttention(ctx, v.who, a.bed, h.attention(t)); err != nil {
			return rest, err
		}
	}
	more := h.leftOf(t, a.wants, there)
	if !whole {
		more = slices.DeleteFunc(more, func(w want) bool { return !ofPlan(w.kind) })
	}
	rest = slices.DeleteFunc(rest, func(r left) bool { return r.t.ID == b.ID })
	if len(more) > 0 {
		rest = append(rest, left{t, whole, more})
	}
	return rest[max(0, len(rest)-mostLeft):], nil
}

// leftOf lists what else is to be worked out of a bed: in the other languages what was worked out in one, so that two people who stand at a bed read what
// is of one moment, and what is of before its last entry.
func (h *House) leftOf(t tended, done map[want]bool, there []store.Answer) (out []want) {
	fresh := func(w want) bool {
		return done[w] || slices.Contains(out, w) || slices.ContainsFunc(there, func(x store.Answer) bool {
			return x.Kind == w.kind+" "+w.language && x.Seen >= t.Changed && x.Basis == h.basis(t.Bed, w.language) && h.Now().Sub(x.Made).Abs() < knownFor
		})
	}
	for w := range done {
		for _, w.language = range lang.Languages() {
			if !fresh(w) {
				out = append(out, w)
			}
		}
	}
	for _, w := range h.stale(t, there) {
		if !fresh(w) {
			out = append(out, w)
		}
	}
	return out
}

// waitFor waits until something was worked out, at most for so long, and tells whether it was. A request that waits
// is none that is being answered: what is worked out need not make way for it.
func (v *visit) waitFor(a *sought, most time.Duration) (done bool, err error) {
	f := &v.follower
	look := func(n int) {
		f.mutex.Lock()
		defer f.mutex.Unlock()
		if most > patience { // else it is shown what is known, and nothing hurries
			if a.looks += n; n > 0 {
				select {
				case f.looks <- struct{}{}:
				default:
				}
			}
		}
		v.turns.under.Add(int64(-n))
	}
	look(1)
	defer look(-1)
	end := time.NewTimer(most)
	defer end.Stop()
	select {
	case <-a.done:
		return true, a.err
	case <-end.C:
		return false, nil
	case <-v.context().Done():
		return false, v.context().Err()
	}
}

// waits is how long a request waits for a log to be followed, free: where nothing else is.
func (h *House) waits(prefer []string, free bool) time.Duration {
	for _, p := range strings.Split(strings.Join(prefer, ","), ",") {
		if text, is := strings.CutPrefix(strings.TrimSpace(p), "wait="); is {
			if n, err := strconv.ParseUint(text, 10, 16); err == nil {
				return min(time.Duration(n)*time.Second, mostWait)
			}
		}
	}
	switch {
	case h.Patience > 0:
		return h.Patience
	case h.Own:
		return ownPatience
	case free:
		return patience
	}
	return 0
}
