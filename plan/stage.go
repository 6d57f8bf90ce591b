package plan

import (
	"slices"
	"sync"

	"raftwright/brief"
	"raftwright/finding"
)

// stage is one step of the morning's work: a pure function of some keys of the
// brief, of the book, and of what earlier stages made. It is handed nothing else.
type stage struct {
	name   string
	part   Part                    // whose findings and assumptions these are
	reads  []finding.Path          // the keys of the brief that it sees
	needs  []string                // the earlier stages whose results it sees
	only   func(*brief.Brief) bool // whether a brief gives it anything to do; nil: always
	files  bool                    // it reads the climate files
	aside  bool                    // what needs it goes on without it where it waits
	helps  bool                    // it looks for what would bring more of a harvest
	learns bool                    // it asks what the log teaches
	names  bool                    // it looks names up, and tells what it finds wrong even where it waits
	do     func(*maker)
	keep   func(to, from *maker) // copies what the stage made; nil: it only tells
	// same gives a comparable value, equal for results that are equal to whoever
	// needs them. Nil: every result is one of its own.
	same func(*maker) any
	// last hands the stage what it made last, so that it takes over from it what rests on
	// the same; it never changes a figure. Nil: it makes all anew.
	last func(m, last *maker)
	// better is the part that says the same with better figures: with it, what this
	// stage tells is left out.
	better Part
}

// stages is the whole of the work, in its order.
var stages = []stage{
	{name: "crop", part: Raft | Mix | Season | Cost, names: true, do: (*maker).chooseCrop,
		reads: paths("crop"),
		keep:  func(to, from *maker) { to.Crop = from.Crop }, same: func(m *maker) any { return m.Crop.ID }},
	{name: "heads", part: Raft | Frame, do: (*maker).countHeads,
		reads: paths("schedule.heads per week", "schedule.people"), needs: []string{"crop"},
		keep: func(to, from *maker) { to.heads = from.heads }, same: func(m *maker) any { return m.heads }},
	{name: "size", part: Raft | Frame, do: (*maker).size,
		reads: paths("bed.vessel", "bed.depth", "bed.diameter", "bed.base diameter", "bed.length", "bed.width", "bed.base length", "bed.base width",
			"bed.wall height", "bed.space", "bed.support", "bed.count", "raft.sheet", "raft.gap", "raft.diameter", "raft.spacing", "raft.edge",
			"raft.thickness", "raft.hole", "raft.pattern", "units"),
		needs: []string{"crop", "heads"},
		keep:  func(to, from *maker) { to.vessel = from.vessel }, same: func(m *maker) any { return m.vessel }},
	{name: "volume", part: 0, only: bedKnown, do: (*maker).fill,
		needs: []string{"size"},
		keep:  func(to, from *maker) { to.volume = from.volume }, same: func(m *maker) any { return m.volume }},

	{name: "spacing", part: Raft, do: (*maker).chooseSpacing,
		reads: paths("raft", "bed.count", "crop.name", "units"), needs: []string{"crop", "heads", "size"},
		keep: func(to, from *maker) { to.apart = from.apart }, same: func(m *maker) any { return m.apart }},
	{name: "raft", part: Raft, do: (*maker).makeRaft,
		reads: paths("raft", "crop.name"), needs: []string{"crop", "size", "spacing"},
		keep: func(to, from *maker) { to.Raft = from.Raft }},
	{name: "enough", part: Raft, do: (*maker).tellHoles,
		reads: paths("bed.count"), needs: []string{"crop", "heads", "spacing", "raft"}},
	{name: "load", do: (*maker).load,
		needs: []string{"raft"},
		keep:  func(to, from *maker) { to.afloat = from.afloat }, same: func(m *maker) any { return m.afloat }},
	{name: "holes", only: bedKnown, do: (*maker).countHoles,
		needs: []string{"raft"},
		keep:  func(to, from *maker) { to.holes = from.holes }, same: func(m *maker) any { return m.holes }},

	{name: "prices", do: (*maker).readPrices,
		reads: paths("prices.items", "prices.on", "prices.place", "prices.currency", "prices.rate"),
		keep:  func(to, from *maker) { to.prices = from.prices }},
	{name: "power", do: (*maker).pricePower,
		needs: []string{"prices"},
		keep:  func(to, from *maker) { to.power = from.power }, same: func(m *maker) any { return m.power }},
	{name: "sold", do: (*maker).listSold,
		needs: []string{"prices"},
		keep:  func(to, from *maker) { to.sold = from.sold }, same: func(m *maker) any { return m.sold.text }},
	{name: "wood", do: (*maker).priceWood,
		reads: paths("cut.kerf", "cut.trim", "cut.stock", "bed.side board"), needs: []string{"prices", "sold"},
		keep: func(to, from *maker) { to.wood = from.wood }, same: func(m *maker) any { return m.wood.text }},
	{name: "lumber", do: (*maker).knowLumber, // so that a name that is not known waits for nothing
		reads: paths("bed.lumber")},
	{name: "frame", part: Frame, do: (*maker).makeFrame,
		reads: paths("bed.count", "bed.boards", "bed.incised", "bed.support", "bed.level error", "bed.hose", "bed.walls", "bed.hold with", "bed.soil",
			"bed.turn over", "bed.side board", "bed.end board", "bed.lumber", "bed.liner", "bed.holds",
			"mix.bucket", "site.cover", "cut.trim", "cut.stock", "prices.currency"),
		needs: []string{"size", "load", "wood", "lumber"},
		keep: func(to, from *maker) {
			to.Frame, to.FrameChoices, to.FrameRemedies = from.Frame, from.FrameChoices, from.FrameRemedies
		}},

	{name: "own pieces", part: Cut, only: ownPieces, do: (*maker).cutPieces,
		reads: paths("cut", "bed", "raft", "prices.currency"), needs: []string{"sold"},
		keep: func(to, from *maker) { to.Boards = from.Boards }},
	{name: "boards", part: Cut, only: func(b *brief.Brief) bool { return !ownPieces(b) }, do: (*maker).cutFrame,
		reads: paths("cut", "bed.count", "prices.currency"), needs: []string{"sold", "frame"},
		keep: func(to, from *maker) { to.Boards = from.Boards }},
	{name: "foam", part: Cut, only: bedKnown, do: (*maker).cutFoam,
		reads: paths("bed.count"), needs: []string{"raft"},
		keep: func(to, from *maker) { to.Foam = from.Foam }},

	{name: "water", part: Water | Mix, do: (*maker).assessWater,
		reads: paths("water", "acid", "site.kind", "site.children"),
		keep: func(to, from *maker) {
			to.Water, to.strong.water, to.Bottle = from.Water, from.strong.water, from.Bottle
		}},
	{name: "chlorine", part: Water, better: Mix, do: (*maker).tellOfChlorine,
		needs: []string{"water"}},
	{name: "cure", part: Mix, do: (*maker).tellCure,
		reads: paths("mix.stock", "mix.measure", "units"), needs: []string{"volume", "water"}},
	{name: "safer", part: Water, better: Mix, only: acidMayBurn, do: (*maker).tellSafer,
		reads: paths("cut.stock", "prices.currency", "units"), needs: []string{"volume", "prices", "water"},
		keep: func(to, from *maker) { to.Safer = from.Safer }},
	{name: "target", part: Mix | Amiss, names: true, do: (*maker).readTarget,
		reads: paths("target"),
		keep:  func(to, from *maker) { to.target = from.target }},
	{name: "shelf", part: Mix | Amiss, names: true, do: (*maker).readShelf,
		reads: paths("shelf"),
		keep:  func(to, from *maker) { to.Shelf, to.listed = from.Shelf, from.listed }},
	{name: "meter", part: Mix | Found | Amiss, do: (*maker).readMeter,
		reads: paths("meter"),
		keep:  func(to, from *maker) { to.Meter = from.Meter }},
	{name: "acid", part: Mix, only: acidIsOpen, do: (*maker).proposeAcid,
		reads: paths("acid", "site.kind", "site.children"), needs: []string{"volume", "water", "shelf"},
		keep: func(to, from *maker) { to.Proposed = from.Proposed }},
	{name: "goods", do: (*maker).priceGoods,
		needs: []string{"prices"},
		keep:  func(to, from *maker) { to.goods = from.goods }, same: func(m *maker) any { return m.goods }},
	{name: "mix", part: Mix, do: (*maker).mixFeed,
		reads: paths("mix", "units"), needs: []string{"crop", "volume", "holes", "water", "acid", "target", "shelf", "goods"},
		keep: func(to, from *maker) { to.Mix, to.strong.mix = from.Mix, from.strong.mix }},
	{name: "unsoured", part: Mix, only: acidIsRefused, do: (*maker).tellAcidToBuy,
		reads: paths("site.kind", "site.children"), needs: []string{"volume", "water", "shelf", "mix"}},
	{name: "safer in the mix", part: Mix, only: acidMayBurn, do: (*maker).tellSaferMix,
		reads: paths("cut.stock", "prices.currency", "units"), needs: []string{"volume", "prices", "water", "mix"}},
	{name: "found", part: Found, only: hasFound, do: (*maker).judgeFound,
		reads: paths("found", "target", "site.kind", "site.children"), needs: []string{"crop", "volume", "water", "target", "shelf"},
		keep: func(to, from *maker) { to.Found = from.Found }},
	{name: "amiss", part: Amiss | Mix, only: hasAmiss, do: (*maker).mendBed,
		reads: paths("amiss"), needs: []string{"crop", "volume", "water", "target", "shelf", "mix"},
		keep: func(to, from *maker) { to.Amiss = from.Amiss }},

	{name: "climate", part: Season, files: true, do: (*maker).readClimate,
		reads: paths("site.latitude", "site.longitude", "site.elevation", "site.coast", "site.climate", "site.far climate", "site.months", "site.place"),
		keep:  func(to, from *maker) { to.climate = from.climate }},
	{name: "pond", do: (*maker).describePond,
		needs: []string{"raft", "frame"},
		keep:  func(to, from *maker) { to.pond = from.pond }, same: func(m *maker) any { return m.pond }},
	{name: "ground", do: (*maker).lay,
		reads: paths("site.cover", "site.light", "site.lamp"), needs: []string{"crop", "climate", "pond"},
		keep: func(to, from *maker) { to.Ground = from.Ground },
		last: func(m, last *maker) { m.Ground = last.Ground }},
	{name: "studied", only: hasLog, aside: true, do: (*maker).study,
		reads: paths("log", "site.pump", "site.kind", "site.cover", "site.light", "site.lamp", "raft.blocks", "bed.heat to", "bed.cool to", "bed.count", "schedule"),
		needs: []string{"crop", "heads", "frame", "safer", "shelf", "acid", "mix", "climate", "pond", "ground"},
		keep:  func(to, from *maker) { to.studied = from.studied }, same: func(m *maker) any { return m.studied.text }},
	{name: "learned", only: hasLog, aside: true, learns: true, do: (*maker).learn,
		reads: paths("log", "acid.dose", "mix.doses", "mix.measure", "meter.shows", "meter.ec error", "meter.ph error", "site.kind", "site.children",
			"site.cover", "site.light", "site.lamp", "bed.heat to", "bed.cool to"),
		needs: []string{"crop", "water", "pond", "studied"},
		keep:  func(to, from *maker) { to.learned = from.learned }, same: func(m *maker) any { return m.learned }},
	{name: "season", part: Season, do: (*maker).planSeason,
		reads: paths("site.kind", "site.cover", "site.light", "site.pump", "site.lamp", "raft.blocks", "bed.heat to", "bed.cool to", "bed.count", "schedule"),
		needs: []string{"crop", "heads", "climate", "learned", "pond", "ground"},
		keep:  func(to, from *maker) { to.Season, to.job = from.Season, from.job }},
	{name: "ammonia", part: Mix, better: Cost, do: (*maker).tellAmmonia,
		needs: []string{"mix"}},
	{name: "warmest", only: bedKnown, do: (*maker).findWarmest,
		needs: []string{"season"},
		keep:  func(to, from *maker) { to.warmest = from.warmest }, same: func(m *maker) any { return m.warmest }},
	// of the part that rests on feed and season both
	{name: "bed-ammonia", part: Cost, only: bedKnown, do: (*maker).tellBedsAmmonia,
		needs: []string{"mix", "warmest"}},
	{name: "buys", do: (*maker).priceHelp,
		needs: []string{"prices"},
		keep:  func(to, from *maker) { to.buys = from.buys }, same: func(m *maker) any { return m.buys }},
	{name: "helps", part: Season, helps: true, do: (*maker).seekHelp,
		reads: paths("bed.count", "units"), needs: []string{"crop", "buys", "ground", "season"},
		keep: func(to, from *maker) { to.Helps = from.Helps }},
	{name: "warmth", part: Season, do: (*maker).priceWarmth,
		reads: paths("bed.heat to", "bed.cool to", "site.lamp", "units"), needs: []string{"crop", "power", "season"},
		keep: func(to, from *maker) { to.Warmth = from.Warmth }},
	{name: "cost", part: Cost, do: (*maker).reckon,
		reads: paths("prices", "shelf", "cut", "mix.measure", "mix.stock", "units", "site.pump", "bed.count", "bed.heat to", "schedule.first harvest"),
		needs: []string{"crop", "raft", "prices", "frame", "own pieces", "boards", "foam", "water", "acid", "mix", "season", "warmth"},
		keep:  func(to, from *maker) { to.Cost = from.Cost }},
}

func paths(p ...finding.Path) []finding.Path { return p }

// bedKnown says whether a brief tells of a bed at all.
func bedKnown(b *brief.Brief) bool { return b.Bed.Given || b.Raft.Given }

func ownPieces(b *brief.Brief) bool { return len(b.Cut.Pieces) > 0 }

// acidIsOpen says whether there is a bed that an acid may be proposed for.
func acidIsOpen(b *brief.Brief) bool { return bedKnown(b) && !b.Acid.Given }

func acidIsRefused(b *brief.Brief) bool {
	return bedKnown(b) && b.Acid.Product.Value.Name == brief.NoAcid
}

func acidMayBurn(b *brief.Brief) bool {
	return b.Acid.Label.Given || b.Acid.Product.Given && b.Acid.Product.Value.Name != brief.Citric
}

func hasFound(b *brief.Brief) bool { return len(b.Found.Amounts) > 0 }

func hasAmiss(b *brief.Brief) bool { return len(b.Amiss.PutIn) > 0 || b.Amiss.Reads.Given }

// line is the stages made ready: their views, and their needs by number.
var line = sync.OnceValue(func() []ready {
	number, known := map[string]int{}, map[finding.Path]readPath{}
	out := make([]ready, len(stages))
	read := func(p finding.Path) readPath {
		one, seen := known[p]
		if !seen {
			one = newReadPath(p)
			one.number = len(known)
			known[p] = one
		}
		return one
	}
	for i, s := range stages {
		view, err := brief.Viewing(s.reads...)
		if err != nil {
			panic("stage " + s.name + ": " + err.Error()) // a test makes it ready
		}
		out[i] = ready{stage: s, number: i, view: view}
		for _, p := range s.reads {
			out[i].keys = append(out[i].keys, read(p))
		}
		for _, n := range s.needs {
			at, made := number[n]
			if !made {
				panic("stage " + s.name + " needs " + n + ", which no stage before it makes")
			}
			out[i].from = append(out[i].from, at)
		}
		number[s.name] = i
		reads := s.reads
		for _, n := range out[i].from {
			if out[n].part&s.part != 0 {
				reads = append(slices.Clip(reads), out[n].reads...)
			}
		}
		for k, p := range reads {
			twice := func(q finding.Path) bool { return p != q && p.Under(q) || p == q && slices.Index(reads, p) < k }
			if slices.ContainsFunc(reads, twice) {
				continue
			}
			out[i].rests = append(out[i].rests, read(p))
		}
	}
	return out
})

// byDepth is the stages by how many others, one behind the other, wait for each, the most first.
var byDepth = sync.OnceValue(func() []int {
	list := line()
	depth, order := make([]int, len(list)), make([]int, len(list))
	for i := len(list) - 1; i >= 0; i-- {
		order[i] = i
		for _, n := range list[i].from {
			depth[n] = max(depth[n], depth[i]+1)
		}
	}
	slices.SortStableFunc(order, func(a, b int) int { return depth[b] - depth[a] })
	return order
})

// keysRead counts the keys of the brief that stages read.
var keysRead = sync.OnceValue(func() int {
	n := 0
	for _, s := range line() {
		for _, key := range s.keys {
			n = max(n, key.number+1)
		}
	}
	return n
})

type ready struct {
	stage
	number int
	view   brief.View
	from   []int
	keys   []readPath // what it reads
	rests  []readPath // what it and the stages of its part read
}

// shows lists the stages that a part's pages show beside what it rests on.
var shows = map[Part][]string{Water: {"frame"}, Mix: {"frame"}, Season: {"mix"}}

// asked adds to a whole plan what a brief tells of beside it.
func asked(b *brief.Brief, parts Part) Part {
	if parts.Has(Everything) && hasFound(b) {
		parts |= Found
	}
	if parts.Has(Everything) && hasAmiss(b) {
		parts |= Amiss
	}
	return parts
}

// wanted says which stages a job takes; where it is known what the log taught, nothing is looked for in it.
func wanted(j Job) []bool {
	list := line()
	want := make([]bool, len(list))
	b, parts, taught := j.Brief, asked(j.Brief, j.Asked), j.Taught != nil
	for i, s := range list {
		want[i] = s.part&parts != 0 && !(s.helps && j.Unhelped) && !(s.keep == nil && s.better != 0 && parts.Has(s.better))
		for part, names := range shows {
			for _, n := range names {
				want[i] = want[i] || parts.Has(part) && n == s.name && bedKnown(b)
			}
		}
	}
	for i := len(list) - 1; i >= 0; i-- {
		switch s := list[i]; {
		case !want[i], taught && s.learns:
		case s.only != nil && !s.only(b):
			want[i] = false
		default:
			for _, n := range s.from {
				want[n] = true
			}
		}
	}
	return want
}
