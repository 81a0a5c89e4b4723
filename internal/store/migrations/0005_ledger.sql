-- Everything that moves stock ------------------------------------------------------------------------------------------

-- An order to a supplier. Its lines may be changed while it is a draft; what came for it stands in the ledger.
CREATE TABLE purchase (
  id       TEXT PRIMARY KEY,
  number   INTEGER NOT NULL UNIQUE,                      -- the shop's running number
  supplier TEXT NOT NULL REFERENCES supplier (id),
  state    TEXT NOT NULL CHECK (state IN ('draft', 'placed', 'closed', 'cancelled')),
  person   TEXT NOT NULL REFERENCES person (id),
  made     TEXT NOT NULL,
  placed   TEXT NOT NULL DEFAULT '',                     -- YYYY-MM-DD
  expected TEXT NOT NULL DEFAULT '',                     -- YYYY-MM-DD
  ended    TEXT NOT NULL DEFAULT '',                     -- closed or cancelled
  note     TEXT NOT NULL DEFAULT ''
) STRICT;
CREATE INDEX purchase_open ON purchase (supplier, number) WHERE state IN ('draft', 'placed');

CREATE TABLE purchase_line (
  id               TEXT PRIMARY KEY,
  purchase         TEXT NOT NULL REFERENCES purchase (id),
  seq              INTEGER NOT NULL,
  part             TEXT NOT NULL REFERENCES part (id),
  supplier_number  TEXT NOT NULL DEFAULT '',
  pack             INTEGER NOT NULL CHECK (pack > 0),    -- of the part's unit
  packs            INTEGER NOT NULL CHECK (packs > 0),
  pack_price_minor INTEGER CHECK (pack_price_minor >= 0),
  job              TEXT NOT NULL DEFAULT '',             -- whom it is for, where it is for somebody
  why              TEXT NOT NULL DEFAULT '',
  promised         TEXT NOT NULL DEFAULT '',             -- YYYY-MM-DD: to follow
  dropped          INTEGER NOT NULL DEFAULT 0 CHECK (dropped BETWEEN 0 AND packs), -- packs that will not come
  UNIQUE (purchase, seq)
) STRICT;
CREATE INDEX purchase_line_part ON purchase_line (part);

-- A count of what lies in the bins.
CREATE TABLE tally (
  id     TEXT PRIMARY KEY,
  name   TEXT NOT NULL,
  person TEXT NOT NULL REFERENCES person (id),
  begun  TEXT NOT NULL,
  state  TEXT NOT NULL CHECK (state IN ('open', 'posted', 'dropped')),
  ended  TEXT NOT NULL DEFAULT ''
) STRICT;

-- A posting knows more kinds, and what it was for. A CHECK cannot be widened, so the table is made anew.
CREATE TABLE posting_wider (
  id          TEXT PRIMARY KEY,
  key         TEXT NOT NULL UNIQUE,                      -- the caller's; the same key again posts nothing
  content     TEXT NOT NULL,                             -- what the key was used for
  kind        TEXT NOT NULL CHECK (kind IN ('receive', 'issue', 'return', 'scrap', 'move', 'found', 'undo', 'opening',
    'sale', 'send_back', 'lend', 'lent_back', 'borrow', 'borrowed_back', 'count', 'unpack', 'revalue')),
  person      TEXT NOT NULL REFERENCES person (id),
  at          TEXT NOT NULL,
  delivery    TEXT REFERENCES delivery (id),
  purchase    TEXT REFERENCES purchase (id),
  tally       TEXT REFERENCES tally (id),
  job         TEXT NOT NULL DEFAULT '',                  -- as the shop names it
  partner     TEXT NOT NULL DEFAULT '',                  -- who bought, lent, borrowed
  due         TEXT NOT NULL DEFAULT '',                  -- YYYY-MM-DD: lent or borrowed until
  price_minor INTEGER CHECK (price_minor >= 0),          -- what a sale brought; the credit expected for what was sent back
  reason      TEXT NOT NULL DEFAULT '',
  corrects    TEXT UNIQUE REFERENCES posting (id),       -- the posting that this one undoes
  amends      TEXT REFERENCES posting (id)               -- the posting of which this one puts a part right
) STRICT;
INSERT INTO posting_wider (id, key, content, kind, person, at, delivery, reason, corrects)
  SELECT id, key, content, kind, person, at, delivery, reason, corrects FROM posting;
DROP TABLE posting;
ALTER TABLE posting_wider RENAME TO posting;
CREATE INDEX posting_job ON posting (job) WHERE job <> '';
CREATE INDEX posting_at ON posting (at);
CREATE INDEX posting_amends ON posting (amends) WHERE amends IS NOT NULL;
CREATE INDEX posting_delivery ON posting (delivery) WHERE delivery IS NOT NULL;
CREATE INDEX posting_purchase ON posting (purchase) WHERE purchase IS NOT NULL;

CREATE TRIGGER posting_no_update BEFORE UPDATE ON posting
BEGIN SELECT raise(ABORT, 'posting: append only'); END;
CREATE TRIGGER posting_no_delete BEFORE DELETE ON posting
BEGIN SELECT raise(ABORT, 'posting: append only'); END;
-- REPLACE deletes without asking the triggers above where recursive triggers are off, as in a shell.
CREATE TRIGGER posting_once BEFORE INSERT ON posting
WHEN EXISTS (SELECT 1 FROM posting WHERE id = NEW.id OR key = NEW.key OR corrects = NEW.corrects)
BEGIN SELECT raise(ABORT, 'posting: append only'); END;

CREATE INDEX movement_lot ON movement (lot, seq);
CREATE INDEX movement_bin ON movement (bin, seq);

-- Which line of an order a posting fulfilled, and by how much of the part's unit.
CREATE TABLE arrival (
  posting TEXT NOT NULL REFERENCES posting (id),
  line    TEXT NOT NULL REFERENCES purchase_line (id),
  amount  INTEGER NOT NULL CHECK (amount > 0),
  PRIMARY KEY (line, posting)
) STRICT, WITHOUT ROWID;

-- Pieces kept for a job: they lessen what is available, not what is on hand.
CREATE TABLE set_aside (
  id       TEXT PRIMARY KEY,
  part     TEXT NOT NULL REFERENCES part (id),
  job      TEXT NOT NULL CHECK (job <> ''),
  amount   INTEGER NOT NULL CHECK (amount > 0),          -- of the part's unit
  until    TEXT NOT NULL DEFAULT '',                     -- YYYY-MM-DD, the last day; '': until released
  person   TEXT NOT NULL REFERENCES person (id),
  at       TEXT NOT NULL,
  released TEXT NOT NULL DEFAULT '',                     -- when, by whom, why
  by       TEXT REFERENCES person (id),
  why      TEXT NOT NULL DEFAULT ''
) STRICT;
CREATE INDEX set_aside_part ON set_aside (part) WHERE released = '';
CREATE INDEX set_aside_job ON set_aside (job) WHERE released = '';

-- Washers by the hundred are not counted; the empty bag says that they are to be ordered.
ALTER TABLE part ADD COLUMN uncounted INTEGER NOT NULL DEFAULT 0 CHECK (uncounted IN (0, 1));
ALTER TABLE part ADD COLUMN sell_minor INTEGER CHECK (sell_minor >= 0);               -- a piece over the counter, net
CREATE TABLE empty_bag (
  id       TEXT PRIMARY KEY,
  part     TEXT NOT NULL REFERENCES part (id),
  person   TEXT NOT NULL REFERENCES person (id),
  at       TEXT NOT NULL,
  purchase TEXT REFERENCES purchase (id),                -- the order that took it up
  ended    TEXT NOT NULL DEFAULT ''
) STRICT;
CREATE INDEX empty_bag_open ON empty_bag (part) WHERE ended = '';

-- Rubber looked at when its time was up, and kept for once more (ISO 2230).
CREATE TABLE inspection (
  lot    TEXT PRIMARY KEY REFERENCES lot (id),
  person TEXT NOT NULL REFERENCES person (id),
  day    TEXT NOT NULL,                                  -- YYYY-MM-DD
  until  TEXT NOT NULL,                                  -- YYYY-MM-DD
  note   TEXT NOT NULL DEFAULT ''
) STRICT, WITHOUT ROWID;

-- Until when an order leaves the supplier on the same day, HH:MM in the shop's zone; '': not known.
ALTER TABLE supplier ADD COLUMN cutoff TEXT NOT NULL DEFAULT '';

-- What was counted of a part in a bin. mark is the last movement that the ledger had then: what moved later is reckoned in.
CREATE TABLE tally_line (
  tally  TEXT NOT NULL REFERENCES tally (id),
  bin    TEXT NOT NULL REFERENCES bin (id),
  part   TEXT NOT NULL REFERENCES part (id),
  amount INTEGER NOT NULL CHECK (amount >= 0),           -- of the part's unit
  mark   INTEGER NOT NULL CHECK (mark >= 0),
  moved  INTEGER NOT NULL DEFAULT 0 CHECK (moved IN (0, 1)), -- something moved between two scans of it
  person TEXT NOT NULL REFERENCES person (id),
  at     TEXT NOT NULL,
  PRIMARY KEY (tally, bin, part)
) STRICT, WITHOUT ROWID;
-- A bin that was looked through: what is not counted in it is not there.
CREATE TABLE tally_bin (
  tally TEXT NOT NULL REFERENCES tally (id),
  bin   TEXT NOT NULL REFERENCES bin (id),
  done  INTEGER NOT NULL DEFAULT 0 CHECK (done IN (0, 1)),
  PRIMARY KEY (tally, bin)
) STRICT, WITHOUT ROWID;
-- Every line of a hand scanner counts once.
CREATE TABLE tally_scan (
  tally TEXT NOT NULL REFERENCES tally (id),
  key   TEXT NOT NULL,
  PRIMARY KEY (tally, key)
) STRICT, WITHOUT ROWID;
CREATE UNIQUE INDEX tally_open ON tally (name) WHERE state = 'open';

-- The order that a delivery is for.
ALTER TABLE delivery ADD COLUMN purchase TEXT REFERENCES purchase (id);
