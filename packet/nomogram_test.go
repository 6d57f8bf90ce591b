package packet_test

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"raftwright/draw"
	"raftwright/lang"
	"raftwright/mix"
	"raftwright/packet"
	"raftwright/page"
	"raftwright/tend"
	"raftwright/unit"
)

// tapeValue reads "1-1/2 in", "12 g" or "2-1/4".
func tapeValue(t *testing.T, s string) float64 {
	t.Helper()
	s, _, _ = strings.Cut(strings.ReplaceAll(s, page.Glue, " "), " ")
	sum := 0.0
	whole, part, mixed := strings.Cut(s, "-")
	if !mixed {
		whole, part = "", s
	}
	for _, x := range []string{whole, part} {
		over, under, ok := strings.Cut(x, "/")
		n, _ := strconv.ParseFloat(over, 64)
		if ok {
			d, err := strconv.ParseFloat(under, 64)
			if err != nil {
				t.Fatalf("%q is no number", s)
			}
			n /= d
		}
		sum += n
	}
	return sum
}

// A line across the scales of the nomogram joins what the plan's own sums join: water that fell
// by d takes d times what an inch holds, so many buckets, and of each powder its strength in the
// top-up. Each figure under each scale is held against that, within 2 %.
func TestNomogramAgainstTheSumsOfThePlan(t *testing.T) {
	drawn := 0
	for _, path := range someExamples(t) {
		for _, u := range []lang.Units{lang.US, lang.Metric} {
			p, w := planOf(t, path), words(t, u)
			walk(packet.Faces(p, w, packet.Options{}, "card"), func(_ page.Section, b page.Block) {
				f, ok := b.(page.Figure)
				if !ok || f.Drawing.ID != "nomogram" {
					return
				}
				drawn++
				scales, example := map[string][]draw.Text{}, map[string]draw.Text{}
				for _, it := range f.Drawing.Items {
					if x, ok := it.(draw.Text); ok && strings.HasPrefix(x.ID, "scale-") {
						scales[x.ID[6:]] = append(scales[x.ID[6:]], x)
					} else if ok && strings.HasPrefix(x.ID, "example-") {
						example[x.ID[8:]] = x
					}
				}
				length := unit.Inch
				if u == lang.Metric {
					length = unit.Millimetre
				}
				zero, far := scales["0"][0], scales["0"][len(scales["0"])-1]
				fell := func(x unit.Length) unit.Length { // read on the first scale
					return length * unit.Length(tapeValue(t, far.Text)*float64((x-zero.At.X)/(far.At.X-zero.At.X)))
				}
				bucket := p.Mix.Bucket
				if bucket <= 0 {
					bucket = 5 * unit.Gallon
				}
				want := func(scale int, down unit.Length) (value, least float64) {
					added := p.PerInch() * unit.Volume(down/unit.Inch)
					if scale == 1 {
						return float64(added / bucket), 0.25
					}
					if scale-2 >= len(p.Mix.Doses) {
						return math.NaN(), 0 // acid
					}
					d := p.Mix.Doses[scale-2]
					mass := (d.Strength * unit.MassConcentration(p.Mix.TopUp.Share)).In(added)
					if p.Measure().Kind == mix.Spoons {
						return float64(mass / d.Spoon.Mass), 0.25
					}
					return mass.Grams(), p.Measure().Step.Grams()
				}
				for i := 1; i < len(scales); i++ {
					for _, x := range append(scales[fmt.Sprint(i)], example[fmt.Sprint(i)]) {
						v, least := want(i, fell(x.At.X))
						if got := tapeValue(t, x.Text); x.ID[:5] == "scale" && math.Abs(got-v) > 0.02*v+1e-9 || x.ID[:5] != "scale" && math.Abs(got-v) > 0.51*least {
							t.Errorf("%s, units %d: %s reads %s, the plan says %.3f", path, u, x.ID, x.Text, v)
						}
					}
				}
				if got, want := tapeValue(t, example["0"].Text), fell(example["0"].At.X)/length; math.Abs(got-float64(want)) > 1e-6 {
					t.Errorf("%s: the example stands at %v, not %v", path, want, got)
				}
			})
		}
	}
	if drawn < 6 {
		t.Errorf("only %d nomograms", drawn)
	}
}

// The ring of a spoon that is half a ball holds its volume: 2/3 pi r^3 is 4.929 mL for a US
// teaspoon (1/768 of a gallon of 231 cubic inches, NIST Handbook 44, appendix C).
func TestSpoonsAreDrawnAtTheirSize(t *testing.T) {
	found := 0
	walk(packet.Faces(planOf(t, "../examples/home.yaml"), words(t, lang.US), packet.Options{}, "card"), func(_ page.Section, b page.Block) {
		f, ok := b.(page.Figure)
		if !ok || f.Drawing.ID != "spoons" {
			return
		}
		if f.Drawing.Scale != draw.Full {
			t.Error("the spoons are not at full size")
		}
		for _, it := range f.Drawing.Items {
			path, ok := it.(draw.Path)
			if !ok {
				continue
			}
			low, high := math.Inf(1), math.Inf(-1)
			for _, s := range path.Steps {
				if s.Kind != draw.Close {
					low, high = math.Min(low, float64(s.To.Y)), math.Max(high, float64(s.To.Y))
				}
			}
			r := (high - low) / 2 * 1000 // mm
			want := []float64{4.929, 4.929 / 2, 4.929 / 4}[found]
			if v := 2.0 / 3 * math.Pi * r * r * r / 1000; math.Abs(v-want) > 0.01 {
				t.Errorf("spoon %d holds %.3f mL, not %.3f", found, v, want)
			}
			found++
		}
	})
	if found != 3 {
		t.Errorf("%d spoons", found)
	}
}

// Under each pH of the card stands the acid that the room which tends beds gives for it, and the pH are
// in the order in which more is poured; a plan without acid has no such scale.
func TestAcidOfTheCardIsThatOfTheTender(t *testing.T) {
	drawn := 0
	for _, path := range someExamples(t) {
		p := planOf(t, path)
		rows := tend.Sours(p, tend.Span{Low: mix.LeastWellPH, High: mix.MostWellPH})
		var reads, pours []string
		walk(packet.Faces(p, words(t, lang.Metric), packet.Options{}, "card"), func(_ page.Section, b page.Block) {
			f, ok := b.(page.Figure)
			if !ok || f.Drawing.ID != "nomogram" {
				return
			}
			for _, it := range f.Drawing.Items {
				switch x, ok := it.(draw.Text); {
				case ok && x.ID == "ph":
					reads = append(reads, x.Text)
				case ok && x.ID == "sour":
					pours = append(pours, strings.ReplaceAll(x.Text, page.Glue, " "))
				}
			}
		})
		if p.Mix == nil || p.Mix.Acid.Dose <= 0 {
			if len(reads) > 0 {
				t.Errorf("%s: acid where the plan has none: %v", path, pours)
			}
			continue
		}
		if len(reads) == 0 {
			continue // a table tells it
		}
		drawn++
		if len(rows) != len(reads) || len(rows) != len(pours) {
			t.Fatalf("%s: %d rows, %v, %v", path, len(rows), reads, pours)
		}
		for i, r := range rows {
			a := r.Actions[0]
			much := fmt.Sprintf("%.0f g", a.Mass.Grams())
			if a.Mass <= 0 {
				much = fmt.Sprintf("%.0f mL", a.Liquid.Litres()*1000)
			}
			if want := fmt.Sprintf("pH %.1f", r.Reads); reads[i] != want || !strings.Contains(pours[i], much) {
				t.Errorf("%s: %s pours %s, the tender %s of %s", path, reads[i], pours[i], much, a.Product)
			}
		}
	}
	if drawn < 3 {
		t.Errorf("only %d cards with acid", drawn)
	}
}
