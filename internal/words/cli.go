package words

var cliTexts = texts{}
