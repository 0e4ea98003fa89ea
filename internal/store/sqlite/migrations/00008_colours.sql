-- Colours that were measured in views, corrected through the field card.

-- +goose Up
CREATE TABLE "colour" (
    id     TEXT PRIMARY KEY NOT NULL,
    season TEXT NOT NULL,
    parent TEXT NOT NULL,
    "key"  TEXT NOT NULL,
    body   TEXT NOT NULL
) STRICT;
CREATE INDEX colour_season ON "colour" (season, id);
CREATE INDEX colour_parent ON "colour" (parent, season, id) WHERE parent <> '';
CREATE UNIQUE INDEX colour_key ON "colour" ("key", season) WHERE "key" <> '';
-- +goose StatementBegin
CREATE TRIGGER colour_lasts BEFORE DELETE ON "colour"
BEGIN SELECT RAISE(ABORT, 'nothing is ever deleted: amend it instead'); END;
-- +goose StatementEnd
