package programme

import (
	"raftwright/finding"
	"raftwright/internal/table"
)

// tongues tells which of the languages of a row is none.
func tongues(at *table.Row, asked, served string) {
	for _, x := range [][2]string{{"asked_in", asked}, {"served_in", served}} {
		if x[1] != "" && !tongue(x[1]) {
			at.Wrong(FaultTongue, x[0], finding.Args{"Text": x[1]})
		}
	}
}

// tongue tells whether a text is a language as ISO 639 writes it: two or three small letters.
func tongue(text string) bool {
	for _, r := range text {
		if r < 'a' || r > 'z' {
			return false
		}
	}
	return len(text) == 2 || len(text) == 3
}

// spoken is in what language contacts were had: the counts by language, and the records in which another was asked for and no interpreter
// was offered, or one was.
type spoken struct {
	by              map[string]*tally
	asked           bool // whether any record says one
	inVain, offered tally
}

func (s *spoken) add(language string, n int, from ...Ref) {
	if s.by[language] == nil {
		s.by[language] = &tally{}
	}
	s.by[language].add(n, from...)
	s.asked = s.asked || language != ""
}

func (s *spoken) wished(asked, served, interpreter string, from Ref) {
	if asked != "" && asked != served && interpreter != "yes" {
		s.inVain.add(1, from)
	}
	if interpreter == "yes" {
		s.offered.add(1, from)
	}
}

// served puts the contacts by language into the report. They add up to the contacts.
func (r *Report) served(x *reach) {
	if !x.spoken.asked {
		r.withheld("D", "served_in", "", People, notGivenNames, whyNoTongue, nil)
		return
	}
	for _, language := range sorted(x.spoken.by) {
		of := language
		if of == "" {
			of = notRecordedNames
		}
		r.count("D", "served_in: ", of, All, People, x.spoken.by[language].n, x.spoken.by[language].from)
	}
	r.count("D", "asked_in_vain", "", All, Count, x.spoken.inVain.n, x.spoken.inVain.from)
	r.count("D", "interpreter_offered", "", All, Count, x.spoken.offered.n, x.spoken.offered.from)
}

// served are the contacts by language, and the slips by age.
func (p *publisher) served(direct, used int) {
	var languages, ages []int
	told := 0
	for _, f := range p.Figures {
		switch f.Measure {
		case "served_in: ":
			languages = append(languages, p.fact(f.Name(), rankAny))
		case "age: ":
			i := p.fact(f.Name(), rankAny)
			ages, told = append(ages, i), told+p.n(i)
		}
	}
	if languages != nil {
		p.x.total(direct, languages...)
	}
	if ages != nil {
		p.x.total(direct, append(ages[:len(ages):len(ages)], p.fact("age_unknown", rankSex))...)
		p.x.total(used, append(ages[:len(ages):len(ages)], p.x.latent(p.n(used)-told))...)
	}
}

// band tells whether a text can only be a span of ages: 18-24, 65+.
func band(text string) bool {
	for _, r := range text {
		if (r < '0' || r > '9') && r != '-' && r != '+' {
			return false
		}
	}
	return len(text) > 1 && len(text) <= 5
}
