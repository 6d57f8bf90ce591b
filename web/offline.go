package web

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"slices"
	"strings"
	"sync"

	"raftwright/finding"
	"raftwright/packet"
	"raftwright/programme"
	"raftwright/store"
)

// away is what a page tells its script (away.js): what it does when there is no signal.
type away struct {
	Who    string            `json:"who"`           // whose page it is, as a mark that says nothing else
	Now    int64             `json:"now"`           // by the server's clock, in milliseconds
	Bed    string            `json:"bed,omitempty"` // where one works at a bed
	Hold   bool              `json:"hold"`          // whether a phone holds pages of this address
	Files  map[string]string `json:"files"`
	Engine map[string]string `json:"engine,omitempty"`
	Words  json.RawMessage   `json:"words"`
}

// awayWords are the sentences that the script says.
var awayWords = []string{"no_signal", "stale", "coming", "came", "show_newer", "signed_out", "denied", "unread", "loose_single", "loose_several", "waits_single", "waits_several", "others_single", "others_several",
	"show", "send_now", "change", "mend", "throw", "throw_sure", "refused", "bed_removed", "clock", "clash", "clash_there", "clash_here", "clash_both", "clash_theirs",
	"kept_here", "changing", "clash_meanwhile", "clash_mine", "clash_beside", "clash_versions", "rows_single", "rows_several", "photo", "photo_large", "large", "wants_signal", "days_old", "advice_old", "by_phone", "by_phone_waits_single", "by_phone_waits_several", "by_phone_fails", "leave_single", "leave_several", "leave_unread"}

// Away tells a page's script what it needs, as JSON.
func (s sheet) Away() (string, error) {
	v := s.visit
	_, version := worker()
	a := away{Who: v.mark(), Now: v.Now().UnixMilli(), Hold: !v.Own, Files: map[string]string{"outbox": staticName("outbox.js"), "phone": staticName("phone.js"), "worker": "/sw.js?" + version}}
	if s.AtBed && v.PathValue("bed") != demonstration {
		a.Bed = v.PathValue("bed")
		a.Engine = v.engineFor(v.words.Language)
	}
	var err error
	if a.Words, err = v.awaySaid(); err != nil {
		return "", err
	}
	out, err := json.Marshal(a)
	return string(out), err
}

// saidAway are those sentences as JSON, by their language: they stand on every page.
var saidAway sync.Map

// awaySaid gives the sentences that the script says as JSON.
func (v *visit) awaySaid() (json.RawMessage, error) {
	if known, is := saidAway.Load(v.words.Language); is {
		return known.(json.RawMessage), nil
	}
	words := map[string]string{"done": v.say("web.bed.done"), "rest": v.say("web.bed.rest")}
	for _, w := range awayWords {
		words[w] = v.say("web.away." + w)
	}
	out, err := json.Marshal(words)
	if err == nil {
		saidAway.Store(v.words.Language, json.RawMessage(out))
	}
	return out, err
}

// mark tells one person at a browser from another without saying who it is. Whoever is not
// signed in, with the link of a bed or without, is one and the same.
func (v *visit) mark() string {
	account := v.who.Account()
	if token := v.cookie(v.Request, cookieSession); account == "" && token != "" {
		if who, err := v.Store.BySession(v.context(), token); err == nil {
			account = who.Account()
		}
	}
	sum := sha256.Sum256([]byte("mark:" + account))
	return hex.EncodeToString(sum[:6])
}

// asJSON answers a script.
func (v *visit) asJSON(x any) error { return v.asJSONWith(http.StatusOK, x) }

func (v *visit) asJSONWith(status int, x any) error {
	out, err := json.Marshal(x)
	if err != nil {
		return err
	}
	h := v.out.Header()
	h.Set("Content-Type", "application/json")
	h.Set("Cache-Control", "private, no-store")
	h.Set("Raftwright-Who", v.mark())
	v.out.WriteHeader(status)
	_, err = v.out.Write(out)
	return err
}

// meet tells a script the time and who it is taken for: that is how it knows of signal.
func (v *visit) meet() error {
	return v.asJSON(struct {
		Now int64  `json:"now"`
		Who string `json:"who"`
	}{v.Now().UnixMilli(), v.mark()})
}

// mostHeld bounds the beds whose pages a phone fetches ahead. Of more it holds what was looked at.
const mostHeld = 20

// Tables of the book that are written in where it happens, without signal too.
var heldTables = []string{"events", "visits", "inquiries", "indirect", "signins", "harvests", "hours"}

// lastHeld is how many of the last visits of a bed a phone holds, to be corrected.
const lastHeld = 4

// held lists the pages that a phone fetches ahead: those of the bed at which somebody stands,
// of all of their own, and of the book where they write in it.
func (v *visit) held() error {
	var ids []string
	gone := []string{}
	if v.who.Account() != "" {
		removed, err := v.Store.RemovedBeds(v.context(), v.who, mostRemoved)
		if err != nil {
			return err
		}
		for _, r := range removed {
			gone = append(gone, r.ID)
		}
		beds, err := v.Store.Beds(v.context(), v.who, "", mostHeld+1)
		if err != nil {
			return err
		}
		for _, b := range beds {
			ids = append(ids, b.ID)
		}
		if len(ids) > mostHeld {
			ids = nil
		}
	}
	pages := []string{"/away"}
	if v.PathValue("bed") != "" {
		b, err := v.theBed()
		if err != nil {
			return err
		}
		if b.ID != demonstration {
			if i := slices.Index(ids, b.ID); i >= 0 {
				ids = slices.Delete(ids, i, i+1)
			}
			ids = append([]string{b.ID}, ids...) // this one first
		}
	}
	for _, id := range ids {
		for _, p := range []string{"aside", "today", "did", "seen", "plan", "packet", "history", "brief", "photos", "paper"} {
			pages = append(pages, "/beds/"+id+"/"+p)
		}
	}
	as := ""
	if len(ids) > 0 && ids[0] == v.PathValue("bed") {
		b, err := v.theBed()
		if err != nil {
			return err
		}
		log, err := v.Store.Log(v.context(), v.who, ids[0])
		if err != nil {
			return err
		}
		as = stands(b, log)
		for _, e := range log[max(0, len(log)-lastHeld):] {
			pages = append(pages, "/beds/"+ids[0]+"/log/"+e.ID)
		}
		p, _, err := v.planned(b)
		if err != nil {
			return err
		}
		for _, s := range packet.Steps(p) { // where a bed is built there is no signal either
			pages = append(pages, stepsOf(ids[0])+s)
		}
	}
	if v.theBook() == nil {
		pages = append(pages, "/program")
		for _, t := range heldTables {
			pages = append(pages, "/program/"+t)
		}
	}
	return v.asJSON(struct {
		Pages []string `json:"pages"`
		Gone  []string `json:"gone"` // beds that were removed
		As    string   `json:"as"`   // of the bed at which somebody stands
	}{pages, gone, as})
}

// stands is another text whenever a brief or its log is another.
func stands(b aBed, log []store.Entry) string {
	sum := sha256.New()
	fmt.Fprint(sum, b.Version)
	for _, e := range log {
		fmt.Fprint(sum, e.ID, e.Version)
	}
	return hex.EncodeToString(sum.Sum(nil)[:8])
}

// alone is what a phone without signal shows in place of a page that it does not hold.
func (v *visit) alone() error {
	return v.show("away", sheet{Title: v.say("web.away.title"), Of: v.say("web.away.of"), AtBed: true})
}

// aside gives a phone what it needs to work out by itself what to do at a bed: the brief with
// its whole log, as keys and texts.
func (v *visit) aside() error {
	b, err := v.theBed()
	if err != nil {
		return err
	}
	b, log, err := v.logged(b)
	if err != nil {
		return err
	}
	v.out.Header().Set("Raftwright-As", stands(b, log))
	var pairs [][2]string
	for _, x := range b.brief().Values() {
		pairs = append(pairs, [2]string{string(x.Path), x.Text})
	}
	return v.asJSON(struct {
		Who   string      `json:"who"`
		At    string      `json:"at"`
		Brief [][2]string `json:"brief"`
	}{v.mark(), v.Now().Local().Format(clock), pairs})
}

// States of what was sent from an outbox.
const (
	sentKept    = "kept"    // it is here, once
	sentRefused = "refused" // something in it cannot be meant: it can be put right under the same id
	sentClash   = "clash"   // under its id another text is here, or somebody else changed meanwhile what it changes
	sentRemoved = "removed" // the bed was removed: it can be sent again once that is brought back
	sentNever   = "never"   // it cannot be kept here, whatever it says
)

// sentAnswer tells an outbox what became of what it sent.
type sentAnswer struct {
	State   string      `json:"state"`
	What    string      `json:"what,omitempty"`
	Right   string      `json:"right,omitempty"`
	To      string      `json:"to,omitempty"`   // the page that a browser would be led to
	Page    string      `json:"page,omitempty"` // the page that answers the form, with what is wrong with it
	Theirs  *sentWith   `json:"theirs,omitempty"`
	Differs [][3]string `json:"differs,omitempty"` // of a brief: the name of a key, what stands there now, what is sent
	Beside  string      `json:"beside,omitempty"`  // the page that lays the two versions side by side
}

// sentWith is what stands here in place of what was sent.
type sentWith struct {
	At      string      `json:"at,omitempty"`
	Version int         `json:"version,omitempty"`
	Said    [][2]string `json:"said"`
}

// noted takes what answers a form, for a script to read.
type noted struct {
	header http.Header
	status int
	body   strings.Builder
}

func (n *noted) Header() http.Header         { return n.header }
func (n *noted) WriteHeader(status int)      { n.status = status }
func (n *noted) Write(b []byte) (int, error) { return n.body.Write(b) }

// fromOutbox tells whether the script that keeps forms on a phone asks.
func (v *visit) fromOutbox() bool {
	return v.Method == http.MethodPost && v.Header.Get("Accept") == "application/json"
}

// sent does what answers a form, and tells the script that sent it what became of it.
func (v *visit) sent(do func(*visit) error) error {
	if err := v.filled(); err != nil {
		return err
	}
	form := noted{header: http.Header{}, status: http.StatusOK}
	inner := *v
	inner.out = &form
	err := do(&inner)
	var fault finding.Fault
	known := errors.As(err, &fault)
	if err == nil {
		fault = inner.retold
	}
	out := sentAnswer{Page: form.body.String(), To: form.header.Get("Location")}
	switch {
	case err == nil && form.status < http.StatusBadRequest:
		out.State = sentKept
		return v.asJSON(out)
	case err != nil && (!known || statusOf(fault) >= http.StatusInternalServerError || slices.Contains([]finding.ID{store.FaultSignIn, store.FaultOften, FaultSignIn}, fault.ID)):
		return err
	case fault.ID == store.FaultConflict || fault.ID == store.FaultStale:
		if v.Pattern == "POST /beds/{bed}/brief" && len(inner.differs) == 0 { // sent before, to a program of another edition
			return v.asJSON(sentAnswer{State: sentKept, To: "/beds/" + v.PathValue("bed") + "/brief"})
		}
		out.State, out.Differs, out.Beside, out.Theirs = sentClash, inner.differs, inner.beside, v.theirs()
		return v.asJSONWith(http.StatusConflict, out)
	case err == nil:
		out.State = sentRefused
		return v.asJSONWith(http.StatusUnprocessableEntity, out)
	}
	what, right := v.words.Fault(fault)
	state := sentNever
	if fault.ID == store.FaultRemoved {
		state = sentRemoved
	}
	return v.asJSONWith(statusOf(fault), sentAnswer{State: state, What: what, Right: right})
}

// theirs gives the entry or the row that a form is about, as it stands; nil where there is none.
func (v *visit) theirs() *sentWith {
	if table := v.PathValue("ledger"); table != "" {
		f, ok := programme.FormOf(table)
		r, err := v.Store.Record(v.context(), v.who, v.PostFormValue("id"))
		if !ok || err != nil || r.Ledger != table {
			return nil
		}
		out := &sentWith{Said: [][2]string{}}
		for i, text := range v.bookRow(f, r).Cells {
			if text != "" {
				out.Said = append(out.Said, [2]string{v.columnName(table, f.Fields[i].Name), text})
			}
		}
		return out
	}
	past, err := v.Store.EntryHistory(v.context(), v.who, cmp.Or(v.PathValue("entry"), v.PostFormValue("id")))
	if err != nil || len(past) == 0 {
		return nil
	}
	last := past[len(past)-1]
	out := &sentWith{At: last.Happened.Format(clock), Version: last.Version, Said: [][2]string{}}
	for _, c := range v.told(v.words, last.Pairs) {
		out.Said = append(out.Said, [2]string{c.Name, c.Value})
	}
	return out
}

// worker gives the script of the service worker, with the files that pages of this program load, and its version. It
// is asked for with that, so that a page of a newer program installs a newer one.
var worker = sync.OnceValues(func() (script, version string) {
	text, err := staticFiles.ReadFile("static/sw.js")
	if err != nil {
		panic(err) // it is embedded: a mistake of ours that every test sees
	}
	var list []string
	_, assetNames := assets()
	for name, at := range assetNames {
		if name != "sw.js" {
			list = append(list, at)
		}
	}
	slices.Sort(list)
	names, _ := json.Marshal(list)
	sum := sha256.Sum256(append(text, names...))
	return strings.Replace(string(text), "const FILES = [];", "const FILES = "+string(names)+";", 1), hex.EncodeToString(sum[:6])
})
