package web

import (
	"archive/zip"
	"bytes"
	"cmp"
	"errors"
	"html/template"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"sync"
	"sync/atomic"

	"raftwright/finding"
	"raftwright/lang"
	"raftwright/packet"
	"raftwright/page"
	"raftwright/plan"
	"raftwright/press"
	"raftwright/press/paper"
	"raftwright/workshop"
)

// mostTable bounds the table of families, in bytes; usualFamilies is how many come where nobody has said.
const (
	mostTable     = 64 << 10
	usualFamilies = 20
)

// gathered reads who comes to a workshop, and plans the day.
func (v *visit) gathered(b aBed) (workshop.Workshop, finding.Faults) {
	table := strings.TrimSpace(v.FormValue("table"))
	var families []workshop.Family
	var faults finding.Faults
	switch n, err := strconv.Atoi(cmp.Or(strings.TrimSpace(v.FormValue("families")), strconv.Itoa(usualFamilies))); {
	case len(table) > mostTable:
		return workshop.Workshop{}, finding.Faults{{ID: FaultTooLong}}
	case table != "":
		families, faults = workshop.Read("table", []byte(table), b.brief())
	case err != nil:
		faults = finding.Faults{{ID: workshop.FaultFamilies, Args: finding.Args{"Most": workshop.MostFamilies}}}
	default:
		families, faults = workshop.Alike(b.brief(), n)
	}
	if faults = append(faults, b.wrong()...); len(faults) > 0 {
		return workshop.Workshop{}, faults
	}
	v.memory.made.Add(int64(len(families)))
	return workshop.Make(v.job(b.brief(), nil), families)
}

// shownParts is how many sections of the leader's document stand on the page: the day at a glance, its run, and what to buy.
const shownParts = 3

// workshop plans a day at which families build the bed together.
func (v *visit) workshop() error { return v.showWorkshop(http.StatusOK, nil, nil, "") }

func (v *visit) showWorkshop(status int, told []wrong, made []string, labels string) error {
	b, err := v.theBed()
	if err != nil {
		return err
	}
	words, err := v.wordsFor(b.reading)
	if err != nil {
		return err
	}
	q := url.Values{"families": {cmp.Or(v.FormValue("families"), strconv.Itoa(usualFamilies))}}
	if v.FormValue("table") != "" {
		q.Set("table", v.FormValue("table"))
	}
	slips, err := v.slipsOfDay()
	if err != nil {
		wrongDay := func(to int, tell []wrong) error {
			status, told, slips.Day = to, append(told, tell...), v.dayNow().String()
			return nil
		}
		if err := v.retell(wrongDay, err); err != nil {
			return err
		}
	}
	if len(slips.Funders) > 0 {
		q.Set("day", slips.Day)
		if v.FormValue("slips") != "" {
			q.Set("slips", v.FormValue("slips"))
		}
	}
	body := struct {
		Bed, Families, Table, PDF, Zip, Labels string
		Down                                   string // where the day is written down
		Told                                   []wrong
		Pieces                                 []piece
		Makes                                  bool
		Made                                   []string
		Gone                                   []seat // beds of families that no longer come
		Has, Round, Next                       int    // families that have a bed, of which day, and the number of another
		Slips                                  slipsOfDay
	}{Slips: slips, Bed: b.ID, Families: q.Get("families"), Table: q.Get("table"), Told: told, Made: made, Labels: labels,
		PDF: "/beds/" + b.ID + "/workshop.pdf?" + q.Encode(), Zip: "/beds/" + b.ID + "/workshop.zip?" + q.Encode(), Makes: v.who.Begins() && b.ID != demonstration}
	if v.who.Accounts() {
		body.Down = "/program/events?" + url.Values{"with.form": {"workshop"}, "with.topic": {"build"}, "with.title": {b.Title}, "with.education": {"yes"}}.Encode()
	}
	ws, faults := v.gathered(b)
	for _, f := range faults {
		what, right := v.words.Fault(f)
		if f.Line > 0 {
			what = strconv.Itoa(f.Line) + ":" + strconv.Itoa(f.Column) + ": " + what
		}
		body.Told = append(body.Told, wrong{what, right})
	}
	if len(faults) > 0 {
		body.PDF, body.Makes, status = "", false, http.StatusUnprocessableEntity
	} else {
		if body.Makes {
			seats, err := v.seatsOf(b, ws.Families, v.bedsTitle(ws), v.roundAsked())
			if err != nil {
				return err
			}
			body.Gone, body.Round, body.Next = seats.gone(ws.Families), seats.round, min(seats.round+1, mostRounds)
			body.Has = len(seats.beds) - len(body.Gone)
		}
		doc := packet.Leader(ws, words, packet.Options{Paper: page.Letter, Printed: v.Now()})
		for i, part := range doc.Sections[:min(shownParts, len(doc.Sections))] {
			var out bytes.Buffer
			if _, err := press.Fragment(doc, part.Anchor(i), &out); err != nil {
				return err
			}
			body.Pieces = append(body.Pieces, piece{part.Anchor(i), part.Title, template.HTML(out.String())})
		}
	}
	s := v.of(b, "workshop")
	s.Body = body
	return v.showAs(status, "workshop", s)
}

// theWorkshop plans the day for a file of it.
func (v *visit) theWorkshop() (b aBed, ws workshop.Workshop, o packet.Options, err error) {
	if b, err = v.theBed(); err != nil {
		return b, ws, o, err
	}
	ws, faults := v.gathered(b)
	if len(faults) > 0 {
		return b, ws, o, faults[0]
	}
	slips, err := v.slipsOfDay()
	if err != nil {
		return b, ws, o, err
	}
	o = slips.options(packet.Options{Paper: page.Letter, Printed: v.Now()})
	if ws.Bed().Metric() {
		o.Paper = page.A4
	}
	return b, ws, o, nil
}

// leaderPDF gives the document of who leads the day.
func (v *visit) leaderPDF() error {
	b, ws, o, err := v.theWorkshop()
	if err != nil {
		return err
	}
	words, err := v.wordsFor(b.reading)
	if err != nil {
		return err
	}
	var out bytes.Buffer
	if err := paper.PDF(packet.Leader(ws, words, o), &out); err != nil {
		return err
	}
	return v.attach("application/pdf", "leader.pdf", out.Bytes())
}

// packets gives the packet of each family, in its language, in one archive.
func (v *visit) packets() error {
	_, ws, o, err := v.theWorkshop()
	if err != nil {
		return err
	}
	kits, err := v.pressedKits(ws, o)
	if err != nil {
		return err
	}
	var out bytes.Buffer
	z := zip.NewWriter(&out)
	for i, text := range kits {
		w, err := z.CreateHeader(&zip.FileHeader{Name: "kit-" + ws.Families[i].Code + ".pdf", Method: zip.Store}) // a PDF is packed
		if err == nil {
			_, err = w.Write(text)
		}
		if err != nil {
			return err
		}
	}
	if err := z.Close(); err != nil {
		return err
	}
	return v.attach("application/zip", "families.zip", out.Bytes())
}

// pressedKits makes the packet of each family, on as many processors as nobody else waits for.
func (v *visit) pressedKits(ws workshop.Workshop, o packet.Options) ([][]byte, error) {
	kits, wrong := make([][]byte, len(ws.Each)), make([]error, len(ws.Each))
	var next atomic.Int64
	var alike paper.Memory
	press := func() {
		for i := next.Add(1) - 1; i < int64(len(kits)); i = next.Add(1) - 1 {
			if wrong[i] = v.context().Err(); wrong[i] != nil { // whoever asked went away
				return
			}
			doc, err := kit(ws.Each[i], o)
			var out bytes.Buffer
			if err == nil {
				err = alike.PDF(doc, &out)
			}
			kits[i], wrong[i] = out.Bytes(), err
		}
	}
	var helpers sync.WaitGroup
	for range len(kits) - 1 {
		done, ok := v.turns.spare()
		if !ok {
			break
		}
		helpers.Go(func() { defer done(); press() })
	}
	press()
	helpers.Wait()
	return kits, errors.Join(wrong...)
}

// kit is the packet of one family in the language of its brief.
func kit(p plan.Plan, o packet.Options) (page.Document, error) {
	units := lang.US
	if p.Metric() {
		units = lang.Metric
	}
	words, err := lang.For(string(p.Brief.Language.Value), units)
	if err != nil {
		return page.Document{}, err
	}
	return packet.Paper(p.In(words.Language), words, o, "")
}
