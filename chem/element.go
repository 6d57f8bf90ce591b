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
	symbol, name string
	weight       float64
}

// elements holds the standard atomic weights 2021, abridged to five digits
// (Prohaska et al. 2022, Pure Appl. Chem. 94:573). Elements that have no
// standard weight (technetium, promethium, polonium and so on) are left empty.
var elements = [...]elementEntry{
	1: {"H", "hydrogen", 1.0080}, 2: {"He", "helium", 4.0026}, 3: {"Li", "lithium", 6.94}, 4: {"Be", "beryllium", 9.0122},
	5: {"B", "boron", 10.81}, 6: {"C", "carbon", 12.011}, 7: {"N", "nitrogen", 14.007}, 8: {"O", "oxygen", 15.999},
	9: {"F", "fluorine", 18.998}, 10: {"Ne", "neon", 20.180}, 11: {"Na", "sodium", 22.990}, 12: {"Mg", "magnesium", 24.305},
	13: {"Al", "aluminium", 26.982}, 14: {"Si", "silicon", 28.085}, 15: {"P", "phosphorus", 30.974}, 16: {"S", "sulfur", 32.06},
	17: {"Cl", "chlorine", 35.45}, 18: {"Ar", "argon", 39.95}, 19: {"K", "potassium", 39.098}, 20: {"Ca", "calcium", 40.078},
	21: {"Sc", "scandium", 44.956}, 22: {"Ti", "titanium", 47.867}, 23: {"V", "vanadium", 50.942}, 24: {"Cr", "chromium", 51.996},
	25: {"Mn", "manganese", 54.938}, 26: {"Fe", "iron", 55.845}, 27: {"Co", "cobalt", 58.933}, 28: {"Ni", "nickel", 58.693},
	29: {"Cu", "copper", 63.546}, 30: {"Zn", "zinc", 65.38}, 31: {"Ga", "gallium", 69.723}, 32: {"Ge", "germanium", 72.630},
	33: {"As", "arsenic", 74.922}, 34: {"Se", "selenium", 78.971}, 35: {"Br", "bromine", 79.904}, 36: {"Kr", "krypton", 83.798},
	37: {"Rb", "rubidium", 85.468}, 38: {"Sr", "strontium", 87.62}, 39: {"Y", "yttrium", 88.906}, 40: {"Zr", "zirconium", 91.224},
	41: {"Nb", "niobium", 92.906}, 42: {"Mo", "molybdenum", 95.95}, 44: {"Ru", "ruthenium", 101.07}, 45: {"Rh", "rhodium", 102.91},
	46: {"Pd", "palladium", 106.42}, 47: {"Ag", "silver", 107.87}, 48: {"Cd", "cadmium", 112.41}, 49: {"In", "indium", 114.82},
	50: {"Sn", "tin", 118.71}, 51: {"Sb", "antimony", 121.76}, 52: {"Te", "tellurium", 127.60}, 53: {"I", "iodine", 126.90},
	54: {"Xe", "xenon", 131.29}, 55: {"Cs", "caesium", 132.91}, 56: {"Ba", "barium", 137.33}, 57: {"La", "lanthanum", 138.91},
	58: {"Ce", "cerium", 140.12}, 59: {"Pr", "praseodymium", 140.91}, 60: {"Nd", "neodymium", 144.24}, 62: {"Sm", "samarium", 150.36},
	63: {"Eu", "europium", 151.96}, 64: {"Gd", "gadolinium", 157.25}, 65: {"Tb", "terbium", 158.93}, 66: {"Dy", "dysprosium", 162.50},
	67: {"Ho", "holmium", 164.93}, 68: {"Er", "erbium", 167.26}, 69: {"Tm", "thulium", 168.93}, 70: {"Yb", "ytterbium", 173.05},
	71: {"Lu", "lutetium", 174.97}, 72: {"Hf", "hafnium", 178.49}, 73: {"Ta", "tantalum", 180.95}, 74: {"W", "tungsten", 183.84},
	75: {"Re", "rhenium", 186.21}, 76: {"Os", "osmium", 190.23}, 77: {"Ir", "iridium", 192.22}, 78: {"Pt", "platinum", 195.08},
	79: {"Au", "gold", 196.97}, 80: {"Hg", "mercury", 200.59}, 81: {"Tl", "thallium", 204.38}, 82: {"Pb", "lead", 207.2},
	83: {"Bi", "bismuth", 208.98}, 90: {"Th", "thorium", 232.04}, 91: {"Pa", "protactinium", 231.04}, 92: {"U", "uranium", 238.03},
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

// String gives the chemical symbol.
func (e Element) String() string { return e.entry().symbol }

// Name gives the English name in small letters.
func (e Element) Name() string { return e.entry().name }

// Weight gives the standard atomic weight in g/mol (IUPAC 2021, abridged), 0
// for no element.
func (e Element) Weight() float64 { return e.entry().weight }

// Shares of the element in the oxide that a fertiliser label prints, computed
// from the atomic weights: P2O5 x 0.4364, K2O x 0.8302, CaO x 0.7147,
// MgO x 0.6030, SO3 x 0.4004.
const (
	PhosphorusInP2O5 = 2 * 30.974 / (2*30.974 + 5*15.999)
	PotassiumInK2O   = 2 * 39.098 / (2*39.098 + 15.999)
	CalciumInCaO     = 40.078 / (40.078 + 15.999)
	MagnesiumInMgO   = 24.305 / (24.305 + 15.999)
	SulfurInSO3      = 32.06 / (32.06 + 3*15.999)
)
