package packet

import (
	"os"
	"runtime/debug"
	"testing"
)

func TestMain(m *testing.M) {
	debug.SetGCPercent(300) // a little memory for a little time
	os.Exit(m.Run())
}

// For the tests from outside.
var (
	SideOf = sideOf
	In45   = in45
	From45 = from45
)
