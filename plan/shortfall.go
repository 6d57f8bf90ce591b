package plan

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"raftwright/cost"
	"raftwright/crop"
	"raftwright/finding"
	"raftwright/internal/inorder"
	"raftwright/season"
	"raftwright/sky"
	"raftwright/source"
	"raftwright/unit"
)

// Way is how more of a wanted harvest can be had.
type Way string

// Ways, in the order in which they are told: what costs nothing first.
const (
	AnotherKind Way = "kind"    // of the same crop
	AnotherCrop Way = "crop"    // as many heads of another
	Closer      Way = "spacing" // more holes in the raft
	UnderShade  Way = "shade"
	UnderCover  Way = "cover" // a low tunnel
	WithHeater  Way = "heater"
	UnderLamps  Way = "lamps"
	OneMoreBed  Way = "beds"
	TwoTogether Way = "two"
)

// Finding is the sentence that tells it.
func (w Way) Finding() finding.ID { return finding.ID("plan.help_" + string(w)) }

// Help is one thing that was computed to bring more of a harvest that falls short, on the same
// days and with everything else as it is.
type Help struct {
	Way     Way
	Crop    string // the ID of another kind or crop
	Got     int    // heads, over all weeks
	PerWeek float64
	Cost    *cost.Money // to buy; nil where no price is known, or a bed like the others is meant
	Of      []Help      // the two that are meant together
	Heater  unit.Power  // that a heater among them draws
	Args    finding.Args
}

// Lamps that are offered: so bright at the plants (memory of teaching texts: 200 to 250 for
// lettuce), of the usual efficacy.
const offeredLamps = unit.PhotonFlux(200) * unit.MicromolePerSquareMetreSecond

// coveringShare is the cloth or film for each area of bed: its sides and the ends too (own judgement).
const coveringShare = 1.5

// roomier is by how many more holes a closer spacing is worth a sentence.
const roomier = 1.15

// try is a way that may help, what it changes of the season's job, and the ground with that.
type try struct {
	Help
	change func(*season.Job)
	ground *season.Ground
}

// seekHelp looks for what would bring the rest of a harvest that falls short: each is made as
// a season of its own, and told only where it brings more. Where no single one brings it all,
// two at a time are looked at.
func (m *maker) seekHelp() {
	if m.Season == nil {
		return
	}
	m.tellAir()
	m.tellShade()
	if m.Season.Short == nil {
		m.seekWeeks()
		return
	}
	short := m.Season.Short
	var best [2]int // with the own crop, with any
	tries := m.tries()
	for i := range tries {
		t := &tries[i]
		if t.Got = short.Got; t.Way == WithHeater && m.job.Cover != sky.Tunnel && m.job.Cover != sky.Greenhouse {
			continue // in the open it heats nothing
		}
		m.reach(t, m.Ground)
		if best[1] = max(best[1], t.Got); t.Crop == "" {
			best[0] = max(best[0], t.Got)
		}
		if m.brings(t.Got, short.Got) {
			m.tellHelp(t.Help)
		}
	}
	if best[1] < short.Wanted {
		m.seekTwo(tries, [2]int{max(best[0], short.Got), max(best[1], short.Got)})
	}
}

// tries lists the ways that may bring more.
func (m *maker) tries() []try {
	var out []try
	add := func(h Help, change func(*season.Job)) { out = append(out, try{Help: h, change: change}) }
	missed := m.Season.Short.Missed
	cold, hot, dark, room := missed[season.TooCold] > 0, missed[season.TooHot] > 0, missed[season.TooDark] > 0, missed[season.Room] > 0
	bed := m.job.Bed.Area
	short := map[int]bool{}
	for _, x := range m.Season.Short.Months {
		if x.Got < x.Wanted {
			short[int(x.Month.Month())] = true
		}
	}
	for _, k := range m.candidates(short) {
		way := AnotherCrop
		if family(k) == family(m.Crop) {
			way = AnotherKind
		}
		add(Help{Way: way, Crop: k.ID, Args: finding.Args{"Other": k.Word()}}, func(j *season.Job) { j.Crop = k })
	}
	if holes := int(float64(m.Crop.Plants.Max) * bed.SquareMetres()); room && float64(holes) > roomier*float64(m.Season.Holes) && m.job.Nursery <= 0 {
		apart := unit.Length(math.Sqrt(float64(bed) / float64(holes)))
		more := float64((holes - m.Season.Holes) * m.Beds)
		add(Help{Way: Closer, Cost: priced(m.buys.pot, more), Args: finding.Args{"Holes": holes, "Spacing": apart}}, func(j *season.Job) { j.Holes = holes })
	}
	all := bed.SquareFeet() * float64(m.Beds)
	if hot && m.job.Cover == sky.Open {
		add(Help{Way: UnderShade, Cost: priced(m.buys.cloth, coveringShare*all)}, func(j *season.Job) { j.Cover = sky.Shade })
	}
	if (cold || dark) && m.job.Cover == sky.Open {
		add(Help{Way: UnderCover, Cost: priced(m.buys.tunnel, all)}, func(j *season.Job) { j.Cover = sky.Tunnel })
	}
	if cold {
		add(Help{Way: WithHeater, Cost: priced(m.buys.heater, float64(m.Beds)), Heater: m.heaterPower()}, func(j *season.Job) { j.Lift = heaterLift })
	}
	if dark && m.job.Lamp.Level <= 0 {
		lamp := season.Lighting{Level: offeredLamps}
		power := lamp.Power(bed) * unit.Power(m.Beds)
		add(Help{Way: UnderLamps, Cost: priced(m.buys.lamp, float64(power)), Args: finding.Args{"Power": power}}, func(j *season.Job) { j.Lamp = lamp })
	}
	if room {
		add(Help{Way: OneMoreBed}, func(j *season.Job) { j.Schedule.Beds = max(1, j.Schedule.Beds) + 1 })
	}
	return out
}

// reach works out what a way brings, on a ground that takes over from another what it can.
func (m *maker) reach(t *try, from *season.Ground) {
	short, j := m.Season.Short, *m.job
	t.change(&j)
	if t.ground = from; t.Way != OneMoreBed {
		t.ground = from.Anew(j)
	}
	t.Got, t.PerWeek = short.Wanted, short.Asked
	if wanted, got := t.ground.Brought(j); got < wanted || wanted == 0 {
		t.Got, t.PerWeek = got, short.Asked*float64(got)/float64(max(1, wanted))
	}
}

// What a heater under a cover is taken to do: so much warmer at night, half of it by day,
// against what one layer of film lets out (ASABE EP406, from memory).
const (
	heaterLift = unit.TemperatureStep(5)
	filmLoses  = 6.2 // W/m2/K
)

// heaterPower gives what such a heater draws for all beds.
func (m *maker) heaterPower() unit.Power {
	return unit.Power(filmLoses * coveringShare * m.job.Bed.Area.SquareMetres() * float64(heaterLift) * float64(m.Beds))
}

// brings says whether a way brings more than a head in fifty beside what is there.
func (m *maker) brings(got, than int) bool { return got > than+max(1, m.Season.Short.Wanted/50) }

// seekTwo tells the two ways that bring most together, of the own crop and with another, where
// that is more than any of such brings alone.
func (m *maker) seekTwo(tries []try, alone [2]int) {
	var pairs []try
	for i, a := range tries {
		for _, b := range tries[i+1:] {
			if a.goesWith(b) && (m.job.Cover != sky.Open || b.Way != WithHeater || a.Way == UnderCover) {
				near := a.ground
				if a.Crop != "" || near == nil { // the days of another cover are more work than another crop
					near = b.ground
				}
				pairs = append(pairs, try{Help{Way: TwoTogether, Of: []Help{a.Help, b.Help}, Crop: a.Crop + b.Crop, Heater: a.Heater + b.Heater},
					func(j *season.Job) { a.change(j); b.change(j) }, near})
			}
		}
	}
	gain := func(t try) int { return t.Of[0].Got + t.Of[1].Got }
	inorder.Put(pairs, func(a, b try) int { return gain(b) - gain(a) })
	var best [2]*Help // with the own crop, with another
	var tried [2]int
	for i := range pairs {
		h, other := &pairs[i].Help, 0
		if h.Crop != "" {
			other = 1
		}
		if tried[other]++; tried[other] > mostPairs {
			continue
		}
		m.reach(&pairs[i], pairs[i].ground)
		if best[other] == nil || h.Got > best[other].Got {
			best[other] = h
		}
	}
	for i, h := range best {
		if h != nil && m.brings(h.Got, alone[i]) {
			h.Args, h.Cost = finding.Args{"First": h.Of[0].word(), "Second": h.Of[1].word()}, bill(h.Of)
			m.tellHelp(*h)
		}
	}
}

// bill adds up what ways cost; nil where nothing is bought or one has no price.
func bill(of []Help) *cost.Money {
	var sum *cost.Money
	for _, h := range of {
		switch {
		case h.free():
		case h.Cost == nil:
			return nil
		case sum == nil:
			sum = h.Cost
		default:
			both := sum.Add(*h.Cost)
			sum = &both
		}
	}
	return sum
}

// mostPairs bounds how many pairs of ways are tried of each sort: each is a season.
const mostPairs = 2

// goesWith says whether two ways can be had together and are no more than that: two covers, two
// crops, a spacing of another crop and a bed that has no price are not.
func (t try) goesWith(o try) bool {
	covers := func(w Way) bool { return w == UnderShade || w == UnderCover }
	return t.Way != OneMoreBed && o.Way != OneMoreBed && !(covers(t.Way) && covers(o.Way)) && !(t.Crop != "" && (o.Crop != "" || o.Way == Closer))
}

// free says that a way buys nothing.
func (h Help) free() bool { return h.Way == AnotherKind || h.Way == AnotherCrop }

// word names a way.
func (h Help) word() finding.Word {
	if w, ok := h.Args["Other"].(finding.Word); ok {
		return w
	}
	return finding.Word("word.help." + string(h.Way))
}

// tellHelp tells a way with what it brings and costs.
func (m *maker) tellHelp(h Help) {
	short := m.Season.Short
	args := finding.Args{"Crop": m.Crop.Word(), "Got": h.Got, "Wanted": short.Wanted, "Priced": h.Cost != nil}
	if h.Cost != nil {
		args["Cost"] = cost.About(*h.Cost)
	}
	if h.Heater > 0 {
		args["Heater"], args["Energy"] = unit.Power(10*math.Ceil(float64(h.Heater)/10)), whole(unit.Energy(float64(h.Heater)*0.75*30*86400))
		args["Lift"] = heaterLift
	}
	for name, x := range h.Args {
		args[name] = x
	}
	h.Args = args
	m.Helps = append(m.Helps, h)
	m.find(finding.Finding{ID: h.Way.Finding(), Severity: finding.Note, Figure: h.Got, Source: source.OwnChoice, Args: args})
}

// buys are the prices of what may help, each of one unit; no currency where it is not known.
type buys struct {
	pot, cloth, tunnel, lamp, heater, pump, stone, line cost.Money
	ownAir, ownCloth                                    bool // the brief gives the price of the pump, of the cloth
}

func (m *maker) priceHelp() {
	of := func(key string) cost.Money {
		p, _, _ := m.prices.Find(key)
		return p.Amount
	}
	pump, _, _ := m.prices.Find("air pump")
	cloth, _, _ := m.prices.Find("shade cloth")
	m.buys = buys{of("net pot"), cloth.Amount, of("low tunnel"), of("grow lamp"), of("greenhouse heater"), pump.Amount, of("air stone"), of("air line"), pump.Own, cloth.Own}
}

// priced gives what so much of a thing costs, nil where no price is known.
func priced(one cost.Money, much float64) *cost.Money {
	if one.Currency == "" {
		return nil
	}
	all := one.Times(much).Rounded()
	return &all
}

// family is the crop of which a row is a kind: lettuce.
func family(k crop.Crop) string {
	name, _, _ := strings.Cut(k.ID, "_")
	return name
}

// easy is the least rating of a crop that is offered.
const easy = 3

// candidates gives the kind and the crop that are worth a try: those with most open weeks in
// these months, and of these the fastest.
func (m *maker) candidates(months map[int]bool) []crop.Crop {
	open := map[string]int{}
	for _, y := range m.Season.Weeks {
		for w, limit := range y.Weeks {
			// what is cut in a month goes on the raft the month before, or so
			if on, _ := sky.DayOfYear((7*w+3+30)%365 + 1).Month(); limit == season.None && months[on] {
				open[y.Crop]++
			}
		}
	}
	list := slices.Clone(m.book.Crops.Crops())
	inorder.Put(list, func(a, b crop.Crop) int {
		return cmp.Or(open[b.ID]-open[a.ID], cmp.Compare(a.Raft.Middle(), b.Raft.Middle()))
	})
	var out []crop.Crop
	for _, own := range []bool{true, false} {
		i := slices.IndexFunc(list, func(k crop.Crop) bool {
			return k.ID != m.Crop.ID && k.Rating >= easy && (family(k) == family(m.Crop)) == own && open[k.ID] > 0
		})
		if i >= 0 {
			out = append(out, list[i])
		}
	}
	return out
}
