package web

import (
	"compress/gzip"
	"net/http"
	"strings"
)

// mostBody bounds what may be sent to a page.
const mostBody = 2 << 20

// policy is what a page may load: our own files, and nothing that stands in the page itself. A
// phone may run the engine of ours that it loads ('wasm-unsafe-eval' allows no text to be run).
const policy = "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self'; img-src 'self' data: blob:; font-src 'self'; connect-src 'self'; manifest-src 'self'; worker-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"

// guarded sets what every answer says to a browser about itself, bounds what is sent, and
// refuses what another site's page would have written here.
func guarded(secure func(*http.Request) bool, next http.Handler) http.Handler {
	cross := http.NewCrossOriginProtection()
	return cross.Handler(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", policy)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "same-origin")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Permissions-Policy", "geolocation=(), microphone=(), camera=()")
		if secure(r) {
			h.Set("Strict-Transport-Security", "max-age=31536000")
		}
		r.Body = http.MaxBytesReader(w, r.Body, mostOf(r))
		next.ServeHTTP(w, r)
	}))
}

// squeezed writes pages compressed to who can read that.
func squeezed(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		w.Header().Add("Vary", "Accept-Encoding")
		if !strings.Contains(r.Header.Get("Accept-Encoding"), "gzip") {
			next.ServeHTTP(w, r)
			return
		}
		s := &squeezer{ResponseWriter: w}
		defer s.close()
		next.ServeHTTP(s, r)
	})
}

type squeezer struct {
	http.ResponseWriter
	zip     *gzip.Writer
	decided bool
	headed  bool // the head is on its way: a fault that comes after it is told too late
}

// WriteHeader decides by the kind of what is written whether it is worth it.
func (s *squeezer) WriteHeader(status int) {
	if !s.decided {
		s.decided = true
		kind := s.Header().Get("Content-Type")
		plain := strings.HasPrefix(kind, "text/") || strings.HasPrefix(kind, "application/json") || strings.HasPrefix(kind, "image/svg")
		if plain && s.Header().Get("Content-Encoding") == "" && status != http.StatusNoContent && status != http.StatusNotModified {
			s.Header().Set("Content-Encoding", "gzip")
			s.Header().Del("Content-Length")
			select {
			case s.zip = <-zips:
			default:
				s.zip, _ = gzip.NewWriterLevel(nil, zipLevel) // a level that there is
			}
			s.zip.Reset(s.ResponseWriter)
		}
	}
	if !s.headed {
		s.headed = status >= http.StatusOK
		s.ResponseWriter.WriteHeader(status)
	}
}

// Write writes what follows the head.
func (s *squeezer) Write(b []byte) (int, error) {
	if !s.decided {
		if s.Header().Get("Content-Type") == "" {
			s.Header().Set("Content-Type", http.DetectContentType(b))
		}
		s.WriteHeader(http.StatusOK)
	}
	if s.zip != nil {
		return s.zip.Write(b)
	}
	return s.ResponseWriter.Write(b)
}

// Unwrap gives the writer beneath, for the library.
func (s *squeezer) Unwrap() http.ResponseWriter { return s.ResponseWriter }

func (s *squeezer) close() {
	if s.zip != nil {
		s.zip.Close()
		select {
		case zips <- s.zip:
		default:
		}
		s.zip = nil
	}
}

// zips are writers that rest, a few: one takes 0.8 MB. What they write is packed quickly, not small.
var zips = make(chan *gzip.Writer, 4)

// zipLevel is how hard pages are packed: a page of 100 KB becomes a tenth larger than at the usual level, in half of the time.
const zipLevel = 3
