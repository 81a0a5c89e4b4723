package words

var catalogTexts = texts{}
