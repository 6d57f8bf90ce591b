// Command places packs stations.csv, normals.csv and places.csv (what they are
// stands in sky/places/NOTICE.md) into the table that sky.OpenAtlas reads:
//
//	go run ./tools/places FOLDER sky/places/us.bin
package main

import (
	"bytes"
	"compress/flate"
	"encoding/binary"
	"encoding/csv"
	"fmt"
	"log"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
)

func main() {
	log.SetFlags(0)
	if len(os.Args) != 3 {
		log.Fatal("usage: places FOLDER OUT")
	}
	packed, err := Pack(os.Args[1])
	if err == nil {
		err = os.WriteFile(os.Args[2], packed, 0o644)
	}
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(len(packed), "bytes")
}

// Pack packs the three tables of a folder.
func Pack(folder string) ([]byte, error) {
	stations, err := table(filepath.Join(folder, "stations.csv"))
	if err != nil {
		return nil, err
	}
	normals, err := table(filepath.Join(folder, "normals.csv"))
	if err != nil {
		return nil, err
	}
	spots, err := table(filepath.Join(folder, "places.csv"))
	if err != nil {
		return nil, err
	}
	pieces := map[string][]byte{}
	text := func(piece string, cells ...string) {
		pieces[piece] = append(pieces[piece], strings.Join(cells, "\t")+"\n"...)
	}
	for _, line := range strings.Split(states, "\n") {
		code, name, _ := strings.Cut(line, " ")
		text("states", code, name)
	}
	row := map[string]int{}
	for i, s := range stations {
		row[s["station_id"]] = i
		text("stations", s["station_id"], s["name"], s["state"], whole(s["lat_deg"], 100), whole(s["lon_deg"], 100), whole(s["elev_m"], 1), whole(s["years"], 1))
	}
	months := make([][12][9]int64, len(stations))
	for _, n := range normals {
		i, known := row[n["station_id"]]
		m, err := strconv.Atoi(n["month"])
		if !known || err != nil || m < 1 || m > 12 {
			return nil, fmt.Errorf("normals.csv: station %q month %q", n["station_id"], n["month"])
		}
		for k, column := range []string{"tmax_c", "tmin_c", "tmax_sd_c", "tmin_sd_c", "solar_mj_m2_d", "dewpoint_c", "precip_mm", "wet_days", "wind_m_s"} {
			if x, err := strconv.ParseFloat(n[column], 64); err == nil {
				v := int64(math.Round(x * 10))
				if v < 0 {
					months[i][m-1][k] = v - 1
				} else {
					months[i][m-1][k] = v + 1
				}
			}
		}
	}
	const perNormals = 32
	for i, s := range months {
		name := "normals." + strconv.Itoa(i/perNormals)
		for _, m := range s {
			for _, v := range m {
				pieces[name] = binary.AppendVarint(pieces[name], v)
			}
		}
	}
	slices.SortStableFunc(spots, func(a, b map[string]string) int { return strings.Compare(a["name"], b["name"]) })
	last := map[string][3]int64{}
	for _, p := range spots {
		lat, lon := whole(p["lat_deg"], 1000), whole(p["lon_deg"], 1000)
		switch p["kind"] {
		case "zip":
			name := "zip." + p["name"][:1]
			now := [3]int64{integer(p["name"]), integer(lat), integer(lon)}
			for k, v := range now {
				pieces[name] = binary.AppendVarint(pieces[name], v-last[name][k])
			}
			last[name] = now
		case "county", "town":
			text(p["kind"]+"."+p["state"], p["name"], lat, lon)
		default:
			return nil, fmt.Errorf("places.csv: kind %q", p["kind"])
		}
	}
	return directory(pieces)
}

// directory packs each piece and puts the list of them before.
func directory(pieces map[string][]byte) ([]byte, error) {
	var names []string
	for n := range pieces {
		names = append(names, n)
	}
	slices.Sort(names)
	head, body := binary.AppendUvarint(nil, uint64(len(names))), bytes.Buffer{}
	for _, n := range names {
		before := body.Len()
		w, err := flate.NewWriter(&body, flate.BestCompression)
		if err != nil {
			return nil, err
		}
		w.Write(pieces[n])
		if err := w.Close(); err != nil {
			return nil, err
		}
		head = binary.AppendUvarint(head, uint64(len(n)))
		head = append(head, n...)
		head = binary.AppendUvarint(head, uint64(body.Len()-before))
	}
	return append(head, body.Bytes()...), nil
}

func table(path string) ([]map[string]string, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil || len(rows) < 2 {
		return nil, fmt.Errorf("%s: %d rows, %w", path, len(rows), err)
	}
	var out []map[string]string
	for _, r := range rows[1:] {
		m := map[string]string{}
		for i, c := range r {
			m[rows[0][i]] = c
		}
		out = append(out, m)
	}
	return out, nil
}

func whole(s string, times float64) string {
	x, err := strconv.ParseFloat(s, 64)
	if err != nil {
		return ""
	}
	return strconv.Itoa(int(math.Round(x * times)))
}

func integer(s string) int64 {
	n, _ := strconv.ParseInt(s, 10, 64)
	return n
}

// states are the states, the district and Puerto Rico by their postal letters.
const states = `AL Alabama
AK Alaska
AZ Arizona
AR Arkansas
CA California
CO Colorado
CT Connecticut
DE Delaware
DC District of Columbia
FL Florida
GA Georgia
HI Hawaii
ID Idaho
IL Illinois
IN Indiana
IA Iowa
KS Kansas
KY Kentucky
LA Louisiana
ME Maine
MD Maryland
MA Massachusetts
MI Michigan
MN Minnesota
MS Mississippi
MO Missouri
MT Montana
NE Nebraska
NV Nevada
NH New Hampshire
NJ New Jersey
NM New Mexico
NY New York
NC North Carolina
ND North Dakota
OH Ohio
OK Oklahoma
OR Oregon
PA Pennsylvania
PR Puerto Rico
RI Rhode Island
SC South Carolina
SD South Dakota
TN Tennessee
TX Texas
UT Utah
VT Vermont
VA Virginia
WA Washington
WV West Virginia
WI Wisconsin
WY Wyoming`
