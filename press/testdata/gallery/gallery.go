// Package gallery is an invented document with every kind of block, for the tests
// of the press and for a person to look at.
package gallery

import (
	"fmt"

	"raftwright/draw"
	"raftwright/finding"
	"raftwright/page"
	"raftwright/unit"
)

// BedPlan draws a bed from above: frame, liner, raft with holes, dimensions.
func BedPlan() draw.Drawing {
	const in, ft = unit.Inch, unit.Foot
	d := draw.Drawing{ID: "bed-plan", Title: "The bed from above",
		Alt: "A wooden frame 100 inches by 52 inches outside. Inside it floats one white foam sheet, 96 by 48 inches, with 32 holes in 4 rows of 8, 12 inches apart and 6 inches from the edges."}
	d.Add(draw.Rect(draw.At(0, 0), 100*in, 52*in).Filled(draw.Wood).In(draw.Heavy, draw.Solid).Named("frame", "Frame"),
		draw.Rect(draw.At(1.5*in, 1.5*in), 97*in, 49*in).Filled(draw.Water).Named("water", "Water"),
		draw.Rect(draw.At(2*in, 2*in), 8*ft, 4*ft).Filled(draw.White).Named("raft", "Raft"))
	holes := draw.Group{ID: "holes", Title: "Holes"}
	for r := range 4 {
		for c := range 8 {
			holes.Items = append(holes.Items, draw.Circle(draw.At(8*in+unit.Length(c)*ft, 8*in+unit.Length(r)*ft), 1.25*in))
		}
	}
	d.Add(holes,
		draw.Dimension{From: draw.At(0, 52*in), To: draw.At(100*in, 52*in), Offset: 16, Label: "100 in (8 ft 4 in) outside"},
		draw.Dimension{From: draw.At(0, 0), To: draw.At(0, 52*in), Offset: 16, Label: "52 in"},
		draw.Dimension{From: draw.At(8*in, 8*in), To: draw.At(20*in, 8*in), Offset: -40, Label: "12 in"},
		draw.Dimension{From: draw.At(2*in, 8*in), To: draw.At(8*in, 8*in), Offset: -40, Label: "6 in", Tip: draw.Ticks},
		draw.Callout{Tip: draw.At(68*in, 32*in), Dx: 52, Dy: -70, Text: "hole 2½ in,\n32 in all"})
	return d
}

// Section draws the bed cut through, with one of each material.
func Section() draw.Drawing {
	const in = unit.Inch
	d := draw.Drawing{ID: "section", Title: "The bed cut through", Alt: "Side board 7¼ in high on level soil, liner inside, 6 in of water, a foam raft 1½ in thick floating on it."}
	d.Add(draw.Rect(draw.At(-6*in, -2*in), 32*in, 2*in).Filled(draw.Soil).In(draw.NoLine, draw.Solid),
		draw.Line(draw.At(-6*in, 0), draw.At(26*in, 0)),
		draw.Rect(draw.At(0, 0), 1.5*in, 7.25*in).Filled(draw.Wood).In(draw.Heavy, draw.Solid),
		draw.Rect(draw.At(1.5*in, 0), 24.5*in, 6*in).Filled(draw.Water).In(draw.NoLine, draw.Solid),
		draw.Polygon(draw.At(1.5*in, 7.25*in), draw.At(1.5*in, 0), draw.At(26*in, 0), draw.At(26*in, 0.25*in), draw.At(1.75*in, 0.25*in), draw.At(1.75*in, 7.25*in)).Filled(draw.Liner).In(draw.Thin, draw.Solid),
		draw.Rect(draw.At(2.5*in, 5.5*in), 23.5*in, 1.5*in).Filled(draw.Foam),
		draw.Line(draw.At(1.75*in, 6*in), draw.At(26*in, 6*in)).In(draw.Thin, draw.DashDot),
		draw.Dimension{From: draw.At(26*in, 0), To: draw.At(26*in, 6*in), Offset: -20, Label: "6 in"},
		draw.Dimension{From: draw.At(0, 0), To: draw.At(0, 7.25*in), Offset: 24, Label: "7¼ in"},
		draw.Dimension{From: draw.At(0, 7.25*in), To: draw.At(1.5*in, 7.25*in), Offset: 10, Label: "1½ in", Tip: draw.Ticks},
		draw.Callout{Tip: draw.At(14*in, 6.6*in), Dx: 24, Dy: 40, Text: "foam raft 1½ in"},
		draw.Callout{Tip: draw.At(1.62*in, 6.8*in), Dx: 60, Dy: 34, Text: "liner, folded over"})
	return d
}

// Template draws a full-size sheet.
func Template() draw.Drawing {
	const mm = unit.Millimetre
	d := draw.Drawing{ID: "template", Title: "Template, sheet A1", Alt: "A bar of exactly 100 mm and two registration marks."}
	d.Add(draw.Rect(draw.At(0, 0), 8.5*unit.Inch, 11*unit.Inch).In(draw.NoLine, draw.Solid),
		draw.Rect(draw.At(40*mm, 60*mm), 100*mm, 3*mm).Filled(draw.Black).Named("check-bar", "100 mm"),
		draw.Text{At: draw.At(40*mm, 68*mm), Text: "This bar must measure 100 mm."},
		draw.Circle(draw.At(100*mm, 150*mm), 1.25*unit.Inch).In(draw.Heavy, draw.Solid),
		draw.Marker{At: draw.At(100*mm, 150*mm), Shape: draw.Register, Size: 18},
		draw.Marker{At: draw.At(20*mm, 20*mm), Shape: draw.Register, Size: 24}, draw.Marker{At: draw.At(195*mm, 20*mm), Shape: draw.Register, Size: 24})
	return d
}

// Season draws light, warmth and windows by month.
func Season(large bool) draw.Drawing {
	months := []string{"J", "F", "M", "A", "M", "J", "J", "A", "S", "O", "N", "D"}
	light := []float64{12, 18, 25, 33, 38, 41, 40, 36, 28, 20, 13, 10}
	pool := []float64{6, 7, 10, 14, 18, 22, 25, 24, 20, 15, 10, 7}
	low, high := make([]float64, 12), make([]float64, 12)
	for i, v := range pool {
		low[i], high[i] = v-2, v+3
	}
	grow := draw.Points(1)
	if large {
		grow = 1.5
	}
	a := draw.Chart{ID: "light", Title: "Light", Alt: "Light by month.", Left: 100, Grow: grow, Height: 150, Slots: months, Axis: "Light, mol/m² a day",
		Series: []draw.Series{{Label: "open sky", Values: light, Marked: true, Shape: draw.Disc}}, Limits: []draw.Limit{{Label: "least for lettuce", Value: 14, Dash: draw.Dashed}}}
	b := draw.Chart{ID: "pool", Title: "Solution", Alt: "Warmth of the solution by month.", Left: 100, Grow: grow, Height: 170, Slots: months, Axis: "Solution, °C",
		Series: []draw.Series{{Label: "mean", Values: pool, Weight: draw.Heavy}, {Label: "air", Values: []float64{1, 2, 6, 12, 17, 22, 25, 24, 19, 13, 7, 3}, Dash: draw.Dashed, Marked: true, Shape: draw.Ring}},
		Bands:  []draw.Band{{Label: "nine days in ten", Low: low, High: high, Fill: draw.Rising}}}
	c := draw.Timeline{ID: "windows", Title: "Windows", Alt: "When each crop can stand in the bed.", Left: 100, Grow: grow, Slots: months, Rows: []draw.TimelineRow{
		{Label: "leaf lettuce", Spans: []draw.Span{{From: 2.5, To: 6, Fill: draw.MidGray}, {From: 8, To: 10.2, Fill: draw.MidGray}, {From: 6, To: 8, Fill: draw.Rising, Label: "too warm"}}},
		{Label: "basil", Spans: []draw.Span{{From: 4.5, To: 9.2, Fill: draw.MidGray}}}},
		Key: []draw.Span{{Fill: draw.MidGray, Label: "transplant"}, {Fill: draw.Rising, Label: "solution too warm"}}}
	return draw.Stack(draw.Drawing{ID: "season", Title: "The season", Alt: "Light, solution temperature and windows by month."}, 10, a.Drawing(), b.Drawing(), c.Drawing())
}

// Document holds every kind of block.
func Document() page.Document {
	shop := page.Table{Caption: "What to buy", RowHead: true, Columns: []page.Column{{Title: "Item", Weight: 1}, {Title: "Quantity", Align: page.Right}, {Title: "Each", Align: page.Right}, {Title: "Cost", Align: page.Right}, {Title: "Lasts"}},
		Note: "Prices of March 2027, our county. A price older than 180 days is marked †."}
	for i, it := range []string{"Board 2×8, 10 ft (actual 1½ × 7¼ in), No. 2 or better", "Board 2×10, 8 ft", "Foam sheet 4 × 8 ft, 1½ in, white", "Liner 6 mil, 10 × 14 ft", "Net pots 2 in", "Complete fertiliser, 25 lb", "Epsom salt, 4 lb"} {
		shop.Rows = append(shop.Rows, page.Row{Cells: []page.Text{page.Text(it), page.Text(fmt.Sprint(1+i%3) + " pcs"), page.Text(fmt.Sprintf("$%d.50", 12+7*i)), page.Text(fmt.Sprintf("$%d.50", (12+7*i)*(1+i%3))), page.Text([]string{"8 years", "1 crop"}[i%2])}})
	}
	shop.Rows = append([]page.Row{{Group: true, Cells: []page.Text{"Bought once"}}}, shop.Rows...)
	shop.Rows = append(shop.Rows, page.Row{Strong: true, Cells: []page.Text{"All together", "", "", "$412.50"}})
	long := page.Table{Caption: "Dipstick", Compact: true, Fold: 3, Columns: []page.Column{{Title: "Depth, in", Align: page.Right}, {Title: "Water, gal", Align: page.Right}, {Title: "Weight, lb", Align: page.Right}}}
	for i := range 60 {
		long.Rows = append(long.Rows, page.Row{Cells: []page.Text{page.Text(fmt.Sprintf("%.2f", float64(i)/8)), page.Text(fmt.Sprintf("%.1f", float64(i)*2.49)), page.Text(fmt.Sprintf("%.0f", float64(i)*20.8))}})
	}
	return page.Document{Title: "Library terrace bed", Subtitle: "A floating raft bed, 4 × 8 ft, for leaf lettuce", Language: "en", Date: "Mar 3, 2027", Words: Words(),
		Sections: []page.Section{
			{Title: "The plan at a glance", Blocks: []page.Block{page.Contents{},
				page.KeyFigures{Items: []page.KeyFigure{{Label: "Water", Value: "99 gal", Note: "5 in deep"}, {Label: "Holes", Value: "32", Note: "12 in apart"}, {Label: "First cost", Value: "$412"},
					{Label: "Sow", Value: "Mar 9", Note: "Tuesday"}, {Label: "Transplant", Value: "Mar 30", Note: "Tuesday"}, {Label: "Harvest", Value: "May 2–9", Note: "nine times in ten"}}},
				page.Para{Text: "The bed holds its water with **one floor tie** at the middle of each side. Board by board, the side uses 29 % of its strength; what decides is how far it bows out over the years: ½ in without the tie, ⅛ in with it."},
				page.Caution{Severity: finding.Stop, Word: "Stop", Text: []page.Text{"This much water weighs 31 lb on each square foot. Ask the building department before a deck, a roof or a balcony carries it."}},
				page.Caution{Severity: finding.Caution, Word: "Caution", Text: []page.Text{"A small child can drown in a few inches of water. Cover or fence the bed, and do not leave a child alone near it.", "Local codes decide what fence is needed."}},
				page.Caution{Severity: finding.Note, Word: "Note", Text: []page.Text{"Here is the figure and where it comes from."}}}},
			{Title: "Shopping", NewPage: true, Blocks: []page.Block{shop, page.Heading{Text: "Tools"}, page.List{Kind: page.Boxes, Items: []page.Text{"Saw, square and tape measure", "Drill with a **2½ in** hole saw", "Level, at least 4 ft, and a straight board as long as the bed so that the whole length can be checked in one go"}},
				page.Fields{Lines: [][]page.Field{{{Label: "Bought by", Weight: 2}, {Label: "on"}}, {{Label: "Remarks"}}}}}},
			{Title: "Build", NewPage: true, Blocks: []page.Block{
				page.Figure{Drawing: BedPlan(), Caption: "**The bed from above.** The frame is drawn over the liner."},
				page.Figure{Drawing: Section(), Caption: "**The bed cut through.** Hatching: long lines wood, broken lines water, dots foam, close lines liner, ticks soil."},
				page.Figure{Drawing: Season(false), Height: 420, Caption: "**The season.** What each month gives."},
				page.List{Kind: page.Numbered, Items: []page.Text{"Level the ground within ¼ in over the whole length.", "Cut two sides of 97 in and two ends of 52 in.", "Screw the ends over the sides with a block in each corner."}},
				page.Beside{Columns: [][]page.Block{{page.Heading{Level: 2, Text: "For each bucket"}, page.Para{Text: "Fill a 5 gal bucket with **clear water** first."}}, {page.Heading{Level: 2, Text: "Order"}, page.List{Items: []page.Text{"Epsom salt, 6 g", "Complete fertiliser, 10 g"}}}}},
				page.Code{Text: "https://example.org/bed/17", Caption: "Open this bed on a phone."}}},
			{Title: "Weekly log", NewPage: true, Blocks: []page.Block{
				page.LogSheet{Columns: []page.LogColumn{{Title: "Date"}, {Title: "Depth", Hint: "4½–5½ in"}, {Title: "pH", Hint: "5.5–6.5"}, {Title: "EC", Hint: "1.2–1.8 mS/cm"}, {Title: "Water °F", Hint: "60–75"}, {Title: "Added"}, {Title: "Remarks", Weight: 2}}, Rows: 12},
				long}},
			{Title: "Sources", Blocks: []page.Block{page.Notes{Items: []page.SourceNote{{Mark: "1", Text: "Allen and others, 1998, Irrigation and Drainage Paper 56, equation 6."}, {Mark: "2", Text: "Common practice, no source: áéíóúüñ¿¡ ½ ¼ ¾ ⅛ ⅜ ⅝ ⅞ × ≈ ≤ ≥ ± ° ² ³ µ ′ ″ ☐ ☑ ✓ → ← P₂O₅ SO₄."}}}}},
			{Blocks: []page.Block{page.Figure{Drawing: Template(), Exact: true}}},
		}}
}

// Words are those that the press adds.
func Words() page.Words {
	return page.Words{Page: "Page {page} of {pages}", Contents: "What is in this packet", Words: draw.Words{Scale: "Scale", NotToScale: "Not to scale", FullSize: "Full size"}}
}

// Fit is the room of a drawing by itself.
func Fit() draw.Fitting { return draw.Fitting{Width: 468, Words: Words().Words} }
