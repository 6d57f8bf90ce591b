package sky

import (
	"raftwright/finding"
	"raftwright/source"
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

// Screen gives what a cover does. Light is the share of the open sky's light
// that the surroundings leave (trees, walls, cloth); 0 is not given and means
// all of it, under shade half. Film and glass pass the middle of the teaching
// texts' range on top of that: low tunnel 0.80 to 0.90, houses 0.50 to 0.75.
// Warmth 1 to 2 °C at night under cover; the rest is own judgement. Thirst in a
// house 0.65 (amiri2018).
func (c Cover) Screen(light unit.Fraction) (Screen, []finding.Assumption) {
	s := Screen{Light: 1, Thirst: 1, Wind: 1}
	if light > 0 {
		s.Light = light
	}
	var assumed []finding.Assumption
	assume := func(id finding.ID, from source.ID, args finding.Args) {
		args["Cover"] = c.Word()
		assumed = append(assumed, finding.Assumption{ID: id, Source: from, Args: args})
	}
	switch c {
	case Shade:
		if light <= 0 {
			s.Light = 0.5
			assume(AssumeCoverLight, "covers", finding.Args{"Light": s.Light})
		}
		s.Wind = 0.7
	case Tunnel:
		s.Light *= 0.85
		s.Day, s.Night, s.Thirst, s.Wind, s.Covered = 3, 1, 0.8, 0.3, true
	case Greenhouse:
		s.Light *= 0.65
		s.Day, s.Night, s.Thirst, s.Wind, s.Covered = 4, 2, 0.65, 0.15, true
	}
	if s.Covered {
		assume(AssumeCoverLight, "covers", finding.Args{"Light": s.Light})
		assume(AssumeCoverWarm, source.OwnChoice, finding.Args{"Day": s.Day, "Night": s.Night})
	}
	// what keeps the light off keeps the drying off, by its radiation part
	if light > 0 || c == Shade {
		left := float64(light)
		if light <= 0 {
			left = 0.5
		}
		s.Thirst *= unit.Fraction(0.4 + 0.6*left)
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
