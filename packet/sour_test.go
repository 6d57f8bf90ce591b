package packet_test

import (
	"strings"
	"testing"

	"raftwright/lang"
	"raftwright/mix"
	"raftwright/packet"
	"raftwright/plan"
)

// Where the feed alone brings the pH down, no face and no section tells an amount of acid.
func TestASourFeedIsPrintedWithoutAcid(t *testing.T) {
	p, w := facesOf(t, "bed: {length: 8 ft, width: 4 ft, depth: 6 in}\ntarget: {recipe: lettuce}\nshelf: [5-12-26, 15.5-0-0, monoammonium phosphate]\n"+
		"acid: {product: citric 100 %, target ph: 6.5, air: open}\nwater: {ph: 6.6, alkalinity: 4 mg/L CaCO3, calcium: 15 mg/L, magnesium: 3 mg/L, sodium: 5 mg/L, chloride: 38 mg/L, sulfate: 5 mg/L}\n", "en", lang.US)
	for of, text := range map[string]string{"faces": told(t, packet.Faces(p, w, packet.Options{})), "packet": told(t, packet.Answer(p, plan.Everything, w, false))} {
		text = flat(text)
		if strings.Contains(text, "citric acid") || strings.Contains(text, "goggles") {
			i := max(strings.Index(text, "citric acid"), strings.Index(text, "goggles"))
			t.Errorf("%s: %s", of, text[max(0, i-200):min(len(text), i+100)])
		}
		if of == "packet" && !strings.Contains(text, "No acid goes in.") {
			t.Errorf("%s: not said that no acid goes in", of)
		}
	}
}

// A mix that lacks something reads less than its crop likes: nobody is told to act below a
// reading that this mix never has.
func TestNoActBelowWhatTheMixReads(t *testing.T) {
	p, w := facesOf(t, "bed: {length: 8 ft, width: 4 ft, depth: 6 in}\ntarget: {recipe: lettuce}\nshelf: [{name: powder, label: 20-20-20, limit: 0.4 g/L}]\n"+
		"water: {ph: 7.6, alkalinity: 180 mg/L CaCO3, calcium: 62 mg/L, magnesium: 11 mg/L}\n", "en", lang.US)
	d, _ := packet.Section(p, w, packet.Options{}, "card")
	if text := flat(told(t, d)); p.Mix.Works() || p.Mix.Meters.Well.Low < 1 || strings.Contains(text, "falls below") || !strings.Contains(text, "this mix reads only 0.64 mS/cm") {
		t.Errorf("the mix reads %v, well from %v: %s", p.Mix.EC, p.Mix.Meters.Well.Low, text)
	}
}

// A bare label whose figures leave the phosphate as acid tells no pH: none is printed, and it
// is said to read it. The powder is taken as one of ammonium phosphates, which is near what
// such powders are.
func TestNoPHOfALabelThatDoesNotBalance(t *testing.T) {
	p, w := facesOf(t, "bed: {length: 8 ft, width: 4 ft, depth: 6 in}\ntarget: {recipe: lettuce}\nshelf: [{name: bloom powder, label: 10-52-10}, 15.5-0-0, {name: potash, formula: K2SO4}, Epsom salt]\n"+
		"water: {kind: rain}\nfound: {per: 1 gal, amounts: {bloom powder: 1 tsp}}\n", "en", lang.US)
	if m := p.Mix; !m.PHOpen || m.PH < 4 || m.Achieved[mix.AmmoniumN] <= 0 {
		t.Errorf("pH %.2f, open %v", m.PH, m.PHOpen)
	}
	whole := flat(told(t, packet.Answer(p, plan.Everything, w, false))) + flat(told(t, packet.Faces(p, w, packet.Options{})))
	for _, no := range []string{"pH about", "The mix has pH", "and pH " + w.Fixed(p.Mix.PH, 1), "After a day the pH is near"} {
		if strings.Contains(whole, no) {
			t.Errorf("it prints %q", no)
		}
	}
	if !strings.Contains(whole, "No pH can be told from the label of bloom powder") {
		t.Error("it does not say why")
	}
}

// The caution of calcium names the product that brings it here; spoons are those of a
// kitchen; a deep tank has no line for each centimetre; and a jug is one clear phrase.
func TestWordsOfTheKitchen(t *testing.T) {
	p, w := facesOf(t, "bed: {vessel: tub, length: 48 in, width: 24 in, depth: 22 in}\ntarget: {recipe: lettuce}\nshelf: [5-12-26, {name: lime salt, formula: Ca(NO3)2.4H2O}]\n"+
		"water: {name: town, ph: 7.2, alkalinity: 40 mg/L CaCO3, calcium: 15 mg/L, free chlorine: 0.4 mg/L}\nfound: {per: 1 gal, amounts: {5-12-26: 0.6 tsp, lime salt: 1.4 tsp}}\n", "en", lang.US)
	whole := flat(told(t, packet.Answer(p, plan.Everything, w, false))) + flat(told(t, packet.Faces(p, w, packet.Options{})))
	if !strings.Contains(whole, "Keep lime salt out of strong buckets") || strings.Contains(whole, "Keep calcium nitrate") {
		t.Error("the caution names another product")
	}
	if found := flat(told(t, packet.Answer(p, plan.Found, w, false))); strings.Contains(found, "1.4 tsp") || !strings.Contains(found, "1-1/2 tsp (") {
		t.Errorf("1.4 spoons: %s", found)
	}
	if strings.Contains(whole, "(out of") {
		t.Error("a jug in brackets behind brackets")
	}
	m := words(t, lang.Metric)
	d, _ := packet.Section(p, m, packet.Options{}, "card")
	if text := told(t, d); strings.Contains(text, " 240 mm  ") || !strings.Contains(text, "200 mm   149 L") {
		t.Errorf("a line for each centimetre: %s", text)
	}
}
