package brief

import "raftwright/unit"

// Water is a test of the fill water. A reading carries the form it is counted
// as, where one was written ("40 mg/L NO3"); without one it is counted as the
// key says.
type Water struct {
	Section
	Name Field[string]    `key:"name" eg:"well"`
	Kind Field[WaterKind] `key:"kind" words:"rain|soft|hard" eg:"rain"`
	Test
}

// Test is what a laboratory or a kit found in a water or a solution.
type Test struct {
	PH          Field[float64]                `key:"ph" range:"1..13.5" eg:"7.6" else:"water.ph_balance"`
	EC          Field[unit.Conductivity]      `key:"ec" range:"0 mS/cm..100 mS/cm" eg:"0.50 mS/cm" else:"water.typical_ec"`
	Temperature Field[unit.Temperature]       `key:"temperature" range:"-2 C..50 C" eg:"77 F" si:"25 C" else:"water.temperature"`
	TDS         Field[unit.MassConcentration] `key:"tds" range:"0 mg/L..100 g/L" eg:"320 mg/L"`
	Analytes
}

// Analytes are the figures of a water test; each may be a range, as towns print
// them ("40-60 mg/L").
type Analytes struct {
	Alkalinity   Field[unit.Reading] `key:"alkalinity" range:"0..100000" span:"yes" forms:"CaCO3|HCO3|CO3" eg:"215 mg/L CaCO3" else:"water.alkalinity_balance"`
	Bicarbonate  Field[unit.Reading] `key:"bicarbonate" range:"0..100000" span:"yes" forms:"HCO3|CaCO3" eg:"262 mg/L HCO3"`
	Carbonate    Field[unit.Reading] `key:"carbonate" range:"0..100000" span:"yes" forms:"CO3|CaCO3" eg:"0 mg/L CO3"`
	Hardness     Field[unit.Reading] `key:"hardness" range:"0..100000" span:"yes" forms:"CaCO3|CaO|Ca" eg:"240 mg/L CaCO3" else:"water.lime"`
	Calcium      Field[unit.Reading] `key:"calcium" range:"0..100000" span:"yes" forms:"Ca|CaO|CaCO3" eg:"78 mg/L" else:"water.hardness_split"`
	Magnesium    Field[unit.Reading] `key:"magnesium" range:"0..100000" span:"yes" forms:"Mg|MgO|CaCO3|MgCO3" eg:"11 mg/L"`
	Sodium       Field[unit.Reading] `key:"sodium" range:"0..100000" span:"yes" forms:"Na|Na2O|NaCl" eg:"9 mg/L"`
	Potassium    Field[unit.Reading] `key:"potassium" range:"0..100000" span:"yes" forms:"K|K2O" eg:"1 mg/L"`
	Chloride     Field[unit.Reading] `key:"chloride" range:"0..100000" span:"yes" forms:"Cl|NaCl" eg:"14 mg/L"`
	Sulfate      Field[unit.Reading] `key:"sulfate" range:"0..100000" span:"yes" forms:"SO4|S|SO4-S|SO3" eg:"20 mg/L"`
	Nitrate      Field[unit.Reading] `key:"nitrate-n" range:"0..100000" span:"yes" forms:"N|NO3|NO3-N|N-NO3" eg:"1 mg/L"`
	Ammonium     Field[unit.Reading] `key:"ammonium-n" range:"0..100000" span:"yes" forms:"N|NH4|NH3|NH4-N|NH3-N|N-NH4" eg:"0 mg/L"`
	Phosphorus   Field[unit.Reading] `key:"phosphorus" range:"0..100000" span:"yes" meq:"no" forms:"P|PO4|P2O5|PO4-P|H2PO4|HPO4" eg:"0 mg/L"`
	Iron         Field[unit.Reading] `key:"iron" range:"0..100000" span:"yes" forms:"Fe" eg:"0.1 mg/L"`
	Manganese    Field[unit.Reading] `key:"manganese" range:"0..100000" span:"yes" forms:"Mn" eg:"0 mg/L"`
	Zinc         Field[unit.Reading] `key:"zinc" range:"0..100000" span:"yes" forms:"Zn" eg:"0 mg/L"`
	Copper       Field[unit.Reading] `key:"copper" range:"0..100000" span:"yes" forms:"Cu" eg:"0 mg/L"`
	Boron        Field[unit.Reading] `key:"boron" range:"0..100000" span:"yes" meq:"no" forms:"B|H3BO3|BO3|B2O3" eg:"0 mg/L"`
	Molybdenum   Field[unit.Reading] `key:"molybdenum" range:"0..100000" span:"yes" forms:"Mo|MoO4" eg:"0 mg/L"`
	Fluoride     Field[unit.Reading] `key:"fluoride" range:"0..100000" span:"yes" forms:"F" eg:"0 mg/L"`
	Silicon      Field[unit.Reading] `key:"silicon" range:"0..100000" span:"yes" meq:"no" forms:"Si|SiO2|H4SiO4" eg:"0 mg/L"`
	FreeChlorine Field[unit.Reading] `key:"free chlorine" called:"chlorine|cl2" range:"0..1000" span:"yes" meq:"no" forms:"Cl2|Cl" eg:"0 mg/L"`
	Chloramine   Field[unit.Reading] `key:"chloramine" range:"0..1000" span:"yes" meq:"no" forms:"Cl2|Cl|NH2Cl" eg:"0 mg/L"`
}

// AcidName is the kind of acid.
type AcidName string

// Acids.
const (
	Sulfuric   AcidName = "sulfuric"
	Nitric     AcidName = "nitric"
	Phosphoric AcidName = "phosphoric"
	Citric     AcidName = "citric"
	NoAcid     AcidName = "none" // none is wanted
)

// AcidProduct is an acid as sold: its kind and its strength by mass. A strength
// of 0 was not said, which only citric acid allows (it is sold as crystals), and none.
type AcidProduct struct {
	Name     AcidName
	Strength unit.Fraction
}

// Air says whether the solution may exchange carbon dioxide with the air.
type Air string

// Air.
const (
	ClosedAir Air = "closed"
	OpenAir   Air = "open" // CO2 at 420 ppm
)

// Acid is the acid for the fill water.
type Acid struct {
	Section
	Product  Field[AcidProduct] `key:"product" words:"sulfuric|nitric|phosphoric|citric|none" range:">0 %..100 %" eg:"sulfuric 93 %" else:"plan.acid_product"`
	Label    Field[Grade]       `key:"label" called:"grade|npk|analysis" eg:"0-31-0"`
	Dose     Field[Dose]        `key:"dose" range:"0..100000" moles:"yes" eg:"0.87 mmol/L"`
	TargetPH Field[float64]     `key:"target ph" range:"2..12" eg:"5.8" else:"plan.acid_target"`
	Air      Field[Air]         `key:"air" words:"closed|open" eg:"closed" else:"plan.acid_closed"`
}

// Grade is the label of a fertilizer: shares of mass of N, P2O5 and K2O.
type Grade struct{ N, P2O5, K2O unit.Fraction }

// Amount is a quantity of a product, by mass or by volume; the other one is 0.
type Amount struct {
	Mass   unit.Mass
	Volume unit.Volume
}

// Dose is how much of a product or an acid each litre of water gets: a mass, a
// volume, or moles of the acid; the other two are 0.
type Dose struct {
	Mass   unit.MassConcentration
	Volume unit.Fraction
	Moles  unit.MolarConcentration
}

// Chelate is what an iron (or other micronutrient) is bound to.
type Chelate string

// Chelates.
const (
	NoChelate Chelate = "none"
	EDTA      Chelate = "EDTA"
	DTPA      Chelate = "DTPA"
	EDDHA     Chelate = "EDDHA"
	HEDTA     Chelate = "HEDTA"
)

// Product is something that can be bought: its label or its formula. One that has
// only a name is looked up in the library of the mix; the caller tells the fault
// when it is not there. One without a name is called by its grade or formula, and
// a name that is a grade ("20-20-20") is one.
type Product struct {
	Section
	Name    Field[string]        `key:"name" eg:"complete fertilizer"`
	Label   Field[Grade]         `key:"label" called:"grade|npk|analysis" eg:"20-20-20" else:"mix.assume_grade"`
	Formula Field[string]        `key:"formula" eg:"MgSO4.7H2O"`
	Purity  Field[unit.Fraction] `key:"purity" range:">0 %..100 %" eg:"98 %" else:"mix.assume_pure"`
	Contents
	Chelate       Field[Chelate]                `key:"chelate" words:"EDTA|DTPA|EDDHA|HEDTA|none" eg:"EDTA" else:"mix.assume_chelated"`
	Density       Field[unit.Density]           `key:"density" range:"0.5 g/mL..3 g/mL" eg:"1.3 g/mL"`
	BulkDensity   Field[unit.Density]           `key:"bulk density" range:"0.1 g/mL..3 g/mL" eg:"0.95 g/mL"`
	LevelTeaspoon Field[unit.Mass]              `key:"level teaspoon" range:">0 g..50 g" eg:"4.7 g" else:"mix.assume_teaspoon|mix.assume_teaspoon_kin"`
	TenSpoons     Field[unit.Mass]              `key:"ten spoons" range:"1 g..500 g" eg:"47 g"`
	EachSpoon     []Field[unit.Mass]            `key:"spoon weights" max:"100" range:"0.1 g..50 g" eg:"[4.6 g, 4.8 g, 4.7 g]"`
	Solubility    Field[unit.MassConcentration] `key:"solubility" range:">0 g/L..5000 g/L" eg:"300 g/L"`
	Pack          Field[Amount]                 `key:"pack" range:">0..100000" eg:"25 lb" si:"10 kg"`
	Price         Field[Price]                  `key:"price" eg:"48 USD"`
	Limit         Field[unit.MassConcentration] `key:"limit" range:">0 g/L..1000 g/L" eg:"2 g/L"`

	Filed bool // it stands in the shelf file, not in the brief
}

// Contents are shares of mass printed on a label beside its three numbers; the
// elements, not their oxides.
type Contents struct {
	Nitrate    Field[unit.Fraction] `key:"nitrate-n" range:"0 %..100 %" eg:"6.0 %" else:"mix.assume_split"`
	Ammonium   Field[unit.Fraction] `key:"ammonium-n" range:"0 %..100 %" eg:"3.9 %"`
	Urea       Field[unit.Fraction] `key:"urea-n" range:"0 %..100 %" eg:"10.1 %"`
	Organic    Field[unit.Fraction] `key:"organic-n" called:"water insoluble nitrogen|insoluble nitrogen|protein nitrogen" range:"0 %..100 %" eg:"0 %"`
	Phosphorus Field[unit.Fraction] `key:"phosphorus" range:"0 %..100 %" eg:"8.7 %"`
	Potassium  Field[unit.Fraction] `key:"potassium" range:"0 %..100 %" eg:"16.6 %"`
	Calcium    Field[unit.Fraction] `key:"calcium" range:"0 %..100 %" eg:"19 %"`
	Magnesium  Field[unit.Fraction] `key:"magnesium" range:"0 %..100 %" eg:"0 %"`
	Sulfur     Field[unit.Fraction] `key:"sulfur" range:"0 %..100 %" eg:"0 %"`
	Sodium     Field[unit.Fraction] `key:"sodium" range:"0 %..100 %" eg:"0 %"`
	Chloride   Field[unit.Fraction] `key:"chloride" range:"0 %..100 %" eg:"0 %"`
	Iron       Field[unit.Fraction] `key:"iron" range:"0 %..100 %" eg:"0.10 %"`
	Chelated   Field[unit.Fraction] `key:"chelated iron" range:"0 %..100 %" eg:"0.08 %"`
	Manganese  Field[unit.Fraction] `key:"manganese" range:"0 %..100 %" eg:"0.05 %"`
	Zinc       Field[unit.Fraction] `key:"zinc" range:"0 %..100 %" eg:"0.05 %"`
	Copper     Field[unit.Fraction] `key:"copper" range:"0 %..100 %" eg:"0.05 %"`
	Boron      Field[unit.Fraction] `key:"boron" range:"0 %..100 %" eg:"0.02 %"`
	Molybdenum Field[unit.Fraction] `key:"molybdenum" range:"0 %..100 %" eg:"0.0005 %"`
	Silicon    Field[unit.Fraction] `key:"silicon" range:"0 %..100 %" eg:"0 %"`
}

// Stage is the age of the plants that a solution is for.
type Stage string

// Stages.
const (
	Nursery Stage = "nursery"
	OnRaft  Stage = "raft"
)

// Target is what the solution shall hold: a recipe of the catalogue, or figures
// by element. A figure beside a recipe replaces the recipe's.
type Target struct {
	Section
	Recipe   Field[string]            `key:"recipe" eg:"lettuce" first:"yes" else:"plan.recipe|mix.assume_target"`
	Stage    Field[Stage]             `key:"stage" words:"nursery|raft" eg:"nursery" else:"plan.nursery"`
	Strength Field[unit.Fraction]     `key:"strength" range:">0 %..1000 %" eg:"50 %"`
	EC       Field[unit.Conductivity] `key:"ec" range:">0 mS/cm..20 mS/cm" eg:"1.6 mS/cm"`
	Figures
	Weights Weights `key:"weights" eg:"{potassium: 2}"`
	Least   Limits  `key:"least" like:"target" eg:"{calcium: 60 mg/L}"`
	Most    Limits  `key:"most" like:"target" eg:"{sodium: 40 mg/L}"`
}

// Figures are strengths of a nutrient solution by element.
type Figures struct {
	Nitrogen   Field[unit.Reading] `key:"nitrogen" range:"0..10000" meq:"no" forms:"N" eg:"150 mg/L"`
	Nitrate    Field[unit.Reading] `key:"nitrate-n" range:"0..10000" forms:"N|NO3|NO3-N" eg:"130 mg/L"`
	Ammonium   Field[unit.Reading] `key:"ammonium-n" range:"0..10000" forms:"N|NH4|NH4-N" eg:"10 mg/L"`
	Urea       Field[unit.Reading] `key:"urea-n" range:"0..10000" meq:"no" forms:"N" eg:"0 mg/L"`
	Phosphorus Field[unit.Reading] `key:"phosphorus" range:"0..10000" meq:"no" forms:"P|PO4|P2O5|PO4-P|H2PO4" eg:"31 mg/L"`
	Potassium  Field[unit.Reading] `key:"potassium" range:"0..10000" forms:"K|K2O" eg:"210 mg/L"`
	Calcium    Field[unit.Reading] `key:"calcium" range:"0..10000" forms:"Ca|CaO" eg:"90 mg/L"`
	Magnesium  Field[unit.Reading] `key:"magnesium" range:"0..10000" forms:"Mg|MgO" eg:"24 mg/L"`
	Sulfur     Field[unit.Reading] `key:"sulfur" range:"0..10000" meq:"no" forms:"S" eg:"32 mg/L"`
	Chloride   Field[unit.Reading] `key:"chloride" range:"0..10000" forms:"Cl" eg:"0 mg/L"`
	Sodium     Field[unit.Reading] `key:"sodium" range:"0..10000" forms:"Na" eg:"0 mg/L"`
	Iron       Field[unit.Reading] `key:"iron" range:"0..10000" forms:"Fe" eg:"1 mg/L"`
	Manganese  Field[unit.Reading] `key:"manganese" range:"0..10000" forms:"Mn" eg:"0.25 mg/L"`
	Zinc       Field[unit.Reading] `key:"zinc" range:"0..10000" forms:"Zn" eg:"0.13 mg/L"`
	Copper     Field[unit.Reading] `key:"copper" range:"0..10000" forms:"Cu" eg:"0.02 mg/L"`
	Boron      Field[unit.Reading] `key:"boron" range:"0..10000" meq:"no" forms:"B" eg:"0.16 mg/L"`
	Molybdenum Field[unit.Reading] `key:"molybdenum" range:"0..10000" forms:"Mo" eg:"0.02 mg/L"`
	Silicon    Field[unit.Reading] `key:"silicon" range:"0..10000" meq:"no" forms:"Si|SiO2" eg:"0 mg/L"`
}

// Weights say how much a miss in each element matters.
type Weights struct {
	Section
	Nitrogen   Field[float64] `key:"nitrogen" range:"0..1000" eg:"1"`
	Nitrate    Field[float64] `key:"nitrate-n" range:"0..1000" eg:"1"`
	Ammonium   Field[float64] `key:"ammonium-n" range:"0..1000" eg:"1"`
	Urea       Field[float64] `key:"urea-n" range:"0..1000" eg:"1"`
	Phosphorus Field[float64] `key:"phosphorus" range:"0..1000" eg:"1"`
	Potassium  Field[float64] `key:"potassium" range:"0..1000" eg:"2"`
	Calcium    Field[float64] `key:"calcium" range:"0..1000" eg:"1"`
	Magnesium  Field[float64] `key:"magnesium" range:"0..1000" eg:"1"`
	Sulfur     Field[float64] `key:"sulfur" range:"0..1000" eg:"1"`
	Chloride   Field[float64] `key:"chloride" range:"0..1000" eg:"1"`
	Sodium     Field[float64] `key:"sodium" range:"0..1000" eg:"1"`
	Iron       Field[float64] `key:"iron" range:"0..1000" eg:"0.1"`
	Manganese  Field[float64] `key:"manganese" range:"0..1000" eg:"0.001"`
	Zinc       Field[float64] `key:"zinc" range:"0..1000" eg:"0.001"`
	Copper     Field[float64] `key:"copper" range:"0..1000" eg:"0.001"`
	Boron      Field[float64] `key:"boron" range:"0..1000" eg:"0.001"`
	Molybdenum Field[float64] `key:"molybdenum" range:"0..1000" eg:"0.001"`
	Silicon    Field[float64] `key:"silicon" range:"0..1000" eg:"1"`
}

// Measure is what the grower weighs with: a scale that shows steps, or level
// spoons down to a quarter teaspoon, or opens whole packs for the whole bed.
type Measure struct {
	Spoons bool
	Packs  bool
	Step   unit.Mass // of the scale; 0 for spoons and packs
}

// Ratio is the strength of a concentrate: 100 means one part in a hundred.
type Ratio float64

// Mix is how the solution is made.
type Mix struct {
	Section
	Bucket       Field[unit.Volume] `key:"bucket" range:"0.1 L..1000 L" eg:"5 gal" si:"20 L" else:"mix.assume_bucket|frame.assume_bucket"`
	Measure      Field[Measure]     `key:"measure" range:"0.001 g..1 kg" eg:"scale 1 g" else:"plan.measure|mix.assume_exact"`
	Stock        Stock              `key:"stock"`
	Doses        Table[Dose]        `key:"doses" max:"50" range:"0..100000" eg:"0.37 g/L"`
	MostProducts Field[int]         `key:"most products" range:"1..30" eg:"4"`
	Budget       Field[Price]       `key:"budget" eg:"1.50 USD"`
}

// Stock is a pair of concentrate tanks.
type Stock struct {
	Section
	Volume Field[unit.Volume] `key:"volume" range:"0.1 L..10000 L" eg:"5 gal" si:"20 L"`
	Ratio  Field[Ratio]       `key:"ratio" range:"2..2000" eg:"100"`
}
