package brief

import (
	"strconv"
	"strings"
	"unicode"

	"raftwright/unit"
)

// shape is what a node of the document is.
type shape int

const (
	blank shape = iota // nothing, which is the same as leaving the key out
	leaf               // a text
	group              // keys, each with what stands behind it
	list
	anchor // an anchor or an alias: nothing that a brief has
	tag    // the same
)

// node is a part of the document as it was typed: what it says, where, and all the
// signs and notes around it, so that what nobody changes is written as it was read.
// A node is never changed once it is made; a change makes new ones along its path.
type node struct {
	shape shape
	key   string // in a group
	text  string // of a leaf
	kids  []*node
	at    Place // where it begins
	keyAt Place // where its key begins, or the item of a list

	odd   bool  // its key is no plain key
	twice Place // where the same key stands before, in a file that says it twice

	// How it is written: before, then raw or open, the kids and close, then after.
	// What is in brackets (flow) has its kids parted by commas; else each kid begins a
	// line, but for the first behind the dash of an item.
	before, raw, open, close, after string
	flow                            bool
	indent                          int // of the kids
}

// kid gives what stands behind a key, nil where the key is not there.
func (n *node) kid(key string) *node {
	if i := n.find(stop{step: step{key, -1}}); i >= 0 {
		return n.kids[i]
	}
	return nil
}

// two gives the items of a list, or those of two lengths on one line.
func (n *node) two() []*node {
	if n.shape == list {
		return n.kids
	}
	first, second, is := unit.Pair(n.text)
	if n.shape != leaf || !is {
		return nil
	}
	return []*node{{shape: leaf, text: first, raw: first, at: n.at, keyAt: n.at}, {shape: leaf, text: second, raw: second, at: n.at, keyAt: n.at}}
}

// write writes a node as it was read, with its changes.
func (n *node) write(out *strings.Builder) {
	out.WriteString(n.before)
	out.WriteString(n.raw)
	out.WriteString(n.open)
	for i, k := range n.kids {
		switch {
		case n.flow && i > 0:
			out.WriteByte(',')
		case !n.flow && i > 0 && !strings.HasSuffix(out.String(), "\n"):
			out.WriteByte('\n')
		}
		k.write(out)
	}
	out.WriteString(n.close)
	out.WriteString(n.after)
}

// holds gives an empty node of a shape, to be filled; its signs come with settle.
func holds(s shape, flow bool, indent int) *node {
	n := &node{shape: s, flow: flow, indent: indent, open: "\n"}
	if flow {
		n.open, n.close = "{", "}"
		if s == list {
			n.open, n.close = "[", "]"
		}
	}
	return n
}

// settle gives a kid the signs that its place in a parent needs, and keeps those
// that it has. A new kid comes after those that are there.
func (n *node) settle(kid *node, fresh, quoted bool) {
	lead := kid.before
	if fresh {
		last := ""
		if len(n.kids) > 0 {
			last = n.kids[len(n.kids)-1].before
		}
		switch {
		case n.flow:
			if lead = last[:len(last)-len(strings.TrimLeft(last, " \n"))]; !strings.Contains(lead, "\n") {
				lead = strings.Repeat(" ", min(1, len(n.kids)))
			}
		case last != "" || n.open == "" || strings.HasSuffix(n.open, "\n"): // not behind a dash
			lead = strings.Repeat(" ", n.indent)
		}
		if n.shape == group {
			lead += written(kid.key, quoted)
		} else if !n.flow {
			lead += "-"
		}
	}
	if n.shape == group && !strings.HasSuffix(strings.TrimRight(lead, " \n"), ":") {
		lead += ":"
	}
	inLine := kid.shape != blank && (kid.flow || len(kid.kids) == 0)
	switch last := lead[max(0, len(lead)-1):]; {
	case !inLine:
		lead = strings.TrimRight(lead, " ")
	case last == ":" || last == "-":
		lead += " "
	}
	kid.before = lead
	if !n.flow {
		kid.after = strings.TrimRight(kid.after, "\n") + "\n"
		if !inLine && kid.shape != blank {
			kid.after = ""
		}
	}
}

// written gives a text as it is written: bare where YAML reads it as it stands.
func written(text string, quoted bool) string {
	if !quoted && bare(text) {
		return text
	}
	return strconv.Quote(text)
}

// bare tells whether a text needs no quotes, neither on a line nor between brackets,
// where a colon inside it would make it a key and its value.
func bare(text string) bool {
	if text == "" || text == "null" || text == "Null" || text == "NULL" || text[len(text)-1] == ' ' {
		return false
	}
	for i, c := range strings.TrimPrefix(text, "-") {
		word := unicode.IsLetter(c) || unicode.IsNumber(c)
		switch {
		case i == 0 && !word:
			return false
		case !word && !strings.ContainsRune(" ./%()+'_°×–-", c):
			return false
		}
	}
	return strings.TrimPrefix(text, "-") != ""
}
