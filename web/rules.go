package web

import (
	"net/url"

	"raftwright/finding"
	"raftwright/packet"
	"raftwright/programme"
)

// rules shows the rules by which reports are made, of each funder as they hold today: since when, by which source, and what each may be. A
// change is an added row: of a setting another one, of a funder a correction.
func (v *visit) rules() error {
	return v.withBook(func() error {
		if err := v.readBook(); err != nil {
			return err
		}
		m := &v.House.year
		if len(m.faults) > 0 && len(m.records.Funders) > 0 {
			return v.bookFaults(m.faults)
		}
		today, _ := programme.ParseDay(v.officeDay())
		type row struct{ Name, Value, Since, Source, May, To, Change string }
		type part struct {
			Head string
			Rows []row
		}
		may := map[string]string{}
		for _, r := range programme.SettingRules() {
			may[r.Name] = v.mayBe(r)
		}
		own := map[string]bool{}
		funders, _ := programme.FormOf("funders")
		for _, c := range funders.Fields {
			own[c.Name] = true
			if c.Words != nil || c.Most > 0 {
				may[c.Name] = v.mayBe(programme.SettingRule{Name: c.Name, Words: c.Words, Least: c.Least, Most: c.Most})
			}
		}
		held := m.records.RulesOn(today)
		var parts []part
		list, err := v.Store.LastRecords(v.context(), v.who, "funders", 0, mostOffers)
		if err != nil {
			return err
		}
		of := map[string]string{}
		for _, r := range list {
			of[r.Name] = r.ID
		}
		for _, f := range m.records.Funders {
			p := part{Head: f.ID}
			if f.Label != "" {
				p.Head += ", " + f.Label
			}
			for _, h := range held[f.ID] {
				x := row{Name: v.say("report.rule." + h.Name), Value: packet.RuleValue(h, v.words), Since: packet.RuleSince(h, v.words), Source: h.Source, May: may[h.Name]}
				if x.To = "/program/funders/" + of[f.ID]; !own[h.Name] {
					x.To = "/program/settings?" + url.Values{"with.name": {h.Name}, "with.funder": {f.ID}, "with.from": {today.String()}}.Encode()
				}
				x.Change = v.say("web.rules.change_of", "Name", x.Name)
				p.Rows = append(p.Rows, x)
			}
			parts = append(parts, p)
		}
		s := sheet{Title: v.say("web.rules.title"), Of: v.say("web.rules.of"), Sheets: append(v.bookSheets("settings"), link{v.say("web.rules.title"), ""}), Body: parts}
		for i := range s.Sheets[:len(s.Sheets)-1] {
			if s.Sheets[i].To == "" {
				s.Sheets[i].To = "/program/settings"
			}
		}
		return v.show("rules", s)
	})
}

// mayBe says what a setting may be.
func (v *visit) mayBe(r programme.SettingRule) string {
	text := ""
	switch {
	case r.Words != nil:
		var words []string
		for _, w := range r.Words {
			if said := packet.RuleValue(programme.Held{Name: r.Name, Value: w}, v.words); w == "" {
				continue
			} else if said != w {
				w += " (" + said + ")"
			}
			words = append(words, w)
		}
		text = v.say("web.rules.one_of", "Words", finding.AnyOf(words))
	case r.Most > 0:
		text = v.say("web.rules.between", "Least", r.Least, "Most", r.Most)
	case r.Name == "access_day":
		text = v.say("web.rules.a_day")
	default:
		text = v.say("web.rules.columns")
	}
	if r.Off {
		text = v.say("web.rules.or_off", "May", text)
	}
	return text
}

// limitsSet gives the limits of sales that the office's rules hold today, with their source.
func (v *visit) limitsSet() (map[string]string, error) {
	out := map[string]string{}
	if !v.who.Accounts() {
		return out, nil
	}
	return out, v.withBook(func() error {
		if err := v.readBook(); err != nil || len(v.House.year.faults) > 0 {
			return err
		}
		today, _ := programme.ParseDay(v.officeDay())
		for _, name := range []string{"food_limit", "produce_limit"} {
			if h := v.House.year.records.Rule(name, "", today); h.Value != programme.Off {
				out[name], out["limits_from"] = h.Value, h.Source
			}
		}
		return nil
	})
}
