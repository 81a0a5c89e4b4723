-- The bench: what comes in piece by piece, what was wrong with it, and what has no number yet ---------------------------

-- Deliveries that stay open while they are scanned ----------------------------------------------------------------------

-- What is claimed from a supplier, what was sent back, and prices as they were -------------------------------------------

-- Orders and where their parts go ----------------------------------------------------------------------------------------

-- The first stocktake, bags without a number -------------------------------------------------------------------------------

-- A bag as it was found on a shelf, without a number. It was booked where it has a posting that nobody undid; until then
-- it is aside. Its number is written on one that is left for later.
CREATE TABLE bag (
  seq     INTEGER PRIMARY KEY,
  key     TEXT NOT NULL UNIQUE,                          -- of the form that told of it first
  marking TEXT NOT NULL DEFAULT '',                      -- as it stands on the part
  size    TEXT NOT NULL DEFAULT '',                      -- as it was typed from the callipers
  amount  INTEGER NOT NULL DEFAULT 0 CHECK (amount >= 0), -- of the part's unit; 0: not counted yet
  bin     TEXT REFERENCES bin (id),
  note    TEXT NOT NULL DEFAULT '',
  part    TEXT REFERENCES part (id),                     -- once it is known
  posting TEXT REFERENCES posting (id),                  -- by which it was booked last
  printed TEXT NOT NULL DEFAULT '',                      -- when its label was printed; '': it waits
  dropped TEXT NOT NULL DEFAULT '',                      -- when it was found to be none
  person  TEXT NOT NULL REFERENCES person (id),
  at      TEXT NOT NULL
) STRICT;
CREATE INDEX bag_part ON bag (part) WHERE part IS NOT NULL;
CREATE INDEX bag_printed ON bag (printed);

-- What was photographed of a bag, made small; the same picture once.
CREATE TABLE bag_photo (
  id     INTEGER PRIMARY KEY,
  bag    INTEGER NOT NULL REFERENCES bag (seq),
  sha256 TEXT NOT NULL,                                  -- of the file's bytes
  jpeg   BLOB NOT NULL,
  at     TEXT NOT NULL,
  UNIQUE (bag, sha256)
) STRICT;

-- The last movement that the ledger had when a bin was looked through: what came there later was not seen.
ALTER TABLE tally_bin ADD COLUMN mark INTEGER NOT NULL DEFAULT 0;
UPDATE tally_bin SET mark = (SELECT coalesce(max(seq), 0) FROM movement);

-- Taking, trays, and what is not the shop's ---------------------------------------------------------------------------------

-- Barcodes and labels -------------------------------------------------------------------------------------------------------

