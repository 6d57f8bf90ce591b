// Package press turns documents and drawings into what screens show: HTML that
// prints, parts of it for a page of somebody else, SVG, and plain text for a
// terminal. Package press/paper turns the same documents into PDF; it stands apart
// so that an engine in a browser carries no PDF library.
package press
