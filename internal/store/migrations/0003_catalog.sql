-- What is seen and measured of a fork while it is on the bike -----------------------------------------------------------

-- NULL and '' say that it is not known.
ALTER TABLE fork ADD COLUMN cap_shape TEXT NOT NULL DEFAULT ''
  CHECK (cap_shape IN ('', 'hexagon', 'hexagon_recess', 'square_recess', 'round'));
ALTER TABLE fork ADD COLUMN cap_flats_um INTEGER CHECK (cap_flats_um > 0);            -- across the flats of hexagon or recess
ALTER TABLE fork ADD COLUMN cap_thread TEXT NOT NULL DEFAULT '';
ALTER TABLE fork ADD COLUMN axle_um INTEGER CHECK (axle_um > 0);                      -- diameter of the axle in the leg
ALTER TABLE fork ADD COLUMN centres_um INTEGER CHECK (centres_um > 0);                -- from leg to leg, centre to centre

-- What stands on the cap of a leg.
ALTER TABLE fork_leg ADD COLUMN cap TEXT NOT NULL DEFAULT ''
  CHECK (cap IN ('', 'plain', 'preload', 'damping', 'preload_damping', 'air', 'air_damping'));

-- Search at the size of a wholesaler -----------------------------------------------------------------------------------

CREATE INDEX part_thread ON part (role, thread, height_um, id);
CREATE INDEX part_looks ON part (replace(replace(number_norm, 'O', '0'), 'I', '1')) WHERE merged_into IS NULL;
CREATE INDEX other_number_looks ON other_number (replace(replace(number_norm, 'O', '0'), 'I', '1'));
CREATE INDEX replacement_looks ON replacement (replace(replace(number_norm, 'O', '0'), 'I', '1'));
CREATE INDEX fitment_frame_from ON fitment (frame_from_norm) WHERE frame_from_norm <> '';
CREATE INDEX fitment_frame_to ON fitment (frame_to_norm) WHERE frame_to_norm <> '';
CREATE INDEX part_outer ON part (role, outer_um, inner_um);
CREATE INDEX part_role_number ON part (role, number_norm, maker_norm, id) WHERE merged_into IS NULL;
CREATE INDEX part_found ON part (number_norm, maker_norm, id) WHERE merged_into IS NULL;
CREATE INDEX position_size ON position (inner_um, outer_um, height_um) WHERE inner_um IS NOT NULL;

-- What is asked for by one measure or by its bin ----------------------------------------------------------------------------

CREATE INDEX part_outside ON part (outer_um) WHERE outer_um IS NOT NULL;
CREATE INDEX part_height ON part (height_um) WHERE height_um IS NOT NULL;
CREATE INDEX part_home ON part (home_bin) WHERE home_bin IS NOT NULL;
CREATE INDEX balance_bin ON balance (bin) WHERE amount > 0;
-- The index holds what suppliers call a part.
CREATE TRIGGER item_of_part_added AFTER INSERT ON supplier_item WHEN NEW.part IS NOT NULL BEGIN
  INSERT INTO change (kind, id, gen) VALUES ('part', NEW.part, (SELECT coalesce(max(gen), 0) + 1 FROM change))
    ON CONFLICT (kind, id) DO UPDATE SET gen = excluded.gen;
END;
CREATE TRIGGER item_of_part_changed AFTER UPDATE OF part, number_norm ON supplier_item
WHEN NEW.part IS NOT NULL AND (NEW.part IS NOT OLD.part OR NEW.number_norm <> OLD.number_norm) BEGIN
  INSERT INTO change (kind, id, gen) VALUES ('part', NEW.part, (SELECT coalesce(max(gen), 0) + 1 FROM change))
    ON CONFLICT (kind, id) DO UPDATE SET gen = excluded.gen;
END;

-- What suppliers list, by the kind of part alone ------------------------------------------------------------------------------

CREATE INDEX item_reading_role ON item_reading (role) WHERE role <> '';
