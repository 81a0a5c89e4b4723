package table

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"io"
	"testing"

	"github.com/xuri/excelize/v2"
)

// list gives a price list of n rows as a supplier would send it.
func list(n int) []byte {
	var b bytes.Buffer
	b.WriteString("number;description;pack;price;code\r\n")
	for i := range n {
		fmt.Fprintf(&b, "%05d;\"Oil seal 39x52x11; \"\"dual\"\" lip\";%d;%d,%02d;95201%08d\r\n", i, i%9+1, i%90+1, i%100, i)
	}
	return b.Bytes()
}

// BenchmarkRead reads 100,000 rows, beside encoding/csv on the same bytes.
func BenchmarkRead(b *testing.B) {
	const n = 100_000
	text := list(n)
	b.Run("table", func(b *testing.B) {
		b.SetBytes(int64(len(text)))
		b.ReportAllocs()
		for b.Loop() {
			t, err := Read("list.csv", bytes.NewReader(text), Options{})
			if err != nil {
				b.Fatal(err)
			}
			rows := 0
			for row, err := range t.All() {
				if err != nil || row.Err != nil {
					b.Fatal(err, row.Err)
				}
				rows++
			}
			if rows != n {
				b.Fatalf("%d rows", rows)
			}
		}
	})
	b.Run("encoding-csv", func(b *testing.B) {
		b.SetBytes(int64(len(text)))
		b.ReportAllocs()
		for b.Loop() {
			r := csv.NewReader(bytes.NewReader(text))
			r.Comma = ';'
			rows := 0
			for {
				if _, err := r.Read(); err == io.EOF {
					break
				} else if err != nil {
					b.Fatal(err)
				}
				rows++
			}
			if rows != n+1 {
				b.Fatalf("%d rows", rows)
			}
		}
	})
}

// BenchmarkReadXLSX reads 100,000 rows of a worksheet, beside excelize alone.
func BenchmarkReadXLSX(b *testing.B) {
	const n = 100_000
	var file bytes.Buffer
	w := NewXLSX(&file)
	for i := range n + 1 {
		if i == 0 {
			if err := w.Write([]string{"number", "description", "price", "code"}); err != nil {
				b.Fatal(err)
			}
			continue
		}
		row := []string{fmt.Sprintf("N%05d", i), "Oil seal 39x52x11", "12.50", fmt.Sprintf("95201%08d", i)}
		if err := w.Write(row); err != nil {
			b.Fatal(err)
		}
	}
	if err := w.Close(); err != nil {
		b.Fatal(err)
	}
	b.Run("table", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			t, err := Read("list.xlsx", bytes.NewReader(file.Bytes()), Options{})
			if err != nil {
				b.Fatal(err)
			}
			rows := 0
			for _, err := range t.All() {
				if err != nil {
					b.Fatal(err)
				}
				rows++
			}
			if err := t.Close(); rows != n || err != nil {
				b.Fatalf("%d rows, %v", rows, err)
			}
		}
	})
	b.Run("excelize", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			f, err := excelize.OpenReader(bytes.NewReader(file.Bytes()))
			if err != nil {
				b.Fatal(err)
			}
			shown, err := f.Rows("Sheet1")
			if err != nil {
				b.Fatal(err)
			}
			rows := 0
			for shown.Next() {
				if _, err := shown.Columns(); err != nil {
					b.Fatal(err)
				}
				rows++
			}
			if f.Close(); rows != n+1 {
				b.Fatalf("%d rows", rows)
			}
		}
	})
}
