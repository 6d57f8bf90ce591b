package brief

// Nested gives keys and their texts as JSON has them: groups in groups, lists in lists, every
// text as it was typed. The items of a list come in the order in which they are first named.
func Nested(pairs []Pair) map[string]any {
	root := &branch{}
	for _, p := range pairs {
		at := root
		for _, s := range steps(p.Path) {
			at = at.to(s)
		}
		at.text = p.Text
	}
	if out, ok := root.any().(map[string]any); ok {
		return out
	}
	return map[string]any{}
}

// branch is a part of what Nested gives while it grows.
type branch struct {
	text string
	at   []step
	kids []*branch
}

func (b *branch) to(s step) *branch {
	for i, have := range b.at {
		if have == s {
			return b.kids[i]
		}
	}
	b.at, b.kids = append(b.at, s), append(b.kids, &branch{})
	return b.kids[len(b.kids)-1]
}

func (b *branch) any() any {
	if len(b.kids) == 0 {
		return b.text
	}
	if b.at[0].key == "" && b.at[0].item >= 0 {
		list := make([]any, len(b.kids))
		for i, k := range b.kids {
			list[i] = k.any()
		}
		return list
	}
	group := map[string]any{}
	for i, k := range b.kids {
		group[b.at[i].key] = k.any()
	}
	return group
}
