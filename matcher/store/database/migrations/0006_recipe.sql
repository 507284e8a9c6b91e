-- What a work is made from (gauge, motifs, a body's measures, lots of each role), as JSON: its pattern comes out of it
-- again. Empty for works of before.
ALTER TABLE works ADD COLUMN recipe TEXT NOT NULL DEFAULT '';
