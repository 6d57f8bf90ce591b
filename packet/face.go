package packet

import (
	"slices"

	"raftwright/brief"
	"raftwright/finding"
	"raftwright/frame"
	"raftwright/lang"
	"raftwright/page"
	"raftwright/plan"
	"raftwright/water"
)

// face is one side of a sheet of the packet: a step of the work.
type face struct {
	id    string
	there bool
	make  func() []page.Block
	acts  []finding.Act // whose stops stand on it
}

// faces lists the faces in the order of the work.
func (w writer) faces() []face {
	p := w.p
	bed, raft := p.Frame != nil, p.Raft != nil
	built := bed && p.Frame.Job.Vessel.Shape == frame.FrameShape
	build := []finding.Act{finding.AtCover, finding.AtFrame, finding.AtCorner}
	return []face{
		{"make", true, w.faceMake, nil},
		{"buy", p.Cost != nil, w.faceBuy, slices.Concat(build, []finding.Act{finding.AtLiner, finding.AtRaft, finding.AtCut, finding.AtMix})},
		{"cut", p.Boards != nil, w.faceCut, append(build, finding.AtCut)},
		{"frame", built, w.faceFrame, build},
		{"vessel", bed && !built, w.faceVessel, append(build, finding.AtFill)},
		{"liner", bed && p.Frame.Liner.Wanted, w.faceLiner, append(build, finding.AtLiner, finding.AtFill)},
		{"raft", raft, w.faceRaft, []finding.Act{finding.AtRaft, finding.AtLift}},
		{"mix", p.Mix != nil, w.faceMix, actsToGrow},
		{"card", bed, w.faceCard, actsToGrow},
		{"calendar", w.hasTasks(), w.faceCalendar, []finding.Act{finding.AtSeason}},
		{"log", bed, w.faceLog, nil},
	}
}

// actsToGrow are the acts whose stops stand where water is treated and fed.
var actsToGrow = []finding.Act{finding.AtWater, finding.AtAcid, finding.AtMix}

// Steps lists the IDs of the faces of a plan that are read at the work, in its order: all but the log, which is
// only paper to write on.
func Steps(p plan.Plan) []string {
	var out []string
	for _, f := range (writer{p: p}).faces() {
		if f.there && f.id != "log" {
			out = append(out, f.id)
		}
	}
	return out
}

// FaceMargin is the margin of a face: half an inch and a little, which every printer leaves.
const FaceMargin = 46

// Side gives the faces that are printed alone, by the name of the part that asks for them:
// "builder", "card" (the mixing card), "bed", "calendar" or "log"; all of them for any other.
func Side(part string) []string {
	switch part {
	case "builder":
		return []string{"make", "buy", "cut", "frame", "vessel", "liner", "raft"}
	case "card":
		return []string{"mix"}
	case "bed":
		return []string{"card"}
	case "calendar", "log":
		return []string{part}
	}
	return nil
}

// Parts lists the parts of the paper that can be printed alone, in the order in which they are offered.
func Parts() []string {
	return []string{"faces", "builder", "card", "bed", "calendar", "log", "template", "working", "class"}
}

// Paper makes a part of the paper of a plan: "template", "working", "class", or a Side; the
// whole packet for any other. A part that this plan does not have is FaultNoClass or FaultNoFace.
func Paper(p plan.Plan, words *lang.Printer, o Options, part string) (page.Document, error) {
	switch part {
	case "template":
		return Template(p, words, o)
	case "working":
		return Working(p, words, o), nil
	case "class":
		if doc := Class(p, words, o); len(doc.Sections) > 0 {
			return doc, nil
		}
		return page.Document{}, finding.Fault{ID: FaultNoClass}
	}
	if doc := Faces(p, words, o, Side(part)...); len(doc.Sections) > 0 {
		return doc, nil
	}
	return page.Document{}, finding.Fault{ID: FaultNoFace}
}

// Faces makes the packet that a family builds from: a face for each step of the work, or only
// those of these IDs.
func Faces(p plan.Plan, words *lang.Printer, o Options, only ...string) page.Document {
	w := onPaper(p, words, o)
	d := w.document(o)
	d.Subtitle, d.Margin = "", FaceMargin
	for _, f := range w.faces() {
		if !f.there || len(only) > 0 && !slices.Contains(only, f.id) {
			continue
		}
		s := page.Section{ID: f.id, Title: w.say("face."+f.id+".title", nil), NewPage: len(d.Sections) > 0}
		s.Blocks = append(w.stops(f.acts), f.make()...)
		d.Sections = append(d.Sections, s)
	}
	if len(only) > 0 {
		d.Title = ""
	}
	return d
}

// stops gives the stops of these acts: what must not be built says so where it would be built.
func (w writer) stops(acts []finding.Act) []page.Block {
	return w.boxes(nil, slices.DeleteFunc(w.told(), func(f finding.Finding) bool {
		return f.Severity != finding.Stop || !slices.Contains(acts, f.Stands())
	}))
}

// mostChecks is how many checks of the crop a face tells, the worst first.
const mostChecks = 2

// warnings gives the cautions of these acts in short: what hurts people in one box that
// begins with these sentences, what hurts the crop in another. What is only worth knowing
// stands in the working.
func (w writer) warnings(first []page.Text, skip []finding.ID, acts ...finding.Act) []page.Block {
	of := func(person bool) []page.Text {
		return w.inShort(func(f finding.Finding) bool {
			return f.Severity == finding.Caution && !f.Usual && (f.Hurts == finding.Person) == person && slices.Contains(acts, f.Stands()) && !slices.Contains(skip, f.ID)
		})
	}
	var out []page.Block
	if list := append(first, of(true)...); len(list) > 0 {
		out = append(out, w.warning(list...))
	}
	if list := of(false); len(list) > 0 {
		if more := len(list) - mostChecks; more > 0 {
			list = append(list[:mostChecks], w.text(w.moreID(), finding.Args{"Count": more}))
		}
		out = append(out, w.check(list...))
	}
	return out
}

// moreID is the sentence of where the rest of what was noticed stands: of paper in the working, which is printed apart.
func (w writer) moreID() string {
	if w.screen {
		return "face.more_screen"
	}
	return "face.more"
}

// inShort gives the first sentences of what was noticed and is wanted; the rest stands in
// the working.
func (w writer) inShort(want func(finding.Finding) bool) []page.Text {
	var out []page.Text
	list := w.gather(w.told())
	finding.Sort(list)
	for _, f := range list {
		if want(f) {
			out = append(out, page.Text(briefly(w.words.Finding(f))))
		}
	}
	return out
}

// roomOnFace is how many lines of cautions the first face has room for.
const roomOnFace = 3

// faceMake shows what will be made: the bed taken apart, its parts, and what to do first.
func (w writer) faceMake() []page.Block {
	out := append([]page.Block{w.verdict()}, w.urgent(roomOnFace, w.moreID())...)
	if p := w.p; p.Frame != nil && p.Frame.Job.Vessel.Shape == frame.FrameShape {
		out = append(out, page.Beside{Columns: [][]page.Block{{w.exploded()}, {w.partList()}}, Weights: []float64{11, 8}})
	} else if p.Frame != nil {
		f := w.vesselSection()
		f.Drawing.ID = "exploded"
		out = append(out, f)
	}
	imprint, code := w.imprint()
	last := []page.Block{w.heading("face.make.before"), page.List{Kind: page.Numbered, Items: w.before()}, page.Para{Text: imprint, Small: true}}
	if code != nil {
		last = []page.Block{page.Beside{Columns: [][]page.Block{last, code}, Weights: []float64{20, 10}}}
	}
	return append(append(out, page.KeyFigures{Items: w.fiveFigures(), Columns: 5}), last...)
}

// fiveFigures are the figures that a family asks for.
func (w writer) fiveFigures() []page.KeyFigure {
	all := w.keyFigures()
	want := []string{"inside", "volume", "heads", "first_cost", "harvest"}
	var out []page.KeyFigure
	for _, id := range want {
		at := slices.IndexFunc(all, func(k page.KeyFigure) bool { return k.Label == w.say("packet.glance."+id, nil) })
		if at >= 0 {
			out = append(out, all[at])
		}
	}
	return out
}

// partList names the parts by their letters, with how many there are.
func (w writer) partList() page.Table {
	t := page.Table{Compact: true, RowHead: true, Columns: w.columns("face.part.letter", "face.part.name", "+face.part.count"), Caption: w.text("face.make.parts", nil)}
	t.Weigh(0, 1, 0)
	add := func(letter, name string, count string) { t.Add(page.Bold(letter), page.Text(name), page.Text(count)) }
	d := w.p.Frame
	for _, q := range d.Pieces {
		letter := letters[q.Role]
		name := w.say(string(q.Role.Word()), nil) + ", " + q.Size.String() + ", " + w.label(q.Length)
		add(letter, name, w.words.Number(float64(q.Count)))
	}
	if d.Liner.Wanted {
		add(linerLetter, w.say("face.part.liner", finding.Args{"Length": d.Liner.Length, "Width": d.Liner.Width}), "1")
	}
	if r := w.p.Raft; r != nil {
		add(raftLetter, w.say("face.part.raft", finding.Args{"Thickness": r.Job.Thickness}), w.words.Number(float64(len(r.Pieces))))
		add(potLetter, w.say("face.part.pot", finding.Args{"Height": r.Job.Pot.Height}), w.words.Number(float64(r.Holes)))
	}
	return t
}

// before lists the three things to do before anything is bought.
func (w writer) before() []page.Text {
	load, _ := w.load0()
	water := "face.make.water_tested"
	if b := w.p.Brief.Water; !b.Given || b.Kind.Given { // a kind of water is a guess too
		if water = "face.make.water_ask"; w.rain() { // which no town chlorinates
			water = "face.make.water_rain"
		}
	}
	told := w.text(water, nil)
	switch harm := w.harmfulWater(); {
	case harm != "" && water == "face.make.water_tested": // nobody is told to use what harms
		told = harm
	case harm != "":
		told += " " + harm
	}
	return []page.Text{load, told, w.text("face.make.children", nil)}
}

// rain tells whether the bed is filled with water that the brief calls rain: it is not drunk.
func (w writer) rain() bool { return w.p.Brief.Water.Kind.Value == brief.RainWater }

// harmfulWater says what in the water harms the crop, however it is fed: whoever carries the pages alone must not miss it.
func (w writer) harmfulWater() page.Text {
	var of []string
	softened := false
	for _, f := range w.p.Findings {
		a, ok := f.Args["Analyte"].(finding.Word)
		ok = ok && a != "word.analyte.alkalinity" && a != "word.analyte.hardness" // which acid and the feed are fitted to
		if ok && f.ID == water.FindSevere {
			of = append(of, w.say(string(a), nil))
		}
		softened = softened || f.ID == water.FindSoftened
	}
	if len(of) == 0 {
		return ""
	}
	return w.text("face.make.water_harms", finding.Args{"Analytes": w.words.Join(of), "Softened": softened})
}

// load0 is what the ground must bear, told where there is a bed.
func (w writer) load0() (page.Text, finding.Severity) {
	if w.p.Frame == nil {
		return w.text("face.make.place", nil), finding.Note
	}
	return w.load()
}

// faceFrame builds the frame in six pictures.
func (w writer) faceFrame() []page.Block {
	d := w.p.Frame
	if !d.Reckoned() {
		return append(w.warnings(nil, []finding.ID{frame.FindLocalCode}, finding.AtFrame, finding.AtCorner), w.para("packet.frame.unreckoned", nil))
	}
	args := w.site(finding.Args{"Trench": w.trench(), "Screws": d.SideHold.Screws, "Corner": d.Corner.Screws, "Long": d.Corner.Screw.Length, "Diagonal": w.diagonal(),
		"Width": d.Notch.Width, "Sill": d.Notch.Sill, "Count": d.Side.Holds, "Spacing": d.Side.Spacing, "Embed": d.SideHold.Embed})
	var list []act
	add := func(picture func(int) *picture, id string) {
		list = append(list, act{picture(len(list) + 1), "face.frame." + id, args})
	}
	level := "level"
	switch {
	case w.trenched():
		level = "trench"
	case !w.onGround():
		level = "level_deck"
	}
	add(w.levelPicture, level)
	if w.trenched() {
		add(w.tiePicture, "tie")
	}
	add(w.wallsPicture, "walls")
	add(w.cornerPicture, "corner")
	add(w.squarePicture, "square")
	if d.Side.Holds > 0 && !w.tied() && w.onGround() {
		add(w.stakePicture, "stake")
	}
	if d.Notch.Possible {
		add(w.notchPicture, "notch")
	}
	if len(list) < 6 {
		add(w.smoothPicture, "smooth")
	}
	first := []page.Text{w.text("face.frame.gear", nil)}
	if d.Side.Holds > 0 && w.onGround() {
		first = append(first, w.text("face.frame.dig", nil))
	}
	return slices.Concat(w.warnings(first, []finding.ID{frame.FindLocalCode, frame.FindDig}, finding.AtFrame, finding.AtCorner), w.acts(list))
}

// faceVessel sets up a tank or tub that is bought.
func (w writer) faceVessel() []page.Block {
	out := append(w.warnings(nil, nil, finding.AtFrame, finding.AtCorner), w.vesselSection(), w.steps("packet.vessel.step", w.site(finding.Args{})))
	if !w.p.Frame.Liner.Wanted {
		out = append(append(append(out, w.heading("packet.fill.title")), w.drowning()...), w.filling())
	}
	return out
}

// faceLiner lays the liner in six pictures and fills the bed; from here on a child can drown.
func (w writer) faceLiner() []page.Block {
	d := w.p.Frame
	args := finding.Args{"Length": d.Liner.Length, "Width": d.Liner.Width, "Turn": d.Liner.Turn, "Depth": d.Job.Depth, "Volume": d.Volume, "Time": d.HoseTime, "Count": w.pieces(frame.BattenPiece), "Uprights": d.Side.Holds > 0, "Rain": w.rain()}
	out := w.drowning()
	if d.Job.Vessel.Shape != frame.FrameShape {
		return append(append(out, w.warnings(nil, nil, finding.AtLiner, finding.AtFill)...), w.steps("packet.liner.step", nil))
	}
	var list []act
	for i, s := range []struct {
		id      string
		picture func(int) *picture
	}{{"underlay", w.underlayPicture}, {"drape", w.drapePicture}, {"fold", w.foldPicture}, {"rim", w.rimPicture}, {"batten", w.battenPicture}, {"leak", w.leakPicture}} {
		list = append(list, act{s.picture(i + 1), "face.liner." + s.id, args})
	}
	return slices.Concat(out, w.warnings(nil, []finding.ID{frame.FindLinerBuy, frame.FindFill, plan.FindCure, water.FindChlorine}, finding.AtLiner, finding.AtFill), w.acts(list))
}

// drowning is the warning where the bed first holds water, and that of electricity where some comes near it.
func (w writer) drowning() []page.Block {
	row := w.row("children", "alt.step.children", nil, 17, 43, []stripOf{{name: "child-near"}, {name: "bucket-over"}, {name: "gate"}, {name: "walk-away", wrong: true}})
	out := []page.Block{w.warning(w.each("packet.fill.children", nil)...), row}
	if w.powered() {
		out = append(out, w.warning(w.each("packet.fill.power", nil)...))
	}
	return out
}
