-- +goose Up

-- Made from the happenings: photo. Beside them: image, whose bytes go when the photo goes.
CREATE TABLE photo (
    id       TEXT   PRIMARY KEY,
    bed      TEXT   NOT NULL,
    entry    TEXT   NOT NULL,        -- '' for one of the bed itself
    kind     TEXT   NOT NULL,        -- its media type
    hash     TEXT   NOT NULL,
    who      TEXT   NOT NULL,
    recorded BIGINT NOT NULL
);
CREATE INDEX photo_bed ON photo (bed, recorded, id);
CREATE INDEX photo_hash ON photo (hash);
CREATE TABLE image (
    hash  TEXT  PRIMARY KEY,         -- SHA-256 of the bytes
    bytes BYTEA NOT NULL
);
