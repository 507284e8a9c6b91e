-- Where she is in a piece on the needles: so many steps of its pattern are done. And what its lots weighed in the
-- middle of it, with the steps that were done then; 0 where they were not weighed.
ALTER TABLE works ADD COLUMN stage INTEGER NOT NULL DEFAULT 0 CHECK (stage >= 0);
ALTER TABLE claims ADD COLUMN seen_stage INTEGER NOT NULL DEFAULT 0 CHECK (seen_stage >= 0);
ALTER TABLE claims ADD COLUMN seen_g REAL NOT NULL DEFAULT 0 CHECK (seen_g >= 0);
