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
