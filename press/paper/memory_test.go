package paper

import (
	"bytes"
	"sync"
	"testing"

	"raftwright/page"
	"raftwright/press/testdata/gallery"
)

// Documents that differ in their titles alone, or in all that they show, are the same bytes with a memory that others fill and read beside
// them as without one; and a title tells two files apart.
func TestAMemoryChangesNothing(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	var docs []page.Document
	for _, title := range []string{"Bed · 01", "Bed · 02", "Bed · 01"} {
		for _, large := range []bool{false, true} {
			d := gallery.Document()
			d.Title, d.Large = title, large
			docs = append(docs, d)
		}
	}
	var m Memory
	got := make([]bytes.Buffer, len(docs))
	var all sync.WaitGroup
	for i, d := range docs {
		all.Go(func() {
			if err := m.PDF(d, &got[i]); err != nil {
				t.Error(err)
			}
		})
	}
	all.Wait()
	for i, d := range docs {
		if !bytes.Equal(got[i].Bytes(), made(t, d)) {
			t.Errorf("%d: %s large %v: not the bytes of one alone", i, d.Title, d.Large)
		}
	}
	if bytes.Equal(got[0].Bytes(), got[2].Bytes()) || !bytes.Equal(got[0].Bytes(), got[4].Bytes()) {
		t.Error("titles do not tell files apart")
	}
	if len(m.laid) == 0 || m.bytes > mostLaid {
		t.Error(len(m.laid), "drawings,", m.bytes, "bytes are remembered")
	}
}
