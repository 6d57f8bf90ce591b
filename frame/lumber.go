package frame

import (
	_ "embed"
	"slices"

	"raftwright/finding"
	"raftwright/internal/table"
	"raftwright/source"
	"raftwright/unit"
)

//go:embed lumber.csv
var lumberTable string

// Values are design values of one grade and size: as tabulated before Adjust,
// as allowed after it.
type Values struct {
	Fb     unit.Pressure // bending
	Ft     unit.Pressure // tension along the grain
	Fv     unit.Pressure // shear along the grain
	FcPerp unit.Pressure // bearing across the grain
	Fc     unit.Pressure // compression along the grain
	E      unit.Pressure // modulus of elasticity, mean
	G      float64       // specific gravity, oven dry
}

// Grade is one row of the lumber table.
type Grade struct {
	Key, Species, Name string
	Width              int // nominal inches; 0: every width
	Values             Values
	SizeFactor         bool // CF of table 4A applies; else it is in the values
	Source             source.ID
}

// Lumber is a table of species and grades. The zero value knows none.
type Lumber struct {
	grades []Grade
}

// Yard is what a frame is built from: lumber by its grade, boards and liners as sold,
// screws, and the soils that it may stand on.
type Yard struct {
	Lumber
	Racks
	Liners
	Soils
	Screws
	Tubs
}

// Tables are the embedded tables.
func Tables() table.Texts {
	return table.Texts{{File: "lumber.csv", Text: lumberTable, Key: []string{"key"}}, {File: "liner.csv", Text: linerTable, Key: []string{"material"}},
		{File: "board.csv", Text: boardTable, Key: []string{"size"}}, {File: "soil.csv", Text: soilTable, Key: []string{"key"}}, {File: "screw.csv", Text: screwTable, Key: []string{"gauge"}},
		{File: "tub.csv", Text: tubTable, Key: []string{"shape", "length_in"}}}
}

// ReadYard reads tables with the columns of the embedded ones.
func ReadYard(t table.Texts) (y Yard, faults finding.Faults) {
	var each [6]finding.Faults
	y.Lumber, each[0] = ReadLumber("lumber.csv", t.Of("lumber.csv").Text)
	y.Liners, each[1] = ReadLiners("liner.csv", t.Of("liner.csv").Text)
	y.Soils, each[2] = ReadSoils("soil.csv", t.Of("soil.csv").Text)
	y.Racks, each[4] = ReadRacks("board.csv", t.Of("board.csv").Text)
	y.Screws, each[3] = ReadScrews("screw.csv", t.Of("screw.csv").Text)
	y.Tubs, each[5] = ReadTubs("tub.csv", t.Of("tub.csv").Text)
	return y, slices.Concat(each[:]...)
}

// DefaultYard gives the embedded tables.
func DefaultYard() Yard { return table.Must(ReadYard(Tables())) }

// ReadLumber reads a table with the columns of lumber.csv. It refuses southern
// pine values above those in force since June 2013: older books give 2x8 No.2
// Fb 1200 psi and E 1,600,000 psi.
func ReadLumber(file, text string) (l Lumber, _ finding.Faults) {
	faults := table.Read(file, text, func(r *table.Row) {
		g := Grade{Key: r.Need("key"), Species: r.Text("species"), Name: r.Text("grade"), Width: int(r.Maybe("width", 2, 16)),
			SizeFactor: r.Yes("size_factor"), Source: r.Source("source")}
		psi := func(column string) unit.Pressure {
			return unit.Pressure(r.Number(column, 1, 1e8)) * unit.PoundPerSquareInch
		}
		g.Values = Values{Fb: psi("fb"), Ft: psi("ft"), Fv: psi("fv"), FcPerp: psi("fc_perp"), Fc: psi("fc"), E: psi("e"), G: r.Number("g", 0.2, 1)}
		if g.Key == "southern-pine-2" {
			most := pineBending[g.Width]
			if g.Values.Fb.PoundsPerSquareInch() > most*1.001 || g.Values.E.PoundsPerSquareInch() > 1.4e6*1.001 {
				r.Wrong(FaultPine, "fb", finding.Args{"Width": g.Width, "Bending": g.Values.Fb, "Stiffness": g.Values.E, "Most": unit.Pressure(most) * unit.PoundPerSquareInch})
			}
		}
		l.grades = append(l.grades, g)
	})
	return l, faults
}

// pineBending is Fb of No.2 southern pine since June 2013 by width, psi (E is
// 1,400,000 psi). It is listed by width only.
var pineBending = map[int]float64{4: 1100, 6: 1000, 8: 925, 10: 800, 12: 750}

// Known gives the fault of a name that the table does not have, at its key.
func (l Lumber) Known(path finding.Path, key string) finding.Faults {
	if keys := l.Keys(); !slices.Contains(keys, key) {
		return finding.Faults{finding.Unknown(FaultLumber, path, key, keys)}
	}
	return nil
}

// Keys lists the names of the grades, in the order of the table.
func (l Lumber) Keys() []string {
	var keys []string
	for _, g := range l.grades {
		if !slices.Contains(keys, g.Key) {
			keys = append(keys, g.Key)
		}
	}
	return keys
}

// Grade gives the row for a key and a size, and whether there is one: the size
// must be graded dimension lumber, 2 to 4 in thick. Boards of nominal 1 in and
// timbers of 5 in and more have none here.
func (l Lumber) Grade(key string, s Size) (Grade, bool) {
	if !s.listed() || s.Thick < 2 || s.Thick > 4 {
		return Grade{}, false
	}
	for _, g := range l.grades {
		if g.Key == key && (g.Width == 0 || g.Width == max(4, s.Wide+s.Wide%2)) {
			return g, true
		}
	}
	return Grade{}, false
}

// Service is how a piece is used.
type Service struct {
	Duration float64 // load duration factor CD; water that stays is permanent: 0.9
	Wet      bool    // above 19 % moisture in use
	Incised  bool    // small slits for the preservative: most treated fir, hemlock, spruce
	Flat     bool    // loaded on the wide face
}

// PermanentLoad is the load duration factor of a load that never leaves
// (NDS 2018, table 2.3.2). NDS does not name standing water; 0.9 is the
// cautious reading, ten years (1.0) would add 11 %.
const PermanentLoad = 0.9

// wetCreep is Kcr, long-term over immediate deflection, of wet or unseasoned
// lumber (NDS 2018, 3.5.2; 1.5 when seasoned and dry).
const wetCreep = 2.0

// Factors are the adjustments of NDS 2018, 4.3.1, as applied to a grade.
type Factors struct {
	CD                 float64 // load duration: Fb, Ft, Fv, Fc
	CF, CFt, CFc       float64 // size: Fb, Ft, Fc
	Cfu                float64 // flat use: Fb
	CMb, CMv, CMp, CMc float64 // wet service: Fb, Fv, Fc perp, Fc
	CME                float64 // wet service: E
	Ci, CiE            float64 // incising: strengths, E
}

// Factors gives the adjustment factors of a grade for a size and a service:
// NDS 2018 table 4.3.1 and the factors of Supplement tables 4A and 4B. The flat use
// factors of 3 and 4 in thick lumber are from memory.
func (g Grade) Factors(s Size, c Service) Factors {
	f := Factors{CD: c.Duration, CF: 1, CFt: 1, CFc: 1, Cfu: 1, CMb: 1, CMv: 1, CMp: 1, CMc: 1, CME: 1, Ci: 1, CiE: 1}
	if f.CD == 0 {
		f.CD = 1
	}
	f.CF, f.CFt, f.CFc = sizeFactor(s, g.SizeFactor)
	if c.Flat {
		f.Cfu = flatUse(s)
	}
	if c.Wet {
		f.CMb, f.CMv, f.CMp, f.CMc, f.CME = 0.85, 0.97, 0.67, 0.8, 0.9
		if g.Values.Fb.PoundsPerSquareInch()*f.CF <= 1150+1e-9 {
			f.CMb = 1 // wet strength is the full value
		}
		if g.Values.Fc.PoundsPerSquareInch()*f.CFc <= 750+1e-9 {
			f.CMc = 1
		}
	}
	if c.Incised {
		f.Ci, f.CiE = 0.80, 0.95
	}
	return f
}

// Allowed gives the adjusted design values F' = F CD CM CF Cfu Ci.
func (g Grade) Allowed(s Size, c Service) Values {
	f, v := g.Factors(s, c), g.Values
	v.Fb *= unit.Pressure(f.CD * f.CMb * f.CF * f.Cfu * f.Ci)
	v.Ft *= unit.Pressure(f.CD * f.CFt * f.Ci)
	v.Fv *= unit.Pressure(f.CD * f.CMv * f.Ci)
	v.FcPerp *= unit.Pressure(f.CMp)
	v.Fc *= unit.Pressure(f.CD * f.CMc * f.CFc * f.Ci)
	v.E *= unit.Pressure(f.CME * f.CiE)
	return v
}

// sizeFactor gives CF for bending, tension and compression (No.2, table 4A; read in
// NELMA's grade rules, section 8, table A). A board 4 in thick and 8 in or wider is
// better in bending than a thin one, not in tension. In table 4B the factor is in
// the values, but for bending of those thick boards.
func sizeFactor(s Size, inTable4A bool) (bending, tension, compression float64) {
	if !inTable4A {
		bending, tension, compression = 1, 1, 1
	} else {
		switch {
		case s.Wide <= 4:
			return 1.5, 1.5, 1.15
		case s.Wide == 5:
			return 1.4, 1.4, 1.1
		case s.Wide == 6:
			return 1.3, 1.3, 1.1
		case s.Wide == 8:
			bending, tension, compression = 1.2, 1.2, 1.05
		case s.Wide == 10:
			bending, tension, compression = 1.1, 1.1, 1
		case s.Wide == 12:
			bending, tension, compression = 1, 1, 1
		default:
			bending, tension, compression = 0.9, 0.9, 0.9
		}
	}
	if s.Thick == 4 && s.Wide >= 8 {
		bending += 0.1
	}
	return bending, tension, compression
}

// flatUse gives Cfu, which multiplies the edgewise CF (Supplement table 4A, 4B).
func flatUse(s Size) float64 {
	row := [5]float64{1, 1.1, 1.1, 1.15, 1.2} // 2-3, 4, 5, 6-8, 10 and wider
	if s.Thick == 4 {
		row = [5]float64{1, 1, 1.05, 1.05, 1.1}
	}
	switch {
	case s.Wide <= 3:
		return row[0]
	case s.Wide == 4:
		return row[1]
	case s.Wide == 5:
		return row[2]
	case s.Wide <= 8:
		return row[3]
	}
	return row[4]
}

// Density gives the mass of the wood a volume at the given moisture content in
// percent: NDS Supplement 3.1.3 (from memory).
func (g Grade) Density(moisture float64) unit.Density {
	s := g.Values.G / (1 + g.Values.G*0.009*moisture) * (1 + moisture/100)
	return unit.Density(62.4*s) * unit.PoundPerCubicFoot
}
