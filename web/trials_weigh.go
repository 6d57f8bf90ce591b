package web

import (
	"net/http"
	"slices"
	"strconv"
	"strings"

	"github.com/google/uuid"

	"raftwright/brief"
	"raftwright/finding"
	"raftwright/store"
)

// weigh shows the plots to be weighed, in the order of the sheet, without what each of them got.
func (v *visit) weigh() error {
	l, b, err := v.theTrial()
	if err != nil {
		return err
	}
	texts, _, err := v.weights(l)
	if err != nil {
		return err
	}
	return v.showWeights(http.StatusOK, l, b, texts, nil)
}

func (v *visit) showWeights(status int, l laid, b aBed, texts map[string]string, told []wrong) error {
	_, bad := l.weighed(texts)
	body := struct {
		To, First       string
		Rows            []keyedCell
		Faults          int
		Closed, Several bool
		Told            []wrong
	}{To: "/beds/" + b.ID + "/trials/" + l.ID, Closed: l.state == trialClosed, Several: !l.within(), Told: told}
	for i, name := range l.names() {
		c := keyedCell{Name: "plot" + strconv.Itoa(i), Text: texts[name], Label: name}
		for _, f := range bad[name] {
			what, right := v.words.Fault(f)
			c.Wrong = append(c.Wrong, wrong{what, right})
		}
		if len(c.Wrong) > 0 {
			if body.Faults++; body.First == "" {
				body.First = c.Name
			}
		}
		body.Rows = append(body.Rows, c)
	}
	if body.Faults > 0 && status == http.StatusOK {
		status = http.StatusUnprocessableEntity
	}
	s := v.of(b, "papers")
	s.Of, s.Body = v.say("web.trial.weigh"), body
	return v.showAs(status, "weights", s)
}

// keepWeights keeps what was typed, right or wrong, so that nothing is lost; what is wrong is told at its plot.
func (v *visit) keepWeights() error {
	if err := v.filled(); err != nil {
		return err
	}
	l, b, err := v.theTrial()
	if err != nil {
		return err
	}
	if l.state == trialClosed {
		return finding.Fault{ID: FaultClosed}
	}
	_, records, err := v.weights(l)
	if err != nil {
		return err
	}
	texts := map[string]string{}
	names := l.names()
	for at := 0; at < len(names); at += plotsARecord {
		name := l.ID + " " + strconv.Itoa(at/plotsARecord)
		r := store.Record{ID: uuid.NewSHA1(uuid.MustParse(l.ID), []byte(name)).String(), Ledger: weighLedger + ":" + l.ID, Name: name}
		for i := at; i < min(at+plotsARecord, len(names)); i++ {
			text := strings.TrimSpace(v.PostFormValue("plot" + strconv.Itoa(i)))
			texts[names[i]] = text[:min(len(text), mostFact)]
			r.Row = append(r.Row, brief.Pair{Path: finding.Path(names[i]), Text: texts[names[i]]})
		}
		if old := records[name]; !slices.Equal(old.Row, r.Row) {
			if _, err := v.Store.PutRecord(v.context(), v.who, store.NewID(), old.Version, r); err != nil {
				return v.retell(func(status int, told []wrong) error { return v.showWeights(status, l, b, texts, told) }, err)
			}
		}
	}
	if _, bad := l.weighed(texts); len(bad) > 0 {
		return v.showWeights(http.StatusUnprocessableEntity, l, b, texts, nil)
	}
	return v.to("/beds/" + b.ID + "/trials/" + l.ID)
}
