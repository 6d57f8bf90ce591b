package api

import (
	"cmp"
	"encoding/json"
	"errors"
	"net/http"
	"reflect"
	"strconv"
	"strings"

	"github.com/danielgtaylor/huma/v2"

	"raftwright/answer"
	"raftwright/finding"
	"raftwright/lang"
	"raftwright/store"
)

// Faults of what a program asks.
const (
	FaultKey      finding.ID = "api.fault.key"      // no key, or one that opens nothing
	FaultNowhere  finding.ID = "api.fault.nowhere"  // an Address that there is not
	FaultMethod   finding.ID = "api.fault.method"   // an address that is not asked in this way
	FaultLanguage finding.ID = "api.fault.language" // none of the Known
	FaultJSON     finding.ID = "api.fault.json"     // no JSON, or another than is wanted
	FaultLarge    finding.ID = "api.fault.large"
	FaultMatch    finding.ID = "api.fault.match" // a change without If-Match
	FaultStale    finding.ID = "api.fault.stale" // If-Match names another version
	FaultWeak     finding.ID = "api.fault.weak"  // If-Match names weak ETags alone
	FaultAt       finding.ID = "api.fault.at"    // no moment
	FaultPage     finding.ID = "api.fault.page"  // no page of a list
	FaultEmpty    finding.ID = "api.fault.empty" // a visit without a reading
	FaultPart     finding.ID = "api.fault.part"  // none of the parts of the paper
	FaultPaper    finding.ID = "api.fault.paper" // no size of paper
	FaultStore    finding.ID = "api.fault.store" // what is kept cannot be reached
	FaultBusy     finding.ID = "api.fault.busy"  // it took too long
	faultOurs     finding.ID = "api.fault.ours"
)

// statuses are those of the faults that have one of their own. Another is 422: what was sent
// was read, and cannot be meant.
var statuses = map[finding.ID]int{
	FaultKey: http.StatusUnauthorized, FaultNowhere: http.StatusNotFound, FaultMethod: http.StatusMethodNotAllowed, FaultLarge: http.StatusRequestEntityTooLarge,
	FaultJSON: http.StatusBadRequest, FaultLanguage: http.StatusBadRequest, FaultPage: http.StatusBadRequest,
	FaultMatch: http.StatusPreconditionRequired, FaultStale: http.StatusPreconditionFailed, FaultWeak: http.StatusPreconditionFailed, FaultBusy: http.StatusServiceUnavailable, faultOurs: http.StatusInternalServerError, FaultStore: http.StatusServiceUnavailable,
	store.FaultNotFound: http.StatusNotFound, store.FaultRemoved: http.StatusGone, store.FaultGone: http.StatusGone, store.FaultForbidden: http.StatusForbidden, store.FaultConflict: http.StatusConflict, store.FaultStale: http.StatusPreconditionFailed,
	store.FaultOften: http.StatusTooManyRequests, store.FaultSignIn: http.StatusUnauthorized, store.FaultID: http.StatusUnprocessableEntity,
	store.FaultBusy: http.StatusServiceUnavailable, store.FaultFull: http.StatusInsufficientStorage, store.FaultUnreachable: http.StatusServiceUnavailable,
	store.FaultReadOnly: http.StatusServiceUnavailable, store.FaultMissing: http.StatusServiceUnavailable, store.FaultStopped: http.StatusServiceUnavailable, store.FaultBroken: http.StatusInternalServerError,
	"web.fault.host": http.StatusMisdirectedRequest,
}

// Problem is what is wrong, as RFC 9457 has it, with every fault at its place.
type Problem struct {
	Type   string         `json:"type" doc:"about:blank: the status says what sort of problem it is"`
	Title  string         `json:"title" doc:"the status in words"`
	Status int            `json:"status"`
	Detail string         `json:"detail" doc:"what is wrong, and what would be right"`
	Faults []answer.Fault `json:"faults" doc:"every fault; line and column count from 1 in the brief or the entry as it was sent"`
}

const problemKind = "application/problem+json"

var problemType = reflect.TypeFor[Problem]()

// Error gives the status, for whoever debugs.
func (p *Problem) Error() string { return strconv.Itoa(p.Status) + " " + p.Title }

// GetStatus and ContentType are what the library asks.
func (p *Problem) GetStatus() int { return p.Status }

// ContentType gives the kind of the document.
func (p *Problem) ContentType(string) string { return problemKind }

// GetHeaders gives what goes with the status.
func (p *Problem) GetHeaders() http.Header {
	h := http.Header{}
	switch p.Status {
	case http.StatusUnauthorized:
		h.Set("WWW-Authenticate", `Bearer realm="raftwright"`)
	case http.StatusTooManyRequests:
		h.Set("Retry-After", "60")
	case http.StatusServiceUnavailable:
		h.Set("Retry-After", "5")
	}
	return h
}

func (p *Problem) write(w http.ResponseWriter) {
	for k, v := range p.GetHeaders() {
		w.Header()[k] = v
	}
	w.Header().Set("Content-Type", problemKind)
	w.WriteHeader(p.Status)
	json.NewEncoder(w).Encode(p)
}

func statusText(s int) string { return strconv.Itoa(s) }

// problem puts an error into words. What is no fault of what was asked is ours: it goes to the
// log, by its code and address alone.
func (h *House) problem(words *lang.Printer, pattern string, err error) *Problem {
	var many finding.Faults
	var one finding.Fault
	var asked *Problem
	switch {
	case errors.As(err, &asked):
		return asked
	case errors.As(err, &many) && len(many) > 0:
	case errors.As(err, &one):
		many = finding.Faults{one}
	case gone(err):
		many = finding.Faults{{ID: store.FaultStopped}}
	default:
		many = finding.Faults{{ID: faultOurs}}
	}
	status := cmp.Or(statuses[many[0].ID], http.StatusUnprocessableEntity)
	if status >= 500 && h.Log != nil && !gone(err) {
		h.Log.Error("api", "address", pattern, "status", status, "fault", many[0].ID)
	}
	if strings.HasPrefix(string(many[0].ID), "store.") && status >= 500 { // where things are kept is nobody's to know
		many = finding.Faults{{ID: FaultStore}}
	}
	return worded(words, status, many)
}

func worded(words *lang.Printer, status int, faults finding.Faults) *Problem {
	p := &Problem{Type: "about:blank", Title: words.Say("api.title."+statusText(status), nil), Status: status, Faults: answer.Faults(words, faults)}
	p.Detail = p.Faults[0].What
	if r := p.Faults[0].Right; r != "" {
		p.Detail += ": " + r
	}
	return p
}

// What the library itself finds wrong is told like the rest. It has one place for that, of the
// whole program.
func init() {
	huma.NewErrorWithContext = func(ctx huma.Context, status int, _ string, _ ...error) huma.StatusError {
		a, _ := ctx.Context().Value(askerKey{}).(asker)
		if a.words == nil {
			a.words, _ = lang.For("en", lang.US)
		}
		id := FaultJSON
		switch {
		case status == http.StatusRequestEntityTooLarge:
			id = FaultLarge
		case status == http.StatusRequestTimeout:
			id = FaultBusy
		case status >= 500:
			id = faultOurs
		}
		return worded(a.words, cmp.Or(statuses[id], status), finding.Faults{{ID: id, Args: finding.Args{"Most": mostBody}}})
	}
}
