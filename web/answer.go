package web

import (
	"errors"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"raftwright/brief"
	"raftwright/finding"
	"raftwright/programme"
	"raftwright/store"
)

// question is a follow-up as who was asked sees it.
type question struct {
	Link, Text, Answer, Pounds, Own string
	PoundsWrong                     []wrong
	Form                            string // the form's kind; "": no form is asked
	Five                            bool   // some item has five steps
	Items                           []askedItem
	Tells                           bool
	Done                            string // what the answer is called, once it is kept
	Ended                           bool
	Told                            []wrong
}

// askedItem is an item of a form on the page of a link: one answer, or how it is now and how it was before.
type askedItem struct {
	ID, Text string
	Answers  []askedAnswer
	Number   bool
	Wrong    []wrong
}

// askedAnswer is one answer of an item: a row of choices, or a field for a number.
type askedAnswer struct {
	Name, Label, Text string
	Options           []option
}

// asksPair tells whether an item is answered for now and for before, on one form.
func asksPair(q programme.Asked) bool {
	return q.Kind == "looking back" && (q.Answer == "five" || q.Answer == "yes")
}

// askedWave is what a link asks: its wave, and the items of its form.
type askedWave struct {
	store.Record
	items []programme.Asked
}

// formOfWave gives the items that a wave asks beside its question, read as the house: whoever answers may not read the records.
func (v *visit) formOfWave(r store.Record) ([]programme.Asked, error) {
	name := cellOf(r, "form")
	if name == "" {
		return nil, nil
	}
	house := *v
	house.who = store.Holder()
	return house.askedBy(name)
}

// theAsking finds what a link asks. One that was withdrawn, replaced or used, or whose person no longer wants to be asked, gives no record.
func (v *visit) theAsking() (w askedWave, ended bool, err error) {
	a, err := v.Store.AskedBy(v.context(), v.PathValue("link"))
	if err != nil {
		return w, false, err
	}
	may, err := v.askable(a.Wave)
	if err != nil {
		return w, false, err
	}
	list, err := v.Store.LastRecords(v.context(), store.Holder(), "waves", 0, mostOffers)
	if err != nil {
		return w, false, err
	}
	for _, r := range list {
		if r.Name == a.Wave && a.Opens() && slices.Contains(may, a.Code) {
			w.Record = r
			w.items, err = v.formOfWave(r)
			return w, false, err
		}
	}
	return w, true, nil
}

func (v *visit) showAsking(status int, q question) error {
	v.out.Header().Set("Referrer-Policy", "no-referrer") // the address opens it
	return v.showAs(status, "answer", sheet{Title: v.say("web.answer.title"), Of: v.say("web.answer.of"), AtBed: true, Body: q})
}

// whileOpen does what is to be done with what a link asks, or tells that it asks nothing any more.
func (v *visit) whileOpen(do func(askedWave) error) error {
	w, ended, err := v.theAsking()
	switch {
	case store.Is(err, store.FaultAsking):
		return v.showAsking(http.StatusNotFound, question{Ended: true})
	case err != nil:
		return err
	case ended:
		return v.showAsking(http.StatusGone, question{Ended: true})
	}
	return do(w)
}

// followUp shows what a link asks.
func (v *visit) followUp() error {
	return v.whileOpen(func(w askedWave) error { return v.showAsking(http.StatusOK, v.asks(w)) })
}

// asks words a follow-up in the reader's language, with what was typed; a question that is not in Spanish stands as it is.
func (v *visit) asks(w askedWave) question {
	q := question{Link: "/answer/" + url.PathEscape(v.PathValue("link")), Text: programme.Wave{Question: cellOf(w.Record, "question"), Spanish: cellOf(w.Record, "question_spanish")}.Asks(v.words.Language)}
	for i, a := range w.items {
		q.Form = a.Kind
		q.Five = q.Five || a.Answer == "five"
		item := askedItem{ID: "item-" + strconv.Itoa(i), Text: a.Text(v.words.Language), Number: a.Answer == "number"}
		whens := []string{"now"}
		if asksPair(a) { // now first: people judge the past by what they know now
			whens = append(whens, "before")
		}
		for _, when := range whens {
			x := askedAnswer{Name: when + ":" + a.Item, Text: strings.TrimSpace(v.PostFormValue(when + ":" + a.Item))}
			if len(whens) > 1 {
				x.Label = v.say("web.answer." + when)
			}
			for _, o := range v.choicesOf(a) {
				o.Chosen = o.Value == x.Text
				x.Options = append(x.Options, o)
			}
			item.Answers = append(item.Answers, x)
		}
		q.Items = append(q.Items, item)
	}
	q.Answer, q.Pounds, q.Own, q.Tells = v.PostFormValue("answer"), withPoint(strings.TrimSpace(v.PostFormValue("pounds_told"))), strings.TrimSpace(v.PostFormValue("own_code")), v.PostFormValue("tells") != ""
	if len(q.Own) > mostOwn {
		q.Own = ""
	}
	return q
}

// choicesOf lists the answers that an item has; none of a number.
func (v *visit) choicesOf(a programme.Asked) (out []option) {
	switch a.Answer {
	case "five":
		for n := range 5 {
			out = append(out, option{Value: strconv.Itoa(n + 1), Name: strconv.Itoa(n + 1)})
		}
	case "yes":
		out = []option{{Value: "1", Name: v.say("form.yes")}, {Value: "0", Name: v.say("form.no")}}
	case "one of":
		for i, name := range a.Options(v.words.Language) {
			out = append(out, option{Value: strconv.Itoa(i + 1), Name: strings.TrimSpace(name)})
		}
	}
	return out
}

// mostOwn bounds an own code, mostNumber a number that is asked for.
const mostOwn, mostNumber = 20, 1000

// answersTo gives the rows of the book that the answers to a form come to, and the items in which something is wrong.
func (v *visit) answersTo(w askedWave, q *question, reply string) (out []programmeRow, wrongs bool) {
	for i, a := range w.items {
		said := map[string]string{}
		for _, x := range q.Items[i].Answers {
			when, _, _ := strings.Cut(x.Name, ":")
			fits := x.Text == "" || slices.ContainsFunc(x.Options, func(o option) bool { return o.Value == x.Text })
			if n, err := strconv.Atoi(x.Text); q.Items[i].Number && err == nil && n >= 0 && n <= mostNumber {
				fits = true
			}
			if !fits {
				wrongs = true
				q.Items[i].Wrong = []wrong{{v.say("web.keying.bad.number", "Text", x.Text), v.say("web.answer.number_right", "Most", mostNumber)}}
			}
			said[when] = x.Text
		}
		if row := answerRow(w.Record, a, said["now"], said["before"]); row != nil {
			row["form"], row["code"] = reply, q.Own
			out = append(out, row)
		}
	}
	return out, wrongs
}

// answerRow gives the row of an item that was asked in a wave; nil where it was left out.
func answerRow(w store.Record, a programme.Asked, now, before string) programmeRow {
	if now+before == "" {
		return nil
	}
	row := programmeRow{"wave": w.Name, "event": cellOf(w, "event"), "item": a.Item, "kind": "later", "after": now}
	switch {
	case asksPair(a):
		row["kind"], row["before"] = "looking back", before
	case a.Kind == "before":
		row["kind"], row["before"], row["after"] = "before and after", now, ""
	case a.Kind == "after":
		row["kind"] = "before and after"
	}
	return row
}

// answer keeps an answer.
func (v *visit) answer() error {
	if err := v.filled(); err != nil {
		return err
	}
	return v.whileOpen(v.keepReply)
}

// keepReply keeps what was answered. It holds no name and no code of a person, only the day.
func (v *visit) keepReply(w askedWave) error {
	q := v.asks(w)
	id := store.NewIDIn("replies")
	reminders, _ := strconv.Atoi(cellOf(w.Record, "reminders"))
	reply := programmeRow{"reply": coded("R", id), "wave": w.Name, "mailing": strconv.Itoa(reminders + 1), "returned_on": v.officeDay(), "answer": q.Answer, "pounds_told": q.Pounds, "own_code": q.Own}
	answers, wrongs := v.answersTo(w, &q, reply["reply"])
	first := rowOf("replies", id, reply)
	f, _ := programme.FormOf("replies")
	for _, x := range programme.Check("replies", textsIn(f, first), func(table, _ string) bool { return table == "waves" }) {
		what, right := v.words.Fault(x)
		wrongs = true
		if f.Fields[max(0, x.Column-1)].Name == "pounds_told" {
			q.PoundsWrong = append(q.PoundsWrong, wrong{what, right})
		} else {
			q.Told = append(q.Told, wrong{what, right})
		}
	}
	if wrongs {
		return v.showAsking(http.StatusUnprocessableEntity, q)
	}
	list := []store.Record{first}
	for _, row := range answers {
		list = append(list, rowOf("answers", store.NewIDIn("answers"), row))
	}
	err := v.Store.Reply(v.context(), v.PathValue("link"), q.Tells, list...)
	var fault finding.Fault
	if errors.As(err, &fault) && fault.ID == store.FaultAsking {
		return v.showAsking(http.StatusGone, question{Ended: true})
	}
	if err != nil {
		return err
	}
	return v.showAsking(http.StatusOK, question{Done: reply["reply"]})
}

// rowOf gives a row of the book as the store keeps it.
func rowOf(table, id string, row programmeRow) store.Record {
	f, _ := programme.FormOf(table)
	r := store.Record{ID: id, Ledger: table}
	for _, c := range f.Fields {
		r.Row = append(r.Row, brief.Pair{Path: finding.Path(c.Name), Text: row[c.Name]})
	}
	if f.Named {
		r.Name = r.Row[0].Text
	}
	return r
}
