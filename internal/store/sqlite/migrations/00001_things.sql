-- The tables of a season: for each kind of thing the rows as they are now, and
-- for all of them the amendments that led there. Nothing is ever deleted, and
-- no amendment is ever changed: triggers refuse it, whoever asks.
--
-- An index by parent serves "the views of this record", one by season "the
-- records of this season in the order of their making", and one by key finds a
-- field number and keeps it unique. All text compares byte by byte.

-- +goose Up
-- The mark by which Trug knows its own files ("Trug" in ASCII).
PRAGMA application_id = 0x54727567;

CREATE TABLE amendments (
    seq      INTEGER PRIMARY KEY,
    at       TEXT NOT NULL,
    person   TEXT NOT NULL,
    device   TEXT NOT NULL,
    kind     TEXT NOT NULL,
    id       TEXT NOT NULL,
    season   TEXT NOT NULL,
    parent   TEXT NOT NULL,
    "before" TEXT,
    "after"  TEXT NOT NULL
) STRICT;
CREATE INDEX amendments_thing ON amendments (kind, id, seq);
CREATE INDEX amendments_season ON amendments (season, seq);

-- +goose StatementBegin
CREATE TRIGGER amendments_stay BEFORE UPDATE ON amendments
BEGIN SELECT RAISE(ABORT, 'an amendment is never changed'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER amendments_last BEFORE DELETE ON amendments
BEGIN SELECT RAISE(ABORT, 'an amendment is never deleted'); END;
-- +goose StatementEnd

CREATE TABLE "season" (
    id     TEXT PRIMARY KEY NOT NULL,
    season TEXT NOT NULL,
    parent TEXT NOT NULL,
    "key"  TEXT NOT NULL,
    body   TEXT NOT NULL
) STRICT;
CREATE INDEX season_season ON "season" (season, id);
CREATE INDEX season_parent ON "season" (parent, season, id) WHERE parent <> '';
CREATE UNIQUE INDEX season_key ON "season" ("key", season) WHERE "key" <> '';
-- +goose StatementBegin
CREATE TRIGGER season_lasts BEFORE DELETE ON "season"
BEGIN SELECT RAISE(ABORT, 'nothing is ever deleted: amend it instead'); END;
-- +goose StatementEnd

CREATE TABLE "person" (
    id     TEXT PRIMARY KEY NOT NULL,
    season TEXT NOT NULL,
    parent TEXT NOT NULL,
    "key"  TEXT NOT NULL,
    body   TEXT NOT NULL
) STRICT;
CREATE INDEX person_season ON "person" (season, id);
CREATE INDEX person_parent ON "person" (parent, season, id) WHERE parent <> '';
CREATE UNIQUE INDEX person_key ON "person" ("key", season) WHERE "key" <> '';
-- +goose StatementBegin
CREATE TRIGGER person_lasts BEFORE DELETE ON "person"
BEGIN SELECT RAISE(ABORT, 'nothing is ever deleted: amend it instead'); END;
-- +goose StatementEnd

CREATE TABLE "site" (
    id     TEXT PRIMARY KEY NOT NULL,
    season TEXT NOT NULL,
    parent TEXT NOT NULL,
    "key"  TEXT NOT NULL,
    body   TEXT NOT NULL
) STRICT;
CREATE INDEX site_season ON "site" (season, id);
CREATE INDEX site_parent ON "site" (parent, season, id) WHERE parent <> '';
CREATE UNIQUE INDEX site_key ON "site" ("key", season) WHERE "key" <> '';
-- +goose StatementBegin
CREATE TRIGGER site_lasts BEFORE DELETE ON "site"
BEGIN SELECT RAISE(ABORT, 'nothing is ever deleted: amend it instead'); END;
-- +goose StatementEnd

CREATE TABLE "foray" (
    id     TEXT PRIMARY KEY NOT NULL,
    season TEXT NOT NULL,
    parent TEXT NOT NULL,
    "key"  TEXT NOT NULL,
    body   TEXT NOT NULL
) STRICT;
CREATE INDEX foray_season ON "foray" (season, id);
CREATE INDEX foray_parent ON "foray" (parent, season, id) WHERE parent <> '';
CREATE UNIQUE INDEX foray_key ON "foray" ("key", season) WHERE "key" <> '';
-- +goose StatementBegin
CREATE TRIGGER foray_lasts BEFORE DELETE ON "foray"
BEGIN SELECT RAISE(ABORT, 'nothing is ever deleted: amend it instead'); END;
-- +goose StatementEnd

CREATE TABLE "taxon" (
    id     TEXT PRIMARY KEY NOT NULL,
    season TEXT NOT NULL,
    parent TEXT NOT NULL,
    "key"  TEXT NOT NULL,
    body   TEXT NOT NULL
) STRICT;
CREATE INDEX taxon_season ON "taxon" (season, id);
CREATE INDEX taxon_parent ON "taxon" (parent, season, id) WHERE parent <> '';
CREATE UNIQUE INDEX taxon_key ON "taxon" ("key", season) WHERE "key" <> '';
-- +goose StatementBegin
CREATE TRIGGER taxon_lasts BEFORE DELETE ON "taxon"
BEGIN SELECT RAISE(ABORT, 'nothing is ever deleted: amend it instead'); END;
-- +goose StatementEnd

CREATE TABLE "look_alike" (
    id     TEXT PRIMARY KEY NOT NULL,
    season TEXT NOT NULL,
    parent TEXT NOT NULL,
    "key"  TEXT NOT NULL,
    body   TEXT NOT NULL
) STRICT;
CREATE INDEX look_alike_season ON "look_alike" (season, id);
CREATE INDEX look_alike_parent ON "look_alike" (parent, season, id) WHERE parent <> '';
CREATE UNIQUE INDEX look_alike_key ON "look_alike" ("key", season) WHERE "key" <> '';
-- +goose StatementBegin
CREATE TRIGGER look_alike_lasts BEFORE DELETE ON "look_alike"
BEGIN SELECT RAISE(ABORT, 'nothing is ever deleted: amend it instead'); END;
-- +goose StatementEnd

CREATE TABLE "protection" (
    id     TEXT PRIMARY KEY NOT NULL,
    season TEXT NOT NULL,
    parent TEXT NOT NULL,
    "key"  TEXT NOT NULL,
    body   TEXT NOT NULL
) STRICT;
CREATE INDEX protection_season ON "protection" (season, id);
CREATE INDEX protection_parent ON "protection" (parent, season, id) WHERE parent <> '';
CREATE UNIQUE INDEX protection_key ON "protection" ("key", season) WHERE "key" <> '';
-- +goose StatementBegin
CREATE TRIGGER protection_lasts BEFORE DELETE ON "protection"
BEGIN SELECT RAISE(ABORT, 'nothing is ever deleted: amend it instead'); END;
-- +goose StatementEnd

CREATE TABLE "record" (
    id     TEXT PRIMARY KEY NOT NULL,
    season TEXT NOT NULL,
    parent TEXT NOT NULL,
    "key"  TEXT NOT NULL,
    body   TEXT NOT NULL
) STRICT;
CREATE INDEX record_season ON "record" (season, id);
CREATE INDEX record_parent ON "record" (parent, season, id) WHERE parent <> '';
CREATE UNIQUE INDEX record_key ON "record" ("key", season) WHERE "key" <> '';
-- +goose StatementBegin
CREATE TRIGGER record_lasts BEFORE DELETE ON "record"
BEGIN SELECT RAISE(ABORT, 'nothing is ever deleted: amend it instead'); END;
-- +goose StatementEnd

CREATE TABLE "photograph" (
    id     TEXT PRIMARY KEY NOT NULL,
    season TEXT NOT NULL,
    parent TEXT NOT NULL,
    "key"  TEXT NOT NULL,
    body   TEXT NOT NULL
) STRICT;
CREATE INDEX photograph_season ON "photograph" (season, id);
CREATE INDEX photograph_parent ON "photograph" (parent, season, id) WHERE parent <> '';
CREATE UNIQUE INDEX photograph_key ON "photograph" ("key", season) WHERE "key" <> '';
-- +goose StatementBegin
CREATE TRIGGER photograph_lasts BEFORE DELETE ON "photograph"
BEGIN SELECT RAISE(ABORT, 'nothing is ever deleted: amend it instead'); END;
-- +goose StatementEnd

CREATE TABLE "view" (
    id     TEXT PRIMARY KEY NOT NULL,
    season TEXT NOT NULL,
    parent TEXT NOT NULL,
    "key"  TEXT NOT NULL,
    body   TEXT NOT NULL
) STRICT;
CREATE INDEX view_season ON "view" (season, id);
CREATE INDEX view_parent ON "view" (parent, season, id) WHERE parent <> '';
CREATE UNIQUE INDEX view_key ON "view" ("key", season) WHERE "key" <> '';
-- +goose StatementBegin
CREATE TRIGGER view_lasts BEFORE DELETE ON "view"
BEGIN SELECT RAISE(ABORT, 'nothing is ever deleted: amend it instead'); END;
-- +goose StatementEnd

CREATE TABLE "determination" (
    id     TEXT PRIMARY KEY NOT NULL,
    season TEXT NOT NULL,
    parent TEXT NOT NULL,
    "key"  TEXT NOT NULL,
    body   TEXT NOT NULL
) STRICT;
CREATE INDEX determination_season ON "determination" (season, id);
CREATE INDEX determination_parent ON "determination" (parent, season, id) WHERE parent <> '';
CREATE UNIQUE INDEX determination_key ON "determination" ("key", season) WHERE "key" <> '';
-- +goose StatementBegin
CREATE TRIGGER determination_lasts BEFORE DELETE ON "determination"
BEGIN SELECT RAISE(ABORT, 'nothing is ever deleted: amend it instead'); END;
-- +goose StatementEnd

CREATE TABLE "pass" (
    id     TEXT PRIMARY KEY NOT NULL,
    season TEXT NOT NULL,
    parent TEXT NOT NULL,
    "key"  TEXT NOT NULL,
    body   TEXT NOT NULL
) STRICT;
CREATE INDEX pass_season ON "pass" (season, id);
CREATE INDEX pass_parent ON "pass" (parent, season, id) WHERE parent <> '';
CREATE UNIQUE INDEX pass_key ON "pass" ("key", season) WHERE "key" <> '';
-- +goose StatementBegin
CREATE TRIGGER pass_lasts BEFORE DELETE ON "pass"
BEGIN SELECT RAISE(ABORT, 'nothing is ever deleted: amend it instead'); END;
-- +goose StatementEnd

CREATE TABLE "request" (
    id     TEXT PRIMARY KEY NOT NULL,
    season TEXT NOT NULL,
    parent TEXT NOT NULL,
    "key"  TEXT NOT NULL,
    body   TEXT NOT NULL
) STRICT;
CREATE INDEX request_season ON "request" (season, id);
CREATE INDEX request_parent ON "request" (parent, season, id) WHERE parent <> '';
CREATE UNIQUE INDEX request_key ON "request" ("key", season) WHERE "key" <> '';
-- +goose StatementBegin
CREATE TRIGGER request_lasts BEFORE DELETE ON "request"
BEGIN SELECT RAISE(ABORT, 'nothing is ever deleted: amend it instead'); END;
-- +goose StatementEnd

CREATE TABLE "lift" (
    id     TEXT PRIMARY KEY NOT NULL,
    season TEXT NOT NULL,
    parent TEXT NOT NULL,
    "key"  TEXT NOT NULL,
    body   TEXT NOT NULL
) STRICT;
CREATE INDEX lift_season ON "lift" (season, id);
CREATE INDEX lift_parent ON "lift" (parent, season, id) WHERE parent <> '';
CREATE UNIQUE INDEX lift_key ON "lift" ("key", season) WHERE "key" <> '';
-- +goose StatementBegin
CREATE TRIGGER lift_lasts BEFORE DELETE ON "lift"
BEGIN SELECT RAISE(ABORT, 'nothing is ever deleted: amend it instead'); END;
-- +goose StatementEnd

CREATE TABLE "deposit" (
    id     TEXT PRIMARY KEY NOT NULL,
    season TEXT NOT NULL,
    parent TEXT NOT NULL,
    "key"  TEXT NOT NULL,
    body   TEXT NOT NULL
) STRICT;
CREATE INDEX deposit_season ON "deposit" (season, id);
CREATE INDEX deposit_parent ON "deposit" (parent, season, id) WHERE parent <> '';
CREATE UNIQUE INDEX deposit_key ON "deposit" ("key", season) WHERE "key" <> '';
-- +goose StatementBegin
CREATE TRIGGER deposit_lasts BEFORE DELETE ON "deposit"
BEGIN SELECT RAISE(ABORT, 'nothing is ever deleted: amend it instead'); END;
-- +goose StatementEnd
