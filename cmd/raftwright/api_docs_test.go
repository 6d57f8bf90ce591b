package main

import (
	"encoding/json"
	"os"
	"os/exec"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// What docs/api.md says with curl is done as it stands there, and what it lists is what there is.
func TestAPIAsItIsDocumented(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	text, err := os.ReadFile("../../docs/api.md")
	must(t, err)
	dir := t.TempDir()
	s := served(t, "--data", dir)
	s.withBed(t, keyOf(t, "--data", dir))
	key := strings.TrimSpace(printed(t, "key", "add", "probe", "--bed", bedOne, "--data", dir))
	t.Run("curl", func(t *testing.T) {
		if _, err := exec.LookPath("curl"); err != nil {
			t.Skip("curl is not installed")
		}
		blocks := regexp.MustCompile("(?s)```sh\n(.*?)```").FindAllSubmatch(text, -1)
		if len(blocks) != 3 {
			t.Fatalf("%d examples", len(blocks))
		}
		last := ""
		for _, b := range blocks {
			c := exec.Command("sh", "-e", "-c", string(b[1]))
			c.Env = append(os.Environ(), "AT="+s.at, "BED="+bedOne, "KEY="+key, "no_proxy=127.0.0.1")
			out, err := c.CombinedOutput()
			if err != nil {
				t.Fatalf("%s\n%v: %s", b[1], err, out)
			}
			last = string(out)
		}
		var log []map[string]any
		must(t, json.NewDecoder(strings.NewReader(last)).Decode(&log))
		if len(log) != 2 || !slices.ContainsFunc(log, func(e map[string]any) bool { return e["water temperature"] == "21.4 C" }) {
			t.Errorf("the log after the examples: %v", log)
		}
	})
	_, body, err := s.ask("GET", "/api/openapi.json", "", "")
	must(t, err)
	var api struct{ Paths map[string]map[string]any }
	must(t, json.Unmarshal([]byte(body), &api))
	var described, documented []string
	for path, ways := range api.Paths {
		for way := range ways {
			described = append(described, strings.ToUpper(way)+" "+path)
		}
	}
	for _, m := range regexp.MustCompile("(?m)^\\| `([A-Z]+ /api/[^`]+)` \\|").FindAllSubmatch(text, -1) {
		documented = append(documented, string(m[1]))
	}
	slices.Sort(described)
	slices.Sort(documented)
	if !slices.Equal(described, documented) {
		t.Errorf("described:\n%s\ndocumented:\n%s", strings.Join(described, "\n"), strings.Join(documented, "\n"))
	}
}
