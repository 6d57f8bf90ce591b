package lang

import "embed"

// sentences in a browser are all but those that only paper (packet.toml) and the
// command line (help.toml) say: they would be fetched for nothing.
//
//go:embed */[a-gi-oq-z]*.toml */p[b-z]*.toml
var sentences embed.FS
