package brief

import "strings"

// Compact writes the brief on one line, without notes and without keys that say nothing.
// Parse of it gives the same values.
func (b *Brief) Compact() string {
	if b.doc == nil {
		return ""
	}
	var out strings.Builder
	edit{}.graft(b.doc.spoken()).write(&out)
	return out.String()
}

// spoken gives a node without what says nothing.
func (n *node) spoken() *node {
	out := *n
	out.kids = nil
	for _, k := range n.kids {
		if k = k.spoken(); k.shape == leaf || len(k.kids) > 0 || n.shape == list {
			out.kids = append(out.kids, k)
		}
	}
	return &out
}
