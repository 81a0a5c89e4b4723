package words

var inventoryTexts = texts{}
