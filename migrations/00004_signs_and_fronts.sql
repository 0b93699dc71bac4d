-- From this version on, colours may have a sign, and steps.inverse says how extras were carried (by_front); rings
-- are spread by another rule, which the steps that are there already keep to (internal/figure/replay.go). An older
-- Tuckring would refuse such documents and steps, or carry them out otherwise: the number of this migration keeps it
-- from opening the database.

-- +goose Up

SELECT 1;
