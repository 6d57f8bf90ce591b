package unit

import "testing"

func BenchmarkSenses(b *testing.B) {
	for _, text := range []string{"8 ft", "4 ft 6-1/2 in", "1,200 ft", "6 furlongs"} {
		b.Run(text, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				LengthKind.Senses(text)
			}
		})
	}
}
