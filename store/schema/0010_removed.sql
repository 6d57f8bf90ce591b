-- +goose Up

-- Made from the happenings: the beds that were removed, as they stood. None of them is in bed, so that no
-- question about beds finds one.
CREATE TABLE removed (
    id      TEXT   PRIMARY KEY,
    owner   TEXT   NOT NULL,
    title   TEXT   NOT NULL,         -- '' from when it is gone for good, as are place and brief
    place   TEXT   NOT NULL,
    brief   TEXT   NOT NULL,
    edition TEXT   NOT NULL,
    version BIGINT NOT NULL,
    changed BIGINT NOT NULL,
    since   BIGINT NOT NULL,         -- milliseconds since 1970
    gone    BIGINT NOT NULL          -- 0 while it can be brought back
);
CREATE INDEX removed_owner ON removed (owner, since);
