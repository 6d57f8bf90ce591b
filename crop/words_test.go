package crop_test

import (
	"testing"

	"raftwright/crop"
	"raftwright/lang"
)

// Every crop of the catalogue has its name, its remark and its way of harvest.
func TestEveryCropHasWords(t *testing.T) {
	p, err := lang.For("en", lang.US)
	if err != nil {
		t.Fatal(err)
	}
	for _, k := range crop.Default().Crops() {
		for _, id := range []string{string(k.Word()), string(k.Remark()), string(k.HarvestWay())} {
			if !p.Can(id) {
				t.Errorf("%s has no words", id)
			}
		}
	}
}
