package main

import (
	"database/sql"
	"errors"
	"fmt"
	"os"
	"strings"
	"time"

	_ "github.com/jackc/pgx/v5/stdlib"       // "pgx"
	_ "github.com/ncruces/go-sqlite3/driver" // "sqlite3"

	"raftwright/brief"
)

// bedID is the id of a bed that was filled in.
func bedID(n int) string { return fmt.Sprintf("00000000-0000-7000-8000-%012d", n) }

// open opens a store on its server, or where there is none in its file.
func open(server, file string) (*sql.DB, error) {
	if server != "" {
		return sql.Open("pgx", server)
	}
	return sql.Open("sqlite3", "file:"+file+"?_pragma=busy_timeout(10000)")
}

// briefOf reads a brief without its log: that of a bed stands in the store. Its days are those of this year.
func briefOf(file string) (string, error) {
	data, err := os.ReadFile(file)
	if err != nil {
		return "", err
	}
	b, faults := brief.Parse(file, data)
	if len(faults) == 0 {
		b, faults = b.Set("log", "")
	}
	if len(faults) > 0 {
		return "", faults
	}
	return strings.ReplaceAll(string(b.Encode()), "2027-", time.Now().Format("2006-")), nil
}

// fill fills a store, whose tables are there, with beds of one brief and their visits: the first
// fills and plants the bed, then it is looked at every 22 hours until yesterday and water is added every third
// time. Each bed has a title of its own. Happenings and tables agree.
func fill(db *sql.DB, brief string, beds, visits int) error {
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
	const every = 22 * time.Hour
	from := time.Now().Truncate(time.Hour).Add(-every * time.Duration(visits/max(1, beds)+1)).UnixMilli()
	happened := fmt.Sprintf("%d + %s * %d + (i %% 60) * 60000", from, nth, every.Milliseconds())
	own := func(text string) string { return "REPLACE(" + text + ", 'title: ', 'title: Invented ' || i || ' ')" }
	read := `[{"Path":"depth","Text":"5-1/2 in"},{"Path":"ec","Text":"1.6 mS/cm"},{"Path":"ph","Text":"5.9"},{"Path":"water temperature","Text":"70 F"}]`
	added := `[{"Path":"added water","Text":"2 gal"},{"Path":"depth","Text":"5 in"},{"Path":"ec","Text":"1.7 mS/cm"},{"Path":"ph","Text":"6.1"},{"Path":"water temperature","Text":"71 F"}]`
	begin := `[{"Path":"filled","Text":"yes"},{"Path":"planted","Text":"28"}]`
	pairs := "CASE WHEN " + nth + " % 60 = 0 THEN " + text(begin) + " WHEN i % 3 = 0 THEN " + text(added) + " ELSE " + text(read) + " END"
	recorded := "1800000000000"
	for _, statement := range []string{
		"INSERT INTO happening (seq, id, who, recorded, happened, what, thing, payload) " + count(beds) + fmt.Sprintf("SELECT i + %d, ", first+1) + bed + ", 'holder', " + recorded + ", " + recorded + ", 'bed.made', " + bed +
			`, '{"version":1,"edition":"","text":' || ` + own(text(quoted(brief))) + ` || '}' FROM n`,
		"INSERT INTO bed (id, owner, title, place, brief, edition, version, changed) " + count(beds) + "SELECT " + bed + ", '', 'Invented ' || i, '04473', " + own(text(brief)) + fmt.Sprintf(", '', 1, i + %d FROM n", first+1),
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

// know gives every bed what the server works out of it in the background, in minutes: it is asked for one, and
// the others, of the same brief and the same log, get the same.
func (c crowd) know(db *sql.DB) error {
	for _, page := range []string{"/today", "/plan", "/brief"} {
		if wrong := c.stands(0, "/beds/"+bedID(0)+page); wrong != "" {
			return errors.New(wrong)
		}
	}
	_, err := db.Exec("INSERT INTO answer (bed, kind, seen, basis, made, text) SELECT bed.id, answer.kind, bed.changed, answer.basis, answer.made, answer.text FROM answer, bed WHERE answer.bed = '" + bedID(0) + "' AND bed.id <> answer.bed AND NOT EXISTS (SELECT 1 FROM answer a WHERE a.bed = bed.id AND a.kind = answer.kind)")
	return err
}
