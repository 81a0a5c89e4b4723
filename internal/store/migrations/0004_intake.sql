-- Intake: the shop's own numbers.

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
