package programme

import (
	"cmp"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"sync"

	"raftwright/internal/table"
)

// Range gives the funder's range.
func (r *Report) Range() Range { return Range{r.Funder.From, r.Funder.To} }

// Early tells whether the report was made before its range ended.
func (r *Report) Early() bool { return r.AsOf < r.Funder.To }

// Tables tells of each table how many rows the report read, how many of them it left out since their day lies outside the range (Dated: they have
// one), and a mark that tells its content from another.
type Tables struct {
	Name  string
	Rows  int
	Dated bool
	Left  int
	Mark  string
}

// Tables gives the tables that the report read, as they stood on its day.
func (r *Report) Tables() []Tables {
	if r.tables != nil {
		return r.tables
	}
	var out []Tables
	var marks sync.WaitGroup
	for _, s := range sheets {
		if s.rows(&r.stood.Records).Len() > 0 {
			out = append(out, Tables{Name: s.name})
		}
	}
	for i := range out {
		marks.Go(func() { out[i] = r.read(sheets[place(out[i].Name)]) })
	}
	marks.Wait()
	r.tables = out
	return out
}

// Ahead makes side by side what else the pages of an edition ask for: of many years the marks of tables, of lists of records and the edition for the
// public take as long as the report.
func (e *Edition) Ahead() {
	if e.Public {
		return
	}
	var work sync.WaitGroup
	work.Go(func() { e.Tables() })
	work.Go(func() { e.Report.Public() })
	for _, f := range e.Figures {
		if f.County == All {
			e.Digest(f)
		}
	}
	work.Wait()
}

// read tells of a table that was read.
func (r *Report) read(s sheet) Tables {
	rows := s.rows(&r.stood.Records)
	h := table.NewHash()
	s.write(rows, s.saying(rows), h)
	t := Tables{Name: s.name, Rows: rows.Len(), Mark: h.Text()[:12]}
	if c, dated := s.column("date"); dated && s.name != "prices" { // a price of before may hold still
		t.Dated = true
		for i := range rows.Len() {
			if !r.covers.Has(*rows.Index(i).Field(c.field).Addr().Interface().(*Day)) {
				t.Left++
			}
		}
	}
	return t
}

// Unread names the files and columns of the folder that were not read.
func (r *Report) Unread() []string { return r.stood.Unread }

// Corrections gives those made by the as-of day, in their order.
func (r *Report) Corrections() []Correction { return r.stood.made }

// Efforts gives the steps taken in the range to reach those who were missing.
func (r *Report) Efforts() []Effort {
	var out []Effort
	for _, e := range r.stood.Efforts {
		if r.covers.Has(e.Date) {
			out = append(out, e)
		}
	}
	return out
}

// Retail gives the retail prices that the values of the report rest on, the oldest first.
func (r *Report) Retail() []Price {
	used, prices := map[int]bool{}, place("prices")
	for _, f := range r.Figures {
		for _, ref := range f.From {
			if ref.Table() == prices {
				used[ref.Row()] = true
			}
		}
	}
	var out []Price
	for i, p := range r.stood.Prices {
		if used[i] {
			out = append(out, p)
		}
	}
	slices.SortFunc(out, func(a, b Price) int { return cmp.Or(cmp.Compare(a.Date, b.Date), cmp.Compare(a.ID, b.ID)) })
	return out
}

// Waves gives the waves sent in the range, by their names in this edition.
func (e *Edition) Waves() []string {
	var out []string
	for _, f := range e.Figures {
		if name, ok := strings.CutSuffix(f.Of, ": sent"); ok && f.Measure == "wave " {
			out = append(out, name)
		}
	}
	return out
}

// Question is what a wave of the range asked, by its name in this edition, in a language; "" where the readers may not have the words.
type Question struct{ Wave, Text string }

// Questions gives what the waves of the range asked: what counts as yes is defined there.
func (e *Edition) Questions(language string) []Question {
	names := e.Waves()
	var out []Question
	for _, w := range e.stood.Waves {
		if !e.covers.Has(w.Sent) || len(out) == len(names) {
			continue
		}
		text := w.Asks(language)
		if e.Public && !e.Fit(text) {
			text = ""
		}
		out = append(out, Question{names[len(out)], text})
	}
	return out
}

// Items gives the items of forms that were answered in the range, each wording once, as the readers of this edition may have them.
func (e *Edition) Items() (out []Asked) {
	for _, q := range e.stood.Questions {
		if !e.answered[[2]string{designOf(q.Kind), q.Item}] || e.Public && !(e.Fit(q.Item) && e.Fit(q.English) && e.Fit(q.Spanish)) {
			continue
		}
		if !slices.ContainsFunc(out, func(x Asked) bool { return designOf(x.Kind) == designOf(q.Kind) && x.Item == q.Item && x.sameWords(q) }) {
			out = append(out, q)
		}
	}
	return out
}

// Heard gives what was heard of in the range, item by item.
func (r *Report) Heard() (out []Indirect) {
	for _, x := range r.stood.Indirect {
		if r.covers.Has(x.Date) {
			out = append(out, x)
		}
	}
	slices.SortStableFunc(out, func(a, b Indirect) int {
		return cmp.Or(cmp.Compare(a.Unit, b.Unit), cmp.Compare(a.Date, b.Date), cmp.Compare(a.ID, b.ID))
	})
	return out
}

// Weights gives the plots of a trial, as they stood.
func (r *Report) Weights(t Trial) (out []Plot) {
	for _, ref := range t.From {
		out = append(out, r.stood.Plots[ref.Row()])
	}
	return out
}

// County gives the name of a county for the readers of this edition; All and those joined stay as they are.
func (e *Edition) County(id string) string {
	if name := e.Report.County(id); !e.Public || e.Fit(name) {
		return name
	}
	return id
}

// Source gives the source of a price or a rate where the readers of this edition may have it.
func (e *Edition) Source(text string) (string, bool) { return text, !e.Public || e.Fit(text) }

// IDs names the records of a figure, at most so many, in their order. Those of answers are the forms. Slips are not named: they are told by county.
func (r *Report) IDs(f Figure, most int) []string {
	refs, _ := r.besideSlips(f)
	var out []string
	for _, ref := range refs[:min(most, len(refs))] {
		out = append(out, r.ID(ref))
	}
	return slices.Compact(out)
}

// Digest marks the list of records of a figure, so that two lists can be told apart.
func (r *Report) Digest(f Figure) string {
	if len(f.From) == 0 {
		return ""
	}
	return r.digest(f.From)
}

func (r *Report) digest(from []Ref) string {
	if len(from) == 0 {
		return table.Hash("")[:8]
	}
	list := sameList{&from[0], len(from)} // several figures open to one
	if r.digests == nil {
		r.digests = map[sameList]string{}
	}
	if of, ok := r.digests[list]; ok {
		return of
	}
	h := table.NewHash()
	var text []byte
	for _, ref := range from {
		text = append(strconv.AppendInt(text, int64(ref.Table()), 10), '/')
		if text = append(append(text, r.ID(ref)...), ' '); len(text) > 1<<12 {
			h.Write(text)
			text = text[:0]
		}
	}
	h.Write(text)
	r.digests[list] = h.Text()[:8]
	return r.digests[list]
}

// sameList tells lists of records apart by where they lie.
type sameList struct {
	first *Ref
	n     int
}

// ID names a record.
func (r *Report) ID(ref Ref) string {
	if r.ids == nil {
		r.ids = make([]reflect.Value, len(sheets))
		for i, s := range sheets {
			r.ids[i] = s.rows(&r.stood.Records)
		}
	}
	return r.ids[ref.Table()].Index(ref.Row()).Field(0).String()
}

// Changed is a figure that another report gives otherwise.
type Changed struct {
	Before, Now Figure
}

// Changes gives the figures of an edition that an earlier one of the same kind gives otherwise.
func (e *Edition) Changes(earlier *Edition) []Changed {
	was := map[string]Figure{}
	for _, f := range earlier.Figures {
		was[f.Name()+"|"+f.County] = f
	}
	var out []Changed
	for _, f := range e.Figures {
		if old, ok := was[f.Name()+"|"+f.County]; ok && old.Text != f.Text {
			out = append(out, Changed{old, f})
		}
	}
	return out
}
