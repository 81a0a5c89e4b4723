package words

var reorderTexts = texts{}
