package cut

import (
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// model writes the job as an integer programme over all maximal patterns, listed here by plain recursion, in the
// LP format that general solvers read.
func model(t *task) string {
	var cost, rows strings.Builder
	cover := make([]strings.Builder, len(t.need))
	count := make([]strings.Builder, len(t.room))
	n := 0
	take := make([]int64, len(t.need))
	var list func(board, kind int, room int64)
	list = func(board, kind int, room int64) {
		if kind == len(t.need) {
			any := false
			for i, c := range take {
				if c < t.need[i] && t.width[i] <= room {
					return
				}
				any = any || c > 0
			}
			if !any {
				return
			}
			n++
			fmt.Fprintf(&cost, " + %d x%d", t.cost[board], n)
			fmt.Fprintf(&count[board], " + x%d", n)
			for i, c := range take {
				if c > 0 {
					fmt.Fprintf(&cover[i], " + %d x%d", c, n)
				}
			}
			return
		}
		for c := min(t.need[kind], room/t.width[kind]); c >= 0; c-- {
			take[kind] = c
			list(board, kind+1, room-c*t.width[kind])
		}
		take[kind] = 0
	}
	for k := range t.room {
		list(k, 0, t.room[k])
	}
	for i := range cover {
		fmt.Fprintf(&rows, " c%d:%s >= %d\n", i, cover[i].String(), t.need[i])
	}
	for k := range count {
		if count[k].Len() > 0 {
			fmt.Fprintf(&rows, " s%d:%s <= %d\n", k, count[k].String(), t.limit[k])
		}
	}
	var general strings.Builder
	for i := range n {
		fmt.Fprintf(&general, " x%d\n", i+1)
	}
	return "Minimize\n obj:" + cost.String() + "\nSubject To\n" + rows.String() + "General\n" + general.String() + "End\n"
}

var glpkObjective = regexp.MustCompile(`(?m)^Objective:\s+obj = (\S+)`)

// glpsol gives the optimum by the GNU Linear Programming Kit.
func glpsol(t testing.TB, lp string) float64 {
	out := filepath.Join(t.TempDir(), "out")
	if text, err := exec.Command(program(t, "glpsol"), "--lp", lp, "-o", out, "--tmlim", "10").CombinedOutput(); err != nil {
		t.Fatalf("glpsol: %v\n%s", err, text)
	}
	text, err := os.ReadFile(out)
	if err != nil || !strings.Contains(string(text), "INTEGER OPTIMAL") {
		t.Fatalf("glpsol did not finish: %v\n%s", err, text[:min(len(text), 400)])
	}
	return parse(t, glpkObjective.FindSubmatch(text))
}

var cbcObjective = regexp.MustCompile(`(?m)^Optimal - objective value (\S+)`)

// cbc gives the optimum by COIN-OR branch and cut, and whether it was proven in time.
func cbc(t testing.TB, lp string) (float64, bool) {
	out := filepath.Join(t.TempDir(), "out")
	if text, err := exec.Command(program(t, "cbc"), lp, "sec", "5", "ratio", "0", "allow", "0", "solve", "solution", out).CombinedOutput(); err != nil {
		t.Fatalf("cbc: %v\n%s", err, text)
	}
	text, err := os.ReadFile(out)
	if err != nil {
		t.Fatal(err)
	}
	found := cbcObjective.FindSubmatch(text)
	if found == nil {
		return 0, false
	}
	return parse(t, found), true
}

func parse(t testing.TB, found [][]byte) float64 {
	t.Helper()
	if found == nil {
		t.Fatal("no objective in the solver's answer")
	}
	x, err := strconv.ParseFloat(string(found[1]), 64)
	if err != nil {
		t.Fatal(err)
	}
	return x
}

func writeModel(t testing.TB, j Job) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "job.lp")
	if err := os.WriteFile(path, []byte(model(newSaw(context.Background(), j).t)), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

// TestGeneralSolversAgree compares with two general solvers of Debian (glpk-utils 5.0, coinor-cbc 2.10.8), which
// know nothing of cutting.
func TestGeneralSolversAgree(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	var jobs []Job
	for _, c := range lumberCases() {
		jobs = append(jobs, c.job(true), c.job(false))
	}
	named, random := len(jobs), shops()/6 // some of them take seconds by cbc
	for seed := uint64(0); len(jobs) < named+random; seed++ {
		j := shop(rand.New(rand.NewPCG(seed, 11)))
		if s := newSaw(context.Background(), j); len(s.t.need) <= 4 && s.t.pieces() < 100 {
			if _, ok := s.t.first(&effort{ctx: context.Background(), limit: jobWork}); ok {
				jobs = append(jobs, j)
			}
		}
	}
	compared := 0
	for i, j := range jobs {
		p, err := Boards(context.Background(), j)
		if err != nil || !p.Optimal {
			t.Fatal(i, err, p.Optimal)
		}
		got := float64(p.Price)
		if !p.Priced {
			got = float64(p.Bought)
		}
		path := writeModel(t, j)
		if i < named {
			if a := glpsol(t, path); a != got {
				t.Errorf("job %d: %v here, %v by glpsol", i, got, a)
			}
		}
		switch a, ok := cbc(t, path); {
		case !ok:
			t.Logf("job %d: cbc did not finish", i)
		case a != got:
			t.Errorf("job %d: %v here, %v by cbc", i, got, a)
		default:
			compared++
		}
	}
	if compared < named {
		t.Errorf("only %d jobs compared", compared)
	}
}

// BenchmarkGeneralSolver times the same job by a general solver, all patterns given.
func BenchmarkGeneralSolver(b *testing.B) {
	path := writeModel(b, lumberCases()[3].job(true))
	b.Run("here", func(b *testing.B) {
		for b.Loop() {
			if p, err := Boards(context.Background(), lumberCases()[3].job(true)); err != nil || !p.Optimal {
				b.Fatal(err)
			}
		}
	})
	b.Run("glpsol", func(b *testing.B) {
		for b.Loop() {
			glpsol(b, path)
		}
	})
	b.Run("cbc", func(b *testing.B) {
		for b.Loop() {
			cbc(b, path)
		}
	})
}
