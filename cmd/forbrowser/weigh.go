//go:build !js

package forbrowser

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
)

// quick is how much heavier a module of ours is at quality 9 than at 11: 1.155 (the engine of 2026-11-30, 1.755 and 1.519 MB).
const quick = 1.15

// Weigh gives how heavy a file is as a server sends it, in 10^6 bytes, by node, whose brotli is written in C. To pack a module takes
// half a minute: it is packed in two seconds and the rest is reckoned, but for RAFTWRIGHT_PACKED=all.
func Weigh(node, file string) (plain, packed float64, err error) {
	quality, heavier := 11, 1.0
	if filepath.Ext(file) == ".wasm" && os.Getenv("RAFTWRIGHT_PACKED") != "all" {
		quality, heavier = 9, quick
	}
	script := `const z = require("zlib"), c = z.constants, b = require("fs").readFileSync(process.argv[1]);
		console.log(b.length, z.brotliCompressSync(b, {params: {[c.BROTLI_PARAM_QUALITY]: +process.argv[2], [c.BROTLI_PARAM_LGWIN]: 24}}).length)`
	out, err := exec.Command(node, "-e", script, file, fmt.Sprint(quality)).CombinedOutput()
	if err != nil {
		return 0, 0, fmt.Errorf("%s is not packed (%w): %s", file, err, out)
	}
	if _, err := fmt.Sscan(string(out), &plain, &packed); err != nil {
		return 0, 0, fmt.Errorf("%s is not packed: %s", file, out)
	}
	return plain / 1e6, packed / heavier / 1e6, nil
}
