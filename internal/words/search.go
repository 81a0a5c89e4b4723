package words

var searchTexts = texts{}
