package main

import (
	"strings"
	"testing"
)

func TestTally(t *testing.T) {
	in := `{"Action":"run","Package":"p","Test":"TestA"}
{"Action":"output","Package":"p","Test":"TestA","Output":"    a_test.go:5: broken\n"}
{"Action":"fail","Package":"p","Test":"TestA","Elapsed":0.1}
{"Action":"output","Package":"p","Test":"TestB","Output":"    a_test.go:9: left out: qpdf is not installed\n"}
{"Action":"output","Package":"p","Test":"TestB","Output":"--- SKIP: TestB (0.00s)\n"}
{"Action":"skip","Package":"p","Test":"TestB"}
{"Action":"skip","Package":"p","Test":"TestC/part"}
{"Action":"skip","Package":"p","Test":"TestD"}
{"Action":"skip","Package":"p","Test":"TestE"}
{"Action":"pass","Package":"p","Test":"TestC"}
{"Action":"output","Package":"p","Output":"FAIL\n"}
{"Action":"fail","Package":"p","Elapsed":1.2}
not an event
{"Action":"skip","Package":"empty"}
`
	var out strings.Builder
	c := tally{left: map[string]int{}, said: map[string][]string{}}
	if err := c.read(strings.NewReader(in), &out); err != nil {
		t.Fatal(err)
	}
	c.close(&out)
	want := "    a_test.go:5: broken\nFAIL\nfail  p 1.2s\nnot an event\nleft out: 2 tests (no reason given)\nleft out: 1 test (qpdf is not installed)\n1 passed, 1 failed, 3 skipped\n"
	if out.String() != want {
		t.Errorf("%q, want %q", out.String(), want)
	}
}

// What another program found beside the tests fails as a test does.
func TestTallyOfWhatWasFound(t *testing.T) {
	for lines, want := range map[string]string{"": "0 failed", "left out: x\n": "0 failed", "left out: x\nfailed: a.go:5: y\n": "1 failed"} {
		var out strings.Builder
		c := tally{}
		c.found(lines, &out)
		c.close(&out)
		if !strings.HasPrefix(out.String(), lines) || !strings.Contains(out.String(), want) || c.broken != (want == "1 failed") {
			t.Errorf("%q: %s", lines, out.String())
		}
	}
}

// What does not build fails, though no test ran.
func TestTallyOfABrokenBuild(t *testing.T) {
	var out strings.Builder
	c := tally{left: map[string]int{}, said: map[string][]string{}}
	in := `{"ImportPath":"p","Action":"build-output","Output":"p.go:1: syntax error\n"}
{"ImportPath":"p","Action":"build-fail"}
{"Action":"fail","Package":"p","Elapsed":0,"FailedBuild":"p"}
`
	build := strings.SplitAfter(in, "\n")
	if err := c.read(strings.NewReader(build[0]+build[1]), &out); err != nil || !c.broken {
		t.Errorf("what does not build is no failure by itself: %v", err)
	}
	if err := c.read(strings.NewReader(build[2]), &out); err != nil {
		t.Fatal(err)
	}
	c.close(&out)
	if !c.broken || !strings.Contains(out.String(), "syntax error") || !strings.HasSuffix(out.String(), "0 passed, 1 failed, 0 skipped\n") {
		t.Error(out.String())
	}
}
