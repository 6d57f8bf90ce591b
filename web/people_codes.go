package web

import (
	"net/http"
	"net/url"
	"slices"
	"strings"

	"raftwright/finding"
	"raftwright/programme"
	"raftwright/store"
)

// FaultCode is a code that no person of the book has.
const FaultCode finding.ID = "web.fault.code"

// mostCodes bounds the codes on a page.
const mostCodes = 2000

// theCodes refuses who may not see who is behind a code.
func (v *visit) theCodes() error {
	if !v.who.Heads() {
		return v.notYours("store.word.record", "")
	}
	return nil
}

// codes lists the codes of people, with whether it is written down who they are, and no name.
func (v *visit) codes() error {
	if err := v.theCodes(); err != nil {
		return err
	}
	if code := strings.TrimSpace(v.FormValue("code")); code != "" {
		return v.to("/codes/" + url.PathEscape(code))
	}
	known, err := v.Store.ContactCodes(v.context(), v.who)
	if err != nil {
		return err
	}
	list, err := v.Store.LastRecords(v.context(), v.who, "people", 0, mostCodes)
	if err != nil {
		return err
	}
	f, _ := programme.FormOf("people")
	type row struct {
		Code, To, Role, County, Since string
		Known                         bool
	}
	var rows []row
	for _, r := range list {
		t := textsIn(f, r) // person, county, role, since
		rows = append(rows, row{t[0], "/codes/" + url.PathEscape(t[0]), v.bookWord(t[2]), t[1], v.dayOf(t[3]), slices.Contains(known, t[0])})
	}
	for _, code := range known { // written down, and no row of the book
		if !slices.ContainsFunc(rows, func(r row) bool { return r.Code == code }) {
			rows = append(rows, row{Code: code, To: "/codes/" + url.PathEscape(code), Known: true})
		}
	}
	return v.show("codes", sheet{Title: v.say("web.codes.title"), Of: v.say("web.codes.of"), Sheets: []link{{v.say("web.book.title"), "/program"}, {v.say("web.codes.title"), ""}, {v.say("web.looks.title"), "/people/looks"}}, Body: rows})
}

// code tells who is behind a code; that somebody looked is noted.
func (v *visit) code() error { return v.showCode(http.StatusOK, nil, "") }

func (v *visit) showCode(status int, told []wrong, done string) error {
	if err := v.theCodes(); err != nil {
		return err
	}
	code := v.PathValue("code")
	c, err := v.Store.ContactOf(v.context(), v.who, code)
	if err != nil {
		return err
	}
	stands := v.stands("people", code)
	if !stands && c.Name+c.Contact == "" && done == "" {
		return finding.Fault{ID: FaultCode, Args: finding.Args{"Name": code}}
	}
	body := struct {
		Code, Name, Contact, Done, Consents string
		Stands                              bool
		Told                                []wrong
	}{code, c.Name, c.Contact, done, "/keeping/consents?code=" + url.QueryEscape(code), stands, told}
	if told != nil {
		body.Name, body.Contact = v.PostFormValue("name"), v.PostFormValue("contact")
	}
	return v.showAs(status, "code", sheet{Title: code, Of: v.say("web.codes.one_of"), Sheets: []link{{v.say("web.codes.title"), "/codes"}, {code, ""}, {v.say("web.looks.title"), "/people/looks"}}, Body: body})
}

// changeCode writes down who is behind a code, or forgets it: name and contact go, the code and what is counted by it stay.
func (v *visit) changeCode() error {
	if err := v.filled(); err != nil {
		return err
	}
	if err := v.theCodes(); err != nil {
		return err
	}
	code := v.PathValue("code")
	switch v.PostFormValue("do") {
	case "forget":
		if err := v.Store.ForgetContact(v.context(), v.who, code); err != nil {
			return err
		}
		return v.showCode(http.StatusOK, nil, v.say("web.codes.forgotten"))
	case "write":
		c := store.Contact{Code: code, Name: strings.TrimSpace(v.PostFormValue("name")), Contact: strings.TrimSpace(v.PostFormValue("contact"))}
		if !v.stands("people", code) {
			return finding.Fault{ID: FaultCode, Args: finding.Args{"Name": code}}
		}
		if err := v.Store.PutContact(v.context(), v.who, c); err != nil {
			return v.retell(func(status int, told []wrong) error { return v.showCode(status, told, "") }, err)
		}
		return v.to("/codes/" + url.PathEscape(code))
	}
	return finding.Fault{ID: FaultForm}
}
