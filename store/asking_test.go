package store

import (
	"encoding/base64"
	"path/filepath"
	"strings"
	"testing"
)

// A link of a wave has 128 bits, of which the store keeps none; an answer comes by it once; a link that was withdrawn, or that another
// replaced, opens no more; nothing ties an answer to its link. Backup and open form carry the links.
func TestLinksOfAWave(t *testing.T) {
	both(t, func(t *testing.T, s *Store) {
		o, ctx := staffed(t, s), t.Context()
		secrets, err := o.GiveAskings(ctx, o.volunteer, "A6", []string{"P1", "P2", "P3"})
		must(t, err)
		for _, x := range secrets {
			if bits, err := base64.RawURLEncoding.DecodeString(x); err != nil || len(bits) != 16 {
				t.Fatal(x, err)
			}
		}
		if secrets[0] == secrets[1] {
			t.Fatal("the same")
		}
		_, err = o.GiveAskings(ctx, o.grower, "A6", []string{"P1"})
		is(t, err, FaultForbidden)
		_, err = o.Askings(ctx, o.grower, "A6")
		is(t, err, FaultForbidden)
		is(t, o.WithdrawAsking(ctx, o.grower, "A6", "P1"), FaultForbidden)
		reply := func() Record {
			id := NewID()
			return Record{ID: id, Ledger: "replies", Name: id[:8] + id[len(id)-8:], Row: []Pair{{Path: "reply", Text: id[:8]}, {Path: "answer", Text: "yes"}}}
		}
		must(t, o.Reply(ctx, secrets[0], false, reply()))
		is(t, o.Reply(ctx, secrets[0], false, reply()), FaultAsking)
		must(t, o.WithdrawAsking(ctx, o.educator, "A6", "P2"))
		is(t, o.Reply(ctx, secrets[1], false, reply()), FaultAsking)
		is(t, o.Reply(ctx, "nothing", false, reply()), FaultAsking)
		_, err = o.AskedBy(ctx, "nothing")
		is(t, err, FaultAsking)
		if a, err := o.AskedBy(ctx, secrets[1]); err != nil || a.Opens() || a.Code != "P2" || a.Wave != "A6" {
			t.Error(a, err)
		}
		again, err := o.GiveAskings(ctx, o.volunteer, "A6", []string{"P1", "P3"}) // a reminder
		if must(t, err); again[0] != "" || again[1] == "" {
			t.Error("who answered was asked again", again)
		}
		is(t, o.Reply(ctx, secrets[2], false, reply()), FaultAsking)
		must(t, o.Reply(ctx, again[1], true, reply(), reply()))
		if a, err := o.AskedBy(ctx, again[1]); err != nil || !a.Tells {
			t.Error("nobody knows that a story may be told", a, err)
		}
		is(t, o.ToldAsking(ctx, o.grower, "A6", "P3"), FaultForbidden)
		list, err := o.Askings(ctx, o.educator, "A6")
		if err != nil || len(list) != 4 || !list[0].Answered || list[2].Opens() || !list[3].Answered {
			t.Errorf("%+v %v", list, err)
		}
		counts, err := o.RecordCounts(ctx, o.educator)
		if err != nil || counts["replies"] != 3 {
			t.Error(counts, err)
		}
		// nothing in the happenings names a person or holds a secret
		var text string
		must(t, s.db.QueryRow("SELECT COUNT(*) FROM happening WHERE payload LIKE '%P1%' OR payload LIKE '%P3%' OR who LIKE 'P%'").Scan(&text))
		if text != "0" {
			t.Error("a happening tells who answered")
		}
		kept, err := s.db.Query("SELECT hash FROM asking")
		must(t, err)
		defer kept.Close()
		for kept.Next() {
			var hash string
			must(t, kept.Scan(&hash))
			if strings.Contains(strings.Join(append(secrets, again...), " "), hash) || len(hash) != 64 {
				t.Error("kept as it is:", hash)
			}
		}
		must(t, kept.Err())
		dir := filepath.Join(t.TempDir(), "out")
		must(t, s.Export(ctx, dir))
		other, err := Open(ctx, InFolder(filepath.Join(t.TempDir(), "in")))
		must(t, err)
		defer other.Close()
		must(t, other.Import(ctx, dir))
		if a, err := other.AskedBy(ctx, secrets[1]); err != nil || a.Opens() || a.Code != "P2" {
			t.Error(a, err)
		}
		if a, err := other.AskedBy(ctx, again[1]); err != nil || !a.Tells {
			t.Error("the open form leaves out who agreed to a story", a, err)
		}
		must(t, o.ToldAsking(ctx, o.educator, "A6", "P3"))
		if a, err := o.AskedBy(ctx, again[1]); err != nil || a.Tells || !a.Answered {
			t.Error(a, err)
		}
		must(t, s.ForgetContact(ctx, Holder(), "P9"))
		file := filepath.Join(t.TempDir(), "backup.db")
		must(t, s.Backup(ctx, file))
		saved, err := Open(ctx, file)
		must(t, err)
		defer saved.Close()
		if list, err := saved.Askings(ctx, Holder(), "A6"); err != nil || len(list) != 4 {
			t.Error(list, err)
		}
		must(t, saved.ForgetContact(ctx, Holder(), "P3"))
		if list, err := saved.Askings(ctx, Holder(), "A6"); err != nil || len(list) != 2 {
			t.Error("a link outlives who was forgotten", list, err)
		}
	})
}
