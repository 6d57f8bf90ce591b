package answer

import (
	"time"

	"raftwright/lang"
	"raftwright/tend"
)

// TendDocument answers the command tend: what the bed holds, how sure that is, and what to do.
type TendDocument struct {
	State    BedState     `json:"state"`
	Readings []BedReading `json:"readings"`
	Leak     BedLeak      `json:"leak"`
	Learned  BedLearned   `json:"learned"`
	Told
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
			return BedReading{At: momentOf(r.At), Kind: r.Kind, Value: r.Read, Expected: r.Value, Low: r.Low, High: r.High, Used: r.Used}
		}),
		Leak:    BedLeak{Rate: t.Leak.Rate.Value, Low: t.Leak.Rate.Low, High: t.Leak.Rate.High, Probability: t.Leak.Probability},
		Learned: BedLearned{t.Learned.Growth, t.Learned.GrowthSpread, t.Learned.Water, t.Learned.WaterSpread, float64(t.Learned.Warmth), float64(t.Learned.WarmthSpread)},
		Told:    Tell(words, t.Findings, t.Assumptions, nil, "langenfeld2022"),
	}
	for name, r := range s.Holds {
		d.State.Holds[name], d.State.HoldsLow[name], d.State.HoldsHigh[name] = r.Value, r.Low, r.High
	}
	return d
}
