package packet_test

import (
	"strings"
	"testing"
)

// Who measures with spoons is told the base in spoons: a level teaspoon of potassium bicarbonate weighs 5 g (from memory).
func TestBaseIsToldInSpoons(t *testing.T) {
	const sour = "bed: {length: 97 in, width: 49 in}\nwater: {ph: 5.2, alkalinity: 2 mg/L CaCO3, calcium: 2 mg/L}\n" +
		"shelf: [{name: base powder, label: 5-12-26, nitrate-n: 5 %, magnesium: 6 %, level teaspoon: 4.8 g}, {name: calcium nitrate, label: 15.5-0-0, nitrate-n: 14.4 %, ammonium-n: 1.1 %, calcium: 19 %, level teaspoon: 5.2 g}]\n"
	for measure, spoons := range map[string]bool{"spoons": true, "scale 1 g": false} {
		_, terminal, _ := printed(t, sour+"mix: {measure: "+measure+"}\n")
		text := flat(terminal)
		i := strings.Index(text, "of potassium bicarbonate, sold for wine making")
		if i < 0 {
			t.Fatalf("%s: no base is told", measure)
		}
		if told := strings.Contains(text[max(0, i-30):i], " tsp ("); told != spoons {
			t.Errorf("%s: %q", measure, text[max(0, i-30):i])
		}
	}
}
