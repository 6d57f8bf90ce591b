package page

import "slices"

// Both puts two documents that say the same in two languages into one, section beside
// section: each of the first, then the same of the second on a page of its own where the
// first has one. Where every section begins a page, those of the second are the backs of those
// of the first. What stands in the second is marked as its language.
func Both(first, second Document) Document {
	out := first
	out.Sections = make([]Section, 0, len(first.Sections)+len(second.Sections))
	out.Words.Page = first.Words.Page + " · " + second.Words.Page
	speech, sheets := Speech{second.Language, second.Words.Words}, faces(first) && faces(second)
	for i := range max(len(first.Sections), len(second.Sections)) {
		if i < len(first.Sections) {
			out.Sections = append(out.Sections, first.Sections[i])
		}
		if i >= len(second.Sections) {
			continue
		}
		s := second.Sections[i]
		s.ID, s.Speaks, s.Blocks = s.Anchor(i)+"-"+second.Language, speech, apart(s.Blocks, "-"+second.Language)
		if sheets {
			s.NewPage, s.Back = true, true
		}
		out.Sections = append(out.Sections, s)
	}
	return out
}

// apart gives the rows of a second language names of their own, and leads its figures to those.
func apart(blocks []Block, end string) []Block {
	out := slices.Clone(blocks)
	for i, b := range out {
		switch b := b.(type) {
		case KeyFigures:
			b.Items = slices.Clone(b.Items)
			for k := range b.Items {
				if b.Items[k].To != "" {
					b.Items[k].To += end
				}
			}
			out[i] = b
		case Table:
			b.Rows = slices.Clone(b.Rows)
			for k := range b.Rows {
				if b.Rows[k].Name != "" {
					b.Rows[k].Name += end
				}
			}
			out[i] = b
		}
	}
	return out
}

// faces tells whether every section begins a page; one alone does on a face.
func faces(d Document) bool {
	return (len(d.Sections) > 1 || len(d.Sections) == 1 && d.Margin > 0) && !slices.ContainsFunc(d.Sections[1:], func(s Section) bool { return !s.NewPage })
}
