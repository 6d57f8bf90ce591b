package plan

import (
	"bytes"
	"slices"
	"strings"
	"sync"

	"raftwright/brief"
	"raftwright/finding"
)

// rest gives a finding that names no paths those that it rests on: the keys that it is
// about, of those that were given, else what its stage read. A stop always has one.
func rest(f finding.Finding, b *brief.Brief, read []finding.Path) finding.Finding {
	if len(f.Paths) > 0 {
		return f
	}
	about := aboutOf(f.ID)
	if n, ok := f.Args["Nutrient"]; ok && f.Severity == finding.Stop {
		about = limitPaths(b, n)
	}
	for _, p := range about {
		if givenAt(b, p) {
			f.Paths = append(f.Paths, p)
		}
	}
	if len(about) > 0 && len(f.Paths) == 0 {
		f.Paths = about[:1:1] // what is assumed for it
	}
	if len(about) == 0 {
		f.Paths = read
	}
	return f
}

// read gives what a stage and the stages of its part read, of the keys that were given.
func (p *maker) read(r result) []finding.Path {
	var out []finding.Path
	for _, key := range r.rests {
		if !bytes.Equal(p.spelled.text(key), key.none) {
			out = append(out, key.path)
		}
	}
	return slices.Clip(out)
}

// spelled is a brief as bytes, by the keys that stages read, each written once.
type spelled struct {
	brief *brief.Brief
	texts [][]byte // nil: not yet
	wrote []byte
	last  *spelled // of the plan before; nil: there is none, or it is not known
}

func spell(b *brief.Brief, last *spelled) *spelled {
	return &spelled{brief: b, texts: make([][]byte, keysRead()), last: last}
}

func (s *spelled) text(key readPath) []byte {
	if l := s.last; s.texts[key.number] == nil && l != nil && l.texts[key.number] != nil && key.view.Shares(s.brief, l.brief) {
		s.texts[key.number] = l.texts[key.number]
	}
	if s.texts[key.number] == nil {
		from := len(s.wrote)
		s.wrote = key.view.AppendValues(s.wrote, s.brief)
		s.texts[key.number] = s.wrote[from:len(s.wrote):len(s.wrote)]
	}
	return s.texts[key.number]
}

// readPath is a key that a stage reads, and what it is as bytes where it is not given.
type readPath struct {
	path   finding.Path
	view   brief.View
	none   []byte
	number int // of those that stages read
}

func newReadPath(p finding.Path) readPath {
	view, err := brief.Viewing(p)
	if err != nil {
		panic("no view of " + p)
	}
	return readPath{path: p, view: view, none: view.AppendValues(nil, &brief.Brief{})}
}

func givenAt(b *brief.Brief, p finding.Path) bool {
	if list, _, in := strings.Cut(string(p), "["); in {
		p = finding.Path(list)
	}
	r, known := aboutViews()[p]
	if !known {
		r = newReadPath(p)
	}
	return !bytes.Equal(r.view.AppendValues(nil, b), r.none)
}

// about lists what the stops of the trades are about, by the beginning of their IDs.
var about = []struct {
	id    finding.ID
	paths []finding.Path
}{
	{"frame.range", paths("bed.length", "bed.width", "bed.diameter", "bed.space", "raft.sheet", "schedule.heads per week", "schedule.people")},
	{"frame.deep", paths("bed.depth")},
	{"frame.roof", paths("bed.support")},
	{"frame.deck_stop", paths("bed.support", "bed.depth")},
	{"frame.soil", paths("bed.soil", "bed.depth")},
	{"frame.dry_end", paths("bed.level error", "bed.depth")},
	{"frame.liner_none", paths("bed.length", "bed.width", "bed.depth", "bed.liner")},
	{"frame.overtop", paths("bed.depth", "bed.side board", "bed.end board", "bed.boards", "bed.level error")},
	{"frame.tub_short", paths("bed.depth", "bed.wall height")},
	{"frame.no_method", paths("bed.walls")},
	{"frame.ungraded", paths("bed.side board", "bed.end board", "bed.lumber")},
	{"frame.splice", paths("bed.length", "bed.holds", "cut.stock")},
	{"frame.stake", paths("bed.hold with", "bed.soil", "bed.support", "bed.depth")},
	{"frame.hold_fails", paths("bed.holds", "bed.hold with", "bed.depth", "bed.length")},
	{"frame.bending", paths("bed.depth", "bed.length", "bed.width", "bed.side board", "bed.end board", "bed.lumber", "bed.incised", "bed.holds")},
	{"frame.shear", paths("bed.depth", "bed.length", "bed.width", "bed.side board", "bed.end board", "bed.lumber", "bed.incised", "bed.holds")},
	{"frame.bulge_stop", paths("bed.depth", "bed.length", "bed.width", "bed.side board", "bed.end board", "bed.lumber", "bed.holds")},
	{"frame.end_grain", paths("bed.depth", "bed.length", "bed.width", "bed.side board", "bed.end board")},
	{"frame.corner", paths("bed.depth", "bed.length", "bed.width", "bed.side board", "bed.end board", "bed.lumber")},
	{"raft.sinks", paths("raft.thickness", "raft.foam", "raft.spacing", "raft.head")},
	{"raft.too_big", paths("raft.sheet", "raft.diameter", "raft.gap", "bed.length", "bed.width", "bed.diameter")},
	{FindRaftTooBig, paths("raft.diameter", "bed.diameter")},
	{"cut.too_long", paths("cut.stock", "cut.pieces", "bed.length")},
	{"cut.short", paths("cut.stock", "cut.on hand")},
}

// aboutViews holds the views of the keys in about.
var aboutViews = sync.OnceValue(func() map[finding.Path]readPath {
	out := map[finding.Path]readPath{}
	for _, a := range about {
		for _, p := range a.paths {
			out[p] = newReadPath(p)
		}
	}
	return out
})

func aboutOf(id finding.ID) []finding.Path {
	for _, a := range about {
		if strings.HasPrefix(string(id), string(a.id)) {
			return a.paths
		}
	}
	return nil
}

// replaces gives the key that would replace each assumption, as the format has it.
var replaces = sync.OnceValue(func() map[finding.ID]finding.Path {
	out := map[finding.ID]finding.Path{}
	for _, k := range brief.Keys() {
		for _, id := range k.Assumed {
			if list, _, _ := strings.Cut(k.Path, "[]"); out[finding.ID(id)] == "" {
				out[finding.ID(id)] = finding.Path(list)
			}
		}
	}
	return out
})
