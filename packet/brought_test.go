package packet_test

import (
	"strings"
	"testing"

	"raftwright/lang"
	"raftwright/packet"
	"raftwright/plan"
	"raftwright/unit"
)

// An acid is bought and dosed by its strength: 85 % in place of 30 % is nearly four times the
// dose (1.69 g/mL against 1.18 g/mL, handbook densities). Card, card of the bed and list name it.
func TestAnAcidIsToldWithItsStrength(t *testing.T) {
	_, terminal, p := printed(t, "site: {kind: market, children: none}\nbed: {length: 97 in, width: 49 in, depth: 6 in}\nwater: {ph: 7.4, alkalinity: 123 mg/L CaCO3, calcium: 40 mg/L}\nmix: {measure: scale 1 g}\n")
	w := words(t, lang.US)
	const want = "phosphoric acid of 30 %"
	if d := p.PrintedAcid(); d == nil || d.Want.Product.Strength != 0.3 {
		t.Fatalf("%+v", d)
	}
	for _, face := range []string{"buy", "mix", "card"} {
		if text := flat(told(t, packet.Faces(p, w, packet.Options{}, face))); !strings.Contains(text, want) {
			t.Errorf("%s: %s", face, text)
		}
	}
	if n := strings.Count(flat(terminal), want); n < 3 { // mixing card, top-up, list
		t.Errorf("told %d times", n)
	}
}

// Walls of which nothing published tells the strength have no screws, holds and shares to
// print: none of nought either.
func TestWallsWithoutFiguresHaveNoSteps(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	for _, walls := range []string{"salvage", "plywood", "block", "lumber"} {
		_, _, p := printed(t, "bed: {length: 97 in, width: 49 in, depth: 5 in, walls: "+walls+"}\n")
		w := words(t, lang.US)
		for name, text := range map[string]string{
			"faces": told(t, packet.Faces(p, w, packet.Options{})), "working": told(t, packet.Working(p, w, packet.Options{})), "terminal": told(t, packet.Answer(p, plan.Everything, w, false)),
		} {
			text = flat(text)
			for _, never := range []string{"Drive 0 screws", " 0 screws", "100,000 %", "0 in deep", "0 in long", "Hold each long side"} {
				if strings.Contains(text, never) && (walls != "lumber" || never != "Hold each long side") {
					t.Errorf("%s, %s: %q", walls, name, never)
				}
			}
			if got := strings.Contains(text, flat(w.Say("packet.frame.unreckoned", nil))); got == (walls == "lumber") && name != "working" {
				t.Errorf("%s, %s: without steps %v", walls, name, got)
			}
		}
	}
}

// A vessel that holds more than 51 lb (the load constant of the revised NIOSH lifting
// equation, 1994) is neither dipped out of the bed nor lifted: 5 gal of water weigh 42 lb, 32 gal 267 lb.
func TestNobodyLiftsABarrel(t *testing.T) {
	for bucket, tub := range map[string]bool{"5 gal": false, "32 gal": true} {
		_, _, p := printed(t, "bed: {vessel: round, diameter: 8 ft, depth: 14 in}\nwater: {kind: soft}\nmix: {bucket: "+bucket+"}\nshelf: [{label: 10-8-22}, {name: Epsom salt}]\n")
		w := words(t, lang.US)
		text := flat(told(t, packet.Faces(p, w, packet.Options{}, "mix")))
		if dips, carries := strings.Contains(text, "Dip a "), strings.Contains(text, "of bed water into the tub"); dips == tub || carries != tub {
			t.Errorf("%s: dips %v, carries %v: %s", bucket, dips, carries, text)
		}
	}
	_, _, p := printed(t, "bed: {length: 97 in, width: 49 in, depth: 8 in}\nwater: {kind: soft, free chlorine: 0 mg/L}\nmix: {bucket: 40 gal}\nacid: {product: none}\n")
	text := flat(told(t, packet.Faces(p, words(t, lang.US), packet.Options{}, "mix")))
	if !strings.Contains(text, "nobody lifts it") && !strings.Contains(text, "into the tub") {
		t.Errorf("40 gal are lifted: %s", text)
	}
}

// What falls short of the crop has no reading among the first figures, on no face, and what
// is to be bought before it is mixed is a line to tick under the sum, for all beds.
func TestWhatTheShelfLacksIsALineToTick(t *testing.T) {
	for shelf, short := range map[string]bool{
		"[{label: 15-5-15}, {name: Epsom salt}]":                                true, // some four fifths are missing, yet no stop
		"[{label: 20-20-20}]":                                                   true, // starves
		"[{name: base, label: 5-12-26}, {name: lime nitrate, label: 15.5-0-0}]": false,
	} {
		_, _, p := printed(t, "bed: {length: 70 in, width: 34 in, depth: 7 in, count: 2}\nwater: {kind: hard}\ncrop: {name: kale}\nshelf: "+shelf+"\n")
		w := words(t, lang.US)
		first, list := flat(told(t, packet.Answer(p, plan.Everything, w, false))), flat(told(t, packet.Faces(p, w, packet.Options{}, "buy")))
		if reads := strings.Contains(first, w.Say("packet.glance.ec", nil)); p.Mix.Works() == short || reads == short {
			t.Errorf("%s: works %v, a reading to look for %v", shelf, p.Mix.Works(), reads)
		}
		if (p.Mix.Buy != nil) != short {
			t.Fatalf("%s: %+v", shelf, p.Mix.Buy)
		}
		if !short {
			continue
		}
		for _, g := range p.Mix.Buy.Goods {
			line := w.Say("packet.shop.lacks", map[string]any{"Product": w.Product(g.Product)})
			amount := w.Value(unit.Bought(g.Strength.In(p.Frame.Volume) * 2))
			if !strings.Contains(list, "☐ "+line) || !strings.Contains(first, line+" "+amount) {
				t.Errorf("%s: no line %q of %s", shelf, line, amount)
			}
		}
	}
}
