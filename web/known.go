package web

import (
	"context"
	"encoding/json"
	"hash/fnv"
	"net/http"
	"runtime/debug"
	"strconv"
	"sync"
	"time"

	"raftwright/bed"
	"raftwright/lang"
	"raftwright/plan"
	"raftwright/store"
	"raftwright/tend"
)

// What is worked out of a bed with much work is kept beside it in the store, so that no server
// works it out twice. It can be lost at any time: then it is worked out again.

// knownFor is how long what was worked out at one moment is told at a later one, where nothing was written since.
const knownFor = time.Hour

// learnedFor is how long a plan goes on with what the log taught before its last visits.
const learnedFor = 24 * time.Hour

// Kinds of answers.
const (
	knownToday   = "today"
	knownPlan    = "plan"
	knownLearned = "learned"
)

// basis names all that an answer rests on beside the log of a bed: the program, its tables, the brief, and the language.
func (h *House) basis(b store.Bed, language string) string {
	h.edition.Do(func() {
		h.madeWith = h.Book.Edition().String()
		if built, ok := debug.ReadBuildInfo(); ok {
			for _, s := range built.Settings {
				if s.Key == "vcs.revision" || s.Key == "vcs.time" {
					h.madeWith += " " + s.Value
				}
			}
		}
	})
	return h.madeWith + " " + strconv.Itoa(b.Version) + " " + language
}

// known gives what was worked out of a bed, or works it out in its turn and keeps it. What an answer may
// be like to be good still is told by good: the moment that it is of, and whether something was written since.
func known[T any](v *visit, b store.Bed, kind, language string, good func(made time.Time, newer bool) bool, work func() (T, error)) (out T, err error) {
	if b.ID != demonstration {
		a, is, err := v.Store.Answer(v.context(), v.who, b.ID, kind+" "+language)
		if err != nil {
			return out, err
		}
		if is && a.Basis == v.basis(b, language) && good(a.Made, a.Seen != b.Changed) && json.Unmarshal([]byte(a.Text), &out) == nil {
			return out, nil
		}
	}
	done, err := v.turnToFit()
	if err != nil {
		return out, err
	}
	defer done()
	if out, err = work(); err != nil {
		return out, err
	}
	return out, v.keepKnown(b, kind, language, out)
}

// keepKnown keeps what was worked out of a bed. What cannot be kept is only not kept.
func (v *visit) keepKnown(b store.Bed, kind, language string, what any) error {
	return v.keepAnswer(v.context(), v.who, b, kind, language, what)
}

func (h *House) keepAnswer(ctx context.Context, who store.Who, b store.Bed, kind, language string, what any) error {
	if b.ID == demonstration {
		return nil
	}
	text, err := json.Marshal(what)
	if err != nil {
		return err
	}
	err = h.Store.SetAnswer(ctx, who, b.ID, store.Answer{Kind: kind + " " + language, Seen: b.Changed, Basis: h.basis(b, language), Made: h.Now(), Text: string(text)})
	if err != nil && h.Log != nil {
		h.Log.Error("answer", "error", ours(err))
	}
	return nil
}

// sameHour tells whether an answer is told still: nothing was written since, and it is not old.
func (v *visit) sameHour(made time.Time, newer bool) bool {
	return !newer && v.Now().Sub(made).Abs() < knownFor
}

// worked is what stands on the page of a bed at work, as it is kept.
type worked struct {
	At     time.Time // by the clock at the bed
	Answer *nowForm
	Cannot []wrong
	Last   map[string]string // what was read last, by the keys of the log
	Filled string            // when the planned mix was poured that the brief does not hold; "": it was not
}

// workOut works out what stands on the page of a bed at work.
func (v *visit) workOut(b aBed) (out worked, err error) {
	t, err := v.tend(b)
	if err != nil {
		return out, err
	}
	return v.pressedNow(t)
}

// pressedNow presses what a tended bed comes to.
func (v *visit) pressedNow(t tended) (out worked, err error) {
	out = worked{At: t.now, Cannot: t.cannot, Last: lastOf(t.brief), Filled: unheld(t)}
	out.Answer, err = v.answered(t)
	return out, err
}

// background is a visit that nobody makes: what the program works out by itself, with all that is kept.
func (h *House) background(ctx context.Context, language string) (*visit, error) {
	words, err := lang.For(language, lang.US)
	return &visit{House: h, Request: (&http.Request{}).WithContext(ctx), who: store.Holder(), words: words, exact: true}, err
}

// refresh works out anew what is known of a bed, in the languages in which somebody looked at it.
func (h *House) refresh(ctx context.Context, t tended) error {
	for _, language := range lang.Languages() {
		v, err := h.background(ctx, language)
		if err != nil {
			return err
		}
		words, err := v.wordsFor(t.brief)
		if err != nil {
			return err
		}
		in := t
		in.words, in.plan = words, t.plan.In(language)
		if stale, err := v.stale(t.Bed, knownToday); err != nil {
			return err
		} else if stale {
			out, err := v.pressedNow(in)
			if err == nil {
				err = v.keepKnown(t.Bed, knownToday, language, out)
			}
			if err != nil {
				return err
			}
		}
		if stale, err := v.stale(t.Bed, knownPlan); err != nil {
			return err
		} else if stale && len(in.log) > 0 {
			out, err := v.planPage(t.ID, in.plan, words)
			if err == nil {
				err = v.keepKnown(t.Bed, knownPlan, language, out)
			}
			if err != nil {
				return err
			}
		}
	}
	return nil
}

// stale tells whether somebody looked at something of a bed that is another by now.
func (v *visit) stale(b store.Bed, kind string) (bool, error) {
	a, is, err := v.Store.Answer(v.context(), v.who, b.ID, kind+" "+v.words.Language)
	return is && (a.Seen != b.Changed || a.Basis != v.basis(b, v.words.Language)), err
}

// learnt is what the log of a bed taught, of which plan.
type learnt struct {
	Of   uint64
	What bed.Learned
}

// Taught makes the plan of a bed whose log stands in its brief, with what the log taught, of before its last visits as the case may be.
func (h *House) Taught(ctx context.Context, who store.Who, b store.Bed, job plan.Job) (plan.Plan, error) {
	return h.taught(ctx, who, b, job, false)
}

func (h *House) taught(ctx context.Context, who store.Who, b store.Bed, job plan.Job, exact bool) (plan.Plan, error) {
	memory := h.memory.of(b.ID, h.Now())
	if b.ID == demonstration {
		return job.Make(memory), nil
	}
	a, is, err := h.Store.Answer(ctx, who, b.ID, knownLearned+" ")
	var before learnt
	is = is && err == nil && a.Basis == h.basis(b, "") && json.Unmarshal([]byte(a.Text), &before) == nil
	if newer := a.Seen != b.Changed; is && newer {
		is = !exact && h.Now().Sub(a.Made).Abs() < learnedFor
		if is {
			memory = nil // it takes what a stage makes for the same for ever
		}
	}
	var mutex sync.Mutex // two stages of a plan are made side by side
	var now *learnt
	job.Learn = func(p *plan.Plan, log bed.Log) bed.Learned {
		of := studiedAs(p)
		if is && before.Of == of {
			return before.What
		}
		what := tend.Learn(p, log)
		mutex.Lock()
		defer mutex.Unlock()
		if now == nil { // the plan itself comes first, what would mend it after
			now = &learnt{of, what}
		}
		return what
	}
	p := job.Make(memory)
	if now == nil || is || ctx.Err() != nil {
		return p, nil
	}
	return p, h.keepAnswer(ctx, who, b, knownLearned, "", now)
}

// studiedAs gives as one number what of a plan a log is held against.
func studiedAs(p *plan.Plan) uint64 {
	of := fnv.New64a()
	of.Write([]byte(p.HeldAgainst()))
	return of.Sum64()
}
