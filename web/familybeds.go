package web

import (
	"cmp"
	"fmt"
	"maps"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"github.com/google/uuid"

	"raftwright/brief"
	"raftwright/finding"
	"raftwright/plan"
	"raftwright/store"
	"raftwright/workshop"
)

// mostRounds bounds how many days with families of their own are built from one plan.
const mostRounds = 99

// seat is the bed of a family by the code of its kit.
type seat struct{ Code, To string }

// seats are the beds that were made for the families of one day.
type seats struct {
	round int // the day: from one plan several may be built, with other families
	beds  map[string]string
	title string
}

// familyBed is the id of the bed of a family: it follows from the plan, the day and the code, so that making again doubles nothing.
func familyBed(plan uuid.UUID, round int, code string) string {
	return uuid.NewSHA1(uuid.NewSHA1(plan, []byte("workshop "+strconv.Itoa(round))), []byte(code)).String()
}

// seatsOf finds the beds of the families of a day, of the last one that has some where round is 0. A bed keeps its seat under another name too.
func (v *visit) seatsOf(b aBed, families []workshop.Family, title string, round int) (out seats, err error) {
	from, err := uuid.Parse(b.ID)
	if err != nil {
		return out, finding.Fault{ID: FaultForm}
	}
	var all []store.Bed
	for after := ""; ; {
		list, err := v.Store.Beds(v.context(), v.who, after, mostBedsLabelled)
		if err != nil {
			return out, err
		}
		all = append(all, list...)
		if len(list) < mostBedsLabelled {
			break
		}
		after = list[len(list)-1].ID
	}
	there := map[string]bool{}
	codes := map[string]bool{}
	for n := range workshop.MostFamilies {
		codes[fmt.Sprintf("%02d", n+1)] = true
	}
	for _, f := range families {
		codes[f.Code] = true
	}
	for _, x := range all {
		there[x.ID] = true
		codes[lastWord(x.Title)] = true
	}
	out, taken := bedsByCode(from, round, title, codes, there)
	renamed := false
	for _, x := range all {
		if taken[x.ID] {
			continue
		}
		first, err := v.firstTitle(x)
		if err != nil {
			return out, err
		}
		if code := lastWord(first); first != "" && !codes[code] {
			codes[code], renamed = true, true
		}
	}
	if renamed {
		out, taken = bedsByCode(from, round, title, codes, there)
	}
	if out.round != 1 {
		return out, nil
	}
	for _, x := range all { // made before their ids followed from the plan
		id, err := uuid.Parse(x.ID)
		code, ok := strings.CutPrefix(x.Title, title+" ")
		if err == nil && id.Version() == 5 && ok && !taken[x.ID] && out.beds[code] == "" && !strings.Contains(code, " ") {
			out.beds[code] = x.ID
		}
	}
	return out, nil
}

// lastWord is the code of a kit in the title of its bed.
func lastWord(title string) string { return title[strings.LastIndex(title, " ")+1:] }

// bedsByCode looks by the codes of kits for the beds of a day that are there, and for those of any day.
func bedsByCode(from uuid.UUID, round int, title string, codes, there map[string]bool) (out seats, taken map[string]bool) {
	taken = map[string]bool{}
	for k := 1; k <= mostRounds; k++ {
		beds := map[string]string{}
		for code := range codes {
			if id := familyBed(from, k, code); there[id] {
				beds[code], taken[id] = id, true
			}
		}
		if len(beds) == 0 && k > 1 && (round == 0 || k > round) {
			break
		}
		if k == round || round == 0 {
			out = seats{k, beds, title}
		}
	}
	return out, taken
}

// firstTitle is what a bed was called at first whose id follows from something, as that of a family does, and whose brief is another by now; "" for any other bed.
func (v *visit) firstTitle(b store.Bed) (string, error) {
	if id, err := uuid.Parse(b.ID); err != nil || id.Version() != 5 || b.Version == 1 {
		return "", nil
	}
	past, err := v.Store.Versions(v.context(), v.who, b.ID)
	if err != nil || len(past) == 0 {
		return "", err
	}
	first, _ := brief.Parse("", []byte(past[0].Text))
	if first == nil {
		return "", nil
	}
	return first.Title.Value, nil
}

// gone are the seats whose families are no longer among those who come.
func (s seats) gone(families []workshop.Family) (out []seat) {
	for _, code := range slices.Sorted(maps.Keys(s.beds)) {
		if !slices.ContainsFunc(families, func(f workshop.Family) bool { return f.Code == code }) {
			out = append(out, seat{code, "/beds/" + s.beds[code]})
		}
	}
	return out
}

// roundAsked reads for which day beds are made: 0 where nobody says.
func (v *visit) roundAsked() int {
	n, err := strconv.Atoi(cmp.Or(v.PostFormValue("another"), v.PostFormValue("round")))
	if err != nil || n < 1 || n > mostRounds {
		return 0
	}
	return n
}

// bedsTitle is what the beds of the families are called, without their codes.
func (v *visit) bedsTitle(ws workshop.Workshop) string {
	return cmp.Or(ws.Title, v.say("web.bed.nameless"))
}

// makeBeds keeps a bed for each family that has none. Beds that stand stay as they are, those of seats that are gone too.
func (v *visit) makeBeds() error {
	if err := v.filled(); err != nil {
		return err
	}
	b, err := v.theBed()
	if err != nil {
		return err
	}
	if b.ID == demonstration {
		return finding.Fault{ID: FaultReadOnly}
	}
	if !v.who.Begins() {
		return v.notYours("store.word.bed", b.ID)
	}
	ws, faults := v.gathered(b)
	if len(faults) > 0 {
		return v.showWorkshop(http.StatusUnprocessableEntity, nil, nil, "")
	}
	s, err := v.seatsOf(b, ws.Families, v.bedsTitle(ws), v.roundAsked())
	if err != nil {
		return err
	}
	from, _ := uuid.Parse(b.ID) // as it was parsed before
	labels, had, removed := url.Values{}, 0, 0
	for _, f := range ws.Families {
		id := s.beds[f.Code]
		if id != "" {
			had++
		} else {
			named, _ := f.Brief.Set("title", s.title+" "+f.Code)
			if named == nil {
				named = f.Brief
			}
			id = familyBed(from, s.round, f.Code)
			if _, err := v.Store.PutBed(v.context(), v.who, id, string(named.Encode()), plan.Code); store.WasRemoved(err) {
				removed++ // on purpose: it comes back by who removed it, not by this button
				continue
			} else if err != nil {
				return err
			}
		}
		labels.Add("bed", id)
	}
	made := []string{v.say("web.workshop.made", "Count", len(ws.Families)-removed)}
	if had > 0 {
		made = append(made, v.say("web.workshop.had", "Count", had))
	}
	if removed > 0 {
		made = append(made, v.say("web.workshop.removed", "Count", removed))
	}
	return v.showWorkshop(http.StatusOK, nil, made, "/labels?"+labels.Encode())
}
