package frame

import (
	"raftwright/finding"
	"raftwright/unit"
	"raftwright/usual"
)

// Findings about what the bed stands on, the rain, the raft, the liner and
// ready-made vessels.
const (
	FindRoof       finding.ID = "frame.roof"
	FindDeckStop   finding.ID = "frame.deck_stop"
	FindDeck       finding.ID = "frame.deck"
	FindDeckLight  finding.ID = "frame.deck_light"
	FindSoil       finding.ID = "frame.soil"
	FindLevel      finding.ID = "frame.level"
	FindLevelBig   finding.ID = "frame.level_big"
	FindSlide      finding.ID = "frame.slide"
	FindGrounded   finding.ID = "frame.grounded"
	FindDryEnd     finding.ID = "frame.dry_end"
	FindBlockHigh  finding.ID = "frame.block_high"
	FindBlockRest  finding.ID = "frame.block_rest"
	FindNotch      finding.ID = "frame.notch"
	FindNoNotch    finding.ID = "frame.no_notch"
	FindRainSpills finding.ID = "frame.rain_spills"
	FindRainHolds  finding.ID = "frame.rain_holds"
	FindRainBoards finding.ID = "frame.rain_boards"
	FindFill       finding.ID = "frame.fill"
	FindRaftRim    finding.ID = "frame.raft_rim"
	FindRaftLoose  finding.ID = "frame.raft_loose"
	FindBlockRaft  finding.ID = "frame.block_raft"
	FindLinerThin  finding.ID = "frame.liner_thin"
	FindLinerThick finding.ID = "frame.liner_thick"
	FindLinerNone  finding.ID = "frame.liner_none"
	FindLinerBuy   finding.ID = "frame.liner_buy"
	FindRoundWall  finding.ID = "frame.round_wall"
	FindTubWall    finding.ID = "frame.tub_wall"
	FindTubShort   finding.ID = "frame.tub_short"
	FindLocalCode  finding.ID = "frame.local_code"
)

// judgeSite gives the findings that do not decide on boards.
func (b *Bed) judgeSite() (out report) {
	b.judgeSupport(&out)
	b.judgeLevel(&out)
	b.judgeRain(&out)
	b.judgeRaft(&out)
	b.judgeLiner(&out)
	out.add(FindFill, finding.Note, b.HoseTime, srcOwn, finding.Args{"Count": b.Buckets, "Volume": b.Volume, "Flow": b.Job.Hose, "Time": b.HoseTime,
		"Bucket": b.Job.Bucket, "Mass": WaterDensity.Of(b.Job.Bucket)}).Act = finding.AtFill
	switch b.Job.Vessel.Shape {
	case RoundShape:
		out.add(FindRoundWall, finding.Caution, b.Hoop, srcPractice, finding.Args{"Hoop": b.Hoop})
	case TubShape:
		out.add(FindTubWall, finding.Caution, nil, srcPractice, nil)
	default:
		out.add(FindLocalCode, finding.Note, nil, srcOwn, nil)
	}
	if b.Job.Vessel.Shape != FrameShape && b.Job.Depth+b.Job.LevelError/2 > b.Brim {
		out.add(FindTubShort, finding.Stop, b.Brim, srcOwn, finding.Args{"Depth": b.Level.Greatest, "Wall": b.Brim, "Most": max(0, b.Brim-b.Job.LevelError/2-unit.Inch)})
	}
	return out
}

// judgeSupport applies the rule for anything but ground: over 20 psf and over the
// weight of a person, bed to the brim with frame, raft and crop, stop until a
// licensed engineer or the building department says yes; a roof never.
func (b *Bed) judgeSupport(out *report) {
	area, wall := b.passesDeck()
	args := finding.Args{"Load": b.Floor.Full, "Limit": unit.Pressure(deckLimit), "Mass": b.Floor.Mass, "Person": unit.Mass(onePerson), "Area": area, "Wall": wall,
		"Low": wall >= leastDepth+unit.Inch, "Support": b.Job.Support.Word()}
	switch {
	case b.Job.Support == Roof:
		out.add(FindRoof, finding.Stop, b.Floor.Full, srcOwn, args)
	case b.Job.Support == Ground:
		if b.Floor.SoilUse > 1 {
			out.add(FindSoil, finding.Stop, b.Floor.Full, "ibc1806", args)
		}
	case !b.carried():
		out.add(FindDeckStop, finding.Stop, b.Floor.Full, "irc-r301", args)
	case b.Floor.Full > deckLimit:
		out.add(FindDeckLight, finding.Note, b.Floor.Mass, srcOwn, args)
	default:
		out.add(FindDeck, finding.Caution, b.Floor.Full, "irc-r301", args)
	}
}

// carried tells whether what the bed stands on may carry it.
func (b *Bed) carried() bool {
	return b.Job.Support == Ground || b.Job.Support != Roof && (b.Floor.Full <= deckLimit || b.Floor.Light)
}

// passesDeck gives what would pass on a deck, for all beds together: the floor of a bed
// with walls as high as these, and the height of the walls on a floor of this size. Each
// weighs a person, full to the brim.
func (b *Bed) passesDeck() (area unit.Area, wall unit.Length) {
	most := float64(unit.Mass(onePerson).Weight()) / float64(b.Job.Count)
	base := float64(b.Job.Vessel.BaseArea())
	room := most/base - float64(b.Floor.Extra)
	if b.Job.Vessel.Tapered() || room < 0 { // a leaning wall holds more than stands over its floor
		room *= base / float64(b.Job.Vessel.SurfaceAt(b.Brim))
	}
	return unit.Area(most / float64(b.Floor.Full)), unit.Length(max(0, room/waterWeight))
}

// finestLevel is as level as anyone gets the ground (common practice).
const finestLevel = 3 * unit.Millimetre

// LevelTo gives how level the ground must be from end to end: as the frame was
// judged, but no worse than a builder is asked for, 1/4 in for each 8 ft, and no
// finer than anyone gets it.
func (b Bed) LevelTo() unit.Length {
	run := max(b.Job.Vessel.Length, b.Job.Vessel.Diameter)
	most := usual.Level * max(1, run/(8*unit.Foot))
	return max(min(b.Job.LevelError, most), finestLevel)
}

func (b *Bed) judgeLevel(out *report) {
	lv, j := b.Level, b.Job
	if lv.Error == 0 {
		return
	}
	args := finding.Args{"Error": lv.Error, "Least": lv.Least, "Greatest": lv.Greatest, "Gain": lv.ThrustGain, "Lost": lv.BrimLost,
		"Asked": b.LevelTo()}
	out.add(FindLevel, finding.Note, lv.Greatest, srcOwn, args).Act = finding.AtFill
	if lv.Error > b.LevelTo()*1.0001 {
		out.add(FindLevelBig, finding.Caution, lv.Error, srcPractice, args)
	}
	if lv.SlideUse > 1 || lv.TipUse > 1 {
		out.add(FindSlide, finding.Caution, lv.Unbalanced, "ibc1806", finding.Args{"Force": lv.Unbalanced, "Use": max(lv.SlideUse, lv.TipUse), "Ground": j.Support == Ground})
	}
	if lv.Least == 0 {
		out.add(FindDryEnd, finding.Stop, lv.Error, srcOwn, args)
		return
	}
	if below := j.Raft.Draft + j.Raft.Hang; below > 0 && lv.Least < below {
		out.add(FindGrounded, finding.Caution, lv.Least, srcOwn, finding.Args{"Least": lv.Least, "Below": below})
	}
}

func (b *Bed) judgeRain(out *report) {
	if !b.Job.OpenToRain || b.Brim <= b.Job.Depth {
		return
	}
	for _, r := range b.Rain {
		args := finding.Args{"Fall": r.Fall, "Depth": r.Depth, "Spilled": r.Spilled, "Share": r.Share, "Use": r.Use}
		if r.Spilled > 0 {
			severity := finding.Caution
			if b.Notch.Possible && r.Fall > unit.Inch {
				severity = finding.Note // the overflow takes it
			}
			out.add(FindRainSpills, severity, r.Spilled, srcOwn, args).Act = finding.AtFill
			break
		}
		if r.Use > 0 && r.Use < MostUse {
			out.add(FindRainBoards, finding.Note, r.Depth, srcOwn, args)
			continue
		}
		out.add(FindRainHolds, finding.Note, r.Depth, srcOwn, args).Act = finding.AtFill
	}
	if n := b.Notch; n.Possible {
		out.add(FindNotch, finding.Note, n.Sill, srcOwn, finding.Args{"Sill": n.Sill, "Above": n.Sill - b.Job.Depth, "Width": n.Width, "Head": n.Head, "Ground": b.Job.Support == Ground})
	} else {
		out.add(FindNoNotch, finding.Caution, b.Brim, srcOwn, finding.Args{"Free": b.Brim - b.Job.Depth})
	}
}

// judgeRaft compares the floating raft with the lowest wall top.
func (b *Bed) judgeRaft(out *report) {
	r := b.Job.Raft
	if r.Thickness == 0 || b.Brim <= b.Job.Depth {
		return
	}
	top := b.Job.Depth - r.Draft + r.Thickness
	inside := b.Brim - (b.Job.Depth - r.Draft)
	args := finding.Args{"Top": top - b.Brim, "Inside": inside}
	switch {
	case inside < r.Thickness/2:
		out.add(FindRaftLoose, finding.Caution, inside, srcOwn, args)
	case top > b.Brim+unit.Inch/4:
		out.add(FindRaftRim, finding.Note, top, srcOwn, args)
	}
	if l := b.Corner.BlockLength; l > 0 && l == r.Rest {
		out.add(FindBlockRest, finding.Note, l, srcOwn, finding.Args{"Length": l})
	} else if l > 0 && l < b.Brim {
		out.add(FindBlockRaft, finding.Note, b.Corner.BlockLength, srcOwn,
			finding.Args{"Length": b.Corner.BlockLength, "Fall": b.Job.Depth - r.Draft - b.Corner.BlockLength, "Block": b.Corner.Block.String()})
	} else if l > 0 {
		out.add(FindBlockHigh, finding.Note, b.Corner.BlockLength, srcOwn,
			finding.Args{"Cut": (b.Job.section(b.Corner.Block).Thick - r.Gap + max(r.Gap, unit.Inch/2)).ToMark(4, unit.Up)})
	}
}

func (b *Bed) judgeLiner(out *report) {
	n := b.Liner
	if !n.Wanted {
		return
	}
	if b.Job.Liner.Thickness < 5.9*unit.Mil {
		out.add(FindLinerThin, finding.Caution, b.Job.Liner.Thickness, "greenhouse-film", finding.Args{"Thickness": b.Job.Liner.Thickness}).Act = finding.AtLiner
	}
	if len(n.Options) == 0 {
		out.add(FindLinerNone, finding.Stop, n.Area, srcPractice, finding.Args{"Length": n.Length, "Width": n.Width}).Act = finding.AtLiner
		return
	}
	best := n.Options[0]
	if best.Sheet.Thickness < b.Job.Liner.Thickness-unit.Mil/10 {
		out.add(FindLinerThick, finding.Caution, best.Sheet.Thickness, srcPractice, finding.Args{"WantedThickness": b.Job.Liner.Thickness, "Thickness": best.Sheet.Thickness}).Act = finding.AtLiner
	}
	out.add(FindLinerBuy, finding.Note, n.Area, best.Sheet.Source, finding.Args{"Length": n.Length, "Width": n.Width,
		"Count": best.Buy, "Thickness": best.Sheet.Thickness, "StockWidth": best.Sheet.Width, "StockLength": best.Sheet.Length, "Beds": best.Pieces, "Material": best.Sheet.Word(), "Low": best.Sheet.LifeLow, "High": best.Sheet.LifeHigh}).Act = finding.AtLiner
}
