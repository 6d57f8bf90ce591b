package web

import (
	"raftwright/finding"
	"raftwright/store"
)

// didGroups are what can be done at a bed, in the order in which a log reckons with it.
var didGroups = []struct {
	id   string
	keys []string
}{
	{"out", []string{"dumped", "filled"}},
	{"in", []string{"added water", "added solution.volume", "added solution.strength", "added", "added acid"}},
	{"plants", []string{"planted.heads", "planted.age", "harvested.heads", "harvested.mass", "lost"}},
	{"gear", []string{"air", "shade", "leak", "note"}},
}

// did shows the blanks for what was done at a bed.
func (v *visit) did() error { return v.showDid(nil) }

// doneGroup is a part of the blanks for what was done.
type doneGroup struct {
	ID, Title string
	Blanks    []blank
}

// showDid shows what can be written down as done; with faults it shows what was typed again.
func (v *visit) showDid(bad map[string][]wrong) error {
	b, err := v.theBed()
	if err != nil {
		return err
	}
	words, err := v.wordsFor(b.reading)
	if err != nil {
		return err
	}
	t := tended{aBed: b, words: words}
	body := struct {
		Bed, ID, At string
		Demo        bool
		WrongAt     []wrong
		Groups      []doneGroup
		Set         bool
		Checked     string
	}{Bed: b.ID, ID: store.NewID(), At: v.Now().Local().Format(clock), Demo: b.ID == demonstration, WrongAt: bad["at"], Set: v.PostFormValue("meter-set") != "", Checked: b.texts()["meter.checked"]}
	if bad != nil {
		body.At, body.ID = v.PostFormValue("at"), v.PostFormValue("id")
	}
	for _, g := range didGroups {
		var keys []string
		for _, k := range g.keys {
			if k != "added" {
				keys = append(keys, k)
				continue
			}
			for _, m := range b.brief().Shelf {
				if name := m.Name.Value; name != "" {
					keys = append(keys, string(finding.Path("added").Key(name)))
				}
			}
		}
		x := doneGroup{ID: g.id, Title: v.say("web.did." + g.id), Blanks: v.blanks(t, bad, keys)}
		for i := range x.Blanks {
			x.Blanks[i].Last = "" // what was poured once is no measure of what is poured now
			x.Blanks[i].Words = v.wordsOf(x.Blanks[i].Key, x.Blanks[i].Text)
		}
		body.Groups = append(body.Groups, x)
	}
	s := v.of(b, "did")
	s.AtBed, s.Body = true, body
	return v.showAs(statusWith(bad), "did", s)
}

// wordsOf are the words that a key of the log can have.
func (v *visit) wordsOf(key, chosen string) (out []option) {
	for _, w := range map[string][]string{"filled": {"yes", "water"}, "air": {"on", "off"}, "leak": {"none", "patched"}}[key] {
		id := "web.word." + w
		if key == "filled" || key == "leak" {
			id = "web." + key + "." + w
		}
		out = append(out, option{Value: w, Name: v.say(id), Chosen: w == chosen})
	}
	return out
}
