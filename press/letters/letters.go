// Package letters holds the typefaces that are embedded, Source Sans 3 in two weights, and
// packs those letters of one that a web page uses.
package letters

import _ "embed" // the faces

// Regular is the face of running text, as TrueType.
//
//go:embed SourceSans3-Regular.ttf
var Regular []byte

// Bold is the face of what stands out, as TrueType.
//
//go:embed SourceSans3-SemiBold.ttf
var Bold []byte

// Licence is the licence of the faces (SIL Open Font License 1.1).
//
//go:embed OFL.txt
var Licence string
