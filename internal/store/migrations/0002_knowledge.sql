-- What a shop knows, and from where: claims, cross-references, kits by role, supplier lists, usual sizes.

-- Parts and places: what else tells a bolt or a bushing ---------------------------------------------------------------

ALTER TABLE part ADD COLUMN head_um INTEGER CHECK (head_um > 0);                    -- height of a bolt's head
ALTER TABLE part ADD COLUMN seat TEXT NOT NULL DEFAULT '' CHECK (seat IN ('', 'flat', 'flanged', 'countersunk', 'sealed'));
ALTER TABLE part ADD COLUMN strength TEXT NOT NULL DEFAULT '';                      -- of a bolt: "8.8", "12.9"
ALTER TABLE part ADD COLUMN coated TEXT NOT NULL DEFAULT '' CHECK (coated IN ('', 'inside', 'outside', 'both'));
ALTER TABLE part ADD COLUMN entered TEXT NOT NULL DEFAULT '';                       -- the size as entered, where in inches
ALTER TABLE part ADD COLUMN legs INTEGER CHECK (legs IN (1, 2));                    -- a kit: for one leg or for both
ALTER TABLE part ADD COLUMN merged_into TEXT REFERENCES part (id);                  -- another record of the same part
CREATE INDEX part_merged ON part (merged_into) WHERE merged_into IS NOT NULL;

ALTER TABLE position ADD COLUMN head_um INTEGER CHECK (head_um > 0);
ALTER TABLE position ADD COLUMN seat TEXT NOT NULL DEFAULT '' CHECK (seat IN ('', 'flat', 'flanged', 'countersunk', 'sealed'));
ALTER TABLE position ADD COLUMN strength TEXT NOT NULL DEFAULT '';
ALTER TABLE position ADD COLUMN coated TEXT NOT NULL DEFAULT '' CHECK (coated IN ('', 'inside', 'outside', 'both'));
ALTER TABLE position ADD COLUMN entered TEXT NOT NULL DEFAULT '';

-- When a shop renews what, where it differs from the fork's own word.
CREATE TABLE renewal (
  role  TEXT PRIMARY KEY,
  renew TEXT NOT NULL CHECK (renew IN ('always', 'opened', 'judge', 'damage'))
) STRICT;

-- Where knowledge comes from -------------------------------------------------------------------------------------------

-- Somebody says something of a part, a place, a bike or an equivalence. Claims are never deleted: a wrong one is
-- withdrawn. field names what is claimed of the subject; value is its printed form, empty for "not known".
CREATE TABLE claim (
  number    INTEGER PRIMARY KEY,                         -- what the shop calls it
  about     TEXT NOT NULL CHECK (about IN ('part', 'place', 'place_part', 'fitment', 'fork', 'replacement')),
  subject   TEXT NOT NULL,                               -- id in the table of that name; place_part: "place part"
  field     TEXT NOT NULL,                               -- 'size', 'thread', 'elastomer', 'fits', ...
  value     TEXT NOT NULL,
  how       TEXT NOT NULL CHECK (how IN ('list', 'manual', 'bench', 'practice', 'told')),
  source    TEXT NOT NULL,                               -- list and date, manual and page; empty: the person
  person    TEXT NOT NULL REFERENCES person (id),
  at        TEXT NOT NULL,
  decided   INTEGER NOT NULL DEFAULT 0,                  -- the highest of a field is a person's last decision; 0: none
  withdrawn TEXT NOT NULL DEFAULT '',                    -- the reason; empty while it stands
  withdrawn_by TEXT REFERENCES person (id),
  withdrawn_at TEXT,
  CHECK ((withdrawn = '') = (withdrawn_by IS NULL) AND (withdrawn = '') = (withdrawn_at IS NULL))
) STRICT;
CREATE INDEX claim_subject ON claim (about, subject, field);
CREATE TRIGGER claim_no_delete BEFORE DELETE ON claim
BEGIN SELECT raise(ABORT, 'claim: kept for ever'); END;
CREATE TRIGGER claim_said BEFORE UPDATE OF number, about, field, value, how, source, person, at ON claim
BEGIN SELECT raise(ABORT, 'claim: what was said stays'); END;

-- A claim seen to be right or wrong: by hand now, by jobs later.
CREATE TABLE claim_seen (
  seq    INTEGER PRIMARY KEY,
  claim  INTEGER NOT NULL REFERENCES claim (number),
  seen   TEXT NOT NULL CHECK (seen IN ('right', 'wrong')),
  why    TEXT NOT NULL DEFAULT '',
  person TEXT NOT NULL REFERENCES person (id),
  at     TEXT NOT NULL
) STRICT;
CREATE INDEX claim_seen_claim ON claim_seen (claim, seen);
CREATE TRIGGER claim_seen_no_delete BEFORE DELETE ON claim_seen
BEGIN SELECT raise(ABORT, 'claim_seen: kept for ever'); END;

-- What a shop knew before is claimed by the person who has been there longest, with the source that was written down.
WITH sized (about, id, source, a, b, c, d) AS (
  SELECT 'part', id, source, inner_um, outer_um, height_um, overall_um FROM part
  UNION ALL SELECT 'place', id, '', inner_um, outer_um, height_um, overall_um FROM position
), length (um, mm) AS (
  SELECT um, rtrim(rtrim(printf('%d.%03d', um / 1000, um % 1000), '0'), '.') FROM (
    SELECT a AS um FROM sized UNION SELECT b FROM sized UNION SELECT c FROM sized UNION SELECT d FROM sized
  ) WHERE um IS NOT NULL
), known (about, subject, field, value, source) AS (
  SELECT about, id, 'size', coalesce((SELECT mm FROM length WHERE um = a), '?') || 'x' || coalesce((SELECT mm FROM length WHERE um = b), '?')
    || iif(c IS NULL AND d IS NULL, '', 'x' || coalesce((SELECT mm FROM length WHERE um = c), '?'))
    || iif(d IS NULL, '', '/' || (SELECT mm FROM length WHERE um = d)), source
    FROM sized WHERE coalesce(a, b, c, d) IS NOT NULL
  UNION ALL SELECT 'part', id, 'thread', thread, source FROM part WHERE thread <> ''
  UNION ALL SELECT 'part', id, 'elastomer', elastomer, source FROM part WHERE elastomer <> ''
  UNION ALL SELECT 'part', id, 'material', material, source FROM part WHERE material <> ''
  UNION ALL SELECT 'place', id, 'thread', thread, '' FROM position WHERE thread <> ''
  UNION ALL SELECT 'place_part', position || ' ' || part, 'fits', 'yes', source FROM position_part
  UNION ALL SELECT 'fitment', m.id, 'bike', m.make || ' ' || m.model || ' ' || m.year_from
    || CASE m.year_to WHEN m.year_from THEN '' ELSE '-' || coalesce(m.year_to, '') END || ': ' || f.name, m.source
    FROM fitment m JOIN fork f ON f.id = m.fork
  UNION ALL SELECT 'fork', id, 'leg', rtrim(rtrim(printf('%d.%03d', leg_um / 1000, leg_um % 1000), '0'), '.'), source FROM fork
)
INSERT INTO claim (about, subject, field, value, how, source, person, at, decided)
  SELECT k.about, k.subject, k.field, k.value, 'told', k.source, p.id, strftime('%Y-%m-%dT%H:%M:%fZ', 'now'), 1
  FROM known k JOIN (SELECT id FROM person ORDER BY since, id LIMIT 1) p ORDER BY k.about, k.subject, k.field;

-- Cross-references -----------------------------------------------------------------------------------------------------

-- Further numbers of one part: a fork maker's, another list's.
CREATE TABLE other_number (
  id          TEXT PRIMARY KEY,
  part        TEXT NOT NULL REFERENCES part (id),
  maker       TEXT NOT NULL,
  maker_norm  TEXT NOT NULL,
  number      TEXT NOT NULL,
  number_norm TEXT NOT NULL,
  source      TEXT NOT NULL DEFAULT '',
  person      TEXT REFERENCES person (id),
  at          TEXT NOT NULL DEFAULT '',
  UNIQUE (maker_norm, number_norm)
) STRICT;
CREATE INDEX other_number_number ON other_number (number_norm);
CREATE INDEX other_number_part ON other_number (part);

-- A number that was replaced by another, whether or not the shop keeps a part of either.
CREATE TABLE replacement (
  id             TEXT PRIMARY KEY,
  maker          TEXT NOT NULL,
  maker_norm     TEXT NOT NULL,
  number         TEXT NOT NULL,
  number_norm    TEXT NOT NULL,
  by_maker       TEXT NOT NULL,
  by_maker_norm  TEXT NOT NULL,
  by_number      TEXT NOT NULL,
  by_number_norm TEXT NOT NULL,
  both_ways      INTEGER NOT NULL CHECK (both_ways IN (0, 1)), -- the old one still does for the new one
  since          TEXT NOT NULL DEFAULT '',                     -- year, month or day, or empty
  reason         TEXT NOT NULL DEFAULT '',
  source         TEXT NOT NULL DEFAULT '',
  person         TEXT REFERENCES person (id),
  at             TEXT NOT NULL DEFAULT '',
  UNIQUE (maker_norm, number_norm, by_maker_norm, by_number_norm)
) STRICT;
CREATE INDEX replacement_by ON replacement (by_number_norm, by_maker_norm);
CREATE INDEX replacement_number ON replacement (number_norm, maker_norm);

-- An old part that may still be fitted to a fork.
CREATE TABLE still_usable (
  part   TEXT NOT NULL REFERENCES part (id),
  fork   TEXT NOT NULL REFERENCES fork (id),
  source TEXT NOT NULL DEFAULT '',
  person TEXT REFERENCES person (id),
  at     TEXT NOT NULL DEFAULT '',
  PRIMARY KEY (part, fork)
) STRICT, WITHOUT ROWID;

-- Two records of one part made one, and what has to be put back to undo it.
CREATE TABLE merge (
  id        TEXT PRIMARY KEY,
  kept      TEXT NOT NULL REFERENCES part (id),
  gone      TEXT NOT NULL REFERENCES part (id),
  reason    TEXT NOT NULL,
  person    TEXT NOT NULL REFERENCES person (id),
  at        TEXT NOT NULL,
  posting   TEXT REFERENCES posting (id),                -- by which the stock moved, if there was any
  undone_at TEXT,
  undone_by TEXT REFERENCES person (id)
) STRICT;
CREATE UNIQUE INDEX merge_gone ON merge (gone) WHERE undone_at IS NULL;
CREATE TABLE merge_moved (
  merge TEXT NOT NULL REFERENCES merge (id),
  seq   INTEGER NOT NULL,
  kind  TEXT NOT NULL,                                   -- what was done with a row: see catalog/merged.go
  row   TEXT NOT NULL,                                   -- JSON of what puts it back
  PRIMARY KEY (merge, seq)
) STRICT, WITHOUT ROWID;

-- Kits -----------------------------------------------------------------------------------------------------------------

-- What a kit brings: a part, or a role with a size where the kit's maker names no number.
CREATE TABLE kit_brings (
  kit        TEXT NOT NULL REFERENCES part (id),
  seq        INTEGER NOT NULL,
  part       TEXT REFERENCES part (id),
  role       TEXT NOT NULL DEFAULT '',                   -- where part is NULL
  inner_um   INTEGER CHECK (inner_um > 0),
  outer_um   INTEGER CHECK (outer_um > inner_um),
  height_um  INTEGER CHECK (height_um > 0),
  overall_um INTEGER CHECK (overall_um >= height_um),
  thread     TEXT NOT NULL DEFAULT '',
  pieces     INTEGER NOT NULL CHECK (pieces > 0),
  PRIMARY KEY (kit, seq),
  CHECK ((part IS NULL) = (role <> ''))
) STRICT, WITHOUT ROWID;
INSERT INTO kit_brings (kit, seq, part, pieces) SELECT kit, seq, part, pieces FROM kit_content;
DROP TABLE kit_content;
ALTER TABLE kit_brings RENAME TO kit_content;
CREATE INDEX kit_content_part ON kit_content (part);

-- Rubber ---------------------------------------------------------------------------------------------------------------

-- How a maker prints cure dates: 3/94 is a quarter of the one and a month of the other. Asked once.
CREATE TABLE maker_dates (
  maker_norm TEXT PRIMARY KEY,
  maker      TEXT NOT NULL,
  notation   TEXT NOT NULL CHECK (notation IN ('quarter', 'month'))
) STRICT;

-- Supplier lists -------------------------------------------------------------------------------------------------------

-- What the description of an item seems to say, read by program and not yet anybody's word. One row an item.
CREATE TABLE item_reading (
  item       TEXT PRIMARY KEY REFERENCES supplier_item (id) ON DELETE CASCADE,
  role       TEXT NOT NULL DEFAULT '',
  inner_um   INTEGER,
  outer_um   INTEGER,
  height_um  INTEGER,
  overall_um INTEGER,
  thread     TEXT NOT NULL DEFAULT '',
  leg_um     INTEGER,
  pieces     INTEGER,                                    -- in the pack, where the text says so
  sure       INTEGER NOT NULL CHECK (sure IN (0, 1))     -- 1: by a rule of the shop
) STRICT, WITHOUT ROWID;
CREATE INDEX item_reading_size ON item_reading (inner_um, outer_um, height_um) WHERE inner_um IS NOT NULL;
CREATE INDEX item_reading_leg ON item_reading (leg_um, role) WHERE leg_um IS NOT NULL;

-- The words of the descriptions of a supplier's list, folded: what of a text is neither size nor number.
CREATE TABLE item_word (
  word TEXT NOT NULL,
  item TEXT NOT NULL REFERENCES supplier_item (id) ON DELETE CASCADE,
  PRIMARY KEY (word, item)
) STRICT, WITHOUT ROWID;

-- A rule of the shop: words in a supplier's descriptions that mean something for sure.
CREATE TABLE wording_rule (
  id       TEXT PRIMARY KEY,
  supplier TEXT REFERENCES supplier (id),                -- NULL: of every supplier
  words    TEXT NOT NULL,
  role     TEXT NOT NULL DEFAULT '',
  pieces   INTEGER,
  person   TEXT NOT NULL REFERENCES person (id),
  at       TEXT NOT NULL
) STRICT;

-- What a code of a price list stands for while nobody has linked it.
ALTER TABLE supplier_item ADD COLUMN code TEXT NOT NULL DEFAULT '';
ALTER TABLE supplier_item ADD COLUMN maker TEXT NOT NULL DEFAULT '';
ALTER TABLE supplier_item ADD COLUMN maker_number TEXT NOT NULL DEFAULT '';
ALTER TABLE supplier_item ADD COLUMN maker_number_norm TEXT NOT NULL DEFAULT '';
ALTER TABLE supplier_item ADD COLUMN listed TEXT NOT NULL DEFAULT '';          -- day of the list that last named it
ALTER TABLE supplier_item ADD COLUMN note TEXT NOT NULL DEFAULT '';            -- columns of the list that have no other place
CREATE INDEX supplier_item_code ON supplier_item (code) WHERE code <> '';
CREATE INDEX supplier_item_maker_number ON supplier_item (maker_number_norm) WHERE maker_number_norm <> '';

-- How a supplier's prices are printed, told once: net, or retail less a discount in hundredths of a percent.
ALTER TABLE supplier ADD COLUMN discount INTEGER CHECK (discount BETWEEN 0 AND 10000);

-- Files taken in; a large one is staged first and switched in by short transactions.
CREATE TABLE import (
  id        TEXT PRIMARY KEY,
  kind      TEXT NOT NULL,
  about     TEXT NOT NULL DEFAULT '',                    -- what else the command said: supplier, net or less what
  file      TEXT NOT NULL,                               -- its name
  sum       TEXT NOT NULL,                               -- SHA-256 of its bytes
  person    TEXT NOT NULL REFERENCES person (id),
  at        TEXT NOT NULL,
  state     TEXT NOT NULL CHECK (state IN ('staging', 'switching', 'done')),
  rows      INTEGER NOT NULL DEFAULT 0,                  -- staged
  reached   INTEGER NOT NULL DEFAULT 0,                  -- last staged row that is in
  added     INTEGER NOT NULL DEFAULT 0,
  changed   INTEGER NOT NULL DEFAULT 0,
  unchanged INTEGER NOT NULL DEFAULT 0,
  refused   INTEGER NOT NULL DEFAULT 0                   -- staged, and not in for what was found then
) STRICT;
CREATE INDEX import_sum ON import (sum, kind);
CREATE TABLE import_row (
  import TEXT NOT NULL REFERENCES import (id),
  seq    INTEGER NOT NULL,
  line   INTEGER NOT NULL,
  cells  TEXT NOT NULL,                                  -- as exchange.Row packs them
  PRIMARY KEY (import, seq)
) STRICT, WITHOUT ROWID;

-- Usual sizes ----------------------------------------------------------------------------------------------------------

-- What is usual for a leg diameter or a thread, without a maker: a hint to measure by, never a fit.
CREATE TABLE usual (
  id         TEXT PRIMARY KEY,
  role       TEXT NOT NULL,                              -- empty: of rubber as such
  leg_um     INTEGER,                                    -- usual for that leg; NULL: a standard size of its own
  name       TEXT NOT NULL DEFAULT '',                   -- "ISO 4762 M8", "AS568-214"
  inner_um   INTEGER CHECK (inner_um > 0),
  outer_um   INTEGER CHECK (outer_um > inner_um),
  height_um  INTEGER CHECK (height_um > 0),
  overall_um INTEGER CHECK (overall_um >= height_um),
  section_um INTEGER CHECK (section_um > 0),             -- of an O-ring
  thread     TEXT NOT NULL DEFAULT '',
  key_um     INTEGER CHECK (key_um > 0),                 -- across the flats of the key
  note       TEXT NOT NULL DEFAULT '',                   -- what no column holds: a viscosity, other pitches
  source     TEXT NOT NULL
) STRICT;
CREATE INDEX usual_leg ON usual (leg_um, role);
CREATE INDEX usual_inner ON usual (inner_um, outer_um);

-- Past jobs of a shop that kept no ledger yet: use without stock, for what is ordered.
CREATE TABLE past_use (
  id     TEXT PRIMARY KEY,
  job    TEXT NOT NULL,
  day    TEXT NOT NULL,
  fork   TEXT REFERENCES fork (id),
  part   TEXT NOT NULL REFERENCES part (id),
  amount INTEGER NOT NULL CHECK (amount > 0),
  UNIQUE (job, part)
) STRICT;
CREATE INDEX past_use_part ON past_use (part, day);

-- Bikes and their forks ------------------------------------------------------------------------------------------------

-- Bikes by variant, model code, years, frame numbers, or several of them. A table is made anew where its columns change
-- what they allow; a dropped table is emptied first, so what rests on it is made anew and dropped before it.
CREATE TABLE bike_fitment (
  id              TEXT PRIMARY KEY,
  make            TEXT NOT NULL,
  make_norm       TEXT NOT NULL,
  model           TEXT NOT NULL,
  model_norm      TEXT NOT NULL,
  variant         TEXT NOT NULL DEFAULT '',              -- letters behind the model; empty: every variant
  variant_norm    TEXT NOT NULL DEFAULT '',
  code            TEXT NOT NULL DEFAULT '',              -- model code on the plate
  code_norm       TEXT NOT NULL DEFAULT '',
  year_from       INTEGER CHECK (year_from BETWEEN 1900 AND 2200), -- NULL: by frame number alone
  year_to         INTEGER CHECK (year_to >= year_from),  -- NULL: still built
  frame_from      TEXT NOT NULL DEFAULT '',              -- as printed; empty: from the first on
  frame_from_norm TEXT NOT NULL DEFAULT '',
  frame_to        TEXT NOT NULL DEFAULT '',              -- empty: to the last
  frame_to_norm   TEXT NOT NULL DEFAULT '',
  fork            TEXT NOT NULL REFERENCES fork (id),
  source          TEXT NOT NULL DEFAULT '',
  withdrawn       INTEGER NOT NULL DEFAULT 0 CHECK (withdrawn IN (0, 1)), -- no claim stands that says so: not shown
  CHECK (year_from IS NOT NULL OR year_to IS NULL),
  CHECK (year_from IS NOT NULL OR frame_from_norm <> '' OR frame_to_norm <> '')
) STRICT;
INSERT INTO bike_fitment (id, make, make_norm, model, model_norm, year_from, year_to, fork, source)
  SELECT id, make, make_norm, model, model_norm, year_from, year_to, fork, source FROM fitment;

-- How much oil a leg takes. What holds for one bike (and some of its years, where they are told) goes before the fork's.
CREATE TABLE bike_oil (
  id        TEXT PRIMARY KEY,
  fork      TEXT NOT NULL REFERENCES fork (id),
  fitment   TEXT REFERENCES bike_fitment (id),
  year_from INTEGER CHECK (year_from BETWEEN 1900 AND 2200), -- NULL: all years of the fitment
  year_to   INTEGER CHECK (year_to >= year_from),        -- NULL with year_from: from then on
  leg       TEXT NOT NULL CHECK (leg IN ('both', 'left', 'right')),
  chamber   TEXT NOT NULL CHECK (chamber IN ('leg', 'cartridge')),
  dry_ml    INTEGER CHECK (dry_ml > 0),
  refill_ml INTEGER CHECK (refill_ml > 0),
  gap_um    INTEGER CHECK (gap_um > 0),                  -- air gap from the top of the tube
  gap_how   TEXT NOT NULL DEFAULT '',
  grade     TEXT NOT NULL DEFAULT '',                    -- as printed; not comparable between makers
  cst_milli INTEGER CHECK (cst_milli > 0),               -- thousandths of a cSt at 40 C, as printed
  vi        INTEGER CHECK (vi > 0),                      -- viscosity index, as printed
  source    TEXT NOT NULL DEFAULT '',
  CHECK (fitment IS NOT NULL OR year_from IS NULL),
  CHECK (year_from IS NOT NULL OR year_to IS NULL)
) STRICT;
INSERT INTO bike_oil (id, fork, fitment, leg, chamber, dry_ml, refill_ml, gap_um, gap_how, grade, source)
  SELECT id, fork, fitment, leg, chamber, dry_ml, refill_ml, gap_um, gap_how, grade, source FROM oil_fill;

DROP TABLE oil_fill;
DROP TABLE fitment;
ALTER TABLE bike_fitment RENAME TO fitment;
ALTER TABLE bike_oil RENAME TO oil_fill;
CREATE UNIQUE INDEX fitment_told ON fitment
  (make_norm, model_norm, variant_norm, code_norm, coalesce(year_from, 0), frame_from_norm, frame_to_norm, fork)
  WHERE withdrawn = 0;
CREATE INDEX fitment_fork ON fitment (fork);
CREATE INDEX fitment_code ON fitment (code_norm) WHERE code_norm <> '';
CREATE INDEX oil_fill_fork ON oil_fill (fork);
CREATE INDEX oil_fill_fitment ON oil_fill (fitment) WHERE fitment IS NOT NULL;

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

-- Whether a place's renewal is the word of somebody; else it follows the shop's (table renewal), else its role's.
-- What differs from the role's was told by somebody.
ALTER TABLE position ADD COLUMN renew_told INTEGER NOT NULL DEFAULT 0 CHECK (renew_told IN (0, 1));
UPDATE position SET renew_told = 1 WHERE renew <> CASE
  WHEN role IN ('oil_seal', 'oil') THEN 'always'
  WHEN role IN ('bottom_washer', 'drain_washer') THEN 'opened'
  WHEN role IN ('bottom_bolt', 'drain_screw') THEN 'damage'
  ELSE 'judge' END;

-- One bike that carries another fork than its model, by its frame number or the shop's name for it. The last word
-- counts: an earlier one is ended, never deleted.
CREATE TABLE swap (
  id        TEXT PRIMARY KEY,
  bike      TEXT NOT NULL,
  bike_norm TEXT NOT NULL CHECK (bike_norm <> ''),
  fork      TEXT NOT NULL REFERENCES fork (id),
  note      TEXT NOT NULL DEFAULT '',
  person    TEXT NOT NULL REFERENCES person (id),
  at        TEXT NOT NULL,
  ended_at  TEXT,
  ended_by  TEXT REFERENCES person (id)
) STRICT;
CREATE UNIQUE INDEX swap_bike ON swap (bike_norm) WHERE ended_at IS NULL;
CREATE INDEX swap_fork ON swap (fork);

-- Tightening values: of a fork's own joints, or of a bike's. None without the manual that it stands in.
CREATE TABLE tightening (
  id         TEXT PRIMARY KEY,
  fork       TEXT REFERENCES fork (id),
  fitment    TEXT REFERENCES fitment (id),
  joint      TEXT NOT NULL,                              -- of catalog.ForkJoints, or of catalog.BikeJoints
  torque_mnm INTEGER NOT NULL CHECK (torque_mnm > 0),
  entered    TEXT NOT NULL DEFAULT '',                   -- as printed, where not in N m
  manual     TEXT NOT NULL CHECK (manual <> ''),         -- title and edition
  page       TEXT NOT NULL DEFAULT '',
  person     TEXT NOT NULL REFERENCES person (id),
  at         TEXT NOT NULL,
  CHECK ((fork IS NULL) <> (fitment IS NULL))
) STRICT;
CREATE UNIQUE INDEX tightening_fork ON tightening (fork, joint) WHERE fork IS NOT NULL;
CREATE UNIQUE INDEX tightening_fitment ON tightening (fitment, joint) WHERE fitment IS NOT NULL;
