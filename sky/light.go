package sky

import (
	"raftwright/finding"
	"raftwright/unit"
)

// MolesPerMegajoule is the photosynthetic light in a megajoule of sunlight, mol:
// 0.007265 mol/Wh is 2.018 (Faust & Logan 2018); 2.02 ± 4 %, of which cloud
// raises the share.
const MolesPerMegajoule = 2.02

// LightOf gives the daily light of a day's radiation in the open.
func LightOf(r unit.DailyRadiation) unit.DailyLight {
	return unit.DailyLight(MolesPerMegajoule * r.Megajoules())
}

// Cover is what stands between the sky and the plants.
type Cover string

// Covers of a bed.
const (
	Open       Cover = "open"
	Shade      Cover = "shade" // cloth, trees, a porch
	Tunnel     Cover = "tunnel"
	Greenhouse Cover = "greenhouse"
)

// Covers lists the covers in the order of the brief.
func Covers() []Cover { return []Cover{Open, Shade, Tunnel, Greenhouse} }

// Screen is what a cover does to light, warmth and thirst.
type Screen struct {
	Light   unit.Fraction        // of outdoor light that passes
	Day     unit.TemperatureStep // added to the daily maximum
	Night   unit.TemperatureStep // added to the daily minimum
	Thirst  unit.Fraction        // of outdoor reference evapotranspiration
	Wind    unit.Fraction        // of outdoor wind
	Covered bool                 // a roof keeps the rain off and hides the sky
}

// Assumptions about covers.
const (
	AssumeCoverLight finding.ID = "sky.cover_light"
	AssumeCoverWarm  finding.ID = "sky.cover_warmth"
)

// Screen gives what a cover does. Light is the grower's own share of outdoor
// light that reaches the plants, through everything; 0 is not given, and the
// middle of the teaching texts' range is taken: low tunnel 0.80 to 0.90, film
// and glass houses 0.50 to 0.75, half shade. Warmth 1 to 2 °C at night under
// cover; the rest is own judgement. Thirst in a house 0.65 (amiri2018).
func (c Cover) Screen(light unit.Fraction) (Screen, []finding.Assumption) {
	s := Screen{Light: 1, Thirst: 1, Wind: 1}
	switch c {
	case Shade:
		s = Screen{Light: 0.5, Thirst: 0.7, Wind: 0.7}
	case Tunnel:
		s = Screen{Light: 0.85, Day: 3, Night: 1, Thirst: 0.8, Wind: 0.3, Covered: true}
	case Greenhouse:
		s = Screen{Light: 0.65, Day: 4, Night: 2, Thirst: 0.65, Wind: 0.15, Covered: true}
	}
	var assumed []finding.Assumption
	if c == Tunnel || c == Greenhouse {
		assumed = append(assumed, finding.Assumption{ID: AssumeCoverWarm, Source: "own",
			Args: finding.Args{"Cover": c.Word(), "Day": s.Day, "Night": s.Night}})
	}
	if light > 0 {
		if c == Shade { // what shades the light shades the drying too
			s.Thirst = 0.4 + 0.6*light
		}
		s.Light = light
		return s, assumed
	}
	if c != Open && c != "" {
		assumed = append(assumed, finding.Assumption{ID: AssumeCoverLight, Source: "covers",
			Args: finding.Args{"Cover": c.Word(), "Light": s.Light}})
	}
	return s, assumed
}

// Word is the cover's name for translation.
func (c Cover) Word() finding.Word {
	if c == "" {
		c = Open
	}
	return finding.Word("sky.cover." + string(c))
}

// Under gives the daily light under a screen.
func (s Screen) Under(open unit.DailyLight) unit.DailyLight { return open * unit.DailyLight(s.Light) }

// Lamp gives the daily light of lamps: PPFD times hours (definition).
func Lamp(level unit.PhotonFlux, on unit.Duration) unit.DailyLight {
	return unit.DailyLight(float64(level) * float64(on))
}

// LampHours gives how long lamps of a level must burn to add so much light, and
// the energy for an area with lamps of an efficacy in mol a joule (a good lamp:
// 2.5e-6, memory). Without a level or an efficacy both are 0.
func LampHours(add unit.DailyLight, level unit.PhotonFlux, area unit.Area, molesPerJoule float64) (unit.Duration, unit.Energy) {
	if add <= 0 || level <= 0 || molesPerJoule <= 0 {
		return 0, 0
	}
	return unit.Duration(float64(add) / float64(level)), unit.Energy(float64(add) * area.SquareMetres() / molesPerJoule)
}

// ShadeFor gives the shade cloth (its nominal share of light taken) that brings
// a day's light down to a ceiling; 0 when none is needed.
func ShadeFor(light, ceiling unit.DailyLight) unit.Fraction {
	if light <= ceiling || light <= 0 {
		return 0
	}
	return unit.Fraction(1 - float64(ceiling)/float64(light))
}
