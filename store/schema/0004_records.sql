-- +goose Up

-- Made from the happenings: the records of a programme, each a row of one of its tables.
CREATE TABLE record (
    id       TEXT   PRIMARY KEY,
    ledger   TEXT   NOT NULL,        -- the table, by its name in the open form
    name     TEXT   NOT NULL,        -- what its table calls the row, '' where rows have no names
    seq      BIGINT NOT NULL,        -- of the happening that added it: the order of the table
    touched  BIGINT NOT NULL,        -- the number of the last happening to it
    version  BIGINT NOT NULL,        -- from 1
    pairs    TEXT   NOT NULL,        -- JSON
    who      TEXT   NOT NULL,
    recorded BIGINT NOT NULL
);
CREATE INDEX record_ledger ON record (ledger, seq);
CREATE INDEX record_name ON record (ledger, name);
CREATE INDEX record_touched ON record (touched);

-- Beside the happenings: who a code of a record is. A row can be forgotten; the code and
-- the counts stay.
CREATE TABLE contact (
    code    TEXT PRIMARY KEY,
    name    TEXT NOT NULL,
    contact TEXT NOT NULL
);
