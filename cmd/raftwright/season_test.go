package main

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"math"
	"strings"
	"testing"
)

// sameMonths writes a site whose twelve months are alike but for what change says.
func sameMonths(latitude, elevation float64, month string, change map[int]string) string {
	var b strings.Builder
	fmt.Fprintf(&b, "site:\n  latitude: %g\n  elevation: %g m\n  months:\n", latitude, elevation)
	for i := 1; i <= 12; i++ {
		text := month
		if c, ok := change[i]; ok {
			text = c
		}
		fmt.Fprintf(&b, "    - {month: %d, %s}\n", i, text)
	}
	return b.String()
}

// Sun and day length on the 15th: FAO-56 (Allen et al. 1998), Annex 2, tables 2.6
// and 2.7; within 0.12 MJ/m2 and 0.15 h.
func TestSunAndDayLength(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	for _, row := range reference(t, "climate/ra_daylength.csv") {
		d := ask(t, sameMonths(figure(t, row, "lat_deg"), 0, "tmax: 20 C, tmin: 10 C", nil), "season")
		month := fmt.Sprintf("months.%d.", int(figure(t, row, "month"))-1)
		if got, w := d.number(t, month+"ra_MJ_m2_day"), figure(t, row, "ra_mj_m2_d"); math.Abs(got-w) > 0.12 {
			t.Errorf("%s, month %s: Ra %.2f, not %.2f", row["lat_deg"], row["month"], got, w)
		}
		if got, w := d.number(t, month+"daylight_h"), figure(t, row, "daylength_h"); math.Abs(got-w) > 0.15 {
			t.Errorf("%s, month %s: day length %.2f, not %.2f", row["lat_deg"], row["month"], got, w)
		}
	}
}

// FAO-56 examples 17 (all figures known) and 20 (temperature only), through the
// months of a brief; both within 0.03 mm a day.
func TestReferenceEvapotranspiration(t *testing.T) {
	ea := 2.85 // kPa; the dew point by FAO-56 equation 14 turned round
	dew := 237.3 * math.Log(ea/0.6108) / (17.27 - math.Log(ea/0.6108))
	rest := fmt.Sprintf("dewpoint: %.4f C, wind: 2 m/s, sunshine: 8.5 h", dew)
	bangkok := ask(t, sameMonths(13.733, 2, "tmax: 34.8 C, tmin: 25.6 C, "+rest, map[int]string{3: "tmax: 33.8 C, tmin: 24.6 C, " + rest}), "season")
	if got := bangkok.number(t, "months.3.et0_mm_day"); math.Abs(got-5.72) > 0.03 {
		t.Errorf("example 17: %.3f mm, not 5.72", got)
	}
	lyon := ask(t, sameMonths(45.7167, 200, "tmax: 26.6 C, tmin: 14.8 C", nil), "season")
	if got := lyon.number(t, "months.6.et0_mm_day"); math.Abs(got-4.56) > 0.03 {
		t.Errorf("example 20: %.3f mm, not 4.56", got)
	}
}

// Stations of both hemispheres: the months must be those of the file, and light
// 2.018 mol of photons for each megajoule (Faust & Logan 2018, HortScience 53:1250).
func TestStations(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	stations, normals := referencePath(t, "climate/climate_stations.csv"), referencePath(t, "climate/climate_normals.csv")
	byStation := map[string][]map[string]string{}
	for _, row := range reference(t, "climate/climate_normals.csv") {
		byStation[row["station_id"]] = append(byStation[row["station_id"]], row)
	}
	south, north := 0, 0
	for i, s := range reference(t, "climate/climate_stations.csv") {
		if i%9 != 0 && figure(t, s, "lat_deg") > 0 {
			continue
		}
		if figure(t, s, "lat_deg") < 0 {
			south++
		} else {
			north++
		}
		d := ask(t, fmt.Sprintf("site: {latitude: %s, longitude: %s, elevation: %s m, cover: open, climate: ['%s', '%s']}\n", s["lat_deg"], s["lon_deg"], s["elev_m"], stations, normals), "season")
		if n := len(d.list(t, "months")); n != 12 {
			t.Errorf("%s: %d months", s["name"], n)
			continue
		}
		for _, row := range byStation[s["station_id"]] {
			at := fmt.Sprintf("months.%d.", int(figure(t, row, "month"))-1)
			if got, w := d.number(t, at+"air_C"), (figure(t, row, "tmax_c")+figure(t, row, "tmin_c"))/2; math.Abs(got-w) > 0.01 {
				t.Errorf("%s, month %s: air %.2f C, not %.2f", s["name"], row["month"], got, w)
			}
			if got, w := d.number(t, at+"dli_mol_m2_day"), figure(t, row, "solar_mj_m2_d")*2.018; !within(got, w, 0.002) {
				t.Errorf("%s, month %s: light %.2f mol, not %.2f", s["name"], row["month"], got, w)
			}
			if ra := d.number(t, at+"ra_MJ_m2_day"); figure(t, row, "solar_mj_m2_d") > ra {
				t.Errorf("%s, month %s: more sun than the sky has", s["name"], row["month"])
			}
		}
	}
	if south == 0 || north < 10 {
		t.Fatalf("saw %d stations in the south and %d in the north", south, north)
	}
}

// The file of the brief may hold its columns in another order and its lines
// mixed; the answer must not change.
func TestClimateColumnsInAnyOrder(t *testing.T) {
	stations := string(referenceFile(t, "climate/climate_stations.csv"))
	normals := string(referenceFile(t, "climate/climate_normals.csv"))
	dir := t.TempDir()
	brief := func(a, b string) string {
		return fmt.Sprintf("site: {latitude: 42.4, longitude: -76.5, climate: [%s/%s, %s/%s]}\n", dir, a, dir, b)
	}
	write(t, dir, "s.csv", stations)
	write(t, dir, "n.csv", normals)
	write(t, dir, "turned.csv", turned(t, normals))
	straight := tell(brief("s.csv", "n.csv"), "season", "-", "--json")
	for _, b := range []string{brief("n.csv", "s.csv"), brief("s.csv", "turned.csv")} {
		if got := tell(b, "season", "-", "--json"); got != straight {
			t.Errorf("the order of files or columns changes the season: exit %d, %s", got.code, got.err)
		}
	}
}

// turned writes a table with its columns and its lines from last to first.
func turned(t *testing.T, table string) string {
	t.Helper()
	rows, err := csv.NewReader(strings.NewReader(table)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	for i := range rows {
		row := rows[0]
		if i > 0 {
			row = rows[len(rows)-i]
		}
		back := make([]string, len(row))
		for j, x := range row {
			back[len(row)-1-j] = x
		}
		if err := w.Write(back); err != nil {
			t.Fatal(err)
		}
	}
	w.Flush()
	return b.String()
}
