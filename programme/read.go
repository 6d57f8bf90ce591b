package programme

import (
	"encoding/csv"
	"maps"
	"reflect"
	"slices"
	"strings"
	"sync"

	"raftwright/finding"
	"raftwright/internal/table"
	"raftwright/unit"
)

// Faults of a folder of records.
const (
	FaultNothing finding.ID = "programme.fault.nothing" // no table that a report needs
	FaultTwice   finding.ID = "programme.fault.twice"   // an id that another row has
	FaultUnknown finding.ID = "programme.fault.unknown" // an id that the other table does not have
	FaultOrder   finding.ID = "programme.fault.order"   // an end before its beginning
	FaultGroup   finding.ID = "programme.fault.group"   // a group that the standard does not have
	FaultTable   finding.ID = "programme.fault.table"   // a correction of a table or a field that is none
	FaultTongue  finding.ID = "programme.fault.tongue"  // no language as ISO 639 writes it
	FaultPool    finding.ID = "programme.fault.pool"    // a slip of neither an event nor a pool, or of both
	FaultWords   finding.ID = "programme.fault.words"   // a story that is too long
	FaultTell    finding.ID = "programme.fault.tell"    // somebody's words without their consent
	FaultUnsent  finding.ID = "programme.fault.unsent"  // a wave without a day
	FaultAnswer  finding.ID = "programme.fault.answer"  // an answer of neither an event nor a wave
	FaultRight   finding.ID = "programme.fault.right"   // more pupils right than answered
	FaultName    finding.ID = "programme.fault.name"    // a file with nearly the name of a table that is not there
	FaultRenamed finding.ID = "programme.fault.renamed" // a correction of the name of a row
)

// needed are the tables without which there is no report.
var needed = []string{"counties", "funders"}

// Read reads a folder: the texts of its files by their names. What no table of ours has is named in Unread. All that is
// wrong is told at once, each with its file, line and column.
func Read(files map[string]string) (Records, finding.Faults) {
	var r Records
	faults := r.read(files, known{})
	return r, faults
}

// wide are the tables that grow with the years and that none but restsOnWide names: they are read side by side.
var restsOnWide = map[string]bool{"corrections": true, "repeats": true, "holds": true}
var wide = map[string]bool{"signins": true, "slips": true, "visits": true, "inquiries": true, "indirect": true, "answers": true, "replies": true, "harvests": true, "hours": true}

// inOrder are the tables in the order in which they are read: corrections last, since they name rows of all others.
func inOrder() []sheet {
	last := place("corrections")
	return append(slices.Concat(sheets[:last], sheets[last+1:]), sheets[last])
}

func (r *Records) read(files map[string]string, ids known) (faults finding.Faults) {
	order := inOrder()
	wrong, strange := make([]finding.Faults, len(order)), make([][]string, len(order))
	story := storyWords{}
	read := func(i int, all known) { wrong[i] = order[i].read(r, files[order[i].name+".csv"], all, story) }
	var last []int
	var beside sync.WaitGroup
	for i, s := range order {
		text, ok := files[s.name+".csv"]
		strange[i] = s.strange(text)
		switch {
		case !ok && slices.Contains(needed, s.name):
			wrong[i] = finding.Faults{{ID: FaultNothing, Args: finding.Args{"File": s.name + ".csv"}}}
		case !ok:
		case wide[s.name], restsOnWide[s.name]:
			last = append(last, i)
		default:
			read(i, ids)
		}
	}
	for _, i := range last {
		if name := order[i].name; wide[name] {
			if ids[name] == nil && order[i].corrected() {
				ids[name] = make(map[string]bool, strings.Count(files[name+".csv"], "\n"))
			}
			all := maps.Clone(ids) // of which it writes into its own alone
			beside.Go(func() { read(i, all) })
		}
	}
	beside.Wait()
	for _, i := range last {
		if restsOnWide[order[i].name] {
			read(i, ids)
		}
	}
	for i := range order {
		faults, r.Unread = append(faults, wrong[i]...), append(r.Unread, strange[i]...)
	}
	for _, name := range slices.Sorted(maps.Keys(files)) {
		if place(strings.TrimSuffix(name, ".csv")) < 0 {
			r.Unread = append(r.Unread, name)
			if meant := missed(name, files); meant != "" {
				faults = append(faults, finding.Fault{ID: FaultName, File: name, Line: 1, Column: 1, Args: finding.Args{"File": name, "Meant": meant}})
			}
		}
	}
	faults = r.ofTheirOwn(faults)
	if len(r.Corrections) > 0 {
		faults = append(faults, r.misplaced(files["corrections.csv"])...)
	}
	slices.SortStableFunc(faults, func(a, b finding.Fault) int { return strings.Compare(a.File, b.File) })
	return faults
}

// missed gives the file of a table that is not in the folder and that a file is called nearly as: in capitals, or with one letter more, less or other. Were
// it only named among what was not read, a report would count nothing where there is a year.
func missed(name string, files map[string]string) string {
	const oneLetter = 1
	name = strings.ToLower(name)
	for _, s := range sheets {
		meant := s.name + ".csv"
		if _, there := files[meant]; !there && unit.Letters(name, meant) <= oneLetter {
			return meant
		}
	}
	return ""
}

// ofTheirOwn leaves out what follows from another fault: names that stand in a table which could not be read, which may well be there. Of a table without rows
// each table that names some of it is told once.
func (r *Records) ofTheirOwn(faults finding.Faults) finding.Faults {
	unread, told := map[any]bool{}, map[[2]any]bool{}
	for _, f := range faults {
		switch f.ID {
		case table.FaultFile, table.FaultUTF8, table.FaultParted:
			unread[f.File] = true
		case FaultName:
			unread[f.Args["Meant"]] = true
		case table.FaultColumn:
			if s := place(strings.TrimSuffix(f.File, ".csv")); s >= 0 && sheets[s].columns[0].name == f.Args["Name"] {
				unread[f.File] = true
			}
		}
	}
	return slices.DeleteFunc(faults, func(f finding.Fault) bool {
		of := f.Args["File"]
		if f.ID != FaultUnknown || unread[of] {
			return f.ID == FaultUnknown
		}
		name, _ := of.(string)
		if s := place(strings.TrimSuffix(name, ".csv")); s < 0 || sheets[s].rows(r).Len() > 0 {
			return false
		}
		before := told[[2]any{f.File, of}]
		told[[2]any{f.File, of}] = true
		return before
	})
}

// known are the ids of the tables that were read.
type known map[string]map[string]bool

func (s sheet) read(r *Records, text string, all known, story storyWords) finding.Faults {
	file, lines := s.name+".csv", strings.Count(text, "\n")+1
	if strings.TrimSpace(strings.TrimPrefix(text, "\ufeff")) == "" {
		all.of(s, 0)
		if !slices.Contains(needed, s.name) {
			return nil // nothing happened
		}
		return finding.Faults{{ID: table.FaultEmpty, File: file, Line: 1, Column: 1}}
	}
	x := s.taking(r, lines, all, story)
	faults := table.Read(file, text, func(row *table.Row) {
		if x.places == nil {
			x.places = s.places(row, text)
		}
		x.take(row)
	})
	x.done()
	return slices.DeleteFunc(faults, func(f finding.Fault) bool { return f.ID == table.FaultEmpty })
}

// of gives the names of the rows of a table, for so many where there are none yet; nil where no table and no correction names a row of it.
func (k known) of(s sheet, most int) map[string]bool {
	if k[s.name] == nil && s.corrected() {
		k[s.name] = make(map[string]bool, most)
	}
	return k[s.name]
}

// taking is a table whose rows are read one after another, from a file or from elsewhere: here stand the rules of a row.
type taking struct {
	sheet  sheet
	to     reflect.Value // the rows of the records
	all    known
	ids    map[string]bool // of this table
	story  storyWords
	places []int // of the columns in a row
	parts  []reflect.Value
	last   reflect.Value // the part that is being filled
	n      int           // rows in it
	texts  []ownTexts
}

// Where nobody knows how many rows there are, room is made for so many at first, then for more at once, at most so many.
const firstPart, mostPart = 64, 1 << 13

// taking begins with a table of so many rows at most, or of nobody knows how many (0).
func (s sheet) taking(r *Records, most int, all known, story storyWords) *taking {
	x := &taking{sheet: s, to: s.rows(r), all: all, ids: all.of(s, most), story: story, texts: make([]ownTexts, len(s.columns))}
	for j, c := range s.columns {
		x.texts[j].named, x.texts[j].of = c.of != "", all[c.of]
		if j != s.id { // names are all different
			x.texts[j].seen = map[string]ownText{}
		}
	}
	if most > 0 {
		x.last = reflect.MakeSlice(x.to.Type(), most, most)
		x.parts = append(x.parts, x.last)
	}
	return x
}

// room gives the next row, to be filled.
func (x *taking) room() reflect.Value {
	if len(x.parts) == 0 || x.n == x.last.Len() {
		most := min(mostPart, firstPart<<min(2*len(x.parts), 8))
		x.last, x.n = reflect.MakeSlice(x.to.Type(), most, most), 0
		x.parts = append(x.parts, x.last)
	}
	x.n++
	return x.last.Index(x.n - 1)
}

// take reads a row.
func (x *taking) take(row *table.Row) {
	to := x.room()
	for j := range x.sheet.columns {
		c := &x.sheet.columns[j]
		if x.places[j] < 0 {
			continue
		}
		written, stands := row.At(x.places[j]), true
		if c.texts && c.words == nil {
			own := x.texts[j].keep(written)
			written, stands = own.text, own.stands
		}
		if id, args := c.set(to, written); id != "" {
			row.Wrong(id, c.name, args)
			continue
		}
		if j == 0 {
			if x.sheet.id == 0 && x.ids[written] {
				row.Wrong(FaultTwice, c.name, finding.Args{"Text": written})
			}
			if x.ids != nil {
				x.ids[written] = true
			}
		}
		if !stands {
			row.Wrong(FaultUnknown, c.name, finding.Args{"Text": written, "File": c.of + ".csv"})
		}
	}
	checkRow(to.Addr().Interface(), row, x.all, x.story)
}

// done gives the records the rows that were taken.
func (x *taking) done() {
	switch len(x.parts) {
	case 0:
	case 1:
		x.to.Set(x.last.Slice3(0, x.n, x.n))
	default:
		n := x.n
		for _, p := range x.parts[:len(x.parts)-1] {
			n += p.Len()
		}
		list := reflect.MakeSlice(x.to.Type(), n, n)
		n = 0
		for _, p := range x.parts {
			n += reflect.Copy(list.Slice(n, list.Len()), p)
		}
		x.to.Set(list)
	}
}

// ownTexts keeps what a column says apart from the text of its file, of which most are days and numbers: of many years that is a quarter of it.
type ownTexts struct {
	seen  map[string]ownText // nil: what it says is not looked for
	named bool               // it says names of another table
	of    map[string]bool    // which that has, all of them
	block strings.Builder
}

// ownText is what a field says, and whether it stands in the table that it should.
type ownText struct {
	text   string
	stands bool
}

// Of so many different ones each is found again; so many bytes are asked for at once.
const mostSeen, textBlock = 1 << 15, 1 << 14

func (t *ownTexts) keep(text string) ownText {
	if text == "" {
		return ownText{"", true}
	}
	if own, ok := t.seen[text]; ok {
		return own
	}
	if t.block.Cap()-t.block.Len() < len(text) {
		t.block = strings.Builder{}
		t.block.Grow(max(textBlock, len(text)))
	}
	at := t.block.Len()
	t.block.WriteString(text)
	own := ownText{t.block.String()[at:], !t.named || t.of[text]}
	if t.seen != nil && len(t.seen) < mostSeen {
		t.seen[own.text] = own
	}
	return own
}

// places gives where the columns stand in a file, below 0 where it has none of that name. One that it may not be without is told, once.
func (s sheet) places(row *table.Row, text string) (out []int) {
	var spare []string // of which one may be it, misspelled
	for _, name := range s.strange(text) {
		spare = append(spare, strings.TrimPrefix(name, s.name+".csv: "))
	}
	for _, c := range s.columns {
		if !row.Has(c.name) && !c.optional {
			row.Wrong(table.FaultColumn, c.name, finding.Args{"Name": c.name, "Near": unit.Near(c.name, spare)})
		}
		out = append(out, row.Place(c.name))
	}
	return out
}

// strange names the columns of a file that the table does not have.
func (s sheet) strange(text string) (out []string) {
	if strings.TrimSpace(strings.TrimPrefix(text, "\ufeff")) == "" {
		return nil
	}
	head, err := csv.NewReader(strings.NewReader(strings.TrimPrefix(text, "\ufeff"))).Read()
	if err != nil {
		return nil
	}
	for _, name := range head {
		if _, ok := s.column(strings.TrimSpace(name)); !ok {
			out = append(out, s.name+".csv: "+strings.TrimSpace(name))
		}
	}
	return out
}

// checkRow tells what in a row contradicts itself.
func checkRow(row any, at *table.Row, all known, story storyWords) {
	list, n := spans(row)
	for _, x := range list[:n] {
		if x.wrong() {
			at.Wrong(FaultOrder, x.end, x.args())
		}
	}
	switch x := row.(type) {
	case *Event:
		tongues(at, x.AskedIn, x.ServedIn)
	case *Visit:
		tongues(at, x.AskedIn, x.ServedIn)
	case *Inquiry:
		tongues(at, x.AskedIn, x.ServedIn)
	case *Consent:
		all.told(x)
	case *Wave:
		if x.Sent == 0 && x.Planned == 0 {
			at.Wrong(FaultUnsent, "sent_on", nil)
		}
	case *Answer:
		if x.Event == "" && x.Wave == "" {
			at.Wrong(FaultAnswer, "event", nil)
		}
	case *Class:
		x.check(at)
	case *Story:
		story.check(x, at, all)
	case *Slip:
		pooled := x.County != "" || x.Month != ""
		if _, month := ParseDay(x.Month + "-01"); pooled == (x.Event != "") || pooled && (x.County == "" || !month) {
			at.Wrong(FaultPool, "event", nil)
		}
		for g := range strings.SplitSeq(x.Groups, "|") {
			if g != "" && !slices.Contains(groupsOf(x.Standard), g) {
				at.Wrong(FaultGroup, "groups", finding.Args{"Text": g, "Standard": x.Standard})
			}
		}
	case *Repeat:
		x.check(at, all)
	case *Setting:
		x.check(at)
	case *Hold:
		x.check(at, all)
	case *Correction:
		s := place(x.Table)
		if s < 0 || !sheets[s].corrected() {
			at.Wrong(FaultTable, "table", finding.Args{"Text": x.Table})
			return
		}
		if !all[x.Table][x.Record] {
			at.Wrong(FaultUnknown, "record", finding.Args{"Text": x.Record, "File": x.Table + ".csv"})
		}
		if x.Action != "change" {
			return
		}
		c, ok := sheets[s].column(x.Field)
		if !ok || onlyVoid[x.Table] {
			at.Wrong(FaultTable, "field", finding.Args{"Text": x.Field})
			return
		}
		if c.field == sheets[s].id { // other rows name it
			at.Wrong(FaultRenamed, "field", finding.Args{"Text": x.Record})
			return
		}
		if id, args := c.set(reflect.New(sheets[s].row).Elem(), x.New); id != "" {
			at.Wrong(id, "new", args)
		} else if c.of != "" && x.New != "" && !all[c.of][x.New] {
			at.Wrong(FaultUnknown, "new", finding.Args{"Text": x.New, "File": c.of + ".csv"})
		}
	}
}

// onlyVoid are the tables of which a correction can only take a row out: another row says it anew.
var onlyVoid = map[string]bool{"corrections": true, "settings": true}
