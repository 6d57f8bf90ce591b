package tend

import (
	"math"

	"raftwright/bed"
	"raftwright/chem"
	"raftwright/finding"
	"raftwright/plan"
	"raftwright/unit"
)

// The pH between which roots live and pens are used (shared reference: lettuce stops near 4; beyond 8.5 no bed of a tap stands, whatever its
// alkalinity, under the breath of roots; from memory). A dose by which the water would stand beyond is not believed before somebody reads so.
const (
	lowestLived  = 4.0
	highestLived = 8.5
)

// sumsOff is by how much the sums of alkalinity may be off, meq/L: twice what the reference methods give (section 5).
const sumsOff = 2 * 0.7

// readSo is how near (in pH) a reading of the days after a dose must be to where no root lives for the dose to be believed.
const readSo = 1.0

// turner is an acid, a base or a product in the log that may turn the water far.
type turner struct {
	visit, at int // number of the visit, and of what was done there
	path      finding.Path
	mmol      amounts
}

// overdosed takes out of a log, which is its own, each dose after which no root could live by the sums, however well the water
// stood against it, and tells where it is; one that a later reading bears stays.
func overdosed(p *plan.Plan, log bed.Log) (found []finding.Finding) {
	list := turners(p, log)
	if len(list) == 0 {
		return nil
	}
	k, err := chem.At(standard)
	if err != nil {
		return nil
	}
	plain := make(bed.Log, len(log))
	copy(plain, log)
	for i := range plain {
		plain[i].Done = nil
		for n, done := range log[i].Done {
			if !contains(list, i, n) {
				plain[i].Done = append(plain[i].Done, done)
			}
		}
	}
	h := newHistory(p, plain, plain[len(plain)-1].At)
	n, _, err := nearTo(k, h.planned)
	if err != nil {
		return nil
	}
	nears := make([]near, len(h.visits))
	for i := range nears {
		nears[i] = n
	}
	var usual setting
	var out run
	h.set(nil, nil, supposal{leakFrom: -1, wrong: noProduct}, &usual)
	h.live(&usual, nears, &out, 0, nil)
	for x := len(list) - 1; x >= 0; x-- { // from the end, so that the numbers before it hold
		t := list[x]
		v := &log[t.visit]
		pH, beyond := standsAt(k, out.moments[t.visit].after, t.mmol)
		if !beyond || bears(log, t.visit, pH) {
			continue
		}
		id := FindBase
		if pH < lowestLived {
			id = FindAcid
		}
		f := left(id, v, t.path, finding.Args{"PH": twentieth(pH)})
		f.Hurts = finding.Person // if it did go in
		found = append([]finding.Finding{f}, found...)
		done := append([]bed.Happening{}, v.Done[:t.at]...)
		v.Done = append(done, v.Done[t.at+1:]...)
	}
	return found
}

func contains(list []turner, visit, at int) bool {
	for _, t := range list {
		if t.visit == visit && t.at == at {
			return true
		}
	}
	return false
}

// turners lists the doses that hold more acid or base than the sums may be off by, counted as what they take up or give off to where no root lives.
func turners(p *plan.Plan, log bed.Log) (out []turner) {
	var h *history
	for i := range log {
		for n, done := range log[i].Done {
			var t turner
			switch d := done.(type) {
			case bed.AddedAcid:
				t = turner{i, n, log[i].Path.Key("added acid"), amounts{}}
			case bed.AddedProduct:
				t = turner{i, n, log[i].Path.Key("added").Key(d.Product), amounts{}}
			default:
				continue
			}
			if h == nil {
				h = &history{plan: p}
				h.takeShelf(p)
			}
			switch d := done.(type) {
			case bed.AddedAcid:
				t.mmol = h.poured(p, d.Amount)
			case bed.AddedProduct:
				t.mmol = h.product(d, false).what
			}
			if turnsFar(&t.mmol, p.Frame.Volume.Litres()) {
				out = append(out, t)
			}
		}
	}
	return out
}

// turnsFar says whether a dose may turn a volume that far: acid of which each molecule gives off all that it can, or base.
func turnsFar(a *amounts, volume float64) bool {
	strong := a.strong()
	sour := a[phosphate] + 3*a[citrate] - strong
	return math.Max(sour, strong) > sumsOff*volume
}

// standsAt gives the pH at which a water stands once a dose is in it, and whether that is beyond where roots live: a water that stood against it as well as the
// sums allow. What urea and ammonium could have turned by then counts. Acid is not aired yet; base breathes.
func standsAt(k *chem.Equilibria, w water, dose amounts) (pH float64, beyond bool) {
	c, d := w.litre(), water{w.volume, dose}
	all := c.plus(d.litre(), 1)
	at := func(slack float64, aired bool) float64 {
		x := all
		x[inert] += slack
		s, err := k.Closed(x.composition())
		if aired {
			s, err = k.Open(x.composition(), unit.Pressure(usualCarbon)*unit.Atmosphere)
		}
		if err != nil { // what has no chemistry is left to the fit, which tells it
			return goalPH
		}
		return s.PH
	}
	if sour := at(0, false); sour < lowestLived {
		return sour, at(sumsOff+c[urea], false) < lowestLived
	}
	sharp := at(0, true)
	return sharp, sharp > highestLived && at(-sumsOff-2*c[ammonium], true) > highestLived
}

// bears says whether the first reading of pH in the days after a visit, before the bed was filled anew, is near enough to where a dose would have
// brought it.
func bears(log bed.Log, visit int, pH float64) bool {
	for _, v := range log[visit+1:] {
		if v.At.Sub(log[visit].At).Hours() > 24*freshReading {
			return false
		}
		if v.Read.PH.Given {
			return pH < lowestLived && v.Read.PH.Value < lowestLived+readSo || pH > highestLived && v.Read.PH.Value > highestLived-readSo
		}
		for _, done := range v.Done {
			if _, filled := done.(bed.Filled); filled {
				return false
			}
		}
	}
	return false
}
