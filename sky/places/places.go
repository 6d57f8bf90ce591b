// Package places carries the packed table of US places and climate stations that
// sky.OpenAtlas reads. It stands apart, so that only a program that looks places
// up carries it. Where the data comes from, how good it is and the notices to keep
// stand in NOTICE.md beside it; tools/places packs it.
package places

import _ "embed"

// Packed is the table; do not write to it.
//
//go:embed us.bin
var Packed []byte
