package frame

import (
	"raftwright/finding"
	"raftwright/unit"
)

// Scab is the piece screwed flat over a splice at a hold. It is of the boards'
// own size, so it bends as they do.
type Scab struct {
	Screws int           // on each side of the joint
	Moment float64       // at the hold, to the brim, in newton metres
	Pull   unit.Force    // that one screw may carry
	Use    unit.Fraction // of what the screws may carry of the moment at the hold, to the brim
}

// A scab's screws stand in two rows across it on each side of the joint, one an
// inch and a half from the scab's end, one as far from the board's (common
// practice, no source): what lies between is the lever of the couple that takes
// the moment over, wood pressed at one end and screws pulled at the other.
const (
	scabEnd   = 1.5 * unit.Inch
	scabLever = scabLength/2 - 2*scabEnd
	scabEdge  = 1 * unit.Inch // of the outer screws from the board's edge
	scabApart = 1 * unit.Inch // of the screws in a row
	scabLeast = 2             // screws in a row
)

// scab gives the screws of a splice that carries what the boards carry over a
// hold, filled to the brim, wet and for years.
func (r Row) scab(brim unit.Length) Scab {
	if len(r.Segments) < 2 {
		return Scab{}
	}
	if !r.rated {
		return Scab{Screws: 2 * scabLeast}
	}
	moment := r.beam().moment * bandThrust(float64(brim), 0, float64(r.Section.Wide)) * float64(r.Spacing) * float64(r.Spacing)
	one := screwingOf(r.screw.through(r.Section.Thick, r.Section.Thick), r.grade.Values.G, r.Section.Thick).withdrawal
	pull := float64(one) * float64(scabLever)
	most := 1 + int(float64((r.Section.Wide-2*scabEdge)/scabApart)+1e-9)
	row := min(max(scabLeast, wholeUp(moment, pull)), max(scabLeast, most))
	return Scab{Screws: 2 * row, Moment: moment, Pull: one, Use: share(moment, pull*float64(row))}
}

// workScab derives the screws of a splice.
func (b Bed) workScab(w *finding.Working, r Row) {
	if r.Scab.Moment == 0 {
		return
	}
	load := bandThrust(float64(b.Brim), 0, float64(r.Section.Wide))
	w.Add("M", "work.frame.splice_moment", "c w l^2", r.Scab.Moment*1e3, "N mm", "awc-da6",
		finding.In("c", r.beam().moment, ""), finding.In("w", load/kilo, "N/mm"), finding.In("l", mm(r.Spacing), "mm"))
	w.Add("U", "work.frame.splice_use", "M/(n W x)", float64(r.Scab.Use), "", "nds2018",
		finding.In("M", r.Scab.Moment*1e3, "N mm"), finding.In("n", float64(r.Scab.Screws)/2, ""), finding.In("W", float64(r.Scab.Pull), "N"), finding.In("x", mm(scabLever), "mm"))
}
