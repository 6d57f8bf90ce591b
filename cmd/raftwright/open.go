package main

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"os"
	"os/exec"
	"os/signal"
	"runtime"
	"syscall"
	"time"

	"raftwright/api"
	"raftwright/examples"
	"raftwright/finding"
	"raftwright/store"
	"raftwright/web"
)

// FaultOpenToAll is serving other computers without encryption.
const FaultOpenToAll finding.ID = "command.fault.open_to_all"

// FaultListen is an address at which nothing can be served.
const FaultListen finding.ID = "command.fault.listen"

type (
	openCmd struct {
		keeping
		Browser bool `default:"true" negatable:""`
	}
	serveCmd struct {
		keeping
		Listen   string `default:"127.0.0.1:8080" placeholder:"ADDRESS"`
		Insecure bool
		Proxy    bool `name:"behind-proxy"`
	}
)

// A program on one's own computer ends when no page has given a sign for so long: the first
// is how long it waits for the first page.
const (
	firstPage = 10 * time.Minute
	lastPage  = 2 * time.Minute
)

// Run serves the pages to the person at this computer and shows the first in the browser.
func (c openCmd) Run(s streams) error { return c.show(s, "/") }

func (c openCmd) show(s streams, page string) error {
	return c.use(true, func(ctx context.Context, kept *store.Store) error {
		house := s.house(kept)
		return s.serve(ctx, "127.0.0.1:0", house, func(ctx context.Context, at string) {
			if c.Browser {
				if err := inBrowser(at + page); err != nil {
					s.tell("open.by_hand", finding.Args{"Address": at + page})
				}
			}
			begun := time.Now()
			for wait := time.NewTicker(5 * time.Second); ; {
				select {
				case <-ctx.Done():
					return
				case now := <-wait.C:
					if now.Sub(begun) > firstPage && house.Open(now.Add(-lastPage)) == 0 {
						return
					}
				}
			}
		})
	})
}

// Run serves the pages until it is told to end.
func (c serveCmd) Run(s streams) error {
	return c.use(true, func(ctx context.Context, kept *store.Store) error {
		host, _, err := net.SplitHostPort(c.Listen)
		if err != nil {
			return finding.Fault{ID: FaultListen, Args: finding.Args{"Address": c.Listen}}
		}
		if ip := net.ParseIP(host); !c.Insecure && host != "localhost" && (ip == nil || !ip.IsLoopback()) {
			return finding.Fault{ID: FaultOpenToAll, Args: finding.Args{"Address": c.Listen}}
		}
		house := s.house(kept)
		house.Own, house.Proxy = false, c.Proxy
		code, err := house.FirstCode(ctx)
		if err != nil {
			return err
		}
		if code != "" {
			s.tell("open.first_code", finding.Args{"Code": code})
		}
		return s.serve(ctx, c.Listen, house, func(ctx context.Context, _ string) { <-ctx.Done() })
	})
}

// house is what is served on this computer.
func (s streams) house(kept *store.Store) *web.House {
	pages := &web.House{Store: kept, Book: book(), Demo: examples.Demo, Own: true, Log: slog.New(slog.NewTextHandler(s.err, nil)), Now: time.Now}
	pages.API = (&api.House{Store: kept, Book: pages.Book, Asks: pages.Asks, Memory: pages.Memory, Log: pages.Log}).Handler()
	return pages
}

// tell says a sentence on standard error.
func (s streams) tell(id string, args finding.Args) {
	if words, err := s.speaks(nil); err == nil {
		fmt.Fprintln(s.err, words.Say(id, args))
	}
}

// serve answers requests at an address until what it is told to do is done, or it is told
// to end. Requests that are under way are answered first.
func (s streams) serve(ctx context.Context, at string, house *web.House, until func(ctx context.Context, at string)) error {
	ctx, stop := signal.NotifyContext(ctx, os.Interrupt, syscall.SIGTERM)
	defer stop()
	l, err := net.Listen("tcp", at)
	if err != nil {
		return finding.Fault{ID: FaultListen, Args: finding.Args{"Address": at}}
	}
	server := &http.Server{Handler: house.Handler(), ReadHeaderTimeout: 10 * time.Second, ReadTimeout: time.Minute, WriteTimeout: 2 * time.Minute, IdleTimeout: 2 * time.Minute, MaxHeaderBytes: 64 << 10}
	failed := make(chan error, 1)
	go func() {
		failed <- server.Serve(l)
		stop()
	}()
	fmt.Fprintln(s.err, "listening on http://"+l.Addr().String()) // for programs that wait for it: the same in every language
	until(ctx, "http://"+l.Addr().String())
	end, cancel := context.WithTimeout(context.Background(), 20*time.Second)
	defer cancel()
	err = server.Shutdown(end)
	if f := <-failed; !errors.Is(f, http.ErrServerClosed) {
		err = errors.Join(err, f)
	}
	return err
}

// inBrowser shows an address in the person's browser.
func inBrowser(address string) error {
	name, args := "xdg-open", []string{address}
	switch runtime.GOOS {
	case "darwin":
		name = "open"
	case "windows":
		name, args = "rundll32", []string{"url.dll,FileProtocolHandler", address}
	}
	c := exec.Command(name, args...)
	if err := c.Start(); err != nil {
		return err
	}
	go c.Wait()
	return nil
}
