package store

import (
	"bytes"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// What was forgotten, emptied or taken away stands in no page of the file and in no part of its log of changes: whoever gets the disk
// finds neither name nor contact, nor what was said.
func TestWhatIsForgottenStandsInNoFile(t *testing.T) {
	where := filepath.Join(t.TempDir(), "kept.db")
	o, ctx := staffed(t, open(t, where)), t.Context()
	const name, contact, said = "Zyxwvut Forgotten", "zyxwvut@example.invalid", "qponmlk was ill"
	stands := func() (out []string) {
		for _, end := range []string{"", "-wal"} {
			all, err := os.ReadFile(where + end)
			if err != nil && !errors.Is(err, fs.ErrNotExist) {
				t.Fatal(err)
			}
			for _, text := range []string{name, contact, "qponmlk"} {
				if bytes.Contains(all, []byte(text)) {
					out = append(out, text+" in the file"+end)
				}
			}
		}
		return out
	}
	must(t, o.SetContact(ctx, o.educator, o.grower.account, contact))
	must(t, o.PutContact(ctx, o.educator, Contact{Code: "P1", Name: name, Contact: contact}))
	row := []Pair{{Path: "inquiry", Text: "N1"}}
	for _, column := range []string{"note", "referred", "topic"} { // longer than a page of the file
		row = append(row, Pair{Path: "note", Text: column + strings.Repeat(" "+said, 200)})
	}
	r := Record{ID: NewID(), Ledger: "inquiries", Name: "N1", Row: row}
	_, err := o.PutRecord(ctx, o.educator, r.ID, 0, r)
	must(t, err)
	draft := Record{ID: NewID(), Ledger: Drafts + "pile:1", Row: []Pair{{Path: "own", Text: said}}}
	_, err = o.PutRecord(ctx, o.educator, draft.ID, 0, draft)
	must(t, err)
	if all := stands(); len(slices.Compact(all)) < 3 {
		t.Fatalf("looked for in the wrong place: %q", all)
	}
	must(t, o.Forget(ctx, o.educator, NewID(), o.grower.account))
	must(t, o.ForgetContact(ctx, o.educator, "P1"))
	settled := Record{ID: NewIDIn("answers"), Ledger: "answers", Row: []Pair{{Path: "item", Text: "ph"}}}
	must(t, o.Settle(ctx, o.educator, []Record{settled}, []string{draft.ID}))
	noted := Record{ID: NewID(), Ledger: "destroyed", Row: []Pair{{Path: "table", Text: "inquiries"}}}
	must(t, o.EmptyRecords(ctx, o.educator, []Emptied{{ID: r.ID, Row: []Pair{{Path: "inquiry", Text: "N1"}}}}, []string{"P1"}, []Record{noted}))
	if all := stands(); len(all) > 0 {
		t.Errorf("still there: %q", all)
	}
}
