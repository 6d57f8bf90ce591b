package programme

import "testing"

// What must vanish is found as somebody else writes it, in a text that was read and may go: without accents or with others, in capitals, a number with other signs; not inside another word.
func TestWhatMustVanishIsFoundAsOthersWriteIt(t *testing.T) {
	for _, c := range []struct {
		must, note string
		found      bool
	}{
		{"Núñez", "Senora Nunez asked.", true},
		{"Nunez", "La señora Núñez preguntó.", true},
		{"NÚÑEZ", "nun\u0303ez called", true}, // the sign of its own
		{"Nguyễn", "NGUYEN, of the school", true},
		{"Peña", "la penalización", false},
		{"Ana", "she ate a banana", false},
		{"512-555-0142", "call +1 (512) 555.0142", true},
		{"512-555-0142", "call 512 555 0143", false},
		{"14 Calle Peña", "vive en 14, calle pena", true},
		{"ana.nunez@correo.example", "Ana.Núñez@Correo.example", true},
	} {
		r := Records{Counties: []County{{ID: "A", Name: "A"}}, Inquiries: []Inquiry{{ID: "N", Date: on("2028-05-01"), County: "A", Education: true, Status: "closed", Note: c.note}},
			Cleared: []Cleared{{Text: c.note, By: "S", On: on("2028-05-02")}}, MustVanish: []MustVanish{{Table: "inquiries", Record: "N", Field: "note", Text: c.must, Kind: "name"}}}
		if _, _, faults := r.Copy(on("2028-06-01")); (len(faults) > 0) != c.found {
			t.Errorf("%q in %q: %v", c.must, c.note, faults)
		}
	}
}
