// Package api answers programs: the same beds, plans and advice as the pages, as JSON. A key
// opens it, one's own computer, or whoever is signed in by the pages. What is wrong is told as
// a problem document (RFC 9457), in the language that is asked for, with every fault at its
// line and column; the documents are those of package answer, as the commands print them.
package api

import (
	"cmp"
	"context"
	"errors"
	"log/slog"
	"net"
	"net/http"
	"path"
	"reflect"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"time"

	"github.com/danielgtaylor/huma/v2"
	"github.com/danielgtaylor/huma/v2/adapters/humago"

	"raftwright/answer"
	"raftwright/brief"
	"raftwright/finding"
	"raftwright/lang"
	"raftwright/plan"
	"raftwright/store"
)

// House is what programs are answered from.
type House struct {
	Store  *store.Store
	Book   plan.Book
	Asks   func(*http.Request) (store.Who, error)                                   // who asks; store.FaultSignIn: by a key that opens nothing
	From   func(*http.Request) string                                               // the address from which it comes
	Memory func(bed string) *plan.Memory                                            // of a bed's last plan
	Taught func(context.Context, store.Who, store.Bed, plan.Job) (plan.Plan, error) // makes a plan with what the log in its brief taught
	Advice Adviser                                                                  // of this hour, worked out beside the requests; nil: in each
	Turn   func(context.Context) (func(), error)                                    // waits until a plan may be made, and is told when it is
	Log    *slog.Logger                                                             // what went wrong on our side, without anybody's text; nil: nowhere
	Now    func() time.Time

	Each    int // requests of one key or account in a minute; 0: mostEach
	leases  leases
	advised advised

	briefs     sync.Map // by bed and version: around
	remembered atomic.Int64
}

// Adviser gives the advice for a bed in a language and of which moment it is. Late: that is of before the last entry or of an hour
// before, or there is none (the zero moment), and the new one is being worked out; prefer says how long to wait for it. Nil: none follows.
type Adviser func(ctx context.Context, who store.Who, b store.Bed, language string, prefer []string) (doc *answer.TendDocument, made time.Time, late bool, err error)

// mostBody and mostEntry bound what may be sent, in bytes.
const mostBody, mostEntry = 2 << 20, 64 << 10

// longest is how long a plan may take.
const longest = 30 * time.Second

// asker is who asks, and in what language.
type asker struct {
	who      store.Who
	words    *lang.Printer
	language string // as it was asked for; "": not
}

type askerKey struct{}

// call is one request.
type call struct {
	context.Context
	*House
	asker
}

// Handler answers every address that begins with /api/.
func (h *House) Handler() http.Handler {
	if h.Now == nil {
		h.Now = time.Now
	}
	mux := http.NewServeMux()
	config := huma.DefaultConfig("Raftwright", "1")
	config.OpenAPIPath, config.DocsPath, config.SchemasPath, config.CreateHooks = "/api/openapi", "", "", nil
	config.Components.Schemas = huma.NewMapRegistry("#/components/schemas/", named)
	config.Info.Description = says("about")
	config.Components.SecuritySchemes = map[string]*huma.SecurityScheme{"key": {Type: "http", Scheme: "bearer", Description: says("key")}}
	config.Security = []map[string][]string{{"key": {}}}
	a := humago.New(mux, config)
	h.operations(a)
	return h.guarded(mux)
}

// named names a type of a document: with its room where it is of neither this one nor answer.
func named(t reflect.Type, hint string) string {
	for t.Kind() == reflect.Pointer || t.Kind() == reflect.Slice {
		t = t.Elem()
	}
	name, room := huma.DefaultSchemaNamer(t, hint), path.Base(t.PkgPath())
	if room != "answer" && room != "api" && room != "." {
		name = strings.ToUpper(room[:1]) + room[1:] + name
	}
	return name
}

// open are the addresses that need nobody.
func open(r *http.Request) bool {
	return r.URL.Path == "/api/health" || strings.HasPrefix(r.URL.Path, "/api/openapi")
}

// guarded finds out who asks and in what language, holds off who asks too often, and tells
// what no operation answers.
func (h *House) guarded(mux *http.ServeMux) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		a := asker{}
		tag := r.URL.Query().Get("language")
		if strings.ReplaceAll(tag, " ", "+") == both { // a plus in an address is a space
			tag = ""
		}
		if known := lang.Accepted(r.Header.Get("Accept-Language")); known != "" {
			a.language = known
		}
		if tag != "" {
			a.language = tag
		}
		var wrong error
		if tag != "" && !slices.Contains(lang.Languages(), tag) {
			wrong, a.language = finding.Unknown(FaultLanguage, "", tag, lang.Languages()), ""
		}
		var err error
		a.words, err = lang.For(cmp.Or(a.language, "en"), lang.US)
		err = errors.Join(err, wrong)
		w.Header().Set("Cache-Control", "private, no-cache")
		w.Header().Set("Content-Disposition", `attachment; filename="api.json"`) // a browser shows none of it
		w.Header().Add("Vary", "Accept-Language, Authorization")
		if err == nil && !open(r) {
			a.who, err = h.let(r)
		}
		_, pattern := mux.Handler(r)
		r.Pattern = cmp.Or(pattern, r.Pattern) // for who counts
		if err == nil {
			if pattern == "" {
				seen := &silent{}
				mux.ServeHTTP(seen, r)
				if w.Header().Set("Allow", seen.Header().Get("Allow")); seen.status == http.StatusMethodNotAllowed {
					err = finding.Fault{ID: FaultMethod, Args: finding.Args{"Method": r.Method}}
				} else {
					err = finding.Fault{ID: FaultNowhere, Args: finding.Args{"Address": r.URL.Path}}
				}
			}
		}
		if err != nil {
			h.problem(a.words, r.Pattern, err).write(w)
			return
		}
		mux.ServeHTTP(w, r.WithContext(context.WithValue(r.Context(), askerKey{}, a)))
	})
}

// silent takes what the library says about an address that there is not.
type silent struct {
	header http.Header
	status int
}

func (s *silent) Header() http.Header {
	if s.header == nil {
		s.header = http.Header{}
	}
	return s.header
}
func (s *silent) Write(b []byte) (int, error) { return len(b), nil }
func (s *silent) WriteHeader(status int)      { s.status = status }

// let tells who asks, and that it may ask now.
func (h *House) let(r *http.Request) (store.Who, error) {
	from := h.From(r)
	if ip := net.ParseIP(from); ip == nil || !ip.IsLoopback() { // a proxy on this computer stands for everybody
		if err := h.leases.take(r.Context(), h.Store, "api-from:"+from, h.Now(), mostFrom); err != nil {
			return store.Who{}, err
		}
	}
	who, err := h.Asks(r)
	switch {
	case store.Is(err, store.FaultSignIn): // a key that opens nothing
		if often := h.Store.Attempt(r.Context(), "api-key-from:"+from, mostWrong, time.Minute); often != nil {
			return who, often
		}
		return who, finding.Fault{ID: FaultKey}
	case err != nil:
		return who, err
	case who == (store.Who{}):
		return who, finding.Fault{ID: FaultKey}
	}
	if name := who.Account() + who.Bed(); name != "" {
		err = h.leases.take(r.Context(), h.Store, "api-by:"+name, h.Now(), cmp.Or(h.Each, mostEach))
	}
	return who, err
}

// document gives the language of a document about a brief, and its printer: what was asked
// for, else the brief's own.
func (c *call) document(p plan.Plan) (plan.Plan, *lang.Printer, error) {
	units := lang.US
	if p.Metric() {
		units = lang.Metric
	}
	if c.language != "" {
		p = p.In(c.language)
	}
	words, err := lang.For(p.Language(), units)
	return p, words, err
}

// wrong gives the faults of a brief as an error; in the language of the brief where none was asked for.
func (c *call) wrong(b *brief.Brief, faults finding.Faults) error {
	for i := range faults {
		if b != nil {
			faults[i] = b.Locate(faults[i])
		}
		faults[i].File = ""
	}
	if b != nil && c.language == "" {
		if words, err := lang.For(string(b.Language.Value), lang.US); err == nil {
			c.words = words
		}
	}
	return faults.Or()
}

// on adds an operation.
func on[I, O any](h *House, a huma.API, op huma.Operation, do func(*call, *I) (*O, error)) {
	op.OperationID = strings.ToLower(op.Method) + strings.NewReplacer("/api", "", "/", "-", "{", "", "}", "", ".", "-").Replace(op.Path)
	op.Summary = says(strings.ReplaceAll(op.OperationID, "-", "_"))
	op.SkipValidateParams, op.SkipValidateBody = true, true
	if op.MaxBodyBytes == 0 {
		op.MaxBodyBytes = mostEntry
	}
	said := op.Errors
	op.Errors = nil
	pattern := op.Method + " " + op.Path
	responses(a, &op, said)
	huma.Register(a, op, func(ctx context.Context, in *I) (*O, error) {
		who, _ := ctx.Value(askerKey{}).(asker)
		c := &call{ctx, h, who}
		out, err := do(c, in)
		if err != nil {
			return nil, h.problem(c.words, pattern, err)
		}
		return out, nil
	})
}

// responses describes what is answered where something is wrong.
func responses(a huma.API, op *huma.Operation, statuses []int) {
	schema := a.OpenAPI().Components.Schemas.Schema(problemType, true, "")
	op.Responses = map[string]*huma.Response{"default": {Description: says("problem"), Content: map[string]*huma.MediaType{problemKind: {Schema: schema}}}}
	for _, s := range statuses {
		op.Responses[statusText(s)] = &huma.Response{Description: http.StatusText(s), Content: map[string]*huma.MediaType{problemKind: {Schema: schema}}}
	}
}

// says gives a sentence of the description, which is in English.
func says(id string) string {
	words, err := lang.For("en", lang.US)
	if err != nil {
		return ""
	}
	return words.Say("api.says."+id, nil)
}

// gone tells whether an error is of a request that its sender gave up.
func gone(err error) bool { return errors.Is(err, context.Canceled) }
