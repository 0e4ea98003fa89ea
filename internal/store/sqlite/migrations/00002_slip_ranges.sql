-- Runs of field numbers printed on field slips, so that no number is given twice.

-- +goose Up
CREATE TABLE "slip_range" (
    id     TEXT PRIMARY KEY NOT NULL,
    season TEXT NOT NULL,
    parent TEXT NOT NULL,
    "key"  TEXT NOT NULL,
    body   TEXT NOT NULL
) STRICT;
CREATE INDEX slip_range_season ON "slip_range" (season, id);
CREATE INDEX slip_range_parent ON "slip_range" (parent, season, id) WHERE parent <> '';
CREATE UNIQUE INDEX slip_range_key ON "slip_range" ("key", season) WHERE "key" <> '';
-- +goose StatementBegin
CREATE TRIGGER slip_range_lasts BEFORE DELETE ON "slip_range"
BEGIN SELECT RAISE(ABORT, 'nothing is ever deleted: amend it instead'); END;
-- +goose StatementEnd
