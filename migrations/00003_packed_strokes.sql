-- From this version on, steps.edit and steps.inverse hold strokes packed (internal/figure/pack.go); strokes that
-- are there already stay as they are. An older Tuckring could not read them: the number of this migration keeps
-- it from opening the database.

-- +goose Up

SELECT 1;
