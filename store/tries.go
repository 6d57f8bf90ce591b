package store

import (
	"context"
	"crypto/hmac"
	"crypto/rand"
	"crypto/sha256"
	"database/sql"
	"encoding/base64"
	"errors"
	"strings"
	"time"

	"raftwright/finding"
	"raftwright/store/rows"
	"raftwright/unit"
)

// Attempt counts one more try of something ("sign-in of an address") and is FaultOften
// where there were more than most within a time, with Wait, how long until it may be tried again. All servers on a store count together. Tries
// that a clock put into the future are forgotten: else nobody came in until then.
func (s *Store) Attempt(ctx context.Context, what string, most int, within time.Duration) error {
	var tries rows.AttemptRow
	now := s.now()
	err := s.beside(ctx, func(q *rows.Queries) error {
		err := q.ForgetAttempts(ctx, now.Add(-24*time.Hour).UnixMilli())
		if err == nil {
			tries, err = q.Attempt(ctx, rows.AttemptParams{What: hashed(what), Now: now.UnixMilli(), Forget: now.Add(-within).UnixMilli(), Ahead: now.Add(within).UnixMilli()})
		}
		return err
	})
	if err == nil && tries.Count > int64(most) {
		wait := time.UnixMilli(tries.Since).Add(within).Sub(now)
		err = finding.Fault{ID: FaultOften, Args: finding.Args{"Wait": unit.Duration(max(1, (wait+time.Minute-1)/time.Minute)) * unit.Minute}}
	}
	return err
}

// TakeBack takes back one try of something that was no guess, so that who is let in uses up nobody's tries.
func (s *Store) TakeBack(ctx context.Context, what string) error {
	return s.beside(ctx, func(q *rows.Queries) error { return q.TakeBackAttempt(ctx, hashed(what)) })
}

// Mark gives what a browser keeps by which it is known again as one that somebody of this name has signed in with, "" where they have
// no password. It tells nothing and lets nobody in; another password ends it.
func (s *Store) Mark(ctx context.Context, name string) (string, error) {
	p, err := rows.New(s.db).PersonNamed(ctx, fold(name))
	if errors.Is(err, sql.ErrNoRows) || err == nil && p.Password == "" {
		return "", nil
	}
	if err != nil {
		return "", s.fault(err)
	}
	chance := rand.Text()
	return chance + sealed(p, chance), nil
}

// markChance is how many letters of a mark are by chance; the rest is made of them.
const markChance = 26

// Marked tells whether a mark was given for this name as its person stands.
func (s *Store) Marked(ctx context.Context, name, mark string) (bool, error) {
	p, err := rows.New(s.db).PersonNamed(ctx, fold(name))
	if errors.Is(err, sql.ErrNoRows) || err == nil && (p.Password == "" || len(mark) <= markChance) {
		return false, nil
	}
	if err != nil {
		return false, s.fault(err)
	}
	return hmac.Equal([]byte(mark[markChance:]), []byte(sealed(p, mark[:markChance]))), nil
}

// sealed is made of a chance under what nobody outside of the store knows of a person: the salted hash of their password.
func sealed(p rows.Person, chance string) string {
	sum := hmac.New(sha256.New, []byte(p.Password))
	sum.Write([]byte(strings.Join([]string{"mark", p.Account, chance}, "\n")))
	return base64.RawURLEncoding.EncodeToString(sum.Sum(nil))
}
