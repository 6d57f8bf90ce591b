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
	Kind       Field[SiteKind]      `key:"kind" words:"home|school|community|market" eg:"home" help:"whose bed it is"`
	Children   Field[Children]      `key:"children" words:"none|visit|live here" eg:"visit" help:"do small children come near the water"`
	Place      Field[string]        `key:"place" eg:"12345" help:"a ZIP code, Town ST or County ST, where latitude and climate are looked up"`
	Latitude   Field[unit.Angle]    `key:"latitude" range:"-90..90" eg:"42.4" help:"degrees north of the equator, south is negative"`
	Longitude  Field[unit.Angle]    `key:"longitude" range:"-180..180" eg:"-76.5" help:"degrees east of Greenwich, west is negative"`
	Elevation  Field[unit.Length]   `key:"elevation" range:"-450 m..6000 m" eg:"820 ft" si:"250 m" help:"height above the sea"`
	Cover      Field[Cover]         `key:"cover" words:"open|shade|tunnel|greenhouse" eg:"open" help:"what stands over the bed"`
	Light      Field[unit.Fraction] `key:"light" range:">0 %..100 %" eg:"100 %" help:"share of the open sky's light that trees, walls and roofs leave"`
	Lamp       Lamp                 `key:"lamp" help:"lamps over the bed, for the dark months"`
	Coast      Field[bool]          `key:"coast" eg:"no" help:"yes: within 12 miles (20 km) of a sea or great lake, where guessed sunshine is brighter"`
	Pump       Field[Pump]          `key:"pump" words:"none|mains|battery" eg:"none" help:"what drives a pump, if there is one"`
	Climate    []Field[string]      `key:"climate" max:"2" eg:"[stations.csv, normals.csv]" help:"one or two files of climate normals; or give months"`
	FarClimate Field[bool]          `key:"far climate" eg:"no" help:"yes: use the nearest station even if it is far off"`
	Months     []Month              `key:"months" max:"24" help:"twelve months of weather, when there is no climate file"`
}

// Lamp is the lamps over the bed.
type Lamp struct {
	Section
	Level    Field[unit.PhotonFlux]     `key:"level" need:"yes" range:">0 umol/m2/s..2000 umol/m2/s" eg:"200 umol/m2/s" help:"light of the lamps at the plants"`
	Hours    Field[unit.Duration]       `key:"hours" range:">0 h..24 h" eg:"16 h" help:"how long they may burn in a day"`
	Efficacy Field[unit.PhotonEfficacy] `key:"efficacy" range:"0.3 umol/J..5 umol/J" eg:"2.5 umol/J" help:"light that they give for the energy they take"`
}

// Month is the usual weather of one month of the year.
type Month struct {
	Section
	Month    Field[int]                  `key:"month" range:"1..12" eg:"1" help:"1 is January; left out of all twelve: they are in order"`
	Tmax     Field[unit.Temperature]     `key:"tmax" need:"yes" range:"-60 C..55 C" eg:"46 F" si:"8 C" help:"mean of the daily highs"`
	Tmin     Field[unit.Temperature]     `key:"tmin" need:"yes" range:"-70 C..45 C" eg:"28 F" si:"-2 C" help:"mean of the daily lows"`
	TmaxSD   Field[unit.TemperatureStep] `key:"tmax sd" range:"0 C..25 C" eg:"9 F" si:"5 C" help:"spread (standard deviation) of the daily highs"`
	TminSD   Field[unit.TemperatureStep] `key:"tmin sd" range:"0 C..25 C" eg:"9 F" si:"5 C" help:"spread (standard deviation) of the daily lows"`
	Solar    Field[unit.DailyRadiation]  `key:"solar" range:"0 MJ/m2..50 MJ/m2" eg:"7.2 MJ/m2" help:"sun on flat ground in a day"`
	Sunshine Field[unit.Duration]        `key:"sunshine" range:"0 h..24 h" eg:"4.1 h" help:"hours of bright sun in a day"`
	Dewpoint Field[unit.Temperature]     `key:"dewpoint" range:"-70 C..35 C" eg:"25 F" si:"-4 C" help:"mean dew point"`
	Wind     Field[unit.Speed]           `key:"wind" range:"0 m/s..40 m/s" eg:"4.5 mph" si:"2 m/s" help:"mean wind 2 m above the ground"`
	Rain     Field[unit.Length]          `key:"rain" range:"0 mm..5 m" eg:"2.8 in" si:"70 mm" help:"rain and melted snow of the whole month"`
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
	Vessel       Field[Vessel]           `key:"vessel" words:"frame|round|tub" eg:"frame" first:"yes" help:"a lumber frame with a liner, a round pool or tank, or a rectangular tub"`
	Length       Field[unit.Length]      `key:"length" range:"6 in..60 m" eg:"97 in" si:"2460 mm" first:"yes" help:"inside length at the water line; left out: the raft and its play"`
	Width        Field[unit.Length]      `key:"width" range:"6 in..60 m" eg:"49 in" si:"1240 mm" first:"yes" help:"inside width at the water line"`
	Depth        Field[unit.Length]      `key:"depth" range:"1/2 in..1.5 m" eg:"6 in" si:"150 mm" first:"yes" help:"depth of the water"`
	Diameter     Field[unit.Length]      `key:"diameter" range:"6 in..60 m" eg:"6 ft" si:"1.8 m" help:"round vessels: inside diameter at the water line"`
	BaseDiameter Field[unit.Length]      `key:"base diameter" range:"6 in..60 m" eg:"5 ft 8 in" si:"1.7 m" help:"round vessels: inside diameter at the bottom; left out: straight sides"`
	BaseLength   Field[unit.Length]      `key:"base length" range:"4 in..60 m" eg:"90 in" si:"2300 mm" help:"tubs: inside length at the bottom; left out: straight sides"`
	BaseWidth    Field[unit.Length]      `key:"base width" range:"4 in..60 m" eg:"42 in" si:"1080 mm" help:"tubs: inside width at the bottom; left out: straight sides"`
	Space        Field[Size]             `key:"space" range:"1 ft..200 m" eg:"[10 ft, 5 ft]" si:"[3 m, 1.5 m]" help:"the free space, when the bed shall be made to fit it"`
	HeatTo       Field[unit.Temperature] `key:"heat to" range:"1 C..30 C" eg:"64 F" si:"18 C" help:"a heater holds the solution there"`
	CoolTo       Field[unit.Temperature] `key:"cool to" range:"5 C..35 C" eg:"72 F" si:"22 C" help:"ice or a chiller holds the solution there"`
	Count        Field[int]              `key:"count" range:"1..1000" eg:"1" help:"how many beds alike; results are for one, cutting and shopping for all"`
	SideBoard    Field[Board]            `key:"side board" eg:"2x8" help:"name of the boards of the long sides"`
	EndBoard     Field[Board]            `key:"end board" eg:"2x10" help:"name of the boards of the ends"`
	Boards       Field[int]              `key:"boards" range:"1..3" eg:"1" help:"boards stacked one on the other"`
	Lumber       Field[string]           `key:"lumber" eg:"southern-pine-2" help:"species and grade"`
	Incised      Field[bool]             `key:"incised" eg:"no" help:"yes: treated lumber with rows of small cuts in its face"`
	Liner        Field[unit.Length]      `key:"liner" range:"1 mil..5 mm" eg:"6 mil" si:"0.15 mm" help:"thickness of the liner"`
	LevelError   Field[unit.Length]      `key:"level error" range:"0 in..12 in" eg:"1/4 in" si:"6 mm" help:"how much higher one end of the ground is than the other"`
	Holds        Field[Holds]            `key:"holds" range:"0..100" eg:"auto" help:"stakes or ties along one side: auto, none, or a number"`
	HoldWith     Field[HoldWith]         `key:"hold with" words:"tie|stake" eg:"tie" help:"what holds the sides: a tie across the floor under the liner, or stakes outside"`
	Soil         Field[Soil]             `key:"soil" words:"clay|sand|gravel|soft" eg:"clay" help:"firm ground that stakes are driven into; soft: mulch, fill or wet clay"`
	Walls        Field[Walls]            `key:"walls" words:"lumber|plywood|block|salvage" eg:"lumber" help:"what the walls are made of; only graded lumber can be passed on its strength"`
	WallHeight   Field[unit.Length]      `key:"wall height" range:"1 in..2 m" eg:"12 in" si:"300 mm" help:"round vessels and tubs: height of the wall above the floor"`
	TurnOver     Field[unit.Length]      `key:"turn over" range:">0 in..3 ft" eg:"6 in" si:"150 mm" help:"how far the liner is turned over the rim"`
	Hose         Field[unit.Flow]        `key:"hose" range:">0 L/min..500 L/min" eg:"5 gal/min" si:"20 L/min" help:"what the hose gives; time how long a bucket takes"`
	Support      Field[Support]          `key:"support" words:"ground|deck|floor|roof" eg:"ground" help:"what carries the bed; paving or a slab that lies on soil is ground"`
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
	Sheet          Field[Size]        `key:"sheet" range:"4 in..60 m" eg:"[4 ft, 8 ft]" si:"[1.2 m, 2.4 m]" help:"the foam board as sold"`
	Diameter       Field[unit.Length] `key:"diameter" range:"4 in..60 m" eg:"5 ft 11 in" si:"1.78 m" help:"a round raft, in place of sheet"`
	Thickness      Field[unit.Length] `key:"thickness" range:"1/8 in..12 in" eg:"1-1/2 in" si:"40 mm" help:"thickness of the foam"`
	Foam           Field[Foam]        `key:"foam" words:"xps|eps" eg:"xps" help:"extruded (xps) or expanded (eps) polystyrene"`
	Gap            Field[unit.Length] `key:"gap" range:"0 in..6 in" eg:"1/2 in" si:"12 mm" help:"play between the raft and the wall"`
	Spacing        Field[unit.Length] `key:"spacing" range:"1 in..5 ft" eg:"12 in" si:"300 mm" help:"least distance between hole centres"`
	NurserySpacing Field[unit.Length] `key:"nursery spacing" range:"1/2 in..5 ft" eg:"6 in" si:"150 mm" help:"spacing of young plants that are moved once"`
	Edge           Field[unit.Length] `key:"edge" range:"0 in..5 ft" eg:"6 in" si:"150 mm" help:"from the rim to the centre of the nearest hole"`
	Hole           Field[unit.Length] `key:"hole" range:"1/4 in..12 in" eg:"2-1/2 in" si:"63 mm" help:"diameter of a hole"`
	Pattern        Field[Pattern]     `key:"pattern" words:"square|staggered|best" eg:"square" help:"how the holes lie; best: as many as fit"`
	PotDip         Field[unit.Length] `key:"pot dip" range:"-2 in..12 in" eg:"1/16 in" si:"2 mm" help:"how far a pot reaches into the water on planting day"`
	Pot            Pot                `key:"pot" help:"the net pot"`
	Head           Field[unit.Mass]   `key:"head" range:"0 g..20 kg" eg:"250 g" help:"what a grown head weighs, roots and all; left out: a heavy one of the crop"`
	Blocks         Field[unit.Length] `key:"blocks" range:"0 in..3 ft" eg:"3 in" si:"75 mm" help:"height of blocks on the floor that the raft comes to rest on, so that an air gap opens"`
	Obstacles      []Obstacle         `key:"obstacles" max:"100" help:"parts of the raft that must stay free"`
}

// Pot is a net pot.
type Pot struct {
	Section
	Height Field[unit.Length] `key:"height" range:"1/4 in..12 in" eg:"2 in" si:"50 mm" help:"height of the pot"`
	Rim    Field[unit.Length] `key:"rim" range:"1/4 in..12 in" eg:"2-3/4 in" si:"70 mm" help:"outside diameter of its rim"`
	Mass   Field[unit.Mass]   `key:"mass" range:"0 g..5 kg" eg:"60 g" help:"what it weighs with a wet plug and a seedling"`
}

// Obstacle is a rectangle of the raft that must stay free of holes.
type Obstacle struct {
	Section
	Corner Field[Size] `key:"at" need:"yes" range:"0 in..60 m" eg:"[0 in, 0 in]" si:"[0 mm, 0 mm]" help:"its corner nearest the raft's lower left corner"`
	Size   Field[Size] `key:"size" need:"yes" range:">0 in..60 m" eg:"[6 in, 6 in]" si:"[150 mm, 150 mm]" help:"how far it goes from there"`
}

// Board is the trade name of a board, thickness by width in nominal inches:
// "2x8". The catalogue of the frame knows its true size.
type Board string
