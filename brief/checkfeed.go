package brief

import (
	"fmt"
	"strings"
)

// checkFeed looks at what is said about feeding: spoons, the meter, a recipe as
// found, a bed with a wrong dose.
func (r *reader) checkFeed() {
	b := r.brief
	for i := range b.Shelf {
		r.checkSpoons(&b.Shelf[i])
	}
	if m := b.Meter; m.Given && !m.Shows.Given && !m.Known.Given && !m.ECError.Given && !m.PHError.Given && !m.Checked.Given && m.Shows.At.Line == 0 {
		r.fault(b.Meter.At, "meter does not say what the meter shows", "write its scale, for example shows: ppm 500, or what it reads in a known solution, for example known: {ec: 1.41 mS/cm, reads: 707}")
	}
	r.checkNames("found.amounts", b.Found.Amounts)
	r.checkNames("amiss.put in", b.Amiss.PutIn)
}

func (r *reader) checkSpoons(p *Product) {
	weights := 0
	for _, f := range p.EachSpoon {
		if f.Given {
			weights++
		}
	}
	ways := 0
	for _, given := range []bool{p.LevelTeaspoon.Given, p.TenSpoons.Given, weights > 0} {
		if given {
			ways++
		}
	}
	if ways > 1 {
		r.fault(p.At, "the spoon of this product is said more than once", "keep one of level teaspoon, ten spoons and spoon weights")
	}
	if weights == 1 {
		r.fault(p.EachSpoon[0].At, "one spoon alone shows no spread", "weigh ten level spoons one by one, or write level teaspoon or ten spoons")
	}
	if c := p.Contents; c.Chelated.Given && c.Iron.Given && c.Chelated.Value > c.Iron.Value*(1+1e-9) {
		r.fault(c.Chelated.At, fmt.Sprintf("chelated iron %.4g %% is more than all iron, %.4g %%", c.Chelated.Value.Percents(), c.Iron.Value.Percents()), "it is a part of the iron; both are shares of the mass")
	}
}

// checkNames wants each product once.
func (r *reader) checkNames(where string, t Table[Amount]) {
	seen := map[string]bool{}
	for _, e := range t {
		name := strings.ToLower(e.Name)
		if seen[name] {
			r.fault(e.At, fmt.Sprintf("%s names %q twice", where, clip(e.Name)), "add the two amounts up")
		}
		seen[name] = true
	}
}
