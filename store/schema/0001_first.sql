-- +goose Up

-- What this store is, and the number of its last happening. Whoever writes takes this row
-- first, so that happenings are numbered in the order in which they are kept, without gaps.
CREATE TABLE store (
    one  BIGINT PRIMARY KEY CHECK (one = 1),
    mark TEXT   NOT NULL,
    seq  BIGINT NOT NULL
);
INSERT INTO store (one, mark, seq) VALUES (1, 'raftwright', 0);

-- The truth: what was kept, by whom and when. Rows are added and never changed.
CREATE TABLE happening (
    seq      BIGINT PRIMARY KEY,
    id       TEXT   NOT NULL UNIQUE, -- made by whoever sent it, so that sending again adds nothing
    who      TEXT   NOT NULL,        -- an account, or the link or key by which it came
    recorded BIGINT NOT NULL,        -- milliseconds since 1970, by the clock of the store
    happened BIGINT NOT NULL,        -- the same, by whoever says so
    what     TEXT   NOT NULL,
    thing    TEXT   NOT NULL,        -- what it happened to: a bed, an entry, a sheet, an account, a pass
    payload  TEXT   NOT NULL         -- JSON
);
CREATE INDEX happening_thing ON happening (thing, seq);

-- Made from the happenings: account, pass, bed, entry, sheet.
CREATE TABLE account (
    id     TEXT   PRIMARY KEY,
    role   TEXT   NOT NULL,
    closed BIGINT NOT NULL           -- 0 while it is open
);
CREATE TABLE pass (                  -- a bearer key, or the link of a bed
    id        TEXT   PRIMARY KEY,
    hash      TEXT   NOT NULL UNIQUE,
    kind      TEXT   NOT NULL,
    bed       TEXT   NOT NULL,       -- '' for a key of a whole account
    account   TEXT   NOT NULL,       -- who gave it
    label     TEXT   NOT NULL,
    given     BIGINT NOT NULL,
    withdrawn BIGINT NOT NULL        -- 0 while it is good
);
CREATE INDEX pass_account ON pass (account, id);
CREATE INDEX pass_bed ON pass (bed, id);
CREATE TABLE bed (
    id      TEXT   PRIMARY KEY,
    owner   TEXT   NOT NULL,
    title   TEXT   NOT NULL,
    place   TEXT   NOT NULL,
    brief   TEXT   NOT NULL,
    edition TEXT   NOT NULL,
    version BIGINT NOT NULL,         -- of the brief, from 1
    changed BIGINT NOT NULL          -- the number of the last happening that touched bed or log
);
CREATE INDEX bed_owner ON bed (owner, id);
CREATE INDEX bed_changed ON bed (id, changed); -- so that asking which changed reads no briefs
CREATE TABLE entry (
    id       TEXT   PRIMARY KEY,
    bed      TEXT   NOT NULL,
    seq      BIGINT NOT NULL,
    happened BIGINT NOT NULL,
    recorded BIGINT NOT NULL,
    who      TEXT   NOT NULL,
    version  BIGINT NOT NULL,        -- from 1, one more by each correction
    pairs    TEXT   NOT NULL         -- JSON; '[]' where it was struck out
);
CREATE INDEX entry_bed ON entry (bed, happened, seq);
CREATE TABLE sheet (                 -- what an office shares
    id       TEXT   PRIMARY KEY,
    kind     TEXT   NOT NULL,
    name     TEXT   NOT NULL,
    text     TEXT   NOT NULL,
    version  BIGINT NOT NULL,
    who      TEXT   NOT NULL,
    recorded BIGINT NOT NULL
);
CREATE INDEX sheet_kind ON sheet (kind, name, id);

-- Beside the happenings: what must be forgettable, what passes, and what is reckoned.
CREATE TABLE person (
    account  TEXT PRIMARY KEY,
    name     TEXT NOT NULL,
    folded   TEXT NOT NULL UNIQUE,   -- the name as it is compared
    contact  TEXT NOT NULL,
    password TEXT NOT NULL           -- argon2id; '' where none is set
);
CREATE TABLE session (
    hash    TEXT   PRIMARY KEY,
    account TEXT   NOT NULL,
    made    BIGINT NOT NULL,
    seen    BIGINT NOT NULL
);
CREATE INDEX session_account ON session (account);
CREATE TABLE attempt (               -- how often something was tried
    what  TEXT   PRIMARY KEY,
    since BIGINT NOT NULL,
    count BIGINT NOT NULL
);
CREATE TABLE looked (                -- who saw personal data
    who     TEXT   NOT NULL,
    account TEXT   NOT NULL,         -- '' for the list of all
    at      BIGINT NOT NULL
);
CREATE INDEX looked_at ON looked (at);
CREATE TABLE attention (
    bed     TEXT   PRIMARY KEY,
    owner   TEXT   NOT NULL,
    rank    BIGINT NOT NULL,         -- the larger the sooner
    seen    BIGINT NOT NULL,         -- bed.changed when it was reckoned
    again   BIGINT NOT NULL,         -- when it must be reckoned again though nothing was written
    reasons TEXT   NOT NULL          -- JSON
);
CREATE INDEX attention_rank ON attention (rank DESC, bed);
CREATE INDEX attention_owner ON attention (owner, rank DESC, bed);
CREATE INDEX attention_again ON attention (again);
