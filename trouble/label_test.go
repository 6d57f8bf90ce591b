package trouble

import "testing"

// What a remedy kills with is used by its label alone: of wrigglers, whose remedy names a larvicide, the label is asked for as of aphids and chewers.
func TestALarvicideIsReferredToItsLabel(t *testing.T) {
	met := 0
	for _, c := range book.troubles {
		if c.key == "mosquito" || c.key == "chewers" {
			if met++; c.refer != BeforeUse {
				t.Errorf("%s: %v", c.key, c.refer)
			}
		}
	}
	if met != 2 {
		t.Errorf("%d of them", met)
	}
}
