// Package decade makes ten years of many offices out of one year, for readings of speed: what happened stands in the proportions of that year.
package decade

import (
	"encoding/csv"
	"slices"
	"strconv"
	"strings"

	"raftwright/programme"
)

const (
	years  = 10
	inYear = programme.Day(365)
)

// An office has once what is there in every year; a year has once what does not grow with the number of offices; other rows are as they are.
var (
	lasting = []string{"people", "sites", "beds", "consents"}
	yearly  = []string{"waves", "prices", "trials"}
	single  = []string{"funders", "rates", "audience", "must_vanish"}
)

// personal are columns with the code of a person that no table need have.
var personal = []string{"person", "host", "staff_lead", "staff_with", "staff", "answered_by"}

// Of gives the files of ten years of so many offices, each of which had this year ten times. Up to four of them share a county's name with a number. The
// funder F asks for all of it by the rules of the first funder of the year.
func Of(year programme.Records, offices int) map[string]string {
	f := year.Funders[0]
	f.ID, f.From = "F", f.From-(years-1)*inYear
	year.Funders = []programme.Funder{f}
	waves := slices.Clone(year.Waves)
	for i := range waves {
		waves[i].Count *= offices
	}
	year.Waves = waves
	files := map[string]string{}
	for _, form := range programme.Forms() {
		ages, many := years, offices
		switch {
		case slices.Contains(single, form.Table):
			ages, many = 1, 1
		case slices.Contains(yearly, form.Table):
			many = 1
		case form.Table == "counties":
			ages, many = 1, min(4, offices)
		case slices.Contains(lasting, form.Table):
			ages = 1
		}
		var text strings.Builder
		out := csv.NewWriter(&text)
		line := make([]string, len(form.Fields))
		for i, field := range form.Fields {
			line[i] = field.Name
		}
		out.Write(line)
		rows := year.Rows(form.Table)
		for y := range ages {
			for o := range many {
				for _, row := range rows {
					for i, field := range form.Fields {
						line[i] = elsewhere(form, field, row[i], y, o)
					}
					out.Write(line)
				}
			}
		}
		if out.Flush(); len(rows) > 0 {
			files[form.Table+".csv"] = text.String()
		}
	}
	return files
}

// elsewhere gives what stands in a field so many years before, in another office.
func elsewhere(form programme.Form, field programme.Field, text string, y, o int) string {
	of, first := field.Of, field.Name == form.Fields[0].Name
	switch {
	case slices.Contains(single, form.Table) || text == "":
		return text
	case first && (form.Named || form.Table == "trials" || form.Table == "answers"):
		of = form.Table
	case slices.Contains(personal, field.Name):
		of = "people"
	case field.Name == "record":
		of = "events"
	}
	switch {
	case of == "counties" && o%4 > 0:
		return text + strconv.Itoa(o%4)
	case of == "counties", slices.Contains(single, of):
		return text
	case slices.Contains(lasting, of):
		return text + "-" + strconv.Itoa(o)
	case slices.Contains(yearly, of):
		return text + "-" + strconv.Itoa(y)
	case of != "":
		return text + "-" + strconv.Itoa(o) + "-" + strconv.Itoa(y)
	}
	day, ok := programme.ParseDay(text)
	switch {
	case !ok || field.Kind != programme.DayField:
		return text
	case !slices.Contains(lasting, form.Table):
		day -= programme.Day(y) * inYear
	case field.Name != "withdrawn" && field.Name != "closed" && field.Name != "retired":
		day -= (years - 1) * inYear // there from the beginning
	}
	return day.String()
}
