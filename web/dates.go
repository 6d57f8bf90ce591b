package web

import (
	"net/http"
	"slices"
	"strings"
	"time"

	"raftwright/finding"
	"raftwright/lang"
	"raftwright/press/dates"
	"raftwright/store"
)

// dated is a day with what is to be done on it.
type dated struct {
	Day  string
	What []string
}

// dueAt lists the days of a bed with something to do: those of its plan, and what its log says
// comes next.
func (v *visit) dueAt(t tended) (list []dates.Event, err error) {
	if len(t.log) == 0 { // no log was followed
		if t.plan, _, err = v.planned(t.aBed); err != nil {
			return nil, err
		}
	}
	list = dates.Of(t.plan.Tasks(), t.words)
	if t.Tending != nil {
		list = append(list, dates.Event{ID: "look", Day: dayOf(t.NextCheck), Text: t.words.Say("web.dates.look", nil)})
		if t.DumpReason != "" {
			list = append(list, dates.Event{ID: "empty", Day: dayOf(t.DumpBy), Text: t.words.Say("web.dates.empty", finding.Args{"Reason": finding.Word("tend.dump." + string(t.DumpReason))})})
		}
	}
	slices.SortStableFunc(list, func(a, b dates.Event) int { return a.Day.Compare(b.Day) })
	return list, nil
}

// days gives what is due at a bed, and whether that is being worked out anew: then it is what was known, or the days of the plan.
func (v *visit) days(b aBed) (found[[]dates.Event], error) {
	k, err := told(v, b, knownDates, func() ([]dates.Event, error) {
		t, err := v.tend(b)
		if err != nil {
			return nil, err
		}
		return v.dueAt(t)
	})
	if err != nil || k.Is {
		return k, err
	}
	done, err := v.turn()
	if err != nil {
		return k, err
	}
	defer done()
	words, err := v.wordsFor(b.reading)
	if err == nil {
		k.What, err = v.dueAt(tended{aBed: b, words: words})
	}
	return k, err
}

// byDay gathers what is to be done by its day.
func byDay(words *lang.Printer, list []dates.Event) (out []dated) {
	var last time.Time
	for _, e := range list {
		if len(out) == 0 || !e.Day.Equal(last) {
			out, last = append(out, dated{Day: words.Date(e.Day)}), e.Day
		}
		x := &out[len(out)-1]
		x.What = append(x.What, e.Text)
	}
	return out
}

// dates shows the calendar of a bed.
func (v *visit) dates() error {
	b, err := v.theBed()
	if err != nil {
		return err
	}
	k, err := v.days(b)
	if err != nil {
		return err
	}
	words, err := v.wordsFor(b.reading)
	if err != nil {
		return err
	}
	body := struct {
		Next, Past  []dated
		None        bool
		Take, Share string
		Late        *late
	}{Take: "/beds/" + b.ID + "/dates.ics"}
	if b.ID != demonstration && v.who.Shares(b.Bed) {
		body.Share = "/beds/" + b.ID + "/share"
	}
	if k.Late {
		body.Late = v.lateOf(words, k.Is, k.Newer, k.Made)
	}
	all, today := k.What, dayOf(v.nowAt(b))
	at := slices.IndexFunc(all, func(e dates.Event) bool { return !e.Day.Before(today) })
	if at < 0 {
		at = len(all)
	}
	body.Past, body.Next = byDay(words, all[:at]), byDay(words, all[at:])
	body.None = len(all) == 0
	s := v.of(b, "dates")
	s.Late, s.Body = k.Late, body
	return v.show("dates", s)
}

// takeDates gives the calendar of a bed as a file.
func (v *visit) takeDates() error {
	b, err := v.theBed()
	if err != nil {
		return err
	}
	k, err := v.days(b)
	if err != nil {
		return err
	}
	return v.attach(calendarKind, v.say("web.file.dates")+".ics", []byte(v.calendar(b, k.What)))
}

const calendarKind = "text/calendar; charset=utf-8"

func (v *visit) calendar(b aBed, list []dates.Event) string {
	return dates.Calendar(list, b.ID, b.Title, v.words.Language)
}

// feed answers a calendar program that reads the days of a bed by its address. Who it is
// that asks is told by the address alone.
func (v *visit) feed() error {
	who, err := v.Store.ByPass(v.context(), strings.TrimSuffix(v.PathValue("feed"), ".ics"))
	if store.Is(err, store.FaultSignIn) || err == nil && who.Bed() == "" { // no program is asked for a password
		return finding.Fault{ID: FaultNowhere, Args: finding.Args{"Address": "/calendar/"}}
	}
	if err != nil {
		return err
	}
	v.who = who
	v.SetPathValue("bed", who.Bed())
	if v.words, err = v.tongueOf(v.FormValue("language")); err != nil {
		return err
	}
	b, err := v.theBed()
	if err != nil {
		return err
	}
	k, err := v.days(b)
	if err != nil {
		return err
	}
	h := v.out.Header()
	h.Set("Content-Type", calendarKind)
	h.Set("Cache-Control", "private, max-age=3600")
	if k.Late {
		h.Set("Cache-Control", "private, no-cache")
	}
	v.out.WriteHeader(http.StatusOK)
	_, err = v.out.Write([]byte(v.calendar(b, k.What)))
	return err
}
