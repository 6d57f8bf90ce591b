package store

import (
	"context"
	"crypto/rand"
	"database/sql"
	"encoding/base64"
	"errors"
	"os"
	"slices"
	"time"

	"raftwright/finding"
	"raftwright/store/rows"
)

// Asking is a link by which a person of the records is asked in a wave. Whether it was used is known, so that nobody is reminded who has
// answered; when it was, and what was answered by it, nobody can tell.
type Asking struct {
	Wave, Code       string
	Given, Withdrawn time.Time
	Answered, Tells  bool // Tells: agreed that their story is told, which no record says yet
}

// Opens tells whether an answer can still come by the link.
func (a Asking) Opens() bool { return a.Withdrawn.IsZero() && !a.Answered }

// FaultAsking is a link of a wave that does not open, or no longer.
const FaultAsking finding.ID = "store.fault.asking"

// asker signs an answer: whoever holds a link.
const asker Role = "asked"

// GiveAskings gives each person a link of a wave, and tells the secrets this once, in the order of the codes. Earlier links of a person in the
// wave end; to who has answered none is given, and the secret is "".
func (s *Store) GiveAskings(ctx context.Context, w Who, wave string, codes []string) (secrets []string, err error) {
	if err := clean(wave, mostName); err != nil {
		return nil, err
	}
	secrets = make([]string, len(codes))
	err = s.beside(ctx, func(q *rows.Queries) error {
		if !w.may(account, "", "") {
			return forbidden(wordRecord, wave)
		}
		there, err := q.AskingsOf(ctx, wave)
		if err != nil {
			return err
		}
		answered := map[string]bool{}
		for _, a := range there {
			answered[a.Code] = answered[a.Code] || a.Answered == 1
		}
		now := s.now().UnixMilli()
		for i, code := range codes {
			if answered[code] {
				continue
			}
			if err := clean(code, mostName); err != nil {
				return err
			}
			var bits [16]byte
			rand.Read(bits[:]) // does not fail: crypto/rand
			secrets[i] = base64.RawURLEncoding.EncodeToString(bits[:])
			if err := q.WithdrawAskings(ctx, now, wave, code); err != nil {
				return err
			}
			if err := q.AddAsking(ctx, rows.AddAskingParams{Hash: hashed(secrets[i]), Wave: wave, Code: code, Given: now}); err != nil {
				return err
			}
		}
		return nil
	})
	return secrets, err
}

// Askings lists the links of a wave, by code, the earlier first.
func (s *Store) Askings(ctx context.Context, w Who, wave string) (list []Asking, err error) {
	err = s.look(ctx, func(q *rows.Queries) error {
		if !w.may(account, "", "") {
			return forbidden(wordRecord, wave)
		}
		found, err := q.AskingsOf(ctx, wave)
		for _, a := range found {
			list = append(list, askingOf(a))
		}
		return err
	})
	return list, err
}

func askingOf(a rows.Asking) Asking {
	out := Asking{Wave: a.Wave, Code: a.Code, Given: time.UnixMilli(a.Given).UTC(), Answered: a.Answered == 1, Tells: a.Tells == 1}
	if a.Withdrawn != 0 {
		out.Withdrawn = time.UnixMilli(a.Withdrawn).UTC()
	}
	return out
}

// WithdrawAsking ends the link of a person in a wave.
func (s *Store) WithdrawAsking(ctx context.Context, w Who, wave, code string) error {
	return s.beside(ctx, func(q *rows.Queries) error {
		if !w.may(account, "", "") {
			return forbidden(wordRecord, wave)
		}
		return q.WithdrawAskings(ctx, s.now().UnixMilli(), wave, code)
	})
}

// AskedBy tells which wave a link is of, and of whom.
func (s *Store) AskedBy(ctx context.Context, secret string) (Asking, error) {
	a, err := rows.New(s.db).AskingByHash(ctx, hashed(secret))
	if errors.Is(err, sql.ErrNoRows) {
		return Asking{}, finding.Fault{ID: FaultAsking}
	}
	return askingOf(a), s.fault(err)
}

// Reply keeps the records of an answer that came by a link, all or none, once: afterwards the link opens no more. Whoever agreed that their
// story is told stands beside the link, and nowhere beside the answer.
func (s *Store) Reply(ctx context.Context, secret string, tells bool, list ...Record) error {
	for _, r := range list {
		if err := errors.Join(check(r.ID), checkRecord(saidRecord{Ledger: r.Ledger, Name: r.Name, Row: r.Row})); err != nil {
			return err
		}
	}
	agreed := int64(0)
	if tells {
		agreed = 1
	}
	return s.write(ctx, func(tx *writer) error {
		n, err := tx.AnswerAsking(ctx, agreed, hashed(secret))
		if err == nil && n == 0 {
			err = finding.Fault{ID: FaultAsking}
		}
		if err != nil {
			return err
		}
		return tx.records(ctx, Who{role: asker}, slices.Values(list))
	})
}

// ToldAsking notes that the records have the consent of a person who agreed to a story in a wave.
func (s *Store) ToldAsking(ctx context.Context, w Who, wave, code string) error {
	return s.beside(ctx, func(q *rows.Queries) error {
		if !w.may(account, "", "") {
			return forbidden(wordRecord, wave)
		}
		return q.ToldAskings(ctx, wave, code)
	})
}

// openAsking is a link as the open form has it.
type openAsking struct {
	Hash      string    `json:"hash"`
	Wave      string    `json:"wave"`
	Code      string    `json:"code"`
	Given     time.Time `json:"given"`
	Withdrawn time.Time `json:"withdrawn,omitzero"`
	Answered  bool      `json:"answered"`
	Tells     bool      `json:"tells,omitzero"`
}

// openAskings gives the links of all waves.
func openAskings(ctx context.Context, q *rows.Queries) ([]openAsking, error) {
	given, err := q.Askings(ctx)
	links := make([]openAsking, len(given))
	for i, a := range given {
		x := askingOf(a)
		links[i] = openAsking{a.Hash, x.Wave, x.Code, x.Given, x.Withdrawn, x.Answered, x.Tells}
	}
	return links, err
}

// importAskings takes in the links of waves.
func importAskings(ctx context.Context, q *rows.Queries, root *os.Root) error {
	if _, err := root.Stat(askingsFile); err != nil {
		return nil
	}
	var links []openAsking
	if err := get(root, askingsFile, &links); err != nil {
		return err
	}
	for _, a := range links {
		row := rows.AddAskingParams{Hash: a.Hash, Wave: a.Wave, Code: a.Code, Given: a.Given.UnixMilli()}
		if !a.Withdrawn.IsZero() {
			row.Withdrawn = a.Withdrawn.UnixMilli()
		}
		if a.Answered {
			row.Answered = 1
		}
		if a.Tells {
			row.Tells = 1
		}
		err := errors.Join(clean(a.Hash, mostName), clean(a.Wave, mostName), clean(a.Code, mostName))
		if err == nil {
			err = q.AddAsking(ctx, row)
		}
		if err != nil {
			return amiss(askingsFile, 1, err)
		}
	}
	return nil
}
