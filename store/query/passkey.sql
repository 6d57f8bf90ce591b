-- name: AddPasskey :exec
-- AddPasskey adds a passkey.
INSERT INTO passkey (id, account, label, host, credential, made, used) VALUES ($1, $2, $3, $4, $5, $6, 0);

-- name: Passkey :one
-- Passkey finds a passkey.
SELECT * FROM passkey WHERE id = $1;

-- name: PasskeysOf :many
-- PasskeysOf lists the passkeys of an account.
SELECT * FROM passkey WHERE account = $1 ORDER BY made, id;

-- name: UsePasskey :execrows
-- UsePasskey notes that a passkey was used, where it still is as it was when it was asked for.
UPDATE passkey SET credential = sqlc.arg(becomes), used = sqlc.arg(used) WHERE id = sqlc.arg(id) AND credential = sqlc.arg(was);

-- name: DropPasskey :execrows
-- DropPasskey takes a passkey away.
DELETE FROM passkey WHERE id = $1 AND account = $2;

-- name: DropPasskeysOf :exec
-- DropPasskeysOf takes the passkeys of an account away.
DELETE FROM passkey WHERE account = $1;

-- name: SetStrict :execrows
-- SetStrict says whether a password alone lets a person in.
UPDATE person SET strict = $1 WHERE account = $2;

-- name: Ask :exec
-- Ask keeps what was asked of a device.
INSERT INTO asked (hash, account, what, until) VALUES ($1, $2, $3, $4);

-- name: TakeAsked :one
-- TakeAsked takes what was asked: once.
DELETE FROM asked WHERE hash = $1 AND until >= $2 RETURNING account, what;

-- name: ForgetAsked :exec
-- ForgetAsked forgets what nobody answered in time.
DELETE FROM asked WHERE until < $1;
