package packet_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"raftwright/answer"
	"raftwright/cost"
	"raftwright/lang"
	"raftwright/mix"
	"raftwright/page"
	"raftwright/plan"
	"raftwright/unit"
)

// saying is a sentence, a row or a figure of the paper that tells one of a plan's
// figures: the first group of the pattern.
type saying struct {
	figure  string // what it is
	pattern *regexp.Regexp
}

func says(figure, pattern string) saying { return saying{figure, regexp.MustCompile(pattern)} }

// sayings are where the paper tells a figure that stands in more places than one. Rows of
// tables are told with a bar between their cells.
var sayings = []saying{
	says("water in the bed", `^Water in the bed (.+?) weighs`),
	says("water in the bed", `That is (.+?)\. A garden hose`),
	says("water in the bed", `^The bed is full of water \((.+?)\)`),
	says("water in the bed", `fills the bed \((.+?)\)`),
	says("weight of the water", `^Water in the bed .+? weighs (.+)$`),
	says("depth", `^Inside size .+ water (.+?) deep$`),
	says("depth", `^Fill to (.+?)\. That is`),
	says("depth", `^Depth of water \| .+–(.+)$`),
	says("depth", `Water stands (.+?) deep, and the raft`),
	says("load, brim full", `^(?:Load|Weight) .+ (\S+ \S+) brim full$`),
	says("load, brim full", `loads the (?:ground|deck|floor|roof|suspended floor) with (.+?)(?:, day and night|\.(?: |$))`),
	says("load, brim full", `^Full to the brim this bed (?:weighs|loads the \S+ with) (\S+ [^ ,]+)`),
	says("play", `The raft floats with (.+?) of play on every side`),
	says("play", `^Cover the gap of (.+?) around the raft`),
	says("play", `^The raft has (.+?) of play on each side`),
	says("holes", `^Plants at one time (\S+) `),
	says("holes", `^(\S+) holes, .+ apart and at least`),
	says("spacing", `^\S+ holes, (.+?) apart and at least`),
	says("spacing", `stands (.+?) apart\. (?:Others report|Of its usual)`),
	says("EC", `^Meter should read \(EC\) (.+?) (?:pH|\()`),
	says("EC", `should read EC (.+?)(?: and pH|\. )`),
	says("EC after a day", `The EC then rises from (.+?) to about`),
	says("EC after a day", `^After a day in the air \| (.+?) \(`),
	says("pH", `^Meter should read .*pH about (.+)$`),
	says("pH", `should read EC .+? and pH (.+?)\. `),
	says("pH after a day", `starts near .+? and rises to (.+?) in a day`),
	says("pH after a day", `In the first day the pH (?:rises|falls) to (.+?), as gas`),
	says("pH after a day", `^After a day in the air \|.*\| (.+?) \(`),
	says("pH just mixed", `starts near (.+?) and rises`),
	says("pH just mixed", `^10 minutes after mixing \|.*\| (.+?) \(`),
	says("EC that is well", `All is well from (?:EC )?(.+?)\.(?: |$)`),
	says("EC that is well", `^All is well between \| (.+?) \|`),
	says("EC that is well", `^EC \| (.+?) mS/cm`),
	says("EC that is well", `^EC \((\S+)\)$`),
	says("least EC", `when the EC falls below (\S+) mS/cm`),
	says("least EC", `^EC \| ([^|]+?)–`),
	says("screws of a corner", `Drive (\S+) screws at each corner`),
	says("screws of a corner", `^Put (\S+) No\. 10`),
	says("screws of a corner", `(\S+) screws go through the boards`),
	says("force of a hold", `^Hold each long side .+ carries (.+?) brim full`),
	says("force of a hold", `^(?:Hold each side board|Drive .+ outside each side board).+ carries (.+?) when`),
	says("liner", `^The flat sheet is (.+? by .+?)\.`),
	says("liner", `^The liner spread flat, (.+? by .+?)\.`),
	says("liner", `^No sheet sold is large enough for a liner of (.+? by .+?)\.`),
	says("sheet to buy", `Buy (?:one|\S+) sheets? of (.+?)\.(?: |$)`),
	says("sheet to buy", `^☐ Liner, .*(?:mil|mm), (.+ × .+?)(?: G)? \|`),
	says("boards to buy", `^Buy (\S+) boards? and cut`),
	says("boards to buy", `(\S+) boards? in all\.`),
	says("air stones", `with (\S+) fine (?:air )?stones?`),
	says("air stones", `through (\S+) fine (?:air )?stones?`),
	says("strength of a top-up", `^A top-up has (\S+ %) of the strength`),
	says("strength of a top-up", `^Top up with feed at (\S+ %) of the strength`),
	says("first cost", `^First cost ([^| ]+(?: [A-Z]{3})?) (?:then|no)`),
	says("first cost", `^First cost \| (.+)$`),
	says("first cost", `^Bought once, together \|.*?([^| ]\S*(?: [A-Z]{3})?)(?: \| )*$`),
	says("cost of a head", `^First cost .+ then (.+) a head$`),
	says("cost of a head", `^Cost of a head planted \| (.+)$`),
	says("break-even price", `^Break-even price of a head sold \| (.+)$`),
	says("break-even price", `You would need more than (.+?) a head\.`),
	says("sown first", `^Sow first (.+?) [A-Z][a-z]{2}$`),
	says("set out first", `^Move to the raft (.+?) [A-Z][a-z]{2}$`),
	says("harvested first", `^Harvest about (.+?) [A-Z][a-z]{2}$`),
	says("top up at", `^Top up before the depth falls under (.+?):`),
	says("top up at", `^Depth of water \| (.+?)–`),
	says("water in an inch", `falls under .+?: .+? is (.+?)\. Stay`),
	says("level to", `: at most (.+?) out from end`),
	says("level to", `level it, at most (.+?) out from side`),
	says("net pots", `^☐ Net pot.* \| (\S+) \| .+ \| .+ \| `),
	says("air stones on the list", `^☐ Air stone.* \| (\S+) \| .+ \| .+ \| `),
	says("comes up in", `they come up in about (\S+) days?\.`),
}

// lines gives the prose of a document with the rows of tables as lines of their own.
func lines(m made) []string {
	d := m.doc
	d.Sections = slices.DeleteFunc(slices.Clone(d.Sections), func(s page.Section) bool { return s.ID == "found" || s.ID == "amiss" }) // of another mix
	faces := m.faces
	faces.Sections = slices.Clone(faces.Sections)
	for i := range faces.Sections {
		faces.Sections[i].Blocks = withoutDrawings(faces.Sections[i].Blocks)
	}
	out := append(prose(d), prose(faces)...)
	d.Sections = append(d.Sections, faces.Sections...)
	walk(d, func(_ page.Section, b page.Block) {
		switch b := b.(type) {
		case page.Table:
			for _, r := range b.Rows {
				var cells []string
				for _, c := range r.Cells {
					cells = append(cells, c.Plain())
				}
				out = append(out, strings.Join(cells, " | "))
			}
		case page.LogSheet:
			for _, c := range b.Columns {
				out = append(out, c.Title+" ("+c.Hint+")")
			}
		}
	})
	return out
}

// withoutDrawings leaves drawings out, which take long to lay.
func withoutDrawings(blocks []page.Block) []page.Block {
	var out []page.Block
	for _, b := range blocks {
		switch b := b.(type) {
		case page.Figure:
		case page.Together:
			out = append(out, withoutDrawings(b.Blocks)...)
		case page.Beside:
			for _, c := range b.Columns {
				out = append(out, withoutDrawings(c)...)
			}
		default:
			out = append(out, b)
		}
	}
	return out
}

// inJSON are the same figures as a program reads them, in the words of the paper.
func inJSON(m made) map[string]string {
	var d struct {
		Frame *struct {
			Volume float64 `json:"volume_L"`
			Mass   float64 `json:"water_mass_kg"`
			Depth  float64 `json:"depth_mm"`
			Load   float64 `json:"full_floor_load_Pa"`
			Inch   float64 `json:"per_inch_L"`
			Screws int     `json:"screws_per_corner"`
		}
		Raft *struct{ Holes int }
		Mix  *struct {
			EC    float64 `json:"ec_mS_cm"`
			TopUp float64 `json:"top_up_share"`
		}
		Cost *struct {
			Currency  string
			First     float64 `json:"first_cost"`
			Head      float64 `json:"per_head_cost"`
			BreakEven float64 `json:"break_even_price"`
		}
		Season *struct {
			Batches []struct {
				Number                   int
				Sow, Transplant, Harvest string
			}
			Sprout float64 `json:"emergence_days"`
			Air    *struct{ Stones int }
		}
	}
	var told bytes.Buffer
	if err := answer.Write(&told, answer.For(m.plan, plan.Everything, m.words, false)); err != nil || json.Unmarshal(told.Bytes(), &d) != nil {
		return map[string]string{"JSON": "cannot be read"}
	}
	out := map[string]string{}
	say := func(figure string, v any) { out[figure] = fmt.Sprint(m.words.Value(v)) }
	if f := d.Frame; f != nil {
		say("water in the bed", unit.Volume(f.Volume)*unit.Litre)
		say("weight of the water", unit.Mass(f.Mass)*unit.Kilogram)
		say("depth", unit.Length(f.Depth)*unit.Millimetre)
		say("load, brim full", unit.Pressure(f.Load)*unit.Pascal)
		if m.words.Units == lang.US {
			say("water in an inch", unit.Volume(f.Inch)*unit.Litre)
		}
		say("screws of a corner", f.Screws)
	}
	if d.Raft != nil {
		say("holes", d.Raft.Holes)
		say("net pots", d.Raft.Holes*m.plan.Beds)
	}
	if x := d.Mix; x != nil && m.plan.Safer == nil { // else JSON tells the mix with the strong acid
		out["EC"] = m.words.EC(unit.Conductivity(x.EC) * unit.MillisiemensPerCentimetre)
		out["strength of a top-up"] = m.words.Percent(unit.Fraction(x.TopUp))
	}
	if c := d.Cost; c != nil {
		for figure, amount := range map[string]float64{"first cost": c.First, "cost of a head": c.Head, "break-even price": c.BreakEven} {
			if figure == "break-even price" && m.plan.Starves() { // paper says that no harvest is forecast
				continue
			}
			say(figure, cost.Money{Amount: int64(math.Round(amount * 1e8)), Currency: c.Currency})
		}
	}
	if s := d.Season; s != nil {
		for _, b := range s.Batches {
			if next := m.plan.NextBatch(); next == nil || b.Number != next.Number {
				continue
			}
			for figure, text := range map[string]string{"sown first": b.Sow, "set out first": b.Transplant, "harvested first": b.Harvest} {
				if t, err := time.Parse(time.DateOnly, text); err == nil {
					out[figure] = m.words.Date(t)
				}
			}
		}
		if s.Sprout > 0 {
			say("comes up in", max(1, int(math.Round(s.Sprout))))
		}
		if s.Air != nil && m.plan.Season != nil {
			say("air stones", s.Air.Stones)
			say("air stones on the list", s.Air.Stones*m.plan.Beds)
		}
	}
	return out
}

// claim is what one place tells of a figure.
type claim struct{ where, value string }

// onMeter is what the grower's own meter shows, in brackets behind an EC.
var onMeter = regexp.MustCompile(` \([^()]*\)$`)

// claims gathers what a plan's paper and JSON tell of each figure.
func claims(m made) map[string][]claim {
	out := map[string][]claim{}
	for _, line := range lines(m) {
		line = strings.ReplaceAll(line, " ", " ")
		for _, s := range sayings {
			if found := s.pattern.FindStringSubmatch(line); found != nil {
				value := onMeter.ReplaceAllString(strings.NewReplacer(" to ", "–", "one", "1", ",", "").Replace(found[1]), "")
				out[s.figure] = append(out[s.figure], claim{s.pattern.String(), value})
			}
		}
	}
	for figure, value := range inJSON(m) {
		if len(out[figure]) > 0 {
			out[figure] = append(out[figure], claim{"JSON", strings.ReplaceAll(value, ",", "")})
		}
	}
	return out
}

// met are the places that some plan of the run had.
var met = map[string]bool{}

var (
	boardRow  = regexp.MustCompile(`^☐ \d+x\d+ board, .*? \| (\d+) \|`)
	boardsBuy = regexp.MustCompile(`^Buy (\S+) boards? and cut`)
)

// counts: the shopping list holds what the sheets of the work ask for.
func counts(m made, fail func(string, ...any)) {
	listed, asked := 0, -1
	m.faces.Sections = nil // the list stands there again
	for _, line := range lines(m) {
		if found := boardRow.FindStringSubmatch(line); found != nil {
			n, _ := strconv.Atoi(found[1])
			listed += n
		}
		if found := boardsBuy.FindStringSubmatch(line); found != nil {
			asked, _ = strconv.Atoi(strings.Replace(found[1], "one", "1", 1))
		}
	}
	if asked >= 0 && listed != asked {
		fail("boards: %d on the list, %d to be cut", listed, asked)
	}
	x := m.plan.Mix
	if x == nil || m.plan.Frame == nil {
		return
	}
	for _, d := range x.Doses {
		bed, given := d.Strength.In(m.plan.Frame.Volume), d.PerBucket*unit.Mass(x.Fill.Full)+d.Last
		least := m.plan.Brief.Mix.Measure.Value.Step // that it can be measured by
		if m.plan.Brief.Mix.Measure.Value.Spoons {
			least = d.Spoon.Mass / 4
		}
		if off := math.Abs(float64(given - bed)); x.Fill.Method != mix.OneBucket && off > max(0.01*float64(bed), float64(least)*0.51) {
			fail("%s: the batches bring %v, the strength asks for %v", d.Product, given, bed)
		}
	}
}

// figures: what stands in two places is the same in both.
func figures(m made, fail func(string, ...any)) {
	for figure, list := range claims(m) {
		for _, c := range list {
			met[figure+" "+c.where] = true
			if c.value != list[0].value {
				fail("%s: %s (%s) and %s (%s)", figure, list[0].value, list[0].where, c.value, c.where)
			}
		}
	}
}

// everySayingIsMet: a place that no plan has would be a check that sees nothing.
func everySayingIsMet(t *testing.T) {
	for _, s := range sayings {
		if !met[s.figure+" "+s.pattern.String()] {
			t.Errorf("%s: nothing says %s", s.figure, s.pattern)
		}
	}
}
