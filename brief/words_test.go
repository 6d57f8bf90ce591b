package brief

import (
	"raftwright/finding"
	"raftwright/lang"
)

// what and right give the English words of a fault.
func what(f finding.Fault) string  { w, _ := words(f); return w }
func right(f finding.Fault) string { _, r := words(f); return r }

func words(f finding.Fault) (string, string) {
	p, err := lang.For("en", lang.US)
	if err != nil {
		panic(err)
	}
	return p.Fault(f)
}

// say gives English sentences.
func say(id string, args finding.Args) string {
	p, err := lang.For("en", lang.US)
	if err != nil {
		panic(err)
	}
	return p.Say(id, args)
}
