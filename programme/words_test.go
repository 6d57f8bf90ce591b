package programme

import (
	"slices"
	"testing"
)

// What a copy withholds as unread is what is listed to be read; once all of it was read, nothing is withheld for that.
func TestUnreadWords(t *testing.T) {
	r := invented(t)
	day, _ := ParseDay("2027-07-05")
	list := r.UnreadWords(day)
	if len(list) < 3 {
		t.Fatal(list)
	}
	count := func(r Records) (n int) {
		r.MustVanish = nil // what must vanish stands in some of them: that is another test
		_, log, faults := r.Copy(day)
		if len(faults) > 0 {
			t.Fatal(faults)
		}
		for _, w := range log {
			if w.Kind == KindUnread {
				n += w.Count
			}
		}
		return n
	}
	want := 0
	for _, w := range list {
		want += w.Count
	}
	if got := count(r); got != want {
		t.Errorf("%d texts are withheld, %d are listed", got, want)
	}
	read := r
	read.Cleared = slices.Clone(r.Cleared)
	for _, w := range list {
		read.Cleared = append(read.Cleared, Cleared{Text: w.Text, By: "S1", On: day})
	}
	if n, left := count(read), read.UnreadWords(day); n > 0 || len(left) > 0 {
		t.Errorf("all were read, and %d are withheld, %v listed", n, left)
	}
}
