-- name: AddRecord :exec
-- AddRecord adds a record.
INSERT INTO record (id, ledger, name, seq, touched, version, pairs, who, recorded) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9);

-- name: SetRecord :exec
-- SetRecord gives a record another version.
UPDATE record SET touched = $1, version = $2, pairs = $3, who = $4, recorded = $5 WHERE id = $6;

-- name: Record :one
-- Record finds a record.
SELECT * FROM record WHERE id = $1;

-- name: RecordNamed :one
-- RecordNamed counts the records that a table calls by a name.
SELECT COUNT(*) FROM record WHERE ledger = $1 AND name = $2;

-- name: RecordsAfter :many
-- RecordsAfter lists records in the order in which they were added, after a number.
SELECT * FROM record WHERE seq > $1 ORDER BY seq LIMIT $2;

-- name: RowsAfter :one
-- RowsAfter gives of the records of a table their rows alone, in the order in which they were added, after a number: a line for each, its number and its row, in one text, which is
-- read in half the time of so many lines.
SELECT CAST(COALESCE(string_agg(CAST(seq AS text) || ' ' || pairs, '
'), '') AS text) AS lines FROM (SELECT seq, pairs FROM record WHERE ledger = $1 AND seq > $2 ORDER BY seq LIMIT $3) AS part;

-- name: RecordsBefore :many
-- RecordsBefore lists the records of a table, the latest first, before a number.
SELECT * FROM record WHERE ledger = $1 AND seq < $2 ORDER BY seq DESC LIMIT $3;

-- name: CountRecords :many
-- CountRecords counts the records of each table.
SELECT ledger, COUNT(*) AS count FROM record GROUP BY ledger ORDER BY ledger;

-- name: RecordsTouched :one
-- RecordsTouched gives the number of the last happening to any record.
SELECT CAST(COALESCE(MAX(touched), 0) AS BIGINT) AS seq FROM record;

-- name: RecordsSince :many
-- RecordsSince lists the records to which something happened after a number, in the order in which it did.
SELECT * FROM record WHERE touched > $1 ORDER BY touched LIMIT $2;

-- name: DropRecord :exec
-- DropRecord takes a record away of which nothing may be kept.
DELETE FROM record WHERE id = $1;

-- name: EmptyRecords :exec
-- EmptyRecords empties a table that is made from the happenings.
DELETE FROM record;

-- name: PutContact :exec
-- PutContact writes who a code is.
INSERT INTO contact (code, name, contact) VALUES ($1, $2, $3)
ON CONFLICT (code) DO UPDATE SET name = EXCLUDED.name, contact = EXCLUDED.contact;

-- name: Contact :one
-- Contact tells who a code is.
SELECT * FROM contact WHERE code = $1;

-- name: ForgetContact :exec
-- ForgetContact forgets who a code is.
DELETE FROM contact WHERE code = $1;

-- name: Contacts :many
-- Contacts lists who the codes are.
SELECT * FROM contact ORDER BY code;
