// Package web is the application that people hold in their hands: pages by subject, each
// an address that answers a plain GET without script. It reads briefs and logs from the
// store, has the plan made, and shows the same documents that go on paper.
package web

import (
	"context"
	"io/fs"
	"log/slog"
	"net/http"
	"slices"
	"sync"
	"sync/atomic"
	"time"

	"raftwright/finding"
	"raftwright/lang"
	"raftwright/plan"
	"raftwright/store"
	"raftwright/tend"
)

// House is what the pages are served from.
type House struct {
	Store    *store.Store
	Book     plan.Book
	Demo     []byte       // the brief of the invented demonstration
	Own      bool         // one's own computer: whoever asks holds the store, nobody signs in
	At       string       // the address at which people reach it, as https://office.example; "": as each request says
	Proxy    bool         // a proxy of ours stands in front, speaks TLS, and tells where a request comes from
	Log      *slog.Logger // what went wrong on our side, without anybody's text; nil: nowhere
	Now      func() time.Time
	API      http.Handler  // answers /api/; nil: nothing does
	Backups  string        // the folder in which an office keeps a backup of each night; "": none
	Patience time.Duration // how long a page waits for a log to be followed before it shows what is known; 0: as it is best
	Gallery  bool          // whether /gallery shows every part of the pages, for whoever works on them
	Engine   fs.FS         // the engine that a phone works with; nil: the one that is built in

	all      http.Handler // every address, for a page that is asked for in another's place
	seen     sync.Map     // of an own computer: which pages are open, by their name, with the time of their last sign
	lastSeen lastSeen
	memory   memories
	year     bookMemory
	first    first
	engines  engines
	turns    turns
	lanes    lanes
	follower follower
	shown    sync.Map // what was worked out of the demonstration
	edition  sync.Once
	madeWith string // program and tables
	stirs    sync.Once
	stir     chan struct{} // something was written
	reckoned atomic.Value  // the bed behind which it is reckoned on, a string
	stuck    sync.Map      // beds that are passed over and of which that could not be kept, until when
}

// visit is one request with who asks and in what language.
type visit struct {
	*House
	out http.ResponseWriter
	*http.Request
	who   store.Who
	words *lang.Printer
	exact bool // nothing of before the last visit will do
	plain bool // no log is followed: what a log teaches is what is known of it

	yields   bool           // nobody waits for it, or not for long: it goes after what is asked for
	hurries  bool           // of what yields: somebody waits for it
	followed *tend.Followed // how the log was followed for the plan, where the advice goes on; nil: it is not to be remembered

	// told to an outbox
	retold  finding.Fault // the fault that a page tells in its own words
	differs [][3]string
	beside  string
}

func (v *visit) context() context.Context { return v.Request.Context() }

// route is one address with what answers it.
type route struct {
	pattern string
	answer  func(*visit) error
}

// routes lists every address of the pages, by subject.
func (h *House) routes() []route {
	return append(slices.Concat(officeRoutes(), passkeyRoutes(), waveRoutes(), atBedRoutes(), removeRoutes(), programRoutes()), []route{
		{"GET /{$}", (*visit).start},
		{"POST /language", (*visit).chooseLanguage},
		{"GET /language", leads("/")}, // where a page that came with another language is loaded again
		{"POST /here", (*visit).here},

		{"GET /waters", leads("/shared")},
		{"GET /shelves", leads("/shared")},
		{"GET /workshops", leads("/beds")},
		{"GET /questions", leads("/question")},
		{"GET /report", leads("/program/report")},

		{"GET /first", leads("/")}, // where a page that answered a form is loaded again, or its language is changed
		{"GET /sign-in/passkey", leads("/sign-in")},
		{"GET /passes/{pass}", leads("/")},
		{"GET /labels.pdf", leads("/labels")},
		{"GET /program/fill", leads("/program")},

		{"GET /now", (*visit).meet},
		{"GET /held", (*visit).held},
		{"GET /away", (*visit).alone},
		{"GET /beds/{bed}/held", (*visit).held},
		{"GET /beds/{bed}/aside", (*visit).aside},

		{"GET /beds", (*visit).beds},
		{"POST /beds", (*visit).makeBed},
		{"GET /beds/{bed}", (*visit).bed},
		{"GET /beds/{bed}/brief", (*visit).form},
		{"POST /beds/{bed}/brief", (*visit).keepForm},
		{"POST /beds/{bed}/brief/look", (*visit).look},
		{"POST /beds/{bed}/brief/matters", (*visit).matters},
		{"GET /beds/{bed}/brief/matters", (*visit).back},
		{"GET /beds/{bed}/brief/look", (*visit).back}, // where a page that answered a form is loaded again
		{"GET /beds/{bed}/log", (*visit).back},
		{"GET /beds/{bed}/labels.pdf", (*visit).back},
		{"GET /beds/{bed}/papers/{paper}/paper.pdf", (*visit).back},
		{"GET /beds/{bed}/papers/{paper}/paper.html", (*visit).back},
		{"GET /beds/{bed}/brief.yaml", (*visit).download},
		{"GET /beds/{bed}/versions", (*visit).versions},

		{"GET /beds/{bed}/plan", (*visit).plan},
		{"GET /beds/{bed}/plan/{section}", (*visit).planSection},
		{"GET /beds/{bed}/working", (*visit).working},
		{"GET /beds/{bed}/working/{figure}", (*visit).workingOf},
		{"GET /beds/{bed}/packet", (*visit).packet},
		{"GET /beds/{bed}/packet/{face}", (*visit).packetStep},
		{"GET /beds/{bed}/packet.pdf", (*visit).packetPDF},
		{"GET /beds/{bed}/packet.html", (*visit).packetHTML},
	}...)
}

// atBedRoutes are the addresses of a bed at work.
func atBedRoutes() []route {
	return []route{
		{"GET /beds/{bed}/today", (*visit).today},
		{"POST /beds/{bed}/log", (*visit).keep},
		{"GET /beds/{bed}/did", (*visit).did},
		{"GET /beds/{bed}/seen", (*visit).seenNow},
		{"GET /beds/{bed}/history", (*visit).history},
		{"GET /beds/{bed}/log.csv", (*visit).takeLog},
		{"GET /beds/{bed}/bed.yaml", (*visit).takeBed},
		{"GET /beds/{bed}/log/{entry}", (*visit).entry},
		{"POST /beds/{bed}/log/{entry}", (*visit).correct},
		{"GET /beds/{bed}/dates", (*visit).dates},
		{"GET /beds/{bed}/dates.ics", (*visit).takeDates},
		{"GET /calendar/{feed}", (*visit).feed},
		{"GET /beds/{bed}/photos", (*visit).photos},
		{"POST /beds/{bed}/photos", (*visit).addPhoto},
		{"GET /beds/{bed}/photos/{photo}", (*visit).photo},
		{"POST /beds/{bed}/photos/{photo}", (*visit).removePhoto},
		{"GET /beds/{bed}/paper", (*visit).keyed},
		{"POST /beds/{bed}/paper", (*visit).keepKeyed},
		{"GET /beds/{bed}/labels", (*visit).labels},
		{"POST /beds/{bed}/labels", (*visit).giveLink},
		{"POST /beds/{bed}/labels.pdf", (*visit).printLabels},
	}
}

// programRoutes are the addresses of what is done with growers: questions, workshops, the book and its report.
func programRoutes() []route {
	return []route{
		{"GET /question", (*visit).question},
		{"GET /question/letter.pdf", (*visit).letter},
		{"GET /beds/{bed}/workshop", (*visit).workshop},
		{"POST /beds/{bed}/workshop", (*visit).makeBeds},
		{"GET /beds/{bed}/workshop.pdf", (*visit).leaderPDF},
		{"GET /beds/{bed}/workshop.zip", (*visit).packets},
		{"GET /beds/{bed}/papers", (*visit).papers},
		{"GET /beds/{bed}/papers/{paper}", (*visit).paper},
		{"POST /beds/{bed}/papers/{paper}", (*visit).paper},
		{"POST /beds/{bed}/papers/{paper}/paper.pdf", (*visit).paperPDF},
		{"POST /beds/{bed}/papers/{paper}/paper.html", (*visit).paperHTML},
		{"GET /beds/{bed}/trials", (*visit).trials},
		{"POST /beds/{bed}/trials", (*visit).layTrial},
		{"GET /beds/{bed}/trials/{trial}", (*visit).trialPage},
		{"POST /beds/{bed}/trials/{trial}", (*visit).closeTrial},
		{"GET /beds/{bed}/trials/{trial}/paper.pdf", (*visit).trialPDF},
		{"GET /beds/{bed}/trials/{trial}/weights", (*visit).weigh},
		{"POST /beds/{bed}/trials/{trial}/weights", (*visit).keepWeights},
		{"GET /keying", (*visit).piles},
		{"POST /keying", (*visit).beginPile},
		{"GET /keying/tally.pdf", (*visit).tally},
		{"GET /keying/slips.pdf", (*visit).printSlips},
		{"GET /keying/{pile}", (*visit).keyPile},
		{"POST /keying/{pile}", (*visit).keepPile},
		{"GET /keying/{pile}/apart", (*visit).apart},
		{"POST /keying/{pile}/apart", (*visit).settle},
		{"GET /keeping/due", (*visit).due},
		{"POST /keeping/due", (*visit).destroy},
		{"GET /keeping/consents", (*visit).consents},
		{"POST /keeping/consents", (*visit).withdrawConsent},
		{"GET /keeping/words", (*visit).wordsToRead},
		{"POST /keeping/words", (*visit).release},
		{"GET /keeping/copy", (*visit).copied},
		{"GET /keeping/copy.zip", (*visit).takeCopy},
		{"GET /codes", (*visit).codes},
		{"GET /codes/{code}", (*visit).code},
		{"POST /codes/{code}", (*visit).changeCode},
		{"GET /program", (*visit).book},
		{"GET /program.zip", (*visit).takeBook},
		{"POST /program/fill", (*visit).fillBook},
		{"GET /program/report", (*visit).report},
		{"POST /program/report", (*visit).remember},
		{"GET /program/report.pdf", (*visit).reportPDF},
		{"GET /program/report.html", (*visit).reportHTML},
		{"GET /program/report.csv", (*visit).reportCSV},
		{"GET /program/audit.csv", (*visit).auditCSV},
		{"GET /program/figures", (*visit).figures},
		{"GET /program/figure", (*visit).figure},
		{"GET /program/rules", (*visit).rules},
		{"GET /program/{ledger}", (*visit).ledgerPage},
		{"POST /program/{ledger}", (*visit).addRow},
		{"GET /program/{ledger}/{record}", (*visit).record},
		{"POST /program/{ledger}/{record}", (*visit).changeRecord},
	}
}

// Handler answers every address of the application.
func (h *House) Handler() http.Handler {
	if h.Now == nil {
		h.Now = time.Now
	}
	mux := http.NewServeMux()
	for _, r := range h.routes() {
		mux.Handle(r.pattern, h.answer(r.answer))
	}
	mux.Handle("GET /static/", http.HandlerFunc(serveStatic))
	if h.Gallery {
		mux.Handle("GET /gallery", h.answer((*visit).gallery))
	}
	mux.Handle("GET /sw.js", http.HandlerFunc(serveWorker))
	mux.Handle("GET /engine/", http.HandlerFunc(h.serveEngine))
	if h.API != nil {
		mux.Handle("/api/", h.API)
	}
	mux.Handle("/", h.answer((*visit).nowhere))
	h.all = mux
	return guarded(h.secure, h.turns.counted(squeezed(mux)))
}

// answer calls what answers a page, and tells what went wrong on a page of its own.
func (h *House) answer(do func(*visit) error) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		v := &visit{House: h, out: w, Request: r}
		answer := do
		var err error
		if v.words, err = v.tongue(); err == nil {
			v.who, err = h.asks(r)
			if store.WasRemoved(err) && v.fromOutbox() { // by a link that ended with its bed
				removed := err
				err = v.sent(func(*visit) error { return removed })
			} else if err == nil {
				if err = v.gate(); err == nil {
					if v.fromOutbox() {
						answer = func(v *visit) error { return v.sent(do) }
					}
					if err = v.inTurn(answer); err == nil && r.Method != http.MethodGet {
						h.written()
					}
				}
			}
		}
		if err != nil {
			v.fault(err)
		}
		if h.Own && r.URL.Path != "/here" {
			now := h.Now()
			h.lastSeen.answer.Store(&now)
		}
	})
}
