package web

import (
	"cmp"
	"net/http"
	"slices"
	"strings"
	"time"

	"github.com/google/uuid"

	"raftwright/brief"
	"raftwright/finding"
	"raftwright/store"
)

// lookedBack is how far the page goes back that tells who saw personal data, mostLooks how many it shows.
const (
	lookedBack = 365 * 24 * time.Hour
	mostLooks  = 500
)

// FaultOwn is changing the role of one's own account, or ending it.
const FaultOwn finding.ID = "web.fault.own"

// someone is a person on a page.
type someone struct {
	ID, Name, Contact, Role string
	Closed, Me              bool
}

func (v *visit) someone(p store.Person) someone {
	return someone{p.Account, cmp.Or(p.Name, v.say("web.people.forgotten")), p.Contact, v.say("web.role." + string(p.Role)), p.Closed, p.Account == v.who.Account()}
}

// once is a secret that a page tells this once: an address or a key.
type once struct{ What, Secret, Help string }

// choice is one of several that can be chosen.
type choice struct {
	Value, Name string
	Chosen      bool
}

func (v *visit) roles(of store.Role) (out []choice) {
	for _, r := range store.Roles() {
		out = append(out, choice{string(r), v.say("web.role." + string(r)), r == of})
	}
	return out
}

// origin is the address of the application: the one that it was told, or as whoever asks reached it.
func (v *visit) origin() string {
	if v.At != "" {
		return v.At
	}
	if v.secure(v.Request) {
		return "https://" + v.Host
	}
	return "http://" + v.Host
}

// people lists the people of the office.
func (v *visit) people() error { return v.showPeople(http.StatusOK, nil, nil) }

func (v *visit) showPeople(status int, told []wrong, made *once) error {
	list, err := v.Store.People(v.context(), v.who)
	if err != nil {
		return err
	}
	body := struct {
		ID, Name, Contact string
		People            []someone
		Roles             []choice
		Told              []wrong
		Once              *once
	}{ID: store.NewID(), Told: told, Once: made, Roles: v.roles(store.Grower)}
	if told != nil {
		body.Name, body.Contact, body.Roles = v.PostFormValue("name"), v.PostFormValue("contact"), v.roles(store.Role(v.PostFormValue("role")))
	}
	for _, p := range list {
		body.People = append(body.People, v.someone(p))
	}
	return v.showAs(status, "people", sheet{Title: v.say("web.people.title"), Of: v.say("web.people.of"), Body: body})
}

// addPerson opens an account and tells the address at which its person chooses a password.
func (v *visit) addPerson() error {
	if err := v.filled(); err != nil {
		return err
	}
	if !v.who.Heads() {
		return v.notYours("store.word.account", "")
	}
	id := cmp.Or(v.PostFormValue("id"), store.NewID())
	if err := v.Store.AddAccount(v.context(), v.who, id, store.Role(v.PostFormValue("role")), v.PostFormValue("name"), v.PostFormValue("contact"), ""); err != nil {
		return v.retell(func(status int, told []wrong) error { return v.showPeople(status, told, nil) }, err)
	}
	made, err := v.invitation(id, v.PostFormValue("name"))
	if err != nil {
		return err
	}
	return v.showPeople(http.StatusOK, nil, made)
}

func (v *visit) invitation(account, name string) (*once, error) {
	text, err := v.Store.GivePass(v.context(), v.who, store.NewID(), store.Invite, "", account, "")
	return &once{v.say("web.people.invited", "Name", name), v.origin() + "/join/" + text, v.say("web.people.invited_help")}, err
}

// notYours is the fault of who may not do something to a thing.
func (v *visit) notYours(thing finding.Word, name string) error {
	return finding.Fault{ID: store.FaultForbidden, Args: finding.Args{"Thing": thing, "Name": name}}
}

// person shows one person to an educator.
func (v *visit) person() error { return v.showPerson(http.StatusOK, nil, nil) }

func (v *visit) showPerson(status int, told []wrong, made *once) error {
	p, err := v.Store.Person(v.context(), v.who, v.PathValue("account"))
	if err != nil {
		return err
	}
	if !v.who.Heads() {
		return v.to("/account")
	}
	beds, open, err := v.leftOpen(p.Account)
	if err != nil {
		return err
	}
	s := sheet{Title: cmp.Or(p.Name, v.say("web.people.forgotten")), Of: v.say("web.people.one_of")}
	s.Body = struct {
		Who       someone
		Roles     []choice
		Told      []wrong
		Once      *once
		Forgotten bool
		Beds      []listed
		Open      []given
		From      string
	}{v.someone(p), v.roles(p.Role), told, made, p.Name == "", beds, open, "/people/" + p.Account}
	return v.showAs(status, "person", s)
}

// leftOpen gives what stays when an account ends: its beds, each with the page on which it is given to another, and the links, keys and calendar addresses
// of beds that it gave and that still open something.
func (v *visit) leftOpen(account string) (beds []listed, open []given, err error) {
	owned, err := v.Store.BedsOwned(v.context(), v.who, account, mostOnPage)
	if err != nil {
		return nil, nil, err
	}
	for _, b := range owned {
		beds = append(beds, listed{cmp.Or(b.Title, v.say("web.bed.nameless")), b.Place, "/beds/" + b.ID + "/share"})
	}
	list, err := v.Store.PassesGiven(v.context(), v.who, account)
	if err != nil {
		return nil, nil, err
	}
	for _, p := range slices.Backward(list) {
		if p.Bed == "" || !p.Withdrawn.IsZero() || len(open) == mostOnPage {
			continue
		}
		b, err := v.Store.Bed(v.context(), v.who, p.Bed)
		if err != nil {
			return nil, nil, err
		}
		g := v.given([]store.Pass{p}, "", p.Bed)
		g[0].Kind = v.say("web.pass.of_bed", "Kind", g[0].Kind, "Bed", cmp.Or(b.Title, v.say("web.bed.nameless")))
		open = append(open, g...)
	}
	return beds, open, nil
}

// changePerson does one thing to an account: another role or contact, a new invitation, its end, or that its person is forgotten.
func (v *visit) changePerson() error {
	if err := v.filled(); err != nil {
		return err
	}
	account := v.PathValue("account")
	if !v.who.Heads() {
		return v.notYours("store.word.account", account)
	}
	var err error
	var made *once
	do := v.PostFormValue("do")
	if account == v.who.Account() && do != "contact" && do != "invite" { // the last educator would lock the office
		return finding.Fault{ID: FaultOwn}
	}
	switch do {
	case "role":
		err = v.Store.SetRole(v.context(), v.who, store.NewID(), account, store.Role(v.PostFormValue("role")))
	case "contact":
		err = v.Store.SetContact(v.context(), v.who, account, v.PostFormValue("contact"))
	case "invite":
		made, err = v.invitation(account, v.PostFormValue("name"))
	case "end":
		err = v.Store.CloseAccount(v.context(), v.who, store.NewID(), account) // and to what it leaves open
	case "forget":
		err = v.Store.Forget(v.context(), v.who, store.NewID(), account)
	default:
		err = finding.Fault{ID: FaultForm}
	}
	switch {
	case err != nil:
		return v.retell(func(status int, told []wrong) error { return v.showPerson(status, told, nil) }, err)
	case made != nil:
		return v.showPerson(http.StatusOK, nil, made)
	}
	return v.to("/people/" + account)
}

// looked is one time that somebody saw personal data.
type looked struct{ When, Who, Whom string }

// looks tells who saw whose name and contact.
func (v *visit) looks() error {
	list, err := v.Store.Looks(v.context(), v.who, v.Now().Add(-lookedBack), mostLooks)
	if err != nil {
		return err
	}
	names, err := v.names()
	if err != nil {
		return err
	}
	var rows []looked
	for _, l := range list {
		row := looked{When: v.moment(l.At), Who: cmp.Or(names[l.Who], v.say("web.people.unnamed")), Whom: v.say("web.people.all")}
		switch {
		case l.Account == "":
		case uuid.Validate(l.Account) != nil: // a code of the book
			row.Whom = v.say("web.codes.whom", "Code", l.Account)
		default:
			row.Whom = cmp.Or(names[l.Account], v.say("web.people.forgotten"))
		}
		rows = append(rows, row)
	}
	return v.show("looks", sheet{Title: v.say("web.looks.title"), Of: v.say("web.looks.of"), Body: rows})
}

// names gives the names of people by their accounts, to who may see them.
func (v *visit) names() (map[string]string, error) {
	list, err := v.Store.People(v.context(), v.who)
	names := map[string]string{}
	for _, p := range list {
		names[p.Account] = p.Name
	}
	return names, err
}

// moment is a time as a reader at this computer reads it.
func (v *visit) moment(at time.Time) string {
	at = at.Local()
	return v.words.Date(at) + " " + at.Format("15:04")
}

// written tells when a row was written: of one without a name the day alone, whatever an older store kept.
func (v *visit) written(r store.Record) string {
	if store.OfTheDay(r.Ledger) {
		return v.words.Date(r.Recorded.Local())
	}
	return v.moment(r.Recorded)
}

// account shows one's own account: contact, password, keys.
func (v *visit) account() error { return v.showAccount(http.StatusOK, nil, nil) }

func (v *visit) showAccount(status int, told []wrong, made *once) error {
	if v.who.Account() == "" {
		return v.notYours("store.word.account", "")
	}
	p, err := v.Store.Person(v.context(), v.who, v.who.Account())
	if err != nil {
		return err
	}
	list, err := v.Store.Passes(v.context(), v.who, "")
	if err != nil {
		return err
	}
	by, err := v.means()
	if err != nil {
		return err
	}
	s := sheet{Title: v.say("web.account.title"), Of: v.say("web.account.of")}
	s.Body = struct {
		Who  someone
		Keys []given
		Told []wrong
		Once *once
		From string
		By   means
	}{v.someone(p), v.given(list, store.Key, ""), told, made, "/account", by}
	return v.showAs(status, "account", s)
}

// changeAccount changes one's own contact or password, or makes a key for the account.
func (v *visit) changeAccount() error {
	if err := v.filled(); err != nil {
		return err
	}
	account := v.who.Account()
	if account == "" {
		return v.notYours("store.word.account", "")
	}
	fail := func(err error) error {
		return v.retell(func(status int, told []wrong) error { return v.showAccount(status, told, nil) }, err)
	}
	switch do := v.PostFormValue("do"); do {
	case "passkey", "drop", "strict", "loose":
		if err := v.changeMeans(do); err != nil {
			return fail(err)
		}
	case "contact":
		if err := v.Store.SetContact(v.context(), v.who, account, v.PostFormValue("contact")); err != nil {
			return fail(err)
		}
	case "password":
		return v.changePassword(account, fail)
	case "key":
		text, err := v.Store.GivePass(v.context(), v.who, store.NewID(), store.Key, "", "", v.PostFormValue("label"))
		if err != nil {
			return fail(err)
		}
		return v.showAccount(http.StatusOK, nil, &once{v.say("web.keys.made", "Name", v.PostFormValue("label")), text, v.say("web.keys.made_help")})
	default:
		return finding.Fault{ID: FaultForm}
	}
	return v.to("/account")
}

// changePassword takes another password from who knows the one before, or has none and signed in a moment ago. All sessions of
// the account end, and one begins.
func (v *visit) changePassword(account string, fail func(error) error) error {
	if err := v.Store.Attempt(v.context(), "password:"+account, mostTries, triesIn); err != nil {
		return fail(err)
	}
	p, err := v.Store.Person(v.context(), v.who, account)
	if err != nil {
		return err
	}
	by, err := v.Store.Means(v.context(), v.who)
	if err != nil {
		return err
	}
	if by.Password {
		_, _, err = v.Store.SignIn(v.context(), p.Name, v.PostFormValue("old"))
	} else { // a first password, beside a passkey
		err = v.justIn()
	}
	if err != nil && !store.Is(err, store.FaultStrict) { // that one is told of the right password alone
		return fail(err)
	}
	if err := v.Store.SetPassword(v.context(), v.who, account, v.PostFormValue("password")); err != nil {
		return fail(err)
	}
	token, err := v.Store.Renew(v.context(), v.who)
	if err != nil {
		return err
	}
	return v.entered(token, "/account")
}

// given is a key or a link on a page.
type given struct {
	ID, Label, Kind, When string
	Withdrawn             string // when, "" while it is good
}

// given lists passes of a kind ("" for all), of one bed or of none.
func (v *visit) given(list []store.Pass, kind store.Kind, bed string) (out []given) {
	for _, p := range slices.Backward(list) {
		if kind != "" && p.Kind != kind || p.Bed != bed || p.Kind == store.Invite {
			continue
		}
		g := given{ID: p.ID, Label: cmp.Or(strings.TrimSpace(p.Label), v.say("web.keys.nameless")), Kind: v.say("web.pass." + string(p.Kind)), When: v.words.Date(p.Given.Local())}
		if !p.Withdrawn.IsZero() {
			g.Withdrawn = v.words.Date(p.Withdrawn.Local())
		}
		out = append(out, g)
	}
	return out
}

// withdraw ends a key or a link, and goes back to the page on which it stands.
func (v *visit) withdraw() error {
	if err := v.filled(); err != nil {
		return err
	}
	if err := v.Store.WithdrawPass(v.context(), v.who, store.NewID(), v.PathValue("pass")); err != nil {
		return err
	}
	return v.to(local(v.PostFormValue("from")))
}

// share shows the links and keys of a bed, and whose it is.
func (v *visit) share() error { return v.showShare(http.StatusOK, nil, nil, "") }

// shareBody is what the page of a bed's links and keys shows.
type shareBody struct {
	Bed, From       string
	Key, Post, Warm string // of the line with which a home-made probe posts its readings
	Given           []given
	People          []choice
	Told            []wrong
	Once            *once
}

func (v *visit) showShare(status int, told []wrong, made *once, key string) error {
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
	body := shareBody{Bed: b.ID, From: "/beds/" + b.ID + "/share", Given: v.given(list, "", b.ID), Told: told, Once: made}
	body.Key, body.Post, body.Warm = cmp.Or(key, v.say("web.keys.here")), v.origin()+"/api/beds/"+b.ID+"/log", "68 F"
	if b.brief().Units.Value == brief.Metric {
		body.Warm = "20 C"
	}
	if v.who.Heads() {
		people, err := v.Store.People(v.context(), v.who)
		if err != nil {
			return err
		}
		for _, p := range people {
			if !p.Closed || p.Account == b.Owner {
				body.People = append(body.People, choice{p.Account, p.Name, p.Account == b.Owner})
			}
		}
	}
	s := v.of(b, "share")
	s.Body = body
	return v.showAs(status, "share", s)
}

// giveShare makes a link, a key or the address of the calendar of a bed, told this once, or gives the bed to another person.
func (v *visit) giveShare() error {
	if err := v.filled(); err != nil {
		return err
	}
	b, err := v.theBed()
	if err != nil {
		return err
	}
	if !v.who.Shares(b.Bed) {
		return v.notYours("store.word.bed", b.ID)
	}
	fail := func(err error) error {
		return v.retell(func(status int, told []wrong) error { return v.showShare(status, told, nil, "") }, err)
	}
	kind := store.Kind(v.PostFormValue("kind"))
	switch {
	case v.PostFormValue("owner") != "":
		if err := v.Store.GiveBed(v.context(), v.who, store.NewID(), b.ID, v.PostFormValue("owner")); err != nil {
			return fail(err)
		}
		return v.to("/beds/" + b.ID + "/share")
	case kind != store.Link && kind != store.Key && kind != store.Feed:
		return finding.Fault{ID: FaultForm}
	}
	label := v.PostFormValue("label")
	text, err := v.Store.GivePass(v.context(), v.who, store.NewID(), kind, b.ID, "", label)
	if err != nil {
		return fail(err)
	}
	made, key := &once{What: v.say("web.share.made." + string(kind)), Secret: text, Help: v.say("web.share.made_help." + string(kind))}, ""
	switch kind {
	case store.Link:
		made.Secret = v.origin() + "/with/" + text
	case store.Feed:
		made.Secret = v.origin() + "/calendar/" + text + ".ics"
	case store.Key:
		key = text
	}
	return v.showShare(http.StatusOK, nil, made, key)
}
