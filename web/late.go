package web

import (
	"slices"
	"time"

	"raftwright/bed"
	"raftwright/brief"
	"raftwright/finding"
	"raftwright/lang"
	"raftwright/store"
	"raftwright/tend"
)

// late is what a page says in place of an answer that is being worked out: that it is, of when what stands there is, and
// what the last visit says by itself.
type late struct {
	Told []string
	Read []string // the readings of the last visit, each beside what is wanted
	When string   // that visit

	last map[string]string // what was read last, by the keys of the log
}

// lateOf tells of an answer that is late. Is: something of before stands there, made at a moment; newer: something was written since.
func (v *visit) lateOf(words *lang.Printer, is, newer bool, made time.Time) *late {
	out := &late{Told: []string{words.Say("web.late.waits", nil)}}
	if is {
		id, at := "web.late.old", tend.AtBed(made.Local())
		if newer {
			id = "web.late.before"
		}
		out.Told = append(out.Told, words.Say(id, finding.Args{"Day": at, "Time": at.Format("15:04")}))
	}
	return out
}

// lastVisits bounds the visits of which the last texts are found where nothing is worked out.
const lastVisits = 20

// lateToday tells what can be said of a bed whose log is being followed: amounts of before hold no more, and each reading of the last visit
// is held against what is wanted of it.
func (v *visit) lateToday(b aBed, words *lang.Printer, k found[worked]) (*late, error) {
	out := v.lateOf(words, k.Is, k.Newer, k.Made)
	if k.Is && k.What.Answer != nil {
		out.Told = append(out.Told, words.Say("web.late.doses", nil))
	}
	list, err := v.Store.LastEntries(v.context(), v.who, b.ID, lastVisits)
	if err != nil {
		return nil, err
	}
	list = slices.DeleteFunc(list, func(e store.Entry) bool { return len(e.Pairs) == 0 })
	out.last = map[string]string{}
	for key, text := range k.What.Last {
		out.last[key] = text
	}
	for _, e := range slices.Backward(list) {
		for _, p := range e.Pairs {
			out.last[string(p.Path)] = p.Text
		}
	}
	if len(list) == 0 {
		return out, nil
	}
	beside, _ := brief.FromPairs(briefName, b.facts().beside)
	with, _ := store.WithLog(beside, list[:1])
	log, _ := bed.FromBrief(with)
	if len(log) == 0 {
		return out, nil
	}
	out.When = words.Say("web.late.visit", finding.Args{"Day": list[0].At, "Time": list[0].At.Format("15:04")})
	for _, x := range k.What.Wanted {
		if id := x.judge(&log[0].Read); id != "" {
			out.Read = append(out.Read, words.Say(id, finding.Args{"Name": v.entryLabel(words, finding.Path(x.Key)), "Text": out.last[x.Key]}))
		}
	}
	return out, nil
}

// wanted is between which ends a reading is wanted; nil is no such end.
type wanted struct {
	Key       string
	Low, High *float64 // mm, mS/cm, pH, C
}

// wanted gives what is wanted of each reading of a bed.
func (t tended) wanted() (out []wanted) {
	if t.Tending == nil {
		return nil
	}
	end := func(x float64) *float64 {
		if x != x {
			return nil
		}
		return &x
	}
	for _, c := range t.courses() {
		out = append(out, wanted{c.key, end(c.low), end(c.high)})
	}
	return out
}

// judge gives the sentence that tells how a reading is; "": it was not read, or nothing is wanted of it.
func (w wanted) judge(read *bed.Readings) string {
	i := slices.IndexFunc(readers, func(r reader) bool { return r.key == w.Key })
	if i < 0 || w.Low == nil && w.High == nil {
		return ""
	}
	switch x, is := readers[i].of(read); {
	case !is:
		return ""
	case w.Low != nil && x < *w.Low:
		return "web.late.low"
	case w.High != nil && x > *w.High:
		return "web.late.high"
	}
	return "web.late.well"
}

// reader reads one reading of a visit.
type reader struct {
	key string
	of  func(*bed.Readings) (float64, bool)
}

// readers are the readings of which there are bands: mm, mS/cm, pH, C.
var readers = []reader{
	{"depth", func(r *bed.Readings) (float64, bool) { return r.Depth.Value.Millimetres(), r.Depth.Given }},
	{"ec", func(r *bed.Readings) (float64, bool) { return r.EC.Value.MillisiemensPerCentimetre(), r.EC.Given }},
	{"ph", func(r *bed.Readings) (float64, bool) { return r.PH.Value, r.PH.Given }},
	{"water temperature", func(r *bed.Readings) (float64, bool) {
		return r.WaterTemperature.Value.Celsius(), r.WaterTemperature.Given
	}},
}
