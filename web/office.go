package web

import (
	"cmp"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"raftwright/store"
)

// officeRoutes lists the addresses of an office: who comes in, people, keys, what is shared and taken into a bed.
func officeRoutes() []route {
	return []route{
		{"GET /sign-in", (*visit).signIn},
		{"POST /sign-in", (*visit).signedIn},
		{"POST /sign-out", (*visit).signOut},
		{"POST /first", (*visit).openFirst},
		{"GET /join/{invitation}", (*visit).join},
		{"POST /join/{invitation}", (*visit).joined},
		{"GET /with/{link}", (*visit).with},
		{"GET /shared", (*visit).shared},
		{"GET /shared/new/{kind}", (*visit).newSheet},
		{"GET /shared/{sheet}", (*visit).oneSheet},
		{"POST /shared/{sheet}", (*visit).keepSheet},
		{"GET /beds/{bed}/import", (*visit).imports},
		{"POST /beds/{bed}/import", (*visit).takeIn},
		{"GET /beds/{bed}/next", (*visit).next},
		{"GET /beds/{bed}/fill", (*visit).fill},
		{"POST /beds/{bed}/fill", (*visit).keepFill},
		{"GET /people", (*visit).people},
		{"POST /people", (*visit).addPerson},
		{"GET /people/{account}", (*visit).person},
		{"POST /people/{account}", (*visit).changePerson},
		{"GET /people/looks", (*visit).looks},
		{"GET /account", (*visit).account},
		{"POST /account", (*visit).changeAccount},
		{"POST /passes/{pass}", (*visit).withdraw},
		{"GET /labels", (*visit).manyLabels},
		{"POST /labels.pdf", (*visit).printManyLabels},
		{"GET /beds/{bed}/share", (*visit).share},
		{"POST /beds/{bed}/share", (*visit).giveShare},
	}
}

// places are where somebody may go from any page.
func (v *visit) places() (out []link) {
	if v.Own {
		return []link{{v.say("web.nav_beds"), "/beds"}, {v.say("web.shared.title"), "/shared"}, {v.say("web.book.title"), "/program"}}
	}
	if v.who.Account() == "" {
		return nil
	}
	beds := "web.nav_beds"
	if v.who.Role() != store.Grower {
		beds = "web.nav_all"
	}
	out = append(out, link{v.say(beds), "/beds"}, link{v.say("web.shared.title"), "/shared"})
	if v.who.Accounts() {
		out = append(out, link{v.say("web.book.title"), "/program"})
	}
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

// needed is a bed on the list of all.
type needed struct {
	Name, To, Where string
	Tag, Rank       string // the rank is the word of the tag's look: now, soon, plain
	Why             []string
	Do              string
	Last            []cell
	Day             string
}

// stretch is a part of the list: what is done today, this week, what is asked, what is well.
type stretch struct {
	Title string
	Beds  []needed
	Well  []listed
}

// bedsPage is what the list of all beds shows.
type bedsPage struct {
	Stretches                []stretch
	Counties, Kinds, Program []choice
	Narrow                   bool // whether there is something to narrow it by
	Needing, All             int
	Removed                  bool // whether there are beds to bring back
	Next                     string
	Heads                    []string
}

// beds lists the beds that the reader may see by what needs attention, the most pressing first.
func (v *visit) beds() error {
	if v.who.Bed() != "" {
		return v.to("/beds/" + v.who.Bed() + "/today")
	}
	in := store.Group{County: v.FormValue("county"), Kind: v.FormValue("kind"), Program: v.FormValue("program")}
	counts, err := v.Store.AttentionGroups(v.context(), v.who)
	if err != nil {
		return err
	}
	list, err := v.Store.Attention(v.context(), v.who, in, placeInList(v.FormValue("after")), mostOnPage)
	if err != nil {
		return err
	}
	body := bedsPage{Heads: []string{v.say("web.beds.ec"), v.say("web.beds.ph"), v.say("web.beds.warmth"), v.say("web.beds.depth"), v.say("web.beds.read")}}
	var counties, kinds, programs []string
	for _, c := range counts {
		counties, kinds, programs = append(counties, c.County), append(kinds, c.Kind), append(programs, c.Program)
		if in.County != "" && in.County != c.County || in.Kind != "" && in.Kind != c.Kind || in.Program != "" && in.Program != c.Program {
			continue
		}
		body.All += c.Beds
		if c.Needs {
			body.Needing += c.Beds
		}
	}
	body.Counties, body.Program = choices(counties, in.County, nil), choices(programs, in.Program, nil)
	body.Kinds = choices(kinds, in.Kind, func(k string) string { return v.say("web.word." + k) })
	body.Narrow = len(body.Counties)+len(body.Kinds)+len(body.Program) > 1
	for _, a := range list {
		body.put(v, a)
	}
	removed, err := v.Store.RemovedBeds(v.context(), v.who, 1)
	if err != nil {
		return err
	}
	body.Removed = len(removed) > 0
	if len(list) == mostOnPage {
		last := list[len(list)-1]
		q := url.Values{"after": {strconv.Itoa(last.Rank) + "." + last.Bed.ID}}
		for name, text := range map[string]string{"county": in.County, "kind": in.Kind, "program": in.Program} {
			if text != "" {
				q.Set(name, text)
			}
		}
		body.Next = "/beds?" + q.Encode()
	}
	title := "web.beds.title"
	if v.who.Role() != store.Grower && !v.Own {
		title = "web.nav_all"
	}
	return v.show("beds", sheet{Title: v.say(title), Of: v.say("web.beds.by_need"), Wide: true, Body: body})
}

// placeInList reads after which bed a page of the list begins; nil is the first page.
func placeInList(text string) *store.Attention {
	rank, id, ok := strings.Cut(text, ".")
	n, err := strconv.Atoi(rank)
	if !ok || err != nil {
		return nil
	}
	return &store.Attention{Rank: n, Bed: store.Bed{ID: id}}
}

// choices are the texts that there are, once each, in order.
func choices(texts []string, chosen string, say func(string) string) (out []choice) {
	slices.Sort(texts)
	for _, t := range slices.Compact(texts) {
		if t == "" {
			continue
		}
		name := t
		if say != nil {
			name = say(t)
		}
		out = append(out, choice{t, name, t == chosen})
	}
	return out
}

// put puts a bed into the part of the list to which its rank belongs.
func (p *bedsPage) put(v *visit, a store.Attention) {
	title, look := "web.beds.well", ""
	switch {
	case a.Rank >= rankNow:
		title, look = "web.beds.now", "now"
	case a.Rank >= rankWeek:
		title, look = "web.beds.week", "soon"
	case a.Rank >= rankAsk:
		title, look = "web.beds.ask", "plain"
	}
	if name := v.say(title); len(p.Stretches) == 0 || p.Stretches[len(p.Stretches)-1].Title != name {
		p.Stretches = append(p.Stretches, stretch{Title: name})
	}
	at := &p.Stretches[len(p.Stretches)-1]
	name, to := cmp.Or(a.Bed.Title, v.say("web.bed.nameless")), "/beds/"+a.Bed.ID
	if look == "" || len(a.Reasons) == 0 {
		at.Well = append(at.Well, listed{name, a.Bed.Place, to})
		return
	}
	n := needed{Name: name, To: to + "/today", Rank: look, Where: a.Bed.Place, Do: v.say("web.need.do." + a.Reasons[0].Code)}
	if a.Group.Kind != "" {
		n.Where = strings.TrimPrefix(n.Where+", "+v.say("web.word."+a.Group.Kind), ", ")
	}
	n.Tag, _ = reasonSaid(v.words, a.Reasons[0])
	for i, r := range a.Reasons {
		tag, why := reasonSaid(v.words, r)
		if i > 0 {
			why = tag + ": " + why
		}
		n.Why = append(n.Why, why)
	}
	for i, key := range []string{"ec", "ph", "water temperature", "depth"} {
		n.Last = append(n.Last, cell{p.Heads[i], narrowed(a.Reading.Texts[key])})
	}
	if !a.Reading.At.IsZero() {
		n.Day = v.words.MonthDay(int(a.Reading.At.Month()), a.Reading.At.Day())
	}
	at.Beds = append(at.Beds, n)
}

// narrowed is a reading in a narrow column: the sign of inches and the unit of the column are left out.
func narrowed(text string) string {
	for _, unit := range []string{" mS/cm", " in"} {
		text = strings.TrimSuffix(text, unit)
	}
	return text
}
