package plan

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"raftwright/cost"
	"raftwright/crop"
	"raftwright/finding"
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
	UnderLamps  Way = "lamps"
	OneMoreBed  Way = "beds"
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
	Args    finding.Args
}

// Lamps that are offered: so bright at the plants (memory of teaching texts: 200 to 250 for
// lettuce), of the usual efficacy.
const offeredLamps = unit.PhotonFlux(200) * unit.MicromolePerSquareMetreSecond

// coveringShare is the cloth or film for each area of bed: its sides and the ends too (own judgement).
const coveringShare = 1.5

// roomier is by how many more holes a closer spacing is worth a sentence.
const roomier = 1.15

// seekHelp looks for what would bring the rest of a harvest that falls short: each is made as
// a season of its own, and told only where it brings more.
func (m *maker) seekHelp() {
	if m.Season == nil || m.Season.Short == nil {
		return
	}
	missed := m.Season.Short.Missed
	cold, hot, dark, room := missed[season.TooCold] > 0, missed[season.TooHot] > 0, missed[season.TooDark] > 0, missed[season.Room] > 0
	bed := m.job.Bed.Area
	for _, k := range m.candidates() {
		way := AnotherCrop
		if family(k) == family(m.Crop) {
			way = AnotherKind
		}
		m.help(Help{Way: way, Crop: k.ID, Args: finding.Args{"Other": k.Word()}}, func(j *season.Job) { j.Crop = k })
	}
	if holes := int(float64(m.Crop.Plants.Max) * bed.SquareMetres()); room && float64(holes) > roomier*float64(m.Season.Holes) && m.job.Nursery <= 0 {
		apart := unit.Length(math.Sqrt(float64(bed) / float64(holes)))
		more := float64((holes - m.Season.Holes) * m.Beds)
		m.help(Help{Way: Closer, Cost: priced(m.buys.pot, more), Args: finding.Args{"Holes": holes, "Spacing": apart}}, func(j *season.Job) { j.Holes = holes })
	}
	all := bed.SquareFeet() * float64(m.Beds)
	if hot && m.job.Cover == sky.Open {
		m.help(Help{Way: UnderShade, Cost: priced(m.buys.cloth, coveringShare*all)}, func(j *season.Job) { j.Cover = sky.Shade })
	}
	if (cold || dark) && m.job.Cover == sky.Open {
		m.help(Help{Way: UnderCover, Cost: priced(m.buys.tunnel, all)}, func(j *season.Job) { j.Cover = sky.Tunnel })
	}
	if dark && m.job.Lamp.Level <= 0 {
		lamp := season.Lighting{Level: offeredLamps}
		power := lamp.Power(bed) * unit.Power(m.Beds)
		m.help(Help{Way: UnderLamps, Cost: priced(m.buys.lamp, float64(power)), Args: finding.Args{"Power": power}}, func(j *season.Job) { j.Lamp = lamp })
	}
	if room {
		m.help(Help{Way: OneMoreBed}, func(j *season.Job) { j.Schedule.Beds = max(1, j.Schedule.Beds) + 1 })
	}
}

// help tries a way and tells it where it brings more than a head in fifty.
func (m *maker) help(h Help, change func(*season.Job)) {
	short, j := m.Season.Short, m.job
	j.Others = nil
	change(&j)
	ground := m.Ground
	if h.Way != OneMoreBed {
		ground = m.Ground.Anew(j)
	}
	s := ground.Season(j)
	h.Got, h.PerWeek = short.Wanted, short.Asked
	if s.Short != nil {
		h.Got, h.PerWeek = s.Short.Got, s.Short.Had
	}
	if h.Got <= short.Got+max(1, short.Wanted/50) {
		return
	}
	args := finding.Args{"Crop": m.Crop.Word(), "Got": h.Got, "Wanted": short.Wanted, "Priced": h.Cost != nil}
	if h.Cost != nil {
		args["Cost"] = cost.About(*h.Cost)
	}
	for name, x := range h.Args {
		args[name] = x
	}
	h.Args = args
	m.Helps = append(m.Helps, h)
	m.find(finding.Finding{ID: h.Way.Finding(), Severity: finding.Note, Figure: h.Got, Source: source.OwnChoice, Args: args})
}

// buys are the prices of what may help, each of one unit; no currency where it is not known.
type buys struct{ pot, cloth, tunnel, lamp cost.Money }

func (m *maker) priceHelp() {
	of := func(key string) cost.Money {
		p, _, _ := m.prices.Find(key)
		return p.Amount
	}
	m.buys = buys{of("net pot"), of("shade cloth"), of("low tunnel"), of("grow lamp")}
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
// the months that fall short, and of these the fastest.
func (m *maker) candidates() []crop.Crop {
	short := map[int]bool{}
	for _, x := range m.Season.Short.Months {
		if x.Got < x.Wanted {
			short[int(x.Month.Month())] = true
		}
	}
	open := map[string]int{}
	for _, y := range m.Season.Weeks {
		for w, limit := range y.Weeks {
			// what is cut in a month goes on the raft the month before, or so
			if on, _ := sky.DayOfYear((7*w+3+30)%365 + 1).Month(); limit == season.None && short[on] {
				open[y.Crop]++
			}
		}
	}
	list := slices.Clone(m.book.Crops.Crops())
	slices.SortStableFunc(list, func(a, b crop.Crop) int {
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
