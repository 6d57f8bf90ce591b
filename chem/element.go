package chem

import "raftwright/source"

// Element is a chemical element, by atomic number. The zero value is no element.
type Element uint8

// The elements that fertilisers, waters and acids are made of. Every element
// that has a standard atomic weight is known by its symbol, see ElementOf.
const (
	Hydrogen   Element = 1
	Boron      Element = 5
	Carbon     Element = 6
	Nitrogen   Element = 7
	Oxygen     Element = 8
	Fluorine   Element = 9
	Sodium     Element = 11
	Magnesium  Element = 12
	Aluminium  Element = 13
	Silicon    Element = 14
	Phosphorus Element = 15
	Sulfur     Element = 16
	Chlorine   Element = 17
	Potassium  Element = 19
	Calcium    Element = 20
	Manganese  Element = 25
	Iron       Element = 26
	Cobalt     Element = 27
	Nickel     Element = 28
	Copper     Element = 29
	Zinc       Element = 30
	Selenium   Element = 34
	Molybdenum Element = 42
)

// AtomicWeightSource is where the atomic weights come from.
const AtomicWeightSource source.ID = "iupac2021"

type elementEntry struct {
	symbol string
	weight float64
}

// elements holds the standard atomic weights 2021, abridged to five digits
// (Prohaska et al. 2022, Pure Appl. Chem. 94:573). Elements that have no
// standard weight (technetium, promethium, polonium and so on) are left empty.
var elements = [...]elementEntry{
	1: {"H", 1.0080}, 2: {"He", 4.0026}, 3: {"Li", 6.94}, 4: {"Be", 9.0122}, 5: {"B", 10.81}, 6: {"C", 12.011},
	7: {"N", 14.007}, 8: {"O", 15.999}, 9: {"F", 18.998}, 10: {"Ne", 20.180}, 11: {"Na", 22.990}, 12: {"Mg", 24.305},
	13: {"Al", 26.982}, 14: {"Si", 28.085}, 15: {"P", 30.974}, 16: {"S", 32.06}, 17: {"Cl", 35.45}, 18: {"Ar", 39.95},
	19: {"K", 39.098}, 20: {"Ca", 40.078}, 21: {"Sc", 44.956}, 22: {"Ti", 47.867}, 23: {"V", 50.942}, 24: {"Cr", 51.996},
	25: {"Mn", 54.938}, 26: {"Fe", 55.845}, 27: {"Co", 58.933}, 28: {"Ni", 58.693}, 29: {"Cu", 63.546}, 30: {"Zn", 65.38},
	31: {"Ga", 69.723}, 32: {"Ge", 72.630}, 33: {"As", 74.922}, 34: {"Se", 78.971}, 35: {"Br", 79.904}, 36: {"Kr", 83.798},
	37: {"Rb", 85.468}, 38: {"Sr", 87.62}, 39: {"Y", 88.906}, 40: {"Zr", 91.224}, 41: {"Nb", 92.906}, 42: {"Mo", 95.95},
	44: {"Ru", 101.07}, 45: {"Rh", 102.91}, 46: {"Pd", 106.42}, 47: {"Ag", 107.87}, 48: {"Cd", 112.41}, 49: {"In", 114.82},
	50: {"Sn", 118.71}, 51: {"Sb", 121.76}, 52: {"Te", 127.60}, 53: {"I", 126.90}, 54: {"Xe", 131.29}, 55: {"Cs", 132.91},
	56: {"Ba", 137.33}, 57: {"La", 138.91}, 58: {"Ce", 140.12}, 59: {"Pr", 140.91}, 60: {"Nd", 144.24}, 62: {"Sm", 150.36},
	63: {"Eu", 151.96}, 64: {"Gd", 157.25}, 65: {"Tb", 158.93}, 66: {"Dy", 162.50}, 67: {"Ho", 164.93}, 68: {"Er", 167.26},
	69: {"Tm", 168.93}, 70: {"Yb", 173.05}, 71: {"Lu", 174.97}, 72: {"Hf", 178.49}, 73: {"Ta", 180.95}, 74: {"W", 183.84},
	75: {"Re", 186.21}, 76: {"Os", 190.23}, 77: {"Ir", 192.22}, 78: {"Pt", 195.08}, 79: {"Au", 196.97}, 80: {"Hg", 200.59},
	81: {"Tl", 204.38}, 82: {"Pb", 207.2}, 83: {"Bi", 208.98}, 90: {"Th", 232.04}, 91: {"Pa", 231.04}, 92: {"U", 238.03},
}

// ElementOf gives the element with a symbol ("Ca"), and whether it is known.
func ElementOf(symbol string) (Element, bool) {
	if symbol == "" {
		return 0, false
	}
	for z, e := range elements {
		if e.symbol == symbol {
			return Element(z), true
		}
	}
	return 0, false
}

func (e Element) entry() elementEntry {
	if int(e) < len(elements) {
		return elements[e]
	}
	return elementEntry{}
}

// Symbol gives the chemical symbol, "" for no element.
func (e Element) Symbol() string { return e.entry().symbol }

// Weight gives the standard atomic weight in g/mol (IUPAC 2021, abridged), 0
// for no element.
func (e Element) Weight() float64 { return e.entry().weight }

// Shares of the element in the oxide that a fertiliser label prints, computed
// from the atomic weights: P2O5 x 0.4364, K2O x 0.8302, CaO x 0.7147,
// MgO x 0.6030, SO3 x 0.4004.
const (
	PhosphorusInP2O5 = 2 * 30.974 / (2*30.974 + 5*15.999)
	PotassiumInK2O   = 2 * 39.098 / (2*39.098 + 15.999)
)
