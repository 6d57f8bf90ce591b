package brief

import (
	"fmt"
	"strings"
	"testing"
)

// Each case is a brief with the place of its fault marked by §, and what the
// fault must say and advise. More faults than marks, or fewer, fail.
var faultCases = []struct{ text, what, right string }{
	// units
	{"bed: {depth: §6}", `"6" has no unit`, "6 in or 150 mm"},
	{"bed: {depth: §'6'}", "has no unit", "6 in"},
	{"bed: {depth: §6.5}", "has no unit", "6 in"},
	{"bed: {depth: §6 gal}", "is not a length: gal measures a volume", "6 in"},
	{"bed: {depth: §6 inchs}", "did you mean inch", "6 in"},
	{"bed: {depth: §about a hand}", "does not start with a number", "6 in"},
	{"bed: {depth: §''}", "nothing is written where a length", "6 in"},
	{"bed: {depth: §.nan}", "does not start with a number", "6 in"},
	{"bed: {depth: §.inf}", "does not start with a number", "6 in"},
	{"bed: {depth: §1e999 in}", "too large", "6 in"},
	{"bed: {depth: §yes}", "does not start with a number", "6 in"},
	{"site:\n  elevation: §1,200 ft", "can be read in two ways", "1200 ft or 1.200 ft"},
	{"bed:\n  count: §1,20,0", "not a whole number", "1"},
	{"bed:\n  length: §8 ft 8 ft", "ft cannot follow ft", "97 in"},
	{"bed:\n  length: §2 ft 3 m", "mixes metric and US units", "97 in"},
	{"bed:\n  length: §5-9/8 ft", "fraction of one or more", "97 in"},
	{"raft: {sheet: §4 ft by the sheet}", "is not two lengths in brackets", "[4 ft, 8 ft]"},
	{"raft: {sheet: §4 ft x 8 km}", "out of range", "60 m"},
	{"raft: {sheet: §[4 ft]}", "two lengths are wanted, and here are 1", "[4 ft, 8 ft]"},
	{"raft: {sheet: [4 ft, §8]}", "has no unit", "[4 ft, 8 ft]"},
	{"raft: {sheet: [§-4 ft, 8 ft]}", "out of range", "from 4 in to 60 m"},
	{"raft: {sheet: [§{}, 8 ft]}", "group of keys", "[4 ft, 8 ft]"},
	{"water: {calcium: §78}", "has no unit", "78 mg/L"},
	{"water: {calcium: §4 gpm}", "no water test uses", "78 mg/L"},
	{"water: {calcium: §<5 mg/L}", "below what the test can see", "0 mg/L"},
	{"water: {calcium: §78 mg/L NO3}", `not counted as "NO3"`, "Ca, CaO or CaCO3"},
	{"water: {sodium: §5 gr/gal}", "unit of hardness", "9 mg/L"},
	{"water: {alkalinity: §5 gr/gal HCO3}", "unit of hardness", "CaCO3"},
	{"water: {boron: §0.1 meq/L}", "charge is not fixed", "0 mg/L"},
	{"target: {sulfur: §2 meq/L}", "charge is not fixed", "32 mg/L"},
	{"mix: {measure: §1 g}", "is not a scale and its step", "scale 1 g"},
	{"mix: {measure: §scale}", "is not a scale and its step", "scale 1 g"},
	{"mix: {measure: §scale 1}", "has no unit", "scale 1 g"},
	{"mix: {stock: {ratio: §1/0}}", "is not a strength", "1:100"},
	{"acid: {product: §sulfuric}", "has no strength", "sulfuric 93 %"},
	{"acid: {product: §sulfurc 93 %}", "is not one of its words", "did you mean sulfuric"},
	{"acid: {product: §nitric 120 %}", "out of range", "up to 100 %"},
	{"acid: {product: §nitric 0 %}", "out of range", "up to 100 %"},
	{"shelf: [{name: a, pack: §25}]", "has no unit", "25 lb"},
	{"shelf: [{name: a, pack: §25 ft}]", "is not a mass or a volume", "25 lb"},
	{"shelf: [{name: a, pack: §0 lb}]", "out of range", "can carry"},
	// texts
	{`title: §"bed\e[2J"`, "U+001B", "take it out"},
	{`title: §"bed\rBEGIN:VEVENT"`, "U+000D", "take it out"},
	{`title: §"bed\nDESCRIPTION"`, "U+000A", "take it out"},
	{`title: §"\u202Egnp"`, "U+202E", "take it out"},
	{`title: §"a\u200Bb"`, "U+200B", "take it out"},
	{`shelf: [{name: §"\x9B2J", formula: KNO3}]`, "U+009B", "take it out"},
	{`prices: {items: {§"a\eb": 2 USD}}`, "U+001B", "take it out"},
	{"title: §水耕", "the letter 水 (U+6C34)", "Latin"},
	{"shelf: [{name: §肥料甲, formula: KNO3}]", "cannot be printed", "Latin"},
	// money
	{"prices: {head: §2.50}", "has no currency", "2.50 USD"},
	{"prices: {head: §$2.50}", "does not start with an amount", "2.50 USD"},
	{"prices: {head: §-2 USD}", "is negative", "2.50 USD"},
	{"prices: {head: §2 USD/h}", "price for a h", "2.50 USD"},
	{"prices: {labor: §15 USD}", "not a price for an hour", "15 USD/h"},
	{"prices: {currency: §dollars}", "is not known", "USD"},
	{"prices: {currency: USD, head: §2 EUR}", "in EUR, the one at prices.currency in USD", "one currency"},
	{"shelf: [{name: a, price: 3 USD}]\ncut: {stock: [{length: 8 ft, price: §2 EUR}]}", "the one at shelf[0].price in USD", "one currency"},
	{"prices: {items: {§' ': 2 USD}}", "empty or too long", "short name"},
	{"prices: {head: §20000000 USD}", "out of all proportion", "10,000,000"},
	{"title: §" + strings.Repeat("x", 401), "has 401 characters", "at most 400"},
	{"water: {temperature: §150 C}", "out of range", "-2 C to 50 C"},
	{"acid: {dose: §0.2}", "has no unit", "0.87 mmol/L"},
	{"prices: {items: {board: §2}}", "\"2\" has no currency", "12.50 USD"},
	// ranges
	{"bed: {length: §4 km}", "4 km is out of range", "6 in to 60 m"},
	{"bed: {depth: §-6 in}", "out of range", "1/2 in to 1.5 m"},
	{"bed: {count: §0}", "out of range", "1 to 1000"},
	{"bed: {count: §1000000000}", "out of range", "1 to 1000"},
	{"bed: {count: §1.5}", "not a whole number", "1"},
	{"bed: {count: §99999999999999999999999}", "not a whole number", "1"},
	{"cut: {pieces: [{length: 2 in, count: §1000000000}]}", "out of range", "0 to 100000"},
	{"cut: {pieces: [{length: 2 in, count: 60000}, §{length: 2 in, count: 60000}]}", "more than 100,000 pieces", "fewer beds"},
	{"water: {ph: §15}", "out of range", "1 to 13.5"},
	{"water: {ph: §.nan}", "not a plain number", "7.6"},
	{"water: {ph: §high}", "not a plain number", "7.6"},
	{"water: {calcium: §-1 mg/L}", "out of range", "0 to 100000"},
	{"water: {temperature: §77 C}", "77 C is out of range", "write 77 F"},
	{"site: {light: §120 %}", "out of range", "up to 100 %"},
	{"site: {light: §0 %}", "out of range", "more than 0 %"},
	{"site: {latitude: §95}", "out of range", "-90 to 90"},
	{"site: {longitude: §-181}", "out of range", "-180 to 180"},
	{"site: {latitude: §north}", "not a number of degrees", "42.4"},
	{"raftwright: §2", "a format that this program does not know", "raftwright: 1"},
	// words
	{"site: {kind: §hme}", "is not one of its words", "did you mean home"},
	{"site: {kind: §palace}", "is not one of its words", "home, school, community or market"},
	{"site: {far climate: §maybe}", "is not yes or no", "yes or no"},
	{"bed: {holds: §lots}", "is not auto, none or a whole number", "auto, none"},
	{"bed: {holds: §-1}", "out of range", "0 to 100"},
	{"bed: {side board: §plank}", "not the name of a board", "2x8"},
	{"bed: {side board: §0x8}", "not the name of a board", "2x8"},
	{"schedule: {harvest days: [Tue, §Someday]}", "not a day of the week", "Sun, Mon"},
	{"schedule: {harvest days: [Tue, §Tue]}", "listed twice", "once"},
	{"units: §imperial", "is not one of its words", "us or metric"},
	// dates
	{"schedule: {first harvest: §2027-02-30}", "not a day of the calendar", "2027-04-15"},
	{"schedule: {first harvest: §15.4.2027}", "not a date", "2027-04-15"},
	{"schedule: {first harvest: §0027-04-15}", "cannot be meant", "2027-04-15"},
	{"schedule: {first harvest: 2027-04-15, last harvest: §2027-04-01}", "before first harvest", "swap"},
	{"schedule: {first harvest: 2027-04-15, last harvest: §2047-04-01}", "more than three years", "one season"},
	{"schedule: {breaks: [{from: 2027-07-05, to: §2027-06-20}]}", "before it begins", "swap"},
	{"schedule: {breaks: [§{from: 2027-07-05}]}", "to is missing", "add for example to"},
	{"log: [{at: §2027-05-03T25:00}]", "time that is not understood", "08:00"},
	{"log: [{at: 2027-05-03, air high: §10 C, air low: 12 C}]", "colder than air low", "swap"},
	{"log: [{at: 2027-05-03, §planted: {crop: basil}}]", "heads is missing", "heads: 32"},
	{"log: [{at: 2027-05-03, planted: §many}]", "not a whole number", "32"},
	{"log: [{at: 2027-05-03, filled: §maybe}]", "is not one of its words", "yes or water"},
	{"log: [{at: 2027-05-03, added solution: §5}]", "has no unit", "5 gal"},
	{"mix: {doses: {powder: §3}}", "has no unit", "0.37 g/L"},
	{"acid: {dose: §3 ft}", "is not a dose for each liter", "0.87 mmol/L"},
	{"§meter: {}", "does not say", "shows: ppm 500"},
	{"site: {climate: [a.csv, §null]}", "nothing in it", "take it away"},
	{"shelf:\n  - {name: a, label: 1-1-1}\n  §-\n", "nothing in it", "take it away"},
	{"mix: {doses: {powder: §3 mmol/L}}", "is not a dose for each liter", "0.37 g/L"},
	{"log: [{at: §noon}]", "not a day and time", "2027-05-03T08:00"},
	{"log: [§{ph: 6}]", "at is missing", "add for example at"},
	// conflicts
	{"bed: {vessel: round, length: §8 ft, diameter: 6 ft}", "a round vessel has no length", "diameter in place of"},
	{"bed: {vessel: frame, length: 8 ft, diameter: §6 ft}", "a frame has no diameter", "vessel: round"},
	{"bed: {vessel: tub, base diameter: §6 ft}", "a tub has no base diameter", "vessel: round"},
	{"bed: {base width: §3 ft}", "a frame has no base width", "vessel: tub"},
	{"bed: {length: 8 ft, space: §[10 ft, 5 ft]}", "own size and the space", "keep space"},
	{"raft: {sheet: [4 ft, 8 ft], diameter: §4 ft}", "both a sheet and a diameter", "round one"},
	{"raft: {spacing: 6 in, nursery spacing: §8 in}", "wider than spacing", "swap"},
	{"raft: {hole: 2 in, pot: {rim: §2 in}}", "falls through", "wider than the hole"},
	{"schedule: {heads per week: 8, people: §4}", "both people and heads", "keep the one"},
	{"site: {climate: a.csv, months: [§{month: 1, tmax: 8 C, tmin: 1 C}]}", "both climate files and months", "keep the one"},
	{"site: {months: [§{tmax: 20 C, tmin: 10 C}]}", "there are 1 months", "all twelve"},
	{"site: {months: [{month: 1, tmax: 20 C, tmin: 10 C}, {month: §1, tmax: 20 C, tmin: 10 C}" + eleven(2, 11) + "]}", "given twice, first at site.months[0]", "once"},
	{"site: {months: [{month: 1, tmax: §2 C, tmin: 10 C}" + eleven(2, 12) + "]}", "tmax 36 °F (2 °C) is colder than tmin 50 °F (10 °C)", "swap them"},
	{"site: {months: [{month: 1, tmax: 20 C, tmin: 10 C, dewpoint: §21 C}" + eleven(2, 12) + "]}", "the dew point 70 °F (21 °C) is warmer", "at most"},
	{"site: {months: [{month: 1, tmax: 20 C, tmin: 10 C}, §{tmax: 20 C, tmin: 10 C}" + eleven(2, 11) + "]}", "no number", "month: 1 for January"},
	// shelf
	{"shelf: [§{pack: 25 lb}]", "name is missing", "complete fertilizer"},
	{"shelf: [{name: a, label: §20-20}]", "not three numbers", "20-20-20"},
	{"shelf: [{name: a, label: §20-20-20+TE}]", "not three numbers", "20-20-20"},
	{"shelf: [{name: a, label: §50-50-50}]", "adds to 150 %", "at most 100"},
	{"shelf: [{name: a, label: §20-20-20, nitrate-n: 12 %, urea-n: 12 %}]", "its forms add to 24 %", "first number"},
	{"shelf: [{name: a, label: 20-20-20, formula: §KNO3}]", "a label and a formula", "keep the label"},
	{"shelf: [{name: a, label: 20-20-20, purity: §98 %}]", "there is none", "leave purity out"},
	{"shelf: [§{name: a, calcium: 60 %, sulfur: 60 %}]", "add to 120 %", "at most 100"},
	{"shelf: [{name: Salt, label: 1-1-1}, {name: §salt, label: 1-1-1}]", "two products", "name of its own"},
	{"shelf: [{name: §'', label: 1-1-1}]", "is empty", "leave the line out"},
	// keys and shapes
	{"bed: {§dept: 6 in}", `bed has no key "dept"`, "did you mean depth"},
	{"bed: {§depht: 6 in}", `bed has no key "depht"`, "did you mean depth"},
	{"bed: {§Depth: 6 in}", "has no key", "did you mean depth"},
	{"§lenght: 8 ft", `the brief has no key "lenght"`, "log"},
	{"§length: 8 ft", "the brief has no key", "belongs to the section bed"},
	{"bed: {§spacing: 8 in}", "bed has no key", "belongs to the section raft"},
	{"mix: {§zzzzzzzz: 1}", "mix has no key", "bucket, measure, stock, doses, most products or budget"},
	{"bed: {depth: 6 in, §depth: 7 in}", "said twice, first on line 1", "keep one"},
	{"bed: §8 ft", "is not a group of keys", "vessel: frame"},
	{"bed: §[8 ft]", "a list stands where a group of keys is wanted", "vessel: frame"},
	{"§- bed", "a list stands where a group of keys is wanted", "raftwright: 1"},
	{"§just a text", "is not a group of keys", "raftwright: 1"},
	{"shelf: §20-20-20", "is not a list", "- before each item"},
	{"shelf: §{name: a}", "where a list is wanted", "- before each item"},
	{"bed: {depth: §[6 in]}", "a list stands where a length is wanted", "6 in"},
	{"bed: {depth: §{a: b}}", "a group of keys stands where a length is wanted", "6 in"},
	{"title: §[a]", "a list stands where a text is wanted", "Library terrace bed"},
	{"site: {climate: §[a, b, c]}", "there are 3 of them", "at most 2"},
	{"prices: {items: §[2 USD]}", "a list stands where a group of names is wanted", "12.50 USD"},
	{"§<<: {a: b}", "not a plain key", "key: value"},
	{"bed: {depth: §!!str 6 in}", "tags (!) are not used", "the value itself"},
	{"title: §&a x", "anchors (&) and aliases (*)", "the value itself"},
	// files
	{"title: a\n---\n§title: b", "second document", "one brief a file"},
	{"title: a§\x00b", "U+0000 is not text", "plain text"},
	{"title: a§\xff", "not UTF-8", "UTF-8"},
}

// eleven gives months from one number to another, each after a comma.
func eleven(from, to int) string {
	var out strings.Builder
	for m := from; m <= to; m++ {
		fmt.Fprintf(&out, ", {month: %d, tmax: 20 C, tmin: 10 C}", m)
	}
	return out.String()
}

func TestFaults(t *testing.T) {
	for _, c := range faultCases {
		before, after, ok := strings.Cut(c.text, "§")
		if !ok {
			t.Fatalf("no mark in %q", c.text)
		}
		want := fmt.Sprintf("f:%d:%d: ", strings.Count(before, "\n")+1, len([]rune(before[strings.LastIndex(before, "\n")+1:]))+1)
		_, faults := Parse("f", []byte(before+after))
		if len(faults) != 1 {
			t.Errorf("%q has %d faults, want 1: %v", c.text, len(faults), faults)
			continue
		}
		f := faults[0]
		if !strings.HasPrefix(f.Error(), want) || !strings.Contains(what(f), c.what) || !strings.Contains(right(f), c.right) {
			t.Errorf("%q\n gives %v\n want  %s... %s ... %s", c.text, f, want, c.what, c.right)
		}
	}
}
