package programme_test

import (
	"slices"
	"strings"
	"testing"

	"raftwright/programme"
)

// A wave of which more came back than were sent is told, and has no share of those whom it was sent to: a response of 230 percent was printed as if it were one.
func TestMoreCameBackThanWereSent(t *testing.T) {
	files := year(t)
	files["waves.csv"] = strings.Replace(files["waves.csv"], ",84,3", ",20,3", 1)
	got := report(t, read(t, files), "BOARD", "2027-08-31")
	if ids := seen(got, "more_back"); !slices.Equal(ids, []string{"A6"}) {
		t.Error(ids)
	}
	for _, f := range got.Figures {
		if f.Kind == programme.Share && strings.HasPrefix(f.Name(), "wave A6") && f.Why == "" && (f.Number > 1 || strings.Contains(f.Of, "silent")) {
			t.Error(f.Name(), f.Text)
		}
	}
	if f, _ := got.Find("wave A6: response_rate", programme.All); f.Why != "programme.why.more_back" {
		t.Error("the response is", f.Text, f.Why)
	}
	plain := report(t, read(t, year(t)), "BOARD", "2027-08-31")
	if f, _ := plain.Find("wave A6: response_rate", programme.All); f.Why != "" || len(seen(plain, "more_back")) > 0 {
		t.Error("a wave of which fewer came back is told")
	}
}
