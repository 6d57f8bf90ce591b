package plan

import (
	"math"

	"raftwright/brief"
	"raftwright/finding"
	"raftwright/mix"
	"raftwright/source"
	"raftwright/unit"
	"raftwright/usual"
)

// Meter is the grower's own conductivity meter.
type Meter struct {
	Pen      mix.Pen // UnknownPen: EC is printed in mS/cm only
	Inferred bool    // from a known solution, not stated
	Off      unit.Fraction
	// Off is how far it reads from the known solution; 0 where none was given.
}

// What is said about the meter.
const (
	AssumeMeterScale finding.ID = "plan.meter_inferred"
	FindMeterAsk     finding.ID = "plan.meter_ask"
	FindMeterUnsure  finding.ID = "plan.meter_unsure"
	FindMeterNone    finding.ID = "plan.meter_none"
	FindMeterScale   finding.ID = "plan.meter_scale"
	FindMeterOff     finding.ID = "plan.meter_off"
)

var pens = map[brief.Shown]mix.Pen{
	brief.ShowsMilliSiemens: mix.MilliSiemens, brief.ShowsDeciSiemens: mix.MilliSiemens, brief.ShowsMicroSiemens: mix.MicroSiemens,
	brief.ShowsFactor: mix.ConductivityFactor, brief.ShowsPPM500: mix.TDS500, brief.ShowsPPM640: mix.TDS640, brief.ShowsPPM700: mix.TDS700,
}

// readMeter finds out what the meter shows: as stated, as a known solution
// tells, or not at all. It never guesses in silence.
func (m *maker) readMeter() {
	b := m.Brief.Meter
	out := Meter{Pen: pens[b.Shows.Value]}
	known, reads := b.Known.EC.Value, b.Known.Reads.Value
	switch {
	case b.Shows.Given && b.Known.Given:
		m.checkMeter(&out, known, reads)
	case b.Known.Given:
		m.inferMeter(&out, known, reads)
	case !b.Shows.Given:
		m.find(finding.Finding{ID: FindMeterAsk, Act: finding.AtMix, Severity: finding.Note, Source: source.CommonPractice})
	}
	m.Meter = out
}

// checkMeter holds a stated scale against a known solution.
func (m *maker) checkMeter(out *Meter, known unit.Conductivity, reads float64) {
	out.Off = unit.Fraction(reads/out.Pen.Shows(known) - 1)
	args := finding.Args{"Reads": reads, "EC": known, "Scale": out.Pen.String(), "Should": out.Pen.Shows(known), "Off": out.Off, "Fits": ""}
	switch off := math.Abs(float64(out.Off)); {
	case off > usual.MeterOff:
		if fits := mix.InferPen(known, reads, usual.MeterFine); len(fits) > 0 {
			args["Fits"] = fits[0].Pen.String()
		}
		m.find(finding.Finding{ID: FindMeterScale, Act: finding.AtMix, Severity: finding.Caution, Args: args, Figure: out.Off, Source: source.Given})
	case off > usual.MeterFine:
		m.find(finding.Finding{ID: FindMeterOff, Act: finding.AtMix, Severity: finding.Note, Args: args, Figure: out.Off, Source: source.Given})
	}
}

// inferMeter finds the scale that a known solution tells, where it tells one.
func (m *maker) inferMeter(out *Meter, known unit.Conductivity, reads float64) {
	fits := mix.InferPen(known, reads, usual.MeterOff)
	args := finding.Args{"Reads": reads, "EC": known}
	if len(fits) == 0 {
		m.find(finding.Finding{ID: FindMeterNone, Act: finding.AtMix, Severity: finding.Caution, Args: args, Source: source.Given})
		return
	}
	far := func(i int) float64 { return math.Abs(float64(fits[i].Off)) }
	if len(fits) == 1 || far(0) <= usual.MeterClear && far(1) >= usual.MeterAnyone {
		out.Pen, out.Inferred, out.Off = fits[0].Pen, true, fits[0].Off
		args["Scale"] = out.Pen.String()
		m.assume(finding.Assumption{ID: AssumeMeterScale, Args: args, Source: source.Given})
		return
	}
	args["First"], args["Second"] = fits[0].Pen.String(), fits[1].Pen.String()
	m.find(finding.Finding{ID: FindMeterUnsure, Act: finding.AtMix, Severity: finding.Caution, Args: args, Source: source.Given})
}
