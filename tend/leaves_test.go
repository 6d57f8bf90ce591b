package tend

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"raftwright/crop"
)

// Each crop with factors of its own is a crop of the catalogue by the name under which a bed is tended, and none that the reference has factors for goes without: basil and
// mustard stood under names that no crop has, and were fed as lettuce. Of calcium the half that comes with the water has the factor too: it is a half of the content
// (its uptake.csv).
func TestOtherCropsHaveTheirLeaves(t *testing.T) {
	known := map[string]bool{}
	for _, k := range crop.Default().Crops() {
		known[k.ID] = true
	}
	for id := range leaves {
		if !known[id] {
			t.Errorf("%q is no crop", id)
		}
	}
	basil, lettuce := uptakeOf("basil_sweet"), uptakeOf("lettuce_leaf")
	close(t, "magnesium of basil over that of lettuce", basil.content[magnesium]/lettuce.content[magnesium], 1.5, 1e-9)
	close(t, "calcium that it takes with the water", basil.lime/lettuce.lime, 1.6, 1e-9)
	close(t, "calcium that comes with growth", basil.content[calcium]/lettuce.content[calcium], 1.6, 1e-9)
	text, err := os.Open("../../shared/reference/tend/crop_factors.csv")
	if err != nil {
		t.Skip(err)
	}
	defer text.Close()
	r := csv.NewReader(text)
	r.Comment, r.FieldsPerRecord = '#', -1
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for _, row := range rows[1:] {
		if row[0] == "lettuce" {
			continue
		}
		k, _, faults := crop.Default().Find("crop", strings.ReplaceAll(row[0], "_", " "), "")
		if row[0] == "mustard_mizuna" {
			k, _, faults = crop.Default().Find("crop", "mustard greens", "")
		}
		if len(faults) > 0 {
			t.Fatal(row[0], faults)
		}
		for n := range 5 {
			if k.ID == "basil_sweet" && n == 2 { // the reference's own beds say otherwise
				continue
			}
			want, err := strconv.ParseFloat(row[n+1], 64)
			if got := leaves[k.ID]; err != nil || math.Abs(got[n]-want) > 1e-9 {
				t.Errorf("%s is %s: factor %d is %g, in the reference %s", row[0], k.ID, n, got[n], row[n+1])
			}
		}
	}
}
