-- The bench: what comes in piece by piece, what was wrong with it, and what has no number yet ---------------------------

-- Deliveries that stay open while they are scanned ----------------------------------------------------------------------

-- What is scanned into an open delivery is recorded at once, and posted when the delivery is finished.
ALTER TABLE delivery ADD COLUMN state TEXT NOT NULL DEFAULT 'finished' CHECK (state IN ('open', 'finished', 'dropped'));
ALTER TABLE delivery ADD COLUMN ended TEXT NOT NULL DEFAULT '';                       -- when it was finished or dropped
CREATE INDEX delivery_open ON delivery (at) WHERE state = 'open';

-- The orders that a delivery is for, as several parcels can come at once. delivery.purchase is read no more.
CREATE TABLE delivery_order (
  delivery TEXT NOT NULL REFERENCES delivery (id),
  purchase TEXT NOT NULL REFERENCES purchase (id),
  PRIMARY KEY (delivery, purchase)
) STRICT, WITHOUT ROWID;
INSERT INTO delivery_order (delivery, purchase) SELECT id, purchase FROM delivery WHERE purchase IS NOT NULL;

-- A pack without a code is told by a tap on its line: the part, and how many of its unit are in the pack.
ALTER TABLE scan ADD COLUMN part TEXT REFERENCES part (id);
ALTER TABLE scan ADD COLUMN pieces INTEGER NOT NULL DEFAULT 0 CHECK (pieces >= 0);
ALTER TABLE scan ADD COLUMN back TEXT NOT NULL DEFAULT '';                            -- when it was taken back
CREATE INDEX scan_open ON scan (delivery, seq) WHERE state = 'open';

-- What was said of a part of an open delivery. The row of a kind said last counts.
CREATE TABLE remark (
  seq      INTEGER PRIMARY KEY,
  key      TEXT NOT NULL UNIQUE,                         -- the caller's: said twice, it counts once
  content  TEXT NOT NULL,                                -- the same key with other content is a conflict
  delivery TEXT NOT NULL REFERENCES delivery (id),
  part     TEXT NOT NULL REFERENCES part (id),
  kind     TEXT NOT NULL CHECK (kind IN ('damaged', 'wrong', 'noted', 'instead')),
  amount   INTEGER NOT NULL CHECK (amount >= 0),         -- pieces; noted: on the delivery note; instead: 1, or 0 for no more
  ordered  TEXT REFERENCES part (id),                    -- instead: of which part it was sent
  reason   TEXT NOT NULL DEFAULT '',
  person   TEXT NOT NULL REFERENCES person (id),
  at       TEXT NOT NULL
) STRICT;
CREATE INDEX remark_delivery ON remark (delivery, part, kind, seq);

-- What is claimed from a supplier, what was sent back, and prices as they were -------------------------------------------

-- What is claimed from a supplier: what came damaged or wrong, did not come, was not in a kit, or was sent back. (The table
-- claim holds what somebody says of a part or fork.)
CREATE TABLE supplier_claim (
  id             TEXT PRIMARY KEY,
  number         INTEGER NOT NULL UNIQUE,                -- the shop's running number
  key            TEXT NOT NULL UNIQUE,                   -- the caller's; the same key again opens nothing
  content        TEXT NOT NULL,                          -- what the key was used for
  delivery       TEXT REFERENCES delivery (id),
  supplier       TEXT REFERENCES supplier (id),          -- NULL: that of the delivery, where it is known
  part           TEXT NOT NULL REFERENCES part (id),
  what           TEXT NOT NULL CHECK (what IN ('damaged', 'wrong', 'suspect', 'short', 'kit_short', 'sent_back')),
  amount         INTEGER NOT NULL CHECK (amount > 0),    -- of the part's unit; of kit_short, the kits
  lacks          TEXT NOT NULL DEFAULT '',               -- of kit_short: what was not in them
  reason         TEXT NOT NULL DEFAULT '',
  expected_minor INTEGER CHECK (expected_minor >= 0),    -- the credit, net; NULL: not agreed
  person         TEXT NOT NULL REFERENCES person (id),
  at             TEXT NOT NULL,
  ending         TEXT NOT NULL DEFAULT '' CHECK (ending IN ('', 'replacement', 'credit', 'refusal', 'mistake')), -- '': open
  ended          TEXT NOT NULL DEFAULT '',
  ended_by       TEXT REFERENCES person (id),
  note           TEXT NOT NULL DEFAULT ''                -- how it ended
) STRICT;
CREATE INDEX supplier_claim_part ON supplier_claim (part);
CREATE INDEX supplier_claim_delivery ON supplier_claim (delivery) WHERE delivery IS NOT NULL;
CREATE INDEX supplier_claim_open ON supplier_claim (number) WHERE ending = '';
CREATE TRIGGER supplier_claim_no_delete BEFORE DELETE ON supplier_claim
BEGIN SELECT raise(ABORT, 'supplier_claim: ended, never deleted'); END;
-- What moved for a claim: into a blocked place, or back to the supplier.
CREATE TABLE claim_posting (
  claim   TEXT NOT NULL REFERENCES supplier_claim (id),
  posting TEXT NOT NULL REFERENCES posting (id),
  PRIMARY KEY (claim, posting)
) STRICT, WITHOUT ROWID;
CREATE INDEX claim_posting_posting ON claim_posting (posting);

-- What a supplier paid back for a claim.
CREATE TABLE credit (
  number       INTEGER PRIMARY KEY,
  key          TEXT NOT NULL UNIQUE,
  content      TEXT NOT NULL,
  claim        TEXT NOT NULL REFERENCES supplier_claim (id),
  amount_minor INTEGER NOT NULL CHECK (amount_minor > 0), -- net
  day          TEXT NOT NULL,                            -- YYYY-MM-DD
  note         TEXT NOT NULL DEFAULT '',                 -- such as the number of the credit note
  person       TEXT NOT NULL REFERENCES person (id),
  at           TEXT NOT NULL,
  taken_back   TEXT NOT NULL DEFAULT ''                  -- when it was found to be a mistake
) STRICT;
CREATE INDEX credit_claim ON credit (claim);
CREATE TRIGGER credit_no_delete BEFORE DELETE ON credit
BEGIN SELECT raise(ABORT, 'credit: taken back, never deleted'); END;
CREATE TRIGGER credit_said BEFORE UPDATE OF number, key, content, claim, amount_minor, day, note, person, at ON credit
BEGIN SELECT raise(ABORT, 'credit: append only'); END;

-- What was sent back before claims were kept is owed as well.
INSERT INTO supplier_claim (id, number, key, content, supplier, part, what, amount, reason, expected_minor, person, at)
  SELECT p.id, row_number() OVER (ORDER BY p.at, p.id), p.id, p.content, s.id, min(m.part), 'sent_back', -sum(m.amount), p.reason,
    p.price_minor, p.person, p.at
  FROM posting p JOIN movement m ON m.posting = p.id JOIN supplier s ON s.name = p.partner
  WHERE p.kind = 'send_back' GROUP BY p.id HAVING sum(m.amount) < 0;
INSERT INTO claim_posting (claim, posting) SELECT id, id FROM supplier_claim;

-- What offers did cost until the price changed.
CREATE TABLE price_was (
  seq              INTEGER PRIMARY KEY,
  item             TEXT NOT NULL REFERENCES supplier_item (id),
  until            TEXT NOT NULL,                        -- when another was told
  pack             INTEGER NOT NULL CHECK (pack > 0),    -- of the part's unit
  pack_price_minor INTEGER NOT NULL CHECK (pack_price_minor >= 0),
  listed           TEXT NOT NULL DEFAULT ''              -- day of the list that told it
) STRICT;
CREATE INDEX price_was_item ON price_was (item, seq);

-- Orders and where their parts go ----------------------------------------------------------------------------------------

-- A bin of the kind tray that holds what waits for a job. A job has one, and it is one job's, until it is cleared.
CREATE TABLE tray (
  id     TEXT PRIMARY KEY,
  bin    TEXT NOT NULL REFERENCES bin (id),
  job    TEXT NOT NULL CHECK (job <> ''),
  person TEXT NOT NULL REFERENCES person (id),
  at     TEXT NOT NULL,
  ended  TEXT NOT NULL DEFAULT ''
) STRICT;
CREATE UNIQUE INDEX tray_bin ON tray (bin) WHERE ended = '';
CREATE UNIQUE INDEX tray_job ON tray (job) WHERE ended = '';

-- What a customer brought for a job. It is never the shop's: no movement names it, and it has no value.
CREATE TABLE brought (
  number      INTEGER PRIMARY KEY,                       -- what the shop calls it
  key         TEXT NOT NULL UNIQUE,                      -- of the form: sent twice, it is noted once
  job         TEXT NOT NULL CHECK (job <> ''),
  owner       TEXT NOT NULL DEFAULT '',                  -- the customer
  part        TEXT REFERENCES part (id),                 -- NULL: not in the catalog
  description TEXT NOT NULL,                             -- what it is, where part is NULL
  amount      INTEGER NOT NULL CHECK (amount > 0),       -- of the part's unit, else pieces
  person      TEXT NOT NULL REFERENCES person (id),
  at          TEXT NOT NULL,
  CHECK (part IS NOT NULL OR description <> '')
) STRICT;
CREATE INDEX brought_job ON brought (job);
-- What became of it.
CREATE TABLE brought_end (
  key     TEXT PRIMARY KEY,
  brought INTEGER NOT NULL REFERENCES brought (number),
  amount  INTEGER NOT NULL CHECK (amount > 0),
  how     TEXT NOT NULL CHECK (how IN ('used', 'given_back')),
  person  TEXT NOT NULL REFERENCES person (id),
  at      TEXT NOT NULL
) STRICT;
CREATE INDEX brought_end_of ON brought_end (brought);

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
CREATE INDEX posting_tally ON posting (tally) WHERE tally IS NOT NULL;

-- Taking, trays, and what is not the shop's ---------------------------------------------------------------------------------

-- Days as they were printed on the packs of a lot, YYYY-MM-DD; '': not printed. What counts is lot.use_by.
ALTER TABLE lot ADD COLUMN made TEXT NOT NULL DEFAULT '';        -- production, AI 11; the oldest of its packs
ALTER TABLE lot ADD COLUMN best_before TEXT NOT NULL DEFAULT ''; -- AI 15
ALTER TABLE lot ADD COLUMN sell_by TEXT NOT NULL DEFAULT '';     -- AI 16
ALTER TABLE scan ADD COLUMN made TEXT NOT NULL DEFAULT '';
ALTER TABLE scan ADD COLUMN best_before TEXT NOT NULL DEFAULT '';
ALTER TABLE scan ADD COLUMN sell_by TEXT NOT NULL DEFAULT '';
ALTER TABLE scan ADD COLUMN serial TEXT NOT NULL DEFAULT '';     -- of the piece, AI 21

-- What a bottle of an oil holds, where it is told; else what its offers agree on.
ALTER TABLE part ADD COLUMN bottle_ml INTEGER CHECK (bottle_ml > 0);

-- A scan of the take mode. One that is not taken waits until somebody says what it is, or that it is nothing.
CREATE TABLE take_scan (
  seq     INTEGER PRIMARY KEY,
  key     TEXT NOT NULL UNIQUE,                          -- of the form, or of session and line; its posting has it, too
  session TEXT NOT NULL,
  job     TEXT NOT NULL DEFAULT '',                      -- as the shop names it
  text    TEXT NOT NULL,                                 -- as it was scanned or typed
  code    TEXT NOT NULL,                                 -- as in code_link
  amount  INTEGER NOT NULL CHECK (amount >= 0),          -- told before it; 0: none was
  state   TEXT NOT NULL CHECK (state IN ('taken', 'noted', 'unknown', 'how_much', 'short', 'kept', 'dropped')),
  part    TEXT REFERENCES part (id),                     -- once it is known
  posting TEXT REFERENCES posting (id),
  person  TEXT NOT NULL REFERENCES person (id),
  at      TEXT NOT NULL
) STRICT;
CREATE INDEX take_scan_session ON take_scan (session, seq);
CREATE INDEX take_scan_waits ON take_scan (seq) WHERE state IN ('unknown', 'how_much', 'short', 'kept');
CREATE INDEX take_scan_part ON take_scan (part) WHERE part IS NOT NULL;

-- Barcodes and labels -------------------------------------------------------------------------------------------------------

