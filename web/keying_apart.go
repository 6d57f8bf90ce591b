package web

import (
	"encoding/csv"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"raftwright/finding"
	"raftwright/programme"
	"raftwright/store"
)

// apartTables are the tables of the book in which two keyings are compared.
var apartTables = []string{"signins", "slips", "answers"}

// difference is a place where two keyings differ, on a page.
type difference struct {
	Name, Where, First, Second string
	Whole                      bool // a whole row that one of them does not have
	Chosen                     string
}

// keyings gives the two keyings of a pile as the rows of the book that they come to, named by the numbers of the sheets.
func (v *visit) keyings(p pile) (sides [2]map[string][]programmeRow, drafts []string, err error) {
	for i := range sides {
		sides[i] = map[string][]programmeRow{}
		list, _, err := v.drafts(p, i+1)
		if err != nil {
			return sides, nil, err
		}
		for _, d := range list {
			for table, rows := range p.bookRows(d.cells, d.number, d.number) {
				sides[i][table] = append(sides[i][table], rows...)
			}
			drafts = append(drafts, d.ID)
		}
	}
	return sides, drafts, nil
}

// asTable writes rows as the text that two keyings are compared by.
func asTable(table string, rows []programmeRow) string {
	f, _ := bookForm(table)
	var text strings.Builder
	out := csv.NewWriter(&text)
	var head []string
	for _, c := range f.Fields {
		head = append(head, c.Name)
	}
	_ = out.Write(head) // memory takes all
	for _, r := range rows {
		line := make([]string, len(head))
		for i, c := range head {
			line[i] = r[c]
		}
		_ = out.Write(line)
	}
	out.Flush()
	return text.String()
}

// compared finds where the two keyings of a pile differ.
func (v *visit) compared(p pile, sides [2]map[string][]programmeRow) (out []difference, cells int, err error) {
	for _, table := range apartTables {
		if len(sides[0][table])+len(sides[1][table]) == 0 {
			continue
		}
		a, faults := programme.Twice(table, asTable(table, sides[0][table]), asTable(table, sides[1][table]))
		if len(faults) > 0 {
			return nil, 0, faults[0]
		}
		cells += a.Cells
		for _, x := range a.Apart {
			d := difference{Name: table + " " + x.Row + " " + x.Column, First: x.First, Second: x.Second, Whole: x.Column == ""}
			if d.Whole {
				d.Where = v.say("web.keying.row", "Name", v.sheetName(p, x.Row))
				if x.Line > 0 {
					d.First = v.say("web.keying.there")
				} else {
					d.Second = v.say("web.keying.there")
				}
			} else {
				column := v.columnName(table, x.Column)
				if x.Column == "groups" { // their column in the book says how they are parted there
					column = v.say("web.book.column.group")
				}
				d.Where = v.say("web.keying.cell", "Name", v.sheetName(p, x.Row), "Column", column)
				d.First, d.Second = strings.ReplaceAll(d.First, "|", "; "), strings.ReplaceAll(d.Second, "|", "; ")
			}
			if d.Chosen = v.PostFormValue(d.Name); d.Chosen != "1" && d.Chosen != "2" {
				d.Chosen = ""
			}
			out = append(out, d)
		}
	}
	return out, cells, nil
}

// sheetName names the sheet of a row, and the line on it by what it asks.
func (v *visit) sheetName(p pile, row string) string {
	sheet, item := row, ""
	if at := strings.LastIndex(row, " "); at > 0 {
		sheet, item = row[:at], row[at+1:]
	}
	for _, c := range v.columns(p) {
		if c.name == "item."+item {
			return sheet + ", " + c.Head
		}
	}
	return row
}

// apart shows where the two keyings of a pile differ.
func (v *visit) apart() error { return v.showApart(http.StatusOK, nil) }

func (v *visit) showApart(status int, told []wrong) error {
	p, err := v.thePile()
	if err != nil {
		return err
	}
	if p.state == pileDone {
		return finding.Fault{ID: FaultSettled}
	}
	sides, _, err := v.keyings(p)
	if err != nil {
		return err
	}
	list, cells, err := v.compared(p, sides)
	if err != nil {
		return err
	}
	both := true
	for turn := 1; turn <= 2; turn++ {
		d, _, err := v.drafts(p, turn)
		if err != nil {
			return err
		}
		both = both && len(d) > 0
	}
	body := struct {
		Pile, Says string
		Rows       []difference
		Told       []wrong
		Both       bool
		Count      int
	}{p.ID, v.say("web.keying.compared", "Cells", v.words.Number(float64(cells))), list, told, both, len(list)}
	return v.showAs(status, "apart", sheet{Title: v.pileName(p), Of: v.say("web.keying.apart"), Sheets: []link{{v.say("web.keying.title"), "/keying"}, {v.say("web.keying.turn1"), "/keying/" + p.ID}, {v.say("web.keying.turn2"), "/keying/" + p.ID + "?turn=2"}, {v.say("web.keying.apart"), ""}}, Body: body})
}

// settle writes a pile that was keyed twice into the book, where of each difference it is said what the paper has.
func (v *visit) settle() error {
	if err := v.filled(); err != nil {
		return err
	}
	p, err := v.thePile()
	if err != nil {
		return err
	}
	if p.state == pileDone {
		return finding.Fault{ID: FaultSettled}
	}
	sides, gone, err := v.keyings(p)
	if err != nil {
		return err
	}
	list, _, err := v.compared(p, sides)
	if err != nil {
		return err
	}
	chosen := map[string]string{}
	for _, d := range list {
		chosen[d.Name] = d.Chosen
	}
	if second, _, err := v.drafts(p, 2); err != nil || len(second) == 0 || !p.twice || slices.ContainsFunc(list, func(d difference) bool { return d.Chosen == "" }) {
		if err != nil {
			return err
		}
		return v.retell(v.showApart, finding.Fault{ID: FaultUnsettled})
	}
	var out []store.Record
	for _, table := range apartTables {
		for i, row := range settled(table, sides[0][table], sides[1][table], chosen) {
			key := rowName(table, row)
			switch table { // the number of a sheet is not kept
			case "slips":
				row["slip"] = p.called(row["slip"])
			case "answers":
				row["form"] = p.called("form " + row["form"])
			}
			out = append(out, p.asRecord(table, row, key+" "+strconv.Itoa(i)))
		}
	}
	return v.intoTheBook(p, out, gone)
}

// rowName names a row as the comparison does.
func rowName(table string, r programmeRow) string {
	switch table {
	case "signins":
		return r["event"] + " " + r["person"]
	case "answers":
		return r["form"] + " " + r["item"]
	}
	return r["slip"]
}

// settled gives the rows as it was chosen: what both have, with the cells of the one or the other, and the rows of one alone that the
// paper has.
func settled(table string, first, second []programmeRow, chosen map[string]string) (out []programmeRow) {
	other := map[string]programmeRow{}
	for _, r := range second {
		other[rowName(table, r)] = r
	}
	for _, r := range first {
		name := rowName(table, r)
		twin, both := other[name]
		delete(other, name)
		if !both {
			if chosen[table+" "+name+" "] == "1" {
				out = append(out, r)
			}
			continue
		}
		row := programmeRow{}
		for column, text := range r {
			row[column] = text
		}
		for column, text := range twin {
			if chosen[table+" "+name+" "+column] == "2" {
				row[column] = text
			}
		}
		out = append(out, row)
	}
	for _, r := range second {
		if name := rowName(table, r); other[name] != nil && chosen[table+" "+name+" "] == "2" {
			out = append(out, r)
		}
	}
	return out
}
