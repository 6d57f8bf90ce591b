package web

import (
	"errors"
	"io"
	"net/http"
	"net/url"
	"strings"

	"raftwright/brief"
	"raftwright/finding"
	"raftwright/lang"
	"raftwright/packet"
	"raftwright/plan"
	"raftwright/store"
)

// demonstration is the name of the invented bed that everybody may look at and nobody changes.
const demonstration = "demonstration"

// mostOnPage bounds the beds on one page of a list.
const mostOnPage = 50

// aBed is a bed with its brief as it stands.
type aBed struct {
	store.Bed
	reading
	taught bool // the visits that are kept stand in the brief
}

// theBed finds the bed of an address.
func (v *visit) theBed() (aBed, error) {
	id := v.PathValue("bed")
	b := aBed{Bed: store.Bed{ID: id, Version: 1, Brief: string(v.Demo)}}
	if id == demonstration {
		b.reading = v.memory.parse(b.Brief)
	} else {
		var err error
		if b.Bed, err = v.Store.Bed(v.context(), v.who, id); err != nil {
			return b, err
		}
		b.reading = v.memory.ofBed(b.Bed)
	}
	b.Title = b.facts().title
	return b, nil
}

// briefName is the name of a brief in faults.
const briefName = "brief.yaml"

// job is what the plan of a brief is made from.
func (v *visit) job(b *brief.Brief, wrong finding.Faults) plan.Job {
	return plan.Job{Brief: b, Wrong: wrong, Learn: v.followed.Learn, Alone: v.yields, Book: v.Book, Files: plan.Files{}, Asked: plan.Everything, Stop: v.context()}
}

// planned makes the plan of a bed, with the words of its reader: in the language of the
// page and the units of the brief.
func (v *visit) planned(b aBed) (plan.Plan, *lang.Printer, error) {
	words, err := v.wordsFor(b.reading)
	if err != nil {
		return plan.Plan{}, nil, err
	}
	p, err := v.made(b)
	return p.In(words.Language), words, err
}

// made makes the plan of a bed. What a log of many visits teaches is known already, as a rule.
func (v *visit) made(b aBed) (plan.Plan, error) {
	job := v.job(b.brief(), b.wrong())
	if !b.taught {
		return job.Make(v.memory.of(b.ID, v.Now())), nil
	}
	return v.taught(b.Bed, job)
}

// wordsFor makes the printer of a page about a brief.
func (v *visit) wordsFor(b reading) (*lang.Printer, error) {
	units := lang.US
	if b.facts().metric {
		units = lang.Metric
	}
	return lang.For(v.words.Language, units)
}

// sheets are the sheets of a bed; the one that is shown has no address.
func (v *visit) sheets(b aBed, at string) []link {
	var out []link
	for _, n := range []string{"today", "history", "brief", "plan", "packet", "workshop", "versions"} {
		to := "/beds/" + b.ID + "/" + n
		if n == at {
			to = ""
		}
		out = append(out, link{v.say("web.sheet." + n), to})
	}
	if at == "share" {
		out = append(out, link{Name: v.say("web.sheet.share")})
	} else if !v.Own && b.ID != demonstration && v.who.Shares(b.Bed) {
		out = append(out, link{v.say("web.sheet.share"), "/beds/" + b.ID + "/share"})
	}
	return out
}

// of begins the sheet of a bed.
func (v *visit) of(b aBed, at string) sheet {
	title := b.Title
	if title == "" {
		title = v.say("web.bed.nameless")
	}
	s := sheet{Title: title, Of: v.say("web.of." + at), Sheets: v.sheets(b, at)}
	if place := b.facts().place; place != "" {
		s.Cells = append(s.Cells, cell{v.say("web.cell.place"), place})
	}
	if b.ID == demonstration {
		return sheet{Title: s.Title, Of: s.Of, Sheets: s.Sheets, Cells: append(s.Cells, cell{v.say("web.cell.standing"), v.say("web.demonstration")})}
	}
	s.Cells = append(s.Cells, cell{v.say("web.cell.version"), v.words.Number(float64(b.Version))})
	return s
}

// listed is a bed on a list.
type listed struct{ Name, Place, To string }

// begin is the first page of who may have beds.
func (v *visit) begin() error {
	list, _, err := v.list("", 5)
	if err != nil {
		return err
	}
	return v.show("start", sheet{Title: v.say("web.start.title"), Of: v.say("web.start.of"), Body: struct {
		Beds []listed
		ID   string
	}{list, store.NewID()}})
}

// list gives beds of whoever asks, and where the next of them begin.
func (v *visit) list(after string, most int) ([]listed, string, error) {
	beds, err := v.Store.Beds(v.context(), v.who, after, most)
	if err != nil {
		return nil, "", err
	}
	var out []listed
	for _, b := range beds {
		name := b.Title
		if name == "" {
			name = v.say("web.bed.nameless")
		}
		out = append(out, listed{name, b.Place, "/beds/" + b.ID})
	}
	next := ""
	if len(beds) == most {
		next = beds[len(beds)-1].ID
	}
	return out, next, nil
}

// bed leads to the sheet of a bed that says most today.
func (v *visit) bed() error {
	if _, err := v.theBed(); err != nil {
		return err
	}
	return v.to("/beds/" + v.PathValue("bed") + "/plan")
}

// back leads from where a form is sent to the page on which it stands, and from the log, to which visits are sent, to where it is read.
func (v *visit) back() error {
	if _, err := v.theBed(); err != nil {
		return err
	}
	at := "history"
	switch paper := v.PathValue("paper"); {
	case strings.Contains(v.Pattern, "/brief/"):
		at = "brief"
	case strings.HasSuffix(v.Pattern, "/labels.pdf"):
		at = "labels"
	case paper != "":
		at = "papers/" + url.PathEscape(paper)
	}
	return v.to("/beds/" + url.PathEscape(v.PathValue("bed")) + "/" + at)
}

// makeBed makes a bed: of the blanks of the first page, of a file, or of another bed.
func (v *visit) makeBed() error {
	if err := v.filled(); err != nil {
		return err
	}
	id := v.PostFormValue("id")
	if id == "" {
		id = store.NewID()
	}
	text, err := v.firstBrief()
	if err != nil {
		return err
	}
	if _, err := v.Store.PutBed(v.context(), v.who, id, text, plan.Code); err != nil {
		return err
	}
	return v.to("/beds/" + id + "/brief")
}

// filled reads the form that was sent. One that cannot be read is its sender's fault, not ours.
func (v *visit) filled() error {
	alone := v.Form == nil && v.URL.RawQuery == "" // then both forms are one, and need not be copied at each key
	if alone {
		v.Form = url.Values{}
	}
	err := v.ParseForm() // the other is silent about what this finds
	if err == nil {
		err = v.ParseMultipartForm(mostBody)
	}
	if alone && v.MultipartForm == nil {
		v.Form = v.PostForm
	}
	plainLines(v.PostForm)
	plainLines(v.Form)
	var long *http.MaxBytesError
	switch {
	case err == nil, errors.Is(err, http.ErrNotMultipart):
		return nil
	case errors.As(err, &long):
		return err
	}
	return finding.Fault{ID: FaultForm}
}

// plainLines ends every line of what was typed as texts are kept here. A browser sends lines with a carriage return before
// the line feed, whatever it was given (HTML Standard, form submission), and no text that is kept may hold one.
func plainLines(form url.Values) {
	for _, texts := range form {
		for i, text := range texts {
			if strings.IndexByte(text, '\r') >= 0 {
				texts[i] = strings.ReplaceAll(strings.ReplaceAll(text, "\r\n", "\n"), "\r", "\n")
			}
		}
	}
}

// firstBrief gives the text with which a bed begins.
func (v *visit) firstBrief() (string, error) {
	if v.PostFormValue("copy") == demonstration {
		return string(v.Demo), nil
	}
	if v.MultipartForm != nil && len(v.MultipartForm.File["file"]) > 0 {
		return v.sentFile()
	}
	b, _ := brief.Parse(briefName, nil)
	changes := []finding.Change{{Path: "raftwright", Value: "1"}, {Path: "language", Value: v.words.Language}}
	for _, path := range []finding.Path{"title", "site.place", "site.kind", "bed.length", "bed.width"} {
		changes = append(changes, finding.Change{Path: path, Value: strings.TrimSpace(v.PostFormValue(string(path)))})
	}
	if m := v.PostFormValue("bed.length"); strings.Contains(m, "m") {
		changes = append(changes, finding.Change{Path: "units", Value: string(brief.Metric)})
	}
	for _, c := range changes {
		if c.Value == "" {
			continue
		}
		if next, _ := b.Set(c.Path, c.Value); next != nil {
			b = next
		}
	}
	return string(b.Encode()), nil
}

// sentFile reads a brief that was sent as a file: what the command line reads. One with
// faults is taken, for the form shows them; what is no brief at all is not.
func (v *visit) sentFile() (string, error) {
	f, err := v.MultipartForm.File["file"][0].Open()
	if err != nil {
		return "", err
	}
	defer f.Close()
	data, err := io.ReadAll(f) // bounded by what a page takes
	if err != nil {
		return "", err
	}
	data, _, err = packet.Uncarried(data)
	if err != nil {
		return "", err
	}
	b, faults := brief.Parse(briefName, data)
	if b != nil && len(b.Values()) > 0 {
		return string(b.Encode()), nil
	}
	if len(faults) == 0 || len(data) == 0 {
		return "", finding.Fault{ID: FaultFile}
	}
	what, right := v.words.Fault(faults[0])
	return "", finding.Fault{ID: FaultFileAt, Args: finding.Args{"Line": faults[0].Line, "What": what, "Right": right}}
}

// download gives the brief as the file that the command line reads.
func (v *visit) download() error {
	b, err := v.theBed()
	if err != nil {
		return err
	}
	return v.attach("application/yaml; charset=utf-8", v.say("web.file.brief")+".yaml", []byte(b.Brief))
}

// attach sends a file to keep.
func (v *visit) attach(kind, name string, data []byte) error {
	h := v.out.Header()
	h.Set("Content-Type", kind)
	h.Set("Content-Disposition", `attachment; filename="`+name+`"`)
	h.Set("Cache-Control", "private, no-cache")
	_, err := v.out.Write(data)
	return err
}
