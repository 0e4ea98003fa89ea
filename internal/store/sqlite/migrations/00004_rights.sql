-- What the rights of people need: marks by which a view is withheld, redactions
-- that take somebody's words out of rows and amendments alike, and the looks
-- that tell who saw a place that others may not know.

-- +goose Up
CREATE TABLE "mark" (
    id     TEXT PRIMARY KEY NOT NULL,
    season TEXT NOT NULL,
    parent TEXT NOT NULL,
    "key"  TEXT NOT NULL,
    body   TEXT NOT NULL
) STRICT;
CREATE INDEX mark_season ON "mark" (season, id);
CREATE INDEX mark_parent ON "mark" (parent, season, id) WHERE parent <> '';
CREATE UNIQUE INDEX mark_key ON "mark" ("key", season) WHERE "key" <> '';
-- +goose StatementBegin
CREATE TRIGGER mark_lasts BEFORE DELETE ON "mark"
BEGIN SELECT RAISE(ABORT, 'nothing is ever deleted: amend it instead'); END;
-- +goose StatementEnd

CREATE TABLE "redaction" (
    id     TEXT PRIMARY KEY NOT NULL,
    season TEXT NOT NULL,
    parent TEXT NOT NULL,
    "key"  TEXT NOT NULL,
    body   TEXT NOT NULL
) STRICT;
CREATE INDEX redaction_season ON "redaction" (season, id);
CREATE INDEX redaction_parent ON "redaction" (parent, season, id) WHERE parent <> '';
CREATE UNIQUE INDEX redaction_key ON "redaction" ("key", season) WHERE "key" <> '';
-- +goose StatementBegin
CREATE TRIGGER redaction_lasts BEFORE DELETE ON "redaction"
BEGIN SELECT RAISE(ABORT, 'nothing is ever deleted: amend it instead'); END;
-- +goose StatementEnd

-- The number of the amendment that tells of the redaction; 0 where the
-- amendment is as it was written.
ALTER TABLE amendments ADD COLUMN redacted INTEGER NOT NULL DEFAULT 0;

-- An amendment may be redacted, and nothing else: what it said before and after,
-- by the redaction that names its thing and is the newest amendment of all, so
-- within the one transaction that wrote it. Who, when and of what stays.
DROP TRIGGER amendments_stay;
-- +goose StatementBegin
CREATE TRIGGER amendments_stay BEFORE UPDATE ON amendments
WHEN NEW.seq <> OLD.seq OR NEW.at <> OLD.at OR NEW.person <> OLD.person OR NEW.device <> OLD.device
  OR NEW.kind <> OLD.kind OR NEW.id <> OLD.id OR NEW.season <> OLD.season OR NEW.parent <> OLD.parent
  OR (NEW."before" IS NULL) <> (OLD."before" IS NULL)
  OR OLD.kind = 'redaction'
  OR NEW.redacted <> (SELECT MAX(seq) FROM amendments)
  OR NOT EXISTS (SELECT 1 FROM amendments r, json_each(r."after", '$.of') named
                 WHERE r.seq = NEW.redacted AND r.kind = 'redaction' AND r."before" IS NULL AND named.value = OLD.id)
BEGIN SELECT RAISE(ABORT, 'an amendment is never changed'); END;
-- +goose StatementEnd

-- Who was given the place of a protected or private find that is not their own.
-- No coordinate stands here. A look is never changed or deleted.
CREATE TABLE looks (
    seq    INTEGER PRIMARY KEY,
    at     TEXT NOT NULL,
    season TEXT NOT NULL,
    person TEXT NOT NULL,
    way    TEXT NOT NULL,
    record TEXT NOT NULL
) STRICT;
CREATE INDEX looks_season ON looks (season, seq);
-- +goose StatementBegin
CREATE TRIGGER looks_stay BEFORE UPDATE ON looks
BEGIN SELECT RAISE(ABORT, 'a look is never changed'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER looks_last BEFORE DELETE ON looks
BEGIN SELECT RAISE(ABORT, 'a look is never deleted'); END;
-- +goose StatementEnd
