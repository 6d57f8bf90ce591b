package packet_test

import (
	"fmt"
	"strings"
	"testing"

	"raftwright/finding"
	"raftwright/lang"
	"raftwright/packet"
	"raftwright/page"
	"raftwright/plan"
)

// faceText gives the words of one face.
func faceText(t *testing.T, brief, language, id string) string {
	t.Helper()
	p, w := facesOf(t, brief, language, lang.US)
	return flat(told(t, packet.Faces(p, w, packet.Options{}, id)))
}

// A roof is stopped, whoever would allow it: below the stop nobody is sent to ask for leave.
func TestNobodyAsksLeaveForARoof(t *testing.T) {
	const bed = "bed: {vessel: tub, length: 50 cm, width: 35 cm, depth: 15 cm, wall height: 22 cm, support: %s}\nsite: {kind: home}\ncrop: {name: basil}\n"
	for language, words := range map[string][2]string{"en": {"before you fill it", "put it on the ground"}, "es": {"Antes de llenarla", "póngala en el suelo"}} {
		if text := faceText(t, fmt.Sprintf(bed, "roof"), language, "make"); strings.Contains(text, words[0]) || !strings.Contains(text, words[1]) {
			t.Errorf("%s, a roof: %s", language, text)
		}
	}
	const heavy = "bed: {length: 97 in, width: 49 in, depth: 8 in, support: deck}\n"
	if text := faceText(t, heavy, "en", "make"); !strings.Contains(text, "before you fill it") {
		t.Errorf("a deck may be asked for: %s", text)
	}
}

// Room is left for uprights where a frame has some, and they are not spoken of where it has none.
func TestUprightsAreToldWhereThereAreSome(t *testing.T) {
	for bed, want := range map[string]bool{"{length: 4 ft, width: 2 ft, depth: 5 in}": false, "{length: 97 in, width: 49 in, depth: 8 in}": true} {
		for language, word := range map[string]string{"en": "upright", "es": "postes"} {
			if text := faceText(t, "bed: "+bed+"\n", language, "liner"); strings.Contains(text, word) != want {
				t.Errorf("%s, %s: %q is %v", language, bed, word, !want)
			}
		}
	}
}

// What the steps take in hand can be fetched before: boards and foam are clamped, paint and preservative are brushed on.
func TestToolsOfTheStepsAreListed(t *testing.T) {
	const brief = "bed: {length: 97 in, width: 49 in}\ncrop: {name: lettuce}\n"
	for language, pairs := range map[string][][2]string{"en": {{"Clamp", "clamps"}, {"Brush preservative", "paintbrush"}}, "es": {{"prensa", "prensas"}, {"conservante", "brocha"}}} {
		for _, pair := range pairs {
			if !strings.Contains(faceText(t, brief, language, "cut"), pair[0]) {
				t.Errorf("%s: %q is no longer said: this test tests nothing", language, pair[0])
			}
			if !strings.Contains(faceText(t, brief, language, "buy"), pair[1]) {
				t.Errorf("%s: %s is not listed", language, pair[1])
			}
		}
	}
}

// A stop takes the room of the first page; what endangers people is told on the pages that are carried all the same.
func TestAStopHidesNoDangerToPeople(t *testing.T) {
	checked := 0
	for _, brief := range []string{
		"bed: {length: 97 in, width: 49 in, depth: 8 in, support: deck}\nacid: {product: phosphoric 75 %}\nwater: {ph: 8, alkalinity: 200 mg/L CaCO3, calcium: 60 mg/L}\ncrop: {name: lettuce}\n",
		"bed: {vessel: round, diameter: 5 ft, support: roof}\nacid: {product: phosphoric 75 %}\nwater: {ph: 8, alkalinity: 200 mg/L CaCO3, calcium: 60 mg/L}\ncrop: {name: lettuce}\n",
	} {
		p, w := facesOf(t, brief, "en", lang.US)
		text, stops := "", 0
		walk(packet.Faces(p, w, packet.Options{}), func(_ page.Section, b page.Block) { text += flat(fmt.Sprint(b)) })
		for _, f := range p.Findings {
			if f.Severity == finding.Stop {
				stops++
			}
		}
		for _, f := range p.Findings {
			if f.Severity != finding.Caution || f.Hurts != finding.Person || f.Usual || stops == 0 || f.ID == plan.FindStrongAcid { // of a strong acid the pages hold nothing: they tell of another
				continue
			}
			checked++
			if first, _, _ := strings.Cut(w.Finding(f), ". "); !strings.Contains(text, strings.TrimSuffix(first, ".")) {
				t.Errorf("%s: %s is on no page: %s", brief, f.ID, first)
			}
		}
	}
	if checked == 0 {
		t.Error("no danger beside a stop: this test tests nothing")
	}
}
