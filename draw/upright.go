package draw

// Upright gives a plan with its long side up, for a narrow place: one that is wider than it is
// high is turned by a quarter to the left, and its words stay level. Others stay as they are.
func Upright(d Drawing) Drawing {
	if wide, high := Extent(d); d.Plan && wide > 1.2*high {
		d.Items = turned(d.Items)
	}
	return d
}

func (s Spot) turned() Spot { return Spot{-s.Y, s.X} }

func turned(items []Item) []Item {
	out := make([]Item, len(items))
	for i, it := range items {
		switch v := it.(type) {
		case Path:
			v.Steps = append([]Step(nil), v.Steps...)
			for j, s := range v.Steps {
				v.Steps[j] = Step{Kind: s.Kind, C1: s.C1.turned(), C2: s.C2.turned(), To: s.To.turned()}
			}
			out[i] = v
		case Text:
			out[i] = v.turned()
		case Dimension:
			v.From, v.To = v.From.turned(), v.To.turned()
			out[i] = v
		case Callout:
			v.Tip, v.Dx, v.Dy = v.Tip.turned(), -v.Dy, v.Dx
			out[i] = v
		case Marker:
			v.At = v.At.turned()
			out[i] = v
		case Tag:
			v.Tip, v.Toward = v.Tip.turned(), v.Toward+90
			out[i] = v
		case Group:
			v.Shift, v.Items = v.Shift.turned(), turned(v.Items)
			out[i] = v
		}
	}
	return out
}

// turned keeps words level that were level, on the side of their spot that turned with it, and makes
// those level that stood upright.
func (t Text) turned() Text {
	t.At, t.Dx, t.Dy = t.At.turned(), -t.Dy, t.Dx
	if t.Turn == 90 {
		t.Turn, t.Anchor, t.Level = 0, End-t.Anchor, Hanging-t.Level
		return t
	}
	t.Anchor, t.Level = [...]Anchor{Baseline: End, Centred: Middle, Hanging: Start}[t.Level], [...]Level{Start: Baseline, Middle: Centred, End: Hanging}[t.Anchor]
	return t
}
