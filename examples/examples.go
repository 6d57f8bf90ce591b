// Package examples holds complete briefs, all invented: no such places, people
// or prices. The tests run every one of them; the demonstration is embedded.
package examples

import _ "embed" // the demonstration brief

// Demo is the demonstration brief: an invented place, an invented store, every
// section filled in.
//
//go:embed demo.yaml
var Demo []byte
