-- +goose Up

-- Whoever answered by a link and agreed that their story is told: until that is written into the
-- records, so that nothing in these stands beside the answer.
ALTER TABLE asking ADD COLUMN tells BIGINT NOT NULL DEFAULT 0; -- 1: agreed
