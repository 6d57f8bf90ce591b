package main

import (
	"math/rand/v2"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"testing"
	"time"
)

// everyForm writes the reports of a folder in each form, inside and public, alone and against an earlier day, and gives the bytes by form.
func everyForm(t *testing.T, dir string) map[string]string {
	t.Helper()
	out, to := map[string]string{}, t.TempDir()
	for _, edition := range []string{"inside", "public"} {
		for _, since := range []string{"", "2027-07-05"} {
			args := []string{dir, "--funder=BOARD", "--as-of=2027-08-31", "--language=es"}
			if edition == "public" {
				args = append(args, "--public")
			}
			if since != "" {
				args = append(args, "--since="+since)
			}
			name := edition + since
			files := []string{"figures.csv", "audit.csv", "report.html", "report.pdf"}
			for i, flag := range []string{"--figures=", "--audit=", "--html=", "--pdf="} {
				args = append(args, flag+filepath.Join(to, name+files[i]))
			}
			if code, _, told := reports(t, args...); code != exitDone {
				t.Fatal(code, told)
			}
			for _, f := range files {
				text, err := os.ReadFile(filepath.Join(to, name+f))
				if err != nil {
					t.Fatal(err)
				}
				out[name+" "+f] = string(text)
			}
			args = append(args[:len(args)-len(files)], "--json")
			code, text, told := reports(t, args...)
			if code != exitDone {
				t.Fatal(code, told)
			}
			out[name+" json"] = text
			if code, out[name+" text"], told = reports(t, args[:len(args)-1]...); code != exitDone {
				t.Fatal(code, told)
			}
		}
	}
	return out
}

// shuffled puts the rows under the head of a table into another order. No field of the invented year has a line end in it.
func shuffled(text string) string {
	head, rows, _ := strings.Cut(strings.TrimSuffix(text, "\n"), "\n")
	list := strings.Split(rows, "\n")
	rand.New(rand.NewPCG(5, 13)).Shuffle(len(list), func(i, j int) { list[i], list[j] = list[j], list[i] })
	return head + "\n" + strings.Join(list, "\n") + "\n"
}

// The same records, rules and day give the same bytes in every form, in another zone, on one processor, in a folder that was written in another order. Rows of
// what happened may stand in any order: the edition for the public is the same to the byte, and inside the same figures (their records are named in the
// order of the file). Counties, waves and shares of the audience are told in the order of their rows.
func TestSameRecordsSameBytes(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	as := func(change map[string]func(string) string) string { return copied(t, change) }
	first := as(nil)
	before := everyForm(t, first)
	same := func(what, dir string, of func(name, text string) (string, bool)) {
		t.Helper()
		for name, text := range everyForm(t, dir) {
			text, asked := of(name, text)
			want, _ := of(name, before[name])
			if asked && text != want {
				i := 0
				for i < min(len(text), len(want)) && text[i] == want[i] {
					i++
				}
				t.Errorf("%s: %s differs: %q for %q", what, name, text[max(0, i-60):min(len(text), i+60)], want[max(0, i-60):min(len(want), i+60)])
			}
		}
	}
	all := func(_, text string) (string, bool) { return text, true }
	was := runtime.GOMAXPROCS(1)
	same("one processor", first, all)
	runtime.GOMAXPROCS(was)
	here := time.Local
	defer func() { time.Local = here }()
	for _, hours := range []int{-11, 14} {
		time.Local = time.FixedZone("elsewhere", hours*60*60)
		same("another zone", first, all)
	}
	time.Local = here
	dir := t.TempDir()
	there, err := os.ReadDir(first)
	if err != nil || len(there) < 20 {
		t.Fatal(len(there), err)
	}
	change := map[string]func(string) string{}
	for _, f := range slices.Backward(there) {
		text, err := os.ReadFile(filepath.Join(first, f.Name()))
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(dir, f.Name()), text, 0o600); err != nil {
			t.Fatal(err)
		}
		change[f.Name()] = shuffled
	}
	same("files written in another order", dir, all)
	lines := func(name, text string) (string, bool) {
		list := strings.Split(text, "\n")
		slices.Sort(list)
		return strings.Join(list, "\n"), strings.HasSuffix(name, "figures.csv")
	}
	same("all rows in another order", as(change), lines)
	delete(change, "counties.csv")
	delete(change, "waves.csv")
	delete(change, "audience.csv")
	same("rows of what happened in another order", as(change), func(name, text string) (string, bool) {
		return text, strings.HasPrefix(name, "public") || strings.HasSuffix(name, "figures.csv")
	})
}
