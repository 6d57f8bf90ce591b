package programme

import (
	"slices"
	"testing"
)

// A topic is named from five questions on, the most asked first; business is no question, and other months do not count.
func TestTopics(t *testing.T) {
	var r Records
	day := func(text string) Day { d, _ := ParseDay(text); return d }
	add := func(n int, topic, on, county string, education bool) {
		for range n {
			r.Inquiries = append(r.Inquiries, Inquiry{Topic: topic, Date: day(on), County: county, Education: education})
		}
	}
	add(5, "water", "2026-07-01", "ALD", true)
	add(9, "growing", "2027-08-31", "ALD", true)
	add(4, "safety", "2026-07-01", "ALD", true)
	add(50, "build", "2026-07-01", "ALD", false)
	add(50, "build", "2026-06-30", "ALD", true)
	add(5, "safety", "2026-07-01", "BIR", true)
	if got := r.Topics("ALD", []int{7, 8}); !slices.Equal(got, []string{"growing", "water"}) {
		t.Error(got)
	}
	if got := r.Topics("", []int{7, 8}); !slices.Equal(got, []string{"growing", "safety", "water"}) {
		t.Error(got)
	}
}
