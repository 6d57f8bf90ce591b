package web

import (
	"bytes"
	"cmp"
	"html/template"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"time"

	"raftwright/finding"
	"raftwright/packet"
	"raftwright/page"
	"raftwright/press"
	"raftwright/press/paper"
	"raftwright/trouble"
)

// topics are what a concern is about, as the book of a program has it; any other is about growing.
var topics = map[trouble.Concern]string{trouble.Illness: "safety", trouble.Structure: "build", trouble.Spray: "safety", trouble.Farm: "market"}

// askedAgain is the days until a question is asked after again.
const askedAgain = 7

// inquired reads what somebody told of a bed from afar. It stands in the address alone: nothing is kept of who asks.
func (v *visit) inquired() (trouble.Inquiry, finding.Faults) {
	q := v.URL.Query()
	some := func(name string) []string {
		var out []string
		for _, x := range q[name] {
			if x != "" && len(out) < 2*trouble.MostFacts && !slices.Contains(out, x) {
				out = append(out, x)
			}
		}
		return out
	}
	i := trouble.Inquiry{Call: trouble.Call{Seen: some("seen"), Not: some("not"), Is: some("is"), Unknown: some("unknown")}}
	for _, c := range trouble.Asked() {
		if slices.Contains(q["concern"], string(c)) {
			i.Concerns = append(i.Concerns, c)
		}
	}
	if faults := v.Book.Trouble.Check(i.Call); len(faults) > 0 {
		return i, faults
	}
	i.Opinion = v.Book.Trouble.Answer(i.Call)
	return i, nil
}

// furtherOn writes what was told, with one more answer, as an address.
func furtherOn(i trouble.Inquiry, more ...string) string {
	q := url.Values{"begun": {"yes"}, "seen": i.Call.Seen, "not": i.Call.Not, "is": i.Call.Is, "unknown": i.Call.Unknown}
	for _, c := range i.Concerns {
		q.Add("concern", string(c))
	}
	for n := 0; n < len(more); n += 2 {
		q.Add(more[n], more[n+1])
	}
	return "/question?" + q.Encode()
}

// question leads a volunteer through a question: what to ask first, then what splits the causes best, then what it
// points to, the letter, and where it is written down.
func (v *visit) question() error {
	if err := v.theBook(); err != nil {
		return err
	}
	i, faults := v.inquired()
	if len(faults) > 0 {
		return faults[0]
	}
	type answer struct{ Name, To string }
	body := struct {
		Begun             bool
		Concerns, Signs   []option
		Ask               string
		Answers           []answer
		Pieces            []piece
		Letter, Down, New string
		Count             int
	}{Begun: v.URL.Query().Get("begun") != "", New: "/question", Count: i.Call.Facts()}
	sign := func(key string) string { return v.say("trouble.sign." + key) }
	if !body.Begun {
		for _, c := range trouble.Asked() {
			body.Concerns = append(body.Concerns, option{Value: string(c), Name: v.say("inquiry.concern." + string(c))})
		}
		for _, k := range v.Book.Trouble.Members(trouble.Seen) {
			body.Signs = append(body.Signs, option{Value: k, Name: sign(k)})
		}
	} else if len(i.Concerns) == 0 && i.Opinion.Asks {
		n := i.Opinion.Next
		if n.Group == trouble.Seen {
			body.Ask = v.say("inquiry.ask.seen", "Sign", sign(n.Signs[0]))
			body.Answers = []answer{{v.say("web.question.yes"), furtherOn(i, "seen", n.Signs[0])}, {v.say("web.question.no"), furtherOn(i, "not", n.Signs[0])}, {v.say("web.question.unknown"), furtherOn(i, "unknown", n.Signs[0])}}
		} else {
			body.Ask = v.say("inquiry.ask." + n.Group)
			for _, k := range n.Signs {
				body.Answers = append(body.Answers, answer{sign(k), furtherOn(i, "is", k)})
			}
			body.Answers = append(body.Answers, answer{v.say("web.question.unknown"), furtherOn(i, "unknown", n.Group)})
		}
	}
	if body.Begun && (body.Count > 0 || len(i.Concerns) > 0) {
		doc := packet.Intake(i, v.words)
		for n, part := range doc.Sections {
			if part.ID != "points" {
				continue
			}
			var b bytes.Buffer
			if _, err := press.Fragment(doc, part.Anchor(n), &b); err != nil {
				return err
			}
			body.Pieces = append(body.Pieces, piece{part.Anchor(n), part.Title, template.HTML(b.String())})
		}
		letter := "/question/letter.pdf" + strings.TrimPrefix(furtherOn(i), "/question")
		body.Letter = letter
		down := url.Values{"with.status": {"closed"}, "with.topic": {"growing"}, "with.education": {"yes"}, "with.ask_again": {(v.dayNow() + askedAgain).String()}}
		if sent := trouble.SentOn(i.Opinion, i.Concerns); len(sent) > 0 { // as the letter says
			down.Set("with.status", "open")
			down.Set("with.referred", v.say("web.question.sent."+string(sent[0])))
			down.Set("with.topic", cmp.Or(topics[sent[0]], "growing"))
		}
		body.Down = "/program/inquiries?" + down.Encode()
	}
	return v.showAs(http.StatusOK, "question", sheet{Title: v.say("web.question.title"), Of: v.say("web.question.of"), Body: body})
}

// letter gives the answer to a question as a letter.
func (v *visit) letter() error {
	if err := v.theBook(); err != nil {
		return err
	}
	i, faults := v.inquired()
	if len(faults) > 0 {
		return faults[0]
	}
	day := v.Now()
	var out bytes.Buffer
	if err := paper.PDF(packet.Letter(i, day, day.Add(askedAgain*24*time.Hour), v.words, packet.Options{Paper: page.Letter}), &out); err != nil {
		return err
	}
	return v.attach("application/pdf", "letter.pdf", out.Bytes())
}
