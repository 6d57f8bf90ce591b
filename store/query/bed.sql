-- name: AddBed :exec
-- AddBed adds a bed.
INSERT INTO bed (id, owner, title, place, brief, edition, version, changed) VALUES ($1, $2, $3, $4, $5, $6, $7, $8);

-- name: Bed :one
-- Bed finds a bed.
SELECT * FROM bed WHERE id = $1;

-- name: Beds :many
-- Beds lists beds after an id, of one owner or of all ('').
SELECT id, owner, title, place, edition, version, changed FROM bed WHERE id > $1 AND (owner = $2 OR $2 = '') ORDER BY id LIMIT $3;

-- name: SetBrief :exec
-- SetBrief gives a bed another version of its brief.
UPDATE bed SET title = $1, place = $2, brief = $3, edition = $4, version = $5, changed = $6 WHERE id = $7;

-- name: GiveBed :exec
-- GiveBed gives a bed to another account.
UPDATE bed SET owner = $1, changed = $2 WHERE id = $3;

-- name: TouchBed :exec
-- TouchBed notes that something happened to a bed.
UPDATE bed SET changed = $1 WHERE id = $2;

-- name: AddEntry :exec
-- AddEntry adds an entry of a log.
INSERT INTO entry (id, bed, seq, happened, recorded, who, version, pairs) VALUES ($1, $2, $3, $4, $5, $6, $7, $8);

-- name: Entry :one
-- Entry finds an entry.
SELECT * FROM entry WHERE id = $1;

-- name: CorrectEntry :exec
-- CorrectEntry puts other readings into an entry.
UPDATE entry SET happened = $1, version = $2, pairs = $3 WHERE id = $4;

-- name: OwnerOf :one
-- OwnerOf tells whose a bed is.
SELECT owner FROM bed WHERE id = $1;

-- name: OwnerAndSent :one
-- OwnerAndSent tells whose a bed is, and whether something was sent with an id.
SELECT owner, (SELECT COUNT(*) FROM happening WHERE happening.id = sqlc.arg(sent)) AS sent FROM bed WHERE bed.id = sqlc.arg(bed);

-- name: Entries :many
-- Entries lists the log of a bed and whose the bed is, the oldest first, after a moment and a number.
SELECT sqlc.embed(entry), bed.owner FROM entry JOIN bed ON bed.id = entry.bed
WHERE entry.bed = $1 AND (entry.happened > $2 OR entry.happened = $2 AND entry.seq > $3) ORDER BY entry.happened, entry.seq LIMIT $4;

-- name: LastEntries :many
-- LastEntries lists the log of a bed, the latest first.
SELECT * FROM entry WHERE bed = $1 ORDER BY happened DESC, seq DESC LIMIT $2;

-- name: AddSheet :exec
-- AddSheet adds a sheet.
INSERT INTO sheet (id, kind, name, text, version, who, recorded) VALUES ($1, $2, $3, $4, $5, $6, $7);

-- name: Sheet :one
-- Sheet finds a sheet.
SELECT * FROM sheet WHERE id = $1;

-- name: SetSheet :exec
-- SetSheet gives a sheet another version.
UPDATE sheet SET name = $1, text = $2, version = $3, who = $4, recorded = $5 WHERE id = $6;

-- name: Sheets :many
-- Sheets lists the sheets of a kind by name.
SELECT * FROM sheet WHERE kind = $1 ORDER BY name, id;

-- name: SetAttention :exec
-- SetAttention keeps what a bed needs.
INSERT INTO attention (bed, owner, rank, seen, again, reasons, county, kind, program, reading) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10)
ON CONFLICT (bed) DO UPDATE SET owner = EXCLUDED.owner, rank = EXCLUDED.rank, seen = EXCLUDED.seen, again = EXCLUDED.again, reasons = EXCLUDED.reasons,
    county = EXCLUDED.county, kind = EXCLUDED.kind, program = EXCLUDED.program, reading = EXCLUDED.reading
WHERE EXCLUDED.seen >= attention.seen;

-- name: PassAttention :exec
-- PassAttention tells of a bed that what it needs could not be reckoned; where it stands in a list that is narrowed, and its last reading, stay.
INSERT INTO attention (bed, owner, rank, seen, again, reasons) VALUES ($1, $2, $3, $4, $5, $6)
ON CONFLICT (bed) DO UPDATE SET owner = EXCLUDED.owner, rank = EXCLUDED.rank, seen = EXCLUDED.seen, again = EXCLUDED.again, reasons = EXCLUDED.reasons
WHERE EXCLUDED.seen >= attention.seen;

-- name: OwnAttention :exec
-- OwnAttention tells the attention of a bed whose it is now.
UPDATE attention SET owner = $1 WHERE bed = $2;

-- name: Attention :many
-- Attention lists beds by what needs attention, the most urgent first, after a rank and a bed: of one owner, county, kind or program, or of all ('').
SELECT bed.id, bed.owner, bed.title, bed.place, bed.changed, attention.rank, attention.seen, attention.reasons, attention.county, attention.kind, attention.program, attention.reading
FROM attention JOIN bed ON bed.id = attention.bed
WHERE attention.rank <= sqlc.arg(rank) AND (attention.rank < sqlc.arg(rank) OR attention.bed > sqlc.arg(bed))
AND (attention.owner = sqlc.arg(owner) OR sqlc.arg(owner) = '') AND (attention.county = sqlc.arg(county) OR sqlc.arg(county) = '')
AND (attention.kind = sqlc.arg(kind) OR sqlc.arg(kind) = '') AND (attention.program = sqlc.arg(program) OR sqlc.arg(program) = '')
ORDER BY attention.rank DESC, attention.bed LIMIT sqlc.arg(most);

-- name: AttentionGroups :many
-- AttentionGroups counts beds by what a list of them is narrowed by, and by whether they need something; of one owner or of all ('').
SELECT county, kind, program, CASE WHEN rank > 0 THEN 1 ELSE 0 END AS needs, COUNT(*) FROM attention WHERE owner = $1 OR $1 = ''
GROUP BY county, kind, program, CASE WHEN rank > 0 THEN 1 ELSE 0 END ORDER BY county, kind, program;

-- name: AttentionDue :many
-- AttentionDue lists beds whose attention is to be reckoned, after one: written to since, due again, or due so late that a clock was ahead.
SELECT bed.id FROM bed LEFT JOIN attention ON attention.bed = bed.id
WHERE bed.id > sqlc.arg(after) AND (attention.bed IS NULL OR attention.seen < bed.changed OR attention.again <= sqlc.arg(now) OR attention.again > sqlc.arg(ahead)) ORDER BY bed.id LIMIT sqlc.arg(most);

-- name: SetAnswer :exec
-- SetAnswer keeps what was worked out of a bed.
INSERT INTO answer (bed, kind, seen, basis, made, text) VALUES ($1, $2, $3, $4, $5, $6)
ON CONFLICT (bed, kind) DO UPDATE SET seen = EXCLUDED.seen, basis = EXCLUDED.basis, made = EXCLUDED.made, text = EXCLUDED.text
WHERE EXCLUDED.seen >= answer.seen;

-- name: Answer :one
-- Answer tells whose a bed is, and finds what was worked out of it; without a kind nothing was.
SELECT bed.owner, answer.kind, answer.seen, answer.basis, answer.made, answer.text FROM bed LEFT JOIN answer ON answer.bed = bed.id AND answer.kind = sqlc.arg(kind) WHERE bed.id = sqlc.arg(bed);

-- name: Answers :many
-- Answers lists what was worked out of a bed, without the texts.
SELECT kind, seen, basis, made FROM answer WHERE bed = $1 ORDER BY kind;

-- name: ForgetAnswers :exec
-- ForgetAnswers forgets what was worked out long ago: whoever looks again has it worked out again.
DELETE FROM answer WHERE made < $1;
