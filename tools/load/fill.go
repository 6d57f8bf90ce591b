package main

import (
	"database/sql"
	"fmt"
	"strings"

	_ "github.com/jackc/pgx/v5/stdlib"       // "pgx"
	_ "github.com/ncruces/go-sqlite3/driver" // "sqlite3"
)

// bedID is the id of a bed that was filled in.
func bedID(n int) string { return fmt.Sprintf("00000000-0000-7000-8000-%012d", n) }

// fill fills a store, whose tables are there, with beds of one brief and their visits: the first
// fills and plants the bed, then it is looked at every 22 hours and water is added every third
// time. Happenings and tables agree.
func fill(server, file, brief string, beds, visits int) error {
	db, err := sql.Open("sqlite3", "file:"+file+"?_pragma=busy_timeout(10000)")
	if server != "" {
		db, err = sql.Open("pgx", server)
	}
	if err != nil {
		return err
	}
	defer db.Close()
	count := func(n int) string {
		return fmt.Sprintf("WITH RECURSIVE n(i) AS (SELECT CAST(0 AS BIGINT) UNION ALL SELECT i + 1 FROM n WHERE i + 1 < %d) ", n)
	}
	id := func(kind int, i string) string {
		return fmt.Sprintf("'00000000-0000-7000-%d-' || SUBSTR(CAST(1000000000000 + %s AS TEXT), 2)", kind, i)
	}
	text := func(s string) string { return "'" + strings.ReplaceAll(s, "'", "''") + "'" }
	var first int64
	if err := db.QueryRow("SELECT seq FROM store").Scan(&first); err != nil {
		return err
	}
	bed, entry := id(8000, "i"), id(8001, "i")
	of := id(8000, fmt.Sprintf("(i %% %d)", beds))
	nth := fmt.Sprintf("(i / %d)", beds)
	happened := "1801440000000 + " + nth + " * 79200000 + (i % 60) * 60000" // from 1 February 2027
	read := `[{"Path":"depth","Text":"5-1/2 in"},{"Path":"ec","Text":"1.6 mS/cm"},{"Path":"ph","Text":"5.9"},{"Path":"water temperature","Text":"70 F"}]`
	added := `[{"Path":"added water","Text":"2 gal"},{"Path":"depth","Text":"5 in"},{"Path":"ec","Text":"1.7 mS/cm"},{"Path":"ph","Text":"6.1"},{"Path":"water temperature","Text":"71 F"}]`
	begin := `[{"Path":"filled","Text":"yes"},{"Path":"planted","Text":"28"}]`
	pairs := "CASE WHEN " + nth + " % 60 = 0 THEN " + text(begin) + " WHEN i % 3 = 0 THEN " + text(added) + " ELSE " + text(read) + " END"
	recorded := "1800000000000"
	for _, statement := range []string{
		"INSERT INTO happening (seq, id, who, recorded, happened, what, thing, payload) " + count(beds) + fmt.Sprintf("SELECT i + %d, ", first+1) + bed + ", 'holder', " + recorded + ", " + recorded + ", 'bed.made', " + bed +
			`, '{"version":1,"edition":"","text":' || ` + text(quoted(brief)) + ` || '}' FROM n`,
		"INSERT INTO bed (id, owner, title, place, brief, edition, version, changed) " + count(beds) + "SELECT " + bed + ", '', 'Invented ' || i, '04473', " + text(brief) + fmt.Sprintf(", '', 1, i + %d FROM n", first+1),
		"INSERT INTO happening (seq, id, who, recorded, happened, what, thing, payload) " + count(visits) + fmt.Sprintf("SELECT i + %d, ", first+1+int64(beds)) + entry + ", 'holder', " + recorded + ", " + happened + ", 'entry.kept', " + entry +
			`, '{"bed":"' || ` + of + ` || '","version":1,"pairs":' || ` + pairs + ` || '}' FROM n`,
		"INSERT INTO entry (id, bed, seq, happened, recorded, who, version, pairs) " + count(visits) + "SELECT " + entry + ", " + of + fmt.Sprintf(", i + %d, ", first+1+int64(beds)) + happened + ", " + recorded + ", 'holder', 1, " + pairs + " FROM n",
		fmt.Sprintf("UPDATE bed SET changed = %d", first+int64(beds)+int64(visits)),
		// as the server itself reckons it in the background, in minutes; here it is given
		"INSERT INTO attention (bed, owner, rank, seen, again, reasons) " + count(beds) + "SELECT " + bed + fmt.Sprintf(", '', i %% 131, %d, 4000000000000, ", first+int64(beds)+int64(visits)) + `'[{"Code":"look","Args":{}}]' FROM n`,
		fmt.Sprintf("UPDATE store SET seq = %d", first+int64(beds)+int64(visits)),
		"ANALYZE",
	} {
		if _, err := db.Exec(statement); err != nil {
			return fmt.Errorf("%.80s: %w", statement, err)
		}
	}
	return nil
}

// quoted writes a text as JSON has it.
func quoted(s string) string {
	return `"` + strings.NewReplacer(`\`, `\\`, `"`, `\"`, "\n", `\n`, "\t", `\t`).Replace(s) + `"`
}
