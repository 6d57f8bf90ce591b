package programme_test

import (
	"cmp"
	"encoding/csv"
	"fmt"
	"math/big"
	"math/rand/v2"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"
)

// A year with traps is counted twice: by the room, and here from the texts of its files, by the rules as demo_year/README.md has them (and for what it
// leaves out those named beside the sums), with nothing of the room.

// tables are the rows of a folder: column to text.
type tables map[string][]map[string]string

func (x tables) add(name string, pairs ...string) {
	row := map[string]string{}
	for i := 0; i < len(pairs); i += 2 {
		row[pairs[i]] = pairs[i+1]
	}
	x[name] = append(x[name], row)
}

// files writes the tables.
func (x tables) files() map[string]string {
	out := map[string]string{}
	for name, rows := range x {
		var head []string
		for _, row := range rows {
			for column := range row {
				if !slices.Contains(head, column) {
					head = append(head, column)
				}
			}
		}
		slices.Sort(head)
		var text strings.Builder
		w := csv.NewWriter(&text)
		_ = w.Write(head)
		for _, row := range rows {
			var line []string
			for _, column := range head {
				line = append(line, row[column])
			}
			_ = w.Write(line)
		}
		w.Flush()
		out[name+".csv"] = text.String()
	}
	return out
}

var keysOf = map[string]string{"events": "event", "visits": "visit", "inquiries": "inquiry", "harvests": "harvest", "hours": "entry", "slips": "slip", "funders": "funder", "corrections": "correction", "sites": "site", "prices": "price"}

// trapped is the invented year in a leap year with traps: counties of one name, lists with the same name twice, staff on a list, heads without
// names, pupils alone, series over the end of the range, days at both ends and the leap day, prices of 180 and 181 days, equal hours, consents
// taken back on the as-of day, corrections of corrections, corrections taken back, a threshold raised in the year.
func trapped(t *testing.T, seed uint64) tables {
	r := rand.New(rand.NewPCG(seed, 7))
	n := func(most int) int { return r.IntN(most + 1) }
	of := func(list ...string) string { return list[r.IntN(len(list))] }
	x := tables{}
	for name, text := range year(t) {
		rows := must(csv.NewReader(strings.NewReader(text)).ReadAll())(t)
		for _, row := range rows[1:] {
			m := map[string]string{}
			for i, c := range rows[0] {
				m[c] = row[i]
				if d, err := time.Parse(time.DateOnly, row[i]); err == nil { // a year later: with a leap day
					m[c] = d.AddDate(1, 0, 0).Format(time.DateOnly)
				}
			}
			x[strings.TrimSuffix(name, ".csv")] = append(x[strings.TrimSuffix(name, ".csv")], m)
		}
	}
	delete(x, "must_vanish")
	day := func() string {
		return of("2027-07-01", "2028-06-30", "2027-06-30", "2028-07-01", "2028-02-29", "2028-03-01", time.Date(2027, 6, 20, 0, 0, 0, 0, time.UTC).AddDate(0, 0, r.IntN(385)).Format(time.DateOnly), time.Date(2027, 7, 1, 0, 0, 0, 0, time.UTC).AddDate(0, 0, r.IntN(360)).Format(time.DateOnly))
	}
	x["counties"][1]["name"] = x["counties"][0]["name"]
	crowd := []string{"", "", ""}
	for _, p := range x["people"] {
		if p["role"] == "public" && len(crowd) < 14 || p["role"] == "staff" {
			crowd = append(crowd, p["person"])
		}
	}
	for i := range 24 {
		e, series := fmt.Sprint("EX", i), of("", "", "SX1", "SX2")
		county := of("ALD", "BIR", "CED")
		if series != "" {
			county = "BIR"
		}
		x.add("events", "event", e, "date", day(), "county", county, "series", series, "education", of("yes", "yes", "no"), "adults", of("0", "4", "9", "12", "30"), "youth", of("0", "0", "7", "24"))
		for range n(9) {
			x.add("signins", "event", e, "person", of(crowd...))
		}
		for range n(12) {
			x.add("slips", "slip", fmt.Sprint("LX", len(x["slips"])), "event", e, "standard", of("2024", "2024", "1997"), "groups", of("", "White", "Asian", "White|Asian"), "sex", of("F", "M", ""))
		}
	}
	sites := x["sites"]
	for i := range 40 {
		x.add("visits", "visit", fmt.Sprint("VX", i), "date", day(), "site", sites[r.IntN(len(sites))]["site"], "education", of("yes", "no"), "person", of(crowd...), "others_met", of("0", "0", "3"), "minutes", "10", "miles", "4")
		x.add("inquiries", "inquiry", fmt.Sprint("NX", i), "date", day(), "county", of("ALD", "BIR", "CED"), "education", of("yes", "yes", "no"), "person", of(crowd...), "status", of("open", "closed"))
		x.add("harvests", "harvest", fmt.Sprint("HX", i), "date", day(), "bed", x["beds"][r.IntN(60)]["bed"], "crop", of("lettuce", "kale"), "heads", "2", "pounds", of("", "0.5", "2.005"), "fate", of("given", "kitchen", "lost"))
		x.add("hours", "entry", fmt.Sprint("TX", i), "date", day(), "person", of("V74D6", "VX2"), "task", "help", "kind", of("service", "service", "training"), "hours", of("0.25", "2.00", "3.5"))
	}
	x.add("prices", "price", "CX1", "date", "2027-08-01", "crop", "kale", "unit", "lb", "dollars", "2.125", "basis", "retail")
	x.add("prices", "price", "CX2", "date", "2027-12-01", "crop", "kale", "unit", "lb", "dollars", "9.00", "basis", "wholesale")
	x.add("harvests", "harvest", "HY1", "date", "2028-01-28", "bed", "S015-3", "crop", "kale", "heads", "1", "pounds", "1", "fate", "given") // 180 days
	x.add("harvests", "harvest", "HY2", "date", "2028-01-29", "bed", "S015-3", "crop", "kale", "heads", "1", "pounds", "1", "fate", "given") // 181
	for _, c := range x["consents"] {
		if (c["purpose"] == "keep" || c["purpose"] == "show") && n(12) == 0 {
			c["withdrawn"] = max(c["given"], of("2028-03-15", "2028-03-16", "2028-08-31", "2027-11-02"))
		}
	}
	for i, rate := range []string{"2027 31.10 2028-04-20", "2028 32.25 2028-08-31", "2027 31.30 2028-05-20"} {
		part := strings.Fields(rate)
		x.add("rates", "rate", fmt.Sprint("RX", i), "year", part[0], "dollars_per_hour", part[1], "released", part[2], "name", "story", "source", "invented")
	}
	x["rates"][0]["name"] = "story"
	correct := func(id, made, table, record, field, to string) {
		action := "change"
		if field == "" {
			action = "void"
		}
		x.add("corrections", "correction", id, "made_on", made, "table", table, "record", record, "action", action, "field", field, "new", to)
	}
	for i := range 12 {
		id, made := fmt.Sprintf("Y%02d", i), of("2028-03-15", "2028-03-16", "2028-05-01", "2028-08-31", "2028-09-01")
		switch e := fmt.Sprint("EX", n(23)); n(5) {
		case 0:
			correct(id, made, "events", e, "adults", of("5", "18", "41"))
		case 1:
			correct(id, made, "events", e, "date", day())
		case 2:
			correct(id, made, "visits", fmt.Sprint("VX", n(39)), "person", of(crowd...))
		case 3:
			correct(id, made, "inquiries", fmt.Sprint("NX", n(39)), "", "")
		case 4:
			correct(id, made, "harvests", fmt.Sprint("HX", n(39)), "pounds", of("4.5", ""))
		case 5:
			correct(id, made, "hours", fmt.Sprint("TX", n(39)), "hours", "1.75")
		}
		if n(2) == 0 {
			correct(id+"Z", of(made, "2028-08-31"), "corrections", id, "", "")
		}
	}
	correct("Y50", "2028-05-01", "funders", "BOARD", "threshold", "20")
	correct("Y51", "2028-05-01", "funders", "SCHOOLFUND", "series", "each")
	x.add("funders", "funder", "CROSS", "from", "2027-10-01", "to", "2028-09-30", "series", "once", "same_day", "each", "threshold", "8", "rate", "RX0")
	return x
}

// on gives the tables as they stand at the end of a day.
func (x tables) on(day string) tables {
	out := tables{}
	for name, rows := range x {
		for _, row := range rows {
			m := map[string]string{}
			for k, v := range row {
				m[k] = v
			}
			out[name] = append(out[name], m)
		}
	}
	var made []map[string]string
	for _, c := range x["corrections"] {
		if c["made_on"] <= day {
			made = append(made, c)
		}
	}
	slices.SortStableFunc(made, func(a, b map[string]string) int {
		return cmp.Or(cmp.Compare(a["made_on"], b["made_on"]), cmp.Compare(a["correction"], b["correction"]))
	})
	for i := len(made) - 1; i >= 0; i-- { // the last word first: what takes a correction out takes it out before it is made
		if made[i]["table"] == "corrections" {
			gone := made[i]["record"]
			made = slices.DeleteFunc(slices.Clone(made), func(c map[string]string) bool { return c["correction"] == gone })
			i = min(i, len(made))
		}
	}
	for _, c := range made {
		key := keysOf[c["table"]]
		out[c["table"]] = slices.DeleteFunc(out[c["table"]], func(row map[string]string) bool {
			if row[key] == c["record"] && c["action"] == "change" {
				row[c["field"]] = c["new"]
			}
			return row[key] == c["record"] && c["action"] == "void" && c["table"] != "corrections"
		})
	}
	for _, c := range x["consents"] {
		if c["purpose"] == "keep" && c["withdrawn"] != "" && c["withdrawn"] <= day {
			for _, name := range []string{"signins", "visits", "inquiries"} {
				for _, row := range out[name] {
					if row["person"] == c["person"] {
						row["person"] = ""
					}
				}
			}
			for _, s := range out["sites"] {
				if s["host"] == c["person"] {
					s["host"] = ""
				}
			}
		}
	}
	return out
}

func whole(text string) int {
	n, _ := strconv.Atoi(text)
	return n
}

func exactly(text string) *big.Rat {
	x, ok := new(big.Rat).SetString(text)
	if !ok {
		return new(big.Rat)
	}
	return x
}

// cents rounds half up.
func centsOf(x *big.Rat) string {
	y := new(big.Rat).Add(new(big.Rat).Mul(x, big.NewRat(100, 1)), big.NewRat(1, 2))
	return new(big.Rat).SetFrac(new(big.Int).Quo(y.Num(), y.Denom()), big.NewInt(100)).FloatString(2)
}

// reckoned counts a year for a funder as of a day.
func (x tables) reckoned(funder, day string) map[string]string {
	s := x.on(day)
	f := s["funders"][slices.IndexFunc(s["funders"], func(r map[string]string) bool { return r["funder"] == funder })]
	last := min(f["to"], day)
	in := func(d string) bool { return f["from"] <= d && d <= last }
	count, staff, lists := map[string]int{}, map[string]bool{}, map[string][]string{}
	bump := func(county, name string, n int) { count[name+"|"+county] += n; count[name+"|all"] += n }
	for _, p := range s["people"] {
		staff[p["person"]] = p["role"] == "staff"
	}
	for _, l := range s["signins"] {
		if !staff[l["person"]] {
			lists[l["event"]] = append(lists[l["event"]], l["person"])
		}
	}
	type contact struct{ day, order, id, person, county string }
	var known []contact
	unnamed, largest := 0, 0
	sessions := map[string][]map[string]string{}
	for _, e := range s["events"] {
		if !in(e["date"]) || e["education"] != "yes" {
			continue
		}
		largest = max(largest, whole(e["adults"])+whole(e["youth"]))
		bump(e["county"], "events", 1)
		if f["series"] == "once" && e["series"] != "" {
			sessions[e["series"]] = append(sessions[e["series"]], e)
			continue
		}
		bump(e["county"], "direct_contacts", whole(e["adults"])+whole(e["youth"]))
		unnamed += whole(e["adults"]) + whole(e["youth"])
		for _, p := range lists[e["event"]] {
			if p != "" {
				unnamed--
				known = append(known, contact{e["date"], "1", e["event"], p, e["county"]})
			}
		}
	}
	for _, list := range sessions {
		slices.SortStableFunc(list, func(a, b map[string]string) int { return cmp.Compare(a["date"], b["date"]) })
		first, blank, youth := map[string]bool{}, -1<<30, 0
		for _, e := range list {
			named := 0
			for _, p := range lists[e["event"]] {
				if p == "" {
					continue
				}
				named++
				if !first[p] {
					first[p] = true
					known = append(known, contact{e["date"], "1", e["event"], p, list[0]["county"]})
				}
			}
			blank, youth = max(blank, whole(e["adults"])-named), max(youth, whole(e["youth"]))
		}
		bump(list[0]["county"], "direct_contacts", len(first)+blank+youth)
		unnamed += blank + youth
	}
	county := map[string]string{}
	for _, p := range s["sites"] {
		county[p["site"]] = p["county"]
	}
	for _, v := range s["visits"] {
		if !in(v["date"]) || v["education"] != "yes" {
			continue
		}
		met := 1 + whole(v["others_met"])
		bump(county[v["site"]], "direct_contacts", met)
		if v["person"] != "" {
			known, met = append(known, contact{v["date"], "2", v["visit"], v["person"], county[v["site"]]}), met-1
		}
		unnamed += met
	}
	for _, q := range s["inquiries"] {
		if !in(q["date"]) || q["education"] != "yes" {
			continue
		}
		bump(q["county"], "direct_contacts", 1)
		if q["person"] != "" {
			known = append(known, contact{q["date"], "3", q["inquiry"], q["person"], q["county"]})
		} else {
			unnamed++
		}
	}
	slices.SortFunc(known, func(a, b contact) int {
		return cmp.Or(cmp.Compare(a.day, b.day), cmp.Compare(a.order, b.order), cmp.Compare(a.id, b.id))
	})
	met, people := map[string]bool{}, map[string]bool{}
	for _, c := range known {
		people[c.person] = true
		if f["same_day"] == "once" && met[c.day+c.person] {
			bump(c.county, "same_day_removed", 1)
			bump(c.county, "direct_contacts", -1)
		}
		met[c.day+c.person] = true
	}
	out := map[string]string{}
	for _, c := range []string{"ALD", "BIR", "CED", "all"} {
		for _, name := range []string{"direct_contacts", "same_day_removed", "events"} {
			out[name+"|"+c] = strconv.Itoa(count[name+"|"+c])
		}
	}
	out["people_known|all"], out["contacts_unnamed|all"] = strconv.Itoa(len(people)), strconv.Itoa(unnamed)
	out["people_at_least|all"], out["people_at_most|all"] = strconv.Itoa(max(len(people), largest)), strconv.Itoa(len(people)+unnamed)
	s.reckonSlips(in, count, out)
	s.reckonHours(f, day, in, out)
	s.reckonHarvests(in, out)
	for _, c := range []string{"ALD", "BIR", "CED"} {
		n := 0
		for _, p := range s["sites"] {
			shown := slices.ContainsFunc(s["consents"], func(k map[string]string) bool {
				return p["host"] != "" && k["purpose"] == "show" && k["person"] == p["host"] && k["site"] == p["site"] && k["given"] <= day && (k["withdrawn"] == "" || k["withdrawn"] > day)
			})
			if p["county"] == c && shown && p["opened"] <= last && (p["closed"] == "" || p["closed"] >= f["from"]) {
				n++
			}
		}
		if out["map_sites|"+c] = strconv.Itoa(n); 0 < n && n < 5 {
			out["map_sites|"+c] = "fewer than 5"
		}
	}
	return out
}

func (s tables) reckonSlips(in func(string) bool, count map[string]int, out map[string]string) {
	at := map[string][]map[string]string{}
	for _, l := range s["slips"] {
		at[l["event"]] = append(at[l["event"]], l)
	}
	any, sexed, older, returned, alone := map[string]int{}, 0, 0, 0, 0
	for _, e := range s["events"] {
		if !in(e["date"]) || e["education"] != "yes" {
			continue
		}
		returned += len(at[e["event"]])
		if len(at[e["event"]]) > whole(e["adults"]) {
			continue // set aside, all of them
		}
		for _, l := range at[e["event"]] {
			if l["standard"] != "2024" {
				older++
				continue
			}
			if l["sex"] != "" {
				sexed++
			}
			if l["groups"] != "" {
				alone++
				for _, g := range strings.Split(l["groups"], "|") {
					any[g]++
				}
			}
		}
	}
	out["slips_returned|all"], out["slips_older_standard|all"] = strconv.Itoa(returned), strconv.Itoa(older)
	for _, g := range groups {
		out["any: "+g+"|all"] = strconv.Itoa(any[g])
	}
	out["alone: unknown|all"] = strconv.Itoa(count["direct_contacts|all"] - alone)
	out["sex_unknown|all"] = strconv.Itoa(count["direct_contacts|all"] - sexed)
}

// Hours take the figure of their year that was out by the day, the last revision of it; else the last year's before (METHODS 3).
func (s tables) reckonHours(f map[string]string, day string, in func(string) bool, out map[string]string) {
	sum, value := new(big.Rat), new(big.Rat)
	for _, h := range s["hours"] {
		if !in(h["date"]) || h["kind"] != "service" {
			continue
		}
		sum.Add(sum, exactly(h["hours"]))
		best := map[string]string{}
		for _, r := range s["rates"] {
			if r["released"] <= day && r["year"] <= h["date"][:4] && r["year"]+r["released"] > best["year"]+best["released"] {
				best = r
			}
		}
		value.Add(value, new(big.Rat).Mul(exactly(h["hours"]), exactly(best["dollars_per_hour"])))
	}
	out["hours_service|all"] = sum.FloatString(2)
	out["hours_value|all"] = centsOf(value)
	if f["rate"] == "" {
		out["hours_value|all"] = "not given"
	}
}

func (s tables) reckonHarvests(in func(string) bool, out map[string]string) {
	value, unpriced, unweighed := map[string]*big.Rat{"given": new(big.Rat), "kitchen": new(big.Rat), "cafeteria": new(big.Rat)}, 0, 0
	for _, h := range s["harvests"] {
		switch {
		case !in(h["date"]):
		case h["pounds"] == "":
			if h["fate"] != "lost" {
				unweighed++
			}
		case value[h["fate"]] != nil:
			best := map[string]string{}
			for _, p := range s["prices"] {
				if p["basis"] == "retail" && p["crop"] == h["crop"] && p["date"] <= h["date"] && p["date"] > best["date"] {
					best = p
				}
			}
			cut, _ := time.Parse(time.DateOnly, h["date"])
			if best["date"] < cut.AddDate(0, 0, -180).Format(time.DateOnly) {
				unpriced++
				continue
			}
			value[h["fate"]].Add(value[h["fate"]], new(big.Rat).Mul(exactly(h["pounds"]), exactly(best["dollars"])))
		}
	}
	for fate, v := range value {
		out["value_"+fate+"|all"] = centsOf(v)
	}
	out["harvests_without_valid_price|all"], out["harvests_not_weighed|all"] = strconv.Itoa(unpriced), strconv.Itoa(unweighed)
}

func TestYearsWithTrapsAreCountedAlike(t *testing.T) {
	seeds := uint64(12)
	if testing.Short() {
		seeds = 1
	}
	checked := 0
	for seed := range seeds {
		x := trapped(t, seed)
		r := read(t, x.files())
		for _, funder := range []string{"BOARD", "SCHOOLFUND", "CROSS"} {
			for _, day := range []string{"2028-03-15", "2028-05-10", "2028-08-31"} {
				got := report(t, r, funder, day)
				for name, want := range x.reckoned(funder, day) {
					measure, county, _ := strings.Cut(name, "|")
					f, ok := got.Find(measure, county)
					if checked++; !ok && want != "0" || ok && f.Text != want {
						t.Errorf("year %d, %s as of %s: %s is %q, not %q", seed, funder, day, name, f.Text, want)
					}
				}
				if funder == "BOARD" && (got.Funder.Threshold == 20) != (day > "2028-05-01") {
					t.Errorf("as of %s the threshold is %d", day, got.Funder.Threshold)
				}
			}
		}
	}
	t.Log(checked, "figures")
}
