package brief

import (
	"math"
	"strings"
	"testing"

	"raftwright/finding"
)

// The small fuzz targets: each asks one step of reading alone, so that many inputs a
// second go through it. FuzzParse, FuzzDocument and FuzzPairs ask all steps together.

// FuzzPath takes a path apart; what it found, put together again, is the same path.
func FuzzPath(f *testing.F) {
	for _, p := range []string{"bed.length", "shelf[2].label", `prices.items["a.b"]`, `["`, "a..b", "[99999999999999999999]", "[-1]", "a[0][1].c", `["\u00e9"].x`} {
		f.Add(p)
	}
	f.Fuzz(func(t *testing.T, text string) {
		found := steps(finding.Path(text))
		var path finding.Path
		for _, s := range found {
			if s.item >= 0 {
				path = path.Item(s.item)
			} else {
				path = path.Key(s.key)
			}
		}
		again := steps(path)
		if len(again) != len(found) {
			t.Fatalf("%q has %d steps, %q has %d", text, len(found), path, len(again))
		}
		for i, s := range found {
			if again[i] != s {
				t.Fatalf("step %d of %q is %v, of %q %v", i, text, s, path, again[i])
			}
		}
	})
}

// leaves are the keys that hold one text.
func leaves(s *spec) (out []*spec) {
	for _, x := range s.fields {
		if x.form.read != nil && !x.pair() {
			out = append(out, x)
		}
		out = append(out, leaves(x)...)
	}
	return out
}

// FuzzValue reads a text as the value of any key: a sound fault, or a value that is a
// number in the key's range and that reads the same a second time.
func FuzzValue(f *testing.F) {
	keys := leaves(definition())
	for i, k := range keys {
		f.Add(uint16(i), k.eg)
	}
	for _, text := range []string{"1,200 ft", "8 ft 5-1/2 in", "½ in", "1e309 m", "-0", "NaN mg/L", "2027-02-30", "20-20-20", "700 ppm", "", "é", "1/0 in"} {
		f.Add(uint16(len(text)), text)
	}
	f.Fuzz(func(t *testing.T, at uint16, text string) { readsValue(t, keys[int(at)%len(keys)], text) })
}

// FuzzEntry reads a text as the value of a key of an entry of the log.
func FuzzEntry(f *testing.F) {
	var keys []*spec
	for _, k := range leaves(definition()) {
		if strings.HasPrefix(k.path, "log") {
			keys = append(keys, k)
			f.Add(byte(len(keys)-1), k.eg)
		}
	}
	if len(keys) < 20 {
		f.Fatalf("only %d keys of the log", len(keys))
	}
	f.Fuzz(func(t *testing.T, at byte, text string) { readsValue(t, keys[int(at)%len(keys)], text) })
}

// readsValue wants a sound fault, or a number in the key's range.
func readsValue(t *testing.T, k *spec, text string) {
	v, bad := understood(k, text)
	if bad != nil {
		bad.Line, bad.Column = 1, 1
		if why := sound(*bad, ""); why != "" {
			t.Fatalf("%s: the fault of %q %s: %v", k.path, text, why, bad)
		}
		return
	}
	if k.form.measure != nil {
		if x := k.form.measure(v.Value); math.IsNaN(x) || math.IsInf(x, 0) {
			t.Fatalf("%s: %q is %v", k.path, text, x)
		} else if k.least.text != "" && x < k.least.value || k.most.text != "" && x > k.most.value {
			t.Fatalf("%s: %q is %v, outside of %s to %s", k.path, text, x, k.least.text, k.most.text)
		}
	}
}

// FuzzGuard lets text in or refuses it with a place that is in it.
func FuzzGuard(f *testing.F) {
	for _, text := range []string{"bed: {}\r\n", "\xef\xbb\xbfa: 1", "a: \x1b[31m", "\xff", "a: [[[[[[[[", strings.Repeat("- ", 200), "a: &x [*x]"} {
		f.Add([]byte(text))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		text, bad := guard(data)
		if bad == nil {
			if again, worse := guard([]byte(text)); worse != nil || again != text {
				t.Fatalf("what %q lets in is not let in again: %q, %v", data, again, worse)
			}
			return
		}
		bad.Line, bad.Column = bad.at.Line, bad.at.Column
		if why := sound(*bad.Fault, string(data)); why != "" {
			t.Fatalf("the fault of %q %s: %v", data, why, bad)
		}
	})
}

// FuzzTree makes a tree of YAML and writes it: the same text comes out.
func FuzzTree(f *testing.F) {
	for _, text := range []string{"a: 1 # note\n", "a: {b: [1, 2], c: 'x'}\n", "- a\n-  b: |\n     c\n", "a:\n  b: \"x\\ty\"\n# end", "{a: 1}", "a: 1\na: 2", "%YAML 1.2\n---\na: 1", "---\na\n...\n"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		text, bad := guard([]byte(text))
		if bad != nil {
			return
		}
		r := &reader{brief: &Brief{File: "f.yaml"}}
		root := r.document(text)
		for _, f := range r.faults {
			if why := sound(f, text); why != "" {
				t.Fatalf("a fault of %q %s: %v", text, why, f)
			}
		}
		if root == nil || strings.ContainsAny(text, "&*!") {
			return
		}
		var out strings.Builder
		if root.write(&out); out.String() != text {
			t.Fatalf("%q is written as %q", text, out.String())
		}
	})
}
