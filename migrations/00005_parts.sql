-- From this version on, figures may have several parts: documents of version 2 are kept, and steps that grow, move, bend and
-- take off parts. An older Tuckring would refuse them: the number of this migration keeps it from opening the database.

-- +goose Up

SELECT 1;
