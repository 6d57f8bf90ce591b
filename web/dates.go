package web

import (
	"cmp"
	"net/http"
	"net/url"
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

// given is a link or an address of a calendar that somebody gave.
type given struct{ ID, Name, When string }

// passes lists the links of a kind that open a bed still; none for whoever may not give them.
func (v *visit) passes(b aBed, kind store.Kind) (out []given, err error) {
	if b.ID == demonstration || !v.who.Shares(b.Bed) {
		return nil, nil
	}
	list, err := v.Store.Passes(v.context(), v.who, b.ID)
	for _, p := range list {
		if p.Kind == kind && p.Withdrawn.IsZero() {
			out = append(out, given{p.ID, cmp.Or(p.Label, v.say("web.pass.nameless")), v.words.Date(p.Given.Local())})
		}
	}
	return out, err
}

// dates shows the calendar of a bed.
func (v *visit) dates() error { return v.showDates("") }

func (v *visit) showDates(made string) error {
	b, err := v.theBed()
	if err != nil {
		return err
	}
	t, err := v.tendOrPlan(b)
	if err != nil {
		return err
	}
	body := struct {
		Bed, ID     string
		Next, Past  []dated
		Shares      bool
		Made        string
		Feeds       []given
		Withdraw    string
		Cannot      []wrong
		LocalOnly   bool
		Calendar    string
		NoneOfThese bool
	}{Bed: b.ID, ID: store.NewID(), Shares: b.ID != demonstration && v.who.Shares(b.Bed), Made: made, Withdraw: store.NewID(), LocalOnly: loopback(v.Host), Calendar: "/beds/" + b.ID + "/dates.ics"}
	all, today := t.due(), dayOf(t.now)
	at := slices.IndexFunc(all, func(e dates.Event) bool { return !e.Day.Before(today) })
	if at < 0 {
		at = len(all)
	}
	body.Past, body.Next = t.byDay(all[:at]), t.byDay(all[at:])
	body.NoneOfThese = len(all) == 0
	if body.Feeds, err = v.passes(b, store.Feed); err != nil {
		return err
	}
	s := v.of(t.aBed, "dates")
	s.Body = body
	return v.show("dates", s)
}

// tendOrPlan gives a bed as it is tended, or where it has no log yet as it is planned.
func (v *visit) tendOrPlan(b aBed) (tended, error) {
	t, err := v.tend(b)
	if err == nil && len(t.log) == 0 {
		t.plan = v.job(t.brief, t.wrong).Make(v.memory.of(b.ID, v.Now())).In(t.words.Language)
	}
	return t, err
}

// giveFeed makes an address from which a calendar program reads the days of a bed. It is
// told this once, and can be withdrawn.
func (v *visit) giveFeed() error {
	secret, err := v.give(store.Feed)
	if err != nil {
		return err
	}
	return v.showDates(v.base() + "/calendar/" + secret + ".ics?" + url.Values{"language": {v.words.Language}}.Encode())
}

// give makes a pass of a bed.
func (v *visit) give(kind store.Kind) (secret string, err error) {
	if err := v.filled(); err != nil {
		return "", err
	}
	b, err := v.theBed()
	if err != nil {
		return "", err
	}
	if b.ID == demonstration {
		return "", finding.Fault{ID: FaultReadOnly}
	}
	return v.Store.GivePass(v.context(), v.who, cmp.Or(v.PostFormValue("id"), store.NewID()), kind, b.ID, "", strings.TrimSpace(v.PostFormValue("label")))
}

// base is how this server was reached.
func (v *visit) base() string {
	if v.secure(v.Request) {
		return "https://" + v.Host
	}
	return "http://" + v.Host
}

// withdraw ends a link or the address of a calendar of a bed.
func (v *visit) withdraw() error {
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
	list, err := v.Store.Passes(v.context(), v.who, b.ID)
	if err != nil {
		return err
	}
	for _, p := range list {
		if p.ID != v.PostFormValue("pass") {
			continue
		}
		if err := v.Store.WithdrawPass(v.context(), v.who, cmp.Or(v.PostFormValue("id"), store.NewID()), p.ID); err != nil {
			return err
		}
	}
	to := "labels"
	if v.PostFormValue("from") == "dates" {
		to = "dates"
	}
	return v.to("/beds/" + b.ID + "/" + to)
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
