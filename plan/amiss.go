package plan

import (
	"raftwright/finding"
	"raftwright/mix"
)

// AssumeAmissBed stands for the volume of a bed that was given a wrong dose.
const AssumeAmissBed finding.ID = "plan.amiss_volume"

// mendBed works out what to take out of a bed that was given a wrong dose, or to add.
func (m *maker) mendBed() {
	b := m.Brief.Amiss
	j := mix.BedJob{Path: "amiss", Water: m.mixWater(), Volume: b.Volume.Value, Added: m.portions("amiss.put in", b.PutIn), Shelf: m.Shelf, Target: m.target,
		Reads: b.Reads.Value, Wanted: b.Wanted.Value, Mix: m.Mix, Crop: m.feedCrop()}
	if m.Water != nil {
		j.Plain = m.Water.EC
	}
	if !b.Volume.Given {
		if m.volume <= 0 {
			m.wrong(finding.Fault{ID: FaultAmissVolume, Path: "amiss.volume"})
			return
		}
		j.Volume = m.volume
		m.assume(finding.Assumption{ID: AssumeAmissBed, Args: finding.Args{"Volume": j.Volume}, Source: ownChoice})
	}
	if len(m.faults) > 0 {
		return
	}
	fix, faults := j.Mend(m.book.Library)
	if faults != nil {
		m.wrong(faults...)
		return
	}
	m.find(fix.Findings...)
	m.assume(fix.Assumptions...)
	m.Amiss = &fix
}
