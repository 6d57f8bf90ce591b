package plan

import (
	"slices"
	"strings"

	"raftwright/brief"
	"raftwright/finding"
	"raftwright/mix"
	"raftwright/source"
	"raftwright/unit"
	"raftwright/water"
)

var waterKinds = map[brief.WaterKind]water.Kind{brief.RainWater: water.Rain, brief.SoftWater: water.Soft, brief.HardWater: water.Hard}

// nameKind puts the kind of water that the brief names into its test.
func (m *maker) nameKind(t *water.Test) {
	k := m.Brief.Water.Kind
	if !k.Given {
		return
	}
	kind := waterKinds[k.Value]
	t.Kind = &kind
}

// mixWater gives the water to the mix, without any acid.
func (m *maker) mixWater() mix.Water {
	var out mix.Water
	if w := m.Water; w != nil {
		out.Ions = w.Solution.Totals
		out.Traces[mix.Manganese], out.Traces[mix.Zinc] = w.Traces.Manganese, w.Traces.Zinc
		out.Traces[mix.Copper], out.Traces[mix.Molybdenum] = w.Traces.Copper, w.Traces.Molybdenum
	}
	return out
}

// readShelf reads what can be bought, the usual things where nothing was named.
func (m *maker) readShelf() {
	for i := range m.Brief.Shelf {
		m.Shelf = append(m.Shelf, m.product(i))
		if !m.Brief.Shelf[i].Filed {
			m.listed++
		}
	}
	if len(m.Brief.Shelf) > 0 {
		return
	}
	for _, name := range usualShelf {
		if material, ok := m.book.Library.Material(name); ok {
			m.Shelf = append(m.Shelf, material)
		}
	}
	m.assume(finding.Assumption{ID: AssumeShelf, Source: source.CommonPractice})
}

// weighed puts the spoons that the grower weighed into a material.
func (m *maker) weighed(out mix.Material, p brief.Product) mix.Material {
	var each []unit.Mass
	for _, f := range p.EachSpoon {
		if f.Given {
			each = append(each, f.Value)
		}
	}
	const ten = 10
	var faults finding.Faults
	switch {
	case len(each) > 0:
		out, faults = out.WeighSpoons(out.Path.Key("spoon weights"), len(each), 0, each)
	case p.TenSpoons.Given:
		out, faults = out.WeighSpoons(out.Path.Key("ten spoons"), ten, p.TenSpoons.Value, nil)
	}
	m.wrong(faults...)
	return out
}

// limits reads what must be reached and what must not be passed.
func (m *maker) limits(b brief.Target) []mix.Limit {
	var out []mix.Limit
	read := func(at finding.Path, list brief.Limits, set func(*mix.Limit, unit.MassConcentration)) {
		for _, e := range list.Each() {
			n, ok := mix.NutrientOf(e.Name)
			if !ok {
				continue
			}
			level, faults := levelOf(at.Key(e.Name), n, e.Value)
			m.wrong(faults...)
			i := slices.IndexFunc(out, func(l mix.Limit) bool { return l.Nutrient == n })
			if i < 0 {
				i, out = len(out), append(out, mix.Limit{Nutrient: n, Source: source.Given})
			}
			set(&out[i], level)
		}
	}
	read("target.least", b.Least, func(l *mix.Limit, c unit.MassConcentration) { l.Least = c })
	read("target.most", b.Most, func(l *mix.Limit, c unit.MassConcentration) { l.Most, l.MostGiven = c, true })
	return out
}

// portions reads amounts of products by name: those on the shelf, else those of
// the library. Spoons of a powder are level; a volume of a liquid is poured.
func (m *maker) portions(at finding.Path, t brief.Table[brief.Amount]) []mix.Portion {
	var out []mix.Portion
	for _, e := range t {
		if !e.Given {
			continue
		}
		path := at.Key(e.Name)
		material, ok := m.named(e.Name)
		if !ok {
			names := m.book.Library.Names()
			for _, p := range m.Shelf {
				names = append(names, p.Name)
			}
			m.wrong(finding.Unknown(FaultAmountOf, path, e.Name, names))
			continue
		}
		if material.Path == "" {
			material.Path = path
		}
		p := mix.Portion{Path: path, Material: material, Mass: e.Value.Mass}
		switch v := e.Value.Volume; {
		case v > 0 && material.Density > 0:
			p.Liquid = v
		case v > 0:
			p.Spoons = float64(v / unit.Teaspoon)
		}
		out = append(out, p)
	}
	return out
}

// named finds a product by name: on the shelf, then in the library.
func (m *maker) named(name string) (mix.Material, bool) {
	for _, p := range m.Shelf {
		if strings.EqualFold(p.Name, name) {
			return p, true
		}
	}
	return m.book.Library.Material(name)
}
