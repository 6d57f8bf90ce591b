package web

import (
	"cmp"
	"net/url"
	"slices"
	"strings"
	"time"

	"github.com/google/uuid"

	"raftwright/brief"
	"raftwright/finding"
	"raftwright/lang"
	"raftwright/plan"
	"raftwright/store"
	"raftwright/tend"
)

// clock is how a moment is sent by a browser and kept in a log.
const clock = store.Clock

// ofLog tells whether a name of a form is a key of the log.
func ofLog(name string) bool {
	path := plainPath("log[0]." + name)
	return places("log[0]."+name) && (labels()[path] != "" || strings.HasPrefix(name, "added.") || strings.HasPrefix(name, `added["`)) && path != "log[].at"
}

// sentEntry is what a form says of a visit.
type sentEntry struct {
	at    time.Time
	pairs []brief.Pair
	wrong map[string][]wrong // by the key of the log; "at" for the time
}

// readEntry reads what a form says of a visit, each text in the unit that is meant. What
// cannot be meant is a fault at its key.
func (v *visit) readEntry(b aBed, form url.Values) sentEntry {
	e := sentEntry{wrong: map[string][]wrong{}}
	var err error
	if e.at, err = time.Parse(clock, form.Get("at")); err != nil {
		e.wrong["at"] = []wrong{{v.say("web.visit.no_time"), v.say("web.visit.no_time_right")}}
	}
	e.pairs = tend.Typed(b.brief(), form, ofLog, func() *plan.Plan {
		p := v.job(b.brief(), b.wrong()).Make(v.memory.of(b.ID, v.Now()))
		return &p
	})
	whole := []brief.Pair{{Path: "log[0].at", Text: cmp.Or(form.Get("at"), v.Now().Format(clock))}}
	for _, p := range e.pairs {
		whole = append(whole, brief.Pair{Path: "log[0]." + p.Path, Text: p.Text})
	}
	_, faults := brief.FromPairs(briefName, whole)
	for _, f := range faults {
		key := strings.TrimPrefix(string(f.Path), "log[0].")
		if key == "at" && len(e.wrong["at"]) > 0 || !f.Path.Under("log") {
			continue
		}
		what, right := v.words.Fault(f)
		e.wrong[key] = append(e.wrong[key], wrong{what, right})
	}
	return e
}

// keep keeps a visit. It is on the disk before the page says so; the id is of the form, so
// that sending it twice keeps it once. A reading that cannot be meant stands at its blank.
func (v *visit) keep() error {
	if err := v.filled(); err != nil {
		return err
	}
	b, err := v.theBed()
	if err != nil {
		return err
	}
	if b.ID == demonstration {
		return finding.Fault{ID: FaultReadOnly}
	}
	e := v.readEntry(b, v.PostForm)
	set := v.PostFormValue("meter-set") != ""
	if len(e.pairs) == 0 && !set && len(e.wrong) == 0 {
		e.wrong["depth"] = []wrong{{v.say("web.visit.nothing"), v.say("web.visit.nothing_right")}}
	}
	if len(e.wrong) > 0 {
		switch v.PostFormValue("from") {
		case "did":
			return v.showDid(e.wrong)
		case "seen":
			return v.showSeen(e.wrong)
		}
		return v.showToday(e.wrong)
	}
	id := cmp.Or(v.PostFormValue("id"), store.NewID())
	if len(e.pairs) > 0 {
		if _, err := v.Store.Keep(v.context(), v.who, id, b.ID, e.at, e.pairs); err != nil {
			return err
		}
	}
	if err := v.follow(b, id, e, set); err != nil {
		return err
	}
	v.ask(b.ID, want{knownToday, v.words.Language}) // the page to which this leads asks for it
	return v.to("/beds/" + b.ID + "/today?kept=" + url.QueryEscape(id))
}

// mostNotes bounds how often it is tried to note in a brief what a visit settles, where others keep it anew meanwhile.
const mostNotes = 5

// follow writes into the brief what a visit settles, where somebody kept another meanwhile into that. Whoever may only log the bed
// leaves the brief as it is.
func (v *visit) follow(b aBed, entry string, e sentEntry, set bool) error {
	for n := 1; ; n++ {
		next, err := v.settled(b, e, set)
		if err != nil {
			return err
		}
		text := string(next.Encode())
		if text == string(b.brief().Encode()) {
			return nil
		}
		of, err := uuid.Parse(entry)
		if err != nil {
			return finding.Fault{ID: store.FaultID, Args: finding.Args{"Name": entry[:min(len(entry), 60)]}}
		}
		_, err = v.Store.PutBrief(v.context(), v.who, uuid.NewSHA1(of, []byte(b.ID)).String(), b.ID, b.Version, text, plan.Code)
		if store.Is(err, store.FaultForbidden) || store.Is(err, store.FaultConflict) {
			return nil // a visitor; or it was noted before
		}
		if n == mostNotes || !store.Is(err, store.FaultStale) {
			return err
		}
		if b.Bed, err = v.Store.Bed(v.context(), v.who, b.ID); err != nil {
			return err
		}
		b.reading = v.memory.parse(b.Brief)
	}
}

// settled gives the brief of a bed with what a visit settles: the mix that was poured is pinned, so that later tables do not change what
// the bed is thought to hold, and the day on which the meters were set is noted, unless they were set again since.
func (v *visit) settled(b aBed, e sentEntry, set bool) (*brief.Brief, error) {
	next := b.brief()
	if slices.Contains(e.pairs, brief.Pair{Path: "filled", Text: string(brief.FilledMix)}) && len(b.brief().Mix.Doses) == 0 {
		p, _, err := v.planned(b)
		if err != nil {
			return nil, err
		}
		if p.Mix != nil {
			next = pinned(next, p)
		}
	}
	day := e.at.Format(time.DateOnly)
	if last := b.brief().Meter.Checked; set && (!last.Given || day > last.Value.String()) {
		if n, _ := next.Set("meter.checked", day); n != nil {
			next = n
		}
	}
	return next, nil
}

// entryLabel names a key of the log in words.
func (v *visit) entryLabel(words *lang.Printer, path finding.Path) string {
	if id := "web.log." + strings.ReplaceAll(string(path), " ", "_"); words.Can(id) {
		return words.Say(id, nil)
	}
	if rest, ok := strings.CutPrefix(string(path), "added."); ok && labels()[plainPath("log[0]."+string(path))] == "" {
		return words.Say("web.bed.added", finding.Args{"Name": words.Product(rest)})
	}
	if strings.HasPrefix(string(path), "seen[") {
		return words.Say("web.bed.saw", nil)
	}
	return labelOf(words, "log[0]."+path)
}

// entryText gives what an entry says under a key: words of the book in the reader's language.
func (v *visit) entryText(words *lang.Printer, p brief.Pair) string {
	switch key := string(p.Path); {
	case strings.HasPrefix(key, "seen["):
		if id := "trouble.sign." + p.Text; words.Can(id) {
			return words.Say(id, nil)
		}
	case key == "roots" && words.Can("trouble.sign.roots_"+p.Text):
		return words.Say("trouble.sign.roots_"+p.Text, nil)
	case key == "filled" && words.Can("web.filled."+p.Text):
		return words.Say("web.filled."+p.Text, nil)
	case words.Can("web.word." + p.Text):
		return words.Say("web.word."+p.Text, nil)
	}
	return p.Text
}

// told gives an entry in words, a cell for each key.
func (v *visit) told(words *lang.Printer, pairs []brief.Pair) (out []cell) {
	for _, p := range pairs {
		out = append(out, cell{v.entryLabel(words, p.Path), v.entryText(words, p)})
	}
	return out
}

// logged gives a bed with the visits that are kept for it in its brief, the oldest first.
func (v *visit) logged(b aBed) (aBed, []store.Entry, error) {
	if b.ID == demonstration {
		return b, nil, nil
	}
	all, err := v.Store.Log(v.context(), v.who, b.ID)
	if len(all) > 0 {
		b.reading, b.taught = readAs(store.WithLog(b.brief(), all)), true
	}
	return b, all, err
}
