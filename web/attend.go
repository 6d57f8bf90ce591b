package web

import (
	"context"
	"errors"
	"maps"
	"slices"
	"strconv"
	"time"

	"raftwright/bed"
	"raftwright/brief"
	"raftwright/finding"
	"raftwright/lang"
	"raftwright/store"
	"raftwright/tend"
	"raftwright/unit"
)

// What a bed needs, by its rank: the larger the sooner. From now on it is done today, from
// week on this week, from ask on somebody asks; 0 is well.
const (
	rankNow  = 100
	rankWeek = 50
	rankAsk  = 10
)

// unknown is the need of a bed of which it could not be reckoned: somebody has to look.
const unknown = "unknown"

// needs are the things that a bed may need, with their ranks and how they are named in lang.
var needs = map[string]int{
	"leak": 130, "out": 120, "empty": 110, unknown: 100,
	"dump": 70, "look": 65, "harvest": 60, "meter": 55,
	"silent": 20,
}

// When a bed is on the list by the clock alone (our own choice; the three weeks are those of the design).
const (
	silentAfter = 21 * 24 * time.Hour
	meterAfter  = 60 * 24 * time.Hour // as the advice has it
	dumpAhead   = 7 * 24 * time.Hour
	quietAgain  = 30 * 24 * time.Hour // of a bed on which the clock alone changes nothing
)

// Rhythm of the reckoning: so many beds at once, and so long a rest where none is due.
const (
	reckonAtOnce = 16
	reckonRest   = 20 * time.Second
)

// KeepAttention reckons what beds need until it is told to end: those that were written to,
// and those whose time has come. The servers of an office share that by a queue.
func (h *House) KeepAttention(ctx context.Context) {
	if h.Now == nil {
		h.Now = time.Now
	}
	defer h.follower.stop()
	if !h.Own {
		if err := h.tryOut(ctx); err != nil && ctx.Err() == nil && h.Log != nil {
			h.Log.Error("form", "error", err)
		}
		h.shareWork(ctx)
		return
	}
	if err := h.Store.Sweep(ctx); err != nil && ctx.Err() == nil && h.Log != nil {
		h.Log.Error("sweep", "error", err)
	}
	for last := ""; ctx.Err() == nil; {
		if day := h.Now().Local().Format(time.DateOnly); day != last { // at the start, and on each day
			if err := h.forgetOn(ctx, day); err == nil {
				last = day
			} else if ctx.Err() == nil && h.Log != nil {
				h.Log.Error("consents", "error", ours(err))
			}
		}
		if err := h.reckonDue(ctx); err != nil && ctx.Err() == nil && h.Log != nil {
			h.Log.Error("attention", "error", err)
		}
		h.idle(ctx)
	}
}

// idle waits until something was written, or for a rest.
func (h *House) idle(ctx context.Context) {
	select {
	case <-ctx.Done():
	case <-h.stirred():
	case <-time.After(reckonRest):
	}
}

// reckonDue reckons beds in rounds, from where it was broken off, until a whole round finds none that is due, or somebody takes the time away. What is
// wrong at one bed holds back no other: not those behind it, however many such there are, and none however long it takes.
func (h *House) reckonDue(ctx context.Context) error {
	after, _ := h.reckoned.Load().(string)
	whole, did := after == "", false
	for ctx.Err() == nil {
		due, err := h.Store.AttentionDue(ctx, h.Now(), after, reckonAtOnce)
		if err != nil {
			return err
		}
		for _, id := range due {
			if after = id; h.isStuck(id) {
				continue
			}
			h.turns.yield(ctx, h.follower.waits)
			done, err := h.turns.takeBehind(ctx)
			if err != nil {
				return err
			}
			h.reckoned.Store(id) // before it is begun: another turn begins behind it
			begun := time.Now()
			h.reckonOrPass(ctx, id)
			done()
			did = true
			if h.turns.rest(ctx, time.Since(begun)); ctx.Err() != nil {
				return ctx.Err()
			}
		}
		if len(due) < reckonAtOnce { // the end of a round
			if after = ""; whole && !did {
				h.reckoned.Store("")
				return ctx.Err()
			}
			whole, did = true, false
		}
	}
	return ctx.Err()
}

// How long a bed is passed over, so that the others are reckoned: one at which we broke, and one of which the store did not give or keep something.
const passedFor, againSoon = 6 * time.Hour, 10 * time.Minute

// isStuck tells whether a bed is passed over of which not even that could be kept.
func (h *House) isStuck(id string) bool {
	until, is := h.stuck.Load(id)
	return is && h.Now().Before(until.(time.Time))
}

// reckonOrPass reckons a bed; one at which something is wrong is told in the log of the server and passed over for a while. It stands on the list as
// one of which nobody knows what it needs.
func (h *House) reckonOrPass(ctx context.Context, id string) {
	err := unbroken(func() error { return h.reckon(ctx, id) })
	if err == nil || ctx.Err() != nil || store.WasRemoved(err) {
		return
	}
	passed, told := againSoon, ours(err)
	if b, is := errors.AsType[broke](err); is {
		passed, told = passedFor, b.Error()
	}
	tell := func(told any) {
		if h.Log != nil {
			h.Log.Error("attention", "bed", id, "error", told)
		}
	}
	tell(told)
	at, err := h.Store.Bed(ctx, store.Holder(), id)
	if err == nil {
		err = h.Store.PassAttention(ctx, store.Holder(), id, store.Attention{Rank: needs[unknown], Reasons: []store.Reason{{Code: unknown}}, Seen: at.Changed, Again: h.Now().Add(passed)})
	}
	if err != nil && ctx.Err() == nil {
		tell(ours(err))
		h.stuck.Store(id, h.Now().Add(passed))
	}
}

// stirred tells that something was written.
func (h *House) stirred() chan struct{} {
	h.stirs.Do(func() { h.stir = make(chan struct{}, 1) })
	return h.stir
}

// written wakes who reckons what beds need.
func (h *House) written() {
	select {
	case h.stirred() <- struct{}{}:
	default:
	}
}

// reckon works out what one bed needs, and keeps it beside the bed, with what is known of it to who looks.
func (h *House) reckon(ctx context.Context, id string) error {
	v, err := h.background(ctx, lang.Languages()[0])
	if err != nil {
		return err
	}
	v.yields = true
	b, err := h.Store.Bed(ctx, v.who, id)
	if err != nil {
		return err
	}
	t, err := v.tend(aBed{Bed: b, reading: h.memory.parse(b.Brief)})
	if err != nil {
		return err
	}
	if err := h.Store.SetAttention(ctx, v.who, id, h.attention(t)); err != nil {
		return err
	}
	return h.refresh(ctx, t)
}

// attention is what a bed needs now by its brief and its log.
func (h *House) attention(t tended) store.Attention {
	a := store.Attention{Seen: t.Changed, Again: h.Now().Add(quietAgain), Group: store.Group{County: h.countyOf(t.brief()), Kind: string(t.brief().Site.Kind.Value), Program: t.brief().Site.Program.Value}}
	a.Reading.Texts = lastOf(t.brief(), t.now) // of the visits in the brief itself too
	maps.DeleteFunc(a.Reading.Texts, func(key, _ string) bool { return !slices.Contains(large, key) })
	for _, x := range t.log {
		if x.At.After(a.Reading.At) && !x.At.After(t.now.Add(aheadOfUs)) {
			a.Reading.At = x.At
		}
	}
	if t.Tending == nil || len(t.faults) > 0 {
		return a
	}
	year, month, day := h.Now().Local().Date()
	a.Again = time.Date(year, month, day+1, 3, 0, 0, 0, time.Local) // by the clock of the office, before anybody looks
	if t.State.Plants == 0 && slices.ContainsFunc(t.log, sets) {
		return a // all that was set is cut
	}
	a.Reasons = reasonsOf(t.Tending, t.brief(), t.now)
	for _, r := range a.Reasons {
		a.Rank = max(a.Rank, needs[r.Code])
	}
	return a
}

// sets tells whether heads were set on the raft at a visit. A log may say nothing of that, though something grows.
func sets(v bed.Visit) bool {
	return slices.ContainsFunc(v.Done, func(d bed.Happening) bool { _, set := d.(bed.Planted); return set })
}

// reasonsOf lists what a tended bed needs, the most urgent first.
func reasonsOf(t *tend.Tending, b *brief.Brief, now time.Time) (out []store.Reason) {
	add := func(code string, args ...string) {
		r := store.Reason{Code: code, Args: map[string]string{}}
		for i := 0; i+1 < len(args); i += 2 {
			r.Args[args[i]] = args[i+1]
		}
		out = append(out, r)
	}
	if now.Sub(t.Visit.At) > silentAfter { // what else may be is a guess until somebody reads it
		add("silent", "day", t.Visit.At.Format(time.DateOnly))
		return out
	}
	for _, do := range t.Actions {
		switch do.Do {
		case tend.DoLook:
			add("leak", "litres", strconv.FormatFloat(t.Leak.Rate.Value, 'g', 3, 64))
		case tend.DoHarvest:
			add("harvest")
		}
	}
	if n := t.IfNothing; n.Limit != "" && !n.At.After(now) {
		add("out", "limit", string(n.Limit))
	}
	if d := t.DumpBy; !d.IsZero() && d.Sub(now) < dumpAhead {
		code := "dump"
		if !d.After(now) {
			code = "empty"
		}
		add(code, "day", d.Format(time.DateOnly), "why", string(t.DumpReason))
	}
	if d := b.Meter.Checked; d.Given {
		if set := time.Date(d.Value.Year, d.Value.Month, d.Value.Day, 0, 0, 0, 0, time.UTC); now.Sub(set) > meterAfter {
			add("meter", "day", set.Format(time.DateOnly))
		}
	}
	if next := t.NextCheck; next.Before(now.Truncate(24 * time.Hour)) {
		add("look", "day", next.Format(time.DateOnly))
	}
	slices.SortStableFunc(out, func(a, b store.Reason) int { return needs[b.Code] - needs[a.Code] })
	return out
}

// countyOf is the county that a brief names: as such, or as the place itself.
func (h *House) countyOf(b *brief.Brief) string {
	place := b.Site.Place.Value
	if b.Site.County.Given || h.Book.Places == nil || place == "" {
		return b.Site.County.Value
	}
	if found, _ := h.Book.Places.Find(place); len(found) == 1 && found[0].Kind == "county" {
		return found[0].String()
	}
	return ""
}

// reasonSaid gives the word of a reason for its tag, and its sentence.
func reasonSaid(words *lang.Printer, r store.Reason) (tag, text string) {
	args := finding.Args{}
	if day, err := time.Parse(time.DateOnly, r.Args["day"]); err == nil {
		args["Day"] = day
	}
	if l, err := strconv.ParseFloat(r.Args["litres"], 64); err == nil {
		args["Volume"] = unit.Volume(l) * unit.Litre
	}
	if l := r.Args["limit"]; l != "" {
		args["Limit"] = finding.Word("tend.limit." + l)
	}
	if why := r.Args["why"]; why != "" {
		args["Why"] = finding.Word("tend.dump." + why)
	}
	return words.Say("web.need."+r.Code, args), words.Say("web.need.why."+r.Code, args)
}
