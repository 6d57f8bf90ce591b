//go:build !js

package lang

import "embed"

//go:embed */*.toml
var sentences embed.FS
