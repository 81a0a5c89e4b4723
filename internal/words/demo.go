package words

var demoTexts = texts{}
