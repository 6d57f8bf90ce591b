package answer_test

import (
	"bytes"
	"testing"

	"raftwright/answer"
	"raftwright/brief"
	"raftwright/lang"
	"raftwright/plan"
)

// minimal is the 4 x 8 ft bed without a climate and a schedule.
const minimal = `bed: {vessel: frame, length: 97 in, width: 49 in, depth: 6 in, side board: 2x8, end board: 2x10, lumber: southern-pine-2, liner: 6 mil}
water: {ph: 7.6, alkalinity: 215 mg/L CaCO3, calcium: 78 mg/L, magnesium: 11 mg/L, sodium: 9 mg/L, chloride: 14 mg/L, sulfate: 20 mg/L}
target: {recipe: lettuce}
`

// BenchmarkAnswerJSON goes from the plan of the 4 x 8 ft bed to its JSON: the
// words and the writing, not the planning.
func BenchmarkAnswerJSON(b *testing.B) {
	parsed, faults := brief.Parse("minimal.yaml", []byte(minimal))
	if len(faults) > 0 {
		b.Fatal(faults)
	}
	p, faults := plan.Make(parsed, book, plan.Files{}, plan.Everything)
	if len(faults) > 0 {
		b.Fatal(faults)
	}
	words, err := lang.For("en", lang.US)
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	var out bytes.Buffer
	for b.Loop() {
		out.Reset()
		if err := answer.Write(&out, answer.For(p, plan.Everything, words, false)); err != nil {
			b.Fatal(err)
		}
	}
	b.SetBytes(int64(out.Len()))
}
