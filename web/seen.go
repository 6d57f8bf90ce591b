package web

import (
	"bytes"
	_ "embed"
	"html/template"
	"math"
	"slices"
	"sync"

	"raftwright/bed"
	"raftwright/brief"
	"raftwright/draw"
	"raftwright/finding"
	"raftwright/lang"
	"raftwright/press"
	"raftwright/store"
	"raftwright/tend"
	"raftwright/trouble"
	"raftwright/unit"
)

// moreSigns is line art that was drawn for this project, of signs that no paper shows.
//
//go:embed signs.txt
var moreSigns string

// signArt is the line drawing of each sign that has one, by its key in the table of
// troubles; in the order in which a plant is looked at.
var signArt = []struct{ part, key, art string }{
	{"leaves", "older_yellow_uniform", "older-yellow-uniform"}, {"leaves", "older_interveinal", "older-interveinal"},
	{"leaves", "older_margin_scorch", "older-margin-scorch"}, {"leaves", "older_dull_purple", "older-purple"},
	{"leaves", "young_interveinal", "young-interveinal"}, {"leaves", "young_uniform_pale", "young-uniform-pale"},
	{"leaves", "inner_tipburn", "inner-tipburn"}, {"leaves", "growing_point_thick", "growing-point-thick"},
	{"leaves", "bronze_specks_mn", "small-spots"}, {"leaves", "holes_in_leaves", "holes-chewed"},
	{"plant", "midday_wilt_cool_water", "wilting-noon"}, {"plant", "bolting", "bolting"},
	{"roots", "white", "roots-white"}, {"roots", "cream", "roots-cream"}, {"roots", "brown", "roots-brown"}, {"roots", "slimy", "roots-slimy"},
}

// drawnSigns presses the drawings of signs once. Their words stand beside them.
var drawnSigns = sync.OnceValue(func() map[string]template.HTML {
	out := map[string]template.HTML{}
	for _, s := range signArt {
		g, _, _, ok := draw.Symbol(s.art)
		if !ok {
			g, _, _, ok = draw.SymbolOf(moreSigns, s.art)
		}
		if !ok {
			continue
		}
		var b bytes.Buffer
		d := draw.Drawing{ID: "sign-" + s.art, Title: s.art, Bare: true, Items: []draw.Item{g.Scaled(2)}}
		if press.SVG(d, draw.Fitting{}, &b) == nil {
			out[s.key] = template.HTML(b.String())
		}
	}
	return out
})

// pick is a sign to tick.
type pick struct {
	Key, Words string
	Art        template.HTML
	Picked     bool
}

// cause is what may be wrong, with what speaks for it and against it.
type cause struct {
	Name         string
	Share        string
	Squares      []bool // of ten beds like this one
	For, Against []string
	Check, Do    string
	Adds         []string // how much, in this bed
}

// seenNow shows what can be seen, and what it may mean.
func (v *visit) seenNow() error { return v.showSeen(nil) }

// showSeen shows the signs to pick, and for those that are picked what may be wrong.
func (v *visit) showSeen(bad map[string][]wrong) error {
	b, err := v.theBed()
	if err != nil {
		return err
	}
	if err := v.filled(); err != nil {
		return err
	}
	book := v.Book.Trouble
	var now bed.Visit
	for _, key := range v.Form["seen"] {
		if book.Group(key) == trouble.Seen && !slices.Contains(now.Read.Seen, key) {
			now.Read.Seen = append(now.Read.Seen, key)
		}
	}
	if r := v.FormValue("roots"); book.Knows("roots_" + r) {
		now.Read.Roots = brief.Roots(r)
	}
	looked := len(now.Read.Seen) > 0 || now.Read.Roots != ""
	var t tended
	if looked { // somebody asked, and waits for it
		done, err := v.turnToFit()
		if err != nil {
			return err
		}
		defer done()
		if t, err = v.tend(b, now); err != nil {
			return err
		}
	}
	body := struct {
		Bed, ID, At                string
		Demo, Looked, Sure         bool
		Leaves, Plant, Roots, More []pick
		Picked                     []brief.Pair
		Causes                     []cause
		Rest                       string
		RestSquares                []bool
		Next                       string
		Told                       []string
		Cannot, WrongAt            []wrong
	}{Bed: b.ID, ID: store.NewID(), At: v.nowAt(b).Format(clock), Demo: b.ID == demonstration, Looked: looked, WrongAt: slices.Concat(bad["at"], bad["seen"], bad["seen[0]"])}
	v.picks(now.Read, &body.Leaves, &body.Plant, &body.Roots, &body.More)
	for _, key := range now.Read.Seen {
		body.Picked = append(body.Picked, brief.Pair{Path: "seen", Text: key})
	}
	if now.Read.Roots != "" {
		body.Picked = append(body.Picked, brief.Pair{Path: "roots", Text: string(now.Read.Roots)})
	}
	if looked {
		body.Cannot = v.cannot(t)
	}
	if looked && t.Tending != nil {
		known := 0.0
		for _, c := range t.Wrong.Causes[:min(len(t.Wrong.Causes), 3)] {
			known += c.Share
			body.Causes = append(body.Causes, causeOf(c, t))
		}
		body.Rest, body.RestSquares = tenth(1-known, t.words), squares(1-known)
		if q := t.Wrong.Next; len(q.Signs) > 0 {
			body.Next = t.words.Say("web.seen.next_"+q.Group, nil)
			if q.Group == trouble.Seen {
				body.Next = t.words.Say("web.seen.next", finding.Args{"Sign": signWords(q.Signs[:1], t.words)[0]})
			}
		}
		for _, f := range t.Findings {
			if f.ID == tend.FindUnsure || f.ID == tend.FindCall || f.ID == tend.FindLabel {
				body.Told = append(body.Told, t.words.Finding(f))
			}
		}
	}
	s := v.of(b, "seen")
	s.AtBed, s.Body = true, body
	return v.showAs(statusWith(bad), "seen", s)
}

// picks are the signs to tick: the drawn ones by where one looks, then the others by their words.
func (v *visit) picks(read bed.Readings, leaves, plant, roots, more *[]pick) {
	drawn := map[string]bool{}
	for _, s := range signArt {
		p := pick{Key: s.key, Words: v.say("trouble.sign." + s.key), Art: drawnSigns()[s.key], Picked: slices.Contains(read.Seen, s.key)}
		switch s.part {
		case "leaves":
			*leaves = append(*leaves, p)
		case "plant":
			*plant = append(*plant, p)
		default:
			p.Words, p.Picked = v.say("trouble.sign.roots_"+s.key), string(read.Roots) == s.key
			*roots = append(*roots, p)
		}
		drawn[s.key] = true
	}
	for _, key := range v.Book.Trouble.Signs() {
		if v.Book.Trouble.Group(key) == trouble.Seen && !drawn[key] {
			*more = append(*more, pick{Key: key, Words: v.say("trouble.sign." + key), Picked: slices.Contains(read.Seen, key)})
		}
	}
}

// causeOf tells a cause in words.
func causeOf(c trouble.Cause, t tended) cause {
	words := t.words
	var adds []string
	for _, p := range tend.Portions(c, unit.Volume(t.State.Volume.Value)*unit.Litre) {
		id, args := p.Said()
		adds = append(adds, words.Say(id, args))
	}
	return cause{Adds: adds, Name: words.Say("web.seen.name", finding.Args{"Name": finding.Word("word.trouble." + c.Trouble)}), Share: tenth(c.Share, words), Squares: squares(c.Share),
		For: signWords(c.For[:min(4, len(c.For))], words), Against: signWords(c.Against[:min(4, len(c.Against))], words),
		Check: words.Say("trouble.check."+c.Trouble, nil), Do: words.Say("trouble.do."+c.Trouble, nil)}
}

func signWords(keys []string, words *lang.Printer) (out []string) {
	for _, k := range keys {
		out = append(out, words.Say("trouble.sign."+k, nil))
	}
	return out
}

// tenth prints a share.
func tenth(share float64, words *lang.Printer) string {
	return words.Value(unit.Fraction(math.Round(share*100) / 100))
}

// squares are ten beds like this one, those of a share marked.
func squares(share float64) []bool {
	out := make([]bool, 10)
	for i := range out {
		out[i] = float64(i) < math.Round(share*10)
	}
	return out
}
