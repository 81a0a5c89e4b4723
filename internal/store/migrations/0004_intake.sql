-- Intake: the shop's own numbers; codes that are no part, links by supplier, rules for labels.

-- The shop's own numbers -----------------------------------------------------------------------------------------------

-- Numbers of the range for use inside a company that were given to a part or a bin, each once and for ever. What a
-- part's number stands for is in code_link, like any other code.
CREATE TABLE own_number (
  seq    INTEGER PRIMARY KEY,                            -- the digits of the number
  code   TEXT NOT NULL UNIQUE,                           -- GTIN-14
  part   TEXT REFERENCES part (id),
  bin    TEXT UNIQUE REFERENCES bin (id),
  person TEXT NOT NULL REFERENCES person (id),
  at     TEXT NOT NULL,
  CHECK ((part IS NULL) <> (bin IS NULL))
) STRICT;
CREATE TRIGGER own_number_no_update BEFORE UPDATE ON own_number
BEGIN SELECT raise(ABORT, 'own_number: given for ever'); END;
CREATE TRIGGER own_number_no_delete BEFORE DELETE ON own_number
BEGIN SELECT raise(ABORT, 'own_number: given for ever'); END;

-- What codes stand for, by supplier; what is no part; where the number stands on a supplier's label -----------------------

-- A link can hold for the goods of one supplier only, and can be taken back: then nobody has said anything.
ALTER TABLE code_link ADD COLUMN supplier TEXT REFERENCES supplier (id); -- NULL: whoever it comes from
ALTER TABLE code_link ADD COLUMN told INTEGER NOT NULL DEFAULT 1 CHECK (told IN (0, 1));
CREATE VIEW code_now AS SELECT c.seq, c.code, c.part, c.pieces, c.person, c.since, c.supplier FROM code_link c
  WHERE c.told = 1 AND c.seq = (SELECT max(n.seq) FROM code_link n WHERE n.code = c.code AND n.supplier IS c.supplier);

ALTER TABLE delivery ADD COLUMN supplier TEXT REFERENCES supplier (id);

-- Codes that are no part by how they look: a carrier's parcel labels, links to a web site.
CREATE TABLE stray_shape (
  number    INTEGER PRIMARY KEY,                         -- what the shop calls it
  symbology TEXT NOT NULL,                               -- '': whichever
  begins    TEXT NOT NULL CHECK (begins <> ''),
  length    INTEGER NOT NULL CHECK (length >= 0),        -- of the text in characters; 0: any
  example   TEXT NOT NULL,
  person    TEXT NOT NULL REFERENCES person (id),
  at        TEXT NOT NULL,
  ended     TEXT NOT NULL DEFAULT ''                     -- when it was taken back
) STRICT;

-- Which characters on a supplier's labels are the part number, and which say how many. Spans are JSON of pattern.Span.
CREATE TABLE label_rule (
  number    INTEGER PRIMARY KEY,                         -- what the shop calls it
  supplier  TEXT NOT NULL REFERENCES supplier (id),
  symbology TEXT NOT NULL,                               -- '': whichever
  begins    TEXT NOT NULL,
  length    INTEGER NOT NULL CHECK (length >= 0),        -- 0: any
  part      TEXT NOT NULL,                               -- the span of the part number
  zeros     INTEGER NOT NULL CHECK (zeros IN (0, 1)),    -- 1: leading zeros belong to it
  pieces    TEXT NOT NULL DEFAULT '',                    -- the span of how many; '': the label does not say
  example   TEXT NOT NULL,                               -- the scan that was shown
  person    TEXT NOT NULL REFERENCES person (id),
  at        TEXT NOT NULL,
  ended     TEXT NOT NULL DEFAULT ''
) STRICT;

ALTER TABLE scan ADD COLUMN rule INTEGER REFERENCES label_rule (number); -- by which code was read out of text
ALTER TABLE scan ADD COLUMN times INTEGER NOT NULL DEFAULT 1 CHECK (times > 0); -- packs in it, as the label says
ALTER TABLE scan ADD COLUMN keyboard TEXT NOT NULL DEFAULT '';           -- id of the wrong keyboard it was repaired from
CREATE INDEX scan_text ON scan (state, text) WHERE state IN ('unknown', 'ignored');

-- Pictures ---------------------------------------------------------------------------------------------------------------

-- A file of pictures that came with a delivery, and what it gave. Messages are kept as JSON of id and arguments.
CREATE TABLE picture (
  id       INTEGER PRIMARY KEY,
  delivery TEXT NOT NULL REFERENCES delivery (id),
  sha256   TEXT NOT NULL,                                -- of the file's bytes
  name     TEXT NOT NULL,                                -- of the file
  pages    INTEGER NOT NULL,                             -- 0: no picture that can be read
  symbols  INTEGER NOT NULL,                             -- that were read in it
  why      TEXT NOT NULL,                                -- why nothing was read; '' where something was
  person   TEXT NOT NULL REFERENCES person (id),
  at       TEXT NOT NULL,
  UNIQUE (delivery, sha256)
) STRICT;
CREATE INDEX picture_sum ON picture (sha256);

-- What a place in a picture looked like: a scan that waits, or something that was not believed or could not be read.
CREATE TABLE look (
  id        INTEGER PRIMARY KEY,
  picture   INTEGER NOT NULL REFERENCES picture (id),
  scan      INTEGER UNIQUE REFERENCES scan (seq),        -- NULL: it was not read
  page      INTEGER NOT NULL,
  symbology TEXT NOT NULL,                               -- of what was not believed, like the text
  text      TEXT NOT NULL,
  why       TEXT NOT NULL,                               -- '' for a scan
  jpeg      BLOB NOT NULL
) STRICT;
CREATE INDEX look_picture ON look (picture) WHERE scan IS NULL;
