package demo

import (
	"fmt"
	"math/rand/v2"
	"strings"

	"forkstock/catalog"
)

// offer is what a supplier sells.
type offer struct {
	supplier     int // in suppliers
	number, text string
	ware         *ware // nil: the shop does not use it
	pack         int64
	price        int64 // of the pack, minor units; 0: not known
}

// sale says that a supplier sells what a maker makes, at so many hundredths of
// what the shop pays on the average, for so many of a hundred parts.
type sale struct{ supplier, percent, share int }

var sales = map[string][]sale{
	vaskuro:  {{3, 90, 100}, {0, 118, 12}},
	selvarin: {{2, 92, 100}, {0, 108, 70}},
	orbenta:  {{1, 96, 100}, {0, 110, 75}},
	tolmek:   {{1, 97, 100}, {0, 112, 60}},
	jostwin:  {{1, 93, 100}, {0, 112, 75}},
	pelmora:  {{1, 100, 100}, {2, 95, 55}},
	ambrel:   {{0, 100, 100}, {1, 90, 50}},
	grevalo:  {{2, 96, 100}},
}

// addOffers adds what the suppliers sell: the parts of the book in packs, and
// things that the shop has never used.
func (b *book) addOffers(seed uint64) {
	for _, w := range b.wares {
		for _, s := range sales[w.Maker] {
			name := fmt.Sprintf("offer/%d/%s", s.supplier, strings.TrimSuffix(w.Name(), b.variant("-V")))
			if int(hash(name)%100) >= s.share {
				continue
			}
			rng := stream(seed, name)
			o := offer{supplier: s.supplier, ware: w, pack: w.packAt(s.supplier), text: listed(w, s.supplier)}
			o.number = b.itemNumber(o)
			pieces, per := o.pack, w.cost
			if w.Unit == catalog.Millilitre {
				pieces = o.pack / 1000
			}
			o.price = jitter(rng, max(1, per*pieces*int64(s.percent)/100))
			if hash(name+"/price")%20 == 0 { // the list says "on request"
				o.price = 0
			}
			b.offers = append(b.offers, o)
		}
	}
	for i, text := range strange {
		for size := range 6 {
			o := offer{supplier: (i + size) % 3, pack: 1, text: fmt.Sprintf(text, 20+3*size, 34+4*size)}
			o.number = b.itemNumber(o)
			o.price = jitter(stream(seed, o.number), int64(300+97*i))
			b.offers = append(b.offers, o)
		}
	}
}

// jitter moves a price by up to eight hundredths.
func jitter(rng *rand.Rand, price int64) int64 { return max(1, price*int64(92+rng.IntN(17))/100) }

// packAt gives how many a supplier puts in a pack: the cheap ones in tens and
// hundreds.
func (w *ware) packAt(supplier int) int64 {
	switch {
	case w.Unit == catalog.Millilitre:
		return [...]int64{1000, 5000, 1000, 1000}[supplier]
	case w.Role == catalog.OilSeal && w.bag == 1 && supplier == 1:
		return 2
	case w.bag == 10 && w.Role != catalog.Clip && supplier == 1:
		return 100
	case w.Role == catalog.OilSeal && w.bag == 1 && supplier == 2:
		return 10
	}
	return w.bag
}

// listed gives the description as it stands in a supplier's list.
func listed(w *ware, supplier int) string {
	text := w.Description
	if supplier == 3 {
		return w.Number + " " + text
	}
	for _, r := range [][2]string{
		{"Front fork seal", "fork seal"},
		{"Fork oil seal", "fork seal"},
		{", single", ""},
		{"Dust seal (wiper)", "dust seal"},
		{"Wiper", "dust seal"},
		{"Bushing for the ", "bush "},
	} {
		text = strings.Replace(text, r[0], r[1], 1)
	}
	switch n := w.packAt(supplier); {
	case w.Unit == catalog.Millilitre:
		text += fmt.Sprintf(" %d L", n/1000)
	case n == 2 && !strings.HasSuffix(text, "pair"):
		text += " pair"
	case n > 2:
		text += fmt.Sprintf(" pack %d", n)
	}
	return strings.ToUpper(text)
}

// itemNumber numbers an item in the supplier's own way.
func (b *book) itemNumber(o offer) string {
	series := fmt.Sprint("item", o.supplier)
	b.counts[series]++
	n := b.counts[series]
	switch o.supplier {
	case 0:
		return fmt.Sprintf("W%06d", 200_000+37*n) + b.variant("-")
	case 1:
		return fmt.Sprintf("%02d.%03d", 40+n/250, 4*(n%250)) + b.variant(".")
	case 2:
		return fmt.Sprintf("ES/%d", 7000+3*n) + b.variant("/")
	}
	return "T " + o.ware.Number
}

// strange is what stands in the lists and was never used, each in six sizes.
var strange = []string{
	"STEERING HEAD BEARING %dx%d TAPERED",
	"WHEEL BEARING %dx%dx14 2RS",
	"SHAFT SEAL %dx%dx7",
	"BRAKE PISTON SEAL SET %d/%d",
	"SWINGARM BUSH %dx%d NYLON",
	"AXLE SPACER %dx%d ALU",
	"HANDLEBAR CLAMP %d-%d BLACK",
	"CHAIN SLIDER %d %d UNIVERSAL",
	"SHOCK SEAL HEAD %dx%d",
	"LEVER PIVOT BOLT SET %d %d",
	"RADIATOR HOSE %d/%d STRAIGHT",
	"FOOTPEG SPRING %d %d",
	"CABLE GUIDE %d %d",
	"EXHAUST GASKET %dx%d RING",
}
