-- The first tables. Cells of the two sheets are kept as she wrote them; what the program works out of them
-- (names folded, grams as a number) stands beside them, so that going out gives back what came in.

CREATE TABLE migrations (
  version INTEGER PRIMARY KEY,
  name TEXT NOT NULL,
  done_at TEXT NOT NULL
) STRICT;

CREATE TABLE garments (
  garment TEXT PRIMARY KEY NOT NULL,
  kind TEXT NOT NULL DEFAULT '',
  status TEXT NOT NULL CHECK (lower(trim(status)) IN ('worn', 'given', 'gone')),
  wearer TEXT NOT NULL DEFAULT '',
  chest_cm TEXT NOT NULL DEFAULT '',
  stitches_10cm TEXT NOT NULL DEFAULT '',
  rows_10cm TEXT NOT NULL DEFAULT '',
  plans TEXT NOT NULL DEFAULT '',
  motif TEXT NOT NULL DEFAULT '',
  note TEXT NOT NULL DEFAULT '',
  folded TEXT NOT NULL UNIQUE CHECK (folded <> '')
) STRICT;

CREATE TABLE lots (
  lot TEXT PRIMARY KEY NOT NULL,
  garment TEXT NOT NULL DEFAULT '',
  role TEXT NOT NULL DEFAULT '',
  yarn TEXT NOT NULL DEFAULT '',
  colour TEXT NOT NULL CHECK (colour <> ''),
  colour_name TEXT NOT NULL DEFAULT '',
  grams TEXT NOT NULL,
  ball_grams TEXT NOT NULL DEFAULT '',
  ball_metres TEXT NOT NULL DEFAULT '',
  tex TEXT NOT NULL DEFAULT '',
  class TEXT NOT NULL DEFAULT '',
  fibre TEXT NOT NULL DEFAULT '',
  wash TEXT NOT NULL DEFAULT '',
  pieces TEXT NOT NULL DEFAULT '',
  dye_lot TEXT NOT NULL DEFAULT '',
  label TEXT NOT NULL DEFAULT '',
  reserve TEXT NOT NULL DEFAULT '',
  place TEXT NOT NULL DEFAULT '',
  note TEXT NOT NULL DEFAULT '',
  mass_g REAL NOT NULL CHECK (mass_g > 0),
  weighed_on TEXT NOT NULL DEFAULT '' CHECK (weighed_on = '' OR weighed_on GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]'),
  code TEXT NOT NULL UNIQUE CHECK (code <> ''),
  folded TEXT NOT NULL UNIQUE CHECK (folded <> ''),
  of_garment TEXT REFERENCES garments (folded) DEFERRABLE INITIALLY DEFERRED
) STRICT;
CREATE INDEX lots_of_garment ON lots (of_garment);

-- An accessory on the needles, or one that was.
CREATE TABLE works (
  id INTEGER PRIMARY KEY,
  accessory TEXT NOT NULL CHECK (accessory <> ''),
  name TEXT NOT NULL CHECK (name <> ''),
  size TEXT NOT NULL DEFAULT '',
  state TEXT NOT NULL CHECK (state IN ('begun', 'finished', 'abandoned')),
  begun_on TEXT NOT NULL,
  ended_on TEXT NOT NULL DEFAULT '',
  CHECK ((state = 'begun') = (ended_on = ''))
) STRICT;
CREATE UNIQUE INDEX works_begun ON works (name) WHERE state = 'begun';

-- What a work on the needles takes from a lot. metres: claimed of this lot; predicted_m, predicted_sd_m: this lot's
-- part of what the role was worked out to take; from_g: what the lot weighed then, less what went elsewhere since.
CREATE TABLE claims (
  id INTEGER PRIMARY KEY,
  work INTEGER NOT NULL REFERENCES works (id) DEFERRABLE INITIALLY DEFERRED,
  role TEXT NOT NULL CHECK (role <> ''),
  lot TEXT NOT NULL REFERENCES lots (lot) DEFERRABLE INITIALLY DEFERRED,
  metres REAL NOT NULL CHECK (metres >= 0),
  tex REAL NOT NULL CHECK (tex > 0),
  structure TEXT NOT NULL DEFAULT '',
  predicted_m REAL NOT NULL DEFAULT 0 CHECK (predicted_m >= 0),
  predicted_sd_m REAL NOT NULL DEFAULT 0 CHECK (predicted_sd_m >= 0),
  from_g REAL NOT NULL CHECK (from_g > 0),
  UNIQUE (work, role, lot)
) STRICT;
CREATE INDEX claims_of_lot ON claims (lot);

-- What a finished work really took. The lot is told by its name of that day: it may be gone since.
CREATE TABLE used (
  id INTEGER PRIMARY KEY,
  work INTEGER NOT NULL REFERENCES works (id) DEFERRABLE INITIALLY DEFERRED,
  role TEXT NOT NULL CHECK (role <> ''),
  lot TEXT NOT NULL,
  predicted_m REAL NOT NULL CHECK (predicted_m > 0),
  predicted_sd_m REAL NOT NULL CHECK (predicted_sd_m >= 0),
  used_m REAL NOT NULL CHECK (used_m > 0),
  used_g REAL NOT NULL CHECK (used_g > 0),
  tex REAL NOT NULL CHECK (tex > 0),
  structure TEXT NOT NULL DEFAULT '',
  accessory TEXT NOT NULL CHECK (accessory <> ''),
  ended_on TEXT NOT NULL
) STRICT;
CREATE INDEX used_of_work ON used (work);

CREATE TABLE swatches (
  id INTEGER PRIMARY KEY,
  made_on TEXT NOT NULL,
  lot TEXT NOT NULL DEFAULT '',
  yarn TEXT NOT NULL DEFAULT '',
  tex REAL NOT NULL CHECK (tex > 0),
  structure TEXT NOT NULL,
  stitches REAL NOT NULL CHECK (stitches > 0),
  rows REAL NOT NULL CHECK (rows > 0),
  grams REAL CHECK (grams > 0),
  note TEXT NOT NULL DEFAULT ''
) STRICT;

-- What she decided by hand about a lot; it goes before the advice.
CREATE TABLE decisions (
  lot TEXT PRIMARY KEY NOT NULL REFERENCES lots (lot) DEFERRABLE INITIALLY DEFERRED,
  advice TEXT NOT NULL CHECK (advice <> ''),
  made_on TEXT NOT NULL
) STRICT;

-- Everything that was done, with each row as it was before and after: what undo reads.
CREATE TABLE actions (
  id INTEGER PRIMARY KEY,
  words TEXT NOT NULL,
  done_at TEXT NOT NULL
) STRICT;

CREATE TABLE journal (
  id INTEGER PRIMARY KEY,
  action INTEGER NOT NULL REFERENCES actions (id) DEFERRABLE INITIALLY DEFERRED,
  of_table TEXT NOT NULL,
  before TEXT,
  after TEXT,
  CHECK (before IS NOT NULL OR after IS NOT NULL)
) STRICT;
CREATE INDEX journal_of_action ON journal (action);
