package cut

import (
	"bufio"
	"encoding/csv"
	"os"
	"strconv"
	"strings"
	"testing"
	"time"
)

func readBins(t testing.TB, file string) *task {
	f, err := os.Open(sharedFile(t, "bpp", file))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	var nums []int64
	sc := bufio.NewScanner(f)
	for sc.Scan() {
		if s := strings.TrimSpace(sc.Text()); s != "" {
			n, err := strconv.ParseInt(s, 10, 64)
			if err != nil {
				t.Fatal(err)
			}
			nums = append(nums, n)
		}
	}
	items := nums[2:]
	if int64(len(items)) != nums[0] {
		t.Fatalf("%s: %d items, says %d", file, len(items), nums[0])
	}
	return binsTask(nums[1], items)
}

func TestBins(t *testing.T) {
	f, err := os.Open(sharedFile(t, "instances.csv"))
	if err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	only := os.Getenv("ONLY")
	for _, r := range rows[1:] {
		if !strings.Contains(r[0], only) {
			continue
		}
		k := readBins(t, r[0])
		want, _ := strconv.ParseInt(r[4], 10, 64)
		w := &effort{limit: 4_000_000_000}
		start := time.Now()
		a := k.solve(w)
		mark := ""
		if a.cost != want || !a.proven {
			mark = "  <<<<"
		}
		t.Logf("%-26s want %d got %d bound %d proven %v work %dM %v%s", r[0], want, a.cost, a.bound, a.proven, w.spent/1e6, time.Since(start).Round(time.Millisecond), mark)
	}
}
