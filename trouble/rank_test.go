package trouble

import (
	"encoding/csv"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"raftwright/finding"
	"raftwright/internal/table"
)

var book = table.Must(ReadBook(Tables()))

// cases are invented beds with the trouble each has (testdata/cases.csv, judgement of one author:
// they show that the tables hang together, not that beds fall ill that way).
func cases(t *testing.T) []map[string]string {
	text, err := os.ReadFile("testdata/cases.csv")
	if err != nil {
		t.Fatal(err)
	}
	in := csv.NewReader(strings.NewReader(string(text)))
	in.Comment = '#'
	rows, err := in.ReadAll()
	if err != nil || len(rows) < 50 {
		t.Fatal(len(rows), err)
	}
	var out []map[string]string
	for _, r := range rows[1:] {
		c := map[string]string{}
		for i, name := range rows[0] {
			c[name] = r[i]
		}
		out = append(out, c)
	}
	return out
}

// factsOf reads the facts of a case, by their column; a column that is blanked or empty tells nothing.
func factsOf(c map[string]string, blank func(string) bool) Evidence {
	e := Evidence{Seen: strings.Split(c["seen"], ";"), Facts: map[string]float64{}}
	number := func(column string) (float64, bool) {
		x, err := strconv.ParseFloat(c[column], 64)
		return x, err == nil && !blank(column)
	}
	among := func(column, low, ok, high string, least, most float64) {
		if x, known := number(column); known {
			switch {
			case x < least:
				e.Facts[low] = 1
			case x > most:
				e.Facts[high] = 1
			default:
				e.Facts[ok] = 1
			}
		}
	}
	among("ph", "ph_low", "ph_ok", "ph_high", 5.3, 6.8)
	among("ec", "ec_low", "ec_ok", "ec_high", 0.8, 2.4)
	among("temp_C", "temp_low", "temp_ok", "temp_high", 14, 26)
	among("oxygen", "oxygen_low", "oxygen_ok", "oxygen_ok", 3, 99)
	among("nh4", "nh4_ok", "nh4_ok", "nh4_high", 0, 20)
	among("raft_d", "plant_new", "plant_mid", "plant_old", 7.5, 35)
	among("fill_d", "fill_new", "fill_mid", "fill_old", 4.5, 28)
	among("volume", "volume_low", "volume_ok", "volume_ok", 0.75, 99)
	among("air_high", "air_mid", "air_mid", "air_hot", -99, 30)
	word := func(column string, to map[string]string) {
		if key, ok := to[c[column]]; ok && !blank(column) {
			for _, k := range strings.Fields(key) {
				e.Facts[k] = 1
			}
		}
	}
	word("roots", map[string]string{"white": "roots_white", "cream": "roots_cream", "brown": "roots_brown", "slimy": "roots_slimy"})
	word("air", map[string]string{"on": "air_on", "off": "air_off"})
	word("top", map[string]string{"water": "top_water", "feed": "top_feed", "none": "top_none"})
	word("cover", map[string]string{"open": "open", "tunnel": "closed", "greenhouse": "closed"})
	word("water", map[string]string{"rain": "water_soft no_chlorine", "soft": "water_soft", "middle": "water_middle", "hard": "water_hard", "softened": "water_softened na_high",
		"brackish": "water_softened na_high", "chlorinated": "water_middle chlorine"})
	word("shelf", map[string]string{"powder": "feed_nitrate ca_ok mg_ok", "salts": "feed_nitrate ca_ok mg_ok", "garden": "feed_urea ca_ok mg_ok", "garden1": "feed_urea ca_none mg_none"})
	return e
}

func place(list []Cause, right string) int {
	return slices.IndexFunc(list, func(c Cause) bool { return c.Trouble == right })
}

// The reference reaches 98 to 100 in 100 among three (methods, section 14); asked are 90, and 80 with
// half of the facts blanked. The blanking is fixed: every other column, from the first or the second on.
func TestTheRightTroubleIsAmongThree(t *testing.T) {
	columns := strings.Fields("ph ec temp_C oxygen nh4 raft_d fill_d volume air_high roots air top cover water shelf")
	for _, way := range []struct {
		name  string
		blank func(string) bool
		least float64
	}{
		{"all facts", func(string) bool { return false }, 0.9},
		{"without the even ones", func(c string) bool { return slices.Index(columns, c)%2 == 0 }, 0.8},
		{"without the odd ones", func(c string) bool { return slices.Index(columns, c)%2 == 1 }, 0.8},
		{"no facts", func(string) bool { return true }, 0.8},
	} {
		first, three, all := 0, 0, 0
		for _, c := range cases(t) {
			list := book.Rank(factsOf(c, way.blank))
			at := place(list, c["right"])
			all++
			if at == 0 {
				first++
			}
			if at >= 0 && at < 3 {
				three++
			} else {
				t.Logf("%s: %s (%s) stands at %d, first %s", way.name, c["id"], c["right"], at+1, list[0].Trouble)
			}
		}
		t.Logf("%s: first %d, among three %d of %d", way.name, first, three, all)
		if float64(three) < way.least*float64(all) {
			t.Errorf("%s: among three %d of %d, want %v", way.name, three, all, way.least)
		}
	}
}

func TestSharesLeaveRoomForWhatNobodyKnows(t *testing.T) {
	for _, c := range cases(t) {
		sum := 0.0
		for _, x := range book.Rank(factsOf(c, func(string) bool { return false })) {
			if x.Share < 0 || math.IsNaN(x.Share) {
				t.Fatal(x)
			}
			sum += x.Share
		}
		if sum >= 1 {
			t.Errorf("%s: shares add up to %v", c["id"], sum)
		}
	}
	sum := 0.0
	for _, x := range book.Rank(Evidence{}) {
		sum += x.Share
	}
	if know := 1 - sum; math.Abs(know-0.10/0.9995) > 1e-3 { // the priors of the table add up to 0.8995
		t.Errorf("with nothing known, %v is left for do not know", know)
	}
}

// A trouble whose hallmark was seen does not fall against "do not know" when another of its signs is added.
func TestAnotherSignNeverSpeaksAgainst(t *testing.T) {
	odds := func(x *entry, e Evidence) float64 {
		scores, _ := book.scores(e)
		return scores[slices.Index(book.Keys(), x.key)]
	}
	tried := 0
	for i := range book.troubles {
		x := &book.troubles[i]
		for _, h := range book.groups[Seen] {
			if !x.tells[h] || x.shows[h] <= hallmark {
				continue
			}
			for _, k := range book.groups[Seen] {
				if k == h || !x.tells[k] || x.shows[k] < book.signs[k].base {
					continue
				}
				one := Evidence{Seen: []string{book.signs[h].key}}
				two := Evidence{Seen: []string{book.signs[h].key, book.signs[k].key}}
				tried++
				if odds(x, two) < odds(x, one) {
					t.Errorf("%s falls when %s is added to %s", x.key, book.signs[k].key, book.signs[h].key)
				}
			}
		}
	}
	if tried < 50 {
		t.Fatalf("only %d pairs", tried)
	}
}

// A fact of which nobody is sure stands between knowing it and not knowing it.
func TestADoubtfulFactWeighsLess(t *testing.T) {
	share := func(facts map[string]float64) float64 {
		list := book.Rank(Evidence{Seen: []string{"young_interveinal"}, Facts: facts})
		return list[place(list, "iron_high_ph")].Share
	}
	sure, half, none := share(map[string]float64{"ph_high": 1}), share(map[string]float64{"ph_high": 0.6, "ph_ok": 0.4}), share(nil)
	if !(sure > half && half > none) {
		t.Errorf("high pH for sure %v, likely %v, not known %v", sure, half, none)
	}
	if base := share(map[string]float64{"ph_low": 0.1, "ph_ok": 0.6, "ph_high": 0.3}); math.Abs(base-none) > 1e-12 {
		t.Errorf("a fact as likely as everywhere tells nothing: %v, %v", base, none)
	}
}

// Yellow young leaves with green veins: iron, and the pH tells which of its troubles.
func TestTheNextQuestion(t *testing.T) {
	q, ok := book.Next(Evidence{Seen: []string{"young_interveinal"}})
	if !ok || q.Group != "ph" || len(q.Signs) != 3 || q.Fall < 0.1 {
		t.Errorf("asks %+v", q)
	}
	for _, c := range cases(t) {
		e := factsOf(c, func(string) bool { return false })
		if q, ok := book.Next(e); ok && (slices.Contains(e.Seen, q.Signs[0]) || q.Group != Seen && e.Facts[q.Signs[0]] > 0) {
			t.Errorf("%s: asks what is known: %+v", c["id"], q)
		}
	}
}

// What stands for a trouble is there, what stands against it is not, or is another fact of the group.
func TestReasons(t *testing.T) {
	list := book.Rank(Evidence{Seen: []string{"young_interveinal"}, Facts: map[string]float64{"ph_high": 1, "roots_white": 1}})
	if c := list[0]; c.Trouble != "iron_high_ph" || c.For[0] != "ph_high" && c.For[0] != "young_interveinal" {
		t.Errorf("%+v", c)
	}
	if c := list[place(list, "root_rot")]; !slices.Contains(c.Against, "roots_white") || !slices.Contains(c.Against, "roots_brown_slimy") {
		t.Errorf("%+v", c)
	}
}

func TestTablesOfOnesOwn(t *testing.T) {
	for _, c := range []struct {
		file, text string
		want       finding.ID
	}{
		{"likelihoods.csv", "trouble,sign,share\nroot_rott,stunt_all_no_spots,0.5\n", FaultTrouble},
		{"likelihoods.csv", "trouble,sign,share\nroot_rot,stunt,0.5\n", FaultSign},
		{"likelihoods.csv", "trouble,sign,share\nroot_rot,stunt_all_no_spots,1.5\n", table.FaultNumber},
		{"troubles.csv", "key,prior,refer,source\nroot_rot,0.1,maybe,memory\n", table.FaultWord},
		{"signs.csv", "key,group,base,effort\n,seen,0.1,0\n", table.FaultBlank},
	} {
		_, faults := ReadBook(Tables().With(table.Text{File: c.file, Text: c.text}))
		if !slices.ContainsFunc(faults, func(f finding.Fault) bool { return f.ID == c.want && f.File == c.file && f.Line == 2 }) {
			t.Errorf("%s gives %v, want %s", c.text, faults, c.want)
		}
	}
}

// Wrigglers are mosquitoes and aphids are aphids; leaves that wilt or yellow point to many troubles. For a key that is none those are offered that share the
// beginning of a word, of signs that are seen, and no reading or fact.
func TestPlainSignsAndKeysLikeOne(t *testing.T) {
	for sign, want := range map[string]string{"larvae_in_water": "mosquito", "aphids": "aphids", "green_solution": "algae", "wilt_all_day": "", "older_yellow_uniform": "", "ph_low": "", "no_such": ""} {
		if got := book.Plain(sign); got != want {
			t.Errorf("%s is %q, not %q", sign, got, want)
		}
	}
	for name, want := range map[string]string{"wilt_day": "wilt_all_day", "yellow_leaf": "yellow_angular_down", "mosquito_larvae": "larvae_in_water"} {
		if got := book.Like(name); len(got) == 0 || len(got) > mostLike || !slices.Contains(got, want) {
			t.Errorf("like %s: %v", name, got)
		}
	}
	if got := book.Like("zzz"); len(got) < 20 || slices.Contains(got, "ph_low") {
		t.Errorf("like nothing: %v", got)
	}
}
