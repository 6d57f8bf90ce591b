package mix

import (
	"slices"
	"strings"
	"unicode"

	"raftwright/finding"
	"raftwright/source"
	"raftwright/unit"
)

// FindOrganic tells of a feed that has to rot before roots can eat it.
const FindOrganic finding.ID = "mix.organic"

// leastOrganic is the share of the nitrogen of a label, bound in what has to rot, from which on it is an organic feed (own judgement: below it, it
// is a wetting agent or the rounding of a mineral powder).
const leastOrganic = 0.05

// rots are words in the name of a feed that is made of what lived, in English and Spanish as they are folded; claims only say that somebody
// calls it organic, as a mined salt may be too. From memory.
var (
	rots = []string{"fish", "kelp", "seaweed", "compost", "vermicompost", "worm", "castings", "guano", "manure", "blood", "bone", "feather", "alfalfa", "molasses", "soybean",
		"pescado", "pez", "algas", "alga", "composta", "lombriz", "lombricomposta", "humus", "estiercol", "gallinaza", "sangre", "hueso", "melaza", "bocashi", "lixiviado", "biol"}
	claims = []string{"organic", "organico", "organica"}
	denies = []string{"non", "not", "no"}
)

// called says whether the name of a material tells what lived, and whether it is only called organic.
func (m Material) called() (lived, claimed bool) {
	words := strings.FieldsFunc(unit.Fold(m.Name), func(r rune) bool { return !unicode.IsLetter(r) })
	for i, w := range words {
		lived = lived || slices.Contains(rots, w)
		claimed = claimed || slices.Contains(claims, w) && !(i > 0 && slices.Contains(denies, words[i-1]))
	}
	return lived, claimed
}

// organic fills in what of the nitrogen of a label is bound in what has to rot, and whether the material is such a feed. It is what the label states; in
// what is called so by its name, all that no form is stated for.
func (m Material) organic(c *Contents, l Label) {
	mineral := unit.Fraction(0)
	for _, n := range nitrogenForms {
		mineral += l.Stated[n].Share
	}
	lived, claimed := m.called()
	c.Organic = l.OrganicN.Share
	total := mineral + c.Organic
	if l.Grade.Given {
		total = l.Grade.N
		if rest := total - mineral; (lived || claimed) && rest > formSlack {
			c.Organic = rest
		}
	}
	c.Rots = c.Organic > leastOrganic*total || lived && (total == 0 || c.Organic > 0)
}

// Lived says whether something is a feed made of what lived, by its name alone.
func Lived(name string) bool {
	lived, claimed := Material{Name: name}.called()
	return lived || claimed
}

// Rots says whether a material is an organic feed. Where its label is wrong it is not said.
func (m Material) Rots() bool {
	if m.Label == nil {
		return false
	}
	c, faults := m.Contents()
	return faults == nil && c.Rots
}

// leftOut tells that an organic feed is no part of a mix (it is not dosed in a still bed: no biofilter turns it, and what does takes the oxygen), or that
// of one in a recipe only what is mineral counts.
func (m Material) leftOut(found bool) finding.Finding {
	return finding.Finding{ID: FindOrganic, Severity: finding.Caution, Hurts: finding.Harvest, Args: finding.Args{"Product": m.Name, "Found": found}, Source: source.CommonPractice}
}
