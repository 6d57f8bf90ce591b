package main

import (
	"bytes"
	"path/filepath"
	"strings"
	"testing"

	"raftwright/examples"
)

// one is the 4 x 8 ft bed without a climate and a schedule.
const one = `bed: {vessel: frame, length: 97 in, width: 49 in, depth: 6 in, side board: 2x8, end board: 2x10, lumber: southern-pine-2, liner: 6 mil}
water: {ph: 7.6, alkalinity: 215 mg/L CaCO3, calcium: 78 mg/L, magnesium: 11 mg/L, sodium: 9 mg/L, chloride: 14 mg/L, sulfate: 20 mg/L}
target: {recipe: lettuce}
`

// whole runs a command in this process, from the brief's text to the last byte.
func whole(b *testing.B, brief string, args ...string) {
	b.ReportAllocs()
	for b.Loop() {
		var out, err bytes.Buffer
		if code := run(args, streams{strings.NewReader(brief), &out, &err, tongue{}}); code != exitDone {
			b.Fatalf("exit %d: %s", code, err.String())
		}
	}
}

// BenchmarkPlanJSON goes from the text of a brief to its JSON.
func BenchmarkPlanJSON(b *testing.B) { whole(b, one, "plan", "-", "--json") }

// BenchmarkPlanText goes from the text of a brief to the pages on a terminal.
func BenchmarkPlanText(b *testing.B) { whole(b, one, "plan", "-") }

// BenchmarkPacket goes from the text of a brief to the PDF on disk.
func BenchmarkPacket(b *testing.B) {
	whole(b, one, "packet", "-", "-o", filepath.Join(b.TempDir(), "packet.pdf"))
}

// BenchmarkPacketDemo does so with a year of weather and a season of harvests.
func BenchmarkPacketDemo(b *testing.B) {
	whole(b, string(examples.Demo), "packet", "-", "-o", filepath.Join(b.TempDir(), "packet.pdf"))
}

// BenchmarkSeason is the year of one bed for every crop of the catalogue.
func BenchmarkSeason(b *testing.B) { whole(b, string(examples.Demo), "season", "-", "--json") }
