package web

import (
	"cmp"
	"embed"
	"errors"
	"html/template"
	"maps"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"sync"

	"raftwright/finding"
	"raftwright/programme"
	"raftwright/store"
	"raftwright/unit"
)

//go:embed pages/*.html
var pageFiles embed.FS

// pages are read once, where any is shown: each is its file and the sheet around it; files whose name begins
// with "parts" are of all. A page that cannot be read is a mistake of ours that every test sees.
var pages = sync.OnceValue(func() map[string]*template.Template {
	m := map[string]*template.Template{}
	sheet := template.Must(template.New("sheet").Funcs(template.FuncMap{"static": staticName}).ParseFS(pageFiles, "pages/sheet.html", "pages/parts*.html"))
	list, err := pageFiles.ReadDir("pages")
	for _, f := range list {
		if name := strings.TrimSuffix(f.Name(), ".html"); name != "sheet" && !strings.HasPrefix(name, "parts") {
			m[name] = template.Must(template.Must(sheet.Clone()).ParseFS(pageFiles, "pages/"+f.Name()))
		}
	}
	if err != nil {
		panic(err)
	}
	return m
})

// link is a place to go. One without an address is where the reader is.
type link struct{ Name, To string }

// cell is one cell of the block at the head of a sheet.
type cell struct{ Name, Value string }

// sheet is a page: what its head bears and what stands in it.
type sheet struct {
	visit  *visit
	Title  string
	Of     string // under the title
	Cells  []cell
	Sheets []link // of the bed that it is about
	Wide   bool
	AtBed  bool // larger, for one thumb
	Live   bool // whether it moves while one types
	Late   bool // whether an answer is being worked out that will stand on it
	Body   any
}

// Say gives a sentence.
func (s sheet) Say(id string, pairs ...any) string { return s.visit.say(id, pairs...) }

// Language gives the tag of the language that the page is in.
func (s sheet) Language() string { return s.visit.words.Language }

// Others lists the languages that it could be in.
func (s sheet) Others() []link { return s.visit.others() }

// From gives the address of the page, to come back to: of a visit that was not kept the page on which it was typed, since the log answers at its own.
func (s sheet) From() string {
	v := s.visit
	if v.Pattern != "POST /beds/{bed}/log" {
		return v.URL.RequestURI()
	}
	at := "today"
	if from := v.PostFormValue("from"); from == "did" || from == "seen" {
		at = from
	}
	return "/beds/" + url.PathEscape(v.PathValue("bed")) + "/" + at
}

// Again gives the address at which a browser without script looks again, once, after a visit was kept; "": by nobody's
// asking, for somebody may be typing.
func (s sheet) Again() string {
	q := s.visit.URL.Query()
	if !s.Late || !q.Has("kept") || q.Has("again") {
		return ""
	}
	q.Set("again", "yes")
	return s.visit.URL.Path + "?" + q.Encode()
}

// Own tells whether this is one's own computer.
func (s sheet) Own() bool { return s.visit.House.Own }

// blankOn is a blank of the log with the sheet on which it stands.
type blankOn struct {
	Sheet sheet
	Blank blank
}

// Blank gives a blank with its sheet.
func (s sheet) Blank(b blank) blankOn { return blankOn{s, b} }

// Who tells whether somebody is signed in.
func (s sheet) Who() bool { return s.visit.who.Account() != "" }

// Plus gives the number of an item that is counted from 0.
func (s sheet) Plus(n int) int { return n + 1 }

// Less gives the place of an item that is counted from 1.
func (s sheet) Less(n int) int { return n - 1 }

// show writes a page.
func (v *visit) show(name string, s sheet) error { return v.showAs(http.StatusOK, name, s) }

func (v *visit) showAs(status int, name string, s sheet) error {
	return v.write(status, name, "sheet", s)
}

// write writes a page, or a part of it.
func (v *visit) write(status int, name, part string, s sheet) error {
	s.visit = v
	out, done := blankPaper()
	defer done()
	if err := pages()[name].ExecuteTemplate(out, part, s); err != nil {
		return err
	}
	h := v.out.Header()
	h.Set("Content-Type", "text/html; charset=utf-8")
	h.Set("Content-Language", v.words.Language)
	h.Set("Cache-Control", "private, no-cache")
	h.Set("Raftwright-Who", v.mark())
	v.out.WriteHeader(status)
	_, err := v.out.Write(out.Bytes())
	return err
}

// to leads a browser on after something was written.
func (v *visit) to(address string) error {
	http.Redirect(v.out, v.Request, address, http.StatusSeeOther)
	return nil
}

// leads answers at the plain name of a thing by the page on which it stands.
func leads(to string) func(*visit) error { return func(v *visit) error { return v.to(to) } }

// local gives an address on this server, the first page for any other.
func local(address string) string {
	if !strings.HasPrefix(address, "/") || strings.HasPrefix(address, "//") || strings.ContainsAny(address, "\\\r\n\t") {
		return "/"
	}
	return address
}

// nowhere answers an address that there is not.
func (v *visit) nowhere() error {
	return finding.Fault{ID: FaultNowhere, Args: finding.Args{"Address": v.URL.Path}}
}

// Faults of what was asked of a page.
const (
	FaultNowhere  finding.ID = "web.fault.nowhere"
	FaultFile     finding.ID = "web.fault.file"
	FaultFileAt   finding.ID = "web.fault.file_at" // a file of which a Line is not that of a brief
	FaultSection  finding.ID = "web.fault.section"
	FaultFigure   finding.ID = "web.fault.figure"
	FaultReadOnly finding.ID = "web.fault.demo" // the demonstration is looked at, not changed
	FaultHost     finding.ID = "web.fault.host" // another name than this computer's
	FaultForm     finding.ID = "web.fault.form" // what was sent is no form that can be read
	FaultTooLong  finding.ID = "web.fault.too_long"
	FaultStore    finding.ID = "web.fault.store" // what is kept cannot be reached
	faultOurs     finding.ID = "web.fault.ours"
)

// statuses are those of the faults that have one of their own. Another fault is the asker's: 400.
var statuses = map[finding.ID]int{
	FaultSignIn: http.StatusUnauthorized, FaultFirst: http.StatusForbidden, FaultOver: http.StatusNotFound, FaultOwn: http.StatusForbidden, FaultNoMix: http.StatusConflict, FaultStops: http.StatusConflict,
	FaultNoBeds: http.StatusUnprocessableEntity, FaultPasskey: http.StatusUnauthorized, FaultCopied: http.StatusUnauthorized, FaultNoPasskey: http.StatusConflict, store.FaultStrict: http.StatusUnauthorized, store.FaultAgain: http.StatusConflict, store.FaultLastPasskey: http.StatusConflict, store.FaultPasskeys: http.StatusConflict,
	store.FaultRemoved: http.StatusGone, store.FaultGone: http.StatusGone,
	FaultNowhere: http.StatusNotFound, FaultSection: http.StatusNotFound, FaultFigure: http.StatusNotFound, FaultReadOnly: http.StatusForbidden, FaultTooLong: http.StatusRequestEntityTooLarge, FaultTable: http.StatusNotFound, FaultNoEmpty: http.StatusConflict, FaultPhoto: http.StatusUnprocessableEntity, FaultLink: http.StatusUnprocessableEntity, FaultHost: http.StatusMisdirectedRequest,
	FaultPaper: http.StatusNotFound, FaultCode: http.StatusNotFound, FaultAnother: http.StatusConflict, FaultSameKeyer: http.StatusForbidden, FaultSettled: http.StatusConflict, FaultUnsettled: http.StatusUnprocessableEntity, FaultPile: http.StatusUnprocessableEntity, FaultBack: http.StatusUnprocessableEntity,
	FaultTrial: http.StatusUnprocessableEntity, FaultClosed: http.StatusConflict, programme.FaultBackAgain: http.StatusConflict, FaultRelaid: http.StatusConflict, FaultUnready: http.StatusConflict,
	store.FaultNotFound: http.StatusNotFound, store.FaultForbidden: http.StatusForbidden, store.FaultConflict: http.StatusConflict, store.FaultNamed: http.StatusConflict, store.FaultStale: http.StatusConflict,
	store.FaultOften: http.StatusTooManyRequests, store.FaultSignIn: http.StatusUnauthorized, faultOurs: http.StatusInternalServerError,
	store.FaultBusy: http.StatusServiceUnavailable, store.FaultFull: http.StatusInsufficientStorage, store.FaultUnreachable: http.StatusServiceUnavailable, store.FaultReadOnly: http.StatusServiceUnavailable,
	store.FaultMissing: http.StatusServiceUnavailable, store.FaultStopped: http.StatusServiceUnavailable, store.FaultBroken: http.StatusInternalServerError,
}

func statusOf(f finding.Fault) int { return cmp.Or(statuses[f.ID], http.StatusBadRequest) }

// ours tells of an error for the log: of a fault nothing but the reason that the system gave,
// for the rest of it is of what somebody wrote.
func ours(err error) string {
	var f finding.Fault
	if errors.As(err, &f) {
		reason, _ := f.Args["Reason"].(string)
		return reason
	}
	return err.Error()
}

// fault tells what went wrong: what, and what would be right. What is no fault of what
// was asked is ours: it goes to the log, and the page says so.
func (v *visit) fault(err error) {
	var f finding.Fault
	var long *http.MaxBytesError
	switch {
	case errors.As(err, &long):
		f = finding.Fault{ID: FaultTooLong}
	case !errors.As(err, &f):
		f = finding.Fault{ID: faultOurs}
	}
	status := statusOf(f)
	v.mayAgain(f)
	if f.ID == FaultSignIn && v.Method == http.MethodGet && strings.Contains(v.Header.Get("Accept"), "text/html") {
		if err := v.toSignIn(); err == nil {
			return
		}
	}
	if status >= 500 && v.Log != nil {
		v.Log.Error("page", "address", v.Pattern, "status", status, "fault", f.ID, "what", ours(err))
	}
	if v.words == nil {
		http.Error(v.out, http.StatusText(status), status)
		return
	}
	if !v.Own && status >= 500 && f.ID != faultOurs { // where things are kept is its holder's to know
		f = finding.Fault{ID: FaultStore}
	}
	body := faultPage{}
	body.What, body.Right = v.words.Fault(f)
	body.What = sentence(body.What)
	if body.Right != "" {
		body.Right = sentence(body.Right)
	}
	body.Removed = f.ID == store.FaultRemoved && (v.Own || v.who.Account() != "")
	if f.ID == FaultSignIn || f.ID == store.FaultRemoved || status >= 500 {
		if body.Typed = v.typedForm(); body.Typed != nil {
			body.Typed.SignIn = f.ID == FaultSignIn
		}
	}
	if err := v.showAs(status, "fault", sheet{Title: v.say("web.fault.title"), Body: body}); err != nil && v.Log != nil {
		v.Log.Error("page", "fault", f.ID, "error", err)
	}
}

// mayAgain tells a program when what was refused may be tried again.
func (v *visit) mayAgain(f finding.Fault) {
	switch wait, is := f.Args["Wait"].(unit.Duration); {
	case f.ID == store.FaultOften && is:
		v.out.Header().Set("Retry-After", strconv.Itoa(int(wait/unit.Second)))
	case statusOf(f) == http.StatusServiceUnavailable:
		v.out.Header().Set("Retry-After", "5")
	}
}

// faultPage is what stands on the page of a fault.
type faultPage struct {
	What, Right string
	Removed     bool       // whoever reads it finds the bed among those that were removed
	Typed       *typedForm // what was sent and not kept, to be sent again
}

// typedForm is a form that came after its writer's session had ended, or when nothing could be kept, to be sent again as it is.
type typedForm struct {
	SignIn bool
	To     string
	Fields [][2]string
}

// typedForm gives the form that was sent; nil where there is none, or one that holds what no page shall: a file, a password.
func (v *visit) typedForm() *typedForm {
	if v.Method != http.MethodPost || v.filled() != nil || v.MultipartForm != nil && len(v.MultipartForm.File) > 0 {
		return nil
	}
	out := &typedForm{To: v.URL.RequestURI()}
	for _, name := range slices.Sorted(maps.Keys(v.PostForm)) {
		for _, text := range v.PostForm[name] {
			out.Fields = append(out.Fields, [2]string{name, text})
		}
		if name == "password" || name == "old" {
			return nil
		}
	}
	if len(out.Fields) == 0 {
		return nil
	}
	return out
}
