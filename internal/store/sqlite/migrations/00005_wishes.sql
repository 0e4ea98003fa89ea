-- What people ask the coordinator to do with what is kept about them.

-- +goose Up
CREATE TABLE "wish" (
    id     TEXT PRIMARY KEY NOT NULL,
    season TEXT NOT NULL,
    parent TEXT NOT NULL,
    "key"  TEXT NOT NULL,
    body   TEXT NOT NULL
) STRICT;
CREATE INDEX wish_season ON "wish" (season, id);
CREATE INDEX wish_parent ON "wish" (parent, season, id) WHERE parent <> '';
CREATE UNIQUE INDEX wish_key ON "wish" ("key", season) WHERE "key" <> '';
-- +goose StatementBegin
CREATE TRIGGER wish_lasts BEFORE DELETE ON "wish"
BEGIN SELECT RAISE(ABORT, 'nothing is ever deleted: amend it instead'); END;
-- +goose StatementEnd
