package store

import (
	"context"
	"errors"
	"slices"
	"testing"
	"time"
)

// Where a file has no queue its one server does the work itself: what is asked for while it is under way is done once more and not more often, a night is
// done once and tried again where it failed, and what is under way is broken off at the end.
func TestTheOneServerOfAFile(t *testing.T) {
	ctx, cancel := context.WithTimeout(t.Context(), time.Minute)
	defer cancel()
	begun, on, nights := make(chan bool, 9), make(chan bool), make(chan string, 9)
	fails := 2
	q := &Queue{single: singly(ctx, Work{
		Reckon: func(ctx context.Context) error {
			begun <- true
			select {
			case <-on:
			case <-ctx.Done():
			}
			return ctx.Err()
		},
		Night: func(_ context.Context, day string) error {
			nights <- day
			if fails--; fails >= 0 {
				return errors.New("not now")
			}
			return nil
		},
	}, nil, time.Millisecond)}
	ask := func(err error) {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
	}
	ask(q.Reckon(ctx))
	<-begun
	for range 5 { // all while it is under way
		ask(q.Reckon(ctx))
	}
	on <- true
	<-begun
	on <- true
	for range 2 {
		ask(q.Night(ctx, "2027-05-03"))
	}
	ask(q.Night(ctx, "2027-05-04"))
	var done []string
	for range 4 {
		done = append(done, <-nights)
	}
	if want := []string{"2027-05-03", "2027-05-03", "2027-05-03", "2027-05-04"}; !slices.Equal(done, want) {
		t.Errorf("nights %v, want %v", done, want)
	}
	ask(q.Reckon(ctx))
	<-begun
	ask(q.Stop(ctx)) // it waits for nothing but the break
	if ctx.Err() != nil || len(begun) > 0 || len(nights) > 0 {
		t.Errorf("%v, %d more, %d nights more", ctx.Err(), len(begun), len(nights))
	}
	ask(q.Night(ctx, "2027-05-05")) // nobody takes it
}
