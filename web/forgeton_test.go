package web

import (
	"context"
	"sync"
	"testing"
	"time"

	"raftwright/plan"
	"raftwright/store"
)

// Of whom the consent to be held is written down to end on a later day, name and contact go in the night of that day: not before, and not of who said yes again
// since, or who took back another consent.
func TestAConsentThatEndsLaterIsForgottenOnItsDay(t *testing.T) {
	kept := emptyStore(t)
	h := &House{Store: kept, Book: plan.DefaultBook(), Own: true}
	serving(t, h)
	for code, rows := range map[string][][]string{
		"PENDS": {{"keep", "2027-05-01", "2027-06-01"}}, "PAGAIN": {{"keep", "2027-05-01", "2027-05-20"}, {"keep", "2027-05-21", ""}},
		"PASK": {{"keep", "2027-05-01", ""}, {"ask", "2027-05-01", "2027-05-20"}}, "PTWICE": {{"keep", "2027-05-01", "2027-05-20"}, {"keep", "2027-05-10", ""}},
	} {
		for _, r := range rows {
			keepRow(t, kept, "consents", false, "person", code, "purpose", r[0], "given", r[1], "withdrawn", r[2])
		}
		if err := kept.PutContact(t.Context(), store.Holder(), store.Contact{Code: code, Name: "Invented " + code, Contact: "555 0100"}); err != nil {
			t.Fatal(err)
		}
	}
	named := func() (out string) {
		for _, code := range []string{"PENDS", "PAGAIN", "PASK", "PTWICE"} {
			c, err := kept.ContactOf(t.Context(), store.Holder(), code)
			if err != nil {
				t.Fatal(err)
			}
			if c.Name+c.Contact != "" {
				out += code + " "
			}
		}
		return out
	}
	for _, c := range [][2]string{{"2027-05-19", "PENDS PAGAIN PASK PTWICE "}, {"2027-05-31", "PENDS PAGAIN PASK "}, {"2027-06-01", "PAGAIN PASK "}} {
		if err := h.night(t.Context(), c[0]); err != nil {
			t.Fatal(err)
		}
		if got := named(); got != c[1] {
			t.Errorf("after the night of %s %q are held, not %q", c[0], got, c[1])
		}
	}
}

// On one's own computer the same is done as the program begins, and on each day while it runs.
func TestOnOnesOwnComputerAConsentEndsToo(t *testing.T) {
	kept := emptyStore(t)
	h := &House{Store: kept, Book: plan.DefaultBook(), Own: true}
	serving(t, h)
	keepRow(t, kept, "consents", false, "person", "PENDS", "purpose", "keep", "given", "2027-05-01", "withdrawn", "2027-05-11") // the day of the clock
	if err := kept.PutContact(t.Context(), store.Holder(), store.Contact{Code: "PENDS", Name: "Invented Grower"}); err != nil {
		t.Fatal(err)
	}
	ctx, end := context.WithCancel(t.Context())
	var work sync.WaitGroup
	work.Go(func() { h.KeepAttention(ctx) })
	defer work.Wait()
	defer end()
	for until := time.Now().Add(time.Minute); ; time.Sleep(20 * time.Millisecond) {
		if c, err := kept.ContactOf(t.Context(), store.Holder(), "PENDS"); err != nil || c.Name == "" {
			break
		}
		if time.Now().After(until) {
			t.Fatal("the name is held")
		}
	}
}
