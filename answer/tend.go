package answer

import (
	"strings"
	"time"

	"raftwright/lang"
	"raftwright/source"
	"raftwright/tend"
	"raftwright/trouble"
	"raftwright/unit"
)

// TendDocument answers the command tend: what the bed holds, how sure that is, and what to do.
type TendDocument struct {
	State    BedState     `json:"state"`
	Readings []BedReading `json:"readings"`
	Leak     BedLeak      `json:"leak"`
	Learned  BedLearned   `json:"learned"`

	Actions    []BedAction   `json:"actions"`
	After      BedAfter      `json:"after"`
	IfNothing  BedIfNothing  `json:"if_nothing"`
	NextCheck  string        `json:"next_check"`
	DumpBy     string        `json:"dump_by"`
	DumpFrom   string        `json:"dump_from"`
	DumpTo     string        `json:"dump_to"`
	DumpReason string        `json:"dump_reason"`
	Ask        BedAsk        `json:"ask"`
	Forecast   []BedForecast `json:"forecast"`
	Causes     []BedCause    `json:"causes"`
	LookNext   BedLook       `json:"look_next"`
	Told
}

// BedAction is one thing to do, for the whole bed.
type BedAction struct {
	Do       string  `json:"do"`
	Product  string  `json:"product,omitempty"`
	Mass     float64 `json:"g,omitempty"`
	Liquid   float64 `json:"mL,omitempty"`
	Volume   float64 `json:"L,omitempty"`
	Strength float64 `json:"strength_percent,omitempty"`
	Why      string  `json:"why"`
	Source   string  `json:"source"`
}

// BedAfter is what good meters read once all is done and stirred.
type BedAfter struct {
	Volume float64 `json:"volume_L"`
	EC     float64 `json:"ec_mS_cm"`
	PH     float64 `json:"ph"`
}

// BedIfNothing is the limit that is passed first if nothing is done; empty where none is in sight.
type BedIfNothing struct {
	Limit string `json:"limit"`
	At    string `json:"at"`
}

// BedAsk is the one reading that would change the advice most.
type BedAsk struct {
	Reading string `json:"reading,omitempty"`
	Why     string `json:"why,omitempty"`
}

// BedForecast is the bed at the end of a day ahead, if nothing is done.
type BedForecast struct {
	At          string     `json:"at"`
	Volume      float64    `json:"volume_L"`
	EC          float64    `json:"ec_mS_cm"`
	PH          float64    `json:"ph"`
	Temperature float64    `json:"temperature_C"`
	Oxygen      float64    `json:"oxygen_mg_L"`
	Low         BedFigures `json:"low"`
	High        BedFigures `json:"high"`
}

// BedFigures are the ends of the bands of a forecast.
type BedFigures struct {
	Volume      float64 `json:"volume_L"`
	EC          float64 `json:"ec_mS_cm"`
	PH          float64 `json:"ph"`
	Temperature float64 `json:"temperature_C"`
}

// BedState is the bed at a moment; low and high hold nine times in ten.
type BedState struct {
	At          string                     `json:"at"`
	Volume      float64                    `json:"volume_L"`
	VolumeLow   float64                    `json:"volume_low_L"`
	VolumeHigh  float64                    `json:"volume_high_L"`
	Depth       float64                    `json:"depth_mm"`
	EC          float64                    `json:"ec_mS_cm"` // true, at 25 C
	PH          float64                    `json:"ph"`
	Temperature float64                    `json:"temperature_C"`
	Oxygen      float64                    `json:"oxygen_mg_L"`
	Plants      int                        `json:"plants"`
	Fresh       float64                    `json:"plant_fresh_g"`
	Holds       map[tend.Substance]float64 `json:"mg_L"`
	HoldsLow    map[tend.Substance]float64 `json:"mg_L_low"`
	HoldsHigh   map[tend.Substance]float64 `json:"mg_L_high"`
}

// BedReading is a reading beside what was expected of it, in mS/cm, pH or mm; false where it was
// set aside as a slip.
type BedReading struct {
	At       string  `json:"at"`
	Kind     string  `json:"kind"`
	Value    float64 `json:"value"`
	Expected float64 `json:"expected"`
	Low      float64 `json:"low"`
	High     float64 `json:"high"`
	Used     bool    `json:"used"`
	Meant    float64 `json:"meant,omitempty"`
}

// BedLeak is how likely the bed leaks, and how much where it does.
type BedLeak struct {
	Rate        float64 `json:"L_day"`
	Low         float64 `json:"low_L_day"`
	High        float64 `json:"high_L_day"`
	Probability float64 `json:"probability"`
}

// BedLearned is this bed against the model; 1 and 0 where nothing was learned.
type BedLearned struct {
	Growth   float64 `json:"growth"`
	GrowthSD float64 `json:"growth_sd"`
	Water    float64 `json:"water"`
	WaterSD  float64 `json:"water_sd"`
	Warmth   float64 `json:"temperature_C"`
	WarmthSD float64 `json:"temperature_sd_C"`
}

// BedCause is what may be wrong, with its share; the shares add up to less than 1, the rest is "do not
// know". For and against are keys of the table of signs.
type BedCause struct {
	ID      string    `json:"id"`
	Share   float64   `json:"share"`
	For     []string  `json:"for"`
	Against []string  `json:"against"`
	Check   string    `json:"check"`
	Do      string    `json:"do"`
	Adds    []BedAdds `json:"adds"`
	Source  source.ID `json:"source"`
}

// BedAdds is what is added to this bed against a want, and the words for it: nobody weighs at home what is not weighable.
type BedAdds struct {
	Element   string  `json:"element"`
	Product   string  `json:"product"`
	Volume    float64 `json:"volume_L"`
	Low       float64 `json:"low_g"`
	High      float64 `json:"high_g"`
	Weighable bool    `json:"weighable"`
	Words     string  `json:"words"`
}

// BedLook is what to look at next: of these signs the one that holds, or whether the one does. Bits is how
// much of the doubt the answer is expected to take.
type BedLook struct {
	Signs []string `json:"signs"`
	Bits  float64  `json:"bits"`
}

func causes(t *tend.Tending, words *lang.Printer) []BedCause {
	return each(t.Wrong.Causes, func(c trouble.Cause) BedCause {
		adds := each(tend.Portions(c, unit.Volume(t.State.Volume.Value)*unit.Litre), func(p tend.Portion) BedAdds {
			id, args := p.Said()
			return BedAdds{p.Element.Key(), p.Product, p.Volume.Litres(), p.Low.Grams(), p.High.Grams(), p.Weighable(), words.Say(id, args)}
		})
		return BedCause{ID: c.Trouble, Share: c.Share, For: each(c.For, asIs), Against: each(c.Against, asIs), Source: c.Source, Adds: adds,
			Check: words.Say("trouble.check."+c.Trouble, nil), Do: words.Say("trouble.do."+c.Trouble, nil)}
	})
}

func asIs(s string) string { return s }

const moment = "2006-01-02T15:04"

func momentOf(t time.Time) string { return t.Format(moment) }

// Tend gives the document of a tending.
func Tend(t *tend.Tending, words *lang.Printer) TendDocument {
	s := t.State
	d := TendDocument{
		State: BedState{At: momentOf(s.At), Volume: s.Volume.Value, VolumeLow: s.Volume.Low, VolumeHigh: s.Volume.High, Depth: s.Depth.Value, EC: s.EC.Value,
			PH: s.PH.Value, Temperature: s.Temperature.Celsius(), Oxygen: s.Oxygen.MilligramsPerLitre(), Plants: s.Plants, Fresh: s.Fresh.Grams(),
			Holds: map[tend.Substance]float64{}, HoldsLow: map[tend.Substance]float64{}, HoldsHigh: map[tend.Substance]float64{}},
		Readings: each(t.Readings, func(r tend.Reading) BedReading {
			return BedReading{At: momentOf(r.At), Kind: r.Kind, Value: r.Read, Expected: r.Value, Low: r.Low, High: r.High, Used: r.Used, Meant: r.Meant}
		}),
		Leak:     BedLeak{Rate: t.Leak.Rate.Value, Low: t.Leak.Rate.Low, High: t.Leak.Rate.High, Probability: t.Leak.Probability},
		Learned:  BedLearned{t.Learned.Growth, t.Learned.GrowthSpread, t.Learned.Water, t.Learned.WaterSpread, float64(t.Learned.Warmth), float64(t.Learned.WarmthSpread)},
		Causes:   causes(t, words),
		LookNext: BedLook{each(t.Wrong.Next.Signs, asIs), t.Wrong.Next.Fall},
		Told:     Tell(words, t.Findings, t.Assumptions, nil, "langenfeld2022"),
	}
	d.Actions = each(t.Actions, func(a tend.Action) BedAction {
		return BedAction{Do: string(a.Do), Product: a.Product, Mass: a.Mass.Grams(), Liquid: a.Liquid.Litres() * 1000, Volume: a.Volume.Litres(),
			Strength: 100 * float64(a.Strength), Why: words.Say(string(a.Why), a.Args), Source: string(a.Source)}
	})
	d.After = BedAfter{t.After.Volume.Litres(), t.After.EC.MillisiemensPerCentimetre(), t.After.PH}
	if t.IfNothing.Limit != "" {
		d.IfNothing = BedIfNothing{string(t.IfNothing.Limit), momentOf(t.IfNothing.At)}
	}
	d.NextCheck = t.NextCheck.Format(time.DateOnly)
	if t.DumpReason != "" {
		d.DumpFrom, d.DumpTo = t.DumpFrom.Format(time.DateOnly), t.DumpTo.Format(time.DateOnly)
		d.DumpBy, d.DumpReason = t.DumpBy.Format(time.DateOnly), strings.ReplaceAll(string(t.DumpReason), "_", " ")
	}
	if t.Ask.Reading != "" {
		d.Ask = BedAsk{t.Ask.Reading, words.Say(string(t.Ask.Why), nil)}
	}
	d.Forecast = each(t.Forecast, func(f tend.Forecast) BedForecast {
		end := func(of func(tend.Range) float64) BedFigures {
			return BedFigures{of(f.Volume), of(f.EC), of(f.PH), of(f.Warmth)}
		}
		return BedForecast{At: momentOf(f.At), Volume: f.Volume.Value, EC: f.EC.Value, PH: f.PH.Value, Temperature: f.Warmth.Value, Oxygen: f.Oxygen.MilligramsPerLitre(),
			Low: end(func(r tend.Range) float64 { return r.Low }), High: end(func(r tend.Range) float64 { return r.High })}
	})
	for name, r := range s.Holds {
		d.State.Holds[name], d.State.HoldsLow[name], d.State.HoldsHigh[name] = r.Value, r.Low, r.High
	}
	return d
}
