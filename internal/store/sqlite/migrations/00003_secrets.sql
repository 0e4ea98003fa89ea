-- What people come in with: sessions, codes, passwords, invitations. They stand
-- apart from the things of a season. No amendment tells of them, and they are
-- changed and deleted. What is secret in them is hashed before it comes here.

-- +goose Up
CREATE TABLE secrets (
    kind   TEXT NOT NULL,
    id     TEXT NOT NULL,
    season TEXT NOT NULL,
    person TEXT NOT NULL,
    "key"  TEXT NOT NULL,
    until  TEXT NOT NULL,
    body   TEXT NOT NULL,
    PRIMARY KEY (kind, id)
) STRICT;
CREATE UNIQUE INDEX secrets_key ON secrets (kind, "key") WHERE "key" <> '';
CREATE INDEX secrets_season ON secrets (kind, season, id) WHERE season <> '';
CREATE INDEX secrets_person ON secrets (kind, person, id) WHERE person <> '';
CREATE INDEX secrets_until ON secrets (kind, until) WHERE until <> '';
