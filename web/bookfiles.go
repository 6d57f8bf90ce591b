package web

import (
	"archive/zip"
	"bytes"
	"cmp"
	"encoding/csv"
	"errors"
	"io"
	"iter"
	"net/http"
	"path"
	"runtime/debug"
	"slices"
	"strconv"
	"strings"
	"time"

	"raftwright/brief"
	"raftwright/finding"
	"raftwright/programme"
	"raftwright/store"
)

// rows gives the rows of the records, and notes in orders those of each table.
func (v *visit) rows(orders map[string]*rowOrders) programme.Source {
	return func(tables []programme.Form, row func(table string, texts []string) error) error {
		clear(orders)
		var wanted []store.Columns
		for _, f := range tables {
			c := store.Columns{Ledger: f.Table}
			for _, field := range f.Fields {
				c.Names = append(c.Names, field.Name)
			}
			wanted = append(wanted, c)
		}
		ledger, list := "", (*rowOrders)(nil)
		return v.Store.EachRow(v.context(), v.who, wanted, func(of string, order int64, texts []string) error {
			if of != ledger {
				ledger, list = of, &rowOrders{}
				orders[of] = list
			}
			list.add(order)
			return row(of, texts)
		})
	}
}

// takeBook gives all records as the open form: a folder of CSV files in an archive.
func (v *visit) takeBook() error {
	if err := v.theBook(); err != nil {
		return err
	}
	files, err := programme.FilesOf(v.rows(map[string]*rowOrders{}))
	if err != nil {
		return err
	}
	var out bytes.Buffer
	z := zip.NewWriter(&out)
	for _, f := range programme.Forms() {
		text, ok := files[f.Table+".csv"]
		if !ok {
			continue
		}
		if f.Table == "slips" {
			text, err = byName(text)
			if err != nil {
				return err
			}
		}
		w, err := z.Create("program/" + f.Table + ".csv")
		if err == nil {
			_, err = io.WriteString(w, text)
		}
		if err != nil {
			return err
		}
	}
	if err := z.Close(); err != nil {
		return err
	}
	h := v.out.Header()
	h.Set("Content-Type", "application/zip")
	h.Set("Content-Disposition", `attachment; filename="program.zip"`)
	_, err = v.out.Write(out.Bytes())
	return err
}

// byName puts the rows of a file in the order of their names. Slips have theirs by chance: so the file does not say which was keyed before which.
func byName(text string) (string, error) {
	rows, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	if err != nil || len(rows) == 0 {
		return text, err
	}
	slices.SortStableFunc(rows[1:], func(a, b []string) int { return cmp.Compare(a[0], b[0]) })
	var out strings.Builder
	w := csv.NewWriter(&out)
	err = w.WriteAll(rows)
	return out.String(), err
}

// mostUnpacked bounds what an archive unpacks to, in all.
const mostUnpacked = 64 << 20

// fillBook fills an empty book from such an archive, all of it or nothing.
func (v *visit) fillBook() error {
	if err := v.theBook(); err != nil {
		return err
	}
	if err := v.filled(); err != nil {
		return err
	}
	counts, err := v.Store.RecordCounts(v.context(), v.who)
	if err != nil {
		return err
	}
	if len(counts) > 0 {
		return finding.Fault{ID: FaultNoEmpty}
	}
	// ten years are minutes of writing on a small machine, and their size is bounded: the answer is waited for
	if err := http.NewResponseController(v.out).SetWriteDeadline(time.Time{}); err != nil && !errors.Is(err, http.ErrNotSupported) {
		return err
	}
	file, head, err := v.FormFile("file")
	if err != nil {
		return finding.Fault{ID: FaultZip}
	}
	defer file.Close()
	files, err := unpacked(file, head.Size)
	if err != nil {
		return err
	}
	book, faults := programme.ReadBook(files)
	if len(faults) == 0 {
		faults = book.Records.BackAgain(files["consents.csv"])
	}
	if len(faults) > 0 {
		return v.bookFaults(faults)
	}
	orders := map[string]*rowOrders{} // of the rows of each table, from 1
	if err := v.Store.PutEachRecord(v.context(), v.who, rowsOf(book, orders)); err != nil {
		return err
	}
	if err := v.keepBook(book, orders); err != nil {
		return err
	}
	return v.to("/program")
}

// rowsOf gives the rows of a book as records, as they were read: notes and blank lines of a file are no rows. It notes their orders.
func rowsOf(book *programme.Book, orders map[string]*rowOrders) iter.Seq[store.Record] {
	return func(yield func(store.Record) bool) {
		n := int64(0)
		for _, f := range programme.Forms() {
			list := &rowOrders{}
			orders[f.Table] = list
			for _, row := range book.Records.Rows(f.Table) {
				r := store.Record{ID: store.NewIDIn(f.Table), Ledger: f.Table, Row: make([]brief.Pair, len(row))}
				for i, c := range f.Fields {
					r.Row[i] = brief.Pair{Path: finding.Path(c.Name), Text: row[i]}
				}
				if f.Named {
					r.Name = row[0]
				}
				n++
				list.add(n)
				if !yield(r) {
					return
				}
			}
		}
	}
}

// keepBook remembers records that were read and are now all that the store has, so that nobody waits until they are read again. If something else was written there meanwhile,
// they are read when somebody asks.
func (v *visit) keepBook(book *programme.Book, orders map[string]*rowOrders) error {
	m := &v.House.year
	m.mutex.Lock()
	defer m.mutex.Unlock()
	m.reports = nil
	there, all := int64(0), int64(0)
	counts, err := v.Store.RecordCounts(v.context(), v.who)
	if err != nil {
		return err
	}
	for _, rows := range counts {
		there += int64(rows)
	}
	for _, rows := range orders {
		all += int64(rows.n)
	}
	first, err := v.Store.FirstRecord(v.context(), v.who)
	if err != nil {
		return err
	}
	last, err := v.Store.RecordsTouched(v.context())
	if err != nil || all == 0 || there != all || last-first.Order+1 != all {
		return err
	}
	for _, rows := range orders {
		rows.shift(first.Order - 1)
	}
	m.use()
	m.book, m.faults, m.records, m.orders = book, nil, book.Records, orders
	m.touched, m.reports = last, map[string]*programme.Report{}
	if all > manyRows {
		time.AfterFunc(tidyAfter, debug.FreeOSMemory)
	}
	return nil
}

func unpacked(file io.ReaderAt, size int64) (map[string]string, error) {
	z, err := zip.NewReader(file, size)
	if err != nil {
		return nil, finding.Fault{ID: FaultZip}
	}
	files, left, tables := map[string]string{}, int64(mostUnpacked), 0
	for _, f := range z.File {
		name := path.Base(f.Name)
		if f.FileInfo().IsDir() {
			continue
		}
		if _, ok := programme.FormOf(strings.TrimSuffix(name, ".csv")); !ok {
			files[name] = "" // of no table: its name alone, which may be meant for one
			continue
		}
		tables++
		r, err := f.Open()
		if err != nil {
			return nil, finding.Fault{ID: FaultZip}
		}
		text, err := io.ReadAll(io.LimitReader(r, left+1))
		if err = errors.Join(err, r.Close()); err != nil {
			return nil, finding.Fault{ID: FaultZip}
		}
		if left -= int64(len(text)); left < 0 {
			return nil, finding.Fault{ID: FaultTooLong}
		}
		files[name] = string(text)
	}
	if tables == 0 {
		return nil, finding.Fault{ID: FaultZip}
	}
	return files, nil
}

// bookFaults shows everything that is wrong in the files of an archive, at its line.
func (v *visit) bookFaults(faults finding.Faults) error {
	type at struct{ Where, What, Right string }
	var rows []at
	for _, f := range faults[:min(len(faults), 200)] {
		what, right := v.words.Fault(f)
		rows = append(rows, at{f.File + ":" + strconv.Itoa(f.Line) + ":" + strconv.Itoa(f.Column), what, right})
	}
	return v.showAs(http.StatusUnprocessableEntity, "bookfaults", sheet{Title: v.say("web.book.faults"), Of: v.say("web.book.faults_of", "Count", len(faults)), Body: rows})
}
