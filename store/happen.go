package store

import (
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/google/uuid"

	"raftwright/finding"
	"raftwright/internal/gate"
	"raftwright/store/rows"
)

// What can happen. The payload of each is the struct beside it.
const (
	accountOpened = "account.opened" // saidRole
	accountRole   = "account.role"   // saidRole
	accountClosed = "account.closed" // nothing
	passGiven     = "pass.given"     // saidPass
	passWithdrawn = "pass.withdrawn" // nothing
	bedMade       = "bed.made"       // saidBrief
	briefWritten  = "brief.written"  // saidBrief
	bedGiven      = "bed.given"      // saidOwner
	bedRemoved    = "bed.removed"    // nothing
	bedReturned   = "bed.returned"   // nothing
	bedGone       = "bed.gone"       // nothing: it can be brought back no more
	entryKept     = "entry.kept"     // saidEntry
	entryMended   = "entry.corrected"
	sheetWritten  = "sheet.written" // saidSheet
	photoAdded    = "photo.added"   // saidPhoto
	photoRemoved  = "photo.removed"
	recordWritten = "record.written" // saidRecord
)

type (
	saidRole struct {
		Role Role `json:"role"`
	}
	saidOwner struct {
		Owner string `json:"owner"`
	}
	saidPass struct {
		Hash    string `json:"hash"`
		Kind    string `json:"kind"`
		Bed     string `json:"bed,omitempty"`
		Account string `json:"account,omitempty"`
		Label   string `json:"label"`
	}
	saidBrief struct {
		Owner   string `json:"owner,omitempty"` // of a bed that is made
		Version int64  `json:"version"`
		Edition string `json:"edition"`
		Text    string `json:"text,omitempty"`
	}
	saidEntry struct {
		Bed     string `json:"bed"`
		Version int64  `json:"version"`
		Pairs   []Pair `json:"pairs,omitempty"`
	}
	saidPhoto struct {
		Bed   string `json:"bed"`
		Entry string `json:"entry,omitempty"`
		Kind  string `json:"kind"`
		Hash  string `json:"hash"` // SHA-256
	}
	saidRecord struct {
		Ledger  string `json:"ledger"`
		Name    string `json:"name,omitempty"`
		Version int64  `json:"version"`
		Row     []Pair `json:"row"`
	}
	saidSheet struct {
		Kind    string `json:"kind"`
		Name    string `json:"name"`
		Version int64  `json:"version"`
		Text    string `json:"text,omitempty"`
	}
)

// Happening is something that was kept, for a history.
type Happening struct {
	ID                 string
	Who                string    // an account, or the key or link by which it came
	Recorded, Happened time.Time // by the store's clock; by whoever says so
	What               string
}

// NewID makes an id for something new: a UUID whose order is that of time.
func NewID() string {
	id, err := uuid.NewV7()
	if err != nil {
		panic(err) // the system gives no chance
	}
	return id.String()
}

// NewIDIn makes an id for a record of a table: one by chance alone where the hour of a row is not kept.
func NewIDIn(ledger string) string {
	if OfTheDay(ledger) {
		return uuid.NewString()
	}
	return NewID()
}

// unsigned are the tables with rows of people who gave no name, and those that such rows are keyed in by and corrected by: slips, answers, forms
// that came back, piles, corrections (of whatever, since one can be of another). When one was keyed or corrected, to the minute, could tell
// whose it is beside a list of who came when.
var unsigned = []string{"slips", "answers", "replies", "piles", "corrections"}

// OfTheDay tells whether of a record of a table the day is kept on which it was written, and no hour.
func OfTheDay(ledger string) bool {
	return strings.HasPrefix(ledger, Drafts) || slices.Contains(unsigned, ledger)
}

// noon gives the moment that stands for a day: 12:00 UTC of the day by the clock of the office, which is the same day from UTC-12 to UTC+11.
func noon(at int64) int64 {
	y, m, d := time.UnixMilli(at).Date()
	return time.Date(y, m, d, 12, 0, 0, 0, time.UTC).UnixMilli()
}

// check refuses what is no UUID. One way to write it, or one thing had two ids.
func check(ids ...string) error {
	for _, id := range ids {
		if u, err := uuid.Parse(id); err != nil || u.String() != id {
			return finding.Fault{ID: FaultID, Args: finding.Args{"Name": gate.Clean(id[:min(len(id), 60)])}}
		}
	}
	return nil
}

// checkTime refuses a time that no calendar of ours prints.
func checkTime(at time.Time) error {
	if y := at.UTC().Year(); y < 1970 || y > 2200 {
		return finding.Fault{ID: FaultTime}
	}
	return nil
}

// Bounds of a text, in bytes.
const (
	mostText = 1 << 20 // as of a brief
	mostName = 200
)

// clean refuses a text that is too long, is no UTF-8, or holds what steers a terminal.
func clean(text string, most int) error {
	if len(text) > most {
		return finding.Fault{ID: FaultText, Args: finding.Args{"Most": most}}
	}
	if _, at := gate.First(text, true); at >= 0 {
		return finding.Fault{ID: FaultText, Args: finding.Args{"Most": most}}
	}
	return nil
}

// append keeps a happening and makes the current tables follow; a zero time is that of
// the recording. Where the same id was kept
// before with the same content it does nothing and says so; with another content it is a
// conflict. The id must be checked before.
func (w *writer) append(ctx context.Context, who Who, id, what, thing string, happened time.Time, said any) (made bool, err error) {
	payload, err := json.Marshal(said)
	if err != nil {
		return false, err
	}
	h := rows.AddHappeningParams{Seq: w.seq, ID: id, Who: who.signs(), Recorded: w.now, Happened: happened.UnixMilli(), What: what, Thing: thing, Payload: string(payload)}
	if r, is := said.(saidRecord); is && OfTheDay(r.Ledger) {
		h.Recorded = noon(w.now)
	}
	if happened.IsZero() {
		h.Happened = h.Recorded
	}
	old, err := w.HappeningByID(ctx, id)
	if err == nil {
		if old.What == h.What && old.Thing == h.Thing && old.Payload == h.Payload && (happened.IsZero() || old.Happened == h.Happened) { // by whomever: a phone that signed in meanwhile sends it again
			return false, nil
		}
		return false, finding.Fault{ID: FaultConflict, Args: finding.Args{"Name": id}}
	}
	if !errors.Is(err, sql.ErrNoRows) {
		return false, err
	}
	if err := w.AddHappening(ctx, h); err != nil {
		return false, err
	}
	w.kept = true
	return true, apply(ctx, w.Queries, rows.Happening(h))
}

// apply makes the current tables follow one happening. It is the only code that writes
// them, and looks at nothing but the happening and them.
func apply(ctx context.Context, q *rows.Queries, h rows.Happening) error {
	switch h.What {
	case accountOpened, accountRole, accountClosed, passGiven, passWithdrawn:
		return applyPeople(ctx, q, h)
	case bedMade, briefWritten:
		var p saidBrief
		if err := json.Unmarshal([]byte(h.Payload), &p); err != nil {
			return err
		}
		title, place := heading(p.Text)
		if h.What == bedMade {
			return q.AddBed(ctx, rows.AddBedParams{ID: h.Thing, Owner: p.Owner, Title: title, Place: place, Brief: p.Text, Edition: p.Edition, Version: p.Version, Changed: h.Seq})
		}
		return q.SetBrief(ctx, rows.SetBriefParams{Title: title, Place: place, Brief: p.Text, Edition: p.Edition, Version: p.Version, Changed: h.Seq, ID: h.Thing})
	case bedGiven:
		var p saidOwner
		if err := json.Unmarshal([]byte(h.Payload), &p); err != nil {
			return err
		}
		return q.GiveBed(ctx, p.Owner, h.Seq, h.Thing)
	case bedRemoved, bedReturned, bedGone:
		return applyRemoved(ctx, q, h)
	case entryKept, entryMended:
		var p saidEntry
		if err := json.Unmarshal([]byte(h.Payload), &p); err != nil {
			return err
		}
		pairs, err := json.Marshal(p.Pairs)
		if err != nil {
			return err
		}
		if h.What == entryKept {
			err = q.AddEntry(ctx, rows.AddEntryParams{ID: h.Thing, Bed: p.Bed, Seq: h.Seq, Happened: h.Happened, Recorded: h.Recorded, Who: h.Who, Version: p.Version, Pairs: string(pairs)})
		} else {
			err = q.CorrectEntry(ctx, rows.CorrectEntryParams{Happened: h.Happened, Version: p.Version, Pairs: string(pairs), ID: h.Thing})
		}
		if err != nil {
			return err
		}
		return q.TouchBed(ctx, h.Seq, p.Bed)
	case photoAdded, photoRemoved:
		return applyPhoto(ctx, q, h)
	case recordWritten:
		return applyRecord(ctx, q, h)
	case sheetWritten:
		var p saidSheet
		if err := json.Unmarshal([]byte(h.Payload), &p); err != nil {
			return err
		}
		if p.Version == 1 {
			return q.AddSheet(ctx, rows.AddSheetParams{ID: h.Thing, Kind: p.Kind, Name: p.Name, Text: p.Text, Version: 1, Who: h.Who, Recorded: h.Recorded})
		}
		return q.SetSheet(ctx, rows.SetSheetParams{Name: p.Name, Text: p.Text, Version: p.Version, Who: h.Who, Recorded: h.Recorded, ID: h.Thing})
	}
	return fmt.Errorf("happening %s: %q", h.ID, h.What)
}

func applyPeople(ctx context.Context, q *rows.Queries, h rows.Happening) error {
	var role saidRole
	var pass saidPass
	var err error
	switch h.What {
	case accountOpened, accountRole:
		err = json.Unmarshal([]byte(h.Payload), &role)
	case passGiven:
		err = json.Unmarshal([]byte(h.Payload), &pass)
	}
	if err != nil {
		return err
	}
	switch h.What {
	case accountOpened:
		return q.AddAccount(ctx, h.Thing, string(role.Role))
	case accountRole:
		return q.SetRole(ctx, string(role.Role), h.Thing)
	case accountClosed:
		return q.CloseAccount(ctx, h.Recorded, h.Thing)
	case passGiven:
		return q.AddPass(ctx, rows.AddPassParams{ID: h.Thing, Hash: pass.Hash, Kind: pass.Kind, Bed: pass.Bed, Account: pass.Account, Label: pass.Label, Given: h.Recorded})
	}
	return q.WithdrawPass(ctx, h.Recorded, h.Thing)
}

// Rebuild makes the current tables anew from the happenings. They are the same afterwards;
// where they are not, the store was changed by something else than this program.
func (s *Store) Rebuild(ctx context.Context) error {
	return s.beside(ctx, func(q *rows.Queries) error {
		n, err := q.NextSeq(ctx) // holds off every writer
		if err == nil {
			err = q.SetSeq(ctx, n-1)
		}
		if err != nil {
			return err
		}
		for _, empty := range []func(context.Context) error{q.EmptyAccounts, q.EmptyPasses, q.EmptyBeds, q.EmptyRemovedBeds, q.EmptyEntries, q.EmptySheets, q.EmptyPhotos, q.EmptyRecords} {
			if err := empty(ctx); err != nil {
				return err
			}
		}
		return each(ctx, q, func(h rows.Happening) error { return apply(ctx, q, h) })
	})
}

// each gives every happening, the oldest first.
func each(ctx context.Context, q *rows.Queries, do func(rows.Happening) error) error {
	for after := int64(0); ; {
		some, err := q.HappeningsAfter(ctx, after, 1000)
		if err != nil || len(some) == 0 {
			return err
		}
		for _, h := range some {
			if err := do(h); err != nil {
				return err
			}
			after = h.Seq
		}
	}
}
