-- +goose Up

-- Beside the happenings: passkeys, of which only the open half of the key is kept, and what
-- was asked of a device until it answers, once.
CREATE TABLE passkey (
    id         TEXT   PRIMARY KEY,   -- of the credential, as base64 for addresses
    account    TEXT   NOT NULL,
    label      TEXT   NOT NULL,
    host       TEXT   NOT NULL,      -- the name of the office for which it was made
    credential TEXT   NOT NULL,      -- JSON: open key, counter
    made       BIGINT NOT NULL,
    used       BIGINT NOT NULL       -- 0 while it was not
);
CREATE INDEX passkey_account ON passkey (account, made, id);
CREATE TABLE asked (
    hash    TEXT   PRIMARY KEY,
    account TEXT   NOT NULL,         -- whose passkey is to be made; '' where somebody signs in
    what    TEXT   NOT NULL,         -- JSON
    until   BIGINT NOT NULL
);
CREATE INDEX asked_until ON asked (until);

-- Whether a password alone lets its person in (0) or not (1).
ALTER TABLE person ADD COLUMN strict BIGINT NOT NULL DEFAULT 0;
