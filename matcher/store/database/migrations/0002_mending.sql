-- Which repairs of a garment yarn is kept for: little, usual or all; '' where she leaves it open.

ALTER TABLE garments ADD COLUMN mending TEXT NOT NULL DEFAULT '' CHECK (lower(trim(mending)) IN ('', 'little', 'usual', 'all'));
