package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// A kept plan with its edition prints the same bytes; with another price table the plan
// says so, and which.
func TestSinceAndTables(t *testing.T) {
	dir := t.TempDir()
	write := func(name, text string) string {
		path := filepath.Join(dir, name)
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		return path
	}
	bed := write("bed.yaml", "bed: {length: 97 in, width: 49 in}\n")
	call := func(args ...string) (string, string, int) {
		got := tell("", append([]string{"plan"}, args...)...)
		return got.out, got.err, got.code
	}
	first, _, code := call(bed, "--json")
	if code == exitFaults {
		t.Fatal("no plan")
	}
	kept := write("kept.json", first)
	if again, _, _ := call(bed, "--json", "--since", kept); again != first {
		t.Error("the same edition prints other bytes")
	}
	write("mine/prices.csv", "key,unit,usd,life_years,year\n2x8,foot,19.99,5,2027\n")
	mine := filepath.Join(dir, "mine")
	now, _, _ := call(bed, "--json", "--since", kept, "--tables", mine)
	var was, is struct {
		Edition  string
		Tables   map[string]string
		Findings []struct{ ID, Text string }
	}
	if err := json.Unmarshal([]byte(first), &was); err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal([]byte(now), &is); err != nil {
		t.Fatal(err)
	}
	told := ""
	for _, f := range is.Findings {
		if f.ID == "plan.edition" {
			told = f.Text
		}
	}
	if was.Edition == is.Edition || !strings.Contains(told, "prices.csv") || strings.Contains(told, "crops.csv") || was.Tables["prices.csv"] == is.Tables["prices.csv"] ||
		was.Tables["crops.csv"] != is.Tables["crops.csv"] || was.Tables["places"] == "" {
		t.Errorf("%s, %s: %q", was.Edition, is.Edition, told)
	}
	write("odd/price.csv", "key\n2x8\n")
	write("odd/recipes.csv", "key,name\nmine,\n")
	write("none/readme.txt", "")
	for folder, want := range map[string]string{"odd": `price.csv:1:1: no table is called "price.csv"; did you mean prices.csv?`, "none": "there is no table in this folder", "gone": "there is no table in this folder"} {
		out, err, code := call(bed, "--tables", filepath.Join(dir, folder))
		if code != exitFaults || out != "" || !strings.Contains(err, want) {
			t.Errorf("%s: %d, %s", folder, code, err)
		}
	}
	for _, bad := range []string{bed, write("x.json", "{}"), filepath.Join(dir, "gone.json"), write("y.json", `{"edition": 1}`)} {
		if _, err, code := call(bed, "--since", bad); code != exitFaults || !strings.Contains(err, filepath.Base(bad)) {
			t.Errorf("%s: %d, %s", bad, code, err)
		}
	}
}
