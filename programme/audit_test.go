package programme_test

import (
	"encoding/csv"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// Who audits finds every figure with its unit, records and rules; the same values as in the other table; outside no list of records.
func TestFiguresForWhoAudits(t *testing.T) {
	files := year(t)
	files["settings.csv"] = settingsHead + "K1,price_days,,90,2027-08-01,,\n"
	r := report(t, read(t, files), "BOARD", "2027-08-31")
	e := r.Inside()
	rows := must(csv.NewReader(strings.NewReader(e.AuditCSV())).ReadAll())(t)
	plain := must(csv.NewReader(strings.NewReader(e.FiguresCSV(nil))).ReadAll())(t)
	if len(rows) != len(plain) {
		t.Errorf("%d figures, %d in the other table", len(rows), len(plain))
	}
	for i, f := range e.Figures {
		if rows[i+1][3] != plain[i+1][6] || rows[i+1][1] != f.Name() || rows[i+1][4] == "" {
			t.Errorf("%v, not %v", rows[i+1], plain[i+1])
		}
	}
	for _, want := range []string{"G,value_given,all", "B,direct_contacts,all", "H,hours_service,all", "J,bed_square_feet,all", "G,heads_given,all"} {
		i := slices.IndexFunc(rows, func(row []string) bool { return strings.Join(row[:3], ",") == want })
		if i < 0 {
			t.Fatal("no", want)
		}
		f, _ := r.Find(rows[i][1], "all")
		unit := map[string]string{"value_given": "USD", "direct_contacts": "people", "hours_service": "h", "bed_square_feet": "ft2", "heads_given": "heads"}[rows[i][1]]
		rule := map[string]string{"value_given": "price_days=90@2027-08-01; meal_pounds=off", "direct_contacts": "series=each; same_day=once", "hours_service": "rate=RT1", "bed_square_feet": "sites=5", "heads_given": "price_days=90@2027-08-01; meal_pounds=off"}[rows[i][1]]
		if rows[i][4] != unit || rows[i][6] != rule || rows[i][5] != strconv.Itoa(len(f.From)) || rows[i][7] != r.Digest(f) || rows[i][7] == "" {
			t.Error(rows[i])
		}
	}
	for _, row := range must(csv.NewReader(strings.NewReader(r.Public().AuditCSV())).ReadAll())(t)[1:] {
		if row[7] != "" || strings.Contains(row[6], "rate=") {
			t.Error("outside:", row)
		}
	}
}
