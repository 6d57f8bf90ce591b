package store

import (
	"context"
	"encoding/json"
	"slices"
	"time"

	"raftwright/finding"
	"raftwright/store/rows"
)

// Sheet is what an office keeps once and many briefs use: a water, a shelf, a list of
// prices, a place. Its text is part of a brief.
type Sheet struct {
	ID       string
	Kind     SheetKind
	Name     string
	Text     string
	Version  int // from 1
	Who      string
	Recorded time.Time
}

// SheetKind is what a sheet is about.
type SheetKind string

// Kinds of sheets.
const (
	WaterSheet SheetKind = "water"
	ShelfSheet SheetKind = "shelf"
	PriceSheet SheetKind = "prices"
	PlaceSheet SheetKind = "place"
)

// PutSheet writes a sheet on top of the version that its writer saw, 0 for a new one. The
// id is of this writing. It gives the number of the version.
func (s *Store) PutSheet(ctx context.Context, w Who, id string, saw int, sheet Sheet) (version int, err error) {
	if err := check(id, sheet.ID); err != nil {
		return 0, err
	}
	if err := clean(sheet.Name, mostName); err != nil {
		return 0, err
	}
	if err := clean(sheet.Text, mostText); err != nil {
		return 0, err
	}
	if !slices.Contains([]SheetKind{WaterSheet, ShelfSheet, PriceSheet, PlaceSheet}, sheet.Kind) {
		return 0, finding.Fault{ID: FaultText, Args: finding.Args{"Most": mostName}}
	}
	err = s.write(ctx, func(tx *writer) error {
		if !w.may(supply, "", "") {
			return forbidden(wordSheet, sheet.ID)
		}
		old, err := tx.Sheet(ctx, sheet.ID)
		if err := missing(err, wordSheet, sheet.ID); err != nil && (saw > 0 || !Is(err, FaultNotFound)) {
			return err
		}
		if old.Version > 0 && old.Kind != string(sheet.Kind) {
			return finding.Fault{ID: FaultConflict, Args: finding.Args{"Name": sheet.ID}}
		}
		made, err := tx.append(ctx, w, id, sheetWritten, sheet.ID, time.Time{}, saidSheet{string(sheet.Kind), sheet.Name, int64(saw) + 1, sheet.Text})
		if made && int64(saw) != old.Version {
			return finding.Fault{ID: FaultStale, Args: finding.Args{"Thing": wordSheet, "Name": sheet.ID}}
		}
		return err
	})
	return saw + 1, err
}

// Sheet gives a sheet.
func (s *Store) Sheet(ctx context.Context, w Who, id string) (sheet Sheet, err error) {
	err = s.look(ctx, func(q *rows.Queries) error {
		if !w.may(consult, "", "") {
			return finding.Fault{ID: FaultNotFound, Args: finding.Args{"Thing": wordSheet, "Name": id}}
		}
		found, err := q.Sheet(ctx, id)
		sheet = sheetOf(found)
		return missing(err, wordSheet, id)
	})
	return sheet, err
}

// Sheets lists the sheets of a kind by name.
func (s *Store) Sheets(ctx context.Context, w Who, kind SheetKind) (list []Sheet, err error) {
	err = s.look(ctx, func(q *rows.Queries) error {
		if !w.may(consult, "", "") {
			return forbidden(wordSheet, "")
		}
		found, err := q.Sheets(ctx, string(kind))
		for _, f := range found {
			list = append(list, sheetOf(f))
		}
		return err
	})
	return list, err
}

// SheetHistory lists every version of a sheet, the oldest first.
func (s *Store) SheetHistory(ctx context.Context, w Who, id string) (list []Sheet, err error) {
	err = s.look(ctx, func(q *rows.Queries) error {
		if !w.may(consult, "", "") {
			return finding.Fault{ID: FaultNotFound, Args: finding.Args{"Thing": wordSheet, "Name": id}}
		}
		past, err := q.HappeningsOf(ctx, id)
		for _, h := range past {
			var p saidSheet
			if h.What != sheetWritten {
				continue
			}
			if err := json.Unmarshal([]byte(h.Payload), &p); err != nil {
				return err
			}
			list = append(list, Sheet{id, SheetKind(p.Kind), p.Name, p.Text, int(p.Version), h.Who, time.UnixMilli(h.Recorded).UTC()})
		}
		return err
	})
	return list, err
}

func sheetOf(r rows.Sheet) Sheet {
	return Sheet{r.ID, SheetKind(r.Kind), r.Name, r.Text, int(r.Version), r.Who, time.UnixMilli(r.Recorded).UTC()}
}
