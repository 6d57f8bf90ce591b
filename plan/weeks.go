package plan

import (
	"slices"

	"raftwright/finding"
	"raftwright/season"
	"raftwright/sky"
	"raftwright/source"
	"raftwright/usual"
)

// Findings of a crop that has no good weeks.
const (
	FindOtherCrop finding.ID = "plan.other_crop" // what grows here in its place
	FindOpens     finding.ID = "plan.opens"      // what would open weeks to it
	FindOpensNone finding.ID = "plan.opens_none" // what would not
)

// seekWeeks looks for what would help where the crop has no good weeks at all: other crops,
// and for the own one what stands against the limit. Each is made as a season of its own and
// told only where a harvest comes of it.
func (m *maker) seekWeeks() {
	i := slices.IndexFunc(m.Season.Findings, func(f finding.Finding) bool { return f.ID == season.FindNoWindow })
	if i < 0 {
		return
	}
	all := map[int]bool{}
	for month := 1; month <= 12; month++ {
		all[month] = true
	}
	args := finding.Args{"Crop": m.Crop.Word(), "Two": false}
	names, most := [...]string{"First", "Second"}, 0
	for _, k := range m.candidates(all) {
		if weeks := m.opens(func(j *season.Job) { j.Crop = k }); weeks > 0 {
			at := min(1, len(args)-2)
			args[names[at]], args[names[at]+"Weeks"], args["Two"] = k.Word(), weeks, at > 0
			most = max(most, weeks)
		}
	}
	if most > 0 {
		m.find(finding.Finding{ID: FindOtherCrop, Severity: finding.Caution, Hurts: finding.Harvest, Figure: most, Source: source.OwnChoice, Args: args})
	}
	tries := m.against(season.Limit(m.Season.Findings[i].Figure.(string)))
	for _, w := range tries {
		if weeks := m.opens(w.change); weeks > 0 {
			m.find(finding.Finding{ID: FindOpens, Severity: finding.Caution, Hurts: finding.Harvest, Figure: weeks, Source: source.OwnChoice,
				Args: finding.Args{"Crop": m.Crop.Word(), "Way": finding.Word("word.help." + string(w.Way)), "Count": weeks}})
			return // the least that does
		}
	}
	if len(tries) > 0 {
		m.find(finding.Finding{ID: FindOpensNone, Severity: finding.Note, Source: source.OwnChoice,
			Args: finding.Args{"Crop": m.Crop.Word(), "Way": finding.Word("word.help." + string(tries[len(tries)-1].Way))}})
	}
}

// Cooled is the solution held at the upper end of what is fine, alone and under shade.
const (
	Cooled       Way = "cooled"
	ShadeAndCool Way = "shade_cooled"
)

// against lists what stands against a limit, the least first.
func (m *maker) against(limit season.Limit) []try {
	way := func(w Way, change func(*season.Job)) try { return try{Help: Help{Way: w}, change: change} }
	shade := func(j *season.Job) { j.Cover = sky.Shade }
	cool := func(j *season.Job) { j.CoolTo = usual.CoolTo }
	open := m.job.Cover == sky.Open
	switch limit {
	case season.Heat, season.Solution:
		if !open {
			return []try{way(Cooled, cool)}
		}
		return []try{way(UnderShade, shade), way(Cooled, cool), way(ShadeAndCool, func(j *season.Job) { shade(j); cool(j) })}
	case season.Cold, season.Frost:
		if open {
			return []try{way(UnderCover, func(j *season.Job) { j.Cover = sky.Tunnel })}
		}
	case season.Light:
		return []try{way(UnderLamps, func(j *season.Job) { j.Lamp = season.Lighting{Level: offeredLamps} })}
	}
	return nil
}

// opens gives the good weeks of the year that a change brings; 0 where no harvest comes of them.
func (m *maker) opens(change func(*season.Job)) int {
	j := *m.job
	change(&j)
	s := m.Ground.Anew(j).Expected(j, true)
	weeks := 0
	for _, limit := range s.Weeks[0].Weeks {
		if limit == season.None {
			weeks++
		}
	}
	if len(s.Batches) == 0 {
		return 0
	}
	return weeks
}
