package packet

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"raftwright/cost"
	"raftwright/finding"
	"raftwright/frame"
	"raftwright/lang"
	"raftwright/mix"
	"raftwright/page"
	"raftwright/plan"
	"raftwright/unit"
)

// FaultNoClass: the plan holds nothing that a class can work out.
const FaultNoClass finding.ID = "packet.fault.no_class"

// sum is one blank of an exercise, with what stands in the key.
type sum struct {
	do     string // ID of the sentence
	args   finding.Args
	work   string // "97 × 49"; "" where nothing is reckoned
	answer string
	unit   string // ID of its word; "" where the answer has none
}

// exercise is a question of one subject. Its sums are made of the figures that stand in it, as
// they are printed; agrees holds what comes out and what the packet says, which must be the same.
type exercise struct {
	id     string
	args   finding.Args
	sums   []sum
	agrees [][2]string
	about  string // what the packet says, where the measures of the exercise are rounder than its own
}

// Class makes the exercises for a class of this plan: a page for the teacher, a sheet for grades 4
// to 6, one for grades 7 to 12, and the key on pages of its own. A plan with nothing to reckon
// gives no sections.
func Class(p plan.Plan, words *lang.Printer, o Options) page.Document {
	w := onPaper(p, words, o)
	return w.levels(o, []level{
		{"young", w.agreed(writer.volumeSum, writer.bucketSum, writer.holeSum, writer.shareSum, writer.headSum)},
		{"older", w.agreed(writer.weightSum, writer.doseSum, writer.nitrogenSum, writer.meterSum, writer.floatSum)},
	})
}

// level is the exercises of some grades.
type level struct {
	id   string
	list []exercise
}

// levels makes the page for the teacher, the sheets and the key; no sections where nothing is to be reckoned.
func (w writer) levels(o Options, levels []level) page.Document {
	d := w.document(o)
	d.Subtitle, d.Margin = w.say("class.subtitle", nil), FaceMargin
	var key []page.Block
	for _, l := range levels {
		if len(l.list) == 0 {
			continue
		}
		s := page.Section{ID: "class-" + l.id, Title: w.say("class."+l.id+".title", nil), NewPage: true, Blocks: []page.Block{w.para("class.lead", nil)}}
		t := page.Table{Caption: w.text("class."+l.id+".title", nil), Columns: w.columns("class.col.question", "class.col.work", "+class.col.answer")}
		t.Weigh(1, 4, 2)
		for i, e := range l.list {
			s.Blocks = append(s.Blocks, w.question(i+1, e)...)
			w.keyed(&t, i+1, e)
		}
		d.Sections, key = append(d.Sections, s), append(key, t)
	}
	if len(key) == 0 {
		return page.Document{}
	}
	d.Sections = append([]page.Section{{ID: "class-teacher", Title: w.say("class.teacher.title", nil), Blocks: w.teacher()}}, d.Sections...)
	d.Sections = append(d.Sections, page.Section{ID: "class-key", Title: w.say("class.key.title", nil), NewPage: true, Blocks: append([]page.Block{w.para("class.key.lead", nil)}, key...)})
	return d
}

// teacher tells what pupils may do, what an adult does, and what is needed.
func (w writer) teacher() []page.Block {
	return []page.Block{w.para("class.teacher.lead", nil),
		w.warning(w.each("class.safety", nil)...),
		w.heading("class.pupils"), w.bullets("class.pupil", nil),
		w.heading("class.adults"), w.bullets("class.adult", nil),
		w.heading("class.needs"), page.List{Kind: page.Boxes, Items: w.each("class.need", nil)},
		page.Para{Text: w.text("class.standing", nil), Small: true}}
}

// question sets an exercise: what is known, and for each sum room to write and a blank with its unit.
func (w writer) question(n int, e exercise) []page.Block {
	head := []page.Block{page.Heading{Level: 1, Text: fmt.Sprintf("%d. %s", n, w.say("class."+e.id+".title", nil))}, w.para("class."+e.id+".facts", e.args)}
	var out []page.Block
	for i, s := range e.sums {
		line := []page.Field{{Label: w.say("class.work", nil), Weight: 3}, {Label: "=", Unit: w.unitOf(s), Weight: 2}}
		if s.work == "" {
			line = []page.Field{{Unit: w.unitOf(s)}}
		}
		out = append(out, together(append(head, page.Para{Text: page.Text(letter(i)+") ") + w.text(s.do, s.args)}, page.Fields{Lines: [][]page.Field{line}})...))
		head = nil
	}
	return out
}

func letter(i int) string { return string(rune('a' + i%26)) }

// unitOf gives the word of the unit of an answer.
func (w writer) unitOf(s sum) string {
	switch s.unit {
	case "", "kPa":
		return s.unit
	case "money":
		return w.p.Cost.PerHead.Currency
	}
	return w.say("class.unit."+s.unit, nil)
}

// keyed adds an exercise to the key.
func (w writer) keyed(t *page.Table, n int, e exercise) {
	t.Group(page.Literal(fmt.Sprintf("%d. %s", n, w.say("class."+e.id+".title", nil))))
	for i, s := range e.sums {
		t.Add(page.Text(fmt.Sprintf("%d%s", n, letter(i))), page.Literal(s.work), page.Bold(strings.TrimSpace(s.answer+" "+w.unitOf(s))))
	}
	if e.about != "" {
		t.Add("", w.text("class.key.about", nil), page.Literal(e.about))
		return
	}
	var says []string
	for _, a := range e.agrees {
		if a[1] != "" && !slices.Contains(says, a[1]) {
			says = append(says, a[1])
		}
	}
	t.Add("", w.text("class.key.packet", nil), page.Literal(strings.Join(says, "; ")))
}

// mostDecimals is how fine the figures of an exercise may be until it leads to those of the packet; with
// onTape lengths are as a tape shows them, in whole millimeters, and the other figures of two decimals.
const onTape, mostDecimals = 1, 6

// agreed gives the exercises that this plan has, each with figures just fine enough that a pupil who
// reckons with them finds what the packet says.
func (w writer) agreed(makers ...func(writer, int) (exercise, bool)) []exercise {
	var out []exercise
	differ := func(a [2]string) bool { return a[0] != a[1] }
	for _, m := range makers {
		for decimals := onTape; decimals <= mostDecimals; decimals++ {
			e, ok := m(w, decimals)
			if ok && !slices.ContainsFunc(e.agrees, differ) {
				out = append(out, e)
				break
			}
		}
	}
	return out
}

// tally does sums with figures as they are printed.
type tally struct {
	writer
	decimals int
}

// round gives a figure as it is printed.
func (c tally) round(x float64) float64 {
	k := math.Pow(10, float64(max(c.decimals, 2)))
	return math.Round(x*k) / k
}

// show prints it, without zeros at its end.
func (c tally) show(x float64) string {
	s := c.words.Fixed(x, max(c.decimals, 2))
	if strings.ContainsRune(s, '.') {
		s = strings.TrimSuffix(strings.TrimRight(s, "0"), ".")
	}
	return s
}

// sum reckons from left to right: figures with signs between them.
func (c tally) sum(do, unit string, args finding.Args, parts ...any) (sum, float64) {
	value, sign := 0.0, "+"
	var work []string
	for _, p := range parts {
		switch p := p.(type) {
		case string:
			sign = p
			work = append(work, p)
		case float64:
			x := c.round(p)
			work = append(work, c.show(x))
			switch sign {
			case "+":
				value += x
			case "−":
				value -= x
			case "×":
				value *= x
			case "÷":
				value /= x
			}
		}
	}
	value = c.round(value)
	return sum{do, args, strings.Join(work, " "), c.show(value), unit}, value
}

// boxed says whether the bed is a box of boards, whose volume is length by width by depth.
func (w writer) boxed() bool {
	return w.p.Frame != nil && w.p.Frame.Job.Vessel.Shape == frame.FrameShape
}

// tape gives a length in inches or centimeters, with the name of the unit.
func (c tally) tape(l unit.Length) (float64, string) {
	if c.metric() && c.decimals == onTape {
		return math.Round(l.Millimetres()) / 10, "cm"
	}
	if c.metric() {
		return float64(l / unit.Centimetre), "cm"
	}
	return l.Inches(), "in"
}

// taped prints a length in the unit of the tape, as it is reckoned with: a pupil multiplies decimals.
func (c tally) taped(l unit.Length) string {
	x, in := c.tape(l)
	out, onTape := c.show(c.round(x))+" "+c.say("class.unit."+in, nil), c.label(l)
	if c.metric() || onTape == out {
		return out
	}
	return onTape + " (" + out + ")"
}

// liquid gives the unit in which the packet measures water, with its name.
func (w writer) liquid() (unit.Volume, string) {
	if w.metric() {
		return unit.Litre, "l"
	}
	return unit.Gallon, "gal"
}

// volumeSum is length times width times depth.
func (w writer) volumeSum(decimals int) (exercise, bool) {
	if !w.boxed() {
		return exercise{}, false
	}
	c, d := tally{w, decimals}, w.p.Frame
	long, in := c.tape(d.Job.Vessel.Length)
	wide, _ := c.tape(d.Job.Vessel.Width)
	deep, _ := c.tape(d.Job.Depth)
	of, name := w.liquid()
	holds := float64(of / unit.Volume(unit.Inch*unit.Inch*unit.Inch)) // cubic inches in a gallon
	if w.metric() {
		holds = 1000
	}
	a, area := c.sum("class.volume.area", in+"2", nil, long, "×", wide)
	b, cubic := c.sum("class.volume.cubic", in+"3", nil, area, "×", deep)
	v, volume := c.sum("class.volume.liquid_"+name, name, nil, cubic, "÷", holds)
	e := exercise{id: "volume", args: finding.Args{"Length": c.taped(d.Job.Vessel.Length), "Width": c.taped(d.Job.Vessel.Width), "Depth": c.taped(d.Job.Depth)}, sums: []sum{a, b, v},
		agrees: [][2]string{{w.label(of * unit.Volume(volume)), w.label(d.Volume)}}}
	if off := volume - float64(d.Volume/of); c.metric() && decimals == onTape && e.agrees[0][0] != e.agrees[0][1] && math.Abs(off) < 0.01*volume {
		e.about, e.agrees = e.agrees[0][1], nil // half a millimeter of depth
	}
	return e, true
}

// bucketSum is how many buckets fill the bed.
func (w writer) bucketSum(decimals int) (exercise, bool) {
	if w.p.Frame == nil || w.p.Frame.Job.Bucket <= 0 {
		return exercise{}, false
	}
	c, d := tally{w, decimals}, w.p.Frame
	of, name := w.liquid()
	a, n := c.sum("class.buckets.divide", "buckets", nil, float64(d.Volume/of), "÷", float64(d.Job.Bucket/of))
	whole := math.Ceil(n)
	return exercise{"buckets", finding.Args{"Volume": c.show(c.round(float64(d.Volume/of))) + " " + w.say("class.unit."+name, nil), "Bucket": c.show(c.round(float64(d.Job.Bucket/of))) + " " + w.say("class.unit."+name, nil)},
		[]sum{a, {"class.buckets.round", nil, "", c.show(whole), "buckets"}}, [][2]string{{c.show(whole), c.show(float64(d.Buckets))}}, ""}, true
}

// holeSum counts the holes of a sheet in rows and columns.
func (w writer) holeSum(decimals int) (exercise, bool) {
	r := w.p.Raft
	if r == nil || r.Round || len(r.Pieces) != 1 {
		return exercise{}, false
	}
	c, l := tally{w, decimals}, r.Layouts[0]
	edge, in := c.tape(r.Job.Edge)
	gap, _ := c.tape(r.Job.Spacing)
	var sums []sum
	count := func(side unit.Length, id string) float64 {
		size, _ := c.tape(side)
		left, room := c.sum("class.holes.left_"+id, in, nil, size, "−", edge, "−", edge)
		gaps, n := c.sum("class.holes.gaps", "gaps", nil, room, "÷", gap)
		row, holes := c.sum("class.holes.row_"+id, "holes", nil, math.Floor(n+1e-9), "+", 1.0)
		sums = append(sums, left, gaps, row)
		return holes
	}
	across, along := count(l.Size.X, "across"), count(l.Size.Y, "along")
	all, n := c.sum("class.holes.all", "holes", nil, across, "×", along)
	return exercise{"holes", finding.Args{"Width": c.taped(l.Size.X), "Length": c.taped(l.Size.Y), "Edge": c.taped(r.Job.Edge), "Spacing": c.taped(r.Job.Spacing)}, append(sums, all),
		[][2]string{{c.show(n), c.show(float64(r.Holes))}}, ""}, true
}

// classOf is how many pupils the example of a share has.
const classOf = 24

// shareSum is how many heads a crop gives, and how many each pupil takes home.
func (w writer) shareSum(decimals int) (exercise, bool) {
	if w.p.Cost == nil || w.p.Raft == nil || w.p.Cost.HeadsSold <= 0 {
		return exercise{}, false
	}
	c, n := tally{w, decimals}, float64(w.p.Raft.Holes)
	a, heads := c.sum("class.share.heads", "heads", nil, n, "×", w.p.Cost.HeadsSold/n)
	whole := math.Floor(heads + 1e-9)
	b, _ := c.sum("class.share.each", "heads", finding.Args{"Pupils": classOf}, whole, "÷", float64(classOf))
	return exercise{"share", finding.Args{"Count": w.p.Raft.Holes, "Share": c.show(c.round(w.p.Cost.HeadsSold / n))},
		[]sum{a, {"class.share.whole", nil, "", c.show(whole), "heads"}, b}, [][2]string{{c.show(heads), tally{w, 2}.show(w.p.Cost.HeadsSold)}}, ""}, true
}

// headSum is what a head costs.
func (w writer) headSum(decimals int) (exercise, bool) {
	for _, s := range w.p.Working(plan.Cost) {
		if s.Name != "work.cost.head" || len(s.Inputs) != 2 || s.Inputs[0].Value <= 0 {
			continue
		}
		c, all, n := tally{w, decimals}, math.Round(s.Inputs[0].Value*100)/100, s.Inputs[1].Value
		money := func(x float64) string {
			return w.words.Money(cost.Cents(int64(math.Round(x*100)), w.p.Cost.PerHead.Currency))
		}
		a, each := c.sum("class.head.divide", "money", nil, all, "÷", n)
		a.answer = w.words.Fixed(each, 2) // cents
		return exercise{"head", finding.Args{"Price": w.p.Cost.PerCrop, "Count": int(n)}, []sum{a}, [][2]string{{money(each), w.label(w.p.Cost.PerHead)}}, ""}, true
	}
	return exercise{}, false
}

// weightSum is what the water weighs, and how hard it presses on the ground.
func (w writer) weightSum(decimals int) (exercise, bool) {
	if !w.boxed() {
		return exercise{}, false
	}
	c, d := tally{w, decimals}, w.p.Frame
	of, name := w.liquid()
	mass, heavy, whole, ground := unit.Pound, "lb", 144.0, "ft2"
	if w.metric() {
		mass, heavy, whole, ground = unit.Kilogram, "kg", 10000.0, "m2"
	}
	long, in := c.tape(d.Job.Vessel.Length)
	wide, _ := c.tape(d.Job.Vessel.Width)
	volume, each := float64(d.Volume/of), float64(d.Mass/mass)/float64(d.Volume/of)
	a, weight := c.sum("class.weight.water", heavy, nil, volume, "×", each)
	b, square := c.sum("class.weight.square", in+"2", nil, long, "×", wide)
	g, area := c.sum("class.weight.area_"+ground, ground, nil, square, "÷", whole)
	load, press := c.sum("class.weight.load", heavy+"_"+ground, nil, weight, "÷", area)
	sums := []sum{a, b, g, load}
	pressure := unit.Pressure(press) * unit.PoundPerSquareFoot
	if w.metric() {
		k, kpa := c.sum("class.weight.pressure", "kPa", finding.Args{"Gravity": c.show(c.round(unit.Gravity))}, press, "×", unit.Gravity, "÷", 1000.0)
		sums, pressure = append(sums, k), unit.Pressure(kpa)*unit.Kilopascal
	}
	return exercise{"weight", finding.Args{"Volume": c.show(c.round(volume)) + " " + w.say("class.unit."+name, nil), "Each": c.show(c.round(each)) + " " + w.say("class.unit."+heavy, nil), "Unit": w.say("class.unit."+name, nil),
		"Length": c.taped(d.Job.Vessel.Length), "Width": c.taped(d.Job.Vessel.Width)}, sums,
		[][2]string{{w.label(mass * unit.Mass(weight)), w.label(d.Mass)}, {w.label(pressure), w.label(d.Floor.Water)}}, ""}, true
}

// doseSum is how much of each powder goes into a bucket, or the bed, for its strength.
func (w writer) doseSum(decimals int) (exercise, bool) {
	m := w.p.Mix
	if m == nil || w.byPacks() {
		return exercise{}, false
	}
	c := tally{w, decimals}
	of, name := w.liquid()
	e := exercise{id: "dose", args: finding.Args{}}
	spoons := w.p.Measure().Kind == mix.Spoons && m.Fill.Method == mix.OneBucket
	if spoons {
		e.id = "spoons"
	} else if w.p.Frame == nil {
		return exercise{}, false
	}
	for _, d := range m.Doses {
		strength := (d.Strength.In(of)).Grams()
		args := finding.Args{"Product": w.words.Product(d.Product), "Strength": c.show(c.round(strength)), "Unit": w.say("class.unit."+name, nil)}
		switch {
		case d.Jug.Take > 0 || d.Liquid > 0:
		case spoons && d.Spoons > 0:
			args["Spoon"] = c.show(c.round(d.Spoon.Mass.Grams()))
			a, grams := c.sum("class.dose.bucket", "g", args, strength, "×", float64(m.Fill.Makes/of))
			b, n := c.sum("class.dose.spoons", "spoons", args, grams, "÷", d.Spoon.Mass.Grams())
			e.args["Volume"] = c.show(c.round(float64(m.Fill.Makes/of))) + " " + w.say("class.unit."+name, nil)
			e.sums = append(e.sums, a, b)
			e.agrees = append(e.agrees, [2]string{quarters(n), quarters(d.Spoons)})
		case !spoons && d.PerBed > 0:
			a, grams := c.sum("class.dose.bed", "g", args, strength, "×", float64(d.PerBed.Grams()/strength))
			e.args["Volume"] = c.show(c.round(d.PerBed.Grams()/strength)) + " " + w.say("class.unit."+name, nil)
			e.sums = append(e.sums, a)
			e.agrees = append(e.agrees, [2]string{w.words.Grams(unit.Mass(grams) * unit.Gram), w.words.Grams(d.PerBed)})
		}
	}
	return e, len(e.sums) > 0
}

// nitrogenSum adds up the nitrogen that each powder brings.
func (w writer) nitrogenSum(decimals int) (exercise, bool) {
	m := w.p.Mix
	if m == nil || m.Achieved[mix.Nitrogen] <= 0 {
		return exercise{}, false
	}
	c := tally{w, decimals}
	e := exercise{id: "nitrogen"}
	parts := []any{m.Water[mix.Nitrogen].MilligramsPerLitre()}
	e.args = finding.Args{"Water": c.show(c.round(parts[0].(float64)))}
	if a := m.Acid.Brings[mix.Nitrogen]; a > 0 {
		parts = append(parts, "+", a.MilligramsPerLitre())
	}
	for _, d := range m.Doses {
		brings := d.Brings[mix.Nitrogen]
		if brings <= 0 || d.Strength <= 0 {
			continue
		}
		share := float64(brings / d.Strength)
		a, n := c.sum("class.nitrogen.brings", "mg_l", finding.Args{"Product": w.words.Product(d.Product), "Strength": c.show(c.round(d.Strength.MilligramsPerLitre())), "Share": c.show(c.round(share))},
			d.Strength.MilligramsPerLitre(), "×", share)
		e.sums, parts = append(e.sums, a), append(parts, "+", n)
	}
	all, n := c.sum("class.nitrogen.all", "mg_l", nil, parts...)
	e.sums = append(e.sums, all)
	e.agrees = [][2]string{{w.label(unit.MassConcentration(n) * unit.MilligramPerLitre), w.label(m.Achieved[mix.Nitrogen])}}
	return e, len(e.sums) > 1
}

// meterSum turns the EC of the mix into the scales of two kinds of pens, and asks what three
// readings call for.
func (w writer) meterSum(decimals int) (exercise, bool) {
	m := w.p.Mix
	if m == nil || m.Meters.Fresh.EC <= 0 {
		return exercise{}, false
	}
	c := tally{w, decimals}
	ec := m.Meters.Fresh.EC.MillisiemensPerCentimetre()
	e := exercise{id: "meter", args: finding.Args{"EC": c.show(c.round(ec)), "Low": w.tenth(w.goodEC().Low), "High": w.tenth(w.goodEC().High)}}
	for _, pen := range []struct {
		scale float64
		kind  mix.Pen
	}{{500, mix.TDS500}, {700, mix.TDS700}} {
		a, n := c.sum("class.meter.scale", "ppm", finding.Args{"Scale": int(pen.scale)}, ec, "×", pen.scale)
		e.sums = append(e.sums, a)
		e.agrees = append(e.agrees, [2]string{w.words.Fixed(tens(n), 0) + " ppm", w.words.Fixed(tens(pen.kind.Shows(m.Meters.Fresh.EC)), 0) + " ppm"})
	}
	for _, r := range []struct {
		id    string
		reads float64
	}{{"low", w.goodEC().Low - 0.2}, {"well", (w.goodEC().Low + w.goodEC().High) / 2}, {"high", w.goodEC().High + 0.2}} {
		e.sums = append(e.sums, sum{"class.meter.do", finding.Args{"EC": w.tenth(r.reads)}, "", w.say("face.card.meter_"+r.id, nil), ""})
	}
	return e, true
}

// floatSum is how deep the raft floats with grown heads: a kilogram on a square meter sinks it a
// millimeter, as water weighs 1000 kg a cubic meter.
func (w writer) floatSum(decimals int) (exercise, bool) {
	r := w.p.Raft
	if r == nil || r.Float.NetArea <= 0 {
		return exercise{}, false
	}
	c, f := tally{w, decimals}, r.Float
	a, mm := c.sum("class.float.sinks", "mm", nil, f.GrownMass.Kilograms(), "÷", float64(f.NetArea))
	e := exercise{"float", finding.Args{"Mass": c.show(c.round(f.GrownMass.Kilograms())), "Area": c.show(c.round(float64(f.NetArea)))}, []sum{a}, nil, ""}
	if !w.metric() {
		b, inches := c.sum("class.float.inches", "in", nil, mm, "÷", 25.4)
		e.sums, mm = append(e.sums, b), inches*25.4
	}
	e.agrees = [][2]string{{w.label(unit.Millimetre * unit.Length(mm)), w.label(f.DraftGrown)}}
	return e, true
}
