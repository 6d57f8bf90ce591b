package web

import (
	"cmp"
	"strconv"

	"raftwright/brief"
	"raftwright/finding"
	"raftwright/plan"
	"raftwright/store"
)

// offered is a brief that could become the next version of a bed's: what differs is shown before it is taken.
type offered struct {
	Bed, ID, To, Text string
	Version           int
	From              string // what it comes from
	Keys, Figures     []differs
	Learned           []string
	Faults            []pointed
	Told              []wrong
	Alone             bool // whether it can be made a bed of its own
	Do                string
}

// imports shows from where a brief, or a part of one, can be taken in.
func (v *visit) imports() error {
	b, err := v.theBed()
	if err != nil {
		return err
	}
	if err := v.mayChange(b); err != nil {
		return err
	}
	body := struct {
		Bed    string
		Shared []sharedKind
	}{Bed: b.ID}
	if body.Shared, err = v.sharedKinds(); err != nil {
		return err
	}
	s := v.of(b, "import")
	s.Body = body
	return v.show("import", s)
}

// takeIn shows what differs in a brief that was sent or in one with a sheet of the office in it, or takes it.
func (v *visit) takeIn() error {
	b, err := v.theBed()
	if err != nil {
		return err
	}
	if b.ID == demonstration {
		return finding.Fault{ID: FaultReadOnly}
	}
	if err := v.mayChange(b); err != nil {
		return err
	}
	if err := v.filled(); err != nil {
		return err
	}
	if v.PostFormValue("take") != "" {
		return v.take(b)
	}
	o := offered{Alone: true, From: v.say("web.import.from_file"), Do: v.say("web.import.take")}
	switch id := v.PostFormValue("sheet"); {
	case id != "":
		sheet, err := v.Store.Sheet(v.context(), v.who, id)
		if err != nil {
			return err
		}
		o.Text, o.Alone, o.From = string(withSheet(b.brief(), sheet).Encode()), false, sheet.Name
	case v.MultipartForm != nil && len(v.MultipartForm.File["file"]) > 0:
		if o.Text, err = v.sentFile(); err != nil {
			return err
		}
	default:
		return finding.Fault{ID: FaultFile}
	}
	return v.offer(b, "import", o)
}

// offer shows what differs between a bed's brief and one that could follow it.
func (v *visit) offer(b aBed, at string, o offered) error {
	var err error
	if o.Keys, o.Figures, err = v.between(b, b.Brief, o.Text); err != nil {
		return err
	}
	_, faults := brief.Parse(briefName, []byte(o.Text))
	for _, f := range faults {
		what, right := v.words.Fault(f)
		o.Faults = append(o.Faults, pointed{what, right, "", labelOf(v.words, f.Path)})
	}
	o.Bed, o.ID, o.Version, o.To = b.ID, store.NewID(), b.Version, cmp.Or(o.To, "/beds/"+b.ID+"/import")
	s := v.of(b, at)
	s.Body = o
	return v.show("offer", s)
}

// take keeps an offered brief as the next version, or as a bed of its own.
func (v *visit) take(b aBed) error {
	text, id := v.PostFormValue("text"), cmp.Or(v.PostFormValue("id"), store.NewID())
	if known, _ := brief.Parse(briefName, []byte(text)); known == nil {
		return finding.Fault{ID: FaultFile}
	}
	if v.PostFormValue("take") == "alone" {
		if _, err := v.Store.PutBed(v.context(), v.who, id, text, plan.Code); err != nil {
			return err
		}
		return v.to("/beds/" + id + "/brief")
	}
	saw, err := strconv.Atoi(v.PostFormValue("version"))
	if err != nil {
		return finding.Fault{ID: FaultForm}
	}
	if _, err := v.Store.PutBrief(v.context(), v.who, id, b.ID, saw, text, plan.Code); err != nil {
		return err
	}
	return v.to("/beds/" + b.ID + "/brief")
}
