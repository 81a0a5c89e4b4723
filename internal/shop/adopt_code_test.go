package shop_test

import (
	"testing"

	"forkstock/internal/shop"
)

// Of two items with one code both become parts: the code stays with the first,
// and the second says so before and after.
func TestAdoptCodeTaken(t *testing.T) {
	s, _ := newShop(t)
	if _, err := s.AddSupplier(t.Context(), shop.Supplier{Supplier: "Hollenbeck", LeadDays: 2}); err != nil {
		t.Fatal(err)
	}
	take(t, s, shop.ImportRequest{Supplier: "Hollenbeck", Net: true},
		"supplier number,description,net price,ean,maker,maker number\nH-1,oil seal 39x52x11,5.00,9520123456788,Tolmek,TQ-1\nH-2,oil seal 41x54x11,6.00,9520123456788,Tolmek,TQ-2\n")
	adopt := func(number string, yes bool, stays string) {
		t.Helper()
		out, err := s.Adopt(t.Context(), shop.AdoptRequest{Supplier: "Hollenbeck", Number: number, Yes: yes})
		if err != nil || out.Adopted != yes || out.CodeStays != stays {
			t.Errorf("%s, yes %v: adopted %v, code stays with %q, %v; want %q", number, yes, out.Adopted, out.CodeStays, err, stays)
		}
	}
	adopt("H-1", false, "")
	adopt("H-1", true, "")
	adopt("H-2", false, "Tolmek/TQ-1")
	adopt("H-2", true, "Tolmek/TQ-1")
	if out, err := s.Check(t.Context()); err != nil {
		t.Errorf("check = %+v, %v", out, err)
	}
}
