package web

import (
	"bytes"
	"html/template"
	"slices"
	"strings"
	"time"

	"raftwright/finding"
	"raftwright/lang"
	"raftwright/packet"
	"raftwright/page"
	"raftwright/plan"
	"raftwright/press"
	"raftwright/press/paper"
)

// piece is a section of the plan as the press makes it.
type piece struct {
	ID, Title string
	HTML      template.HTML
}

// workingsOf is the address under which the workings of the figures of a bed's plan stand.
func workingsOf(bed string) string { return "/beds/" + bed + "/working/" }

// pieces presses sections of a plan, those that it has; doors is the address of the workings of its figures, "" where
// there is none. What the press writes is HTML in which every word of a person is escaped.
func (v *visit) pieces(p plan.Plan, words *lang.Printer, doors string, ids ...string) ([]piece, error) {
	var out []piece
	for _, id := range ids {
		doc, ok := packet.Section(p, words, packet.Options{Paper: page.Letter, Doors: doors}, id)
		if !ok {
			continue
		}
		var b bytes.Buffer
		if _, err := v.memory.drawn.Fragment(doc, doc.Sections[0].Anchor(0), &b); err != nil {
			return nil, err
		}
		out = append(out, piece{id, doc.Sections[0].Title, template.HTML(b.String())})
	}
	return out, nil
}

// sections gives the sections of a plan that a page shows: all but those that are only
// paper to write on.
func sections(p plan.Plan) []string {
	return slices.DeleteFunc(packet.Sections(p), func(id string) bool { return id == "log" || id == "glance" })
}

// plannedPage is what stands on the page of a plan, as it is kept.
type plannedPage struct {
	Figures []figure
	Verdict string
	Pieces  []piece
	Doors   []link
	Waits   []wait
	Working string
	Steps   string // the page of the packet, with the steps of the work
}

// plan shows the plan: what to know first, then its sections to open. What the last visits of a log teach is in it
// once it was reckoned.
func (v *visit) plan() error {
	b, err := v.theBed()
	if err != nil {
		return err
	}
	good := func(made time.Time, newer bool) bool { return !newer || v.Now().Sub(made).Abs() < learnedFor }
	body, err := known(v, b.Bed, knownPlan, v.words.Language, good, v.turnToFit, func() (out plannedPage, err error) {
		b, err := v.taughtBed()
		if err != nil {
			return out, err
		}
		p, words, err := v.planned(b)
		if err != nil {
			return out, err
		}
		return v.planPage(b.ID, p, words)
	})
	if err != nil {
		return err
	}
	s := v.of(b, "plan")
	s.Body = body
	return v.show("plan", s)
}

// planPage presses what stands on the page of a plan.
func (v *visit) planPage(bed string, p plan.Plan, words *lang.Printer) (out plannedPage, err error) {
	out = plannedPage{Waits: waits(p, words), Working: "/beds/" + bed + "/working", Steps: "/beds/" + bed + "/packet"}
	out.Figures, out.Verdict = glance(bed, p, words)
	for _, id := range sections(p) {
		out.Doors = append(out.Doors, link{words.Say("packet."+id+".title", nil), "/beds/" + bed + "/plan/" + id})
	}
	out.Pieces, err = v.pieces(p, words, workingsOf(bed), "first")
	return out, err
}

// wait is a part of the plan that waits for keys of the brief.
type wait struct {
	Part string
	For  []link
}

func waits(p plan.Plan, words *lang.Printer) []wait {
	var out []wait
	for _, w := range p.Waits {
		x := wait{Part: words.Say("word.part."+w.Part.String(), nil)}
		for _, path := range w.For {
			x.For = append(x.For, link{labelOf(words, path), "#" + idOf(path)})
		}
		out = append(out, x)
	}
	return out
}

// planSection shows one section of the plan.
func (v *visit) planSection() error {
	b, err := v.taughtBed()
	if err != nil {
		return err
	}
	id := v.PathValue("section")
	p, words, err := v.planned(b)
	if err != nil {
		return err
	}
	ids := sections(p)
	at := slices.Index(ids, id)
	if at < 0 {
		return finding.Fault{ID: FaultSection, Args: finding.Args{"Name": id}}
	}
	return v.showPiece(b, p, words, id, ids, at)
}

// sectionPage is a part of a plan on a page of its own.
type sectionPage struct {
	Piece        piece
	Back         link
	Nav          string // what the way on is called
	Class        string // "at-work": a step beside which one stands
	Before, Next *link
	Rests        []shownFigure // the figures of it
}

func (v *visit) showPiece(b aBed, p plan.Plan, words *lang.Printer, id string, ids []string, at int) error {
	list, err := v.pieces(p, words, workingsOf(b.ID), id)
	if err != nil {
		return err
	}
	if len(list) == 0 {
		return finding.Fault{ID: FaultSection, Args: finding.Args{"Name": id}}
	}
	door := func(i int) *link {
		if i < 0 || i >= len(ids) {
			return nil
		}
		return &link{words.Say("packet."+ids[i]+".title", nil), "/beds/" + b.ID + "/plan/" + ids[i]}
	}
	s := v.of(b, "section")
	s.Body = sectionPage{Piece: list[0], Back: link{v.say("web.section.back"), "/beds/" + b.ID + "/plan"}, Nav: v.say("web.section.nav"), Before: door(at - 1), Next: door(at + 1), Rests: figuresOf(b.ID, p, words, id)}
	return v.show("section", s)
}

// packet offers the paper: which part, in which language, on which paper.
func (v *visit) packet() error {
	b, err := v.taughtBed()
	if err != nil {
		return err
	}
	p, _, err := v.planned(b)
	if err != nil {
		return err
	}
	s := v.of(b, "packet")
	type choice struct{ Value, Name, Help string }
	var parts, tongues []choice
	for _, n := range packet.Parts() {
		parts = append(parts, choice{n, v.say("web.part." + n), v.say("web.part.help." + n)})
	}
	for _, t := range lang.Languages() {
		tongues = append(tongues, choice{Value: t, Name: v.say("web.language." + t)})
	}
	tongues = append(tongues, choice{Value: "en+es", Name: v.say("web.language.both")})
	s.Body = struct {
		Steps            []link
		To, HTML, Papers string
		Parts, Tongues   []choice
		Language, Paper  string
	}{v.steps(b.ID, packet.Steps(p)), "/beds/" + b.ID + "/packet.pdf", "/beds/" + b.ID + "/packet.html", "/beds/" + b.ID + "/papers", parts, tongues, v.words.Language, ""}
	return v.show("packet", s)
}

// asked makes the document that was asked for.
func (v *visit) asked() (doc page.Document, err error) {
	b, err := v.taughtBed()
	if err != nil {
		return doc, err
	}
	first, second, two := v.words.Language, "", false
	switch t := strings.ReplaceAll(v.FormValue("language"), " ", "+"); { // a plus in an address is a space
	case slices.Contains(lang.Languages(), t):
		first = t
	case t == "en+es":
		first, second, two = "en", "es", true
	}
	p, words, err := v.planned(b)
	if err != nil {
		return doc, err
	}
	if words, err = lang.For(first, words.Units); err != nil {
		return doc, err
	}
	o := packet.Options{Paper: page.Letter, Large: v.FormValue("large") != "", Printed: v.Now()}
	if sheet := v.FormValue("paper"); sheet == "a4" || sheet == "" && p.Metric() {
		o.Paper = page.A4
	}
	part := v.FormValue("part")
	if doc, err = packet.Paper(p.In(first), words, o, part); err != nil || !two || part == "template" {
		return doc, err
	}
	other, err := lang.For(second, words.Units)
	if err != nil {
		return doc, err
	}
	with, err := packet.Paper(p.In(second), other, o, part)
	return page.Both(doc, with), err
}

// packetPDF sends the paper as PDF.
func (v *visit) packetPDF() error {
	doc, err := v.asked()
	if err != nil {
		return err
	}
	var out bytes.Buffer
	if err := paper.PDF(doc, &out); err != nil {
		return err
	}
	h := v.out.Header()
	h.Set("Content-Type", "application/pdf")
	h.Set("Content-Disposition", `inline; filename="raftwright.pdf"`)
	h.Set("Cache-Control", "private, no-cache")
	_, err = v.out.Write(out.Bytes())
	return err
}

// packetHTML sends the paper as one file of HTML, for a screen reader and for phones.
func (v *visit) packetHTML() error {
	doc, err := v.asked()
	if err != nil {
		return err
	}
	var out bytes.Buffer
	if err := press.HTML(doc, &out); err != nil {
		return err
	}
	return v.attach("text/html; charset=utf-8", "raftwright.html", out.Bytes())
}
