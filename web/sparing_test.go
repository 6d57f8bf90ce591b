package web

import (
	"math"
	"runtime/debug"
	"testing"
)

// While a report of many years is made the program holds to what its rows need; a second one that is begun meanwhile takes nothing from the first; then all is as before, and a
// lower limit of whoever runs it stays.
func TestSparesMemoryForAReport(t *testing.T) {
	before := debug.SetMemoryLimit(-1)
	t.Cleanup(func() { debug.SetMemoryLimit(before) })
	debug.SetMemoryLimit(math.MaxInt64)
	var s sparing
	const rows = 800_000
	s.begin(rows, 0)
	first := debug.SetMemoryLimit(-1)
	if first < rows*rowBytes+waitingBytes || first > rows*rowBytes+3*waitingBytes {
		t.Errorf("%d bytes for %d rows that are read", first, rows)
	}
	s.begin(0, 1000)
	if now := debug.SetMemoryLimit(-1); now != first {
		t.Errorf("%d bytes where a report of few is made beside, for %d", now, first)
	}
	s.end()
	s.end()
	if now := debug.SetMemoryLimit(-1); now != math.MaxInt64 {
		t.Errorf("%d bytes afterwards", now)
	}
	debug.SetMemoryLimit(waitingBytes)
	s.begin(rows, 0)
	if now := debug.SetMemoryLimit(-1); now != waitingBytes {
		t.Errorf("%d bytes for the %d of its holder", now, int64(waitingBytes))
	}
	s.end()
	s.begin(rows, 0)
	debug.SetMemoryLimit(5e8)
	s.end()
	if now := debug.SetMemoryLimit(-1); now != 5e8 {
		t.Errorf("%d bytes, though somebody set others meanwhile", now)
	}
}
