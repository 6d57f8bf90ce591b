package store

import (
	"cmp"
	"context"
	"database/sql"
	"errors"
	"time"

	"raftwright/finding"
	"raftwright/store/rows"
)

// Passkey is what a device of a person signs in with. The store keeps what the one who checks
// it says of it (Credential, JSON with the open key and the counter) and does not read it.
type Passkey struct {
	ID, Account, Label string
	Host               string // the name of the office for which it was made; it opens no other
	Credential         string
	Made, Used         time.Time // Used is zero where it never was
}

// Means are those by which the person of an account may sign in.
type Means struct {
	Password bool // one is set
	Strict   bool // a password alone does not let in
	Passkeys []Passkey
}

// mostPasskeys bounds the passkeys of one account (our own choice).
const mostPasskeys = 20

// answerWithin is how long a device may take to answer.
const answerWithin = 5 * time.Minute

// Ask keeps what is asked of a device, for an account or for whoever signs in (""), and gives
// the token under which its answer comes.
func (s *Store) Ask(ctx context.Context, account, what string) (token string, err error) {
	token, hash := secret()
	err = s.beside(ctx, func(q *rows.Queries) error {
		now := s.now()
		if err := q.ForgetAsked(ctx, now.UnixMilli()); err != nil {
			return err
		}
		return q.Ask(ctx, rows.AskParams{Hash: hash, Account: account, What: what, Until: now.Add(answerWithin).UnixMilli()})
	})
	return token, err
}

// Asked takes what was asked of a device. It is taken once; what nobody asked, or asked too
// long ago, is FaultSignIn.
func (s *Store) Asked(ctx context.Context, token string) (account, what string, err error) {
	got, err := rows.New(s.db).TakeAsked(ctx, hashed(token), s.now().UnixMilli())
	if errors.Is(err, sql.ErrNoRows) {
		return "", "", finding.Fault{ID: FaultSignIn}
	}
	return got.Account, got.What, s.fault(err)
}

// Means gives by what oneself may sign in.
func (s *Store) Means(ctx context.Context, w Who) (m Means, err error) {
	err = s.own(ctx, w, func(q *rows.Queries) error {
		p, err := q.Person(ctx, w.account)
		if err != nil {
			return err
		}
		m.Password, m.Strict = p.Password != "", p.Strict != 0
		found, err := q.PasskeysOf(ctx, w.account)
		for _, k := range found {
			m.Passkeys = append(m.Passkeys, passkey(k))
		}
		return err
	})
	return m, err
}

// own does something to one's own account; a key does not reach it.
func (s *Store) own(ctx context.Context, w Who, do func(q *rows.Queries) error) error {
	if w.account == "" || w.pass != "" {
		return forbidden(wordAccount, w.account)
	}
	return s.ofPerson(ctx, w, w.account, do)
}

func passkey(k rows.Passkey) Passkey {
	p := Passkey{ID: k.ID, Account: k.Account, Label: k.Label, Host: k.Host, Credential: k.Credential, Made: time.UnixMilli(k.Made).UTC()}
	if k.Used != 0 {
		p.Used = time.UnixMilli(k.Used).UTC()
	}
	return p
}

// Passkey finds a passkey by its id, for whoever is about to check it. One that there is not is FaultSignIn.
func (s *Store) Passkey(ctx context.Context, id string) (Passkey, error) {
	k, err := rows.New(s.db).Passkey(ctx, id)
	if errors.Is(err, sql.ErrNoRows) {
		return Passkey{}, finding.Fault{ID: FaultSignIn}
	}
	return passkey(k), s.fault(err)
}

// AddPasskey adds a passkey to one's own account.
func (s *Store) AddPasskey(ctx context.Context, w Who, p Passkey) error {
	return s.own(ctx, w, func(q *rows.Queries) error { return s.addPasskey(ctx, q, w.account, p) })
}

func (s *Store) addPasskey(ctx context.Context, q *rows.Queries, account string, p Passkey) error {
	if err := cmp.Or(clean(p.Label, mostName), clean(p.Host, mostName), clean(p.ID, 2048)); err != nil {
		return err
	}
	list, err := q.PasskeysOf(ctx, account)
	if err != nil {
		return err
	}
	if _, err := q.Passkey(ctx, p.ID); err == nil || len(list) >= mostPasskeys {
		return finding.Fault{ID: FaultPasskeys, Args: finding.Args{"Most": mostPasskeys}}
	}
	return q.AddPasskey(ctx, rows.AddPasskeyParams{ID: p.ID, Account: account, Label: p.Label, Host: p.Host, Credential: p.Credential, Made: s.now().UnixMilli()})
}

// DropPasskey withdraws a passkey of one's own. The last one stays where no password is set,
// for nobody could sign in any more; with the last one a password alone lets in again.
func (s *Store) DropPasskey(ctx context.Context, w Who, id string) error {
	return s.own(ctx, w, func(q *rows.Queries) error {
		p, err := q.Person(ctx, w.account)
		if err != nil {
			return err
		}
		list, err := q.PasskeysOf(ctx, w.account)
		if err != nil {
			return err
		}
		if last := len(list) == 1 && list[0].ID == id; last && p.Password == "" {
			return finding.Fault{ID: FaultLastPasskey}
		} else if last {
			if _, err := q.SetStrict(ctx, 0, w.account); err != nil {
				return err
			}
		}
		return there(q.DropPasskey(ctx, id, w.account))
	})
}

// SetStrict says whether one's own password alone lets in. It does where there is no passkey.
func (s *Store) SetStrict(ctx context.Context, w Who, strict bool) error {
	return s.own(ctx, w, func(q *rows.Queries) error {
		on := int64(0)
		if strict {
			on = 1
		}
		if list, err := q.PasskeysOf(ctx, w.account); err != nil || strict && len(list) == 0 {
			return cmp.Or(err, error(finding.Fault{ID: FaultLastPasskey}))
		}
		return there(q.SetStrict(ctx, on, w.account))
	})
}

// UsePasskey begins a session by a passkey that was checked: used is the passkey as it was
// found, becomes what the one who checked it says of it now. Of two who use the same answer one gets in.
func (s *Store) UsePasskey(ctx context.Context, used Passkey, becomes string) (token string, err error) {
	token, hash := secret()
	err = s.beside(ctx, func(q *rows.Queries) error {
		wrong := finding.Fault{ID: FaultSignIn}
		a, err := q.Account(ctx, used.Account)
		if err != nil || a.Closed != 0 {
			return cmp.Or(missing(err, wordAccount, used.Account), error(wrong))
		}
		now := s.now()
		if err := q.EndSessionsBefore(ctx, now.Add(-idle).UnixMilli(), now.Add(-longest).UnixMilli()); err != nil {
			return err
		}
		if n, err := q.UsePasskey(ctx, rows.UsePasskeyParams{Becomes: becomes, Used: now.UnixMilli(), ID: used.ID, Was: used.Credential}); err != nil || n == 0 {
			return cmp.Or(err, error(wrong))
		}
		return q.AddSession(ctx, hash, a.ID, now.UnixMilli())
	})
	if err != nil {
		return "", err
	}
	return token, nil
}

// Renew begins another session for who has one.
func (s *Store) Renew(ctx context.Context, w Who) (token string, err error) {
	token, hash := secret()
	err = s.own(ctx, w, func(q *rows.Queries) error { return q.AddSession(ctx, hash, w.account, s.now().UnixMilli()) })
	return token, err
}

// Fresh tells whether a session began so short a time ago that it may change how one signs in.
func (s *Store) Fresh(ctx context.Context, token string, within time.Duration) error {
	x, err := rows.New(s.db).Session(ctx, hashed(token))
	if err == nil && s.now().UnixMilli()-x.Made <= within.Milliseconds() {
		return nil
	}
	if err != nil && !errors.Is(err, sql.ErrNoRows) {
		return s.fault(err)
	}
	return finding.Fault{ID: FaultAgain}
}

// Invited tells whose an invitation is, and their name: for whom it was given.
func (s *Store) Invited(ctx context.Context, invitation string) (account, name string, err error) {
	err = s.look(ctx, func(q *rows.Queries) error {
		p, err := q.PassByHash(ctx, hashed(invitation))
		if errors.Is(err, sql.ErrNoRows) || err == nil && Kind(p.Kind) != Invite {
			return finding.Fault{ID: FaultSignIn}
		}
		if err != nil {
			return err
		}
		known, err := q.Person(ctx, p.Account)
		account, name = p.Account, known.Name
		return missing(err, wordAccount, p.Account)
	})
	return account, name, err
}
