package words

var measureTexts = texts{}
