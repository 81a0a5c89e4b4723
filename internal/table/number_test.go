package table

import (
	"testing"

	"forkstock/internal/fault"
)

// Ways to write money in Europe and America: common practice, no source; the
// codes are those of ISO 4217.
func TestMoney(t *testing.T) {
	for _, tt := range []struct {
		text     string
		decimal  rune
		minor    int64
		currency string
		err      string // id of the message
	}{
		{"12.50", 0, 1250, "", ""},
		{"12,5", 0, 1250, "", ""},
		{"12", 0, 1200, "", ""},
		{" 12 ", 0, 1200, "", ""},
		{"0,40", '.', 40, "", ""},
		{".5", 0, 50, "", ""},
		{"0.500", 0, 50, "", ""},
		{"1.2500", 0, 125, "", ""},
		{"1250.000", 0, 125000, "", ""},
		{"1.250", ',', 125000, "", ""},
		{"1.250", '.', 125, "", ""},
		{"1,250", '.', 125000, "", ""},
		{"1,250", ',', 125, "", ""},
		{"1.250", 0, 0, "", "table.which_mark"},
		{"1.250,00", 0, 125000, "", ""},
		{"1,250.00", 0, 125000, "", ""},
		{"1.234.567", 0, 123456700, "", ""},
		{"1.234.567,89", 0, 123456789, "", ""},
		{"1'234.50", 0, 123450, "", ""},
		{"1’234.50", 0, 123450, "", ""},
		{"1 234,50", 0, 123450, "", ""},
		{"1\u00a0234,50\u202f€", 0, 123450, "EUR", ""},
		{"12,50 €", 0, 1250, "EUR", ""},
		{"€ 12.50", 0, 1250, "EUR", ""},
		{"£12.50", 0, 1250, "GBP", ""},
		{"$12.50", 0, 1250, "$", ""},
		{"EUR 12,50", 0, 1250, "EUR", ""},
		{"12,50 eur", 0, 1250, "EUR", ""},
		{"Fr. 12.50", 0, 1250, "FR.", ""},
		{"12,-", 0, 1200, "", ""},
		{"12,-- €", 0, 1200, "EUR", ""},
		{"CHF 1'250.–", 0, 125000, "CHF", ""},
		{"1.250,-", 0, 125000, "", ""},
		{"-12.50", 0, -1250, "", ""},
		{"−12,50 €", 0, -1250, "EUR", ""},
		{"€ -12.50", 0, -1250, "EUR", ""},
		{"12.50-", 0, -1250, "", ""},
		{"(12.50)", 0, -1250, "", ""},
		{"+12.50", 0, 1250, "", ""},
		{"92233720368547758.07", 0, 9223372036854775807, "", ""},
		{"92233720368547758.08", 0, 0, "", "table.large"},
		{"12.505", '.', 0, "", "table.fine_money"},
		{"12.3456", 0, 0, "", "table.fine_money"},
		{"", 0, 0, "", "table.no_number"},
		{"-", 0, 0, "", "table.no_number"},
		{"auf Anfrage", 0, 0, "", "table.no_number"},
		{"12.50 EUR EUR", 0, 0, "", "table.no_number"},
		{"12.5.0", 0, 0, "", "table.no_number"},
		{"1.25.000", 0, 0, "", "table.no_number"},
		{"1,25,000", 0, 0, "", "table.no_number"},
		{"1.234,567.8", 0, 0, "", "table.no_number"},
		{"1.250,00,-", 0, 0, "", "table.no_number"},
		{"-12-", 0, 0, "", "table.no_number"},
		{"(12", 0, 0, "", "table.no_number"},
		{"03.10.2025", 0, 0, "", "table.no_number"},
		{"1e3", 0, 0, "", "table.no_number"},
		{"39x52", 0, 0, "", "table.no_number"},
		{"AB 12", 0, 0, "", "table.no_number"},
		{"١٢", 0, 0, "", "table.no_number"},
	} {
		minor, currency, err := Money(Cell{Text: tt.text, Decimal: tt.decimal})
		id := ""
		if err != nil {
			id = fault.Of(err).Message.ID
		}
		if minor != tt.minor || currency != tt.currency || id != tt.err {
			t.Errorf("Money(%q, %q) = %d %q %v", tt.text, tt.decimal, minor, currency, err)
		}
	}
	if _, _, err := Money(Cell{Text: "2025", Kind: Date}); fault.KindOf(err) != fault.Invalid {
		t.Errorf("a date as money: %v", err)
	}
}

func TestInteger(t *testing.T) {
	for _, tt := range []struct {
		text    string
		decimal rune
		want    int64
		err     string
	}{
		{"2", 0, 2, ""},
		{"-2", 0, -2, ""},
		{"2,00", 0, 2, ""},
		{"1.000", ',', 1000, ""},
		{"1.000", '.', 1, ""},
		{"1.000", 0, 0, "table.which_mark"},
		{"1'000", 0, 1000, ""},
		{"9223372036854775807", 0, 9223372036854775807, ""},
		{"9223372036854775808", 0, 0, "table.large"},
		{"2,5", 0, 0, "table.no_integer"},
		{"2 €", 0, 0, "table.no_integer"},
		{"2 Stk", 0, 0, "table.no_number"},
		{"", 0, 0, "table.no_number"},
	} {
		got, err := Integer(Cell{Text: tt.text, Decimal: tt.decimal})
		id := ""
		if err != nil {
			id = fault.Of(err).Message.ID
		}
		if got != tt.want || id != tt.err {
			t.Errorf("Integer(%q, %q) = %d %v", tt.text, tt.decimal, got, err)
		}
	}
}

// The mark of decimals is that of the column, where it does not tell that of
// the file, and none where both stand.
func TestDecimals(t *testing.T) {
	_, rows := mustRead(t, "a;b;c;d\n1.250;1,5;1.250;\"2.5\"\n1.250;2,5;1.250,00;1,5\n", Options{})
	var got string
	for _, c := range rows[0].Cells {
		got += string(max(c.Decimal, '+'))
	}
	if got != "+,,+" {
		t.Errorf("marks %q", got)
	}
	_, rows = mustRead(t, "a;b\n1.250;1,5\n", Options{})
	if minor, _, err := Money(rows[0].Cells[0]); minor != 125000 || err != nil {
		t.Errorf("1.250 beside 1,5: %d, %v", minor, err)
	}
	_, rows = mustRead(t, "a;b\n1.250;1,5\n", Options{Decimal: '.'})
	if minor, _, err := Money(rows[0].Cells[0]); minor != 125 || err != nil {
		t.Errorf("1.250 where a point was said: %d, %v", minor, err)
	}
}
