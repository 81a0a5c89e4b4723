package words

var storeTexts = texts{}
