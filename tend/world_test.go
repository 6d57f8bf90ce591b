package tend

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"sort"
	"testing"
	"time"

	"raftwright/bed"
	"raftwright/brief"
	"raftwright/chem"
	"raftwright/plan"
)

type worldReading struct {
	At    string
	Kind  string
	True  float64
	Value float64
	Slip  bool
}

type truth struct {
	Kind         string
	At           string
	Volume       float64            `json:"volume_L"`
	EC           float64            `json:"ec_mS_cm"`
	PH           float64            `json:"ph"`
	Temperature  float64            `json:"temperature_C"`
	MgL          map[string]float64 `json:"mg_L"`
	Plants       int                `json:"plants"`
	Fresh        float64            `json:"plant_fresh_g"`
	Growth       float64            `json:"growth"`
	Thirst       float64            `json:"thirst"`
	Leak         float64            `json:"leak_L_day"`
	LeakDay      *float64           `json:"leak_day"`
	Drunk        float64            `json:"drunk_L"`
	Evaporated   float64            `json:"evaporated_L"`
	Rained       float64            `json:"rained_L"`
	Spilled      float64            `json:"spilled_L"`
	Readings     []worldReading     `json:"readings"`
	Water, Shelf string
	Planned      float64 `json:"planned_volume_L"`
	Gain         float64 `json:"ec_gain"`
	Area         float64 `json:"area_m2"`
}

type world struct {
	Name  string
	Now   string
	Brief json.RawMessage
	Truth truth
}

func worlds(t testing.TB) []world {
	dir := "../../shared/reference/tend/worlds"
	files, _ := filepath.Glob(dir + "/world*.json")
	if len(files) == 0 {
		if os.Getenv("CI") != "" {
			t.Fatalf("the forty worlds of %s are absent", dir)
		}
		t.Skipf("needs %s", dir)
	}
	var out []world
	for _, f := range files {
		text, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		w := world{Name: filepath.Base(f)}
		if err := json.Unmarshal(text, &w); err != nil {
			t.Fatal(f, err)
		}
		out = append(out, w)
	}
	return out
}

func (w world) job(t testing.TB) (plan.Plan, bed.Log, time.Time) {
	b, faults := brief.Parse(w.Name, w.Brief)
	if len(faults) > 0 {
		t.Fatal(w.Name, faults)
	}
	log, faults := bed.FromBrief(b)
	if len(faults) > 0 {
		t.Fatal(w.Name, faults)
	}
	p, faults := plan.Make(b, plan.DefaultBook(), nil, plan.Everything)
	if len(faults) > 0 {
		t.Log(w.Name, faults)
	}
	now, err := time.Parse("2006-01-02T15:04", w.Now)
	if err != nil {
		t.Fatal(err)
	}
	return p, log, now
}

func TestProbe(t *testing.T) {
	k, _ := chem.At(standard)
	type score struct{ n, in map[string]int }
	var errs = map[string][]float64{}
	var bands = map[string][2]int{}
	slips, found, good, bad := 0, 0, 0, 0
	leaks, fits := "", 0
	began := time.Now()
	for _, w := range worlds(t) {
		p, log, _ := w.job(t)
		h := newHistory(&p, log)
		pp := penOf(&p, log)
		e, err := h.estimate(k, pp, readingsOf(log, pp))
		if err != nil {
			t.Fatal(w.Name, err)
		}
		f := e.best
		m, c := e.mean()
		mean, vari := e.told(len(h.visits) - 1)
		check := func(s string, truth, mean, v float64) {
			b := bands[s]
			b[1]++
			if math.Abs(math.Log(truth)-mean) <= 1.645*math.Sqrt(v) {
				b[0]++
			}
			bands[s] = b
		}
		check("V", w.Truth.Volume, mean.volume, vari.volume)
		check("EC", w.Truth.EC, mean.ec, vari.ec)
		check("N", w.Truth.MgL["N"]/14.007, mean.in[nitrogen], vari.in[nitrogen])
		check("K", w.Truth.MgL["K"]/weight[potassium], mean.in[potassium], vari.in[potassium])
		check("Ca", w.Truth.MgL["Ca"]/weight[calcium], mean.in[calcium], vari.in[calcium])
		check("P", w.Truth.MgL["P"]/weight[phosphate], mean.in[phosphate], vari.in[phosphate])
		check("Mg", w.Truth.MgL["Mg"]/weight[magnesium], mean.in[magnesium], vari.in[magnesium])
		check("Na", w.Truth.MgL["Na"]/weight[sodium], mean.in[sodium], vari.in[sodium])
		mg := map[string]float64{"N": (c[nitrate] + c[ammonium] + c[urea]) * 14.007, "P": c[phosphate] * weight[phosphate], "K": c[potassium] * weight[potassium], "Ca": c[calcium] * weight[calcium], "Mg": c[magnesium] * weight[magnesium], "Na": c[sodium] * weight[sodium]}
		line := fmt.Sprintf("%s %-9s V%+5.1f", w.Name[5:7], w.Truth.Kind, 100*(m.volume/w.Truth.Volume-1))
		errs["V"] = append(errs["V"], math.Abs(m.volume/w.Truth.Volume-1))
		for _, s := range []string{"N", "P", "K", "Ca", "Mg", "Na"} {
			x := mg[s]/w.Truth.MgL[s] - 1
			errs[s] = append(errs[s], math.Abs(x))
			line += fmt.Sprintf(" %s%+4.0f", s, 100*x)
		}
		ec := nears(f)
		line += fmt.Sprintf(" EC%+4.1f pH%+5.2f", 100*(ec/w.Truth.EC-1), -math.Log10(f.run.moments[len(f.run.moments)-1].h)-w.Truth.PH)
		line += fmt.Sprintf(" g %.2f/%.2f w %.2f/%.2f leak %.2f %v", f.setting.growth, w.Truth.Growth, f.setting.thirst, w.Truth.Thirst, e.leak(), w.Truth.Leak > 0)
		l := f.run.ledger
		line += fmt.Sprintf(" drunk %.0f/%.0f dried %.1f/%.1f rain %.0f/%.0f", l.drunk, w.Truth.Drunk, l.dried, w.Truth.Evaporated, l.rained, w.Truth.Rained)
		fmt.Println(line)
		for _, r := range f.reads {
			at := h.visits[r.visit].at.Format("2006-01-02T15:04")
			name := map[readingKind]string{readEC: "ec", readPH: "ph", readDepth: "depth"}[r.kind]
			for _, tr := range w.Truth.Readings {
				if tr.At == at && tr.Kind == name {
					if tr.Slip {
						slips++
						if r.good < 0.5 {
							found++
						}
					} else {
						good++
						if r.good < 0.5 {
							bad++
						}
					}
				}
			}
		}
		fits += len(e.stories)
		if e.leak() >= 0.5 {
			leaks += w.Name[5:7] + " "
		}
	}
	fmt.Println("time", time.Since(began))
	for _, s := range []string{"V", "N", "P", "K", "Ca", "Mg", "Na"} {
		x := errs[s]
		sort.Float64s(x)
		in := 0
		limit := 0.15
		if s == "V" {
			limit = 0.05
		}
		for _, v := range x {
			if v <= limit {
				in++
			}
		}
		fmt.Printf("%s median %.1f worst tenth %.1f within %d/%d\n", s, 100*x[len(x)/2], 100*x[len(x)*9/10], in, len(x))
	}
	fmt.Println("leaks", leaks, "stories", fits)
	fmt.Println("slips", found, "of", slips, "good set aside", bad, "of", good, bands)
}

func (e *estimate) mean() (m water, c amounts) {
	for i, f := range e.stories {
		x := f.run.moments[len(f.run.moments)-1].before
		m.volume += e.shares[i] * math.Log(x.volume)
		l := x.litre()
		for k := range l {
			c[k] += e.shares[i] * math.Log(math.Max(1e-3, l[k]))
		}
	}
	m.volume = math.Exp(m.volume)
	for k := range c {
		c[k] = math.Exp(c[k])
	}
	return m, c
}

func nears(f *fitted) float64 {
	n := len(f.run.moments) - 1
	c := f.run.moments[n].before.litre()
	return f.nears[n].conducts(&c)
}
