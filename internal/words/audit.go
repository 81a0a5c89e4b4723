package words

// auditTexts: what check finds in the catalog, and what mends it.
var auditTexts = texts{}
