package sky

import (
	"bytes"
	"cmp"
	"compress/flate"
	"encoding/binary"
	"errors"
	"hash/crc32"
	"io"
	"math"
	"math/bits"
	"slices"
	"strconv"
	"strings"
	"sync"

	"raftwright/unit"
)

// Atlas is the places and the climate stations of the United States, read from
// the packed table of package places. Nothing is unpacked before it is asked for,
// and then only the piece that is needed.
//
// Source: USDA-ARS CLIGEN station files and the US Census Bureau Gazetteer 2022,
// both in the public domain; how good they are stands in the table's notice.
type Atlas struct {
	pieces map[string][]byte
	unpack func(io.Reader) io.ReadCloser // given where an atlas is opened, so that a browser without one does not carry it
	states []State
	hash   string
	kept   sync.Map // pieces that a search unpacked, by their names
}

// Hash tells one atlas from another. It is no proof against forgery.
func (a *Atlas) Hash() string { return a.hash }

// State is a state or territory, by its two letters.
type State struct{ Code, Name string }

// Spot is a named area by its middle.
type Spot struct {
	Kind      string // zip, county or town
	Name      string
	State     string // two letters; "" for a ZIP code
	Latitude  unit.Angle
	Longitude unit.Angle
	County    string // the county whose middle is nearest, where a name stands twice in a state
}

// String gives the spot as it is written in a brief: "Ithaca NY", "04473".
func (s Spot) String() string { return strings.TrimSpace(s.Name + " " + s.State) }

// Place gives the spot as a place without a height.
func (s Spot) Place() Place { return Place{Latitude: s.Latitude, Longitude: &s.Longitude} }

// errAtlas says that the packed table is not one. It is embedded and tested, so
// that nobody meets it.
var errAtlas = errors.New("sky.atlas_broken")

// OpenAtlas reads the directory of a packed table: the number of its pieces, then
// of each its name, and length, then the pieces themselves.
func OpenAtlas(packed []byte) (*Atlas, error) {
	r := bytes.NewReader(packed)
	n, err := binary.ReadUvarint(r)
	if err != nil || n > 1<<12 {
		return nil, errAtlas
	}
	names, sizes := make([]string, n), make([]int, n)
	for i := range names {
		long, err1 := binary.ReadUvarint(r)
		name := make([]byte, min(long, 64))
		_, err2 := io.ReadFull(r, name)
		size, err3 := binary.ReadUvarint(r)
		if err := cmp.Or(err1, err2, err3); err != nil || size > uint64(len(packed)) {
			return nil, errAtlas
		}
		names[i], sizes[i] = string(name), int(size)
	}
	rest := packed[len(packed)-r.Len():]
	a := &Atlas{pieces: make(map[string][]byte, n), unpack: flate.NewReader, hash: strconv.FormatUint(uint64(crc32.ChecksumIEEE(packed)), 16)}
	for i, name := range names {
		if sizes[i] > len(rest) {
			return nil, errAtlas
		}
		a.pieces[name], rest = rest[:sizes[i]], rest[sizes[i]:]
	}
	for _, row := range a.rows("states") {
		a.states = append(a.states, State{row[0], row[1]})
	}
	return a, nil
}

// mostPiece bounds what one piece may unpack to.
const mostPiece = 1 << 22

// piece unpacks one piece; nothing where there is none.
func (a *Atlas) piece(name string) []byte {
	out, _ := a.read(name, nil)
	return out
}

// rows unpacks a piece of lines whose cells are apart by tabs.
func (a *Atlas) rows(name string) [][]string {
	var out [][]string
	for line := range strings.Lines(string(a.piece(name))) {
		out = append(out, strings.Split(strings.TrimSuffix(line, "\n"), "\t"))
	}
	return out
}

// Find looks up "04473", "Ithaca NY", "Ithaca, New York", "Penobscot County ME", or a
// town with its county in brackets where several of a state have its name.
// Exactly one spot is an answer. Several mean that the name stands more than once:
// in several states where none was said, else in one state, each with its county.
// None means that it is not known: near then holds what is spelled most like it.
func (a *Atlas) Find(text string) (found, near []Spot) {
	words := strings.Fields(fold(text))
	if len(words) == 0 {
		return nil, nil
	}
	if zip, _, _ := strings.Cut(strings.TrimSpace(text), "-"); len(zip) == 5 && strings.Trim(zip, "0123456789") == "" {
		return a.zip(zip)
	}
	name, states := a.stateOf(words)
	asked := states
	if len(asked) == 0 {
		asked = a.states
	}
	look := search{written: name, letters: lettersOf(name), best: 1 + max(1, len(name)/3)}
	for _, kind := range []string{"town", "county"} {
		a.each(kind, asked, look.at)
		if kind == "town" && len(look.found) == 0 && len(states) > 0 { // "Boise" is Boise City, and no town of Boise County
			look.found = a.called(name, asked)
		}
		found, near = look.found, look.near
		if len(found) > 0 { // a county is meant where no town has its name, or where it is said
			if len(states) > 0 && len(found) > 1 {
				a.tellApart(found)
			}
			return found, nil
		}
	}
	if town, county, ok := strings.Cut(text, "("); ok {
		if found := a.inCounty(town, strings.TrimSuffix(strings.TrimSpace(county), ")")); len(found) > 0 {
			return found, nil
		}
	}
	return nil, near[:min(len(near), mostNear)]
}

// called finds the towns that are called so, though the Gazetteer writes a word more: Boise City, Urban Honolulu, Butte-Silver Bow.
func (a *Atlas) called(name string, states []State) (found []Spot) {
	a.each("town", states, func(kind, state string, row, latitude, longitude []byte) {
		own, isCity := bytes.CutSuffix(row, []byte(" City"))
		own, isUrban := bytes.CutPrefix(own, []byte("Urban "))
		own, _, isTwo := bytes.Cut(own, []byte{'-'})
		if (isCity || isUrban || isTwo) && fold(string(own)) == name {
			found = append(found, Spot{Kind: kind, Name: string(row), State: state, Latitude: degrees(string(latitude)), Longitude: degrees(string(longitude))})
		}
	})
	return found
}

// search goes through names, spelled as they stand, for one that was written.
type search struct {
	written string
	letters uint32
	best    int // by how many letters the nearest so far is off
	found   []Spot
	near    []Spot
	folded  [nameRoom]byte
}

// nameRoom is the longest name that is compared without being folded anew.
const nameRoom = 64

// at compares one row.
func (q *search) at(kind, state string, name, latitude, longitude []byte) {
	most := q.best
	if len(q.found) > 0 {
		most = 0
	}
	var d int
	if plain := plainly(name, q.folded[:0]); plain == nil || kind == "county" && cityNames[state] != nil {
		d = closest(q.written, Spot{Kind: kind, Name: string(name), State: state})
	} else {
		d = q.off(plain, most)
		for _, word := range countyNames {
			if short, ok := bytes.CutSuffix(plain, []byte(word)); ok && kind == "county" {
				d = min(d, q.off(short, most))
			}
		}
	}
	if d = min(d, len(q.written)+1); d > most { // more than all of its letters are never off
		return
	}
	spot := Spot{Kind: kind, Name: string(name), State: state, Latitude: degrees(string(latitude)), Longitude: degrees(string(longitude))}
	switch {
	case d == 0:
		q.found = append(q.found, spot)
	case d < q.best:
		q.near, q.best = append(q.near[:0], spot), d
	default:
		q.near = append(q.near, spot)
	}
}

// off gives how many letters a folded name is off what was written, and more than most where it is more than that.
func (q *search) off(name []byte, most int) int {
	if gap := len(name) - len(q.written); max(gap, -gap) > min(most, 3) {
		return most + 1
	}
	if string(name) == q.written {
		return 0
	}
	if l := lettersOf(name); bits.OnesCount32(l&^q.letters) > most || bits.OnesCount32(q.letters&^l) > most { // one change brings one letter and takes one
		return most + 1
	}
	return unit.Letters(q.written, string(name))
}

// lettersOf gives which letters stand in a text: a bit for each, one for all that is no letter.
func lettersOf[T string | []byte](text T) (l uint32) {
	for i := range len(text) {
		if c := text[i] - 'a'; c < 26 {
			l |= 1 << c
		} else {
			l |= 1 << 31
		}
	}
	return l
}

// plainly folds a name of plain letters and single spaces, with nothing in it that has a second spelling or stands for two names; nil
// for one that has. Its length stays.
func plainly(name, room []byte) []byte {
	if len(name) > cap(room) {
		return nil
	}
	room = room[:len(name)]
	word := 0 // where it begins
	for i, c := range name {
		switch small := c | 0x20; {
		case small >= 'a' && small <= 'z':
			room[i] = small
		case c == ' ' && i > word:
			if i-word <= longestSpelled {
				if _, twice := spelled[string(room[word:i])]; twice {
					return nil
				}
			}
			room[i], word = c, i+1
		default:
			return nil
		}
	}
	if last := string(room[word:]); word > 0 && (last == "city" || last == "government") { // one with its county, as mergedNames has them
		return nil
	}
	return room
}

// longestSpelled is the longest of the short words that are written both ways.
const longestSpelled = 3

// inCounty finds the towns of a name whose nearest county is this: "Salem ME (Franklin
// County)", the way in which towns of one name are told apart.
func (a *Atlas) inCounty(town, county string) []Spot {
	found, _ := a.Find(town)
	return slices.DeleteFunc(found, func(s Spot) bool { return s.County == "" || fold(s.County) != fold(county) })
}

// mostNear is how many spellings are offered.
const mostNear = 6

// stateOf takes the state off the end of a name.
func (a *Atlas) stateOf(words []string) (name string, states []State) {
	for n := min(3, len(words)-1); n >= 1; n-- {
		tail := strings.Join(words[len(words)-n:], " ")
		for _, s := range a.states {
			if tail == strings.ToLower(s.Code) || tail == fold(s.Name) {
				return strings.Join(words[:len(words)-n], " "), []State{s}
			}
		}
	}
	return strings.Join(words, " "), nil
}

// each goes through the towns or the counties of states, a row at a time. What a search
// unpacked is kept for the next, 1.2 MB for all states.
func (a *Atlas) each(kind string, states []State, row func(kind, state string, name, latitude, longitude []byte)) {
	var from io.ReadCloser
	for _, s := range states {
		name := kind + "." + s.Code
		kept, ok := a.kept.Load(name)
		if !ok {
			kept, from = a.read(name, from)
			a.kept.Store(name, kept)
		}
		for text := kept.([]byte); len(text) > 0; {
			var line []byte
			line, text, _ = bytes.Cut(text, []byte{'\n'})
			name, rest, _ := bytes.Cut(line, []byte{'\t'})
			if latitude, longitude, ok := bytes.Cut(rest, []byte{'\t'}); ok {
				row(kind, s.Code, name, latitude, longitude)
			}
		}
	}
}

// read unpacks one piece with what unpacked the last, and gives that on; nothing where there
// is none.
func (a *Atlas) read(name string, from io.ReadCloser) ([]byte, io.ReadCloser) {
	packed := bytes.NewReader(a.pieces[name])
	if again, ok := from.(interface {
		Reset(r io.Reader, dict []byte) error
	}); !ok || again.Reset(packed, nil) != nil {
		from = a.unpack(packed)
	}
	out, err := io.ReadAll(io.LimitReader(from, mostPiece))
	if err != nil {
		return nil, from
	}
	return out, from
}

// spots unpacks the towns or the counties of a state.
func (a *Atlas) spots(kind, state string) []Spot {
	var out []Spot
	for _, row := range a.rows(kind + "." + state) {
		if len(row) == 3 {
			out = append(out, Spot{Kind: kind, Name: row[0], State: state, Latitude: degrees(row[1]), Longitude: degrees(row[2])})
		}
	}
	return out
}

// degrees reads thousandths of a degree.
func degrees(s string) unit.Angle {
	n, _ := strconv.Atoi(s)
	return unit.Angle(n) / 1000 * unit.Degree
}

// zip looks a ZIP code up; near are those about it.
func (a *Atlas) zip(code string) (found, near []Spot) {
	want, _ := strconv.Atoi(code)
	b := a.piece("zip." + code[:1])
	at, lat, lon := 0, 0, 0
	var below Spot
	for len(b) > 0 {
		for _, v := range []*int{&at, &lat, &lon} {
			d, n := binary.Varint(b)
			if n <= 0 {
				return nil, nil
			}
			*v, b = *v+int(d), b[n:]
		}
		s := Spot{Kind: "zip", Name: strconv.Itoa(100000 + at)[1:], Latitude: unit.Angle(lat) / 1000 * unit.Degree, Longitude: unit.Angle(lon) / 1000 * unit.Degree}
		switch {
		case at == want:
			return []Spot{s}, nil
		case at > want:
			if below.Name != "" {
				near = append(near, below)
			}
			return nil, append(near, s)
		}
		below = s
	}
	if below.Name != "" {
		near = append(near, below)
	}
	return nil, near
}

// tellApart names the nearest county of spots of one name in one state, and of two by one
// county also the side on which each lies of the other: "south Kingman County".
func (a *Atlas) tellApart(spots []Spot) {
	counties := a.spots("county", spots[0].State)
	for i := range spots {
		if spots[i].Kind != "town" {
			continue
		}
		least := unit.Length(-1)
		for _, c := range counties {
			if d, _ := Distance(spots[i].Place(), c.Place()); least < 0 || d < least {
				least, spots[i].County = d, c.Name
			}
		}
	}
	for i := range spots {
		for k := range spots[:i] {
			if a, b := &spots[k], &spots[i]; a.County == b.County && a.County != "" {
				north, east := b.Latitude-a.Latitude, float64(b.Longitude-a.Longitude)*math.Cos(float64(a.Latitude))
				sides := [2]string{"south", "north"}
				if math.Abs(east) > math.Abs(float64(north)) {
					sides, north = [2]string{"west", "east"}, unit.Angle(east)
				}
				if north < 0 {
					sides[0], sides[1] = sides[1], sides[0]
				}
				a.County, b.County = sides[0]+" "+a.County, sides[1]+" "+b.County
			}
		}
	}
}

// closest gives how many letters a written name is off the nearest of the names of
// a spot: its own, what stands in brackets behind it, a city that is one with its county by its
// own part, and a county without its word.
func closest(written string, s Spot) int {
	whole := fold(s.Name)
	names := []string{whole}
	if before, inside, ok := strings.Cut(s.Name, "("); ok {
		names = append(names, fold(before), fold(strings.TrimSuffix(inside, ")")))
	}
	for _, word := range mergedNames {
		if short, ok := strings.CutSuffix(s.Name, word); ok {
			names = append(names, fold(short))
			if city, _, two := strings.Cut(short, "-"); two { // of one with a slash the city stands in the table too
				names = append(names, fold(city))
			}
			break
		}
	}
	if s.Kind == "county" {
		if own := cityNames[s.State]; own != nil && whole == own[0] { // its city is no town of the table
			names = append(names, own[1:]...)
		}
		for _, word := range countyNames {
			if short, ok := strings.CutSuffix(whole, word); ok {
				names = append(names, short)
			}
		}
	}
	least := len(written) + 1
	for _, n := range names {
		if n == written {
			return 0
		}
		if gap := len(n) - len(written); max(gap, -gap) < least && max(gap, -gap) <= 3 {
			least = min(least, unit.Letters(written, n))
		}
	}
	return least
}

// cityNames are a county of a state and its city, which are one.
var cityNames = map[string][]string{"KY": {"fayette county", "lexington", "lexington fayette"}, "GA": {"bibb county", "macon", "macon bibb"}}

// countyNames are the words behind the name of a county.
var countyNames = []string{" county", " parish", " borough", " census area", " municipio"}

// mergedNames are the words behind the name of a city that is one with its county, as the Gazetteer
// writes it: "Athens-Clarke County unified government". By its county it is found among those.
var mergedNames = []string{" unified government", " consolidated government", " metropolitan government", " metro government", " city"}

// fold writes a name in small plain letters, with the short words that are
// written both ways spelled out.
func fold(name string) string {
	plain := strings.Map(func(r rune) rune {
		if i := strings.IndexRune(accented, r); i >= 0 {
			return rune(unaccented[len([]rune(accented[:i]))])
		}
		switch r {
		case '\'', '’', '.':
			return -1
		case ',', '-', '/', '(', ')':
			return ' '
		}
		return r
	}, strings.ToLower(name))
	words := strings.Fields(plain)
	for i, w := range words {
		if long, ok := spelled[w]; ok && i < len(words)-1 {
			words[i] = long
		}
	}
	return strings.Join(words, " ")
}

const (
	accented   = "áàâãäåéèêëġíìîïñóòôõöúùûüç"
	unaccented = "aaaaaaeeeegiiiinooooouuuuc"
)

var spelled = map[string]string{"st": "saint", "ste": "sainte", "mt": "mount", "ft": "fort", "pt": "point"}
