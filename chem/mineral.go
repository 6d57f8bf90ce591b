package chem

// Mineral names a solid whose saturation is watched.
type Mineral int

// The solids that cloud nutrient solutions and crust fittings.
const (
	Calcite              Mineral = iota // CaCO3, lime scale
	Gypsum                              // CaSO4.2H2O
	Brushite                            // CaHPO4.2H2O, the phosphate that clouds a mix first
	Hydroxyapatite                      // Ca5(PO4)3OH; its index over-warns, see Solution.SI
	OctacalciumPhosphate                // Ca4H(PO4)3.2.5H2O
	TricalciumPhosphate                 // beta-Ca3(PO4)2
	Struvite                            // MgNH4PO4.6H2O
	Ferrihydrite                        // fresh ferric hydroxide, were all ferrous iron oxidised
	MineralCount
)

var mineralNames = [MineralCount]string{"calcite", "gypsum", "brushite", "hydroxyapatite",
	"octacalcium phosphate", "beta tricalcium phosphate", "struvite", "ferric hydroxide"}

// String gives the usual name.
func (m Mineral) String() string {
	if m < 0 || m >= MineralCount {
		return "unknown mineral"
	}
	return mineralNames[m]
}
