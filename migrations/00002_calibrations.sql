-- The maker's own calibrations: small tubes of one paper, built and measured. They belong to the maker,
-- not to one design; a design that uses one keeps a copy of its measures in its settings.

-- +goose Up

CREATE TABLE calibrations (
    id          INTEGER PRIMARY KEY,
    name        TEXT    NOT NULL UNIQUE,
    paper       TEXT    NOT NULL, -- in the maker's words
    long_mm     REAL    NOT NULL, -- the paper of one unit
    short_mm    REAL    NOT NULL,
    fold        TEXT    NOT NULL CHECK (fold IN ('doubled', 'single')),
    units       INTEGER NOT NULL, -- in each ring
    rings       INTEGER NOT NULL,
    diameter_mm REAL    NOT NULL, -- outside
    height_mm   REAL    NOT NULL,
    rounding_mm REAL    NOT NULL, -- what the measures were read to
    made        INTEGER NOT NULL  -- when, milliseconds since 1970-01-01 UTC
) STRICT;
