package web

import "raftwright/store"

// places are where somebody may go from any page.
func (v *visit) places() (out []link) {
	if v.Own {
		return []link{{v.say("web.nav_beds"), "/beds"}}
	}
	if v.who.Account() == "" {
		return nil
	}
	beds := "web.nav_beds"
	if v.who.Role() != store.Grower {
		beds = "web.nav_all"
	}
	out = append(out, link{v.say(beds), "/beds"})
	if v.who.Heads() {
		out = append(out, link{v.say("web.people.title"), "/people"})
	}
	return append(out, link{v.say("web.account.title"), "/account"})
}

// Places lists where the reader may go.
func (s sheet) Places() []link { return s.visit.places() }

// passes are keys and links with the sheet on which they stand.
type passes struct {
	Sheet sheet
	List  []given
	From  string
}

// Passes gives keys and links with the page to come back to.
func (s sheet) Passes(list []given, from string) passes { return passes{s, list, from} }
