package raft

import (
	"math"
	"slices"

	"raftwright/internal/inorder"
	"raftwright/unit"
)

// freshWater is the density the draft is counted in. A nutrient solution is a
// fifth of a percent heavier, which lifts the raft by less than a hundredth of a
// millimetre.
const freshWater unit.Density = 1000

// Flotation is how deep the raft swims, by Archimedes: draft = mass / (density
// of water x area of foam in the water). Planted means pots and plugs in every
// hole, grown means a full head on each. Masses are of the whole raft.
type Flotation struct {
	NetArea     unit.Area // foam less holes and obstacles
	FoamMass    unit.Mass
	PlantedMass unit.Mass // foam and pots
	GrownMass   unit.Mass // foam, pots and heads
	Uptake      unit.Mass // water that old foam may have drunk, at most by its standard

	DraftNew   unit.Length // bare foam
	Draft      unit.Length // planted
	DraftGrown unit.Length
	DraftOld   unit.Length // grown, on foam that has taken up its water

	FreeboardPlanted unit.Length
	Freeboard        unit.Length // grown
}

// floats computes the flotation of the whole raft.
func (r Raft) floats() Flotation {
	j, f := r.Job, Flotation{}
	for _, p := range r.Pieces {
		f.NetArea += r.Layouts[p.Layout].netArea(j.Hole)
	}
	foam := f.NetArea.Deep(j.Thickness)
	f.FoamMass = r.Foam.Density.Of(foam)
	f.PlantedMass = f.FoamMass + unit.Mass(r.Holes)*j.PotMass
	f.GrownMass = f.PlantedMass + unit.Mass(r.Holes)*j.HeadMass
	f.Uptake = freshWater.Of(foam * unit.Volume(r.Foam.Uptake))
	f.DraftNew = draft(f.FoamMass, f.NetArea)
	f.Draft = draft(f.PlantedMass, f.NetArea)
	f.DraftGrown = draft(f.GrownMass, f.NetArea)
	f.DraftOld = draft(f.GrownMass+f.Uptake, f.NetArea)
	f.FreeboardPlanted = j.Thickness - f.Draft
	f.Freeboard = j.Thickness - f.DraftGrown
	return f
}

// draft gives how deep a flat board of this area swims under this mass.
func draft(m unit.Mass, a unit.Area) unit.Length {
	return unit.Length(float64(m) / (float64(freshWater) * float64(a)))
}

// netArea gives the foam that is left when holes and obstacles are cut out.
func (l Layout) netArea(hole unit.Length) unit.Area {
	d := hole.Metres()
	holes := math.Pi / 4 * d * d * float64(len(l.Positions))
	return l.plot.area() - unit.Area(l.plot.blocked()) - unit.Area(holes)
}

// blocked gives the area that obstacles take of the piece, each part counted
// once: bands between the obstacles' edges, in each the union of their spans.
// On a disc a band is cut into thin strips.
func (p plot) blocked() float64 {
	if len(p.boxes) == 0 {
		return 0
	}
	cuts := []float64{0, p.h}
	for _, b := range p.boxes {
		cuts = append(cuts, min(max(b.y0, 0), p.h), min(max(b.y1, 0), p.h))
	}
	slices.Sort(cuts)
	strips := 1
	if p.round {
		strips = 200
	}
	sum := 0.0
	for i := 1; i < len(cuts); i++ {
		thick := (cuts[i] - cuts[i-1]) / float64(strips)
		for k := range strips {
			if thick > 0 {
				sum += thick * p.spans(cuts[i-1]+(float64(k)+0.5)*thick)
			}
		}
	}
	return sum
}

// spans gives the length that obstacles cover of the piece at one height.
func (p plot) spans(y float64) float64 {
	left, right := 0.0, p.w
	if p.round {
		half := math.Sqrt(max(0, p.w*p.w/4-(y-p.h/2)*(y-p.h/2)))
		left, right = p.w/2-half, p.w/2+half
	}
	var list [][2]float64
	for _, b := range p.boxes {
		if lo, hi := max(b.x0, left), min(b.x1, right); b.y0 <= y && y <= b.y1 && lo < hi {
			list = append(list, [2]float64{lo, hi})
		}
	}
	inorder.Put(list, func(a, b [2]float64) int {
		if a[0] < b[0] {
			return -1
		}
		return 1
	})
	sum, reached := 0.0, left
	for _, s := range list {
		if s[1] > reached {
			sum += s[1] - max(s[0], reached)
			reached = s[1]
		}
	}
	return sum
}

// fullest gives the piece that carries most holes: the one whose list, lifting
// and sinking matter.
func (r Raft) fullest() Layout {
	best := r.Layouts[0]
	for _, l := range r.Layouts {
		if len(l.Positions) > len(best.Positions) {
			best = l
		}
	}
	return best
}

// grownMass gives the mass of one piece with a grown head in every hole.
func (r Raft) grownMass(l Layout) unit.Mass {
	foam := r.Foam.Density.Of(l.netArea(r.Job.Hole).Deep(r.Job.Thickness))
	return foam + unit.Mass(len(l.Positions))*(r.Job.PotMass+r.Job.HeadMass)
}
