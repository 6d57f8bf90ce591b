package store

import (
	"cmp"
	"context"
	"crypto/rand"
	"crypto/sha256"
	"database/sql"
	"encoding/base64"
	"encoding/hex"
	"errors"
	"slices"
	"strings"
	"time"
	"unicode/utf8"

	"github.com/alexedwards/argon2id"

	"raftwright/finding"
	"raftwright/store/rows"
)

// Person is an account with what is known of its person.
type Person struct {
	Account       string
	Role          Role
	Closed        bool
	Name, Contact string
}

// Pass is a bearer key, or the link of a bed. Its secret was told once and is not kept.
type Pass struct {
	ID, Label        string
	Kind             Kind
	Bed              string // "" for a key of a whole account
	Account          string // who gave it
	Given, Withdrawn time.Time
}

// Kind is what a pass is.
type Kind string

// Kinds of passes.
const (
	Key  Kind = "key"
	Link Kind = "link" // of one bed, to see and log it
	Feed Kind = "feed" // of one bed's calendar, to see it

	Invite Kind = "invite" // for the person of an account, to choose a password once
)

// Look is one time that somebody saw personal data.
type Look struct {
	Who, Account string // Account is "" for the list of all
	At           time.Time
}

// Sessions end when nobody used them for idle, and in any case after longest.
const (
	idle    = 14 * 24 * time.Hour
	longest = 90 * 24 * time.Hour
	noted   = 5 * time.Minute // how often the use of a session is written down
)

// invited is how long an invitation waits to be taken.
const invited = 14 * 24 * time.Hour

// Lengths of a password in letters: OWASP ASVS 4.0.3, 2.1.1 and 2.1.2. Any letters will do (NIST SP 800-63B, 5.1.1.2).
const leastPassword, mostPassword = 12, 128

// hashing is what OWASP recommends for argon2id (Password Storage Cheat Sheet): 19 MiB, two passes.
var hashing = &argon2id.Params{Memory: 19 * 1024, Iterations: 2, Parallelism: 1, SaltLength: 16, KeyLength: 32}

// secret makes 256 random bits, and the hash that is kept of them.
func secret() (text, hash string) {
	var bits [32]byte
	rand.Read(bits[:]) // does not fail: crypto/rand
	text = base64.RawURLEncoding.EncodeToString(bits[:])
	return text, hashed(text)
}

func hashed(secret string) string {
	sum := sha256.Sum256([]byte(secret))
	return hex.EncodeToString(sum[:])
}

func fold(name string) string { return strings.ToLower(strings.Join(strings.Fields(name), " ")) }

func hashPassword(password string) (string, error) {
	if n := utf8.RuneCountInString(password); n < leastPassword || n > mostPassword {
		return "", finding.Fault{ID: FaultPassword, Args: finding.Args{"Least": leastPassword, "Most": mostPassword}}
	}
	return argon2id.CreateHash(password, hashing)
}

// AddAccount opens an account. Without a password nobody can sign in to it.
func (s *Store) AddAccount(ctx context.Context, w Who, id string, role Role, name, contact, password string) error {
	return s.addAccount(ctx, w, id, role, name, contact, password, false)
}

// FirstAccount opens the account of the first educator of a store without accounts. Of two
// who try at once one does, and the other is refused.
func (s *Store) FirstAccount(ctx context.Context, name, password string) error {
	if password == "" {
		return finding.Fault{ID: FaultPassword, Args: finding.Args{"Least": leastPassword, "Most": mostPassword}}
	}
	return s.addAccount(ctx, Holder(), NewID(), Educator, name, "", password, true)
}

func (s *Store) addAccount(ctx context.Context, w Who, id string, role Role, name, contact, password string, first bool) error {
	if err := check(id); err != nil {
		return err
	}
	if err := cmp.Or(clean(name, mostName), clean(contact, mostName)); err != nil {
		return err
	}
	if fold(name) == "" || !slices.Contains(Roles(), role) {
		return finding.Fault{ID: FaultText, Args: finding.Args{"Most": mostName}}
	}
	hash := ""
	if password != "" {
		var err error
		if hash, err = hashPassword(password); err != nil {
			return err
		}
	}
	return s.write(ctx, func(tx *writer) error {
		if !w.may(people, "", "") {
			return forbidden(wordAccount, id)
		}
		if n, err := tx.CountAccounts(ctx); err != nil || first && n > 0 {
			return cmp.Or(err, forbidden(wordAccount, id))
		}
		if made, err := tx.append(ctx, w, id, accountOpened, id, time.Time{}, saidRole{role}); err != nil || !made {
			return err
		}
		if _, err := tx.PersonNamed(ctx, fold(name)); err == nil {
			return finding.Fault{ID: FaultTaken, Args: finding.Args{"Name": name}}
		}
		return tx.AddPerson(ctx, rows.AddPersonParams{Account: id, Name: strings.TrimSpace(name), Folded: fold(name), Contact: contact, Password: hash})
	})
}

// Accounts counts the accounts that were ever opened; with none, the first may be made.
func (s *Store) Accounts(ctx context.Context) (int, error) {
	n, err := rows.New(s.db).CountAccounts(ctx)
	return int(n), s.fault(err)
}

// SetRole gives an account another role.
func (s *Store) SetRole(ctx context.Context, w Who, id, account string, role Role) error {
	if err := check(id, account); err != nil {
		return err
	}
	if !slices.Contains(Roles(), role) {
		return finding.Fault{ID: FaultText, Args: finding.Args{"Most": mostName}}
	}
	return s.onAccount(ctx, w, account, func(tx *writer) error {
		_, err := tx.append(ctx, w, id, accountRole, account, time.Time{}, saidRole{role})
		return err
	})
}

// CloseAccount closes an account: its sessions end, its keys open nothing. Its beds, their
// links and what it wrote stay.
func (s *Store) CloseAccount(ctx context.Context, w Who, id, account string) error {
	return s.end(ctx, w, id, account, false)
}

// Forget closes an account and takes its name, contact, password and passkeys away for good. What
// was written and counted stays, signed by an account without a name.
func (s *Store) Forget(ctx context.Context, w Who, id, account string) error {
	return s.gone(ctx, s.end(ctx, w, id, account, true))
}

func (s *Store) end(ctx context.Context, w Who, id, account string, forget bool) error {
	if err := check(id, account); err != nil {
		return err
	}
	return s.onAccount(ctx, w, account, func(tx *writer) error {
		if made, err := tx.append(ctx, w, id, accountClosed, account, time.Time{}, nil); err != nil || !made {
			return err
		}
		if forget {
			if _, err := tx.ForgetPerson(ctx, account); err != nil {
				return err
			}
			if err := tx.DropPasskeysOf(ctx, account); err != nil {
				return err
			}
		}
		return tx.EndSessionsOf(ctx, account)
	})
}

func (s *Store) onAccount(ctx context.Context, w Who, account string, do func(tx *writer) error) error {
	return s.write(ctx, func(tx *writer) error {
		if !w.may(people, "", "") {
			return forbidden(wordAccount, account)
		}
		if _, err := tx.Account(ctx, account); err != nil {
			return missing(err, wordAccount, account)
		}
		return do(tx)
	})
}

// SetPassword gives an account another password, one's own or, for an educator, anybody's;
// its sessions end.
func (s *Store) SetPassword(ctx context.Context, w Who, account, password string) error {
	hash, err := hashPassword(password)
	if err != nil {
		return err
	}
	return s.ofPerson(ctx, w, account, func(q *rows.Queries) error {
		if err := q.EndSessionsOf(ctx, account); err != nil {
			return err
		}
		if w.account != account { // who lost the passkey gets in again
			if _, err := q.SetStrict(ctx, 0, account); err != nil {
				return err
			}
		}
		return there(q.SetPassword(ctx, hash, account))
	})
}

// SetContact gives an account another contact, one's own or, for an educator, anybody's.
func (s *Store) SetContact(ctx context.Context, w Who, account, contact string) error {
	if err := clean(contact, mostName); err != nil {
		return err
	}
	return s.ofPerson(ctx, w, account, func(q *rows.Queries) error { return there(q.SetContact(ctx, contact, account)) })
}

func there(n int64, err error) error {
	if err == nil && n == 0 {
		return sql.ErrNoRows
	}
	return err
}

// ofPerson does something with personal data: one's own, or for whom they are to see.
func (s *Store) ofPerson(ctx context.Context, w Who, account string, do func(q *rows.Queries) error) error {
	own := account != "" && account == w.account && w.pass == ""
	return s.beside(ctx, func(q *rows.Queries) error {
		if !own && !w.may(people, "", "") {
			return forbidden(wordAccount, account)
		}
		if !own {
			if err := q.AddLooked(ctx, w.signs(), account, s.now().UnixMilli()); err != nil {
				return err
			}
		}
		return missing(do(q), wordAccount, account)
	})
}

// Person gives the person of an account: one's own, or for whom that is to see; that it
// was seen is noted.
func (s *Store) Person(ctx context.Context, w Who, account string) (p Person, err error) {
	err = s.ofPerson(ctx, w, account, func(q *rows.Queries) error {
		a, err := q.Account(ctx, account)
		if err != nil {
			return err
		}
		p = Person{Account: a.ID, Role: Role(a.Role), Closed: a.Closed != 0}
		known, err := q.Person(ctx, account)
		if errors.Is(err, sql.ErrNoRows) {
			return nil // forgotten
		}
		p.Name, p.Contact = known.Name, known.Contact
		return err
	})
	return p, err
}

// Named finds a person by name, for whom that is to see, and tells whether no password is
// set; that it was seen is noted.
func (s *Store) Named(ctx context.Context, w Who, name string) (p Person, bare bool, err error) {
	known, err := rows.New(s.db).PersonNamed(ctx, fold(name))
	if err != nil {
		return p, false, s.fault(missing(err, wordAccount, name))
	}
	p, err = s.Person(ctx, w, known.Account)
	return p, known.Password == "", err
}

// People lists the people of the office by name; that they were seen is noted.
func (s *Store) People(ctx context.Context, w Who) (list []Person, err error) {
	err = s.ofPerson(ctx, w, "", func(q *rows.Queries) error {
		found, err := q.People(ctx)
		for _, p := range found {
			list = append(list, Person{p.ID, Role(p.Role), p.Closed != 0, p.Name, p.Contact})
		}
		return err
	})
	return list, err
}

// Looks lists who saw personal data since a time, the latest first.
func (s *Store) Looks(ctx context.Context, w Who, since time.Time, most int) (list []Look, err error) {
	err = s.look(ctx, func(q *rows.Queries) error {
		if !w.may(people, "", "") {
			return forbidden(wordAccount, "")
		}
		found, err := q.LookedSince(ctx, since.UnixMilli(), int32(most))
		for _, l := range found {
			list = append(list, Look{l.Who, l.Account, time.UnixMilli(l.At).UTC()})
		}
		return err
	})
	return list, err
}

// SignIn begins a session and gives its token, which is kept as a hash only. Whoever asks
// is told neither whether the name is known nor how long the password is. The right password of
// who asked for more than a password is FaultStrict.
func (s *Store) SignIn(ctx context.Context, name, password string) (token string, w Who, err error) {
	wrong := finding.Fault{ID: FaultSignIn}
	q := rows.New(s.db)
	p, err := q.PersonNamed(ctx, fold(name))
	if err != nil && !errors.Is(err, sql.ErrNoRows) {
		return "", w, s.fault(err)
	}
	if p.Password == "" || len(password) > 4*mostPassword {
		argon2id.CreateHash("nobody", hashing) // takes as long
		return "", w, wrong
	}
	same, err := argon2id.ComparePasswordAndHash(password, p.Password)
	if err != nil || !same {
		return "", w, wrong
	}
	if p.Strict != 0 {
		return "", w, finding.Fault{ID: FaultStrict}
	}
	token, hash := secret()
	err = s.beside(ctx, func(q *rows.Queries) error {
		a, err := q.Account(ctx, p.Account)
		if err != nil || a.Closed != 0 {
			return cmp.Or(missing(err, wordAccount, p.Account), error(wrong))
		}
		now := s.now()
		if err := q.EndSessionsBefore(ctx, now.Add(-idle).UnixMilli(), now.Add(-longest).UnixMilli()); err != nil {
			return err
		}
		w = Who{role: Role(a.Role), account: a.ID}
		return q.AddSession(ctx, hash, a.ID, now.UnixMilli())
	})
	if err != nil {
		return "", Who{}, err
	}
	return token, w, nil
}

// Accept takes an invitation: it sets the password of its account, ends the invitation and
// begins a session. The password alone lets in from now on.
func (s *Store) Accept(ctx context.Context, invitation, password string) (token string, w Who, err error) {
	hash, err := hashPassword(password)
	if err != nil {
		return "", w, err
	}
	return s.accept(ctx, invitation, func(tx *writer, account string) error {
		if _, err := tx.SetStrict(ctx, 0, account); err != nil {
			return err
		}
		return there(tx.SetPassword(ctx, hash, account))
	})
}

// AcceptPasskey takes an invitation with a passkey in place of a password; a password that was set
// before opens nothing any more.
func (s *Store) AcceptPasskey(ctx context.Context, invitation string, p Passkey) (token string, w Who, err error) {
	return s.accept(ctx, invitation, func(tx *writer, account string) error {
		if account != p.Account {
			return finding.Fault{ID: FaultSignIn}
		}
		if err := there(tx.SetPassword(ctx, "", account)); err != nil {
			return err
		}
		return s.addPasskey(ctx, tx.Queries, account, p)
	})
}

// accept takes an invitation and does with its account what it is taken for.
func (s *Store) accept(ctx context.Context, invitation string, do func(tx *writer, account string) error) (token string, w Who, err error) {
	token, sessionHash := secret()
	err = s.write(ctx, func(tx *writer) error {
		p, err := tx.PassByHash(ctx, hashed(invitation))
		if errors.Is(err, sql.ErrNoRows) || err == nil && Kind(p.Kind) != Invite {
			return finding.Fault{ID: FaultSignIn}
		}
		if err != nil {
			return err
		}
		w = Who{role: Role(p.Role.String), account: p.Account}
		given, err := tx.PassesOfAccount(ctx, p.Account)
		if err != nil {
			return err
		}
		for _, g := range given { // with this one all others end that were never used
			if g.ID == p.ID && tx.now-g.Given > invited.Milliseconds() {
				return finding.Fault{ID: FaultSignIn}
			}
			if Kind(g.Kind) != Invite || g.Withdrawn != 0 {
				continue
			}
			if tx.kept { // each happening has a number of its own
				if tx.seq, err = tx.NextSeq(ctx); err != nil {
					return err
				}
			}
			if _, err := tx.append(ctx, w, NewID(), passWithdrawn, g.ID, time.Time{}, nil); err != nil {
				return err
			}
		}
		if err := tx.EndSessionsOf(ctx, p.Account); err != nil {
			return err
		}
		if err := do(tx, p.Account); err != nil {
			return missing(err, wordAccount, p.Account)
		}
		return tx.AddSession(ctx, sessionHash, p.Account, tx.now)
	})
	if err != nil {
		return "", Who{}, err
	}
	return token, w, nil
}

// BySession tells who a session is of. One that is over is FaultSignIn.
func (s *Store) BySession(ctx context.Context, token string) (Who, error) {
	q := rows.New(s.db)
	x, err := q.Session(ctx, hashed(token))
	now := s.now().UnixMilli()
	if errors.Is(err, sql.ErrNoRows) || err == nil && (now-x.Seen > idle.Milliseconds() || now-x.Made > longest.Milliseconds()) {
		return Who{}, finding.Fault{ID: FaultSignIn}
	}
	if err != nil {
		return Who{}, s.fault(err)
	}
	if now-x.Seen > noted.Milliseconds() {
		if err := q.SeeSession(ctx, now, hashed(token)); err != nil {
			return Who{}, s.fault(err)
		}
	}
	return Who{role: Role(x.Role), account: x.Account}, nil
}

// SignOut ends a session.
func (s *Store) SignOut(ctx context.Context, token string) error {
	return s.fault(rows.New(s.db).EndSession(ctx, hashed(token)))
}

// GivePass makes a key, a link, the address of a calendar or an invitation and gives its secret, which is
// told this once. For a bed it opens that bed and its log and nothing else; a key without a bed opens what its
// account may, but neither people nor other keys. The holder's own key, of no account,
// opens all beds.
func (s *Store) GivePass(ctx context.Context, w Who, id string, kind Kind, bedID, account, label string) (text string, err error) {
	if err := check(id); err != nil {
		return "", err
	}
	if err := clean(label, mostName); err != nil {
		return "", err
	}
	if ofBed := kind == Link || kind == Feed; !ofBed && kind != Key && kind != Invite || ofBed && bedID == "" || kind == Invite && (bedID != "" || account == "") {
		return "", finding.Fault{ID: FaultText, Args: finding.Args{"Most": mostName}}
	}
	text, hash := secret()
	err = s.write(ctx, func(tx *writer) error {
		account := cmp.Or(account, w.account)
		if bedID != "" {
			if _, err := bed(ctx, tx.Queries, w, share, bedID); err != nil {
				return err
			}
		}
		if mine := account == w.account && w.pass == "" && w.account != ""; !mine && !w.may(people, "", "") {
			return forbidden(wordPass, id)
		}
		if account != "" {
			if _, err := tx.Account(ctx, account); err != nil {
				return missing(err, wordAccount, account)
			}
		}
		_, err := tx.append(ctx, w, id, passGiven, id, time.Time{}, saidPass{hash, string(kind), bedID, account, label})
		return err
	})
	return text, err
}

// WithdrawPass ends a key or a link: one that one gave, or of a bed that one shares.
func (s *Store) WithdrawPass(ctx context.Context, w Who, id, passID string) error {
	if err := check(id, passID); err != nil {
		return err
	}
	return s.write(ctx, func(tx *writer) error {
		p, err := tx.Pass(ctx, passID)
		if err != nil {
			return missing(err, wordPass, passID)
		}
		if mine := p.Account != "" && p.Account == w.account && w.pass == ""; !mine && !w.may(people, "", "") {
			if p.Bed == "" {
				return finding.Fault{ID: FaultNotFound, Args: finding.Args{"Thing": wordPass, "Name": passID}}
			}
			if _, err := bed(ctx, tx.Queries, w, share, p.Bed); err != nil {
				return err
			}
		}
		_, err = tx.append(ctx, w, id, passWithdrawn, passID, time.Time{}, nil)
		return err
	})
}

// ByPass tells who holds a key or a link. One that is withdrawn is FaultSignIn; one that ended as its bed was removed is FaultRemoved or FaultGone.
func (s *Store) ByPass(ctx context.Context, secret string) (Who, error) {
	p, err := rows.New(s.db).PassByHash(ctx, hashed(secret))
	if errors.Is(err, sql.ErrNoRows) {
		if r, err := rows.New(s.db).RemovedByHash(ctx, hashed(secret)); err == nil {
			return Who{}, told(r)
		}
		return Who{}, finding.Fault{ID: FaultSignIn}
	}
	if err != nil {
		return Who{}, s.fault(err)
	}
	if Kind(p.Kind) == Invite {
		return Who{}, finding.Fault{ID: FaultSignIn}
	}
	if Kind(p.Kind) == Feed {
		return Who{role: reader, pass: p.ID, bed: p.Bed}, nil
	}
	if p.Bed != "" {
		return Who{role: visitor, pass: p.ID, bed: p.Bed}, nil
	}
	if p.Account == "" {
		return Who{role: holder, pass: p.ID}, nil
	}
	return Who{role: Role(p.Role.String), account: p.Account, pass: p.ID}, nil
}

// Passes lists the keys and links of a bed, or without one those that oneself gave.
func (s *Store) Passes(ctx context.Context, w Who, bedID string) (list []Pass, err error) {
	err = s.look(ctx, func(q *rows.Queries) error {
		var found []rows.Pass
		var err error
		if bedID != "" {
			if _, err := bed(ctx, q, w, share, bedID); err != nil {
				return err
			}
			found, err = q.PassesOfBed(ctx, bedID)
		} else if w.account != "" && w.pass == "" {
			found, err = q.PassesOfAccount(ctx, w.account)
		}
		list = passes(found)
		return err
	})
	return list, err
}

// PassesGiven lists the keys and links that an account gave: those of beds open also after it ended.
func (s *Store) PassesGiven(ctx context.Context, w Who, account string) (list []Pass, err error) {
	err = s.look(ctx, func(q *rows.Queries) error {
		if !w.may(people, "", "") {
			return forbidden(wordAccount, account)
		}
		found, err := q.PassesOfAccount(ctx, account)
		list = passes(found)
		return err
	})
	return list, err
}

func passes(found []rows.Pass) (list []Pass) {
	for _, p := range found {
		got := Pass{p.ID, p.Label, Kind(p.Kind), p.Bed, p.Account, time.UnixMilli(p.Given).UTC(), time.Time{}}
		if p.Withdrawn != 0 {
			got.Withdrawn = time.UnixMilli(p.Withdrawn).UTC()
		}
		list = append(list, got)
	}
	return list
}
