-- Looks at the name or the ground of a private site, beside those at finds; and
-- what finds the changes of one person or one thing without reading them all.

-- +goose Up
ALTER TABLE looks ADD COLUMN site TEXT NOT NULL DEFAULT '';
CREATE INDEX looks_person ON looks (season, person, seq);
CREATE INDEX amendments_person ON amendments (season, person, seq);
CREATE INDEX amendments_parent ON amendments (parent, seq) WHERE parent <> '';
