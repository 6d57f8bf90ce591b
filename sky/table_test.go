package sky

import (
	"testing"
)

// The name of a station is a stranger's text: it steers no terminal.
func TestAStationsNameIsText(t *testing.T) {
	tab, err := openSheet(File{"s.csv", []byte("name\n\"A\x1b[2J\u202eB\"\n")})
	if err != nil || !tab.next() {
		t.Fatal(err)
	}
	if got := tab.text("name"); got != "A\ufffd[2J\ufffdB" {
		t.Errorf("the name is %q", got)
	}
}
