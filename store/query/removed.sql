-- name: RemoveBed :exec
-- RemoveBed puts a bed among the removed ones.
INSERT INTO removed (id, owner, title, place, brief, edition, version, changed, since, gone)
SELECT bed.id, bed.owner, bed.title, bed.place, bed.brief, bed.edition, bed.version, bed.changed, sqlc.arg(since), 0 FROM bed WHERE bed.id = sqlc.arg(bed);

-- name: DropBed :exec
-- DropBed takes a bed from the beds.
DELETE FROM bed WHERE id = $1;

-- name: EndPassesOf :exec
-- EndPassesOf ends the keys and links of a bed.
UPDATE pass SET withdrawn = sqlc.arg(at) WHERE bed = sqlc.arg(bed) AND withdrawn = 0;

-- name: ReturnBed :exec
-- ReturnBed puts a removed bed among the beds again.
INSERT INTO bed (id, owner, title, place, brief, edition, version, changed)
SELECT removed.id, removed.owner, removed.title, removed.place, removed.brief, removed.edition, removed.version, CAST(sqlc.arg(changed) AS BIGINT) FROM removed WHERE removed.id = sqlc.arg(bed);

-- name: DropRemoved :exec
-- DropRemoved takes a bed from the removed ones.
DELETE FROM removed WHERE id = $1;

-- name: Removed :one
-- Removed finds a removed bed.
SELECT * FROM removed WHERE id = $1;

-- name: RemovedBeds :many
-- RemovedBeds lists the removed beds that can be brought back, of one owner or of all (''), the last one first.
SELECT id, owner, title, place, version, since FROM removed WHERE gone = 0 AND (owner = sqlc.arg(owner) OR sqlc.arg(owner) = '') ORDER BY since DESC, id LIMIT sqlc.arg(most);

-- name: RemovedBefore :many
-- RemovedBefore lists the beds that were removed before a moment and can be brought back.
SELECT id FROM removed WHERE gone = 0 AND since < $1 ORDER BY since, id;

-- name: RemovedIDs :many
-- RemovedIDs lists all removed beds.
SELECT id FROM removed ORDER BY id;

-- name: RemovedByHash :one
-- RemovedByHash finds the bed with whose removal a key or link ended.
SELECT removed.* FROM pass JOIN removed ON removed.id = pass.bed AND removed.since = pass.withdrawn WHERE pass.hash = $1;

-- name: EndRemoved :exec
-- EndRemoved notes that a removed bed can no longer be brought back.
UPDATE removed SET title = '', place = '', brief = '', gone = $1 WHERE id = $2;

-- name: RemovePhotosOf :exec
-- RemovePhotosOf takes the photos of a bed away.
DELETE FROM photo WHERE bed = $1;

-- name: ForgetAttention :exec
-- ForgetAttention forgets what a bed needs.
DELETE FROM attention WHERE bed = $1;

-- name: ForgetAnswersOf :exec
-- ForgetAnswersOf forgets what was worked out of a bed.
DELETE FROM answer WHERE bed = $1;

-- name: EmptyRemovedBeds :exec
-- EmptyRemovedBeds empties a table that is made from the happenings.
DELETE FROM removed;
