package yearly

import (
	"encoding/json"
	"testing"

	"raftwright/programme"
)

// The log of a copy as JSON gives where, the kind, the one reason and how often.
func TestLogAsJSON(t *testing.T) {
	day, _ := programme.ParseDay("2027-08-31")
	got, err := json.Marshal(Log([]programme.Withheld{{Table: "events", Column: "site", Kind: programme.KindColumn, Reason: programme.ForAddress, Count: 3}}, day))
	const want = `{"day":"2027-08-31","request":"","rule":"","looked":"","withheld":[{"table":"events","column":"site","kind":"column","reason_number":4,"reason":"address","count":3}]}`
	if err != nil || string(got) != want {
		t.Errorf("%s %v", got, err)
	}
}
