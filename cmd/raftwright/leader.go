package main

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"

	"raftwright/finding"
	"raftwright/lang"
	"raftwright/packet"
	"raftwright/page"
	"raftwright/plan"
	"raftwright/press/paper"
	"raftwright/workshop"
)

// FaultFolder is a folder that cannot be made.
const FaultFolder finding.ID = "file.fault.folder"

// leaderFile is the name of the leader's document in its folder; the packets of the families lie beside it.
const leaderFile = "leader.pdf"

// lead writes the document of who leads a workshop, and, into a folder, the packet of each family.
func (c packetCmd) lead(s streams) error {
	j, err := c.read(s)
	if err != nil {
		return err
	}
	if len(j.Wrong) > 0 {
		return report(s, j.Brief, j.Wrong)
	}
	families, faults, err := c.families(j)
	if err != nil {
		return err
	}
	var ws workshop.Workshop
	if len(faults) == 0 {
		ws, faults = workshop.Make(j, families)
	}
	if len(faults) > 0 {
		return report(s, j.Brief, faults)
	}
	options, err := c.options(ws.Bed().Metric())
	if err != nil {
		return err
	}
	words, err := s.speaks(j.Brief)
	if err != nil {
		return err
	}
	there, err := os.Stat(c.Out)
	folder := c.Out != "-" && (filepath.Ext(c.Out) == "" || err == nil && there.IsDir())
	name := c.Out
	if folder {
		if err := os.MkdirAll(c.Out, 0o755); err != nil {
			return finding.Fault{ID: FaultFolder, Args: finding.Args{"File": c.Out, "Reason": reason(err)}}
		}
		name = filepath.Join(c.Out, leaderFile)
	}
	doc := packet.Leader(ws, words, options)
	if second, also := s.tongue.second(); also {
		other, err := lang.For(second, words.Units)
		if err != nil {
			return err
		}
		doc = page.Both(doc, packet.Leader(ws, other, options))
	}
	out, err := pressed(doc, name)
	if err != nil {
		return err
	}
	if err := s.write(name, out, c.inputs(j.Brief.Named()...), c.Force); err != nil {
		return err
	}
	if folder {
		if err := c.packets(s, ws, options); err != nil {
			return err
		}
		fmt.Fprintln(s.err, words.Say("command.leader", finding.Args{"Count": len(families), "Folder": c.Out}))
		if old := leftOver(c.Out, families); len(old) > 0 {
			fmt.Fprintln(s.err, words.Say("command.leader_old", finding.Args{"Names": strings.Join(old, ", ")}))
		}
	}
	return c.warn(s, ws, words)
}

// families reads who comes: a number, a table, or as many as the brief has beds.
func (c packetCmd) families(j plan.Job) ([]workshop.Family, finding.Faults, error) {
	n, err := strconv.Atoi(c.Families)
	if c.Families == "" {
		n, err = j.Brief.Bed.Count.Value, nil
	}
	if err == nil {
		families, faults := workshop.Alike(j.Brief, n)
		return families, faults, nil
	}
	text, err := readFile(os.OpenFile, c.Families, c.Families, mostBrief)
	if err != nil {
		return nil, nil, err
	}
	families, faults := workshop.Read(c.Families, text, j.Brief)
	return families, faults, nil
}

// kitFile is the name of the packet of a kit.
func kitFile(code string) string { return "kit-" + code + ".pdf" }

// leftOver lists the packets in a folder that are of no family who comes now.
func leftOver(folder string, families []workshop.Family) []string {
	there, err := filepath.Glob(filepath.Join(folder, kitFile("*")))
	if err != nil {
		return nil
	}
	var old []string
	for _, path := range there {
		name := filepath.Base(path)
		if !slices.ContainsFunc(families, func(f workshop.Family) bool { return kitFile(f.Code) == name }) {
			old = append(old, name)
		}
	}
	return old
}

// packets writes the packet of each family beside the leader's document, two at a time.
func (c packetCmd) packets(s streams, ws workshop.Workshop, options packet.Options) error {
	errs := make([]error, len(ws.Each))
	var alike paper.Memory
	turn := make(chan struct{}, 2)
	var all sync.WaitGroup
	for i, p := range ws.Each {
		turn <- struct{}{}
		all.Go(func() {
			defer func() { <-turn }()
			errs[i] = c.packet(s, p, &alike, filepath.Join(c.Out, kitFile(ws.Families[i].Code)), options)
		})
	}
	all.Wait()
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}

// packet writes the packet of one family in its language, with what it has in common with others.
func (c packetCmd) packet(s streams, p plan.Plan, alike *paper.Memory, name string, options packet.Options) error {
	p = p.In(s.tongue.of(p.Brief))
	words, err := printer(p)
	if err != nil {
		return err
	}
	doc, err := c.spoken(s, p, words, options)
	if err != nil {
		return err
	}
	var out bytes.Buffer
	if err := alike.PDF(doc, &out); err != nil {
		return err
	}
	return s.write(name, out.Bytes(), c.inputs(p.Brief.Named()...), c.Force)
}

// warn tells the families whose plan cannot stand, and why; what several share is told once.
func (c packetCmd) warn(s streams, ws workshop.Workshop, words *lang.Printer) error {
	var err error
	told := map[string]bool{}
	for i, p := range ws.Each {
		if p.Worst() != finding.Stop {
			continue
		}
		err = status(exitStop)
		why := ""
		for _, f := range p.Findings {
			if f.Severity == finding.Stop {
				why += words.Finding(f)
			}
		}
		fmt.Fprintln(s.err, words.Say("leader.kit", finding.Args{"Code": ws.Families[i].Code}))
		if !told[why] {
			tellStops(s.err, p, words)
		}
		told[why] = true
	}
	return err
}
