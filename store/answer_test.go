package store

import (
	"testing"
	"time"
)

// What was worked out of a bed is there for whoever may see the bed; the newer stays.
func TestAnswers(t *testing.T) {
	both(t, func(t *testing.T, s *Store) {
		ctx := t.Context()
		o := staffed(t, s)
		id := o.bed(t, o.grower)
		if _, is, err := o.Answer(ctx, o.grower, id, "now"); is || err != nil {
			t.Errorf("there is an answer to what nobody asked: %v", err)
		}
		newer := Answer{Kind: "now", Seen: 7, Basis: "a", Made: time.UnixMilli(1_800_000_000_000).UTC(), Text: "{}"}
		must(t, o.SetAnswer(ctx, o.grower, id, newer))
		must(t, o.SetAnswer(ctx, o.grower, id, Answer{Kind: "now", Seen: 6, Basis: "b", Text: "older"}))
		if a, is, err := o.Answer(ctx, o.grower, id, "now"); !is || err != nil || a != newer {
			t.Errorf("%+v, %v, %v: not the newest", a, is, err)
		}
		newer.Text = "again"
		must(t, o.SetAnswer(ctx, o.educator, id, newer))
		if a, is, err := o.Answer(ctx, o.grower, id, "now"); !is || err != nil || a != newer {
			t.Errorf("%+v, %v, %v: not the last of as new", a, is, err)
		}
		if _, is, err := o.Answer(ctx, Who{}, id, "now"); is || !Is(err, FaultNotFound) {
			t.Errorf("a stranger reads it: %v", err)
		}
		if err := o.SetAnswer(ctx, Who{}, id, newer); !Is(err, FaultNotFound) {
			t.Errorf("a stranger writes it: %v", err)
		}
	})
}

// What was worked out of a bed a month ago, and of nothing since, goes in the night; the rest stays.
func TestOldAnswersGo(t *testing.T) {
	both(t, func(t *testing.T, s *Store) {
		ctx := t.Context()
		o := staffed(t, s)
		id := o.bed(t, o.grower)
		for kind, age := range map[string]time.Duration{"old": answersFor + time.Minute, "new": answersFor - time.Minute} {
			must(t, o.SetAnswer(ctx, o.grower, id, Answer{Kind: kind, Seen: 1, Made: s.now().Add(-age), Text: "{}"}))
		}
		must(t, o.Sweep(ctx))
		list, err := o.Answers(ctx, o.grower, id)
		if err != nil || len(list) != 1 || list[0].Kind != "new" {
			t.Errorf("%+v, %v: not the newer alone", list, err)
		}
	})
}
