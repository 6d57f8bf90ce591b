-- +goose Up

-- Beside the happenings: the links by which people of the records are asked in a wave. A link
-- says whether it was used, never when, and nothing says which answer came by it.
CREATE TABLE asking (
    hash      TEXT   PRIMARY KEY, -- of the secret
    wave      TEXT   NOT NULL,
    code      TEXT   NOT NULL,    -- of whom it was given to
    given     BIGINT NOT NULL,
    withdrawn BIGINT NOT NULL,    -- 0: it still opens
    answered  BIGINT NOT NULL     -- 1: it was used
);
CREATE INDEX asking_wave ON asking (wave, code);
