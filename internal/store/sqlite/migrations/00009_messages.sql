-- What is kept of messages from phones that were out of reach, so that one that
-- comes again is known.

-- +goose Up
CREATE TABLE "message" (
    id     TEXT PRIMARY KEY NOT NULL,
    season TEXT NOT NULL,
    parent TEXT NOT NULL,
    "key"  TEXT NOT NULL,
    body   TEXT NOT NULL
) STRICT;
CREATE INDEX message_season ON "message" (season, id);
CREATE INDEX message_parent ON "message" (parent, season, id) WHERE parent <> '';
CREATE UNIQUE INDEX message_key ON "message" ("key", season) WHERE "key" <> '';
-- +goose StatementBegin
CREATE TRIGGER message_lasts BEFORE DELETE ON "message"
BEGIN SELECT RAISE(ABORT, 'nothing is ever deleted: amend it instead'); END;
-- +goose StatementEnd
