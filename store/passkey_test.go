package store

import (
	"testing"
	"time"
)

// What is asked of a device is answered once and in time. A passkey lets its person in where it still is as it was checked; it is withdrawn by
// its person alone, and the last one not where no password is set. Who asks for more than a password is not let in by one.
func TestPasskeys(t *testing.T) {
	both(t, func(t *testing.T, s *Store) {
		ctx, now := t.Context(), time.Date(2027, 5, 3, 8, 0, 0, 0, time.UTC)
		s.now = func() time.Time { return now }
		id := NewID()
		must(t, s.AddAccount(ctx, Holder(), id, Grower, "Invented Person", "", "invented words"))
		session, w, err := s.SignIn(ctx, "Invented Person", "invented words")
		must(t, err)

		token, err := s.Ask(ctx, id, `{"asked": 1}`)
		must(t, err)
		if account, what, err := s.Asked(ctx, token); err != nil || account != id || what != `{"asked": 1}` {
			t.Error(account, what, err)
		}
		_, _, err = s.Asked(ctx, token)
		is(t, err, FaultSignIn) // answered twice
		token, err = s.Ask(ctx, "", "{}")
		must(t, err)
		now = now.Add(answerWithin + time.Second)
		_, _, err = s.Asked(ctx, token)
		is(t, err, FaultSignIn) // too late

		must(t, s.Fresh(ctx, session, 15*time.Minute))
		now = now.Add(11 * time.Minute)
		is(t, s.Fresh(ctx, session, 15*time.Minute), FaultAgain)

		is(t, s.SetStrict(ctx, w, true), FaultLastPasskey)
		first := Passkey{ID: "first", Label: "telephone", Host: "office.example", Credential: `{"counter": 1}`}
		must(t, s.AddPasskey(ctx, w, first))
		is(t, s.AddPasskey(ctx, w, first), FaultPasskeys)
		is(t, s.AddPasskey(ctx, Holder(), Passkey{ID: "other"}), FaultForbidden)
		found, err := s.Passkey(ctx, "first")
		if err != nil || found.Account != id || found.Label != "telephone" || found.Host != "office.example" || !found.Used.IsZero() {
			t.Errorf("%+v %v", found, err)
		}
		token, err = s.UsePasskey(ctx, found, `{"counter": 2}`)
		must(t, err)
		if got, err := s.BySession(ctx, token); err != nil || got.Account() != id {
			t.Error(got, err)
		}
		_, err = s.UsePasskey(ctx, found, `{"counter": 2}`)
		is(t, err, FaultSignIn) // the same answer again, or at another server
		_, err = s.Passkey(ctx, "unknown")
		is(t, err, FaultSignIn)

		must(t, s.SetStrict(ctx, w, true))
		_, _, err = s.SignIn(ctx, "Invented Person", "invented words")
		is(t, err, FaultStrict)
		_, _, err = s.SignIn(ctx, "Invented Person", "other words indeed")
		is(t, err, FaultSignIn)
		must(t, s.SetPassword(ctx, w, id, "another invented one"))
		_, _, err = s.SignIn(ctx, "Invented Person", "another invented one")
		is(t, err, FaultStrict) // one's own new password changes nothing of it
		must(t, s.DropPasskey(ctx, w, "first"))
		_, _, err = s.SignIn(ctx, "Invented Person", "another invented one")
		must(t, err) // with the last passkey gone it lets in again

		must(t, s.AddPasskey(ctx, w, first))
		must(t, s.SetStrict(ctx, w, true))
		must(t, s.SetPassword(ctx, Holder(), id, "given by the office"))
		_, _, err = s.SignIn(ctx, "Invented Person", "given by the office")
		must(t, err) // whoever lost the passkey

		// an invitation taken with a passkey: no password opens the account, and the last passkey stays
		invitation, err := s.GivePass(ctx, Holder(), NewID(), Invite, "", id, "")
		must(t, err)
		if account, name, err := s.Invited(ctx, invitation); err != nil || account != id || name != "Invented Person" {
			t.Error(account, name, err)
		}
		_, _, err = s.Invited(ctx, "invented")
		is(t, err, FaultSignIn)
		_, _, err = s.AcceptPasskey(ctx, invitation, Passkey{ID: "second", Account: NewID()})
		is(t, err, FaultSignIn) // made for another
		_, w, err = s.AcceptPasskey(ctx, invitation, Passkey{ID: "second", Account: id, Credential: "{}"})
		must(t, err)
		_, _, err = s.AcceptPasskey(ctx, invitation, Passkey{ID: "third", Account: id, Credential: "{}"})
		is(t, err, FaultSignIn) // taken twice
		_, _, err = s.SignIn(ctx, "Invented Person", "given by the office")
		is(t, err, FaultSignIn)
		must(t, s.DropPasskey(ctx, w, "first"))
		is(t, s.DropPasskey(ctx, w, "second"), FaultLastPasskey)
		is(t, s.DropPasskey(ctx, w, "unknown"), FaultNotFound)
		m, err := s.Means(ctx, w)
		if err != nil || m.Password || len(m.Passkeys) != 1 {
			t.Errorf("%+v %v", m, err)
		}
		second, err := s.Passkey(ctx, "second")
		must(t, err)
		must(t, s.CloseAccount(ctx, Holder(), NewID(), id))
		_, err = s.UsePasskey(ctx, second, "{}")
		is(t, err, FaultSignIn) // of a closed account
	})
}
