package brief

import "raftwright/unit"

// SiteKind says whose bed it is.
type SiteKind string

// Kinds of site.
const (
	Home      SiteKind = "home"
	School    SiteKind = "school"
	Community SiteKind = "community"
	Market    SiteKind = "market"
)

// Children says how near small children come.
type Children string

// How near small children come.
const (
	NoChildren    Children = "none"
	ChildrenVisit Children = "visit"
	ChildrenLive  Children = "live here"
)

// Cover is what stands over the bed.
type Cover string

// Covers.
const (
	Open       Cover = "open"
	Shade      Cover = "shade"
	Tunnel     Cover = "tunnel"
	Greenhouse Cover = "greenhouse"
)

// Pump says what drives an air or water pump.
type Pump string

// Pumps.
const (
	NoPump      Pump = "none"
	MainsPump   Pump = "mains"
	BatteryPump Pump = "battery"
)

// Site is the place.
type Site struct {
	Section
	Kind       Field[SiteKind]      `key:"kind" words:"home|school|community|market" eg:"home"`
	Children   Field[Children]      `key:"children" words:"none|visit|live here" eg:"visit" else:"plan.children"`
	Place      Field[string]        `key:"place" eg:"12345" else:"plan.place_middle"`
	County     Field[string]        `key:"county" eg:"our county"`
	Program    Field[string]        `key:"program" eg:"school gardens"`
	Latitude   Field[unit.Angle]    `key:"latitude" range:"-90..90" eg:"42.4"`
	Longitude  Field[unit.Angle]    `key:"longitude" range:"-180..180" eg:"-76.5"`
	Elevation  Field[unit.Length]   `key:"elevation" range:"-450 m..6000 m" eg:"820 ft" si:"250 m" else:"sky.elevation"`
	Cover      Field[Cover]         `key:"cover" words:"open|shade|tunnel|greenhouse" eg:"open" else:"plan.cover|sky.cover_warmth"`
	Light      Field[unit.Fraction] `key:"light" range:">0 %..100 %" eg:"100 %" else:"sky.cover_light"`
	Lamp       Lamp                 `key:"lamp"`
	Coast      Field[bool]          `key:"coast" eg:"no"`
	Pump       Field[Pump]          `key:"pump" words:"none|mains|battery" eg:"none" else:"plan.pump"`
	Climate    []Field[string]      `key:"climate" max:"2" eg:"[stations.csv, normals.csv]"`
	FarClimate Field[bool]          `key:"far climate" eg:"no"`
	Months     []Month              `key:"months" max:"24"`
}

// Lamp is the lamps over the bed.
type Lamp struct {
	Section
	Level    Field[unit.PhotonFlux]     `key:"level" need:"yes" range:">0 umol/m2/s..2000 umol/m2/s" eg:"200 umol/m2/s"`
	Hours    Field[unit.Duration]       `key:"hours" range:">0 h..24 h" eg:"16 h" else:"season.lamp_day"`
	Efficacy Field[unit.PhotonEfficacy] `key:"efficacy" range:"0.3 umol/J..5 umol/J" eg:"2.5 umol/J" else:"season.lamp_efficacy"`
}

// Month is the usual weather of one month of the year.
type Month struct {
	Section
	Month    Field[int]                  `key:"month" range:"1..12" eg:"1"`
	Tmax     Field[unit.Temperature]     `key:"tmax" need:"yes" range:"-60 C..55 C" eg:"46 F" si:"8 C"`
	Tmin     Field[unit.Temperature]     `key:"tmin" need:"yes" range:"-70 C..45 C" eg:"28 F" si:"-2 C"`
	TmaxSD   Field[unit.TemperatureStep] `key:"tmax sd" range:"0 C..25 C" eg:"9 F" si:"5 C" else:"sky.spread"`
	TminSD   Field[unit.TemperatureStep] `key:"tmin sd" range:"0 C..25 C" eg:"9 F" si:"5 C"`
	Solar    Field[unit.DailyRadiation]  `key:"solar" range:"0 MJ/m2..50 MJ/m2" eg:"7.2 MJ/m2" else:"sky.solar_from_temperature|sky.solar_from_sunshine"`
	Sunshine Field[unit.Duration]        `key:"sunshine" range:"0 h..24 h" eg:"4.1 h"`
	Dewpoint Field[unit.Temperature]     `key:"dewpoint" range:"-70 C..35 C" eg:"25 F" si:"-4 C" else:"sky.dew_from_tmin"`
	Wind     Field[unit.Speed]           `key:"wind" range:"0 m/s..40 m/s" eg:"4.5 mph" si:"2 m/s" else:"sky.wind_unknown"`
	Rain     Field[unit.Length]          `key:"rain" range:"0 mm..5 m" eg:"2.8 in" si:"70 mm"`
}

// Vessel is the kind of thing that holds the water.
type Vessel string

// Vessels.
const (
	Frame Vessel = "frame" // lumber and a liner
	Round Vessel = "round" // a pool or stock tank
	Tub   Vessel = "tub"   // a rectangular tub, straight or tapered
)

// Support is what carries the bed.
type Support string

// Supports.
const (
	Ground Support = "ground"
	Deck   Support = "deck"
	Floor  Support = "floor"
	Roof   Support = "roof"
)

// HoldWith is what holds a side between its corners.
type HoldWith string

// Ways to hold a side.
const (
	Tie   HoldWith = "tie"
	Stake HoldWith = "stake"
)

// Soil is what stakes are driven into.
type Soil string

// Soils.
const (
	Clay   Soil = "clay"
	Sand   Soil = "sand"
	Gravel Soil = "gravel"
	Soft   Soil = "soft"
)

// Walls is what the walls of a frame are made of.
type Walls string

// Walls.
const (
	Lumber  Walls = "lumber"
	Plywood Walls = "plywood"
	Block   Walls = "block"
	Salvage Walls = "salvage"
)

// Holds says how many stakes or ties hold one side: as many as it needs, or a
// number (0 for none).
type Holds struct {
	Auto  bool
	Count int
}

// Bed is the vessel.
type Bed struct {
	Section
	Vessel       Field[Vessel]           `key:"vessel" words:"frame|round|tub" eg:"frame" first:"yes" else:"plan.vessel"`
	Length       Field[unit.Length]      `key:"length" range:"6 in..60 m" eg:"97 in" si:"2460 mm" first:"yes" else:"plan.inside|plan.tub"`
	Width        Field[unit.Length]      `key:"width" range:"6 in..60 m" eg:"49 in" si:"1240 mm" first:"yes" else:"plan.inside|plan.tub"`
	Depth        Field[unit.Length]      `key:"depth" range:"1/2 in..1.5 m" eg:"6 in" si:"150 mm" first:"yes" else:"plan.depth"`
	Diameter     Field[unit.Length]      `key:"diameter" range:"6 in..60 m" eg:"6 ft" si:"1.8 m"`
	BaseDiameter Field[unit.Length]      `key:"base diameter" range:"6 in..60 m" eg:"5 ft 8 in" si:"1.7 m"`
	BaseLength   Field[unit.Length]      `key:"base length" range:"4 in..60 m" eg:"90 in" si:"2300 mm"`
	BaseWidth    Field[unit.Length]      `key:"base width" range:"4 in..60 m" eg:"42 in" si:"1080 mm"`
	Space        Field[Size]             `key:"space" range:"1 ft..200 m" eg:"[10 ft, 5 ft]" si:"[3 m, 1.5 m]"`
	HeatTo       Field[unit.Temperature] `key:"heat to" range:"1 C..30 C" eg:"64 F" si:"18 C"`
	CoolTo       Field[unit.Temperature] `key:"cool to" range:"5 C..35 C" eg:"72 F" si:"22 C"`
	Count        Field[int]              `key:"count" range:"1..1000" eg:"1"`
	SideBoard    Field[Board]            `key:"side board" eg:"2x8" else:"plan.side_board"`
	EndBoard     Field[Board]            `key:"end board" eg:"2x10" else:"plan.side_board|frame.assume_end_board"`
	Boards       Field[int]              `key:"boards" range:"1..3" eg:"1"`
	Lumber       Field[string]           `key:"lumber" eg:"southern-pine-2" else:"plan.lumber"`
	Incised      Field[bool]             `key:"incised" eg:"no" else:"plan.incised"`
	Liner        Field[unit.Length]      `key:"liner" range:"1 mil..5 mm" eg:"6 mil" si:"0.15 mm" else:"plan.liner"`
	LevelError   Field[unit.Length]      `key:"level error" range:"0 in..12 in" eg:"1/4 in" si:"6 mm" else:"plan.level"`
	Holds        Field[Holds]            `key:"holds" range:"0..100" eg:"auto" else:"frame.assume_end_holds"`
	HoldWith     Field[HoldWith]         `key:"hold with" words:"tie|stake" eg:"tie" else:"frame.assume_hold_kind"`
	Soil         Field[Soil]             `key:"soil" words:"clay|sand|gravel|soft" eg:"clay" else:"frame.assume_soil"`
	Walls        Field[Walls]            `key:"walls" words:"lumber|plywood|block|salvage" eg:"lumber"`
	WallHeight   Field[unit.Length]      `key:"wall height" range:"1 in..2 m" eg:"12 in" si:"300 mm" else:"frame.assume_wall_height|frame.assume_top_at"`
	TurnOver     Field[unit.Length]      `key:"turn over" range:">0 in..3 ft" eg:"6 in" si:"150 mm" else:"frame.assume_turn"`
	Hose         Field[unit.Flow]        `key:"hose" range:">0 L/min..500 L/min" eg:"5 gal/min" si:"20 L/min" else:"frame.assume_hose"`
	Support      Field[Support]          `key:"support" words:"ground|deck|floor|roof" eg:"ground" else:"frame.assume_support"`
}

// Pattern is how the holes lie.
type Pattern string

// Patterns.
const (
	Square      Pattern = "square"
	Staggered   Pattern = "staggered"
	BestPattern Pattern = "best"
)

// Foam is the kind of foam board.
type Foam string

// Kinds of foam board: extruded and expanded polystyrene.
const (
	XPS Foam = "xps"
	EPS Foam = "eps"
)

// Raft is the floating board.
type Raft struct {
	Section
	Sheet          Field[Size]        `key:"sheet" range:"4 in..60 m" eg:"[4 ft, 8 ft]" si:"[1.2 m, 2.4 m]" else:"raft.assume_sheet|plan.sheets_for_heads"`
	Diameter       Field[unit.Length] `key:"diameter" range:"4 in..60 m" eg:"5 ft 11 in" si:"1.78 m"`
	Thickness      Field[unit.Length] `key:"thickness" range:"1/8 in..12 in" eg:"1-1/2 in" si:"40 mm" else:"raft.assume_thickness"`
	Foam           Field[Foam]        `key:"foam" words:"xps|eps" eg:"xps" else:"raft.assume_foam"`
	Gap            Field[unit.Length] `key:"gap" range:"0 in..6 in" eg:"1/2 in" si:"12 mm" else:"raft.assume_gap"`
	Spacing        Field[unit.Length] `key:"spacing" range:"1 in..5 ft" eg:"12 in" si:"300 mm" else:"raft.assume_spacing|plan.spacing"`
	NurserySpacing Field[unit.Length] `key:"nursery spacing" range:"1/2 in..5 ft" eg:"6 in" si:"150 mm"`
	Edge           Field[unit.Length] `key:"edge" range:"0 in..5 ft" eg:"6 in" si:"150 mm" else:"raft.assume_edge"`
	Hole           Field[unit.Length] `key:"hole" range:"1/4 in..12 in" eg:"2-1/2 in" si:"63 mm" else:"raft.assume_hole"`
	Pattern        Field[Pattern]     `key:"pattern" words:"square|staggered|best" eg:"square" else:"raft.assume_pattern"`
	PotDip         Field[unit.Length] `key:"pot dip" range:"-2 in..12 in" eg:"1/16 in" si:"2 mm" else:"raft.assume_dip"`
	Pot            Pot                `key:"pot"`
	Head           Field[unit.Mass]   `key:"head" range:"0 g..20 kg" eg:"250 g" else:"raft.assume_head_mass|plan.head_mass"`
	Blocks         Field[unit.Length] `key:"blocks" range:"0 in..3 ft" eg:"3 in" si:"75 mm"`
	Obstacles      []Obstacle         `key:"obstacles" max:"100"`
}

// Pot is a net pot.
type Pot struct {
	Section
	Height Field[unit.Length] `key:"height" range:"1/4 in..12 in" eg:"2 in" si:"50 mm" else:"raft.assume_pot"`
	Rim    Field[unit.Length] `key:"rim" range:"1/4 in..12 in" eg:"2-3/4 in" si:"70 mm" else:"raft.assume_pot"`
	Mass   Field[unit.Mass]   `key:"mass" range:"0 g..5 kg" eg:"60 g" else:"raft.assume_pot_mass"`
}

// Obstacle is a rectangle of the raft that must stay free of holes.
type Obstacle struct {
	Section
	Corner Field[Size] `key:"at" need:"yes" range:"0 in..60 m" eg:"[0 in, 0 in]" si:"[0 mm, 0 mm]"`
	Size   Field[Size] `key:"size" need:"yes" range:">0 in..60 m" eg:"[6 in, 6 in]" si:"[150 mm, 150 mm]"`
}

// Board is the trade name of a board, thickness by width in nominal inches:
// "2x8". The catalogue of the frame knows its true size.
type Board string
