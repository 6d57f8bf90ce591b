package main

import (
	"context"
	"fmt"
	"os/exec"
	"runtime"
	"time"

	"raftwright/finding"
	"raftwright/store"
)

type openCmd struct {
	keeping
	Browser bool `default:"true" negatable:""`
	Gallery bool
}

// Run serves the pages to the person at this computer and shows the first in the browser.
func (c openCmd) Run(s streams) error { return c.show(s, "/") }

func (c openCmd) show(s streams, page string) error {
	return c.use(true, func(ctx context.Context, kept *store.Store) error {
		house := s.house(kept)
		house.Gallery = c.Gallery
		return s.serve(ctx, door{at: "127.0.0.1:0"}, house, func(ctx context.Context, at string) {
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
					if house.Deserted(begun, now) {
						return
					}
				}
			}
		})
	})
}

// tell says a sentence on standard error.
func (s streams) tell(id string, args finding.Args) {
	if words, err := s.speaks(nil); err == nil {
		fmt.Fprintln(s.err, words.Say(id, args))
	}
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
