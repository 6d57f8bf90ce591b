package main

import (
	"bytes"
	"fmt"
	"strings"

	"raftwright/answer"
	"raftwright/finding"
	"raftwright/lang"
	"raftwright/unit"
)

type placeCmd struct {
	Place  []string `arg:""`
	JSON   bool     `name:"json"`
	Metric bool
}

// Run says where a place is, and which climate stations stand near it.
func (c placeCmd) Run(s streams) error {
	d := answer.Places(atlas(), strings.Join(c.Place, " "))
	var out bytes.Buffer
	if c.JSON {
		if err := answer.Write(&out, d); err != nil {
			return err
		}
		return c.end(s, d, out.Bytes())
	}
	units := lang.US
	if c.Metric {
		units = lang.Metric
	}
	words, err := lang.For(s.tongue.of(nil), units)
	if err != nil {
		return err
	}
	list := d.Places
	if len(list) == 0 {
		list = d.Near
		fmt.Fprintln(&out, words.Say("place.unknown", finding.Args{"Text": strings.Join(c.Place, " "), "Some": len(list) > 0}))
	}
	if len(d.Places) > 1 {
		fmt.Fprintln(&out, words.Say("place.twice", finding.Args{"Text": strings.Join(c.Place, " ")}))
	}
	for _, p := range list {
		fmt.Fprintln(&out, words.Say("place.at", finding.Args{"Name": strings.TrimSpace(p.Name + " " + p.State), "County": p.County,
			"Latitude": words.Fixed(p.Lat, 3), "Longitude": words.Fixed(p.Lon, 3)}))
		for _, n := range p.Stations {
			if len(d.Places) == 1 {
				fmt.Fprintln(&out, "  "+words.Say("place.station", finding.Args{"Name": n.Name, "ID": n.ID, "Away": unit.Length(n.Away) * unit.Kilometre,
					"Altitude": unit.Length(n.Height) * unit.Metre}))
			}
		}
	}
	return c.end(s, d, out.Bytes())
}

// end prints; a place that is not known, or more than one, is the asker's to mend.
func (c placeCmd) end(s streams, d answer.PlaceDocument, text []byte) error {
	if err := s.print(text); err != nil {
		return err
	}
	if len(d.Places) != 1 {
		return status(exitFaults)
	}
	return nil
}
