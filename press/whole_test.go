package press

import "testing"

// A number with a fraction stays on one line; what only looks like one stays as it is.
func TestANumberWithAFractionIsNotBroken(t *testing.T) {
	for text, want := range map[string]string{
		"depth 5-1/4 in, then 12-15/16": `depth <span class="short">5-1/4</span> in, then <span class="short">12-15/16</span>`,
		"1/4 in":                        "1/4 in", "a-1/4": "a-1/4", "5-/4": "5-/4", "5-1/": "5-1/", "/": "/", "-1/4": "-1/4", "": "",
	} {
		if got := whole(text); got != want {
			t.Errorf("%q is written %q, not %q", text, got, want)
		}
	}
}
