package words

var shopTexts = texts{}
