package answer_test

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"testing"

	"pgregory.net/rapid"

	"raftwright/answer"
	"raftwright/lang"
	"raftwright/plan"
)

// forever are the figures that may be infinite: how long the oxygen of a bed lasts in
// which nothing breathes, and the crops until a bed pays that never does.
var forever = regexp.MustCompile(`\.(Lasts|PaybackCrops)$`)

// walk visits every number in a value, whatever it stands in, once.
func walk(v reflect.Value, path string, seen map[uintptr]bool, visit func(path string, x float64)) {
	switch v.Kind() {
	case reflect.Float32, reflect.Float64:
		visit(path, v.Float())
	case reflect.Pointer:
		if !v.IsNil() && !seen[v.Pointer()] {
			seen[v.Pointer()] = true
			walk(v.Elem(), path, seen, visit)
		}
	case reflect.Interface:
		if !v.IsNil() {
			walk(v.Elem(), path, seen, visit)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			walk(v.Field(i), path+"."+v.Type().Field(i).Name, seen, visit)
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			walk(v.Index(i), fmt.Sprintf("%s[%d]", path, i), seen, visit)
		}
	case reflect.Map:
		for i := v.MapRange(); i.Next(); {
			walk(i.Value(), fmt.Sprintf("%s[%v]", path, i.Key()), seen, visit)
		}
	}
}

// unsound lists the numbers of a plan and of its document that are none: not a number,
// or infinite where that has no meaning.
func unsound(p plan.Plan) (out []string, seen int) {
	words, err := lang.For("en", lang.US)
	if err != nil {
		return []string{err.Error()}, 0
	}
	for name, v := range map[string]any{"plan": p, "document": answer.For(p, plan.Everything, words, true)} {
		walk(reflect.ValueOf(v), name, map[uintptr]bool{}, func(path string, x float64) {
			seen++
			if math.IsNaN(x) || math.IsInf(x, -1) || math.IsInf(x, 1) && !forever.MatchString(path) {
				out = append(out, fmt.Sprintf("%s is %v", path, x))
			}
		})
	}
	return out, seen
}

// anySchedule draws what a season needs beside a brief, or nothing.
func anySchedule(t *rapid.T) string {
	if rapid.Bool().Draw(t, "no schedule") {
		return ""
	}
	return "crop: {name: " + pick(t, "crop", "lettuce", "basil", "kale") + "}\n" + some(t, "schedule", "heads per week: "+pick(t, "heads", "1", "8", "60"),
		"first harvest: 2027-04-15", "last harvest: 2027-10-31", "staged: "+pick(t, "staged", "yes", "no"))
}

// Every number of a plan, computed on the way or answered, is one.
func TestEveryNumberIsOne(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		text := anyBrief(r) + anySchedule(r)
		p, _, faults := written(t, text, plan.Everything, true)
		if len(faults) > 0 {
			return
		}
		if bad, _ := unsound(p); len(bad) > 0 {
			r.Fatalf("%q\n%s", bad, text)
		}
	})
	files := plan.Files{}
	for _, name := range []string{"market-stations.csv", "market-normals.csv"} {
		data, err := os.ReadFile("../examples/" + name)
		if err != nil {
			t.Fatal(err)
		}
		files[name] = data
	}
	names, _ := filepath.Glob("../examples/*.yaml")
	if len(names) < 10 {
		t.Fatalf("only %d examples", len(names))
	}
	for i, name := range names {
		if testing.Short() && i%4 != 0 {
			continue
		}
		text, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		p, _, faults := writtenWith(t, string(text), files, plan.Everything, true)
		if len(faults) > 0 {
			t.Fatalf("%s: %v", name, faults)
		}
		bad, seen := unsound(p)
		for _, b := range bad {
			t.Errorf("%s: %s", name, b)
		}
		if seen < 1000 {
			t.Errorf("%s: only %d numbers were seen", name, seen)
		}
	}
	// the walk sees into everything
	type odd struct {
		hidden map[string]any
	}
	found := 0
	walk(reflect.ValueOf(&odd{map[string]any{"a": []any{math.NaN(), &odd{}}, "b": [1]*float64{new(float64)}}}), "", map[uintptr]bool{}, func(string, float64) { found++ })
	if found != 2 {
		t.Errorf("the walk saw %d of 2 numbers", found)
	}
}
