-- +goose Up

-- Attention is reckoned: by what a list of all beds is narrowed, and the last reading.
ALTER TABLE attention ADD COLUMN county TEXT NOT NULL DEFAULT '';
ALTER TABLE attention ADD COLUMN kind TEXT NOT NULL DEFAULT '';
ALTER TABLE attention ADD COLUMN program TEXT NOT NULL DEFAULT '';
ALTER TABLE attention ADD COLUMN reading TEXT NOT NULL DEFAULT '{}'; -- JSON
