-- name: AddAccount :exec
-- AddAccount adds an account.
INSERT INTO account (id, role, closed) VALUES ($1, $2, 0);

-- name: Account :one
-- Account finds an account.
SELECT * FROM account WHERE id = $1;

-- name: CountAccounts :one
-- CountAccounts counts the accounts.
SELECT COUNT(*) FROM account;

-- name: SetRole :exec
-- SetRole gives an account another role.
UPDATE account SET role = $1 WHERE id = $2;

-- name: CloseAccount :exec
-- CloseAccount closes an account.
UPDATE account SET closed = $1 WHERE id = $2;

-- name: AddPerson :exec
-- AddPerson keeps the name of an account.
INSERT INTO person (account, name, folded, contact, password) VALUES ($1, $2, $3, $4, $5);

-- name: Person :one
-- Person finds the person of an account.
SELECT * FROM person WHERE account = $1;

-- name: PersonNamed :one
-- PersonNamed finds a person by the name as it is compared.
SELECT * FROM person WHERE folded = $1;

-- name: People :many
-- People lists the people with their roles.
SELECT account.id, account.role, account.closed, person.name, person.contact FROM account JOIN person ON person.account = account.id ORDER BY person.folded;

-- name: SetPassword :execrows
-- SetPassword gives a person another password.
UPDATE person SET password = $1 WHERE account = $2;

-- name: SetContact :execrows
-- SetContact gives a person another contact.
UPDATE person SET contact = $1 WHERE account = $2;

-- name: ForgetPerson :execrows
-- ForgetPerson takes a name and a contact away.
DELETE FROM person WHERE account = $1;

-- name: AddSession :exec
-- AddSession begins a session.
INSERT INTO session (hash, account, made, seen) VALUES ($1, $2, $3, $3);

-- name: Session :one
-- Session finds a session with the role of its account.
SELECT session.account, session.made, session.seen, account.role FROM session JOIN account ON account.id = session.account WHERE session.hash = $1 AND account.closed = 0;

-- name: SeeSession :exec
-- SeeSession notes that a session was used.
UPDATE session SET seen = $1 WHERE hash = $2;

-- name: EndSession :exec
-- EndSession ends a session.
DELETE FROM session WHERE hash = $1;

-- name: EndSessionsOf :exec
-- EndSessionsOf ends the sessions of an account.
DELETE FROM session WHERE account = $1;

-- name: EndSessionsBefore :exec
-- EndSessionsBefore ends the sessions that nobody used since, and those made before.
DELETE FROM session WHERE seen < $1 OR made < $2;

-- name: AddPass :exec
-- AddPass adds a key or a link.
INSERT INTO pass (id, hash, kind, bed, account, label, given, withdrawn) VALUES ($1, $2, $3, $4, $5, $6, $7, 0);

-- name: Pass :one
-- Pass finds a key or a link.
SELECT * FROM pass WHERE id = $1;

-- name: PassByHash :one
-- PassByHash finds a key or a link that is good, with the role of who gave it; a key of a closed account is not.
SELECT pass.id, pass.kind, pass.bed, pass.account, account.role FROM pass LEFT JOIN account ON account.id = pass.account WHERE pass.hash = $1 AND pass.withdrawn = 0 AND (pass.bed <> '' OR pass.account = '' OR account.closed = 0);

-- name: WithdrawPass :exec
-- WithdrawPass ends a key or a link.
UPDATE pass SET withdrawn = $1 WHERE id = $2;

-- name: PassesOfBed :many
-- PassesOfBed lists the keys and links of a bed.
SELECT * FROM pass WHERE bed = $1 ORDER BY given, id;

-- name: PassesOfAccount :many
-- PassesOfAccount lists the keys and links that an account gave.
SELECT * FROM pass WHERE account = $1 ORDER BY given, id;

-- name: AddLooked :exec
-- AddLooked notes who saw personal data.
INSERT INTO looked (who, account, at) VALUES ($1, $2, $3);

-- name: LookedSince :many
-- LookedSince lists who saw personal data, the latest first.
SELECT * FROM looked WHERE at >= $1 ORDER BY at DESC LIMIT $2;

-- name: LookedInOrder :many
-- LookedInOrder lists who saw personal data, the earliest first.
SELECT * FROM looked ORDER BY at, who, account;

-- name: Attempt :one
-- Attempt counts one more try of something; tries before a time are forgotten, and those after one, of a clock that was ahead.
INSERT INTO attempt (what, since, count) VALUES (sqlc.arg(what), sqlc.arg(now), 1)
ON CONFLICT (what) DO UPDATE SET
    count = CASE WHEN attempt.since < sqlc.arg(forget) OR attempt.since > sqlc.arg(ahead) THEN 1 ELSE attempt.count + 1 END,
    since = CASE WHEN attempt.since < sqlc.arg(forget) OR attempt.since > sqlc.arg(ahead) THEN EXCLUDED.since ELSE attempt.since END
RETURNING since, count;

-- name: TakeBackAttempt :exec
-- TakeBackAttempt takes back one try.
UPDATE attempt SET count = count - 1 WHERE what = $1 AND count > 0;

-- name: ForgetAttempts :exec
-- ForgetAttempts forgets the tries before a time.
DELETE FROM attempt WHERE since < $1;
