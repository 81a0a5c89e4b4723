package words

var scannerTexts = texts{}
