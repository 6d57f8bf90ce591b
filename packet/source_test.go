package packet_test

import (
	"strings"
	"testing"

	"raftwright/lang"
	"raftwright/source"
)

// What has no author but the trade, memory or this project has a title in the reader's language, in English that of the
// bibliography; what an author titled has none of ours.
func TestOurSourcesAreInTheReadersLanguage(t *testing.T) {
	en := words(t, lang.US)
	es, err := lang.For("es", lang.US)
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range source.All() {
		id := "source.title." + strings.NewReplacer(".", "_", "-", "_").Replace(string(e.ID))
		if ours := e.Author == ""; ours != en.Can(id) || ours != es.Can(id) {
			t.Errorf("%s: an author %v, a title of ours in English %v, in Spanish %v", e.ID, !ours, en.Can(id), es.Can(id))
		} else if ours && (en.Say(id, nil) != e.Title || es.Say(id, nil) == e.Title) {
			t.Errorf("%s: %q, in English %q, in Spanish %q", e.ID, e.Title, en.Say(id, nil), es.Say(id, nil))
		}
	}
}
