-- Designs, their log of steps, and the links that open them to others.
-- All times are milliseconds since 1970-01-01 UTC.

-- +goose Up

-- "TUCK": tells a Tuckring database from any other SQLite file (SQLite: PRAGMA application_id).
PRAGMA application_id = 1414873931;

CREATE TABLE designs (
    number   INTEGER PRIMARY KEY, -- inside the database only
    id       TEXT    NOT NULL UNIQUE, -- short and random, in addresses
    title    TEXT    NOT NULL, -- the figure's, kept for the shelf
    settings TEXT    NOT NULL DEFAULT '{}', -- of the report, JSON
    made     INTEGER NOT NULL,
    put_away INTEGER -- when the maker put it away, NULL while it stands on the shelf
) STRICT;

-- The figure at some revisions; the one at revision 0 is the design as it was made. The figure at any
-- other revision is the nearest snapshot below it and the steps that follow.
CREATE TABLE snapshots (
    design   INTEGER NOT NULL REFERENCES designs (number) ON DELETE CASCADE,
    rev      INTEGER NOT NULL,
    document TEXT    NOT NULL, -- canonical figure document
    keys     TEXT    NOT NULL, -- identities of rings and extras, JSON
    UNIQUE (design, rev)
) STRICT;

-- The log: every step that changed a design, never altered and never removed. Each step writes here and in
-- one index only, so that it costs little more than the bare commit.
CREATE TABLE steps (
    design  INTEGER NOT NULL REFERENCES designs (number) ON DELETE CASCADE,
    rev     INTEGER NOT NULL, -- 1, 2, 3, … in each design
    person  TEXT    NOT NULL, -- who made it
    name    TEXT    NOT NULL, -- the name the person went by
    client  TEXT    NOT NULL, -- the open page it came from
    seq     INTEGER NOT NULL, -- its number among the person's on that page
    kind    TEXT    NOT NULL CHECK (kind IN ('edit', 'undo', 'redo', 'restore')),
    target  INTEGER NOT NULL, -- undo, redo: revision of the step taken back; restore: revision gone back to; edit: 0
    edit    TEXT    NOT NULL, -- what was done to the figure, JSON
    inverse TEXT    NOT NULL, -- what takes it back, JSON
    label   TEXT    NOT NULL, -- its name in the history: a catalogue key and values, JSON
    at      INTEGER NOT NULL, -- when
    PRIMARY KEY (design, rev),
    UNIQUE (design, person, client, seq)
) STRICT, WITHOUT ROWID;

CREATE INDEX steps_target ON steps (design, target) WHERE target > 0;

-- Steps that were asked for but changed nothing, so that asking again gets the first answer.
CREATE TABLE refusals (
    design INTEGER NOT NULL REFERENCES designs (number) ON DELETE CASCADE,
    rev    INTEGER NOT NULL, -- the design's when it was asked
    person TEXT    NOT NULL,
    client TEXT    NOT NULL,
    seq    INTEGER NOT NULL,
    kind   TEXT    NOT NULL CHECK (kind IN ('edit', 'undo', 'redo', 'restore')),
    target INTEGER NOT NULL, -- undo, redo: revision of the step that cannot be taken back any more, or 0
    faults TEXT    NOT NULL, -- why, JSON; [] when there was simply nothing to change
    UNIQUE (design, person, client, seq)
) STRICT;

-- Addresses that open one design to whoever has them.
CREATE TABLE links (
    token   TEXT    PRIMARY KEY,
    design  INTEGER NOT NULL REFERENCES designs (number) ON DELETE CASCADE,
    power   TEXT    NOT NULL CHECK (power IN ('view', 'build', 'edit')),
    made    INTEGER NOT NULL,
    revoked INTEGER -- when it was taken back
) STRICT, WITHOUT ROWID;

CREATE INDEX links_design ON links (design);
