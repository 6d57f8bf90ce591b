package tend

import (
	"sync"

	"raftwright/finding"
	"raftwright/mix"
	ills "raftwright/trouble"
	"raftwright/unit"
)

// Sentences about what is added against a want.
const (
	SayPortion      = "tend.causes.portion"
	SayPortionSmall = "tend.causes.portion_small" // less than a scale at home weighs
)

// leastWeighed is the least that is weighed at home: five marks of a pocket scale of 0.1 g, which is then off by a fifth (own
// judgement).
const leastWeighed = 0.5 * unit.Gram

// Portion is how much of a product brings a bed what it lacks.
type Portion struct {
	ills.Addition
	Element   mix.Nutrient
	Volume    unit.Volume
	Low, High unit.Mass
}

// library is the shelf of the house, read once; nobody changes it.
var library = sync.OnceValue(mix.DefaultLibrary)

// Portions gives what is added to a volume against a cause, nothing where a cause is no want. What is not in the library is left out.
func Portions(c ills.Cause, volume unit.Volume) (out []Portion) {
	for _, a := range c.Adds {
		m, ok := library().Material(a.Product)
		n, known := mix.NutrientOf(a.Element)
		if !ok || !known {
			continue
		}
		if held, faults := m.Contents(); len(faults) == 0 && held.Shares[n] > 0 && volume > 0 {
			grams := func(x unit.MassConcentration) unit.Mass {
				return unit.Mass(x.MilligramsPerLitre()/1000*volume.Litres()/float64(held.Shares[n])) * unit.Gram
			}
			out = append(out, Portion{Addition: a, Element: n, Volume: volume, Low: grams(a.Low), High: grams(a.High)})
		}
	}
	return out
}

// Weighable tells whether a scale at home weighs the most of it.
func (p Portion) Weighable() bool { return p.High >= leastWeighed }

// Said is the sentence that tells a portion, or what to do in its place where nobody can weigh it.
func (p Portion) Said() (string, finding.Args) {
	args := finding.Args{"Volume": p.Volume, "Product": p.Product, "Element": p.Element.Word()}
	if !p.Weighable() {
		args["Least"] = leastWeighed
		return SayPortionSmall, args
	}
	args["Low"], args["From"] = p.Low, p.Addition.Low
	if p.High > p.Low {
		args["High"], args["To"] = p.High, p.Addition.High
	}
	return SayPortion, args
}
