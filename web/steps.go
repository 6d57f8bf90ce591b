package web

import (
	"bytes"
	"html/template"
	"slices"

	"raftwright/finding"
	"raftwright/packet"
	"raftwright/page"
)

// stepsOf is the address under which the steps of the work on a bed stand, each on a page of its own.
func stepsOf(bed string) string { return "/beds/" + bed + "/packet/" }

// steps are the doors to the steps of the work on a bed.
func (v *visit) steps(bed string, ids []string) []link {
	var out []link
	for _, id := range ids {
		out = append(out, link{v.say("face." + id + ".title"), stepsOf(bed) + id})
	}
	return out
}

// packetStep shows one step of the packet, with its pictures, as it stands on paper: for the phone that lies beside
// the work.
func (v *visit) packetStep() error {
	b, err := v.taughtBed()
	if err != nil {
		return err
	}
	p, words, err := v.planned(b)
	if err != nil {
		return err
	}
	id := v.PathValue("face")
	list := v.steps(b.ID, packet.Steps(p))
	at := slices.IndexFunc(list, func(l link) bool { return l.To == stepsOf(b.ID)+id })
	if at < 0 {
		return finding.Fault{ID: FaultSection, Args: finding.Args{"Name": id}}
	}
	o := packet.Options{Paper: page.Letter, Screen: true}
	if p.Metric() {
		o.Paper = page.A4
	}
	doc := packet.Faces(p, words, o, id)
	var pressed bytes.Buffer
	if _, err := v.memory.drawn.Fragment(doc, doc.Sections[0].Anchor(0), &pressed); err != nil {
		return err
	}
	body := sectionPage{Piece: piece{id, doc.Sections[0].Title, template.HTML(pressed.String())}, Back: link{v.say("web.step.back"), "/beds/" + b.ID + "/packet"}, Nav: v.say("web.step.nav"), Class: "at-work"}
	if at > 0 {
		body.Before = &list[at-1]
	}
	if at+1 < len(list) {
		body.Next = &list[at+1]
	}
	s := v.of(b, "step")
	s.AtBed, s.Body = true, body
	return v.show("section", s)
}
