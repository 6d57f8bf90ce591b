package web

import (
	"archive/zip"
	"bytes"
	"cmp"
	"encoding/csv"
	"errors"
	"io"
	"net/http"
	"path"
	"slices"
	"strconv"
	"strings"

	"raftwright/brief"
	"raftwright/finding"
	"raftwright/programme"
	"raftwright/store"
)

// bookFiles writes the records as the files of the open form, and gives the orders of the rows of each.
func (v *visit) bookFiles() (files map[string]string, orders map[string][]int64, err error) {
	files, orders = map[string]string{}, map[string][]int64{}
	forms := map[string]programme.Form{}
	writers := map[string]*csv.Writer{}
	texts := map[string]*strings.Builder{}
	err = v.Store.EachRecord(v.context(), v.who, func(r store.Record) error {
		f, ok := forms[r.Ledger]
		if !ok {
			if f, ok = bookForm(r.Ledger); !ok {
				return nil // of a newer program
			}
			forms[r.Ledger], texts[r.Ledger] = f, &strings.Builder{}
			w := csv.NewWriter(texts[r.Ledger])
			writers[r.Ledger] = w
			var head []string
			for _, c := range f.Fields {
				head = append(head, c.Name)
			}
			if err := w.Write(head); err != nil {
				return err
			}
		}
		orders[r.Ledger] = append(orders[r.Ledger], r.Order)
		return writers[r.Ledger].Write(textsIn(f, r))
	})
	for name, w := range writers {
		w.Flush()
		files[name+".csv"] = texts[name].String()
	}
	return files, orders, err
}

// takeBook gives all records as the open form: a folder of CSV files in an archive.
func (v *visit) takeBook() error {
	if err := v.theBook(); err != nil {
		return err
	}
	files, _, err := v.bookFiles()
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
	file, head, err := v.FormFile("file")
	if err != nil {
		return finding.Fault{ID: FaultZip}
	}
	defer file.Close()
	files, err := unpacked(file, head.Size)
	if err != nil {
		return err
	}
	read, faults := programme.Read(files)
	if len(faults) > 0 {
		return v.bookFaults(faults)
	}
	var list []store.Record
	for _, f := range programme.Forms() {
		for _, row := range read.Rows(f.Table) { // as they were read: notes and blank lines of a file are no rows
			r := store.Record{ID: store.NewIDIn(f.Table), Ledger: f.Table}
			for i, c := range f.Fields {
				r.Row = append(r.Row, brief.Pair{Path: finding.Path(c.Name), Text: row[i]})
			}
			if f.Named {
				r.Name = r.Row[0].Text
			}
			list = append(list, r)
		}
	}
	if err := v.Store.PutRecords(v.context(), v.who, list); err != nil {
		return err
	}
	return v.to("/program")
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
		if _, ok := bookForm(strings.TrimSuffix(name, ".csv")); !ok {
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
