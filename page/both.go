package page

// Both puts two documents that say the same in two languages into one, section beside
// section: each of the first, then the same of the second on a page of its own where the
// first has one. What stands in the second is marked as its language.
func Both(first, second Document) Document {
	out := first
	out.Sections = make([]Section, 0, len(first.Sections)+len(second.Sections))
	out.Words.Page = first.Words.Page + " · " + second.Words.Page
	speech := Speech{second.Language, second.Words.Words}
	for i := range max(len(first.Sections), len(second.Sections)) {
		if i < len(first.Sections) {
			out.Sections = append(out.Sections, first.Sections[i])
		}
		if i >= len(second.Sections) {
			continue
		}
		s := second.Sections[i]
		s.ID, s.Speaks = s.Anchor(i)+"-"+second.Language, speech
		s.NewPage = s.NewPage || len(second.Sections) > 1 && second.Sections[1].NewPage // faces: the first one too
		out.Sections = append(out.Sections, s)
	}
	return out
}
