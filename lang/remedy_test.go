package lang

import (
	"regexp"
	"strings"
	"testing"
)

// What a remedy names carries its caution in the same remedy, in both languages: it is read at the bed and in a letter,
// without the packet at hand.
func TestRemediesCarryTheirCautions(t *testing.T) {
	for _, c := range []struct{ tag, named, caution string }{
		{"en", `(?i)disinfect`, `bleach alone.*rinse.*Bleach and acid together`},
		{"es", `(?i)desinfect`, `solo con blanqueador con cloro.*enjuague.*blanqueador con ácido`},
		{"en", `\bacid\b.*goggles|Bring the pH to`, `goggles and gloves.*read between|in halves, goggles and gloves on, and read between`},
		{"es", `Lleve el pH a`, `(?i)(por mitades.*gafas|gafas.*por mitades).*mida entre`},
		{"en", `Bring the pH up`, `potassium bicarbonate, in halves`},
		{"es", `Suba el pH`, `bicarbonato de potasio, por mitades`},
		{"en", `air stone|\blamp\b|Move air`, `GFCI`},
		{"es", `piedra difusora|lámpara|Mueva el aire`, `GFCI`},
		{"en", `\bice\b`, `closed bottles`},
		{"es", `hielo`, `botellas cerradas`},
		{"en", `[Dd]rain the bed`, `lawn.*wells.*[Nn]ever.*stream or storm drain.*Local rules`},
		{"es", `Vacíe la cama`, `pasto.*pozos.*nunca.*arroyo o desagüe pluvial.*reglas locales`},
		{"en", `acid of the plan`, `Where it has none, take citric acid`},
		{"es", `ácido: el del plan`, `si no tiene, cítrico`},
		{"en", `(Take out|Replace) a `, `(Take out|Replace) a quarter`},
		{"es", `(Saque|Cambie) una `, `una cuarta parte`},
		{"en", `[Ss]tanding`, `carbon filter|chloramine`},
		{"es", `reposo quita|reposo no quita`, `filtro de carbón`},
		{"en", `laboratory|Do not eat`, `county extension office`},
		{"es", `laboratorio|No coma`, `oficina de Extensión del condado`},
	} {
		named, caution, met := regexp.MustCompile(c.named), regexp.MustCompile(c.caution), 0
		for id, said := range fileOf(t, c.tag+"/tend_causes.toml") {
			if !strings.HasPrefix(id, "trouble.do.") || !named.MatchString(said) {
				continue
			}
			if met++; !caution.MatchString(said) {
				t.Errorf("%s, %s: %q lacks %s", c.tag, id, said, c.caution)
			}
		}
		if met == 0 {
			t.Errorf("%s: no remedy names %s", c.tag, c.named)
		}
	}
}

// The vitamin C that is told takes the chlorine out and little more: a molecule of ascorbic acid (176.12 g/mol) for one of chlorine (70.906; both by IUPAC weights).
func TestVitaminCTakesTheChlorineOut(t *testing.T) {
	const told = 0.5 // g, for 190 L at 1 mg/L
	if takes := 190 * 0.001 * 176.12 / 70.906; told < takes || told > 1.2*takes {
		t.Errorf("%.3f g take it out, %.1f are told", takes, told)
	}
	for tag, amount := range map[string]string{"en": "For 50 gallons (190 L) at 1 mg/L take 0.5 g", "es": "0.5 g"} {
		for _, id := range []string{"trouble.do.chlorine", "trouble.do.chloramine_topup"} {
			if said := fileOf(t, tag+"/tend_causes.toml")[id]; !strings.Contains(said, amount) {
				t.Errorf("%s, %s: %q does not tell %s", tag, id, said, amount)
			}
		}
	}
}

// A floating raft falls with the water, so a lower level lifts no pot; and a raft is turned around, not over.
func TestRemediesOfAFloatingRaft(t *testing.T) {
	en, es := fileOf(t, "en/tend_causes.toml"), fileOf(t, "es/tend_causes.toml")
	if !strings.Contains(en["trouble.do.drowned_collar"], "Raise the pot") || !strings.Contains(es["trouble.do.drowned_collar"], "Suba la maceta") {
		t.Error("a pot that hangs too deep is not raised")
	}
	if strings.Contains(es["trouble.do.edge_effect"], "Dé vuelta") {
		t.Error("that may be read as turning the raft over")
	}
}

// No sentence of a check or a remedy is longer than fifteen words.
func TestRemediesAreShort(t *testing.T) {
	ends := regexp.MustCompile(`[.?!:;] `)
	for _, tag := range []string{"en", "es"} {
		for id, said := range fileOf(t, tag+"/tend_causes.toml") {
			if !strings.HasPrefix(id, "trouble.do.") && !strings.HasPrefix(id, "trouble.check.") {
				continue
			}
			for _, sentence := range ends.Split(said, -1) {
				if n := len(strings.Fields(sentence)); n > 15 {
					t.Errorf("%s, %s: %d words: %s", tag, id, n, sentence)
				}
			}
		}
	}
}
