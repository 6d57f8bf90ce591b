package store

import (
	"bufio"
	"bytes"
	"context"
	"crypto/sha256"
	"database/sql"
	"encoding/csv"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"slices"
	"strconv"
	"time"

	"raftwright/finding"
	"raftwright/store/rows"
)

// The open form of a store is a folder that people and other programs read: each version
// of a brief or a sheet as YAML, each log as CSV, the rest as JSON. It carries no
// passwords. docs/store.md describes it.
const (
	formFile       = "raftwright.json"
	happeningsFile = "happenings.jsonl"
	peopleFile     = "people.json"
	looksFile      = "looks.json"
	contactsFile   = "contacts.json" // who the codes of the records are; left out in older forms
	askingsFile    = "askings.json"  // the links of waves, by their hashes; left out in older forms
	logFile        = "log.csv"
)

// formVersion is the number of the open form.
const formVersion = 1

type (
	openForm struct {
		Raftwright int `json:"raftwright"`
	}
	// openHappening is a line of happenings.jsonl. What stands in a file of its own (the
	// text of a brief or a sheet, the readings and the time of an entry) is not in it.
	openHappening struct {
		Seq      int64           `json:"seq"`
		ID       string          `json:"id"`
		Who      string          `json:"who"`
		Recorded time.Time       `json:"recorded"`
		Happened time.Time       `json:"happened,omitzero"`
		What     string          `json:"what"`
		Thing    string          `json:"thing"`
		Payload  json.RawMessage `json:"payload,omitempty"`
	}
	openPerson struct {
		Account string `json:"account"`
		Name    string `json:"name"`
		Contact string `json:"contact"`
	}
	openContact struct {
		Code    string `json:"code"`
		Name    string `json:"name"`
		Contact string `json:"contact"`
	}
	openLook struct {
		Who     string    `json:"who"`
		Account string    `json:"account"`
		At      time.Time `json:"at"`
	}
)

// logColumns stand in front of the keys in a log.csv.
var logColumns = []string{"id", "entry", "version", "at"}

const atForm = "2006-01-02T15:04:05.000Z"

func briefFile(bed string, version int64) string {
	return path.Join("beds", bed, fmt.Sprintf("brief-%d.yaml", version))
}

func sheetFile(sheet string, version int64) string {
	return path.Join("sheets", fmt.Sprintf("%s-%d.yaml", sheet, version))
}

// Export writes all that is kept into a new folder in the open form, at one moment.
func (s *Store) Export(ctx context.Context, dir string) error {
	if err := os.Mkdir(dir, 0o700); errors.Is(err, os.ErrExist) {
		return finding.Fault{ID: FaultThere, Args: finding.Args{"File": dir}}
	} else if err != nil {
		return unwritten(dir, err)
	}
	root, err := os.OpenRoot(dir)
	if err != nil {
		return unwritten(dir, err)
	}
	defer root.Close()
	return s.read(ctx, func(q *rows.Queries) error {
		if err := exportRest(ctx, q, root); err != nil {
			return err
		}
		var lines bytes.Buffer
		f, err := root.OpenFile(happeningsFile, os.O_CREATE|os.O_WRONLY|os.O_EXCL, 0o600)
		if err != nil {
			return unwritten(happeningsFile, err)
		}
		defer f.Close()
		err = each(ctx, q, func(h rows.Happening) error {
			open, file, text, err := opened(h)
			if err != nil {
				return err
			}
			if file != "" {
				if err := put(root, file, []byte(text)); err != nil {
					return err
				}
			}
			if err := json.NewEncoder(&lines).Encode(open); err != nil {
				return err
			}
			if lines.Len() > 1<<20 {
				if _, err := lines.WriteTo(f); err != nil {
					return unwritten(happeningsFile, err)
				}
			}
			return nil
		})
		if err != nil {
			return err
		}
		if _, err := lines.WriteTo(f); err != nil {
			return unwritten(happeningsFile, err)
		}
		if err := exportImages(ctx, q, root); err != nil {
			return err
		}
		return exportLogs(ctx, q, root)
	})
}

func imageFile(hash string) string { return path.Join("images", hash+".jpg") }

func exportImages(ctx context.Context, q *rows.Queries, root *os.Root) error {
	hashes, err := q.ImageHashes(ctx)
	for _, hash := range hashes {
		picture, err := q.Image(ctx, hash)
		if err == nil {
			err = put(root, imageFile(hash), picture)
		}
		if err != nil {
			return err
		}
	}
	return err
}

// importImages takes in the pictures of the photos that are there.
func importImages(ctx context.Context, q *rows.Queries, root *os.Root) error {
	hashes, err := q.PhotoHashes(ctx)
	for _, hash := range hashes {
		file := imageFile(hash)
		picture, err := bytesOf(root.FS(), file, MostPhotoBytes)
		if err == nil {
			err = plainPicture(picture)
		}
		if sum := sha256.Sum256(picture); err == nil && hex.EncodeToString(sum[:]) != hash {
			err = errors.New(hash)
		}
		if err != nil {
			return amiss(file, 1, err)
		}
		if err := q.AddImage(ctx, hash, picture); err != nil {
			return err
		}
	}
	return err
}

// opened gives the line of a happening, and the file that holds its text.
func opened(h rows.Happening) (open openHappening, file, text string, err error) {
	open = openHappening{h.Seq, h.ID, h.Who, time.UnixMilli(h.Recorded).UTC(), time.UnixMilli(h.Happened).UTC(), h.What, h.Thing, json.RawMessage(h.Payload)}
	var rest any
	switch h.What {
	case bedMade, briefWritten:
		var p saidBrief
		err = json.Unmarshal(open.Payload, &p)
		file, text, p.Text = briefFile(h.Thing, p.Version), p.Text, ""
		rest = p
	case sheetWritten:
		var p saidSheet
		err = json.Unmarshal(open.Payload, &p)
		file, text, p.Text = sheetFile(h.Thing, p.Version), p.Text, ""
		rest = p
	case entryKept, entryMended:
		var p saidEntry
		err = json.Unmarshal(open.Payload, &p)
		p.Pairs = nil
		rest, open.Happened = p, time.Time{}
	default:
		return open, "", "", nil
	}
	if err == nil {
		open.Payload, err = json.Marshal(rest)
	}
	return open, file, text, err
}

func exportRest(ctx context.Context, q *rows.Queries, root *os.Root) error {
	people, err := q.People(ctx)
	if err != nil {
		return err
	}
	list := make([]openPerson, len(people))
	for i, p := range people {
		list[i] = openPerson{p.ID, p.Name, p.Contact}
	}
	looked, err := q.LookedInOrder(ctx)
	if err != nil {
		return err
	}
	looks := make([]openLook, len(looked))
	for i, l := range looked {
		looks[i] = openLook{l.Who, l.Account, time.UnixMilli(l.At).UTC()}
	}
	codes, err := q.Contacts(ctx)
	if err != nil {
		return err
	}
	contacts := make([]openContact, len(codes))
	for i, c := range codes {
		contacts[i] = openContact(c)
	}
	links, err := openAskings(ctx, q)
	if err != nil {
		return err
	}
	for file, what := range map[string]any{formFile: openForm{formVersion}, peopleFile: list, looksFile: looks, contactsFile: contacts, askingsFile: links} {
		text, err := json.MarshalIndent(what, "", "  ")
		if err == nil {
			err = put(root, file, append(text, '\n'))
		}
		if err != nil {
			return err
		}
	}
	return nil
}

func exportLogs(ctx context.Context, q *rows.Queries, root *os.Root) error {
	removed, err := q.RemovedIDs(ctx)
	if err != nil {
		return err
	}
	for _, id := range removed {
		if err := exportLog(ctx, q, root, id); err != nil {
			return err
		}
	}
	for after := ""; ; {
		beds, err := q.Beds(ctx, after, "", 1000)
		if err != nil || len(beds) == 0 {
			return err
		}
		for _, b := range beds {
			after = b.ID
			if err := exportLog(ctx, q, root, b.ID); err != nil {
				return err
			}
		}
	}
}

func exportLog(ctx context.Context, q *rows.Queries, root *os.Root, bed string) error {
	past, err := q.EntryHappenings(ctx, bed)
	if err != nil || len(past) == 0 {
		return err
	}
	text, err := logText(past)
	if err == nil {
		err = put(root, path.Join("beds", bed, logFile), text)
	}
	return err
}

// logText writes the entries and corrections of a bed as CSV, one a line.
func logText(past []rows.Happening) ([]byte, error) {
	said := make([]saidEntry, len(past))
	var keys []Pair
	known := map[finding.Path]int{}
	for i, h := range past {
		if err := json.Unmarshal([]byte(h.Payload), &said[i]); err != nil {
			return nil, err
		}
		for _, p := range said[i].Pairs {
			if _, ok := known[p.Path]; !ok {
				known[p.Path] = 0
				keys = append(keys, p)
			}
		}
	}
	slices.SortFunc(keys, byPath)
	head := slices.Clone(logColumns)
	for i, k := range keys {
		known[k.Path] = len(logColumns) + i
		head = append(head, string(k.Path))
	}
	var out bytes.Buffer
	w := csv.NewWriter(&out)
	w.Write(head)
	for i, h := range past {
		line := make([]string, len(head))
		copy(line, []string{h.ID, h.Thing, strconv.FormatInt(said[i].Version, 10), time.UnixMilli(h.Happened).UTC().Format(atForm)})
		for _, p := range said[i].Pairs {
			line[known[p.Path]] = p.Text
		}
		w.Write(line)
	}
	w.Flush()
	return out.Bytes(), w.Error()
}

func put(root *os.Root, file string, text []byte) error {
	err := root.MkdirAll(path.Dir(file), 0o700)
	if err == nil {
		err = root.WriteFile(file, text, 0o600)
	}
	if err != nil {
		return unwritten(file, err)
	}
	return nil
}

// Import fills an empty store from a folder in the open form. What is wrong in it is told
// with its file and line, and nothing is kept.
func (s *Store) Import(ctx context.Context, dir string) error {
	root, err := os.OpenRoot(dir)
	if err != nil {
		return unread(dir, err)
	}
	defer root.Close()
	var form openForm
	if err := get(root, formFile, &form); err != nil {
		return err
	}
	if form.Raftwright > formVersion {
		return finding.Fault{ID: FaultNewer, Args: finding.Args{"Store": dir, "Version": form.Raftwright, "Known": formVersion}}
	}
	if form.Raftwright < 1 {
		return finding.Fault{ID: FaultForeign, Args: finding.Args{"Store": dir}}
	}
	return s.fill(ctx, func(tx *sql.Tx) (last int64, err error) {
		q := rows.New(tx)
		if err := importRest(ctx, q, root); err != nil {
			return 0, err
		}
		f, err := root.Open(happeningsFile)
		if err != nil {
			return 0, unread(happeningsFile, err)
		}
		defer f.Close()
		files, logs := root.FS(), map[string]map[string]logLine{}
		lines := bufio.NewReader(f)
		for n := 1; ; n++ {
			line, err := lines.ReadBytes('\n')
			if err == io.EOF && len(line) == 0 {
				return last, importImages(ctx, q, root)
			}
			if err != nil && err != io.EOF {
				return 0, unread(happeningsFile, err)
			}
			h, err := closed(files, line, logs)
			if err == nil && h.Seq != last+1 {
				err = errors.New("seq")
			}
			if err == nil {
				last = h.Seq
				if err = q.AddHappening(ctx, rows.AddHappeningParams(h)); err == nil {
					err = apply(ctx, q, h)
				}
			}
			if err != nil {
				return 0, amiss(happeningsFile, n, err)
			}
		}
	})
}

// amiss gives what is wrong in a line its place, unless it has one.
func amiss(file string, line int, err error) error {
	var f finding.Fault
	if errors.As(err, &f) {
		if f.File == "" {
			f.File, f.Line, f.Column = file, line, 1
		}
		return f
	}
	return finding.Fault{ID: FaultImport, Args: finding.Args{"Reason": err.Error()}, File: file, Line: line, Column: 1}
}

// closed reads a line and the file that holds its text. What comes from a folder is
// checked as if a stranger had sent it.
func closed(folder fs.FS, line []byte, logs map[string]map[string]logLine) (h rows.Happening, err error) {
	var open openHappening
	read := json.NewDecoder(bytes.NewReader(line))
	read.DisallowUnknownFields()
	if err := read.Decode(&open); err != nil {
		return h, err
	}
	if err := check(open.ID, open.Thing); err != nil {
		return h, err
	}
	if err := clean(open.Who, mostName); err != nil {
		return h, err
	}
	h = rows.Happening{Seq: open.Seq, ID: open.ID, Who: open.Who, Recorded: open.Recorded.UnixMilli(), Happened: open.Happened.UnixMilli(), What: open.What, Thing: open.Thing, Payload: string(open.Payload)}
	var said any
	switch open.What {
	case bedMade, briefWritten:
		p := &saidBrief{}
		if err = json.Unmarshal(open.Payload, p); err == nil {
			p.Text, err = textOf(folder, briefFile(h.Thing, p.Version))
		}
		said = p
	case sheetWritten:
		p := &saidSheet{}
		if err = json.Unmarshal(open.Payload, p); err == nil {
			p.Text, err = textOf(folder, sheetFile(h.Thing, p.Version))
		}
		said = p
	case entryKept, entryMended:
		p := &saidEntry{}
		if err = json.Unmarshal(open.Payload, p); err == nil {
			err = check(p.Bed)
		}
		if err == nil && logs[p.Bed] == nil {
			logs[p.Bed], err = readLog(folder, path.Join("beds", p.Bed, logFile))
		}
		if err != nil {
			return h, err
		}
		at, ok := logs[p.Bed][h.ID]
		if !ok || at.entry != h.Thing || at.version != p.Version {
			return h, finding.Fault{ID: FaultNotFound, Args: finding.Args{"Thing": wordEntry, "Name": h.ID}}
		}
		h.Happened, p.Pairs = at.happened, at.pairs
		said = p
	case recordWritten:
		var p saidRecord
		if err = json.Unmarshal(open.Payload, &p); err == nil && !p.gone() {
			err = checkRecord(p)
		}
		return h, err
	default:
		return h, clean(h.Payload, mostText)
	}
	if err != nil {
		return h, err
	}
	payload, err := json.Marshal(said)
	h.Payload = string(payload)
	return h, err
}

type logLine struct {
	entry             string
	version, happened int64
	pairs             []Pair
}

// readLog reads a log.csv by the ids of its happenings.
func readLog(folder fs.FS, file string) (map[string]logLine, error) {
	f, err := folder.Open(file)
	if err != nil {
		return nil, unread(file, err)
	}
	defer f.Close()
	r := csv.NewReader(bufio.NewReader(f))
	head, err := r.Read()
	if err != nil || len(head) < len(logColumns) || !slices.Equal(head[:len(logColumns)], logColumns) {
		return nil, finding.Fault{ID: FaultImport, Args: finding.Args{"Reason": fmt.Sprintf("%q", logColumns)}, File: file, Line: 1, Column: 1}
	}
	found := map[string]logLine{}
	for {
		cells, err := r.Read()
		if err == io.EOF {
			return found, nil
		}
		if err != nil {
			return nil, finding.Fault{ID: FaultImport, Args: finding.Args{"Reason": err.Error()}, File: file, Line: 1, Column: 1}
		}
		line, column := r.FieldPos(0)
		e := logLine{entry: cells[1]}
		at, err := time.Parse(time.RFC3339, cells[3])
		e.happened = at.UnixMilli()
		if err == nil {
			err = checkTime(at)
		}
		if err == nil {
			e.version, err = strconv.ParseInt(cells[2], 10, 32)
		}
		for i, text := range cells[len(logColumns):] {
			e.pairs = append(e.pairs, Pair{Path: finding.Path(head[len(logColumns)+i]), Text: text})
		}
		if err == nil {
			e.pairs, err = tidy(e.pairs)
		}
		if err != nil {
			return nil, finding.Fault{ID: FaultImport, Args: finding.Args{"Reason": err.Error()}, File: file, Line: line, Column: column}
		}
		found[cells[0]] = e
	}
}

func bytesOf(folder fs.FS, file string, most int64) ([]byte, error) {
	f, err := folder.Open(file)
	if err != nil {
		return nil, unread(file, err)
	}
	defer f.Close()
	text, err := io.ReadAll(io.LimitReader(f, most+1))
	if err != nil {
		return nil, unread(file, err)
	}
	return text, nil
}

func textOf(folder fs.FS, file string) (string, error) {
	text, err := bytesOf(folder, file, mostText)
	if err != nil {
		return "", err
	}
	if err := clean(string(text), mostText); err != nil {
		return "", amiss(file, 1, err)
	}
	return string(text), nil
}

func get(root *os.Root, file string, into any) error {
	f, err := root.Open(file)
	if err != nil {
		return unread(file, err)
	}
	defer f.Close()
	if err := json.NewDecoder(f).Decode(into); err != nil {
		return amiss(file, 1, err)
	}
	return nil
}

func importRest(ctx context.Context, q *rows.Queries, root *os.Root) error {
	var people []openPerson
	var looks []openLook
	if err := errors.Join(get(root, peopleFile, &people), get(root, looksFile, &looks)); err != nil {
		return err
	}
	for _, p := range people {
		if err := errors.Join(check(p.Account), clean(p.Name, mostName), clean(p.Contact, mostName)); err != nil {
			return amiss(peopleFile, 1, err)
		}
		if err := q.AddPerson(ctx, rows.AddPersonParams{Account: p.Account, Name: p.Name, Folded: fold(p.Name), Contact: p.Contact}); err != nil {
			return amiss(peopleFile, 1, err)
		}
	}
	if _, err := root.Stat(contactsFile); err == nil {
		var contacts []openContact
		if err := get(root, contactsFile, &contacts); err != nil {
			return err
		}
		for _, c := range contacts {
			if err := errors.Join(clean(c.Code, mostName), clean(c.Name, mostName), clean(c.Contact, mostName)); err != nil {
				return amiss(contactsFile, 1, err)
			}
			if err := q.PutContact(ctx, c.Code, c.Name, c.Contact); err != nil {
				return amiss(contactsFile, 1, err)
			}
		}
	}
	if err := importAskings(ctx, q, root); err != nil {
		return err
	}
	for _, l := range looks {
		if err := errors.Join(clean(l.Who, mostName), clean(l.Account, mostName)); err != nil {
			return amiss(looksFile, 1, err)
		}
		if err := q.AddLooked(ctx, l.Who, l.Account, l.At.UnixMilli()); err != nil {
			return err
		}
	}
	return nil
}
