-- What she thinks of a suggestion: that she likes it, or does not want to see it. thing: a mark of the accessory, its
-- size and its lots; words: what it was called; recipe: what it is made from, as works have it.
CREATE TABLE opinions (
  thing TEXT PRIMARY KEY NOT NULL CHECK (thing <> ''),
  opinion TEXT NOT NULL CHECK (opinion IN ('liked', 'hidden')),
  words TEXT NOT NULL,
  recipe TEXT NOT NULL CHECK (recipe <> ''),
  said_on TEXT NOT NULL
) STRICT;
