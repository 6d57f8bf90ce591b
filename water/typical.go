package water

import (
	"slices"
	"strings"
	"unicode"

	"raftwright/chem"
	"raftwright/finding"
	"raftwright/source"
	"raftwright/unit"
)

// Kind is a typical water, for want of a test.
type Kind int

// Typical waters.
const (
	Hard Kind = iota
	Soft
	Rain
	kindCount
)

// Findings about what a test leaves open.
const (
	FindAskTest  finding.ID = "water.ask_test"
	FindNextTest finding.ID = "water.next_test"
	// FindRangeOver is raised where only the middle of a printed range is good.
	FindRangeOver finding.ID = "water.range_over"
)

// KindOf guesses the kind from what a person calls the water: rain and purified
// water, soft water and reservoirs; anything else is taken as hard, so that
// nobody is caught out by alkalinity.
func KindOf(name string) Kind {
	low := plainly(name)
	for _, w := range []string{"rain", "roof", "distilled", "osmosis", "deionised", "deionized", "demineral", "purified", " pure ", " ro ", " di ", "lluvia", "destilada"} {
		if strings.Contains(low, w) {
			return Rain
		}
	}
	for _, w := range []string{" soft ", "reservoir", "upland", "snow", "blanda", "embalse"} {
		if strings.Contains(low, w) {
			return Soft
		}
	}
	return Hard
}

// plainly gives the words of a name in small letters, with a space around each.
func plainly(name string) string {
	return " " + strings.Join(strings.FieldsFunc(strings.ToLower(name), func(r rune) bool { return !unicode.IsLetter(r) }), " ") + " "
}

// fromOpen tells a water whose name says that it lies open under the sky: animals and drains reach it.
func fromOpen(name string) bool {
	low := plainly(name)
	for _, w := range []string{"creek", "stream", "brook", "river", "pond", "lake", "ditch", "canal", "bayou", "arroyo", "río", "rio", "estanque", "laguna", "lago", "acequia", "zanja"} {
		if strings.Contains(low, " "+w+" ") || strings.Contains(low, " "+w+"s ") {
			return true
		}
	}
	return false
}

// Word names the kind in print.
func (k Kind) Word() finding.Word {
	return [...]finding.Word{finding.Word("word.source_water.hard"), finding.Word("word.source_water.soft"), finding.Word("word.source_water.rain")}[min(max(k, Hard), Rain)]
}

// Test gives the typical water of a kind as a test, with the name and temperature
// kept.
func (w Waters) Test(k Kind, t Test) Test {
	of := &w.of[min(max(k, Hard), Rain)]
	t.PH, t.Readings = of.pH, map[Analyte]unit.Reading{}
	for _, r := range of.readings {
		t.Readings[r.analyte] = unit.Reading{Value: r.value, Scale: unit.MassScale}
	}
	return t
}

// saltyFrom is where more EC in a water is more likely salt than more lime,
// mS/cm: the top of typical hard water.
const saltyFrom = 1.0

// ranges gives the bands of the typical water made so many times as strong, its
// EC known where it was read.
func (w Waters) ranges(k Kind, times float64, read unit.Conductivity) []Range {
	out := slices.Clone(w.of[k].bands)
	for i := range out {
		out[i].Low, out[i].High = out[i].Low*times, out[i].High*times
		if ec := read.MillisiemensPerCentimetre(); out[i].IsConductivity && ec > 0 {
			out[i].Low, out[i].High = 0.95*ec, 1.05*ec
		}
	}
	return out
}

// open is something that a test leaves open: which test would tell, and the
// water at either end of what is usual.
type open struct {
	tells     finding.Word
	low, high func(*analysis)
}

// widen finds the range that the test leaves and the one test that narrows it
// most; where the strength of a typical water is a guess, the range of its kind.
func (r *Assessment) widen(a *analysis, k25 *chem.Equilibria, o overlay) {
	if a.test.Sparse() && !a.anchored() {
		r.Ranges = r.book.Waters.ranges(o.kind, o.times, a.test.EC)
		r.Ranges = slices.DeleteFunc(r.Ranges, func(of Range) bool { return !of.IsConductivity && r.from[of.Analyte] == Measured })
		for i := range r.Ranges {
			of := &r.Ranges[i]
			if v, ok := r.figure(Limit{Analyte: of.Analyte, IsConductivity: of.IsConductivity}); ok {
				of.Low, of.High = min(of.Low, v), max(of.High, v)
			}
		}
		r.add(finding.Finding{ID: FindAskTest, Severity: finding.Caution, Source: source.FromMemory,
			Args: finding.Args{"Kind": o.kind.Word(), "Test": Alkalinity.Word()}})
		return
	}
	base := r.outline()
	down, up := outline{}, outline{}
	most := 0.0
	var next finding.Word
	for _, o := range append(a.leftOpen(), a.printedRanges(k25)...) {
		low, high := a.variant(k25, o.low), a.variant(k25, o.high)
		score := 0.0
		for i := range base {
			least, greatest := min(low[i], high[i], base[i]), max(low[i], high[i], base[i])
			down[i] += least - base[i]
			up[i] += greatest - base[i]
			score += (greatest - least) / weights[i]
		}
		if score > most {
			most, next = score, o.tells
		}
	}
	if next == "" {
		return
	}
	for i, of := range outlined {
		of.Low, of.High = max(0, base[i]+down[i]), base[i]+up[i]
		r.Ranges = append(r.Ranges, of)
	}
	low, high := max(0, base[4]+down[4]), base[4]+up[4]
	r.add(finding.Finding{ID: FindNextTest, Severity: finding.Note, Source: ownSource, Args: finding.Args{"Test": next,
		"Low": unit.Conductivity(low) * unit.MillisiemensPerCentimetre, "High": unit.Conductivity(high) * unit.MillisiemensPerCentimetre,
		"Wide": high-low >= tellWide}})
}

// tellWide is how far apart the ends of a range of EC must be to be told, mS/cm.
const tellWide = 0.02

// outline is a water in five figures, and weights says how much of each would
// change what a grower does.
type outline [5]float64

var (
	outlined = [5]Range{{Analyte: Alkalinity}, {Analyte: Calcium}, {Analyte: Magnesium}, {Analyte: Sodium}, {IsConductivity: true}}
	weights  = outline{30, 30, 10, 30, 0.15}
)

func (r *Assessment) outline() outline {
	c := r.composition
	return outline{r.Alkalinity.AsCaCO3(), Calcium.Mass(c.Ca).MilligramsPerLitre(), Magnesium.Mass(c.Mg).MilligramsPerLitre(),
		Sodium.Mass(c.Na).MilligramsPerLitre(), r.EC.MillisiemensPerCentimetre()}
}

func (a *analysis) variant(k25 *chem.Equilibria, change func(*analysis)) outline {
	b := *a
	change(&b)
	c := b.composition()
	return outline{unit.Equivalents(b.value[Alkalinity]).AsCaCO3(), Calcium.Mass(c.Ca).MilligramsPerLitre(), Magnesium.Mass(c.Mg).MilligramsPerLitre(),
		Sodium.Mass(c.Na).MilligramsPerLitre(), b.conductivity(k25).MillisiemensPerCentimetre()}
}

// Ends of what is usual in waters that people grow with, mmol/L.
const (
	usualAlkalinity = 7.0 // 350 mg/L as CaCO3
	usualHardness   = 4.0 // 400 mg/L as CaCO3
	usualSalt       = 3.0 // 70 mg/L sodium
	usualSulfate    = 0.8 // 77 mg/L
)

func (a *analysis) leftOpen() []open {
	var out []open
	set := func(x Analyte, c unit.MolarConcentration) func(*analysis) {
		return func(b *analysis) { b.set(x, c) }
	}
	hardness := a.given[Hardness] || a.given[Calcium] && a.given[Magnesium]
	if !a.given[Alkalinity] && (a.pH != 0 || a.value[Alkalinity] > 0) {
		high := unit.MolarConcentration(usualAlkalinity)
		if hardness {
			high = 2*(a.value[Calcium]+a.value[Magnesium]) + 1
		}
		none := func(b *analysis) {
			b.set(Alkalinity, 0)
			if b.pH == 0 {
				b.pH = 7 // cations without an anion would make lime water
			}
		}
		out = append(out, open{Alkalinity.Word(), none, set(Alkalinity, high)})
	}
	split := func(share float64, total unit.MolarConcentration) func(*analysis) {
		return func(b *analysis) {
			b.set(Calcium, unit.MolarConcentration(share)*total)
			b.set(Magnesium, unit.MolarConcentration(1-share)*total)
		}
	}
	switch {
	case !hardness && !a.given[Calcium]:
		none := func(b *analysis) { // softened: what was taken as lime is sodium
			const trace = 0.1
			lost := 2 * (b.value[Calcium] + b.value[Magnesium] - trace)
			split(calciumShare, trace)(b)
			b.set(Sodium, b.value[Sodium]+max(lost, 0))
		}
		out = append(out, open{Hardness.Word(), none, split(calciumShare, usualHardness)})
	case hardness && !a.given[Calcium] && !a.given[Magnesium]:
		out = append(out, open{Calcium.Word(), split(0.5, a.value[Hardness]), split(0.95, a.value[Hardness])})
	}
	if !a.given[Sodium] && !a.given[Chloride] && a.test.EC == 0 {
		salt := func(b *analysis) {
			b.set(Sodium, b.value[Sodium]+usualSalt)
			b.set(Chloride, b.value[Chloride]+usualSalt)
		}
		fresh := func(b *analysis) { // without the salt of a typical water
			least := min(b.value[Sodium], b.value[Chloride])
			b.set(Sodium, b.value[Sodium]-least)
			b.set(Chloride, b.value[Chloride]-least)
		}
		out = append(out, open{finding.Word("word.analyte.ec"), fresh, salt})
	}
	if !a.given[Sulfate] && a.test.EC == 0 {
		sulfate := func(b *analysis) {
			b.set(Sulfate, usualSulfate)
			b.set(Sodium, b.value[Sodium]+2*usualSulfate)
		}
		out = append(out, open{Sulfate.Word(), func(*analysis) {}, sulfate})
	}
	if a.pH == 0 && a.value[Alkalinity] > 0 {
		// At the same alkalinity the pH moves the carbon, not the outline: only
		// where nothing else is open is it the next test.
		out = append(out, open{finding.Word("word.analyte.ph"), func(b *analysis) { b.pH = 6.8 }, func(b *analysis) { b.pH = 8.2 }})
	}
	return out
}

// printedRanges are the figures that were printed as a range: the water is read
// anew at either end, so that what was filled in follows.
func (a *analysis) printedRanges(k25 *chem.Equilibria) []open {
	var out []open
	for x := Analyte(0); x < AnalyteCount; x++ {
		r, is := a.test.Readings[x]
		if !is || !r.IsRange() {
			continue
		}
		at := func(value float64) func(*analysis) {
			return func(b *analysis) {
				t := a.test.at(x, value)
				if end, faults := read(&t); faults == nil {
					end.fill(k25)
					*b = *end
				}
			}
		}
		out = append(out, open{x.Word(), at(r.Low), at(r.High)})
	}
	return out
}

// judgeRanges warns of a figure that is good in the middle of its printed range
// and not at its high end.
func (r *Assessment) judgeRanges(t *Test) {
	for _, j := range r.Judgements {
		x := j.Limit.Analyte
		reading, is := t.Readings[x]
		if !is || !reading.IsRange() || j.Limit.IsConductivity || j.Verdict != Good {
			continue
		}
		if _, high := ends(x, reading); high.MilligramsPerLitre() > j.Limit.Good {
			r.add(finding.Finding{ID: FindRangeOver, Severity: finding.Caution, Figure: high, Source: j.Limit.Source,
				Args: finding.Args{"Analyte": x.Word(), "High": high, "Good": unit.MassConcentration(j.Limit.Good) * unit.MilligramPerLitre}})
		}
	}
}
