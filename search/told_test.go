package search_test

import (
	"slices"
	"testing"
)

// Variants, model codes and frame numbers tell forks apart, contents tell kits
// apart, and a number is never left out: over the demo shop.
func TestTold(t *testing.T) {
	c := newCounter(t, "queries.tsv")
	for query, want := range map[string]struct{ parts, forks []string }{
		"torvane 600 TV3 2004 clip":          {[]string{"4105602", "VK32-007B"}, []string{"Pasko 43"}},
		"torvane 600 TV2 2004 clip":          {[]string{"410550", "VK32-006B"}, []string{"Corva 42"}},
		"torvane 600 TV6-03500 clip":         {[]string{"4105602", "VK32-007B"}, []string{"Pasko 43"}},
		"torvane 600 TV6-00500 clip":         {[]string{"410550", "VK32-006B"}, []string{"Corva 42"}},
		"nordane 900 R protector":            {[]string{"VK61-003L", "VK61-004R"}, []string{"Tirona 43"}},
		"nd9 bottom washer":                  {[]string{"621012", "VK42-003B"}, []string{"Tirona 43"}},
		"torvane 600 TV9 clip":               {nil, []string{"Corva 42", "Pasko 43"}}, // no such code
		"kit velda 400 s 2006 bolt clip":     {[]string{"PK-187"}, []string{"Pasko 39"}},
		"seal kit zefira 1100 without wiper": {[]string{"702-060"}, []string{"Pasko 43 S"}},
		"velda 900 wiper":                    {nil, []string{"Corva 31", "Corva 39", "Pasko 39"}},
		"fork oil 30W":                       {nil, nil},
		"2x seal 49":                         {[]string{"OB496010", "VK11-026B", "SV-2282"}, []string{"Aerel 49"}},
	} {
		parts, forks, _ := c.ask(t, query)
		slices.Sort(parts)
		slices.Sort(want.parts)
		if !slices.Equal(parts, want.parts) || !slices.Equal(forks, want.forks) {
			t.Errorf("%s: got %q %q, want %q %q", query, parts, forks, want.parts, want.forks)
		}
	}
}
