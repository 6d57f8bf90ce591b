package main

import (
	"bytes"
	"fmt"
	"path/filepath"
	"strings"
	"testing"
	"time"

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

// BenchmarkTendLong tends an invented log of 4,990 entries, an hour apart, that contradict themselves.
func BenchmarkTendLong(b *testing.B) {
	head, _, _ := strings.Cut(string(examples.Demo), "\nlog:")
	var text strings.Builder
	text.WriteString(head + "\nlog:\n  - {at: 2027-04-10T08:00, filled: yes, planted: 28}\n")
	at := time.Date(2027, 4, 10, 8, 0, 0, 0, time.UTC)
	for i := 1; i < 4990; i++ {
		fmt.Fprintf(&text, "  - {at: %s, ph: 6.0, ec: 1.5 mS/cm, depth: 5 in", at.Add(time.Duration(i)*time.Hour).Format("2006-01-02T15:04"))
		if i%50 == 49 {
			text.WriteString(", added water: 2 gal")
		}
		text.WriteString("}\n")
	}
	whole(b, text.String(), "tend", "-", "--now", "2027-12-31")
}
