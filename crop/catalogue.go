package crop

import (
	_ "embed"
	"strings"
	"sync"

	"raftwright/finding"
	"raftwright/internal/table"
	"raftwright/unit"
)

//go:embed crops.csv
var cropsText string

//go:embed kc.csv
var waterText string

//go:embed emergence.csv
var emergenceText string

// Faults of a table of crops.
const (
	FaultOrder finding.ID = "crop.fault.order" // a least above its most
	FaultGroup finding.ID = "crop.fault.group" // no row of the table of coefficients
	FaultFit   finding.ID = "crop.fault.fit"   // a lettuce without its factor
)

// Catalogue is a list of crops, in the order of its table. The zero value is
// empty; Default gives the embedded one.
type Catalogue struct {
	crops    []Crop
	index    map[string]int // every key and alias, in plain form
	families map[string]string
}

// Tables are the embedded tables.
func Tables() table.Texts {
	return table.Texts{{File: "crops.csv", Text: cropsText, Key: []string{"id"}}, {File: "kc.csv", Text: waterText, Key: []string{"crop"}}, {File: "emergence.csv", Text: emergenceText, Key: []string{"group"}}}
}

// embedded is read once: the embedded tables never change, and the factors that
// they leave open take time to fit.
var embedded = sync.OnceValue(func() Catalogue { return table.Must(ReadCatalogue(Tables())) })

// Default gives the embedded catalogue of 25 crops.
func Default() Catalogue { return embedded() }

// ReadCatalogue reads tables with the columns of the embedded ones.
func ReadCatalogue(t table.Texts) (Catalogue, finding.Faults) {
	f, faults := ReadFactors(t.Of("kc.csv").Text, t.Of("emergence.csv").Text)
	c, more := Read("crops.csv", t.Of("crops.csv").Text, f)
	return c, append(faults, more...)
}

// Crops lists the crops in the order of the table.
func (c Catalogue) Crops() []Crop { return c.crops }

func newCatalogue(crops []Crop) Catalogue {
	c := Catalogue{crops: crops, index: map[string]int{}, families: families(crops)}
	for i, k := range crops {
		for _, name := range append([]string{k.ID, k.Name}, k.Aliases...) {
			if _, taken := c.index[plain(name)]; !taken {
				c.index[plain(name)] = i
			}
		}
	}
	return c
}

// Factors are what crops take by the name of a group from the tables of
// coefficients of water use and of days to emergence.
type Factors struct {
	water     map[string]Coefficients
	emergence map[string]*emergenceRow
}

// ReadFactors reads tables with the columns of kc.csv and emergence.csv.
func ReadFactors(water, emergence string) (Factors, finding.Faults) {
	f := Factors{water: map[string]Coefficients{}, emergence: map[string]*emergenceRow{}}
	faults := table.Read("kc.csv", water, func(r *table.Row) {
		k := func(column string) float64 { return r.Number(column, 0, 3) }
		name := r.Text("crop")
		f.water[name] = Coefficients{Group: name, Start: k("kc_start"), Full: k("kc_full"), End: k("kc_end"),
			BasalStart: k("kcb_start"), BasalFull: k("kcb_full"), BasalEnd: k("kcb_end")}
	})
	return f, append(faults, table.Read("emergence.csv", emergence, f.readEmergence)...)
}

// Read reads a table of crops in the layout of the embedded crops.csv.
func Read(file, text string, f Factors) (Catalogue, finding.Faults) {
	crops, faults := asWritten(file, text, f)
	if faults == nil { // a sound table only: fitting takes time
		for i := range crops {
			crops[i].Growth.fit(crops[i])
		}
	}
	return newCatalogue(crops), faults
}

// asWritten reads the crops of a table, none of them fitted.
func asWritten(file, text string, f Factors) (crops []Crop, _ finding.Faults) {
	faults := table.Read(file, text, func(r *table.Row) { crops = append(crops, row{r}.crop(f)) })
	return crops, faults
}

// row reads one crop.
type row struct{ *table.Row }

// number gives a figure, 0 where there is none.
func (r row) number(name string) float64 { return r.Maybe(name, -1e6, 1e6) }

// span reads name_min and name_max and brings them to SI.
func span[T ~float64](r row, name string, one T) Range[T] {
	return between(r, name+"_min", name+"_max", one)
}

func between[T ~float64](r row, least, most string, one T) Range[T] {
	s := Range[T]{T(r.number(least)) * one, T(r.number(most)) * one}
	if s.Min > s.Max {
		r.Wrong(FaultOrder, least, finding.Args{"Name": least, "Other": most})
	}
	return s
}

func (r row) crop(f Factors) Crop {
	k := Crop{
		ID: r.Need("id"), Name: r.Text("name"), Species: r.Text("species"), Rating: int(r.number("raft_rating")),
		Spacing: span(r, "spacing_in", unit.Inch), Plants: span(r, "plants_m2", Density(1)),
		Nursery: span(r, "nursery_d", unit.Day), Raft: span(r, "raft_d", unit.Day),
		EC: span(r, "ec_dS_m", unit.MillisiemensPerCentimetre), PH: span(r, "ph", 1.0),
		AirBest: span(r, "air_best_C", unit.Temperature(1)), AirLimit: span(r, "air_limit_C", unit.Temperature(1)),
		FrostKill: unit.Temperature(r.number("frost_kill_C")), Chills: r.Text("chill_C") != "", Chill: unit.Temperature(r.number("chill_C")),
		RootBest: span(r, "root_best_C", unit.Temperature(1)), RootUpper: unit.Temperature(r.number("root_upper_C")),
		HeatLimit: unit.Temperature(r.number("heat_limit_C")),
		Light:     between(r, "dli_least_mol", "dli_target_mol", unit.DailyLight(1)), Mass: span(r, "mass_g", unit.Gram),
		Storage: Storage{At: span(r, "store_C", unit.Temperature(1)), For: span(r, "store_d", unit.Day)},
		LongDay: r.Yes("long_day"), Tipburn: Tipburn(r.Text("tipburn")), Week: unit.Mass(r.Number("week_g", 1, 1e5)) * unit.Gram,
		Together: int(r.Number("plants_hole", 1, 100)),
	}
	r.Number("plants_m2_min", 0.01, 10000) // without these nothing grows
	r.Number("mass_g_min", 0.01, 1e5)
	r.Number("raft_d_min", 1, 1000)
	r.Number("raft_d_max", 1, 1000)
	r.Word("tipburn", string(NoTipburn), string(SlowTipburn), string(UsualTipburn), string(EasyTipburn))
	k.Rise = k.AirBest.Max
	if r.Text("rise_C") != "" {
		k.Rise = unit.Temperature(r.number("rise_C"))
	}
	if a := r.Text("aliases"); a != "" {
		k.Aliases = strings.Split(a, ";")
	}
	if r.Text("germ_C_best") != "" {
		k.Germination = Germination{
			Given: true, Min: unit.Temperature(r.number("germ_C_min")), Best: unit.Temperature(r.number("germ_C_best")),
			Max: unit.Temperature(r.number("germ_C_max")), AtBest: unit.Duration(r.number("emerge_d")) * unit.Day,
			Sold: unit.Fraction(r.Number("seed_sold_pct", 1, 100) / 100), row: f.emergence[r.Text("emergence")],
		}
	}
	water, ok := f.water[r.Text("kc")]
	if !ok {
		r.Wrong(FaultGroup, "kc", finding.Args{"Name": r.Text("kc")})
	}
	k.Water = water
	k.Cited = Cited{
		Spacing: r.Sources("src_spacing"), Nursery: r.Sources("src_nursery"), Raft: r.Sources("src_raft"), EC: r.Sources("src_ec"),
		PH: r.Sources("src_ph"), Air: r.Sources("src_air"), Frost: r.Sources("src_frost"), Root: r.Sources("src_root"), Light: r.Sources("src_dli"),
		Mass: r.Sources("src_mass"), Heat: r.Sources("src_heat"), Germination: r.Sources("src_germ"), Seed: r.Sources("src_seed"), Storage: r.Sources("src_store"),
	}
	k.Growth = Growth{
		Model: Model(r.Text("model")), Factor: r.Maybe("factor", 1e-6, 1e3), Base: unit.Temperature(r.number("base_C")),
		DryMatter: unit.Fraction(r.Number("dry_g_kg", 1, 999) / 1000), Shoot: shootShare,
	}
	r.Word("model", string(TwoState), string(Expolinear))
	if k.Growth.Model == TwoState && k.Growth.Factor == 0 {
		r.Wrong(FaultFit, "factor", nil)
	}
	return k
}

// fit works out what the table leaves open.
func (g *Growth) fit(k Crop) {
	g.Seedling = seedling(k)
	if g.Model == Expolinear && g.Factor == 0 {
		k.Growth.Seedling = g.Seedling
		g.Factor = fitExpolinear(k)
	}
}
