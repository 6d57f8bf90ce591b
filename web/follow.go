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

// next takes the bed that is followed next: one at which somebody waits, else the one that was asked for last.
func (f *follower) next() *sought {
	f.mutex.Lock()
	defer f.mutex.Unlock()
	var best *sought
	for _, a := range f.asked {
		if best == nil || a.looks > 0 && best.looks == 0 || (a.looks > 0) == (best.looks > 0) && (a.last > best.last) == (a.looks == 0) {
			best = a
		}
	}
	if f.works, f.under = best != nil, ""; f.works {
		f.under = best.bed
		delete(f.asked, best.bed)
	}
	return best
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

// followAsked works out what is asked for until nothing is.
func (h *House) followAsked(ctx context.Context) {
	for a := h.follower.next(); a != nil; a = h.follower.next() {
		done, err := h.turns.takeBehind(ctx)
		begun := time.Now()
		if err == nil {
			err = unbroken(func() error { return h.workAsked(ctx, a) })
			done()
		}
		if err != nil && ctx.Err() == nil && h.Log != nil {
			h.Log.Error("answer", "error", ours(err))
		}
		h.follower.rest(ctx, time.Since(begun))
	}
}

// workAsked works out what is asked of a bed that is not known by now, tells who waits, and then the rest that is known of it.
func (h *House) workAsked(ctx context.Context, a *sought) (err error) {
	told := sync.OnceFunc(func() { a.err = err; close(a.done) })
	defer told()
	v, err := h.background(ctx, lang.Languages()[0])
	if err != nil {
		return err
	}
	v.exact, v.yields = false, !h.Own
	b, err := h.Store.Bed(ctx, v.who, a.bed)
	if err != nil {
		return err
	}
	there, err := h.Store.Answers(ctx, v.who, a.bed)
	if err != nil {
		return err
	}
	for _, x := range there {
		kind, language, _ := strings.Cut(x.Kind, " ")
		if x.Seen >= b.Changed && x.Basis == h.basis(b, language) && v.sameHour(x.Made, false) {
			delete(a.wants, want{kind, language})
		}
	}
	if len(a.wants) == 0 {
		return nil
	}
	t, err := v.tend(aBed{Bed: b, reading: h.memory.parse(b.Brief)})
	if err != nil {
		return err
	}
	for w := range a.wants {
		if err := h.workOut(ctx, t, w); err != nil {
			return err
		}
	}
	told()
	if err := h.Store.SetAttention(ctx, v.who, a.bed, h.attention(t)); err != nil {
		return err
	}
	if err := h.workOthers(ctx, t, a.wants, there); err != nil {
		return err
	}
	return h.refresh(ctx, t)
}

// workOthers works out in the other languages what was worked out in one, so that two people who stand at a bed read what is of one moment;
// the log is followed for it already.
func (h *House) workOthers(ctx context.Context, t tended, wants map[want]bool, there []store.Answer) error {
	for w := range wants {
		for _, language := range lang.Languages() {
			w.language = language
			fresh := slices.ContainsFunc(there, func(x store.Answer) bool {
				return x.Kind == w.kind+" "+language && x.Seen >= t.Changed && x.Basis == h.basis(t.Bed, language) && h.Now().Sub(x.Made).Abs() < knownFor
			})
			if fresh || wants[w] {
				continue
			}
			if err := h.workOut(ctx, t, w); err != nil {
				return err
			}
		}
	}
	return nil
}

// waitFor waits until something was worked out, at most for so long, and tells whether it was. A request that waits
// is none that is being answered: what is worked out need not make way for it.
func (v *visit) waitFor(a *sought, most time.Duration) (done bool, err error) {
	f := &v.follower
	look := func(n int) {
		f.mutex.Lock()
		defer f.mutex.Unlock()
		if a.looks += n; n > 0 {
			select {
			case f.looks <- struct{}{}:
			default:
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
