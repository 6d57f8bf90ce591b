-- +goose Up

-- Answers are reckoned: what was worked out of a bed, so that no server works it out twice.
CREATE TABLE answer (
    bed   TEXT   NOT NULL,
    kind  TEXT   NOT NULL,           -- which question it answers
    seen  BIGINT NOT NULL,           -- what changed of the bed was when it was worked out
    basis TEXT   NOT NULL,           -- what else it rests on: program, tables, version of the brief
    made  BIGINT NOT NULL,           -- the moment that it is of
    text  TEXT   NOT NULL,           -- JSON
    PRIMARY KEY (bed, kind)
);
