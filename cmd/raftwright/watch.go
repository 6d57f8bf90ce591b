package main

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"runtime"
	"runtime/debug"
	"strconv"
	"time"

	"github.com/VictoriaMetrics/metrics"

	"raftwright/finding"
	"raftwright/web"
)

// watch counts requests and writes down those that went wrong, by the pattern of their
// address: what stands in an address, a body or a header is somebody's, and stays out.
type watch struct {
	log  *slog.Logger
	from func(*http.Request) string
	set  *metrics.Set
}

func newWatch(log *slog.Logger, from func(*http.Request) string) *watch {
	return &watch{log, from, metrics.NewSet()}
}

// bounds of the seconds that are counted, from a page that is at hand to one that takes too long.
var bounds = []float64{0.002, 0.005, 0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1, 2, 5, 10}

// over counts what a handler answers. What it breaks off on our side is told as 500 and
// written down without what it was about.
func (w *watch) over(next http.Handler) http.Handler {
	return http.HandlerFunc(func(out http.ResponseWriter, r *http.Request) {
		begun := time.Now()
		a := &answered{ResponseWriter: out}
		defer func() {
			if broke := recover(); broke != nil {
				if broke == http.ErrAbortHandler {
					panic(broke)
				}
				what := fmt.Sprintf("%T", broke)
				var e runtime.Error
				if err, is := broke.(error); is && errors.As(err, &e) {
					what = e.Error()
				}
				w.log.Error("broke", "address", r.Pattern, "what", what, "stack", string(debug.Stack()))
				if a.status == 0 {
					a.WriteHeader(http.StatusInternalServerError)
				}
			}
			w.count(r, a, time.Since(begun))
		}()
		next.ServeHTTP(a, r)
	})
}

func (w *watch) count(r *http.Request, a *answered, took time.Duration) {
	if a.status == 0 {
		a.status = http.StatusOK
	}
	labels := "pattern=" + strconv.Quote(r.Pattern)
	w.set.GetOrCreateCounter("raftwright_requests_total{" + labels + `,status="` + strconv.Itoa(a.status) + `"}`).Inc()
	w.set.GetOrCreatePrometheusHistogramExt("raftwright_request_seconds{"+labels+"}", bounds).Update(took.Seconds())
	switch {
	case a.status >= 500: // what was wrong stands in a line of its own
		w.log.Error("request", "address", r.Pattern, "status", a.status, "ms", took.Milliseconds())
	case a.status == http.StatusUnauthorized, a.status == http.StatusForbidden, a.status == http.StatusTooManyRequests:
		w.log.Warn("refused", "address", r.Pattern, "status", a.status, "from", w.from(r))
	}
}

// answered is an answer whose status is seen.
type answered struct {
	http.ResponseWriter
	status int
}

// WriteHeader sees the status.
func (a *answered) WriteHeader(status int) {
	if a.status == 0 && status >= 200 {
		a.status = status
	}
	a.ResponseWriter.WriteHeader(status)
}

// Write writes what follows the head.
func (a *answered) Write(b []byte) (int, error) {
	if a.status == 0 {
		a.status = http.StatusOK
	}
	return a.ResponseWriter.Write(b)
}

// Unwrap gives the writer beneath, for the library.
func (a *answered) Unwrap() http.ResponseWriter { return a.ResponseWriter }

// tell answers what was counted, at an address that only this computer reaches.
func (w *watch) tell(address string, house *web.House) (end func() error, err error) {
	l, err := net.Listen("tcp", address)
	if err != nil {
		return nil, finding.Fault{ID: FaultListen, Args: finding.Args{"Address": address}}
	}
	w.set.NewGauge("raftwright_store_up", func() float64 {
		ctx, cancel := context.WithTimeout(context.Background(), 2*time.Second)
		defer cancel()
		if house.Store.Health(ctx) != nil {
			return 0
		}
		return 1
	})
	w.set.NewGauge("raftwright_plans_total", func() float64 { return float64(house.Planned()) })
	mux := http.NewServeMux()
	mux.HandleFunc("GET /metrics", func(out http.ResponseWriter, r *http.Request) {
		out.Header().Set("Content-Type", "text/plain; version=0.0.4; charset=utf-8")
		w.set.WritePrometheus(out)
		metrics.WriteProcessMetrics(out)
	})
	server := &http.Server{Handler: mux, ReadHeaderTimeout: 10 * time.Second}
	go server.Serve(l) // ends with the program
	w.log.Info("metrics", "at", "http://"+l.Addr().String()+"/metrics")
	return server.Close, nil
}
