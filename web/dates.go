package web

import (
	"net/http"
	"slices"
	"strings"
	"time"

	"raftwright/finding"
	"raftwright/press/dates"
	"raftwright/store"
)

// dated is a day with what is to be done on it.
type dated struct {
	Day  string
	What []string
}

// due lists the days of a bed with something to do: those of its plan, and what its log says
// comes next.
func (t tended) due() []dates.Event {
	p := t.plan
	list := dates.Of(p.Tasks(), t.words)
	if t.Tending != nil {
		list = append(list, dates.Event{ID: "look", Day: dayOf(t.NextCheck), Text: t.words.Say("web.dates.look", nil)})
		if t.DumpReason != "" {
			list = append(list, dates.Event{ID: "empty", Day: dayOf(t.DumpBy), Text: t.words.Say("web.dates.empty", finding.Args{"Reason": finding.Word("tend.dump." + string(t.DumpReason))})})
		}
	}
	slices.SortStableFunc(list, func(a, b dates.Event) int { return a.Day.Compare(b.Day) })
	return list
}

// byDay gathers what is to be done by its day.
func (t tended) byDay(list []dates.Event) (out []dated) {
	var last time.Time
	for _, e := range list {
		if len(out) == 0 || !e.Day.Equal(last) {
			out, last = append(out, dated{Day: t.words.Date(e.Day)}), e.Day
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
	t, err := v.tendOrPlan(b)
	if err != nil {
		return err
	}
	body := struct {
		Next, Past  []dated
		None        bool
		Take, Share string
	}{Take: "/beds/" + b.ID + "/dates.ics"}
	if b.ID != demonstration && v.who.Shares(b.Bed) {
		body.Share = "/beds/" + b.ID + "/share"
	}
	all, today := t.due(), dayOf(t.now)
	at := slices.IndexFunc(all, func(e dates.Event) bool { return !e.Day.Before(today) })
	if at < 0 {
		at = len(all)
	}
	body.Past, body.Next = t.byDay(all[:at]), t.byDay(all[at:])
	body.None = len(all) == 0
	s := v.of(t.aBed, "dates")
	s.Body = body
	return v.show("dates", s)
}

// tendOrPlan gives a bed as it is tended, or where it has no log yet as it is planned.
func (v *visit) tendOrPlan(b aBed) (tended, error) {
	t, err := v.tend(b)
	if err == nil && len(t.log) == 0 {
		t.plan, _, err = v.planned(t.aBed)
	}
	return t, err
}

// takeDates gives the calendar of a bed as a file.
func (v *visit) takeDates() error {
	b, err := v.theBed()
	if err != nil {
		return err
	}
	t, err := v.tendOrPlan(b)
	if err != nil {
		return err
	}
	return v.attach(calendarKind, v.say("web.file.dates")+".ics", []byte(v.calendar(t)))
}

const calendarKind = "text/calendar; charset=utf-8"

func (v *visit) calendar(t tended) string {
	return dates.Calendar(t.due(), t.ID, t.Title, t.words.Language)
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
	t, err := v.tendOrPlan(b)
	if err != nil {
		return err
	}
	h := v.out.Header()
	h.Set("Content-Type", calendarKind)
	h.Set("Cache-Control", "private, max-age=3600")
	v.out.WriteHeader(http.StatusOK)
	_, err = v.out.Write([]byte(v.calendar(t)))
	return err
}
