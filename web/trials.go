package web

import (
	"bytes"
	"cmp"
	"crypto/rand"
	"encoding/binary"
	"encoding/csv"
	"fmt"
	"html/template"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"github.com/google/uuid"

	"raftwright/brief"
	"raftwright/finding"
	"raftwright/packet"
	"raftwright/page"
	"raftwright/press"
	"raftwright/press/paper"
	"raftwright/programme"
	"raftwright/store"
	"raftwright/trial"
	"raftwright/unit"
)

// Faults of trials.
const (
	FaultTrial   finding.ID = "web.fault.trial"   // what is asked for a trial cannot be meant
	FaultClosed  finding.ID = "web.fault.closed"  // its weights stand in the book
	FaultRelaid  finding.ID = "web.fault.relaid"  // the plan now has other holes than the lot was drawn for
	FaultUnready finding.ID = "web.fault.unready" // nothing to compare yet
)

// Ledgers of trials: how they were laid out, and what was weighed, so many plots to a record.
const (
	laidLedger   = "laid"
	weighLedger  = "weighed"
	plotsARecord = 30
	trialClosed  = "closed"
)

// subjects are what two treatments can differ in, in the order in which they are offered.
var subjects = []trial.Subject{trial.Variety, trial.Cup, trial.Plug, trial.Spacing, trial.Feed, trial.Depth, trial.Air, trial.Site}

// mostPlots bounds the beds of a side of a trial of two sites.
const mostPlots = 20

// laid is a trial as it is kept.
type laid struct {
	store.Record
	trial.Trial
	bed, plots, state string
	seed              uint64
	strips, beds      int
	brief             int // the version of the brief for which the lot was drawn
}

// laidOf reads a trial.
func laidOf(r store.Record) laid {
	l := laid{Record: r}
	for _, x := range r.Row {
		switch n, _ := strconv.Atoi(x.Text); x.Path {
		case "bed":
			l.bed = x.Text
		case "of":
			l.Of = trial.Subject(x.Text)
		case "first":
			l.First = x.Text
		case "other":
			l.Other = x.Text
		case "seed":
			l.seed, _ = strconv.ParseUint(x.Text, 10, 64)
		case "strips":
			l.strips = n
		case "beds":
			l.beds = n
		case "brief":
			l.brief = n
		case "spread":
			l.Spread, _ = strconv.ParseFloat(x.Text, 64)
		case "plots":
			l.plots = x.Text
		case "state":
			l.state = x.Text
		}
	}
	return l
}

// row writes a trial as it is kept.
func (l laid) row() []brief.Pair {
	var out []brief.Pair
	for _, x := range [][2]string{{"bed", l.bed}, {"of", string(l.Of)}, {"first", l.First}, {"other", l.Other}, {"seed", strconv.FormatUint(l.seed, 10)}, {"strips", strconv.Itoa(l.strips)}, {"beds", strconv.Itoa(l.beds)},
		{"brief", strconv.Itoa(l.brief)}, {"spread", strconv.FormatFloat(l.Spread, 'f', -1, 64)}, {"plots", l.plots}, {"state", cmp.Or(l.state, "open")}} {
		out = append(out, brief.Pair{Path: finding.Path(x[0]), Text: x[1]})
	}
	return out
}

// within tells whether the plots are holes of one raft.
func (l laid) within() bool { return l.Of.Inside() && l.beds == 0 }

// holes gives the plots of a raft as they were drawn: the layout is kept, whatever becomes of the plan.
func (l laid) holes() (out []trial.Plot) {
	for _, x := range strings.Fields(l.plots) {
		name, side, _ := strings.Cut(x, ":")
		strip, _, _ := strings.Cut(name, "-")
		block, _ := strconv.Atoi(strip)
		out = append(out, trial.Plot{Name: name, Block: block, First: side == "A"})
	}
	return out
}

// plotsText writes plots as they are kept.
func plotsText(plots []trial.Plot) string {
	var out strings.Builder
	for _, p := range plots {
		side := "B"
		if p.First {
			side = "A"
		}
		fmt.Fprintf(&out, "%s:%s ", p.Name, side)
	}
	return strings.TrimSpace(out.String())
}

// names are the plots in the order of the weighing sheet, without what they got.
func (l laid) names() (out []string) {
	switch {
	case l.Of == trial.Site:
		for _, side := range []string{"A", "B"} {
			for i := range l.beds {
				out = append(out, side+strconv.Itoa(i+1))
			}
		}
	case l.within():
		for _, p := range l.holes() {
			out = append(out, p.Name)
		}
	default:
		for i := range l.beds {
			out = append(out, strconv.Itoa(i+1))
		}
	}
	return out
}

// lots draws the lot of a trial: the same seed gives the same.
func (v *visit) lots(l *laid, b aBed) (finding.Faults, error) {
	switch {
	case l.Of == trial.Site:
		return nil, nil
	case !l.within():
		beds, faults := trial.Over(l.beds, l.seed)
		l.Beds = &beds
		return faults, nil
	}
	p, _, err := v.planned(b)
	if err != nil {
		return nil, err
	}
	if p.Raft == nil {
		return nil, finding.Fault{ID: packet.FaultNoRaft}
	}
	var holes [][2]float64
	for _, q := range p.Raft.Positions {
		holes = append(holes, [2]float64{float64(q.X), float64(q.Y)})
	}
	layout, faults := trial.Lay(holes, l.seed, l.strips)
	l.Layout = &layout
	return faults, nil
}

// trials lists the trials of a bed, and lays one out.
func (v *visit) trials() error { return v.showTrials(http.StatusOK, nil) }

func (v *visit) showTrials(status int, told []wrong) error {
	if err := v.theBook(); err != nil {
		return err
	}
	b, err := v.theBed()
	if err != nil {
		return err
	}
	list, err := v.Store.LastRecords(v.context(), v.who, laidLedger, 0, mostOffers)
	if err != nil {
		return err
	}
	body := struct {
		Bed, ID, First, Other, Beds, Spread, Strips, Seed string
		Subjects                                          []option
		Trials                                            []way
		Told                                              []wrong
		Demo                                              bool
	}{Bed: b.ID, ID: store.NewID(), Told: told, Demo: b.ID == demonstration}
	for _, f := range []struct {
		to   *string
		name string
	}{{&body.First, "first"}, {&body.Other, "other"}, {&body.Beds, "beds"}, {&body.Spread, "spread"}, {&body.Strips, "strips"}, {&body.Seed, "seed"}} {
		*f.to = v.PostFormValue(f.name)
	}
	for _, s := range subjects {
		body.Subjects = append(body.Subjects, option{string(s), v.say("web.trial.subject." + string(s)), string(s) == v.PostFormValue("of")})
	}
	for _, r := range list {
		if l := laidOf(r); l.bed == b.ID {
			body.Trials = append(body.Trials, way{v.say("web.trial.name", "First", l.First, "Other", l.Other), "/beds/" + b.ID + "/trials/" + l.ID, v.words.Date(r.Recorded.Local())})
		}
	}
	s := v.of(b, "papers")
	s.Of, s.Body = v.say("web.trial.title"), body
	return v.showAs(status, "trials", s)
}

// layTrial draws the lot of a new trial, once however often it is sent, and keeps it.
func (v *visit) layTrial() error {
	if err := v.filled(); err != nil {
		return err
	}
	if err := v.theBook(); err != nil {
		return err
	}
	b, err := v.theBed()
	if err != nil {
		return err
	}
	if b.ID == demonstration {
		return finding.Fault{ID: FaultReadOnly}
	}
	l := laid{bed: b.ID, brief: b.Version, Record: store.Record{ID: v.PostFormValue("id"), Ledger: laidLedger}}
	l.Of, l.First, l.Other = trial.Subject(v.PostFormValue("of")), v.fact("first", ""), v.fact("other", "")
	there := "/beds/" + b.ID + "/trials/" + l.ID
	if _, err := v.Store.Record(v.context(), v.who, l.ID); err == nil { // sent before
		return v.to(there)
	}
	if uuid.Validate(l.ID) != nil || !slices.Contains(subjects, l.Of) || l.First == "" || l.Other == "" || strings.EqualFold(l.First, l.Other) {
		return v.retell(v.showTrials, finding.Fault{ID: FaultTrial})
	}
	if err := v.asksOf(&l); err != nil {
		return v.retell(v.showTrials, err)
	}
	faults, err := v.lots(&l, b)
	if err == nil && len(faults) > 0 {
		err = faults[0]
	}
	if err != nil {
		return v.retell(v.showTrials, err)
	}
	if l.Layout != nil {
		l.plots = plotsText(l.Layout.Plots())
	}
	l.Name = l.ID
	l.Row = l.row()
	if _, err := v.Store.PutRecord(v.context(), v.who, l.ID, 0, l.Record); err != nil {
		return v.retell(v.showTrials, err)
	}
	return v.to(there)
}

// asksOf reads the numbers that are asked of a trial; a seed that nobody gives is drawn.
func (v *visit) asksOf(l *laid) error {
	whole := func(name string, least, most int) (int, error) {
		text := v.fact(name, "")
		if text == "" {
			return 0, nil
		}
		n, err := strconv.Atoi(text)
		if err != nil || n < least || n > most {
			return 0, finding.Fault{ID: FaultTrial}
		}
		return n, nil
	}
	var err error
	if l.strips, err = whole("strips", 2, 12); err != nil {
		return err
	}
	if l.beds, err = whole("beds", 2, 200); err != nil {
		return err
	}
	if l.Of == trial.Site {
		l.beds = min(cmp.Or(l.beds, 3), mostPlots)
	} else if !l.Of.Inside() && l.beds == 0 {
		return finding.Fault{ID: trial.FaultShared, Args: finding.Args{"Of": string(l.Of)}}
	}
	if text := v.fact("spread", ""); text != "" {
		if last := text[len(text)-1]; last >= '0' && last <= '9' { // a number alone is grams, as on the weighing sheet
			text += " g"
		}
		m, err := unit.MassKind.Parse(text)
		if l.Spread = unit.Mass(m).Grams(); err != nil || l.Spread <= 0 {
			return finding.Fault{ID: FaultTrial}
		}
	}
	if text := v.fact("seed", ""); text != "" {
		seed, err := strconv.ParseUint(text, 10, 32)
		if err != nil {
			return finding.Fault{ID: FaultTrial}
		}
		l.seed = seed
		return nil
	}
	var chance [4]byte
	if _, err := rand.Read(chance[:]); err != nil {
		return err
	}
	l.seed = uint64(binary.LittleEndian.Uint32(chance[:]))
	return nil
}

// theTrial finds the trial of an address, and its bed with the brief for which the lot was drawn.
func (v *visit) theTrial() (l laid, b aBed, err error) {
	if err := v.theBook(); err != nil {
		return l, b, err
	}
	if b, err = v.theBed(); err != nil {
		return l, b, err
	}
	id := v.PathValue("trial")
	r, err := v.Store.Record(v.context(), v.who, id)
	if err == nil {
		l = laidOf(r)
	}
	if err == nil && (r.Ledger != laidLedger || l.bed != b.ID) {
		err = finding.Fault{ID: store.FaultNotFound, Args: finding.Args{"Thing": finding.Word("store.word.record"), "Name": id}}
	}
	if err != nil || l.brief == b.Version {
		return l, b, err
	}
	list, err := v.Store.Versions(v.context(), v.who, b.ID)
	for _, x := range list {
		if x.Number == l.brief {
			if then, wrong := brief.Parse(briefName, []byte(x.Text)); then != nil {
				b.reading = readAs(then, wrong)
			}
		}
	}
	return l, b, err
}

// weights gives what was weighed, by plots, and the records that it stands in.
func (v *visit) weights(l laid) (map[string]string, map[string]store.Record, error) {
	texts, records := map[string]string{}, map[string]store.Record{}
	list, err := v.Store.LastRecords(v.context(), v.who, weighLedger+":"+l.ID, 0, mostOffers)
	for _, r := range list {
		records[r.Name] = r
		for _, x := range r.Row {
			texts[string(x.Path)] = x.Text
		}
	}
	return texts, records, err
}

// weighed compares what was weighed. Faults stand at their plots.
func (l laid) weighed(texts map[string]string) (r trial.Result, bad map[string]finding.Faults) {
	var text strings.Builder
	out := csv.NewWriter(&text)
	_ = out.Write([]string{"plot", "weight_g"}) // memory takes all
	at := []string{"", ""}                      // the plot of each line, from 1
	for _, name := range l.names() {
		parts := strings.FieldsFunc(texts[name], func(c rune) bool { return strings.ContainsRune(" ;/", c) })
		if len(parts) == 0 || l.within() {
			parts = []string{strings.TrimSpace(texts[name])}
		}
		for _, g := range parts {
			if g == leftOut {
				g = ""
			}
			_ = out.Write([]string{name, g})
			at = append(at, name)
		}
	}
	out.Flush()
	var faults finding.Faults
	switch {
	case l.Of == trial.Site:
		r, faults = trial.ReadSites("", text.String())
	case l.within():
		r, faults = trial.Read("", text.String(), l.holes())
	default:
		beds, wrong := trial.Over(l.beds, l.seed)
		if faults = wrong; len(faults) == 0 {
			r, faults = trial.Read("", text.String(), beds.Plots())
		}
	}
	bad = map[string]finding.Faults{}
	for _, f := range faults {
		name := at[max(0, min(f.Line, len(at)-1))]
		bad[name] = append(bad[name], f)
	}
	return r, bad
}

// trialPage shows a trial: how it is laid out, and what its weights show.
func (v *visit) trialPage() error { return v.showTrial(http.StatusOK, nil) }

func (v *visit) showTrial(status int, told []wrong) error {
	l, b, err := v.theTrial()
	if err != nil {
		return err
	}
	texts, _, err := v.weights(l)
	if err != nil {
		return err
	}
	body := struct {
		To, Weights, PDF  string
		Closed, Site, May bool
		Pieces, Result    []piece
		Told              []wrong
	}{To: "/beds/" + b.ID + "/trials/" + l.ID, Closed: l.state == trialClosed, Site: l.Of == trial.Site, Told: told}
	body.Weights, body.PDF = body.To+"/weights", body.To+"/paper.pdf"
	p, words, err := v.planned(b)
	if err != nil {
		return err
	}
	pieces := func(t trial.Trial) (out []piece, err error) {
		doc := packet.Trial(p, t, words, packet.Options{Paper: page.Letter})
		for i, part := range doc.Sections {
			var text bytes.Buffer
			if _, err := press.Fragment(doc, part.Anchor(i), &text); err != nil {
				return nil, err
			}
			out = append(out, piece{part.Anchor(i), part.Title, template.HTML(text.String())})
		}
		return out, nil
	}
	if r, bad := l.weighed(texts); len(texts) > 0 && len(bad) == 0 {
		t := l.Trial
		t.Result = &r
		if body.Result, err = pieces(t); err != nil {
			return err
		}
		body.May = l.state != trialClosed && (r.Verdict == trial.Shown || r.Verdict == trial.NotShown)
	}
	if faults, err := v.relaid(&l, b); err != nil {
		return err
	} else if len(faults) > 0 {
		what, right := v.words.Fault(faults[0])
		body.Told, body.PDF = append(body.Told, wrong{what, right}), ""
	} else if !body.Site {
		if body.Pieces, err = pieces(l.Trial); err != nil {
			return err
		}
	} else {
		body.PDF = ""
	}
	s := v.of(b, "papers")
	s.Of, s.Body = v.say("web.trial.name", "First", l.First, "Other", l.Other), body
	return v.showAs(status, "trial", s)
}

// relaid draws the lot again; it tells where the plan has other holes now than those that were drawn for.
func (v *visit) relaid(l *laid, b aBed) (finding.Faults, error) {
	faults, err := v.lots(l, b)
	if err == nil && (len(faults) > 0 || l.Layout != nil && plotsText(l.Layout.Plots()) != l.plots) {
		faults = finding.Faults{{ID: FaultRelaid}}
	}
	return faults, err
}

// trialPDF gives the paper of a trial: steps, the plan for planting, and the sheet on which it is weighed blind.
func (v *visit) trialPDF() error {
	l, b, err := v.theTrial()
	if err != nil {
		return err
	}
	if l.Of == trial.Site {
		return finding.Fault{ID: FaultUnready}
	}
	if faults, err := v.relaid(&l, b); err != nil || len(faults) > 0 {
		return cmp.Or(err, error(finding.Fault{ID: FaultRelaid}))
	}
	p, words, err := v.planned(b)
	if err != nil {
		return err
	}
	o := packet.Options{Paper: page.Letter, Printed: v.Now()}
	if p.Metric() {
		o.Paper = page.A4
	}
	var out bytes.Buffer
	if err := paper.PDF(packet.Trial(p, l.Trial, words, o), &out); err != nil {
		return err
	}
	return v.attach("application/pdf", "trial.pdf", out.Bytes())
}

// closeTrial writes the means that were compared into the book, where the report finds them. From then on they stay.
func (v *visit) closeTrial() error {
	l, b, err := v.theTrial()
	if err != nil {
		return err
	}
	here := "/beds/" + b.ID + "/trials/" + l.ID
	if l.state == trialClosed {
		return v.to(here)
	}
	texts, _, err := v.weights(l)
	if err != nil {
		return err
	}
	r, bad := l.weighed(texts)
	if len(bad) > 0 || r.Verdict != trial.Shown && r.Verdict != trial.NotShown {
		return v.retell(v.showTrial, finding.Fault{ID: FaultUnready})
	}
	var list []store.Record
	f, _ := programme.FormOf("trials")
	for _, m := range r.Means {
		row := map[string]string{"trial": coded("T", l.ID), "design": "both in every bed", "block": m.Block, "plot": m.Block + "A", "treatment": l.First, "unit": "g", "seed": strconv.FormatUint(l.seed, 10), "value": strconv.FormatFloat(m.Grams, 'f', 4, 64)}
		if l.Of == trial.Site {
			row["design"] = "two sites"
		}
		if !m.First {
			row["treatment"], row["plot"] = l.Other, m.Block+"B"
		}
		x := store.Record{ID: uuid.NewSHA1(uuid.MustParse(l.ID), []byte("mean "+row["plot"])).String(), Ledger: "trials"}
		for _, c := range f.Fields {
			x.Row = append(x.Row, brief.Pair{Path: finding.Path(c.Name), Text: row[c.Name]})
		}
		list = append(list, x)
	}
	l.state = trialClosed
	l.Row = l.row()
	if err := v.Store.PutRecords(v.context(), v.who, append(list, l.Record)); err != nil {
		return err
	}
	return v.to(here)
}
