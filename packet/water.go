package packet

import (
	"fmt"
	"time"

	"raftwright/finding"
	"raftwright/page"
	"raftwright/plan"
	"raftwright/season"
	"raftwright/sky"
	"raftwright/unit"
	"raftwright/water"
)

// water tells what the fill water is, how it stands, and the acid it takes.
func (w writer) water() (page.Section, bool) {
	a := w.p.Water
	if a == nil {
		return page.Section{}, false
	}
	s := page.Section{ID: "water", Title: w.say("packet.water.title", nil)}
	if !w.p.Brief.Water.Given {
		s.Blocks = append(s.Blocks, w.caution(finding.Caution, w.text("packet.water.none", nil)))
		s.Blocks = append(s.Blocks, w.of("water", "chem")...)
		return s, true
	}
	name := a.Name
	if name == "" {
		name = w.say("word.your_water", nil)
	}
	s.Blocks = append(s.Blocks, w.para("packet.water.lead", finding.Args{"Name": name}))
	t := page.Table{RowHead: true, Compact: true, Columns: w.columns("packet.water.col.what", "+packet.water.col.value", "packet.water.col.verdict")}
	row := func(id string, v page.Text) {
		t.Rows = append(t.Rows, page.Row{Cells: []page.Text{w.text("packet.water.row."+id, nil), v, ""}})
	}
	row("ec", w.value(a.EC))
	row("ph", page.Text(w.words.Fixed(a.PH, 1)))
	row("charge", w.value(a.ChargeError))
	for _, j := range a.Judgements {
		what, value := w.say(string(j.Limit.Analyte.Word()), nil), w.value(unit.MassConcentration(j.Value)*unit.MilligramPerLitre)
		if j.Limit.IsConductivity {
			continue
		}
		t.Rows = append(t.Rows, page.Row{Cells: []page.Text{page.Text(what), value, w.text("word.verdict."+j.Verdict.String(), nil)}})
	}
	s.Blocks = append(s.Blocks, t)
	s.Blocks = append(s.Blocks, w.acid()...)
	s.Blocks = append(s.Blocks, w.of("water", "chem")...)
	return s, true
}

// acid prints the dose that may be printed, with its cautions at the step.
func (w writer) acid() []page.Block {
	a := w.p.Water.Acid
	if a == nil || a.Away {
		return nil
	}
	product := a.Want.Product
	d := w.p.PrintedAcid()
	if d == nil {
		kind := finding.Word("word.site." + string(w.p.Brief.Site.Kind.Or("home")))
		return []page.Block{w.caution(finding.Caution, w.text("packet.safety.acid.left_out", finding.Args{
			"Product": product.Word(), "Kind": kind, "Instead": w.say("packet.safety.acid.instead_none", nil)}))}
	}
	blocks := []page.Block{w.caution(finding.Caution, w.each("packet.safety.acid", nil)...)}
	if f := w.p.Frame; f != nil {
		blocks = append(blocks, w.para("packet.water.acid", finding.Args{"Target": w.words.Fixed(d.Want.PH, 1), "Dose": w.acidDose(d, f.Volume), "Product": product.Word()}))
	}
	return append(blocks, w.para("packet.water.acid_again", nil))
}

// acidDose prints the acid for a volume of water: mL of a solution, g of crystals.
func (w writer) acidDose(d *water.Dose, v unit.Volume) page.Text {
	if product := d.Want.Product; product.Solid() {
		return w.grams(d.Mass.In(v))
	}
	return page.Text(w.words.Number(d.MillilitresPerLitre()*v.Litres()) + " mL")
}

// windows tells when the crop may go on the raft; the season by itself tells of
// every crop.
func (w writer) windows() []page.Block {
	s := w.p.Season
	var blocks []page.Block
	var own []season.Window
	t := page.Table{Compact: true, RowHead: true, Columns: w.columns("packet.season.col.crop", "packet.season.col.from", "packet.season.col.to", "packet.season.col.limit")}
	for _, x := range s.Windows {
		if x.Crop == w.p.Crop.ID {
			own = append(own, x)
		}
		row := page.Row{Cells: []page.Text{w.text("crop.name."+x.Crop, nil), "–", "–", w.text(string(x.Limit.Word()), nil)}}
		if x.Open() {
			row.Cells[1], row.Cells[2] = w.dayOfYear(x.From), w.dayOfYear(x.To)
		}
		t.Rows = append(t.Rows, row)
	}
	for _, x := range own {
		args := finding.Args{"Crop": w.p.Crop.Word(), "Limit": w.say(string(x.Limit.Word()), nil)}
		id := "packet.season.window"
		switch {
		case !x.Open():
			id = "packet.season.window_none"
		case x.Days() >= 365:
			id = "packet.season.window_all"
		default:
			args["From"], args["To"] = string(w.dayOfYear(x.From)), string(w.dayOfYear(x.To))
		}
		blocks = append(blocks, w.para(id, args))
	}
	if w.p.Asked == plan.Season && len(t.Rows) > 1 {
		blocks = append(blocks, t)
	}
	return blocks
}

// dayOfYear prints a day without its year: "Apr 5".
func (w writer) dayOfYear(d sky.DayOfYear) page.Text {
	m, day := d.Month()
	return page.Text(w.say("date.short", finding.Args{"Month": w.words.Month(m), "Day": fmt.Sprint(day)}))
}

// calendar lists the work of the season day by day, for the wall.
func (w writer) calendar() (page.Section, bool) {
	e := w.p.Season
	if e == nil || len(e.Tasks) == 0 {
		return page.Section{}, false
	}
	t := page.Table{Compact: true, Columns: w.columns("packet.calendar.col.done", "packet.calendar.col.day", "packet.calendar.col.task")}
	t.Columns[0].Weight, t.Columns[1].Weight, t.Columns[2].Weight = 0.4, 1.4, 4
	var month time.Month
	for i, x := range e.Tasks {
		if i >= mostTasks {
			break
		}
		if x.Day.Month() != month {
			month = x.Day.Month()
			t.Rows = append(t.Rows, page.Row{Group: true, Cells: []page.Text{page.Text(fmt.Sprintf("%s %d", w.words.Month(int(month)), x.Day.Year()))}})
		}
		t.Rows = append(t.Rows, page.Row{Cells: []page.Text{"☐", w.value(x.Day), page.Text(w.say(string(x.Kind.Word()), x.Args))}})
	}
	s := w.section("calendar", w.para("packet.calendar.lead", nil), t)
	s.NewPage = true
	return s, true
}

// mostTasks bounds the calendar on paper: about four pages.
const mostTasks = 140
