package crop

import (
	"slices"
	"strings"

	"raftwright/finding"
	"raftwright/source"
	"raftwright/unit"
)

// AssumeKind is raised when the kind of a crop had to be taken for the grower.
const AssumeKind finding.ID = "crop.kind"

// FaultUnknown is a crop that is not in the catalogue.
const FaultUnknown finding.ID = "crop.fault.unknown"

// plain brings a name to one form: lower case without accents, words without the ending of
// a plural, joined by one underscore. "Lechugas romanas" and "lechuga romana" are one name.
func plain(s string) string {
	fields := strings.FieldsFunc(unit.Fold(s), func(r rune) bool {
		return r == ' ' || r == '_' || r == '-' || r == '/' || r == ',' || r == '(' || r == ')'
	})
	for i, f := range fields {
		if len(f) > 3 { // "tomatoes", "tomates", "lettuces"
			fields[i] = strings.TrimSuffix(strings.TrimSuffix(f, "s"), "e")
		}
	}
	return strings.Join(fields, "_")
}

// Find gives the crop of a name and a cultivar as a brief writes them:
// "lettuce" and "leaf", "lettuce_leaf", "Leaf lettuce", "romaine lettuce", "bok choy", "lechuga romana". Lettuce
// without a cultivar, or with one that the catalogue does not know, is taken as
// leaf lettuce and the assumption is returned. path is the key of the name.
func (c Catalogue) Find(path finding.Path, name, cultivar string) (Crop, []finding.Assumption, finding.Faults) {
	n, v := plain(name), plain(cultivar)
	if v != "" {
		for _, key := range []string{n + "_" + v, v + "_" + n, v} {
			if i, ok := c.index[key]; ok && (key != v || c.family(i, n)) {
				return c.crops[i], nil, nil
			}
		}
	}
	if id, ok := c.families[n]; ok {
		n = id
	}
	i, ok := c.index[n]
	if at := strings.LastIndexByte(n, '_'); !ok && v == "" && at > 0 { // "romaine lettuce", as we print it
		if k, assumed, faults := c.Find(path, n[at+1:], n[:at]); len(assumed)+len(faults) == 0 {
			return k, nil, nil
		}
	}
	if !ok {
		i, ok = c.first(n)
		if ok && v == "" {
			return c.crops[i], []finding.Assumption{c.kind(i, "")}, nil
		}
	}
	if !ok {
		return Crop{}, nil, finding.Faults{{ID: FaultUnknown, Path: path, Args: finding.Args{"Name": strings.TrimSpace(name), "Near": strings.Join(c.near(n), ", ")}}}
	}
	if v != "" {
		return c.crops[i], []finding.Assumption{c.kind(i, strings.TrimSpace(cultivar))}, nil
	}
	return c.crops[i], nil, nil
}

func (c Catalogue) kind(i int, cultivar string) finding.Assumption {
	return finding.Assumption{
		ID: AssumeKind, Source: source.OwnChoice,
		Args: finding.Args{"Crop": c.crops[i].Word(), "Cultivar": cultivar},
	}
}

// family says whether a crop's ID starts with the word, so that "leaf" under
// "lettuce" cannot land on another crop.
func (c Catalogue) family(i int, word string) bool {
	id := plain(c.crops[i].ID)
	return id == word || strings.HasPrefix(id, word+"_") || slices.ContainsFunc(c.crops[i].Aliases, func(a string) bool { return plain(a) == word })
}

// first finds the first crop of a family: "lettuce" gives the first lettuce.
func (c Catalogue) first(word string) (int, bool) {
	for i, k := range c.crops {
		if word != "" && strings.HasPrefix(plain(k.ID), word+"_") {
			return i, true
		}
	}
	return 0, false
}

// families gives the words that the names of all kinds of a crop begin with in another
// language, "lechuga", with the word of their IDs, "lettuce".
func families(crops []Crop) map[string]string {
	kinds, begin := map[string]int{}, map[[2]string]int{}
	for _, k := range crops {
		id, _, _ := strings.Cut(plain(k.ID), "_")
		kinds[id]++
		seen := map[string]bool{}
		for _, a := range k.Aliases {
			if word, _, more := strings.Cut(plain(a), "_"); more && !seen[word] {
				seen[word] = true
				begin[[2]string{word, id}]++
			}
		}
	}
	out := map[string]string{}
	for at, n := range begin {
		if n > 1 && n == kinds[at[1]] {
			out[at[0]] = at[1]
		}
	}
	return out
}

// near lists up to three names that resemble the word, nearest first.
func (c Catalogue) near(word string) []string {
	if len(word) > 64 {
		return nil
	}
	var names, out []string
	written := map[string]string{} // what is told of a name
	tell := func(name, as string) {
		if _, known := written[plain(name)]; !known {
			names, written[plain(name)] = append(names, plain(name)), as
		}
	}
	for _, k := range c.crops {
		family, _, _ := strings.Cut(k.ID, "_")
		tell(family, family)
		for _, name := range append([]string{k.ID, k.Name}, k.Aliases...) {
			tell(name, k.ID)
		}
	}
	for len(out) < 3 {
		best := unit.Near(word, names)
		if best == "" {
			break
		}
		id := written[best]
		if !slices.Contains(out, id) {
			out = append(out, id)
		}
		names = slices.DeleteFunc(names, func(n string) bool { return n == best })
	}
	return out
}
