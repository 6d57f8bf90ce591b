-- name: NextSeq :one
-- NextSeq numbers the next happening, and makes every other writer wait.
UPDATE store SET seq = seq + 1 WHERE one = 1 RETURNING seq;

-- name: NextSeqs :one
-- NextSeqs numbers the next so many happenings at once, and gives the last number.
UPDATE store SET seq = seq + $1 WHERE one = 1 RETURNING seq;

-- name: LastSeq :one
-- LastSeq gives the number of the last happening.
SELECT seq FROM store WHERE one = 1;

-- name: SetSeq :exec
-- SetSeq sets the number of the last happening, of a store that is filled from elsewhere.
UPDATE store SET seq = $1 WHERE one = 1;

-- name: Mark :one
-- Mark says whose store it is.
SELECT mark FROM store WHERE one = 1;

-- name: AddHappening :exec
-- AddHappening keeps a happening.
INSERT INTO happening (seq, id, who, recorded, happened, what, thing, payload) VALUES ($1, $2, $3, $4, $5, $6, $7, $8);

-- name: EmptyHappening :exec
-- EmptyHappening leaves of what was said what may be kept.
UPDATE happening SET payload = $1 WHERE seq = $2;

-- name: HappeningByID :one
-- HappeningByID finds what was sent with an id.
SELECT * FROM happening WHERE id = $1;

-- name: HappeningsOf :many
-- HappeningsOf lists what happened to a thing, the oldest first.
SELECT * FROM happening WHERE thing = $1 ORDER BY seq;

-- name: HappeningsAfter :many
-- HappeningsAfter lists what happened after a number, the oldest first.
SELECT * FROM happening WHERE seq > $1 ORDER BY seq LIMIT $2;

-- name: EntryHappenings :many
-- EntryHappenings lists the entries and corrections of a bed's log, the oldest first.
SELECT happening.* FROM happening JOIN entry ON entry.id = happening.thing WHERE entry.bed = $1 ORDER BY happening.seq;

-- name: EmptyAccounts :exec
-- EmptyAccounts empties a table that is made from the happenings.
DELETE FROM account;

-- name: EmptyPasses :exec
-- EmptyPasses empties a table that is made from the happenings.
DELETE FROM pass;

-- name: EmptyBeds :exec
-- EmptyBeds empties a table that is made from the happenings.
DELETE FROM bed;

-- name: EmptyEntries :exec
-- EmptyEntries empties a table that is made from the happenings.
DELETE FROM entry;

-- name: EmptySheets :exec
-- EmptySheets empties a table that is made from the happenings.
DELETE FROM sheet;
