-- What she wrote in a workbook, beside what was made of it: a row for each cell whose heading or text is not the
-- store's own. sheet, name: the lot or garment, by its name in the store; of_column: '' where no column was found for
-- the heading; heading, cell: as they stood in her workbook; taken: the text that went into the column.
CREATE TABLE written (
  id INTEGER PRIMARY KEY,
  sheet TEXT NOT NULL CHECK (sheet <> ''),
  name TEXT NOT NULL CHECK (name <> ''),
  of_column TEXT NOT NULL DEFAULT '',
  heading TEXT NOT NULL DEFAULT '',
  cell TEXT NOT NULL DEFAULT '',
  taken TEXT NOT NULL DEFAULT '',
  UNIQUE (sheet, name, of_column, heading)
) STRICT;

-- What she said that a heading or a cell of a workbook means, so that she is asked once. book: the file's name, folded;
-- shape: a mark of all its headings, so that a copy under another name is known too; heading: folded, '' for a cell;
-- of_column: '' for a heading that she leaves out; name: the folded lot or garment of the cell, '' for all cells of the
-- column that say the same; cell: as it stood there; taken: what it is read as, '' for nothing.
CREATE TABLE readings (
  id INTEGER PRIMARY KEY,
  book TEXT NOT NULL CHECK (book <> ''),
  shape TEXT NOT NULL DEFAULT '',
  sheet TEXT NOT NULL CHECK (sheet <> ''),
  heading TEXT NOT NULL DEFAULT '',
  of_column TEXT NOT NULL DEFAULT '',
  name TEXT NOT NULL DEFAULT '',
  cell TEXT NOT NULL DEFAULT '',
  taken TEXT NOT NULL DEFAULT '',
  said_on TEXT NOT NULL,
  CHECK (heading <> '' OR of_column <> ''),
  UNIQUE (book, sheet, heading, of_column, name, cell)
) STRICT;
