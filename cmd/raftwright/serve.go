package main

import (
	"cmp"
	"context"
	"crypto/tls"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"net/url"
	"os"
	"os/signal"
	"runtime/debug"
	"strings"
	"syscall"
	"time"

	"raftwright/api"
	"raftwright/examples"
	"raftwright/finding"
	"raftwright/store"
	"raftwright/web"
)

// Faults of serving.
const (
	FaultOpenToAll   finding.ID = "command.fault.open_to_all" // other computers without encryption
	FaultListen      finding.ID = "command.fault.listen"      // an Address at which nothing can be served
	FaultMetrics     finding.ID = "command.fault.metrics"     // an Address that others reach, for what only this computer may read
	FaultCertificate finding.ID = "command.fault.certificate" // no certificate and key that go together, for a Reason
	FaultAt          finding.ID = "command.fault.address"     // no Address at which people reach an office
	FaultHalfTLS     finding.ID = "command.fault.half_tls"    // one of the two without the other
)

type serveCmd struct {
	keeping
	Listen   string `default:"127.0.0.1:8080" placeholder:"ADDRESS"`
	TLSCert  string `name:"tls-cert" placeholder:"FILE"`
	TLSKey   string `name:"tls-key" placeholder:"FILE"`
	Insecure bool
	Address  string `placeholder:"URL"`
	Backups  string `placeholder:"DIR"`
	Proxy    bool   `name:"behind-proxy"`
	Metrics  string `placeholder:"ADDRESS"`
}

// door is where a server answers, and how.
type door struct {
	at      string
	tls     *tls.Config // nil: without encryption
	metrics string      // "": nowhere
}

// Run serves the pages and the API until it is told to end.
func (c serveCmd) Run(s streams) error {
	d, err := c.door()
	if err != nil {
		return err
	}
	at, err := reached(c.Address)
	if err != nil {
		return err
	}
	return c.use(true, func(ctx context.Context, kept *store.Store) error {
		house := s.house(kept)
		house.Own, house.Proxy, house.At, house.Backups = false, c.Proxy, at, c.Backups
		house.GoFirst()
		code, err := house.FirstCode(ctx)
		if err != nil {
			return err
		}
		return s.serve(ctx, d, house, func(ctx context.Context, _ string) { // once it serves: where it cannot, a code would be of no use
			if code != "" {
				s.tell("open.first_code", finding.Args{"Code": code})
			}
			<-ctx.Done()
		})
	})
}

// reached reads the address at which people reach an office, "" where none is told.
func reached(address string) (string, error) {
	if address == "" {
		return "", nil
	}
	at, err := url.Parse(strings.TrimSuffix(address, "/"))
	if err != nil || at.Scheme != "https" && at.Scheme != "http" || at.Host == "" || at.Scheme+"://"+at.Host != at.String() {
		return "", finding.Fault{ID: FaultAt, Args: finding.Args{"Address": address}}
	}
	return strings.ToLower(at.String()), nil
}

// door reads where is served. What other computers reach is encrypted, unless one says that
// it need not be.
func (c serveCmd) door() (d door, err error) {
	d = door{at: c.Listen, metrics: c.Metrics}
	if (c.TLSCert == "") != (c.TLSKey == "") {
		return d, finding.Fault{ID: FaultHalfTLS}
	}
	if c.TLSCert != "" {
		pair, err := tls.LoadX509KeyPair(c.TLSCert, c.TLSKey)
		if err != nil {
			return d, finding.Fault{ID: FaultCertificate, Args: finding.Args{"File": c.TLSCert, "Reason": reason(err)}}
		}
		d.tls = &tls.Config{Certificates: []tls.Certificate{pair}, MinVersion: tls.VersionTLS12, NextProtos: []string{"h2", "http/1.1"}}
	}
	if near, err := loopback(c.Listen); err != nil {
		return d, err
	} else if !near && d.tls == nil && !c.Insecure {
		return d, finding.Fault{ID: FaultOpenToAll, Args: finding.Args{"Address": c.Listen}}
	}
	if c.Metrics == "" {
		return d, nil
	}
	near, err := loopback(c.Metrics)
	if err == nil && !near {
		err = finding.Fault{ID: FaultMetrics, Args: finding.Args{"Address": c.Metrics}}
	}
	return d, err
}

// loopback tells whether only this computer reaches an address.
func loopback(address string) (bool, error) {
	host, _, err := net.SplitHostPort(address)
	if err != nil {
		return false, finding.Fault{ID: FaultListen, Args: finding.Args{"Address": address}}
	}
	ip := net.ParseIP(host)
	return host == "localhost" || ip != nil && ip.IsLoopback(), nil
}

// house is what is served: the pages, and the API beside them.
func (s streams) house(kept *store.Store) *web.House {
	pages := &web.House{Store: kept, Book: book(), Demo: examples.Demo, Own: true, Log: slog.New(slog.NewJSONHandler(s.err, nil)), Now: time.Now}
	pages.API = (&api.House{Store: kept, Book: pages.Book, Asks: pages.Asks, From: pages.From, Memory: pages.Memory, Taught: pages.Taught, Advice: pages.Advice, Turn: pages.Turn, Log: pages.Log}).Handler()
	return pages
}

// How the program tidies its memory: it may hold three times more than it needs before it looks what it can give back, which
// takes less work at each request of a server and with each long log; from so many bytes on it looks as often as it must.
const morePercent, muchMemory = 300, 384 << 20

// tidily sets that, where its holder says nothing else.
func tidily() {
	if os.Getenv("GOGC") == "" && os.Getenv("GOMEMLIMIT") == "" {
		debug.SetGCPercent(morePercent)
		debug.SetMemoryLimit(muchMemory)
	}
}

// lastRequests is how long requests that are under way may take once the program is told to end.
const lastRequests = 20 * time.Second

// serve answers requests at a door until what it is told to do is done, or it is told
// to end. Requests that are under way are answered first.
func (s streams) serve(ctx context.Context, d door, house *web.House, until func(ctx context.Context, at string)) error {
	ctx, stop := signal.NotifyContext(ctx, os.Interrupt, syscall.SIGTERM)
	defer stop()
	l, err := net.Listen("tcp", d.at)
	if err != nil {
		return finding.Fault{ID: FaultListen, Args: finding.Args{"Address": d.at}}
	}
	scheme := "http://"
	if d.tls != nil {
		scheme = "https://"
	}
	w := newWatch(house.Log, house.From)
	server := &http.Server{Handler: w.over(house.Handler()), TLSConfig: d.tls, ErrorLog: slog.NewLogLogger(house.Log.Handler(), slog.LevelWarn),
		ReadHeaderTimeout: 10 * time.Second, ReadTimeout: time.Minute, WriteTimeout: 2 * time.Minute, IdleTimeout: 2 * time.Minute, MaxHeaderBytes: 64 << 10}
	failed := make(chan error, 1)
	go func() {
		if d.tls != nil {
			failed <- server.ServeTLS(l, "", "")
		} else {
			failed <- server.Serve(l)
		}
		stop()
	}()
	done := make(chan struct{})
	go func() { house.KeepAttention(ctx); close(done) }()
	if d.metrics != "" {
		end, err := w.tell(d.metrics, house)
		if err != nil {
			return errors.Join(err, server.Close())
		}
		defer end()
	}
	fmt.Fprintln(s.err, "listening on "+scheme+l.Addr().String()) // for programs that wait for it: the same in every language
	until(ctx, scheme+l.Addr().String())
	stop()
	end, cancel := context.WithTimeout(context.Background(), lastRequests)
	defer cancel()
	if err = server.Shutdown(end); errors.Is(err, context.DeadlineExceeded) { // whoever still waits has a page that takes too long, and nothing half written
		err = server.Close()
	}
	select { // before the store closes; work that hangs is taken up again
	case <-done:
	case <-time.After(lastRequests):
	}
	if f := <-failed; !errors.Is(f, http.ErrServerClosed) {
		err = cmp.Or(err, f)
	}
	return err
}
