package web

import (
	"bytes"
	"cmp"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"raftwright/brief"
	"raftwright/finding"
	"raftwright/page"
	"raftwright/press/paper"
	"raftwright/store"
)

// FaultLink is a link that is to be printed and does not open the bed.
const FaultLink finding.ID = "web.fault.link"

// mostLabels bounds the labels of one printing: two sheets.
const mostLabels = 12

// labels shows what opens a bed from its label: links, and how to print them.
func (v *visit) labels() error { return v.showLabels("") }

func (v *visit) showLabels(link string) error {
	b, err := v.theBed()
	if err != nil {
		return err
	}
	body := struct {
		Bed       string
		Demo      bool
		Shares    bool
		Link      string
		LocalOnly bool
		From      string
		Links     []given
	}{Bed: b.ID, Demo: b.ID == demonstration, Shares: b.ID != demonstration && v.who.Shares(b.Bed), From: "/beds/" + b.ID + "/labels", Link: link, LocalOnly: loopback(v.Host)}
	if body.Shares {
		list, err := v.Store.Passes(v.context(), v.who, b.ID)
		if err != nil {
			return err
		}
		body.Links = v.given(list, store.Link, b.ID)
	}
	s := v.of(b, "labels")
	s.Body = body
	return v.show("labels", s)
}

// giveLink makes a link of a bed. It is told this once; of a button that was pressed twice a browser shows the second answer, so that each
// makes a link of its own.
func (v *visit) giveLink() error {
	if err := v.filled(); err != nil {
		return err
	}
	b, err := v.theBed()
	if err != nil {
		return err
	}
	if b.ID == demonstration {
		return finding.Fault{ID: FaultReadOnly}
	}
	secret, err := v.Store.GivePass(v.context(), v.who, store.NewID(), store.Link, b.ID, "", strings.TrimSpace(v.PostFormValue("label")))
	if err != nil {
		return err
	}
	return v.showLabels(v.origin() + "/with/" + secret)
}

// printLabels sets labels with a link of the bed on sheets to cut apart. The link is sent
// again by the page that told it, and must still open this bed.
func (v *visit) printLabels() error {
	if err := v.filled(); err != nil {
		return err
	}
	b, err := v.theBed()
	if err != nil {
		return err
	}
	if b.ID == demonstration {
		return finding.Fault{ID: FaultReadOnly}
	}
	link := v.PostFormValue("link")
	at := strings.LastIndex(link, "/with/")
	if at < 0 {
		return finding.Fault{ID: FaultLink}
	}
	who, err := v.Store.ByPass(v.context(), link[at+len("/with/"):])
	if store.Is(err, store.FaultSignIn) || err == nil && who.Bed() != b.ID {
		return finding.Fault{ID: FaultLink}
	}
	if err != nil {
		return err
	}
	link = v.origin() + link[at:] // of this server, whatever the form says
	count, _ := strconv.Atoi(v.PostFormValue("count"))
	doc := v.labelsOn(b, slices.Repeat([][]page.Block{v.label(b, link)}, max(1, min(count, mostLabels))))
	var out bytes.Buffer
	if err := paper.PDF(doc, &out); err != nil {
		return err
	}
	return v.asLabels(out.Bytes())
}

// asLabels answers with labels, which no browser keeps: they hold links.
func (v *visit) asLabels(pdf []byte) error {
	h := v.out.Header()
	h.Set("Content-Type", "application/pdf")
	h.Set("Content-Disposition", `inline; filename="`+v.say("web.file.labels")+`.pdf"`)
	h.Set("Cache-Control", "no-store")
	v.out.WriteHeader(http.StatusOK)
	_, err := v.out.Write(pdf)
	return err
}

// label is one label: what the bed is called, where it stands, and the code that opens it.
func (v *visit) label(b aBed, link string) []page.Block {
	title := page.Literal(cmp.Or(b.Title, v.say("web.bed.nameless"))).Plain()
	one := []page.Block{page.Heading{Level: 1, Text: title}}
	if place := b.brief().Site.Place.Value; place != "" {
		one = append(one, page.Para{Text: page.Literal(place)})
	}
	return append(one, page.Code{Text: link, Alt: v.say("web.labels.code"), Size: 108, Caption: page.Text(v.say("web.labels.scan"))}, page.Para{Text: page.Literal(v.say("web.labels.hurts"))})
}

// labelsOn are labels to cut apart, six to a sheet of the paper of a bed.
func (v *visit) labelsOn(b aBed, cells [][]page.Block) page.Document {
	doc := page.Document{Language: v.words.Language, Title: "", Margin: 30}
	if b.brief().Units.Value == brief.Metric {
		doc.Paper = page.A4
	}
	doc.Sections = []page.Section{{ID: "labels", NewPage: true, Blocks: []page.Block{page.Slips{Cells: cells}}}}
	return doc
}
