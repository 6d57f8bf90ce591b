-- name: AddAsking :exec
-- AddAsking adds a link of a wave.
INSERT INTO asking (hash, wave, code, given, withdrawn, answered, tells) VALUES ($1, $2, $3, $4, $5, $6, $7);

-- name: AskingByHash :one
-- AskingByHash finds a link of a wave.
SELECT * FROM asking WHERE hash = $1;

-- name: AskingsOf :many
-- AskingsOf lists the links of a wave.
SELECT * FROM asking WHERE wave = $1 ORDER BY code, given;

-- name: Askings :many
-- Askings lists the links of all waves.
SELECT * FROM asking ORDER BY hash;

-- name: ForgetAskings :exec
-- ForgetAskings takes the links of a person away.
DELETE FROM asking WHERE code = $1;

-- name: WithdrawAskings :exec
-- WithdrawAskings ends the links of a person in a wave.
UPDATE asking SET withdrawn = $1 WHERE wave = $2 AND code = $3 AND withdrawn = 0;

-- name: ToldAskings :exec
-- ToldAskings forgets that the person of a link agreed to a story, once the records have it.
UPDATE asking SET tells = 0 WHERE wave = $1 AND code = $2;

-- name: AnswerAsking :execrows
-- AnswerAsking notes that a link was used, once, and whether a story may be told.
UPDATE asking SET answered = 1, tells = $1 WHERE hash = $2 AND answered = 0 AND withdrawn = 0;
