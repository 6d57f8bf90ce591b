package web

import (
	"errors"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"time"

	"raftwright/brief"
	"raftwright/finding"
	"raftwright/programme"
	"raftwright/store"
)

// waveRoutes are the addresses of follow-ups: for the office, and for whoever was asked and holds a link.
func waveRoutes() []route {
	return []route{
		{"GET /program/wave/{wave}", (*visit).wave},
		{"POST /program/wave/{wave}", (*visit).askWave},
		{"GET /answer/{link}", (*visit).followUp},
		{"POST /answer/{link}", (*visit).answer},
	}
}

// waveRecord finds the record of a wave, and its row.
func (v *visit) waveRecord() (store.Record, programme.Form, error) {
	f, _ := bookForm("waves")
	if err := v.theBook(); err != nil {
		return store.Record{}, f, err
	}
	list, err := v.Store.LastRecords(v.context(), v.who, "waves", 0, mostOffers)
	if err != nil {
		return store.Record{}, f, err
	}
	for _, r := range list {
		if r.Name == v.PathValue("wave") {
			return r, f, nil
		}
	}
	return store.Record{}, f, finding.Fault{ID: store.FaultNotFound, Args: finding.Args{"Thing": finding.Word("store.word.record"), "Name": v.PathValue("wave")}}
}

// cellOf gives a column of a row.
func cellOf(r store.Record, column string) string {
	for _, p := range r.Row {
		if string(p.Path) == column {
			return p.Text
		}
	}
	return ""
}

// askable gives who lets themselves be asked today. The records are read as the house, since whoever answers may not read them.
func (v *visit) askable() ([]string, error) {
	house := *v
	house.who = store.Holder()
	v.House.year.mutex.Lock()
	defer v.House.year.mutex.Unlock()
	if err := house.readBook(); err != nil {
		return nil, err
	}
	return v.House.year.records.MayBeAsked(v.dayNow()), nil
}

// waveLink is a link of a wave on the page of the office.
type waveLink struct {
	Code, State, Link string
	Opens             bool
}

// waveCounts are what the page of a wave counts.
type waveCounts struct{ Given, Answered, May, Needed int }

// wave shows a follow-up: its question, who may be asked, who was and has answered.
func (v *visit) wave() error { return v.showWave(nil) }

func (v *visit) showWave(told []waveLink) error {
	r, f, err := v.waveRecord()
	if err != nil {
		return err
	}
	links, err := v.Store.Askings(v.context(), v.who, r.Name)
	if err != nil {
		return err
	}
	may, err := v.askable()
	if err != nil {
		return err
	}
	body := struct {
		Wave, English, Spanish, Row string
		Sent, Saw                   string
		Counts                      waveCounts
		Told, Links                 []waveLink
		Asks, Reminds               bool
		LocalOnly                   bool
	}{Wave: "/program/wave/" + url.PathEscape(r.Name), English: cellOf(r, "question"), Spanish: cellOf(r, "question_spanish"), Row: "/program/" + f.Table + "/" + r.ID, Sent: cellOf(r, "sent_on"), Told: told, LocalOnly: loopback(v.Host)}
	body.Saw = sawOf(r)
	last := map[string]int{} // the place of a person's last link
	for _, a := range links {
		l := waveLink{Code: a.Code, State: v.say("web.wave.waits"), Opens: a.Opens() && slices.Contains(may, a.Code)}
		switch {
		case a.Answered:
			l.State = v.say("web.wave.answered")
		case !l.Opens:
			l.State = v.say("web.wave.withdrawn")
		}
		if i, there := last[a.Code]; there {
			body.Links[i] = l
			continue
		}
		last[a.Code] = len(body.Links)
		body.Links = append(body.Links, l)
	}
	for _, a := range links {
		if a.Answered {
			body.Counts.Answered++
		}
	}
	body.Counts.Given, body.Counts.May = len(body.Links), len(may)
	body.Counts.Needed = programme.Needed(0.10, 0.5, programme.Level)
	body.Asks = len(may) > 0 && body.English != ""
	body.Reminds = body.Sent != ""
	return v.show("wave", sheet{Title: v.say("web.wave.title", "Name", r.Name), Of: v.say("web.wave.of"), Sheets: []link{{v.say("web.book.title"), "/program"}, {v.say("web.book.table.waves"), "/program/waves"}, {r.Name, ""}}, Body: body})
}

// sawOf tells one mailing of a wave from the next.
func sawOf(r store.Record) string { return cellOf(r, "sent_on") + "+" + cellOf(r, "reminders") }

// askWave gives links: the first time the wave is sent, later the silent are reminded with new ones; or it withdraws one.
func (v *visit) askWave() error {
	r, f, err := v.waveRecord()
	if err != nil {
		return err
	}
	if err := v.filled(); err != nil {
		return err
	}
	if code := v.PostFormValue("withdraw"); code != "" {
		if err := v.Store.WithdrawAsking(v.context(), v.who, r.Name, code); err != nil {
			return err
		}
		return v.to("/program/wave/" + url.PathEscape(r.Name))
	}
	if v.PostFormValue("saw") != sawOf(r) { // sent twice by one touch, or by another
		return v.to("/program/wave/" + url.PathEscape(r.Name))
	}
	may, err := v.askable()
	if err != nil {
		return err
	}
	before, err := v.Store.Askings(v.context(), v.who, r.Name)
	if err != nil {
		return err
	}
	asked := map[string]bool{}
	for _, a := range before {
		asked[a.Code] = true
	}
	first := cellOf(r, "sent_on") == ""
	if !first { // a reminder goes to who was asked
		may = slices.DeleteFunc(may, func(code string) bool { return !asked[code] })
	}
	secrets, err := v.Store.GiveAskings(v.context(), v.who, r.Name, may)
	if err != nil {
		return err
	}
	var told []waveLink
	for i, code := range may {
		if secrets[i] != "" {
			told = append(told, waveLink{Code: code, Link: v.origin() + "/answer/" + secrets[i]})
		}
	}
	row := map[string]string{}
	if first {
		row["sent_on"], row["sent"] = v.Now().Format(time.DateOnly), strconv.Itoa(len(told))
	} else {
		n, _ := strconv.Atoi(cellOf(r, "reminders"))
		row["reminders"] = strconv.Itoa(min(n+1, 3))
	}
	anew := store.Record{ID: r.ID, Ledger: r.Ledger, Name: r.Name}
	for i, text := range textsIn(f, r) {
		name := f.Fields[i].Name
		if now, ok := row[name]; ok {
			text = now
		}
		anew.Row = append(anew.Row, brief.Pair{Path: finding.Path(name), Text: text})
	}
	if _, err := v.Store.PutRecord(v.context(), v.who, store.NewID(), r.Version, anew); err != nil {
		return err
	}
	return v.showWave(told)
}

// question is a follow-up as who was asked sees it.
type question struct {
	Link, Text, Answer, Pounds, Own string
	Done, Ended                     bool
	Told                            []wrong
}

// theAsking finds what a link asks. One that was withdrawn, replaced or used, or whose person no longer wants to be asked, gives no record.
func (v *visit) theAsking() (r store.Record, ended bool, err error) {
	a, err := v.Store.AskedBy(v.context(), v.PathValue("link"))
	if err != nil {
		return r, false, err
	}
	may, err := v.askable()
	if err != nil {
		return r, false, err
	}
	list, err := v.Store.LastRecords(v.context(), store.Holder(), "waves", 0, mostOffers)
	if err != nil {
		return r, false, err
	}
	for _, w := range list {
		if w.Name == a.Wave && a.Opens() && slices.Contains(may, a.Code) {
			return w, false, nil
		}
	}
	return r, true, nil
}

func (v *visit) showAsking(status int, q question) error {
	v.out.Header().Set("Referrer-Policy", "no-referrer") // the address opens it
	return v.showAs(status, "answer", sheet{Title: v.say("web.answer.title"), Of: v.say("web.answer.of"), AtBed: true, Body: q})
}

// followUp shows the question of a link.
func (v *visit) followUp() error {
	r, ended, err := v.theAsking()
	switch {
	case store.Is(err, store.FaultAsking):
		return v.showAsking(http.StatusNotFound, question{Ended: true})
	case err != nil:
		return err
	case ended:
		return v.showAsking(http.StatusGone, question{Ended: true})
	}
	return v.showAsking(http.StatusOK, v.asks(r))
}

// asks words a question in the reader's language; without one in Spanish it stands as it is.
func (v *visit) asks(r store.Record) question {
	q := question{Link: "/answer/" + url.PathEscape(v.PathValue("link")), Text: cellOf(r, "question")}
	if es := cellOf(r, "question_spanish"); es != "" && v.words.Language == "es" {
		q.Text = es
	}
	return q
}

// mostOwn bounds an own code.
const mostOwn = 20

// answer keeps an answer. It holds no name and no code of a person, only the day.
func (v *visit) answer() error {
	if err := v.filled(); err != nil {
		return err
	}
	w, ended, err := v.theAsking()
	switch {
	case store.Is(err, store.FaultAsking):
		return v.showAsking(http.StatusNotFound, question{Ended: true})
	case err != nil:
		return err
	case ended:
		return v.showAsking(http.StatusGone, question{Ended: true})
	}
	q := v.asks(w)
	q.Answer, q.Pounds, q.Own = v.PostFormValue("answer"), strings.TrimSpace(v.PostFormValue("pounds_told")), strings.TrimSpace(v.PostFormValue("own_code"))
	if len(q.Own) > mostOwn {
		q.Own = ""
	}
	f, _ := bookForm("replies")
	id := store.NewID()
	reminders, _ := strconv.Atoi(cellOf(w, "reminders"))
	said := map[string]string{"reply": coded("R", id), "wave": w.Name, "mailing": strconv.Itoa(reminders + 1), "returned_on": v.Now().Format(time.DateOnly), "answer": q.Answer, "pounds_told": q.Pounds, "own_code": q.Own}
	r := store.Record{ID: id, Ledger: f.Table, Name: said["reply"]}
	row := make([]string, len(f.Fields))
	for i, c := range f.Fields {
		row[i] = said[c.Name]
		r.Row = append(r.Row, brief.Pair{Path: finding.Path(c.Name), Text: row[i]})
	}
	if faults := programme.Check(f.Table, row, func(table, _ string) bool { return table == "waves" }); len(faults) > 0 {
		for _, x := range faults {
			what, right := v.words.Fault(x)
			q.Told = append(q.Told, wrong{what, right})
		}
		return v.showAsking(http.StatusUnprocessableEntity, q)
	}
	err = v.Store.Reply(v.context(), v.PathValue("link"), r)
	var fault finding.Fault
	if errors.As(err, &fault) && fault.ID == store.FaultAsking {
		return v.showAsking(http.StatusGone, question{Ended: true})
	}
	if err != nil {
		return err
	}
	return v.showAsking(http.StatusOK, question{Done: true})
}
