package web

import (
	"context"
	"encoding/json"
	"hash/fnv"
	"net/http"
	"runtime/debug"
	"strconv"
	"strings"
	"sync"
	"time"

	"raftwright/answer"
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
	knownHistory = "history"
	knownDates   = "dates"
	knownAdvice  = "advice"
	knownForm    = "form" // what its plan says beside the form of a brief
)

// ofPlan tells whether an answer is of the plan of a bed alone, which goes on from what the log taught: for it no log is followed.
func ofPlan(kind string) bool { return kind == knownPlan || kind == knownForm }

// makers make the answers that follow from a tended bed. Nil is no answer: of a bed that never had a log.
var makers = []struct {
	kind string
	make func(*visit, tended) (any, error)
}{
	{knownToday, func(v *visit, t tended) (any, error) { return v.pressedNow(t) }},
	{knownPlan, func(v *visit, t tended) (any, error) {
		if t.plan.Brief == nil {
			return nil, nil
		}
		return v.planPage(t.ID, t.plan, t.words)
	}},
	{knownForm, func(v *visit, t tended) (any, error) {
		if t.plan.Brief == nil {
			return nil, nil
		}
		return v.planBeside(aBed{Bed: t.Bed, reading: v.memory.parse(t.Bed.Brief)}, t.plan, t.words)
	}},
	{knownHistory, func(v *visit, t tended) (any, error) { return v.past(t, 0) }},
	{knownDates, func(v *visit, t tended) (any, error) { return v.dueAt(t) }},
	{knownAdvice, func(v *visit, t tended) (any, error) {
		if t.Tending == nil || len(t.faults)+len(t.wrong())+len(t.plan.Faults) > 0 {
			return (*answer.TendDocument)(nil), nil // null is kept: none follows
		}
		return answer.Tend(t.Tending, t.words), nil
	}},
}

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

// found is what is known of a bed, as whoever asks finds it.
type found[T any] struct {
	What  T
	Is    bool      // something is known
	Late  bool      // it is not to be acted on any more, or nothing is known: it is being worked out
	Newer bool      // something was written since
	Made  time.Time // the moment that it is of
}

// find finds what was worked out of a bed. Good tells from the moment that it is of, and whether something was written since,
// whether it is told still.
func find[T any](v *visit, b store.Bed, kind, language string, good func(made time.Time, newer bool) bool) (k found[T], err error) {
	k.Late = true
	if b.ID == demonstration {
		return k, nil
	}
	a, is, err := v.Store.Answer(v.context(), v.who, b.ID, kind+" "+language)
	var what T
	if err != nil || !is || a.Basis != v.basis(b, language) || json.Unmarshal([]byte(a.Text), &what) != nil {
		return k, err
	}
	k.What, k.Is, k.Made, k.Newer = what, true, a.Made, a.Seen < b.Changed
	k.Late = !good(k.Made, k.Newer)
	return k, nil
}

// known gives what was worked out of a bed, or works it out in its turn and keeps it.
func known[T any](v *visit, b store.Bed, kind, language string, good func(made time.Time, newer bool) bool, turn func() (func(), error), work func() (T, error)) (out T, err error) {
	k, err := find[T](v, b, kind, language, good)
	if err != nil || !k.Late {
		return k.What, err
	}
	done, err := turn()
	if err != nil {
		return out, err
	}
	defer done()
	if out, err = work(); err != nil {
		return out, err
	}
	return out, v.keepKnown(b, kind, language, out)
}

// told gives what was worked out of a bed with its log, of this hour and after its last entry, or what was known before: then it is
// being worked out, and the request does not wait for it, or not for long. A bed without a log is worked out at once, and the
// demonstration, which nobody changes, once.
func told[T any](v *visit, b aBed, kind string, work func() (T, error)) (k found[T], err error) {
	language := v.words.Language
	if b.ID == demonstration {
		if was, is := v.shown.Load(want{kind, language}); is {
			return was.(found[T]), nil
		}
	}
	k, logged, err := foundOrAsked[T](v, b, kind, v.sameHour)
	if err != nil || !k.Late || logged {
		return k, err
	}
	done, err := v.turnToFit()
	if err != nil {
		return k, err
	}
	defer done()
	k.What, err = work()
	if k.Is, k.Late, k.Made = true, false, v.Now(); err == nil && b.ID == demonstration {
		v.shown.Store(want{kind, language}, k)
	}
	return k, err
}

// foundOrAsked finds what was worked out of a bed, or has it worked out where the bed has a log: then the request waits for it as long as
// whoever asks does. Good tells how long an answer is told.
func foundOrAsked[T any](v *visit, b aBed, kind string, good func(made time.Time, newer bool) bool) (k found[T], logged bool, err error) {
	language := v.words.Language
	if k, err = find[T](v, b.Bed, kind, language, good); err != nil || !k.Late || b.ID == demonstration {
		return k, false, err
	}
	if logged = b.facts().visits > 0; !logged {
		list, err := v.Store.LastEntries(v.context(), v.who, b.ID, 1)
		if err != nil {
			return k, false, err
		}
		logged = len(list) > 0
	}
	if !logged {
		return k, false, nil
	}
	if err := v.bounded(); err != nil {
		return k, true, err
	}
	a, free := v.ask(b.ID, want{kind, language})
	if most := v.waits(v.Header.Values("Prefer"), free); most > 0 {
		if done, err := v.waitFor(a, most); err != nil || !done {
			return k, true, err
		}
		k, err = find[T](v, b.Bed, kind, language, good)
	}
	return k, true, err
}

// Advice gives the document of what to do at a bed, in a language, and of which moment it is. Late: it is of before the last entry or of an hour
// before, or there is none (the zero moment), and it is being worked out; prefer says how long to wait for that (RFC 7240). Nil: from plan and log none
// follows.
func (h *House) Advice(ctx context.Context, who store.Who, b store.Bed, language string, prefer []string) (doc *answer.TendDocument, made time.Time, late bool, err error) {
	v, err := h.background(ctx, language)
	if err != nil {
		return nil, made, false, err
	}
	v.who, v.Header, v.exact = who, http.Header{"Prefer": prefer}, false
	bed := aBed{Bed: b, reading: h.memory.parse(b.Brief)}
	k, err := told(v, bed, knownAdvice, func() (*answer.TendDocument, error) { return nil, nil })
	if k.Is {
		made = tend.AtBed(k.Made.Local())
	}
	return k.What, made, k.Late, err
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
	Wanted []wanted          // of each reading
	Deeds  []deedWorked      // where each thing to do that is drawn comes from
}

// pressedNow presses what a tended bed comes to.
func (v *visit) pressedNow(t tended) (out worked, err error) {
	out = worked{At: t.now, Cannot: v.cannot(t), Last: lastOf(t.brief(), t.now), Filled: unheld(t), Wanted: t.wanted()}
	if out.Answer, err = v.answered(t); err == nil {
		out.Deeds, err = v.deeds(t)
	}
	return out, err
}

// background is a visit that nobody makes: what the program works out by itself, with all that is kept.
func (h *House) background(ctx context.Context, language string) (*visit, error) {
	words, err := lang.For(language, lang.US)
	return &visit{House: h, Request: (&http.Request{}).WithContext(ctx), who: store.Holder(), words: words, exact: true}, err
}

// refresh works out anew what is known of a bed and is of before its last entry, in the languages in which somebody looked at it. It makes way for
// what somebody waits for.
func (h *House) refresh(ctx context.Context, t tended) error {
	there, err := h.Store.Answers(ctx, store.Holder(), t.ID)
	if err != nil {
		return err
	}
	for _, w := range h.stale(t, there) {
		yield(ctx, h.follower.hurries)
		if err := h.workOut(ctx, t, w, false); err != nil {
			return err
		}
	}
	return nil
}

// stale lists what is known of a bed and is of before its last entry, or rests on something else.
func (h *House) stale(t tended, there []store.Answer) (out []want) {
	for _, a := range there {
		kind, language, _ := strings.Cut(a.Kind, " ")
		if kind != knownLearned && (a.Seen < t.Changed || a.Basis != h.basis(t.Bed, language)) {
			out = append(out, want{kind, language})
		}
	}
	return out
}

// workOut works out one answer from a tended bed, and keeps it. It hurries where somebody waits.
func (h *House) workOut(ctx context.Context, t tended, w want, hurry bool) error {
	v, err := h.background(ctx, w.language)
	if err != nil {
		return err
	}
	v.yields, v.hurries = !h.Own, hurry
	if t.words, err = v.wordsFor(t.reading); err != nil {
		return err
	}
	t.plan = t.plan.In(w.language)
	for _, m := range makers {
		if m.kind != w.kind {
			continue
		}
		var out any
		v.giveWay(func() { out, err = m.make(v, t) })
		if err != nil || out == nil {
			return err
		}
		return v.keepKnown(t.Bed, w.kind, w.language, out)
	}
	return nil
}

// learnt is what the log of a bed taught, of which plan.
type learnt struct {
	Of   uint64
	What bed.Learned
}

// Taught makes the plan of a bed whose log stands in its brief, with what the log taught, of before its last visits as the case may be.
func (h *House) Taught(ctx context.Context, who store.Who, b store.Bed, job plan.Job) (plan.Plan, error) {
	return (&visit{House: h, Request: (&http.Request{}).WithContext(ctx), who: who}).taught(b, job)
}

func (v *visit) taught(b store.Bed, job plan.Job) (p plan.Plan, err error) {
	memory := v.memory.of(b.ID, v.Now())
	if b.ID == demonstration {
		return job.Make(memory), nil
	}
	a, is, err := v.Store.Answer(v.context(), v.who, b.ID, knownLearned+" ")
	var before learnt
	is = is && err == nil && a.Basis == v.basis(b, "") && json.Unmarshal([]byte(a.Text), &before) == nil
	if newer := a.Seen != b.Changed; is && newer {
		is = v.plain || !v.exact && v.Now().Sub(a.Made).Abs() < learnedFor
		if is {
			memory = nil // it takes what a stage makes for the same for ever
		}
	}
	if v.plain && !is {
		job.Learn = func(*plan.Plan, bed.Log) bed.Learned { return bed.Learned{} }
		return job.Make(nil), nil
	}
	var mutex sync.Mutex // two stages of a plan are made side by side
	var now *learnt
	learn := job.Learn
	job.Learn = func(p *plan.Plan, log bed.Log) bed.Learned {
		of := studiedAs(p)
		if is && before.Of == of || v.plain {
			return before.What
		}
		what := learn(p, log)
		mutex.Lock()
		defer mutex.Unlock()
		if now == nil { // the plan itself comes first, what would mend it after
			now = &learnt{of, what}
		}
		return what
	}
	v.giveWay(func() { p = job.Make(memory) })
	if len(job.Brief.Log) == 0 { // every visit was struck out: what they taught is not so
		now, is = &learnt{}, false
	}
	if now == nil || is || v.context().Err() != nil {
		return p, nil
	}
	return p, v.keepKnown(b, knownLearned, "", now)
}

// studiedAs gives as one number what of a plan a log is held against.
func studiedAs(p *plan.Plan) uint64 {
	of := fnv.New64a()
	of.Write([]byte(p.HeldAgainst()))
	return of.Sum64()
}
