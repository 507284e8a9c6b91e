-- The gauge that a work's metres were worked out for, stitches and rows in 10 cm; 0 where it was not noted.

ALTER TABLE works ADD COLUMN stitches_10cm REAL NOT NULL DEFAULT 0 CHECK (stitches_10cm >= 0);
ALTER TABLE works ADD COLUMN rows_10cm REAL NOT NULL DEFAULT 0 CHECK (rows_10cm >= 0);
