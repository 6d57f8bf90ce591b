package draw

// System is the system of measure of the reader.
type System int

// Systems.
const (
	US     System = iota // feet and inches
	Metric               // metres and millimetres
)

// Scale is paper to real: 0.1 draws ten inches as one. The zero value is "not
// given".
type Scale float64

// Full draws at real size.
const Full Scale = 1

// OneTo gives the scale 1 : n.
func OneTo(n float64) Scale { return Scale(1 / n) }
