package store

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// questions gives the SQL of store/query by name, with its arguments numbered.
func questions(t *testing.T) map[string]string {
	out := map[string]string{}
	files, err := filepath.Glob("query/*.sql")
	must(t, err)
	for _, file := range files {
		text, err := os.ReadFile(file)
		must(t, err)
		for _, part := range strings.Split(string(text), "-- name: ")[1:] {
			name, rest, _ := strings.Cut(part, " ")
			_, rest, _ = strings.Cut(rest, "\n")
			numbers := map[string]string{}
			out[name] = regexp.MustCompile(`sqlc\.arg\((\w+)\)`).ReplaceAllStringFunc(rest, func(arg string) string {
				if numbers[arg] == "" {
					numbers[arg] = fmt.Sprint("$", len(numbers)+1)
				}
				return numbers[arg]
			})
		}
	}
	return out
}

// many fills what an office of 1,000 beds has: 10 waves of 1,000 links, 10,000 answers among 10,000 records of another table, two passkeys for
// each of 1,000 accounts, what was asked of devices, and links of beds.
func many(t testing.TB, s *Store) {
	count := func(n int) string {
		return fmt.Sprintf("WITH RECURSIVE n(i) AS (SELECT CAST(0 AS BIGINT) UNION ALL SELECT i + 1 FROM n WHERE i + 1 < %d) ", n)
	}
	for _, statement := range []string{
		"INSERT INTO asking (hash, wave, code, given, withdrawn, answered) " + count(10_000) + "SELECT 'hash' || i, 'A' || (i % 10), 'P' || (i / 10), i, 0, i % 2 FROM n",
		"INSERT INTO record (id, ledger, name, seq, touched, version, pairs, who, recorded) " + count(20_000) + "SELECT 'id' || i, CASE WHEN i % 2 = 0 THEN 'replies' ELSE 'hours' END, 'R' || i, i + 1, i + 1, 1, '[]', 'holder', 0 FROM n",
		"INSERT INTO passkey (id, account, label, host, credential, made, used) " + count(2_000) + "SELECT 'key' || i, 'account' || (i / 2), '', 'localhost', '{}', i, 0 FROM n",
		"INSERT INTO asked (hash, account, what, until) " + count(2_000) + "SELECT 'hash' || i, '', '{}', i FROM n",
		"INSERT INTO pass (id, hash, kind, bed, account, label, given, withdrawn) " + count(5_000) + "SELECT 'id' || i, 'hash' || i, 'link', 'bed' || (i / 5), 'account' || (i / 5), '', i, 0 FROM n",
		"INSERT INTO contact (code, name, contact) " + count(1_000) + "SELECT 'P' || i, 'Invented', '' FROM n",
		"ANALYZE",
	} {
		if _, err := s.db.Exec(statement); err != nil {
			t.Fatal(statement, err)
		}
	}
}

// At the size of an office of 1,000 beds both databases find by an index what a page, a sign-in or an answer asks of the links of waves, the
// passkeys and the records: nothing reads a whole table.
func TestQuestionsUseAnIndex(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	asked := questions(t)
	both(t, func(t *testing.T, s *Store) {
		many(t, s)
		for name, args := range map[string][]any{
			"AskingByHash": {"hash7"}, "AskingsOf": {"A6"}, "WithdrawAskings": {1, "A6", "P7"}, "AnswerAsking": {1, "hash7"}, "ForgetAskings": {"P7"},
			"Passkey": {"key7"}, "PasskeysOf": {"account7"}, "UsePasskey": {"{}", 1, "key7", "{}"}, "DropPasskey": {"key7", "account3"}, "DropPasskeysOf": {"account7"},
			"TakeAsked": {"hash7", 5}, "ForgetAsked": {20},
			"Record": {"id7"}, "RecordNamed": {"replies", "R8"}, "RecordsAfter": {19_000, 100}, "RecordsBefore": {"replies", 500, 100}, "RecordsTouched": nil, "RecordsSince": {19_990, 100}, "SetRecord": {1, 2, "[]", "", 0, "id7"},
			"PassByHash": {"hash7"}, "PassesOfBed": {"bed7"}, "PassesOfAccount": {"account7"}, "Contact": {"P7"},
		} {
			question := asked[name]
			if question == "" {
				t.Fatal("no question", name)
			}
			explain, whole, column := "EXPLAIN ", regexp.MustCompile(`Seq Scan on (asking|passkey|asked|record|pass|contact)\b`), 1
			if s.lite {
				explain, whole, column = "EXPLAIN QUERY PLAN ", regexp.MustCompile(`\bSCAN (asking|passkey|asked|record|pass|contact)$`), 4
			}
			found, err := s.db.Query(explain+question, args...)
			if err != nil {
				t.Fatal(name, err)
			}
			plan := ""
			for found.Next() {
				var a, b, c int
				var line string
				if into := []any{&a, &b, &c, &line}; column == 1 {
					err = found.Scan(&line)
				} else {
					err = found.Scan(into...)
				}
				must(t, err)
				plan += line + "\n"
				if whole.MatchString(line) {
					t.Errorf("%s reads a whole table: %s", name, line)
				}
			}
			must(t, found.Err())
			found.Close()
			if plan == "" {
				t.Errorf("%s: no plan", name)
			}
		}
	})
}
