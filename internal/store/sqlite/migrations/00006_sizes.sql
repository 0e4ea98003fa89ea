-- Batches of field cards, the cards that photographs show, and the sizes that
-- were read off them.

-- +goose Up
CREATE TABLE "card_batch" (
    id     TEXT PRIMARY KEY NOT NULL,
    season TEXT NOT NULL,
    parent TEXT NOT NULL,
    "key"  TEXT NOT NULL,
    body   TEXT NOT NULL
) STRICT;
CREATE INDEX card_batch_season ON "card_batch" (season, id);
CREATE INDEX card_batch_parent ON "card_batch" (parent, season, id) WHERE parent <> '';
CREATE UNIQUE INDEX card_batch_key ON "card_batch" ("key", season) WHERE "key" <> '';
-- +goose StatementBegin
CREATE TRIGGER card_batch_lasts BEFORE DELETE ON "card_batch"
BEGIN SELECT RAISE(ABORT, 'nothing is ever deleted: amend it instead'); END;
-- +goose StatementEnd

CREATE TABLE "found_card" (
    id     TEXT PRIMARY KEY NOT NULL,
    season TEXT NOT NULL,
    parent TEXT NOT NULL,
    "key"  TEXT NOT NULL,
    body   TEXT NOT NULL
) STRICT;
CREATE INDEX found_card_season ON "found_card" (season, id);
CREATE INDEX found_card_parent ON "found_card" (parent, season, id) WHERE parent <> '';
CREATE UNIQUE INDEX found_card_key ON "found_card" ("key", season) WHERE "key" <> '';
-- +goose StatementBegin
CREATE TRIGGER found_card_lasts BEFORE DELETE ON "found_card"
BEGIN SELECT RAISE(ABORT, 'nothing is ever deleted: amend it instead'); END;
-- +goose StatementEnd

CREATE TABLE "measurement" (
    id     TEXT PRIMARY KEY NOT NULL,
    season TEXT NOT NULL,
    parent TEXT NOT NULL,
    "key"  TEXT NOT NULL,
    body   TEXT NOT NULL
) STRICT;
CREATE INDEX measurement_season ON "measurement" (season, id);
CREATE INDEX measurement_parent ON "measurement" (parent, season, id) WHERE parent <> '';
CREATE UNIQUE INDEX measurement_key ON "measurement" ("key", season) WHERE "key" <> '';
-- +goose StatementBegin
CREATE TRIGGER measurement_lasts BEFORE DELETE ON "measurement"
BEGIN SELECT RAISE(ABORT, 'nothing is ever deleted: amend it instead'); END;
-- +goose StatementEnd
