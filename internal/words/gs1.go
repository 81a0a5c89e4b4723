package words

var gs1Texts = texts{}
