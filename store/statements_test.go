package store

import (
	"path/filepath"
	"testing"
)

// A connection to a file reads the text of a statement once. One that is asked again while its rows are open is read beside it, one
// that failed is as new, and no connection closes over one.
func TestStatementsAreReadOnce(t *testing.T) {
	ctx := t.Context()
	s := open(t, InFolder(filepath.Join(t.TempDir(), "kept")))
	conn, err := s.db.Conn(ctx)
	must(t, err)
	idle := func() (n int) {
		must(t, conn.Raw(func(c any) error { n = len(c.(*connection).idle); return nil }))
		return n
	}
	ask := func(text string, arg any) (got string, err error) {
		return got, conn.QueryRowContext(ctx, text, arg).Scan(&got)
	}
	before := idle()
	const ours, other = "-- name: Told :one\nSELECT 'told ' || json_extract(?, '$')", "SELECT 'told ' || ?"
	for i := range 3 {
		if got, err := ask(ours, `"a"`); got != "told a" || err != nil {
			t.Fatal(got, err)
		}
		if got, err := ask(other, "b"); got != "told b" || err != nil {
			t.Fatal(got, err)
		}
		if _, err := ask(ours, `"not closed`); err == nil {
			t.Fatal("no JSON, and no fault")
		}
		if n := idle() - before; n != 1 {
			t.Fatalf("after %d rounds %d statements are kept", i+1, n)
		}
	}
	open, err := conn.QueryContext(ctx, ours, `"c"`)
	must(t, err)
	if n := idle() - before; n != 0 {
		t.Error("a statement that is in use lies by")
	}
	if got, err := ask(ours, `"d"`); got != "told d" || err != nil {
		t.Error(got, err)
	}
	var got string
	if !open.Next() || open.Scan(&got) != nil || got != "told c" {
		t.Error(got)
	}
	must(t, open.Close())
	if n := idle() - before; n != 1 {
		t.Errorf("%d statements of one text are kept", n)
	}
	must(t, conn.Close())
	must(t, s.Close()) // every connection, with what it keeps
}
