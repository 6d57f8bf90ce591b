package web

import (
	"cmp"
	"errors"
	"net/http"
	"slices"
	"strings"
	"time"

	"raftwright/finding"
	"raftwright/store"
)

// lasting is how long a browser keeps a session or a link; the store ends them by its own rules.
const lasting = 90 * 24 * time.Hour

// door is what stands on a page that lets somebody in.
type door struct {
	To, Name, Token string
	Code            bool // whether it is asked for
	Told            []wrong
	Beds            []listed // that are open by a link
	Joining         bool
	Passkeys        bool // whether they are used at this address
}

// start is the first page: where nobody has an account, the one that opens the first; where
// nobody is signed in, the one that lets in.
func (v *visit) start() error {
	if v.Own || v.who.Role() != "" {
		return v.begin()
	}
	code, err := v.FirstCode(v.context())
	if err != nil {
		return err
	}
	if code != "" {
		return v.showFirst(http.StatusOK, nil)
	}
	return v.showSignIn(http.StatusOK, nil)
}

func (v *visit) showFirst(status int, told []wrong) error {
	return v.showAs(status, "first", sheet{Title: v.say("web.first.title"), Of: v.say("web.first.of"), Body: door{Name: v.PostFormValue("name"), Code: !v.atHome(v.Request), Told: told}})
}

// openFirst opens the account of the first educator and signs them in.
func (v *visit) openFirst() error {
	if err := v.filled(); err != nil {
		return err
	}
	code, err := v.FirstCode(v.context())
	if err != nil {
		return err
	}
	if code == "" {
		return v.to("/sign-in")
	}
	if err := v.Store.Attempt(v.context(), "first:"+v.address(v.Request), mostTries, triesIn); err != nil {
		return v.retell(v.showFirst, err)
	}
	if !v.mayBegin(v.Request, code) {
		return v.retell(v.showFirst, finding.Fault{ID: FaultFirst})
	}
	if err := v.Store.FirstAccount(v.context(), v.PostFormValue("name"), v.PostFormValue("password")); err != nil {
		return v.retell(v.showFirst, err)
	}
	return v.enter(v.PostFormValue("name"), v.PostFormValue("password"), "/")
}

// retell shows a form once more with what was wrong; what is no fault of what was typed stays an error.
func (v *visit) retell(show func(int, []wrong) error, err error) error {
	var f finding.Fault
	if !errors.As(err, &f) || statusOf(f) >= 500 {
		return err
	}
	v.retold = f
	v.mayAgain(f)
	what, right := v.words.Fault(f)
	return show(statusOf(f), []wrong{{what, right}})
}

// enter signs somebody in.
func (v *visit) enter(name, password, to string) error {
	token, _, err := v.Store.SignIn(v.context(), name, password)
	if err != nil {
		return err
	}
	return v.entered(token, to)
}

func (v *visit) entered(token, to string) error {
	if err := v.begun(token); err != nil {
		return err
	}
	return v.to(local(to))
}

// begun hands a session to the browser. The one before, if there is one, ends.
func (v *visit) begun(token string) error {
	if old := v.cookie(v.Request, cookieSession); old != "" {
		if err := v.Store.SignOut(v.context(), old); err != nil {
			return err
		}
	}
	v.setCookie(cookieSession, token, lasting)
	return nil
}

// signIn shows the page on which one signs in.
func (v *visit) signIn() error {
	if v.who.Account() != "" || v.Own {
		return v.to(local(cmp.Or(v.FormValue("to"), "/")))
	}
	code, err := v.FirstCode(v.context())
	if err != nil {
		return err
	}
	if code != "" {
		return v.to("/")
	}
	return v.showSignIn(http.StatusOK, nil)
}

func (v *visit) showSignIn(status int, told []wrong) error {
	d := door{To: v.FormValue("to"), Name: v.PostFormValue("name"), Told: told, Passkeys: v.passkeysHere()}
	for _, c := range v.Cookies() {
		bed, ok := strings.CutPrefix(c.Name, v.cookieName(v.Request, cookieLink))
		if !ok || len(d.Beds) >= mostOnPage {
			continue
		}
		who, err := v.Store.ByPass(v.context(), c.Value)
		if err != nil || who.Bed() != bed {
			continue
		}
		b, err := v.Store.Bed(v.context(), who, bed)
		if err != nil {
			return err
		}
		d.Beds = append(d.Beds, listed{cmp.Or(b.Title, v.say("web.bed.nameless")), b.Place, "/beds/" + bed + "/today"})
	}
	return v.showAs(status, "signin", sheet{Title: v.say("web.signin.title"), Of: v.say("web.signin.of"), Body: d})
}

// signedIn lets somebody in by name and password. How often that may be tried is bounded by
// name and by address, for all servers on the store together.
func (v *visit) signedIn() error {
	if err := v.filled(); err != nil {
		return err
	}
	name := v.PostFormValue("name")
	tries, err := v.triesOf(name)
	if err != nil {
		return err
	}
	for what, most := range tries {
		if err := v.Store.Attempt(v.context(), what, most, triesIn); err != nil {
			return v.retell(v.showSignIn, err)
		}
	}
	token, _, err := v.Store.SignIn(v.context(), name, v.PostFormValue("password"))
	if err != nil {
		return v.retell(v.showSignIn, err)
	}
	for what := range tries {
		if err := v.Store.TakeBack(v.context(), what); err != nil {
			return err
		}
	}
	if err := v.begun(token); err != nil {
		return err
	}
	if err := v.know(name); err != nil {
		return err
	}
	return v.to(local(v.PostFormValue("to")))
}

// triesOf gives what counts a try to sign in under a name, each with how many there may be: the name, and where it comes from. A browser with which
// this person has signed in before has a count of its own, so that neither who guesses nor who mistypes beside them keeps them out.
func (v *visit) triesOf(name string) (map[string]int, error) {
	for _, mark := range v.marks() {
		is, err := v.Store.Marked(v.context(), name, mark)
		if err != nil {
			return nil, err
		}
		if is {
			return map[string]int{"known:" + mark: mostTries}, nil
		}
	}
	return map[string]int{"from:" + v.address(v.Request): mostTriesFrom, "as:" + strings.ToLower(strings.Join(strings.Fields(name), " ")): mostTries}, nil
}

// mostMarks is how many people a browser is known by.
const mostMarks = 5

func (v *visit) marks() []string {
	list := strings.Split(v.cookie(v.Request, cookieKnown), ".")
	return list[:min(len(list), mostMarks)]
}

// know lets the browser keep by what it is known again as one of this person.
func (v *visit) know(name string) error {
	list := v.marks()
	for _, mark := range list {
		if is, err := v.Store.Marked(v.context(), name, mark); err != nil || is {
			return err
		}
	}
	mark, err := v.Store.Mark(v.context(), name)
	if err != nil || mark == "" {
		return err
	}
	list = slices.DeleteFunc(append([]string{mark}, list...), func(m string) bool { return m == "" })
	v.setCookie(cookieKnown, strings.Join(list[:min(len(list), mostMarks)], "."), keepsMarks)
	return nil
}

// signOut ends the session, and forgets the links that this browser holds where that is asked.
func (v *visit) signOut() error {
	if token := v.cookie(v.Request, cookieSession); token != "" {
		if err := v.Store.SignOut(v.context(), token); err != nil {
			return err
		}
	}
	v.setCookie(cookieSession, "", 0)
	if v.PostFormValue("others") == "" { // away.js asked about visits that wait, and has taken away what is not another person's
		v.out.Header().Set("Clear-Site-Data", `"storage"`) // what this browser holds of the beds
	}
	if v.PostFormValue("links") != "" {
		for _, c := range v.Cookies() {
			if name, ok := strings.CutPrefix(c.Name, v.cookieName(v.Request, cookieLink)); ok {
				v.setCookie(cookieLink+name, "", 0)
			}
		}
	}
	return v.to("/sign-in")
}

// join shows where the person of an account that was opened for them chooses a password.
func (v *visit) join() error { return v.showJoin(http.StatusOK, nil) }

func (v *visit) showJoin(status int, told []wrong) error {
	v.out.Header().Set("Referrer-Policy", "no-referrer") // the address opens the account until it is used
	return v.showAs(status, "signin", sheet{Title: v.say("web.join.title"), Of: v.say("web.join.of"), Body: door{Token: v.PathValue("invitation"), Joining: true, Told: told, Passkeys: v.passkeysHere()}})
}

// joined takes an invitation: the password is set, and the person signed in.
func (v *visit) joined() error {
	if err := v.filled(); err != nil {
		return err
	}
	from := "join:" + v.address(v.Request)
	if err := v.Store.Attempt(v.context(), from, mostTriesFrom, triesIn); err != nil {
		return v.retell(v.showJoin, err)
	}
	token, err := v.accepted()
	if err == nil {
		err = v.Store.TakeBack(v.context(), from) // a class that joins in one quarter of an hour
	}
	if store.Is(err, store.FaultSignIn) {
		return finding.Fault{ID: FaultOver}
	}
	if err != nil {
		return v.retell(v.showJoin, err)
	}
	return v.entered(token, "/")
}

// accepted takes an invitation with a password, or with a passkey.
func (v *visit) accepted() (token string, err error) {
	invitation := v.PathValue("invitation")
	if v.PostFormValue("answer") == "" {
		token, _, err = v.Store.Accept(v.context(), invitation, v.PostFormValue("password"))
		return token, err
	}
	account, _, err := v.Store.Invited(v.context(), invitation)
	if err != nil {
		return "", err
	}
	made, err := v.madePasskey(account)
	if err == nil {
		token, _, err = v.Store.AcceptPasskey(v.context(), invitation, made)
	}
	return token, err
}

// with takes the link of a bed: the browser keeps it, and the address that held it is left.
func (v *visit) with() error {
	v.out.Header().Set("Referrer-Policy", "no-referrer")
	link := v.PathValue("link")
	who, err := v.Store.ByPass(v.context(), link)
	if store.Is(err, store.FaultSignIn) || err == nil && who.Bed() == "" {
		return finding.Fault{ID: FaultOver}
	}
	if err != nil {
		return err
	}
	if !v.Own {
		v.setCookie(cookieLink+who.Bed(), link, lasting)
	}
	return v.to("/beds/" + who.Bed() + "/today")
}
