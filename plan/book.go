package plan

import (
	"maps"
	"slices"
	"strings"
	"sync"

	"raftwright/cost"
	"raftwright/crop"
	"raftwright/finding"
	"raftwright/frame"
	"raftwright/internal/table"
	"raftwright/mix"
	"raftwright/raft"
	"raftwright/sky"
	"raftwright/trouble"
	"raftwright/usual"
	"raftwright/water"
)

// Book is everything that the trades look up: passed in, never a global.
type Book struct {
	Crops   crop.Catalogue
	Raft    raft.Book
	Yard    frame.Yard
	Library mix.Library
	Water   water.Handbook
	Prices  cost.Book
	Trouble trouble.Book
	Places  *sky.Atlas // nil where the program carries none

	tables Tables
}

// Tables is a hash of each table of a book, by its file.
type Tables map[string]string

// tables are the embedded tables of all trades.
func tables() table.Texts {
	return slices.Concat(crop.Tables(), raft.Tables(), frame.Tables(), mix.Tables(), water.Tables(), cost.Tables(), trouble.Tables())
}

// TableFiles lists the files of the tables that a book is read from.
func TableFiles() []string {
	var out []string
	for _, t := range tables() {
		out = append(out, t.File)
	}
	return out
}

func readBook(texts table.Texts) (b Book, faults finding.Faults) {
	var each [7]finding.Faults
	b.Crops, each[0] = crop.ReadCatalogue(texts)
	b.Raft, each[1] = raft.ReadBook(texts)
	b.Yard, each[2] = frame.ReadYard(texts)
	b.Library, each[3] = mix.ReadLibrary(texts)
	b.Water, each[4] = water.ReadHandbook(texts)
	b.Prices, each[5] = cost.ReadBook(texts)
	b.Trouble, each[6] = trouble.ReadBook(texts)
	b.tables = Tables{}
	for _, t := range texts {
		b.tables[t.File] = table.Hash(t.Text)
	}
	b.tables["usual"] = table.Hash(usual.Text())
	return b, slices.Concat(each[:]...)
}

var embedded = sync.OnceValue(func() Book { return table.Must(readBook(tables())) })

// DefaultBook gives the tables that the trades carry. They are embedded and tested; one
// that cannot be read is a mistake of ours.
func DefaultBook() Book { return embedded() }

// BookWith gives the embedded tables with a user's own on top: texts by the files of
// TableFiles, with columns of the same names. Of what a row of theirs is named for, only
// their rows tell; any other is added. Everything wrong is told at its line of their
// file; the book is then not to be used.
func BookWith(own map[string][]byte) (Book, finding.Faults) {
	ours, all := tables(), tables()
	var faults finding.Faults
	for _, file := range sorted(own) {
		alone := ours.Of(file)
		alone.Text = string(own[file])
		_, wrong := readBook(ours.With(alone)) // so that a fault has its line in their file
		faults = append(faults, slices.DeleteFunc(wrong, func(f finding.Fault) bool { return f.File != file })...)
		all = all.With(ours.Of(file).Over(alone.Text))
	}
	if len(faults) > 0 {
		return Book{}, faults
	}
	return readBook(all)
}

// With gives the book with an atlas, so that places are looked up in it.
func (b Book) With(places *sky.Atlas) Book {
	b.Places = places
	return b
}

// Edition names the code and the tables that made a plan: with the same of both, the
// same brief gives the same bytes.
type Edition struct {
	Code   string
	Tables Tables
}

// Code is the edition of the code. It goes up with every release in which a figure or a
// word of a plan changes.
const Code = "1"

// Edition gives the edition of plans made with the book. It is shared: nobody may change it.
func (b Book) Edition() Edition {
	tables := b.tables
	if b.Places != nil {
		tables = maps.Clone(tables)
		tables["places"] = b.Places.Hash()
	}
	return Edition{Code, tables}
}

// String gives the edition in short: "1-8d3f02c1".
func (e Edition) String() string {
	var all strings.Builder
	for _, file := range sorted(e.Tables) {
		all.WriteString(file + " " + e.Tables[file] + "\n")
	}
	return e.Code + "-" + table.Hash(all.String())[:8]
}

// Differs lists the tables that are others than in an earlier edition, or that only one
// of the two has, in the order of the alphabet.
func (e Edition) Differs(then Edition) []string {
	var out []string
	for _, file := range slices.Concat(sorted(e.Tables), sorted(then.Tables)) {
		if e.Tables[file] != then.Tables[file] {
			out = append(out, file)
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// FindEdition says what became other since an earlier plan of the brief was made.
const FindEdition finding.ID = "plan.edition"

// since tells what became other since an earlier plan was made.
func (p *maker) since(then *Edition) {
	if then == nil {
		return
	}
	changed := p.Edition.Differs(*then)
	if len(changed) == 0 && then.Code == p.Edition.Code {
		return
	}
	p.Findings = append(p.Findings, finding.Finding{ID: FindEdition, Act: finding.AtCover, Severity: finding.Note, Source: ownChoice,
		Args: finding.Args{"Then": then.String(), "Now": p.Edition.String(), "Tables": strings.Join(changed, ", "), "Code": then.Code != p.Edition.Code}})
}
