// Package trouble ranks what may be wrong with a raft bed from what was seen on the plants and what is
// known of the bed. It knows no bed: signs go in, troubles with their shares come out, and "do not know"
// keeps its own.
//
// The method is naive Bayes with a brake for signs that overlap (rank.go). All likelihoods are
// judgement: no counts of troubles in such beds were found.
package trouble

import (
	"cmp"
	_ "embed"
	"slices"
	"strings"

	"raftwright/finding"
	"raftwright/internal/table"
	"raftwright/source"
	"raftwright/unit"
)

//go:embed tables/troubles.csv
var troublesText string

//go:embed tables/signs.csv
var signsText string

//go:embed tables/likelihoods.csv
var likelihoodsText string

//go:embed tables/additions.csv
var additionsText string

// Tables are the embedded tables.
func Tables() table.Texts {
	return table.Texts{{File: "troubles.csv", Text: troublesText, Key: []string{"key"}}, {File: "signs.csv", Text: signsText, Key: []string{"key"}},
		{File: "likelihoods.csv", Text: likelihoodsText, Key: []string{"trouble", "sign"}}, {File: "additions.csv", Text: additionsText, Key: []string{"trouble", "element"}}}
}

// Refer says when a trouble is more than a grower should settle alone.
type Refer int

// When to call for help.
const (
	Alone      Refer = iota // no need to
	Again                   // when it comes back or spreads
	BeforeUse               // before anything is sprayed: only by a label for that crop
	AlwaysCall              // at once
)

// Seen is the group of the signs on plants and water: several of it may hold at once.
const Seen = "seen"

// Book is the tables of troubles and of their signs.
type Book struct {
	troubles []entry
	signs    []sign
	place    map[string]int // of a sign
	groups   map[string][]int
}

// entry is one trouble.
type entry struct {
	key    string
	prior  float64
	refer  Refer
	source source.ID
	shows  []float64 // by sign: how often; of a group that it says nothing of, the base
	tells  []bool    // by sign: the table has it
	adds   []Addition
}

// Addition is what is added against a want: so much of an element (its key in a brief) in each liter, from a product of the library
// of mixes.
type Addition struct {
	Element   string
	Low, High unit.MassConcentration
	Product   string
	Source    source.ID
}

type sign struct {
	key, group string
	base       float64
	effort     int
}

// Faults of the tables.
const (
	FaultTrouble finding.ID = "trouble.fault.trouble" // a likelihood of no trouble
	FaultSign    finding.ID = "trouble.fault.sign"    // a likelihood of no sign
)

// ReadBook reads tables with the columns of the embedded ones.
func ReadBook(t table.Texts) (b Book, faults finding.Faults) {
	b.place, b.groups = map[string]int{}, map[string][]int{}
	faults = t.Read("signs.csv", func(r *table.Row) {
		s := sign{key: r.Need("key"), group: r.Need("group"), base: r.Number("base", 0.001, 0.999), effort: int(r.Number("effort", 0, 9))}
		b.place[s.key] = len(b.signs)
		b.groups[s.group] = append(b.groups[s.group], len(b.signs))
		b.signs = append(b.signs, s)
	})
	at := map[string]int{}
	faults = append(faults, t.Read("troubles.csv", func(r *table.Row) {
		x := entry{key: r.Need("key"), prior: r.Number("prior", 1e-6, 1), refer: Refer(r.Word("refer", "no", "again", "label", "yes")), source: r.Source("source")}
		x.shows, x.tells = make([]float64, len(b.signs)), make([]bool, len(b.signs))
		at[x.key] = len(b.troubles)
		b.troubles = append(b.troubles, x)
	})...)
	faults = append(faults, t.Read("likelihoods.csv", func(r *table.Row) {
		i, known := at[r.Need("trouble")]
		k, is := b.place[r.Need("sign")]
		share := r.Number("share", 0.0001, 0.9999)
		switch {
		case !known:
			r.Wrong(FaultTrouble, "trouble", finding.Args{"Text": r.Text("trouble")})
		case !is:
			r.Wrong(FaultSign, "sign", finding.Args{"Text": r.Text("sign")})
		default:
			b.troubles[i].shows[k], b.troubles[i].tells[k] = share, true
		}
	})...)
	faults = append(faults, t.Read("additions.csv", func(r *table.Row) {
		i, known := at[r.Need("trouble")]
		low := r.Number("low_mg_L", 0.001, 500)
		high := r.Number("high_mg_L", max(0.001, low), 500)
		a := Addition{Element: r.Need("element"), Low: unit.MassConcentration(low) * unit.MilligramPerLitre, High: unit.MassConcentration(high) * unit.MilligramPerLitre,
			Product: r.Need("product"), Source: r.Source("source")}
		if !known {
			r.Wrong(FaultTrouble, "trouble", finding.Args{"Text": r.Text("trouble")})
			return
		}
		b.troubles[i].adds = append(b.troubles[i].adds, a)
	})...)
	for i := range b.troubles {
		b.rest(&b.troubles[i])
	}
	return b, faults
}

// made is the share of its base at which a sign is seen with a trouble that does not make it (judgement).
const made = 0.35

// rest fills in what the table does not tell of a trouble: of a group of which one holds, what is left
// goes to the others as their bases stand to each other.
func (b Book) rest(x *entry) {
	for group, members := range b.groups {
		left, bases := 1.0, 0.0
		for _, k := range members {
			if x.tells[k] {
				left -= x.shows[k]
			} else {
				bases += b.signs[k].base
			}
		}
		for _, k := range members {
			switch base := b.signs[k].base; {
			case x.tells[k]:
			case group == Seen:
				x.shows[k] = made * base
			default:
				x.shows[k] = max(left, 0.001) * base / bases
			}
		}
	}
}

// Knows tells whether a key is one of the table of signs.
func (b Book) Knows(key string) bool { _, ok := b.place[key]; return ok }

// Group gives the group of a sign, "" where there is none of that key.
func (b Book) Group(key string) string {
	if k, ok := b.place[key]; ok {
		return b.signs[k].group
	}
	return ""
}

// Signs lists the keys of the signs in the order of the table.
func (b Book) Signs() []string {
	out := make([]string, len(b.signs))
	for i, s := range b.signs {
		out[i] = s.key
	}
	return out
}

// A sign is the trouble itself where it is nearly always seen with one and with any other at most every second time (own judgement: wrigglers are mosquitoes).
const plainFrom, plainElse = 0.9, 0.5

// Plain gives the trouble that a seen sign is by itself, "" where it only points to some.
func (b Book) Plain(sign string) (trouble string) {
	k, ok := b.place[sign]
	if !ok || b.signs[k].group != Seen {
		return ""
	}
	for _, x := range b.troubles {
		switch {
		case x.shows[k] >= plainFrom && trouble == "":
			trouble = x.key
		case x.shows[k] > plainElse:
			return ""
		}
	}
	return trouble
}

// mostLike is how many keys are offered for one that is none (own choice).
const mostLike = 8

// Like gives, for a sign that is none, the keys of signs that are seen and share the beginning of a word with it, the nearest by letters first; all that are
// seen where none does.
func (b Book) Like(name string) []string {
	var seen, like []string
	words := strings.FieldsFunc(strings.ToLower(name), func(r rune) bool { return r == '_' || r == ' ' || r == '-' })
	for _, s := range b.signs {
		if s.group != Seen {
			continue
		}
		seen = append(seen, s.key)
		if slices.ContainsFunc(strings.Split(s.key, "_"), func(of string) bool {
			return slices.ContainsFunc(words, func(w string) bool {
				return len(w) >= leastShared && len(of) >= leastShared && w[:leastShared] == of[:leastShared]
			})
		}) {
			like = append(like, s.key)
		}
	}
	if len(like) == 0 {
		return seen
	}
	slices.SortStableFunc(like, func(x, y string) int { return cmp.Compare(unit.Letters(name, x), unit.Letters(name, y)) })
	return like[:min(mostLike, len(like))]
}

// leastShared is how many letters a beginning has.
const leastShared = 4

// Keys lists the troubles in the order of the table.
func (b Book) Keys() []string {
	out := make([]string, len(b.troubles))
	for i, x := range b.troubles {
		out[i] = x.key
	}
	return out
}
