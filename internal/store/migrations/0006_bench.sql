-- The bench: what comes in piece by piece, what was wrong with it, and what has no number yet ---------------------------

-- Deliveries that stay open while they are scanned ----------------------------------------------------------------------

-- What is claimed from a supplier, what was sent back, and prices as they were -------------------------------------------

-- Orders and where their parts go ----------------------------------------------------------------------------------------

-- The first stocktake, bags without a number -------------------------------------------------------------------------------

-- Taking, trays, and what is not the shop's ---------------------------------------------------------------------------------

-- Barcodes and labels -------------------------------------------------------------------------------------------------------

