package web

import (
	"bytes"
	"cmp"
	"encoding/csv"
	"html/template"
	"net/url"
	"runtime/debug"
	"slices"
	"strconv"
	"strings"
	"sync"
	"time"

	"raftwright/brief"
	"raftwright/finding"
	"raftwright/lang"
	"raftwright/packet"
	"raftwright/page"
	"raftwright/press"
	"raftwright/press/paper"
	"raftwright/programme"
	"raftwright/store"
)

// FaultDay is a text that is no day.
const FaultDay finding.ID = "web.fault.day"

// bookMemory holds the records as they were read last, and the reports made of them. Nothing is lost with it: it is a matter
// of speed alone, and holds only while no record was written since, here or by another server.
type bookMemory struct {
	mutex   sync.Mutex
	touched int64
	book    *programme.Book
	orders  map[string]*rowOrders // of the rows of each table, as the store has them
	records programme.Records
	faults  finding.Faults
	reports map[string]*programme.Report
	asked   time.Time
	rest    *time.Timer
	spare   sparing
	holds   time.Duration // after which it is forgotten where nobody asks; 0: heldFor
}

// heldFor is how long the records are held after a page asked for them: of ten years they are 180 MB.
const heldFor = 10 * time.Minute

// use notes that somebody asks. The memory must be held.
func (m *bookMemory) use() {
	m.asked = time.Now()
	after := cmp.Or(m.holds, heldFor)
	if m.rest == nil {
		m.rest = time.AfterFunc(after, m.forget)
		return
	}
	m.rest.Reset(after)
}

// Of so many rows the memory that reading them took is given back, a little after it: the report that they are read for is made first.
const manyRows, tidyAfter = 100_000, 5 * time.Second

// forget lets go of what nobody asked for since.
func (m *bookMemory) forget() {
	m.mutex.Lock()
	if time.Since(m.asked) < cmp.Or(m.holds, heldFor) {
		m.mutex.Unlock()
		return
	}
	many := m.rows() > manyRows
	m.touched, m.book, m.orders, m.records, m.faults, m.reports = 0, nil, nil, programme.Records{}, nil, nil
	m.mutex.Unlock()
	if many {
		debug.FreeOSMemory()
	}
}

// rows counts the rows of the records.
func (m *bookMemory) rows() (n int) {
	for _, o := range m.orders {
		n += o.n
	}
	return n
}

// mostLater bounds the records that are read by themselves after the others; with more all are read anew.
const mostLater = 2000

// mostReports bounds the reports that are remembered.
const mostReports = 8

// reported makes the report of a funder as of a day.
func (v *visit) reported(funder string, asOf programme.Day) (*programme.Report, finding.Faults, error) {
	if err := v.readBook(); err != nil {
		return nil, nil, err
	}
	m := &v.House.year
	if len(m.faults) > 0 {
		return nil, m.faults, nil
	}
	if n := m.rows(); n > manyRows {
		m.spare.begin(0, n)
	}
	key := funder + " " + asOf.String()
	if r := m.reports[key]; r != nil {
		return r, nil, nil
	}
	r, faults := programme.Make(m.records, funder, asOf)
	if len(faults) == 0 {
		if len(m.reports) >= mostReports {
			clear(m.reports)
		}
		m.reports[key] = r
	}
	return r, faults, nil
}

// readBook reads the records where some were written since, from those read last on. The memory must be held.
func (v *visit) readBook() error {
	touched, err := v.Store.RecordsTouched(v.context())
	if err != nil {
		return err
	}
	m := &v.House.year
	m.use()
	if m.reports != nil && m.touched == touched {
		return nil
	}
	wrong := func(f finding.Fault) bool { return f.ID != programme.FaultNothing } // a table may be missing yet
	if m.reports == nil || slices.ContainsFunc(m.faults, wrong) || touched < m.touched {
		return v.readBookAnew(touched)
	}
	list, touched, err := v.Store.RecordsSince(v.context(), v.who, m.touched, mostLater)
	if err != nil {
		return err
	}
	if len(list) == mostLater || !m.readOn(list) {
		return v.readBookAnew(touched)
	}
	m.records, m.touched, m.reports = m.book.Records, touched, map[string]*programme.Report{}
	return nil
}

// readBookAnew reads all records.
func (v *visit) readBookAnew(touched int64) error {
	m := &v.House.year
	m.reports = nil         // until all is read
	if touched > manyRows { // as many rows at most
		m.spare.begin(int(touched), 0)
	}
	orders := map[string]*rowOrders{}
	book, faults, err := programme.ReadRows(v.rows(orders))
	if err != nil {
		return err
	}
	m.book, m.faults, m.records, m.orders = book, faults, book.Records, orders
	m.touched, m.reports = touched, map[string]*programme.Report{}
	return nil
}

// readOn reads records that were written later. False where all must be read anew, too where rows were taken away.
func (m *bookMemory) readOn(list []store.Record) bool {
	var later []programme.Later
	forms := map[string]programme.Form{}
	for _, f := range programme.Forms() {
		forms[f.Table] = f
	}
	for _, r := range list {
		f, ok := forms[r.Ledger]
		switch {
		case r.Ledger == "destroyed", slices.ContainsFunc(m.faults, func(f finding.Fault) bool { return f.Args["File"] == r.Ledger+".csv" }):
			return false // or the table that was missing is there
		case !ok:
			continue // of no table of the book
		}
		orders := m.orders[r.Ledger]
		if orders == nil {
			orders = &rowOrders{}
			m.orders[r.Ledger] = orders
		}
		at, there := orders.find(r.Order)
		if !there {
			if at < orders.n {
				return false
			}
			orders.add(r.Order)
		}
		later = append(later, programme.Later{Table: r.Ledger, At: at, Row: textsIn(f, r)})
	}
	return m.book.ReadOn(later)
}

// asked is what a report is asked for.
type asked struct {
	Funder, Day, Since string
	Public             bool
	Language           string // en, es, en+es; blank: as the rules say, else the reader's
}

func (v *visit) askedReport() asked {
	q := v.URL.Query()
	return asked{q.Get("funder"), q.Get("day"), q.Get("since"), q.Get("edition") == "public", strings.ReplaceAll(q.Get("language"), " ", "+")}
}

// query gives the address of a page about the same report.
func (a asked) query(page string, more ...string) string {
	q := url.Values{"funder": {a.Funder}, "day": {a.Day}}
	if a.Since != "" {
		q.Set("since", a.Since)
	}
	if a.Public {
		q.Set("edition", "public")
	}
	if a.Language != "" {
		q.Set("language", a.Language)
	}
	for i := 0; i < len(more); i += 2 {
		q.Set(more[i], more[i+1])
	}
	return page + "?" + q.Encode()
}

// edition makes what was asked for, and the earlier one that it is held against.
func (v *visit) edition(a asked) (e, earlier *programme.Edition, before *programme.Report, faults finding.Faults, err error) {
	day, ok := programme.ParseDay(a.Day)
	if !ok {
		return nil, nil, nil, nil, finding.Fault{ID: FaultDay, Args: finding.Args{"Text": a.Day}}
	}
	r, faults, err := v.reported(a.Funder, day)
	if err != nil || len(faults) > 0 {
		return nil, nil, nil, faults, err
	}
	of := func(r *programme.Report) *programme.Edition {
		if a.Public {
			return r.Public()
		}
		return r.Inside()
	}
	if a.Since != "" {
		day, ok := programme.ParseDay(a.Since)
		if !ok {
			return nil, nil, nil, nil, finding.Fault{ID: FaultDay, Args: finding.Args{"Text": a.Since}}
		}
		if before, faults, err = v.reported(a.Funder, day); err != nil || len(faults) > 0 {
			return nil, nil, nil, faults, err
		}
		earlier = of(before)
	}
	return of(r), earlier, before, nil, nil
}

// reportDoc is the document of an edition in the language, or the two, that was asked for.
func (v *visit) reportDoc(a asked, e, earlier *programme.Edition) (page.Document, error) {
	t := cmp.Or(a.Language, e.Language())
	first, second, _ := strings.Cut(t, "+")
	words := v.words
	o := packet.Options{Paper: page.Letter}
	var err error
	if slices.Contains(lang.Languages(), first) {
		if words, err = lang.For(first, words.Units); err != nil {
			return page.Document{}, err
		}
	}
	doc := packet.Report(e, earlier, words, o)
	if !slices.Contains(lang.Languages(), second) {
		return doc, nil
	}
	other, err := lang.For(second, words.Units)
	return packet.InBoth(doc, packet.Report(e, earlier, other, o)), err
}

// withBook does something while no other page reads the records.
func (v *visit) withBook(do func() error) error {
	if err := v.theBook(); err != nil {
		return err
	}
	v.House.year.mutex.Lock()
	defer v.House.year.mutex.Unlock()
	return do()
}

// mayShut is a section of a report. A long list stands shut until somebody opens it, and is printed where it is open.
type mayShut struct {
	piece
	Long bool
}

// report asks who a report is for, and shows it.
func (v *visit) report() error {
	return v.withBook(func() error {
		a := v.askedReport()
		if err := v.readBook(); err != nil {
			return err
		}
		body := struct {
			Asked                      asked
			Funders                    []option
			Told                       []wrong
			Pieces                     []mayShut
			PDF, HTML, CSV, List, Keep string
			PDFBoth, HTMLBoth, Audit   string
			Went                       string // that it was remembered
		}{Asked: a}
		for _, f := range v.House.year.records.Funders {
			body.Funders = append(body.Funders, option{f.ID, cmp.Or(f.Label, f.ID), f.ID == a.Funder})
		}
		s := sheet{Title: v.say("web.report.title"), Of: v.say("web.report.of"), Wide: true}
		if a.Funder == "" {
			body.Asked.Day = v.officeDay()
			s.Body = body
			return v.show("report", s)
		}
		e, earlier, _, faults, err := v.edition(a)
		if err != nil {
			return v.retell(func(status int, told []wrong) error {
				body.Told, s.Body = told, body
				return v.showAs(status, "report", s)
			}, err)
		}
		if len(faults) > 0 {
			return v.bookFaults(faults)
		}
		doc := packet.Report(e, earlier, v.words, packet.Options{Paper: page.Letter})
		for i, part := range doc.Sections {
			var b bytes.Buffer
			if _, err := press.Fragment(doc, part.Anchor(i), &b); err != nil {
				return err
			}
			long := !a.Public && (part.ID == "report-m" || part.ID == "report-n") // lists for who audits
			body.Pieces = append(body.Pieces, mayShut{piece{part.Anchor(i), part.Title, template.HTML(b.String())}, long})
		}
		s.Title, s.Of = doc.Title, doc.Subtitle
		body.Audit = a.query("/program/audit.csv")
		both := a
		both.Language = "en+es"
		body.PDFBoth, body.HTMLBoth = both.query("/program/report.pdf"), both.query("/program/report.html")
		body.PDF, body.HTML, body.CSV = a.query("/program/report.pdf"), a.query("/program/report.html"), a.query("/program/report.csv")
		if body.List = a.query("/program/figures"); a.Public {
			body.List, body.Keep = "", a.query("/program/report")
			switch n, err := strconv.Atoi(v.URL.Query().Get("remembered")); {
			case err == nil && n > 0:
				body.Went = v.say("web.report.went", "Count", n)
			case err == nil:
				body.Went = v.say("web.report.went_before")
			}
		}
		s.Body = body
		return v.show("report", s)
	})
}

// reportFile gives a report as a file.
func (v *visit) reportFile(kind, as string, write func(e, earlier *programme.Edition, before *programme.Report, out *bytes.Buffer) error) error {
	return v.withBook(func() error {
		a := v.askedReport()
		e, earlier, before, faults, err := v.edition(a)
		if err != nil {
			return err
		}
		if len(faults) > 0 {
			return v.bookFaults(faults)
		}
		var out bytes.Buffer
		if err := write(e, earlier, before, &out); err != nil {
			return err
		}
		h := v.out.Header()
		h.Set("Content-Type", as)
		h.Set("Content-Disposition", `inline; filename="report.`+kind+`"`)
		if kind == "html" { // a document of its own brings its style with it
			h.Set("Content-Security-Policy", "default-src 'none'; style-src 'unsafe-inline'; img-src data:; font-src data:; base-uri 'none'; form-action 'none'; frame-ancestors 'none'")
		}
		_, err = v.out.Write(out.Bytes())
		return err
	})
}

func (v *visit) reportPDF() error {
	return v.reportFile("pdf", "application/pdf", func(e, earlier *programme.Edition, _ *programme.Report, out *bytes.Buffer) error {
		doc, err := v.reportDoc(v.askedReport(), e, earlier)
		if err != nil {
			return err
		}
		return paper.PDF(doc, out)
	})
}

func (v *visit) reportHTML() error {
	return v.reportFile("html", "text/html; charset=utf-8", func(e, earlier *programme.Edition, _ *programme.Report, out *bytes.Buffer) error {
		doc, err := v.reportDoc(v.askedReport(), e, earlier)
		if err != nil {
			return err
		}
		return press.HTML(doc, out)
	})
}

func (v *visit) reportCSV() error {
	return v.reportFile("csv", "text/csv; charset=utf-8", func(e, _ *programme.Edition, before *programme.Report, out *bytes.Buffer) error {
		out.WriteString(e.FiguresCSV(before))
		return nil
	})
}

func (v *visit) auditCSV() error {
	return v.reportFile("csv", "text/csv; charset=utf-8", func(e, _ *programme.Edition, _ *programme.Report, out *bytes.Buffer) error {
		out.WriteString(e.AuditCSV())
		return nil
	})
}

// openRows is how many records of a figure a page shows.
const openRows = 100

// figures lists every figure of the inside edition; each opens to its records.
func (v *visit) figures() error {
	return v.withBook(func() error {
		a := v.askedReport()
		a.Public = false
		e, _, _, faults, err := v.edition(a)
		if err != nil {
			return err
		}
		if len(faults) > 0 {
			return v.bookFaults(faults)
		}
		type row struct {
			To, Name, Value, Place string
			Count                  int
		}
		type part struct {
			Head string
			Rows []row
		}
		var parts []part
		for _, f := range packet.ReportFigures(e, v.words) {
			i := slices.IndexFunc(parts, func(p part) bool { return p.Head == f.Head })
			if i < 0 {
				i, parts = len(parts), append(parts, part{Head: f.Head})
			}
			p := &parts[i]
			p.Rows = append(p.Rows, row{a.query("/program/figure", "name", f.Name(), "county", f.County), f.Label, f.Value, f.Place, len(f.From)})
		}
		return v.show("figures", sheet{Title: v.say("web.report.figures"), Of: v.say("web.report.figures_of"), Sheets: []link{{v.say("web.book.title"), "/program"}, {v.say("web.report.title"), a.query("/program/report")}, {v.say("web.report.figures"), ""}}, Body: parts})
	})
}

// figure opens a figure to the records that it was counted from.
func (v *visit) figure() error {
	return v.withBook(func() error {
		a := v.askedReport()
		a.Public = false
		e, _, _, faults, err := v.edition(a)
		if err != nil {
			return err
		}
		if len(faults) > 0 {
			return v.bookFaults(faults)
		}
		q := v.URL.Query()
		from, _ := strconv.Atoi(q.Get("from"))
		from = max(from, 0)
		for _, f := range packet.ReportFigures(e, v.words) {
			if f.Name() != q.Get("name") || f.County != q.Get("county") {
				continue
			}
			type row struct {
				Cells   []string
				To, New string // a record that names staff: its address, and the id of the correction that takes the code off
			}
			type group struct {
				Table, To string
				Heads     []string
				Rows      []row
			}
			var groups []group
			for _, l := range e.Open(f.Figure, from, openRows) {
				if len(groups) == 0 || groups[len(groups)-1].To != "/program/"+l.Table {
					g := group{Table: v.say("web.book.table." + l.Table), To: "/program/" + l.Table}
					for _, c := range l.Columns {
						g.Heads = append(g.Heads, v.columnName(l.Table, c))
					}
					groups = append(groups, g)
				}
				g := &groups[len(groups)-1]
				if l.Table == "slips" && l.ID == "others" { // counties with few, together
					l.Values[0] = v.say("report.name.others")
				}
				shown := row{Cells: l.Values}
				if f.Name() == staffMet {
					if shown.To, err = v.addressOf(l.Table, l.ID); err != nil {
						return err
					}
					shown.New = store.NewIDIn(correctionsLedger)
				}
				g.Rows = append(g.Rows, shown)
			}
			body := struct {
				Value, Place, Means, Next string
				Count                     int
				Groups                    []group
			}{f.Value, f.Place, f.Means, "", len(f.From), groups}
			if from+openRows < len(f.From) {
				body.Next = a.query("/program/figure", "name", f.Name(), "county", f.County, "from", strconv.Itoa(from+openRows))
			}
			return v.show("figure", sheet{Title: f.Label, Of: f.Head, Wide: true, Sheets: []link{{v.say("web.report.title"), a.query("/program/report")}, {v.say("web.report.figures"), a.query("/program/figures")}, {f.Label, ""}}, Body: body})
		}
		return finding.Fault{ID: FaultNowhere, Args: finding.Args{"Address": v.URL.Path}}
	})
}

// staffMet is the figure of records that name staff as who was taught.
const staffMet = "staff_met"

// addressOf gives the address of a visit or a question by its name, "" where there is none. The book is read.
func (v *visit) addressOf(table, name string) (string, error) {
	m := &v.House.year
	i := -1
	switch table {
	case "visits":
		i = slices.IndexFunc(m.records.Visits, func(x programme.Visit) bool { return x.ID == name })
	case "inquiries":
		i = slices.IndexFunc(m.records.Inquiries, func(x programme.Inquiry) bool { return x.ID == name })
	}
	orders := m.orders[table]
	if i < 0 || orders == nil || i >= orders.n {
		return "", nil
	}
	list, err := v.Store.LastRecords(v.context(), v.who, table, orders.of(i)+1, 1)
	if err != nil || len(list) == 0 || list[0].Name != name {
		return "", err
	}
	return "/program/" + table + "/" + list[0].ID, nil
}

// remember keeps what a public edition shows beside what went out before, so that no two reports can be subtracted.
func (v *visit) remember() error {
	if err := v.filled(); err != nil {
		return err
	}
	return v.withBook(func() error {
		a := v.askedReport()
		a.Public = true
		e, _, _, faults, err := v.edition(a)
		if err != nil {
			return err
		}
		if len(faults) > 0 {
			return v.bookFaults(faults)
		}
		kept := e.ToRemember()
		done := a.query("/program/report", "remembered", strconv.Itoa(len(kept)))
		if len(kept) == 0 {
			return v.to(done)
		}
		text := programme.Write(programme.Records{Published: kept})["published.csv"]
		rows, err := csv.NewReader(strings.NewReader(text)).ReadAll()
		if err != nil {
			return err
		}
		var list []store.Record
		for _, row := range rows[1:] {
			r := store.Record{ID: store.NewID(), Ledger: "published"}
			for i, c := range rows[0] {
				r.Row = append(r.Row, brief.Pair{Path: finding.Path(c), Text: row[i]})
			}
			list = append(list, r)
		}
		if err := v.Store.PutRecords(v.context(), v.who, list); err != nil {
			return err
		}
		return v.to(done)
	})
}
