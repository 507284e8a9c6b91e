-- Which works were begun together: the number of the first of them, 0 for a work by itself. And from which step of its
-- pattern on the weight counts that a claim began with: another one once a work that shared the lot is finished.
ALTER TABLE works ADD COLUMN of_set INTEGER NOT NULL DEFAULT 0 CHECK (of_set >= 0);
ALTER TABLE claims ADD COLUMN from_stage INTEGER NOT NULL DEFAULT 0 CHECK (from_stage >= 0);
