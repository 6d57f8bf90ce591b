package main

import (
	"bytes"
	"fmt"
	"os"

	"raftwright/cost"
	"raftwright/finding"
	"raftwright/lang"
	"raftwright/packet"
	"raftwright/page"
	"raftwright/plan"
	"raftwright/press"
	"raftwright/programme"
)

// paperCmd writes a paper that is filled from the plan.
type paperCmd struct {
	onBrief
	Kind         string   `enum:"garden,selling,season" required:""`
	Year         int      `placeholder:"YEAR"`
	Sales        string   `placeholder:"FILE"`
	FoodLimit    float64  `placeholder:"DOLLARS"`
	ProduceLimit float64  `placeholder:"DOLLARS"`
	LimitsFrom   string   `placeholder:"TEXT"`
	Name         string   `placeholder:"TEXT"`
	Lines        []string `name:"line" sep:"none" placeholder:"TEXT"`
	County       string   `placeholder:"NAME"`
	Month        int      `placeholder:"NUMBER" default:"1"`
	Months       int      `placeholder:"NUMBER" default:"3"`
	Records      string   `placeholder:"DIR"`
	Out          string   `short:"o" name:"out" placeholder:"FILE"`
	printing
}

// FaultMonth is a month that is none.
const FaultMonth finding.ID = "command.fault.month"

// Run writes the paper.
func (c paperCmd) Run(s streams) error {
	for _, m := range []int{c.Month, c.Months} {
		if m < 1 || m > 12 {
			return finding.Fault{ID: FaultMonth, Args: finding.Args{"Text": fmt.Sprint(m)}}
		}
	}
	p, err := c.think(s, plan.Everything)
	if err != nil {
		return err
	}
	var sales *cost.SalesSheet
	if c.Sales != "" {
		sheet, faults, err := c.sheet()
		if err != nil {
			return err
		}
		if len(faults) > 0 {
			return report(s, p.Brief, faults)
		}
		sales = &sheet
	}
	topics, err := c.topics(s)
	if err != nil {
		return err
	}
	o := c.options(p.Metric())
	make := func(p plan.Plan, words *lang.Printer) (page.Document, error) {
		switch c.Kind {
		case "garden":
			return packet.GardenSafety(p, words, o), nil
		case "selling":
			return packet.Selling(p, sales, packet.Seller{Name: c.Name, Address: c.Lines, Year: c.Year}, words, o), nil
		}
		return packet.SeasonLetter(p, c.County, c.Month, c.Months, topics, words, o)
	}
	words, err := printer(p)
	if err != nil {
		return err
	}
	doc, err := make(p, words)
	if err != nil {
		return err
	}
	if c.Out == "" {
		var out bytes.Buffer
		if err := press.Text(doc, &out, 100); err != nil {
			return err
		}
		return s.print(out.Bytes())
	}
	if second, also := s.tongue.second(); also {
		other, err := lang.For(second, words.Units)
		if err != nil {
			return err
		}
		with, err := make(p.In(second), other)
		if err != nil {
			return err
		}
		doc = page.Both(doc, with)
	}
	out, err := pressed(doc, c.Out)
	if err != nil {
		return err
	}
	if err := s.write(c.Out, out, append(c.inputs(p.Brief.Named()...), c.Sales), c.Force); err != nil || c.Out == "-" {
		return err
	}
	fmt.Fprintln(s.err, words.Say("command.paper", finding.Args{"File": c.Out}))
	return nil
}

// sheet reads the sales and holds them against the limits.
func (c paperCmd) sheet() (cost.SalesSheet, finding.Faults, error) {
	text, err := readFile(os.OpenFile, c.Sales, c.Sales, mostWeights)
	if err != nil {
		return cost.SalesSheet{}, nil, err
	}
	years, faults := cost.ReadSales(c.Sales, string(text))
	if len(faults) > 0 {
		return cost.SalesSheet{}, faults, nil
	}
	sheet, faults := cost.CheckSales(c.Year, years, cost.SalesLimits{Food: c.FoodLimit, Produce: c.ProduceLimit, From: c.LimitsFrom})
	return sheet, faults, nil
}

// topics reads the records and counts what was asked in the months of the letter.
func (c paperCmd) topics(s streams) ([]string, error) {
	if c.Records == "" {
		return nil, nil
	}
	files, _, err := reportCmd{Dir: c.Records}.read()
	if err != nil {
		return nil, err
	}
	records, faults := programme.Read(files)
	if len(faults) > 0 {
		return nil, report(s, nil, faults)
	}
	var months []int
	for i := range c.Months {
		months = append(months, (c.Month-1+i)%12+1)
	}
	county := ""
	for _, x := range records.Counties {
		if x.Name == c.County || x.ID == c.County {
			county = x.ID
		}
	}
	return records.Topics(county, months), nil
}
