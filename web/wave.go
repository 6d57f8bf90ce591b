package web

import (
	"bytes"
	"maps"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"raftwright/brief"
	"raftwright/finding"
	"raftwright/lang"
	"raftwright/packet"
	"raftwright/page"
	"raftwright/press/paper"
	"raftwright/programme"
	"raftwright/store"
)

// waveRoutes are the addresses of follow-ups: for the office, and for whoever was asked and holds a link.
func waveRoutes() []route {
	return []route{
		{"GET /program/wave/{wave}", (*visit).wave},
		{"POST /program/wave/{wave}", (*visit).askWave},
		{"GET /program/wave/{wave}/form.pdf", (*visit).waveForm},
		{"GET /answer/{link}", (*visit).followUp},
		{"POST /answer/{link}", (*visit).answer},
	}
}

// waveRecord finds the record of a wave, and its row.
func (v *visit) waveRecord() (store.Record, programme.Form, error) {
	f, _ := programme.FormOf("waves")
	if err := v.theBook(); err != nil {
		return store.Record{}, f, err
	}
	list, err := v.Store.LastRecords(v.context(), v.who, "waves", 0, mostOffers)
	if err != nil {
		return store.Record{}, f, err
	}
	for _, r := range list {
		if r.Name == v.PathValue("wave") {
			return r, f, nil
		}
	}
	return store.Record{}, f, finding.Fault{ID: store.FaultNotFound, Args: finding.Args{"Thing": finding.Word("store.word.record"), "Name": v.PathValue("wave")}}
}

// cellOf gives a column of a row.
func cellOf(r store.Record, column string) string {
	for _, p := range r.Row {
		if string(p.Path) == column {
			return p.Text
		}
	}
	return ""
}

// askable gives who lets themselves be asked today; in a wave of an event, of those who stand on its list. Before the event nobody needs to.
// The records are read as the house, since whoever answers may not read them.
func (v *visit) askable(wave string) ([]string, error) {
	house := *v
	house.who = store.Holder()
	v.House.year.mutex.Lock()
	defer v.House.year.mutex.Unlock()
	if err := house.readBook(); err != nil {
		return nil, err
	}
	return v.House.year.records.MayBeAsked(v.dayNow(), wave), nil
}

// waveLink is a link of a wave on the page of the office.
type waveLink struct{ Code, Link string }

// waveCodes are those who were asked of whom the same is known, in the order of their codes.
type waveCodes struct {
	State string
	Codes []string
}

// waveCounts are what the page of a wave counts.
type waveCounts struct{ Given, Answered, May, Needed int }

// wave shows a follow-up: its question, who may be asked, who was and has answered.
func (v *visit) wave() error { return v.showWave(nil) }

func (v *visit) showWave(told []waveLink) error {
	r, f, err := v.waveRecord()
	if err != nil {
		return err
	}
	links, err := v.Store.Askings(v.context(), v.who, r.Name)
	if err != nil {
		return err
	}
	may, err := v.askable(r.Name)
	if err != nil {
		return err
	}
	body := struct {
		Wave, English, Spanish, Row string
		Sent, Saw                   string
		Counts                      waveCounts
		Told                        []waveLink
		Asked                       []waveCodes
		Open                        []string // whose link can be taken back
		Asks, Reminds, LocalOnly    bool
		NoneLeft                    bool     // to remind
		Items                       []string // of the form
		Form, Kind                  string
		NoItems, NoEvent            bool
		Tells                       []string // who agreed to a story
		Papers                      []link
		Key                         string // where what comes back on paper is keyed in
	}{Wave: "/program/wave/" + url.PathEscape(r.Name), English: cellOf(r, "question"), Spanish: cellOf(r, "question_spanish"), Row: "/program/" + f.Table + "/" + r.ID, Sent: cellOf(r, "sent_on"), Told: told, LocalOnly: loopback(v.Host)}
	body.Saw = sawOf(r)
	agree := map[string]bool{}
	for _, code := range may {
		agree[code] = true
	}
	last := map[string]store.Asking{} // a person's last link
	for _, a := range links {
		last[a.Code] = a
	}
	asked := []waveCodes{{State: v.say("web.wave.waits")}, {State: v.say("web.wave.answered")}, {State: v.say("web.wave.withdrawn")}}
	for _, code := range slices.Sorted(maps.Keys(last)) {
		a, state := last[code], 0
		switch {
		case a.Answered:
			state = 1
		case a.Opens() && agree[code]:
			body.Open = append(body.Open, code)
		default:
			state = 2
		}
		asked[state].Codes = append(asked[state].Codes, code)
	}
	body.Asked = slices.DeleteFunc(asked, func(x waveCodes) bool { return x.Codes == nil })
	for _, a := range links {
		if a.Answered {
			body.Counts.Answered++
		}
	}
	for _, a := range links {
		if a.Tells && slices.Contains(may, a.Code) {
			body.Tells = append(body.Tells, a.Code)
		}
	}
	items, err := v.formOfWave(r)
	if err != nil {
		return err
	}
	for _, q := range items {
		body.Kind = q.Kind
		body.Items = append(body.Items, q.Text(v.words.Language))
	}
	body.Form = cellOf(r, "form")
	body.NoItems = body.Form != "" && len(items) == 0
	body.NoEvent = (body.Kind == "before" || body.Kind == "after") && cellOf(r, "event") == ""
	for _, t := range append(lang.Languages(), "en+es") {
		name := v.say("web.language.both")
		if t != "en+es" {
			name = v.say("web.language." + t)
		}
		body.Papers = append(body.Papers, link{name, body.Wave + "/form.pdf?language=" + url.QueryEscape(t)})
	}
	body.Key = "/keying?kind=" + url.QueryEscape(waveSheet+":"+r.Name)
	body.Counts.Given, body.Counts.May = len(last), len(may)
	body.Counts.Needed = programme.Needed(0.10, 0.5, programme.Level)
	body.Asks = len(may) > 0 && (body.English != "" || len(items) > 0)
	if body.Reminds = body.Sent != ""; body.Reminds {
		silent := func(code string) bool { return agree[code] && !last[code].Answered }
		body.NoneLeft = !slices.ContainsFunc(slices.Collect(maps.Keys(last)), silent)
	}
	return v.show("wave", sheet{Title: v.say("web.wave.title", "Name", r.Name), Of: v.say("web.wave.of"), Sheets: []link{{v.say("web.book.title"), "/program"}, {v.say("web.book.table.waves"), "/program/waves"}, {r.Name, ""}}, Body: body})
}

// sawOf tells one mailing of a wave from the next.
func sawOf(r store.Record) string { return cellOf(r, "sent_on") + "+" + cellOf(r, "reminders") }

// askWave gives links: the first time the wave is sent, later the silent are reminded with new ones; or it withdraws one.
func (v *visit) askWave() error {
	r, f, err := v.waveRecord()
	if err != nil {
		return err
	}
	if err := v.filled(); err != nil {
		return err
	}
	if code := v.PostFormValue("withdraw"); code != "" {
		if err := v.Store.WithdrawAsking(v.context(), v.who, r.Name, code); err != nil {
			return err
		}
		return v.to("/program/wave/" + url.PathEscape(r.Name))
	}
	if v.PostFormValue("tells") != "" {
		return v.tellsOf(r)
	}
	if v.PostFormValue("saw") != sawOf(r) { // sent twice by one touch, or by another
		return v.to("/program/wave/" + url.PathEscape(r.Name))
	}
	may, err := v.askable(r.Name)
	if err != nil {
		return err
	}
	before, err := v.Store.Askings(v.context(), v.who, r.Name)
	if err != nil {
		return err
	}
	asked := map[string]bool{}
	for _, a := range before {
		asked[a.Code] = true
	}
	first := cellOf(r, "sent_on") == ""
	if !first { // a reminder goes to who was asked
		may = slices.DeleteFunc(may, func(code string) bool { return !asked[code] })
	}
	secrets, err := v.Store.GiveAskings(v.context(), v.who, r.Name, may)
	if err != nil {
		return err
	}
	var told []waveLink
	for i, code := range may {
		if secrets[i] != "" {
			told = append(told, waveLink{Code: code, Link: v.origin() + "/answer/" + secrets[i]})
		}
	}
	if !first && len(told) == 0 { // nobody was reminded, so no reminder is counted
		return v.to("/program/wave/" + url.PathEscape(r.Name))
	}
	row := map[string]string{}
	if first {
		row["sent_on"], row["sent"] = v.officeDay(), strconv.Itoa(len(told))
	} else {
		n, _ := strconv.Atoi(cellOf(r, "reminders"))
		row["reminders"] = strconv.Itoa(min(n+1, 3))
	}
	anew := store.Record{ID: r.ID, Ledger: r.Ledger, Name: r.Name}
	for i, text := range textsIn(f, r) {
		name := f.Fields[i].Name
		if now, ok := row[name]; ok {
			text = now
		}
		anew.Row = append(anew.Row, brief.Pair{Path: finding.Path(name), Text: text})
	}
	if _, err := v.Store.PutRecord(v.context(), v.who, store.NewID(), r.Version, anew); err != nil {
		return err
	}
	return v.showWave(told)
}

// tellsOf writes the consents of those who agreed by a link that their story is told. They are of the day on which they are written down, so
// that they cannot be laid beside an answer.
func (v *visit) tellsOf(r store.Record) error {
	links, err := v.Store.Askings(v.context(), v.who, r.Name)
	if err != nil {
		return err
	}
	may, err := v.askable(r.Name)
	if err != nil {
		return err
	}
	for _, a := range links {
		if !a.Tells || !slices.Contains(may, a.Code) {
			continue
		}
		c := rowOf("consents", store.NewID(), programmeRow{"person": a.Code, "purpose": "tell", "given": v.officeDay()})
		if _, err := v.Store.PutRecord(v.context(), v.who, c.ID, 0, c); err != nil {
			return err
		}
		if err := v.Store.ToldAsking(v.context(), v.who, r.Name, a.Code); err != nil {
			return err
		}
	}
	return v.to("/program/wave/" + url.PathEscape(r.Name))
}

// waveForm gives the form of a wave on paper, in one language or in two.
func (v *visit) waveForm() error {
	r, _, err := v.waveRecord()
	if err != nil {
		return err
	}
	items, err := v.formOfWave(r)
	if err != nil {
		return err
	}
	reminders, _ := strconv.Atoi(cellOf(r, "reminders"))
	wave := programme.Wave{ID: r.Name, Question: cellOf(r, "question"), Spanish: cellOf(r, "question_spanish")}
	var doc page.Document
	tongues := []string{v.FormValue("language")}
	if strings.ReplaceAll(tongues[0], " ", "+") == "en+es" { // a plus in an address is a space
		tongues = []string{"en", "es"}
	}
	for i, t := range tongues {
		words, err := v.tongueOf(t)
		if err != nil {
			return err
		}
		one := packet.FollowUp(wave, items, reminders+1, words, packet.Options{Paper: page.Letter})
		if i == 0 {
			doc = one
			continue
		}
		one.Sections[0].Title, one.Sections[0].NewPage = one.Title, true
		doc = page.Both(doc, one)
	}
	var out bytes.Buffer
	if err := paper.PDF(doc, &out); err != nil {
		return err
	}
	return v.attach("application/pdf", "form.pdf", out.Bytes())
}

// FaultAsked is a question that was asked already, or a wave that was sent with it.
const FaultAsked finding.ID = "web.fault.asked"

// wasSent refuses to change what a wave was opened with: its question, its form and event, and what its form asks.
func (v *visit) wasSent(f programme.Form, rows ...store.Record) error {
	if f.Table != "questions" && f.Table != "waves" {
		return nil
	}
	list, err := v.Store.LastRecords(v.context(), v.who, "waves", 0, mostOffers)
	if err != nil {
		return err
	}
	for _, w := range list {
		if cellOf(w, "sent_on") == "" {
			continue
		}
		for _, r := range rows {
			if f.Table == "questions" && cellOf(r, "form") != "" && cellOf(r, "form") == cellOf(w, "form") {
				return finding.Fault{ID: FaultAsked, Args: finding.Args{"Name": w.Name}}
			}
			for _, column := range []string{"question", "form", "event"} {
				if f.Table == "waves" && r.ID == w.ID && cellOf(r, column) != cellOf(w, column) {
					return finding.Fault{ID: FaultAsked, Args: finding.Args{"Name": w.Name}}
				}
			}
		}
	}
	return nil
}
