-- +goose Up

-- All records are read in the order in which they were added, and the links of a person are taken away.
CREATE INDEX record_seq ON record (seq);
CREATE INDEX asking_code ON asking (code);
