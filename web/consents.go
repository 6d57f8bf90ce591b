package web

import (
	"context"
	"net/http"
	"net/url"
	"slices"
	"strconv"

	"raftwright/finding"
	"raftwright/programme"
	"raftwright/store"
)

// mostConsents bounds the consents that are looked through, shownConsents how many a page shows.
const mostConsents, shownConsents = 5000, 60

// consents lists what each person said yes to, by code and purpose.
func (v *visit) consents() error { return v.showConsents(http.StatusOK, nil, "") }

func (v *visit) showConsents(status int, told []wrong, done string) error {
	if err := v.theBook(); err != nil {
		return err
	}
	code := v.FormValue("code")
	list, err := v.Store.LastRecords(v.context(), v.who, "consents", 0, mostConsents)
	if err != nil {
		return err
	}
	f, _ := programme.FormOf("consents")
	type row struct {
		ID, Code, Purpose, Site, Given, Withdrawn, Form string
		Saw                                             int
	}
	body := struct {
		Code, Done, New string
		Rows            []row
		More            bool
		Told            []wrong
	}{Code: code, Done: done, Told: told, New: "/program/consents"}
	if code != "" {
		body.New += "?with.person=" + url.QueryEscape(code)
	}
	for _, r := range list {
		t := textsIn(f, r) // person, purpose, site, given, withdrawn
		if code != "" && t[0] != code {
			continue
		}
		if len(body.Rows) == shownConsents {
			body.More = true
			break
		}
		body.Rows = append(body.Rows, row{ID: r.ID, Code: t[0], Purpose: v.bookWord(t[1]), Site: t[2], Given: v.dayOf(t[3]), Withdrawn: v.dayOf(t[4]), Form: store.NewID(), Saw: r.Version})
	}
	s := v.keepingSheet("consents")
	s.Body = body
	return v.showAs(status, "consents", s)
}

// dayOf says a day of a row as a reader reads it.
func (v *visit) dayOf(text string) string {
	if d, ok := programme.ParseDay(text); ok {
		return v.words.Date(d.Time())
	}
	return text
}

// withdrawConsent ends a consent from today on. Who no longer wants to be held has neither name nor contact here from then on, and the rows
// of the code are due.
func (v *visit) withdrawConsent() error {
	if err := v.filled(); err != nil {
		return err
	}
	if err := v.theBook(); err != nil {
		return err
	}
	record := v.PostFormValue("record")
	if record == "" {
		return finding.Fault{ID: FaultForm}
	}
	r, err := v.Store.Record(v.context(), v.who, record)
	if err != nil {
		return err
	}
	if r.Ledger != "consents" {
		return finding.Fault{ID: store.FaultNotFound, Args: finding.Args{"Thing": finding.Word("store.word.record"), "Name": r.ID}}
	}
	person, purpose, held := "", "", true
	for i, p := range r.Row {
		switch p.Path {
		case "person":
			person = p.Text
		case "purpose":
			purpose = p.Text
		case "withdrawn":
			held = p.Text == ""
			r.Row[i].Text = v.officeDay()
		}
	}
	if held { // once however often it is sent
		saw, _ := strconv.Atoi(v.PostFormValue("saw"))
		if _, err := v.Store.PutRecord(v.context(), v.who, v.PostFormValue("id"), saw, r); err != nil {
			return v.retell(func(status int, told []wrong) error { return v.showConsents(status, told, "") }, err)
		}
	}
	done := v.say("web.keeping.withdrawn", "Code", person, "Purpose", v.bookWord(purpose))
	if purpose == "keep" {
		done = v.say("web.keeping.withdrawn_keep", "Code", person)
	}
	if err := v.heldNoMore(r); err != nil {
		return err
	}
	return v.showConsents(http.StatusOK, nil, done)
}

// backAgain refuses a new yes to be held for a code whose person took one back by today, or by the day on which it is said to be given: the rows of the code name nobody from that day on, and go once that is confirmed, the
// later ones too. Who comes back gets another code. A day that was written by mistake is cleared in its own row.
func (v *visit) backAgain(r store.Record) error {
	if r.Ledger != "consents" || cellOf(r, "purpose") != "keep" || cellOf(r, "withdrawn") != "" {
		return nil
	}
	given, _ := programme.ParseDay(cellOf(r, "given"))
	for before := int64(0); ; {
		list, err := v.Store.LastRecords(v.context(), v.who, "consents", before, mostConsents)
		if err != nil {
			return err
		}
		for _, x := range list {
			ends, ended := programme.ParseDay(cellOf(x, "withdrawn"))
			if ended && ends <= max(v.dayNow(), given) && x.ID != r.ID && cellOf(x, "purpose") == "keep" && cellOf(x, "person") == cellOf(r, "person") {
				return finding.Fault{ID: programme.FaultBackAgain, Args: finding.Args{"Name": cellOf(r, "person"), "Day": ends.Time()}}
			}
		}
		if len(list) < mostConsents {
			return nil
		}
		before = list[len(list)-1].Order
	}
}

// heldNoMore forgets name and contact of who takes back the consent to be held, on the day on which that is written down and by whomever: who may
// write a consent need not see whose it is.
func (v *visit) heldNoMore(r store.Record) error {
	if r.Ledger != "consents" || cellOf(r, "purpose") != "keep" {
		return nil
	}
	if from, ok := programme.ParseDay(cellOf(r, "withdrawn")); !ok || from > v.dayNow() {
		return nil
	}
	return v.Store.ForgetContact(v.context(), store.Holder(), cellOf(r, "person"))
}

// forgetOn forgets name and contact of all whose consent to be held ended by a day: one may be written down to end later. Who said yes again since is held.
func (h *House) forgetOn(ctx context.Context, day string) error {
	today, ok := programme.ParseDay(day)
	if !ok {
		return nil
	}
	left, since := map[string]programme.Day{}, map[string]programme.Day{} // when the last one ended, and when one that stands was given
	for before := int64(0); ; {
		list, err := h.Store.LastRecords(ctx, store.Holder(), "consents", before, mostConsents)
		if err != nil {
			return err
		}
		for _, r := range list {
			if cellOf(r, "purpose") != "keep" {
				continue
			}
			who := cellOf(r, "person")
			given, _ := programme.ParseDay(cellOf(r, "given"))
			if ends, ok := programme.ParseDay(cellOf(r, "withdrawn")); ok && ends <= today {
				left[who] = max(left[who], ends)
			} else {
				since[who] = max(since[who], given)
			}
		}
		if len(list) < mostConsents {
			break
		}
		before = list[len(list)-1].Order
	}
	var gone []string
	for who, ended := range left {
		if since[who] < ended {
			gone = append(gone, who)
		}
	}
	slices.Sort(gone)
	return h.Store.ForgetContact(ctx, store.Holder(), gone...)
}
