-- A shop: what fits what, what is on hand, what was scanned.
-- Ids are UUIDv7 text. Times are UTC text with milliseconds, days are YYYY-MM-DD.
-- *_um are micrometres, *_minor are minor units of the shop's currency; NULL is "not known", never 0.
-- *_norm is the form in which two spellings are the same (catalog.Normal).

CREATE TABLE setting (
  name  TEXT PRIMARY KEY,
  value TEXT NOT NULL
) STRICT;

CREATE TABLE person (
  id    TEXT PRIMARY KEY,
  name  TEXT NOT NULL UNIQUE,
  since TEXT NOT NULL
) STRICT;

CREATE TABLE bin (
  id        TEXT PRIMARY KEY,
  name      TEXT NOT NULL,
  name_norm TEXT NOT NULL UNIQUE,
  kind      TEXT NOT NULL CHECK (kind IN ('shelf', 'intake', 'tray', 'blocked'))
) STRICT;

-- What fits what ---------------------------------------------------------------------------------------------------

CREATE TABLE part (
  id          TEXT PRIMARY KEY,
  number      TEXT NOT NULL,
  number_norm TEXT NOT NULL,
  maker       TEXT NOT NULL,
  maker_norm  TEXT NOT NULL,
  role        TEXT NOT NULL,
  description TEXT NOT NULL,
  unit        TEXT NOT NULL CHECK (unit IN ('piece', 'mL')),
  inner_um    INTEGER CHECK (inner_um > 0),
  outer_um    INTEGER CHECK (outer_um > inner_um),
  height_um   INTEGER CHECK (height_um > 0),             -- body height; length of a bushing or a bolt
  overall_um  INTEGER CHECK (overall_um >= height_um),
  thread      TEXT NOT NULL DEFAULT '',
  material    TEXT NOT NULL DEFAULT '',
  elastomer   TEXT NOT NULL DEFAULT '',
  home_bin    TEXT REFERENCES bin (id),
  minimum     INTEGER NOT NULL DEFAULT 0 CHECK (minimum >= 0),
  source      TEXT NOT NULL DEFAULT '',                  -- who says so: a list, a manual, the bench
  UNIQUE (maker_norm, number_norm)
) STRICT;
CREATE INDEX part_number ON part (number_norm);
CREATE INDEX part_size ON part (role, inner_um, outer_um, height_um);
CREATE INDEX part_inner ON part (inner_um, outer_um, height_um);

CREATE TABLE kit_content (
  kit    TEXT NOT NULL REFERENCES part (id),
  seq    INTEGER NOT NULL,
  part   TEXT NOT NULL REFERENCES part (id),
  pieces INTEGER NOT NULL CHECK (pieces > 0),
  PRIMARY KEY (kit, seq)
) STRICT, WITHOUT ROWID;
CREATE INDEX kit_content_part ON kit_content (part);

CREATE TABLE fork (
  id        TEXT PRIMARY KEY,
  name      TEXT NOT NULL,
  name_norm TEXT NOT NULL UNIQUE,
  layout    TEXT NOT NULL CHECK (layout IN ('conventional', 'upside-down')),
  leg_um    INTEGER NOT NULL CHECK (leg_um > 0),         -- outer diameter of the inner tube
  note      TEXT NOT NULL DEFAULT '',                    -- how to tell it from its neighbours
  source    TEXT NOT NULL DEFAULT ''
) STRICT;
CREATE INDEX fork_leg_diameter ON fork (leg_um);

CREATE TABLE fork_leg (
  fork      TEXT NOT NULL REFERENCES fork (id),
  leg       TEXT NOT NULL CHECK (leg IN ('left', 'right')),
  damping   TEXT NOT NULL CHECK (damping IN ('damper_rod', 'open_cartridge', 'closed_cartridge', 'none')),
  springing TEXT NOT NULL CHECK (springing IN ('coil', 'coil_with_air', 'air', 'none')),
  PRIMARY KEY (fork, leg)
) STRICT, WITHOUT ROWID;

-- A place in a leg, in the order in which the stack goes together.
CREATE TABLE position (
  id         TEXT PRIMARY KEY,
  fork       TEXT NOT NULL REFERENCES fork (id),
  seq        INTEGER NOT NULL,
  role       TEXT NOT NULL,
  leg        TEXT NOT NULL CHECK (leg IN ('both', 'left', 'right')),
  per_leg    INTEGER NOT NULL CHECK (per_leg > 0),       -- in the part's unit
  renew      TEXT NOT NULL CHECK (renew IN ('always', 'opened', 'judge', 'damage')),
  fitted     TEXT NOT NULL CHECK (fitted IN ('yes', 'no', 'unknown')),
  inner_um   INTEGER CHECK (inner_um > 0),
  outer_um   INTEGER CHECK (outer_um > inner_um),
  height_um  INTEGER CHECK (height_um > 0),
  overall_um INTEGER CHECK (overall_um >= height_um),
  thread     TEXT NOT NULL DEFAULT '',
  note       TEXT NOT NULL DEFAULT '',                   -- orientation, which way up
  UNIQUE (fork, seq)
) STRICT;

-- Parts that a list or the bench names for a place, whatever their sizes say.
CREATE TABLE position_part (
  position TEXT NOT NULL REFERENCES position (id),
  part     TEXT NOT NULL REFERENCES part (id),
  source   TEXT NOT NULL DEFAULT '',
  PRIMARY KEY (position, part)
) STRICT, WITHOUT ROWID;
CREATE INDEX position_part_part ON position_part (part);

CREATE TABLE fitment (
  id         TEXT PRIMARY KEY,
  make       TEXT NOT NULL,
  make_norm  TEXT NOT NULL,
  model      TEXT NOT NULL,
  model_norm TEXT NOT NULL,
  year_from  INTEGER NOT NULL CHECK (year_from BETWEEN 1900 AND 2200),
  year_to    INTEGER CHECK (year_to >= year_from),       -- NULL: still built
  fork       TEXT NOT NULL REFERENCES fork (id),
  source     TEXT NOT NULL DEFAULT '',
  UNIQUE (make_norm, model_norm, year_from, fork)
) STRICT;
CREATE INDEX fitment_fork ON fitment (fork);

-- How much oil a fork takes, per leg; a row with a fitment overrides the fork's own for that bike.
CREATE TABLE oil_fill (
  id        TEXT PRIMARY KEY,
  fork      TEXT NOT NULL REFERENCES fork (id),
  fitment   TEXT REFERENCES fitment (id),
  leg       TEXT NOT NULL CHECK (leg IN ('both', 'left', 'right')),
  chamber   TEXT NOT NULL CHECK (chamber IN ('leg', 'cartridge')),
  dry_ml    INTEGER CHECK (dry_ml > 0),
  refill_ml INTEGER CHECK (refill_ml > 0),
  gap_um    INTEGER CHECK (gap_um > 0),                  -- air gap from the top of the tube
  gap_how   TEXT NOT NULL DEFAULT '',
  grade     TEXT NOT NULL DEFAULT '',                    -- as printed; not comparable between makers
  source    TEXT NOT NULL DEFAULT ''
) STRICT;
CREATE INDEX oil_fill_fork ON oil_fill (fork);

CREATE TABLE supplier (
  id        TEXT PRIMARY KEY,
  name      TEXT NOT NULL,
  name_norm TEXT NOT NULL UNIQUE,
  lead_days INTEGER NOT NULL CHECK (lead_days >= 0)      -- from order to receipt
) STRICT;

-- What suppliers offer; it becomes a part when the shop uses it.
CREATE TABLE supplier_item (
  id               TEXT PRIMARY KEY,
  supplier         TEXT NOT NULL REFERENCES supplier (id),
  number           TEXT NOT NULL,
  number_norm      TEXT NOT NULL,
  description      TEXT NOT NULL,
  part             TEXT REFERENCES part (id),
  pack             INTEGER NOT NULL CHECK (pack > 0),    -- of the part's unit
  pack_price_minor INTEGER CHECK (pack_price_minor >= 0),
  UNIQUE (supplier, number_norm)
) STRICT;
CREATE INDEX supplier_item_part ON supplier_item (part);
CREATE INDEX supplier_item_number ON supplier_item (number_norm);

-- What a barcode stands for. The newest row of a code counts; older ones say what it stood for once.
CREATE TABLE code_link (
  seq    INTEGER PRIMARY KEY,
  code   TEXT NOT NULL,                                  -- GTIN-14, or the code's trimmed text
  part   TEXT REFERENCES part (id),                      -- NULL: not a part (a parcel label)
  pieces INTEGER NOT NULL CHECK (pieces > 0),            -- of the part's unit
  person TEXT NOT NULL REFERENCES person (id),
  since  TEXT NOT NULL
) STRICT;
CREATE INDEX code_link_code ON code_link (code, seq);
CREATE INDEX code_link_part ON code_link (part);

-- Whether two different codes of one part are one pack or two; code_a < code_b.
CREATE TABLE code_pair (
  code_a TEXT NOT NULL,
  code_b TEXT NOT NULL,
  packs  INTEGER NOT NULL CHECK (packs IN (1, 2)),
  PRIMARY KEY (code_a, code_b)
) STRICT, WITHOUT ROWID;

-- What is on hand, and how it came so ------------------------------------------------------------------------------

CREATE TABLE delivery (
  id        TEXT PRIMARY KEY,
  name      TEXT NOT NULL,
  name_norm TEXT NOT NULL UNIQUE,
  at        TEXT NOT NULL
) STRICT;

CREATE TABLE session (
  id       TEXT PRIMARY KEY,                             -- as the user named it
  delivery TEXT NOT NULL REFERENCES delivery (id)
) STRICT, WITHOUT ROWID;

-- One part of one delivery, batch and date. batch is the maker's text, short the shop's own number.
CREATE TABLE lot (
  id       TEXT PRIMARY KEY,
  short    INTEGER NOT NULL UNIQUE,
  part     TEXT NOT NULL REFERENCES part (id),
  delivery TEXT REFERENCES delivery (id),
  batch    TEXT NOT NULL DEFAULT '',
  cure     TEXT NOT NULL DEFAULT '',
  use_by   TEXT NOT NULL DEFAULT '',
  since    TEXT NOT NULL
) STRICT;
CREATE UNIQUE INDEX lot_whole ON lot (part, coalesce(delivery, ''), batch, cure, use_by);

CREATE TABLE posting (
  id       TEXT PRIMARY KEY,
  key      TEXT NOT NULL UNIQUE,                         -- the caller's; the same key again posts nothing
  content  TEXT NOT NULL,                                -- what the key was used for
  kind     TEXT NOT NULL CHECK (kind IN ('receive', 'issue', 'return', 'scrap', 'move', 'found', 'undo', 'opening')),
  person   TEXT NOT NULL REFERENCES person (id),
  at       TEXT NOT NULL,
  delivery TEXT REFERENCES delivery (id),
  reason   TEXT NOT NULL DEFAULT '',
  corrects TEXT UNIQUE REFERENCES posting (id)
) STRICT;

-- The ledger. seq has no gaps and orders everything; the clock does not.
CREATE TABLE movement (
  seq         INTEGER PRIMARY KEY,
  posting     TEXT NOT NULL REFERENCES posting (id),
  part        TEXT NOT NULL REFERENCES part (id),
  bin         TEXT NOT NULL REFERENCES bin (id),
  lot         TEXT NOT NULL REFERENCES lot (id),
  amount      INTEGER NOT NULL CHECK (amount <> 0),
  value_minor INTEGER CHECK (value_minor = 0 OR (value_minor > 0) = (amount > 0))
) STRICT;
CREATE INDEX movement_posting ON movement (posting);
CREATE INDEX movement_part ON movement (part, seq);

-- What is where: the sum of the movements, kept by trigger.
CREATE TABLE balance (
  part   TEXT NOT NULL REFERENCES part (id),
  bin    TEXT NOT NULL REFERENCES bin (id),
  lot    TEXT NOT NULL REFERENCES lot (id),
  amount INTEGER NOT NULL CHECK (amount >= 0),
  PRIMARY KEY (part, bin, lot)
) STRICT, WITHOUT ROWID;

-- What it is worth: pieces of known value and that value, and pieces whose value is not known.
CREATE TABLE holding (
  part        TEXT PRIMARY KEY REFERENCES part (id),
  known       INTEGER NOT NULL CHECK (known >= 0),
  value_minor INTEGER NOT NULL CHECK (value_minor >= 0 AND (known > 0 OR value_minor = 0)),
  unknown     INTEGER NOT NULL CHECK (unknown >= 0)
) STRICT, WITHOUT ROWID;

CREATE TRIGGER movement_next BEFORE INSERT ON movement
WHEN NEW.seq IS NOT (SELECT coalesce(max(seq), 0) + 1 FROM movement)
BEGIN SELECT raise(ABORT, 'movement: sequence with a gap'); END;

CREATE TRIGGER movement_counts AFTER INSERT ON movement
BEGIN
  INSERT INTO balance (part, bin, lot, amount) VALUES (NEW.part, NEW.bin, NEW.lot, 0)
    ON CONFLICT (part, bin, lot) DO NOTHING;
  UPDATE balance SET amount = amount + NEW.amount WHERE part = NEW.part AND bin = NEW.bin AND lot = NEW.lot;
  INSERT INTO holding (part, known, value_minor, unknown) VALUES (NEW.part, 0, 0, 0)
    ON CONFLICT (part) DO NOTHING;
  UPDATE holding SET
    known       = known + iif(NEW.value_minor IS NULL, 0, NEW.amount),
    value_minor = value_minor + coalesce(NEW.value_minor, 0),
    unknown     = unknown + iif(NEW.value_minor IS NULL, NEW.amount, 0)
  WHERE part = NEW.part;
END;

CREATE TRIGGER movement_no_update BEFORE UPDATE ON movement
BEGIN SELECT raise(ABORT, 'movement: append only'); END;
CREATE TRIGGER movement_no_delete BEFORE DELETE ON movement
BEGIN SELECT raise(ABORT, 'movement: append only'); END;
CREATE TRIGGER posting_no_update BEFORE UPDATE ON posting
BEGIN SELECT raise(ABORT, 'posting: append only'); END;
CREATE TRIGGER posting_no_delete BEFORE DELETE ON posting
BEGIN SELECT raise(ABORT, 'posting: append only'); END;
-- REPLACE deletes without asking the triggers above where recursive triggers are off, as in a shell.
CREATE TRIGGER posting_once BEFORE INSERT ON posting
WHEN EXISTS (SELECT 1 FROM posting WHERE id = NEW.id OR key = NEW.key OR corrects = NEW.corrects)
BEGIN SELECT raise(ABORT, 'posting: append only'); END;
CREATE TRIGGER code_link_once BEFORE INSERT ON code_link
WHEN NEW.seq IS NOT NULL AND EXISTS (SELECT 1 FROM code_link WHERE seq = NEW.seq)
BEGIN SELECT raise(ABORT, 'code_link: append only'); END;
CREATE TRIGGER code_link_no_update BEFORE UPDATE ON code_link
BEGIN SELECT raise(ABORT, 'code_link: append only'); END;
CREATE TRIGGER code_link_no_delete BEFORE DELETE ON code_link
BEGIN SELECT raise(ABORT, 'code_link: append only'); END;

-- What was scanned, whether or not its code was known. sheet is the picture's page or the session; a box is in pixels
-- of the picture, a line stands in y0 with the rest 0.
CREATE TABLE scan (
  seq       INTEGER PRIMARY KEY,
  key       TEXT NOT NULL UNIQUE,
  content   TEXT NOT NULL,
  delivery  TEXT NOT NULL REFERENCES delivery (id),
  person    TEXT NOT NULL REFERENCES person (id),
  at        TEXT NOT NULL,
  bin       TEXT REFERENCES bin (id),                    -- asked for; NULL: the part's home
  symbology TEXT NOT NULL,
  text      TEXT NOT NULL,
  code      TEXT NOT NULL,                               -- as in code_link; eight digits while two readings are open
  batch     TEXT NOT NULL DEFAULT '',
  use_by    TEXT NOT NULL DEFAULT '',
  source    TEXT NOT NULL,                               -- the picture's file name, or the session
  sheet     TEXT NOT NULL,
  x0        INTEGER NOT NULL,
  y0        INTEGER NOT NULL,
  x1        INTEGER NOT NULL,
  y1        INTEGER NOT NULL,
  state     TEXT NOT NULL CHECK (state IN ('open', 'posted', 'unknown', 'to_confirm', 'same_pack', 'ignored')),
  beside    INTEGER REFERENCES scan (seq),               -- to_confirm, same_pack: the scan that may be the same pack
  posting   TEXT REFERENCES posting (id)
) STRICT;
CREATE TRIGGER scan_no_delete BEFORE DELETE ON scan
BEGIN SELECT raise(ABORT, 'scan: kept for ever'); END;
CREATE INDEX scan_code ON scan (code, state);
CREATE INDEX scan_waits ON scan (state) WHERE state IN ('unknown', 'to_confirm');
CREATE INDEX scan_delivery ON scan (delivery, seq);
CREATE INDEX scan_sheet ON scan (sheet, y0);

-- What the index has to catch up with --------------------------------------------------------------------------------

-- One row for each part and fork that ever changed, with the generation of its last change.
CREATE TABLE change (
  kind TEXT NOT NULL CHECK (kind IN ('part', 'fork')),
  id   TEXT NOT NULL,
  gen  INTEGER NOT NULL UNIQUE,
  PRIMARY KEY (kind, id)
) STRICT, WITHOUT ROWID;

CREATE TRIGGER part_added AFTER INSERT ON part BEGIN
  INSERT INTO change (kind, id, gen) VALUES ('part', NEW.id, (SELECT coalesce(max(gen), 0) + 1 FROM change))
    ON CONFLICT (kind, id) DO UPDATE SET gen = excluded.gen;
END;
CREATE TRIGGER part_changed AFTER UPDATE ON part BEGIN
  INSERT INTO change (kind, id, gen) VALUES ('part', NEW.id, (SELECT coalesce(max(gen), 0) + 1 FROM change))
    ON CONFLICT (kind, id) DO UPDATE SET gen = excluded.gen;
END;
CREATE TRIGGER part_gone AFTER DELETE ON part BEGIN
  INSERT INTO change (kind, id, gen) VALUES ('part', OLD.id, (SELECT coalesce(max(gen), 0) + 1 FROM change))
    ON CONFLICT (kind, id) DO UPDATE SET gen = excluded.gen;
END;
CREATE TRIGGER fork_added AFTER INSERT ON fork BEGIN
  INSERT INTO change (kind, id, gen) VALUES ('fork', NEW.id, (SELECT coalesce(max(gen), 0) + 1 FROM change))
    ON CONFLICT (kind, id) DO UPDATE SET gen = excluded.gen;
END;
CREATE TRIGGER fork_changed AFTER UPDATE ON fork BEGIN
  INSERT INTO change (kind, id, gen) VALUES ('fork', NEW.id, (SELECT coalesce(max(gen), 0) + 1 FROM change))
    ON CONFLICT (kind, id) DO UPDATE SET gen = excluded.gen;
END;
CREATE TRIGGER fork_gone AFTER DELETE ON fork BEGIN
  INSERT INTO change (kind, id, gen) VALUES ('fork', OLD.id, (SELECT coalesce(max(gen), 0) + 1 FROM change))
    ON CONFLICT (kind, id) DO UPDATE SET gen = excluded.gen;
END;
CREATE TRIGGER fitment_added AFTER INSERT ON fitment BEGIN
  INSERT INTO change (kind, id, gen) VALUES ('fork', NEW.fork, (SELECT coalesce(max(gen), 0) + 1 FROM change))
    ON CONFLICT (kind, id) DO UPDATE SET gen = excluded.gen;
END;
CREATE TRIGGER fitment_changed AFTER UPDATE ON fitment BEGIN
  INSERT INTO change (kind, id, gen) VALUES ('fork', OLD.fork, (SELECT coalesce(max(gen), 0) + 1 FROM change))
    ON CONFLICT (kind, id) DO UPDATE SET gen = excluded.gen;
  INSERT INTO change (kind, id, gen) VALUES ('fork', NEW.fork, (SELECT coalesce(max(gen), 0) + 1 FROM change))
    ON CONFLICT (kind, id) DO UPDATE SET gen = excluded.gen;
END;
CREATE TRIGGER fitment_gone AFTER DELETE ON fitment BEGIN
  INSERT INTO change (kind, id, gen) VALUES ('fork', OLD.fork, (SELECT coalesce(max(gen), 0) + 1 FROM change))
    ON CONFLICT (kind, id) DO UPDATE SET gen = excluded.gen;
END;
