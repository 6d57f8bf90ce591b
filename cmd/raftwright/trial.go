package main

import (
	"bytes"
	"crypto/rand"
	"encoding/binary"
	"fmt"
	"os"

	"raftwright/finding"
	"raftwright/lang"
	"raftwright/packet"
	"raftwright/page"
	"raftwright/plan"
	"raftwright/press"
	"raftwright/trial"
	"raftwright/unit"
)

// trialCmd lays a trial out, or compares what was weighed.
type trialCmd struct {
	onBrief
	Of      string  `enum:"variety,cup,plug,spacing,feed,depth,air,site" default:"variety"`
	First   string  `placeholder:"NAME" required:""`
	Second  string  `placeholder:"NAME" required:""`
	Seed    *uint32 `placeholder:"NUMBER"`
	Strips  int     `placeholder:"NUMBER"`
	Beds    int     `placeholder:"NUMBER"`
	Spread  string  `placeholder:"MASS"`
	Weights string  `placeholder:"FILE"`
	Out     string  `short:"o" name:"out" placeholder:"FILE"`
	printing
}

// Faults of what the command is told of a trial.
const (
	FaultSeed   finding.ID = "command.fault.seed"
	FaultSpread finding.ID = "command.fault.spread"
	FaultSites  finding.ID = "command.fault.sites"
)

// mostWeights is the most bytes of a table of weights that is read.
const mostWeights = 1 << 20

// Run lays a trial out, or compares what was weighed.
func (c trialCmd) Run(s streams) error {
	t := trial.Trial{Of: trial.Subject(c.Of), First: c.First, Other: c.Second}
	if c.Spread != "" {
		m, err := unit.MassKind.Parse(c.Spread)
		if t.Spread = unit.Mass(m).Grams(); err != nil || t.Spread <= 0 {
			return finding.Fault{ID: FaultSpread, Args: finding.Args{"Text": c.Spread}}
		}
	}
	if t.Of == trial.Site && c.Weights == "" {
		return finding.Fault{ID: FaultSites}
	}
	parts := plan.Raft
	if !t.Of.Inside() || c.Beds > 0 {
		parts = 0
	}
	p, err := c.think(s, parts)
	if err != nil {
		return err
	}
	faults, err := c.lay(&t, p)
	if err == nil && len(faults) == 0 && c.Weights != "" {
		faults, err = c.weigh(&t)
	}
	if err != nil {
		return err
	}
	if len(faults) > 0 {
		return report(s, p.Brief, faults)
	}
	return c.print(s, p, t)
}

// lay draws the lot.
func (c trialCmd) lay(t *trial.Trial, p plan.Plan) (finding.Faults, error) {
	var seed uint64
	switch {
	case t.Of == trial.Site:
		return nil, nil
	case c.Seed != nil:
		seed = uint64(*c.Seed)
	case c.Weights != "":
		return nil, finding.Fault{ID: FaultSeed}
	default:
		var chance [4]byte
		if _, err := rand.Read(chance[:]); err != nil {
			return nil, err
		}
		seed = uint64(binary.LittleEndian.Uint32(chance[:]))
	}
	if c.Beds > 0 || !t.Of.Inside() {
		beds := c.Beds
		if beds == 0 {
			if beds = p.Brief.Bed.Count.Value; beds < 2 {
				return finding.Faults{{ID: trial.FaultShared, Args: finding.Args{"Of": c.Of}}}, nil
			}
		}
		b, faults := trial.Over(beds, seed)
		t.Beds = &b
		return faults, nil
	}
	if p.Raft == nil {
		return nil, finding.Fault{ID: packet.FaultNoRaft}
	}
	var holes [][2]float64
	for _, q := range p.Raft.Positions {
		holes = append(holes, [2]float64{float64(q.X), float64(q.Y)})
	}
	l, faults := trial.Lay(holes, seed, c.Strips)
	t.Layout = &l
	return faults, nil
}

// weigh reads what was weighed.
func (c trialCmd) weigh(t *trial.Trial) (finding.Faults, error) {
	text, err := readFile(os.OpenFile, c.Weights, c.Weights, mostWeights)
	if err != nil {
		return nil, err
	}
	var r trial.Result
	var faults finding.Faults
	switch {
	case t.Of == trial.Site:
		r, faults = trial.ReadSites(c.Weights, string(text))
	case t.Beds != nil:
		r, faults = trial.Read(c.Weights, string(text), t.Beds.Plots())
	default:
		r, faults = trial.Read(c.Weights, string(text), t.Layout.Plots())
	}
	t.Result = &r
	return faults, nil
}

// print writes the trial on the terminal, or its paper into a file.
func (c trialCmd) print(s streams, p plan.Plan, t trial.Trial) error {
	words, err := printer(p)
	if err != nil {
		return err
	}
	o := c.options(p.Metric())
	doc := packet.Trial(p, t, words, o)
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
		doc = page.Both(doc, packet.Trial(p.In(second), t, other, o))
	}
	out, err := pressed(doc, c.Out)
	if err != nil {
		return err
	}
	if err := s.write(c.Out, out, append(c.inputs(p.Brief.Named()...), c.Weights), c.Force); err != nil || c.Out == "-" {
		return err
	}
	fmt.Fprintln(s.err, words.Say("command.trial", finding.Args{"File": c.Out}))
	return nil
}
