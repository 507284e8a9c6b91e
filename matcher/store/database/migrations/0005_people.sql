-- The people she knits for, as the sheet has them; a garment's wearer may be one of them, or a name alone.
CREATE TABLE people (
  person TEXT PRIMARY KEY NOT NULL,
  size TEXT NOT NULL DEFAULT '',
  head_cm TEXT NOT NULL DEFAULT '',
  hand_cm TEXT NOT NULL DEFAULT '',
  foot_cm TEXT NOT NULL DEFAULT '',
  chest_cm TEXT NOT NULL DEFAULT '',
  avoid_on_skin TEXT NOT NULL DEFAULT '',
  eyes TEXT NOT NULL DEFAULT '',
  likes TEXT NOT NULL DEFAULT '',
  dislikes TEXT NOT NULL DEFAULT '',
  note TEXT NOT NULL DEFAULT '',
  folded TEXT NOT NULL UNIQUE CHECK (folded <> '')
) STRICT;

-- What she wishes of every command that asks for the like: units, kinds never wanted and so on, as she wrote it.
CREATE TABLE wishes (
  wish TEXT PRIMARY KEY NOT NULL CHECK (wish <> ''),
  wanted TEXT NOT NULL CHECK (wanted <> '')
) STRICT;
