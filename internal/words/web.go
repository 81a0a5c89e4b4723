package words

var webTexts = texts{}
