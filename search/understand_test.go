package search

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"forkstock/catalog"
	"forkstock/internal/measure"
)

const mm = measure.Millimetre

// The bikes and forks of the tests are invented.
func vocabulary() *Vocabulary {
	return NewVocabulary([]Bike{
		{"Talvi", "600"},
		{"Talvi", "Lumi 900"},
		{"Talvi", "Lumi 900 S"},
		{"Kuru", "Sorvo 50"},
		{"Kuru", "Sorvo 500"},
		{"Kuru", "GT"},
	}, []string{"UD-43", "Kuru 39 DR"})
}

// The words are those of the trade: common practice, no source.
func TestUnderstand(t *testing.T) {
	seal := []catalog.Role{catalog.OilSeal}
	leg := func(l measure.Length) []measure.Length { return []measure.Length{l} }
	size := []measure.Size{{Inner: 39 * mm, Outer: 52 * mm, Height: 11 * mm}}
	for _, tt := range []struct {
		text string
		want Query
	}{
		{"39 mm seal", Query{Lengths: leg(39 * mm), Roles: seal}},
		{"39mm fork seals", Query{Lengths: leg(39 * mm), Roles: seal}},
		{"Ø39 Gabeldichtring", Query{Lengths: leg(39 * mm), Roles: seal}},
		{"Dichtring 39", Query{Lengths: leg(39 * mm), Roles: seal}},
		{"seal 41,3", Query{Lengths: leg(41_300), Roles: seal}},
		{"39", Query{Lengths: leg(39 * mm)}},
		{"80", Query{Words: []string{"80"}}},
		{"talvi 900 seal", Query{Roles: seal, Bikes: []Bike{{"Talvi", "Lumi 900"}, {"Talvi", "Lumi 900 S"}}}},
		{"talvi 900 s", Query{Bikes: []Bike{{"Talvi", "Lumi 900 S"}}}},
		{"kuru 900", Query{Make: "Kuru", Words: []string{"900"}}},
		{"39x52x11", Query{Sizes: size}},
		{"oil seal 39-52-11 in stock", Query{Sizes: size, Roles: seal, InStock: true}},
		{"Staubkappen vorrätig", Query{Roles: []catalog.Role{catalog.Wiper}, InStock: true}},
		{"dust-seal", Query{Roles: []catalog.Role{catalog.Wiper}}},
		{"oil seal, wiper", Query{Roles: []catalog.Role{catalog.OilSeal, catalog.Wiper}}},
		{"drain bolt", Query{Roles: []catalog.Role{catalog.BottomBolt, catalog.DrainScrew}}},
		{"drain bolt washer", Query{Roles: []catalog.Role{catalog.BottomWasher, catalog.DrainWasher}}},
		{"crush washer 10", Query{Lengths: leg(10 * mm), Roles: []catalog.Role{catalog.BottomWasher, catalog.DrainWasher}}},
		{"Stuetzscheibe", Query{Roles: []catalog.Role{catalog.BackupWasher}}},
		{"FORK CAP O RING", Query{Roles: []catalog.Role{catalog.CapORing}}},
		{"seal kit 41 mm", Query{Lengths: leg(41 * mm), Roles: []catalog.Role{catalog.Kit}}},
		{"bolt M8x30", Query{
			Threads: []measure.Thread{{Series: "M", Nominal: "8"}}, Long: 30 * mm,
			Roles: []catalog.Role{catalog.BottomBolt, catalog.DrainScrew},
		}},
		{"M8 30 mm", Query{Threads: []measure.Thread{{Series: "M", Nominal: "8"}}, Long: 30 * mm}},
		{"Bodenschraube 30 mm", Query{Long: 30 * mm, Roles: []catalog.Role{catalog.BottomBolt}}},
		{"8 mm bolt 30", Query{
			Lengths: leg(8 * mm), Long: 30 * mm, Roles: []catalog.Role{catalog.BottomBolt, catalog.DrainScrew},
		}},
		{"52 seal 39", Query{Lengths: []measure.Length{39 * mm, 52 * mm}, Roles: seal}},
		{"11 mm 39 mm seal", Query{Lengths: []measure.Length{39 * mm, 11 * mm}, Roles: seal}},
		{"M10 x 1,25 Bodenschraube", Query{
			Threads: []measure.Thread{{Series: "M", Nominal: "10", Pitch: 1250}}, Roles: []catalog.Role{catalog.BottomBolt},
		}},
		{"wiper Talvi 600 2001", Query{
			Roles: []catalog.Role{catalog.Wiper}, Bikes: []Bike{{"Talvi", "600"}}, Year: 2001,
		}},
		{"wiper talvi600 '98", Query{Roles: []catalog.Role{catalog.Wiper}, Bikes: []Bike{{"Talvi", "600"}}, Year: 1998}},
		{"600", Query{Words: []string{"600"}}}, // without its make it may be anything
		{"lumi 900 s seal", Query{Roles: seal, Bikes: []Bike{{"Talvi", "Lumi 900 S"}}}},
		{"Lumi seal", Query{Roles: seal, Bikes: []Bike{{"Talvi", "Lumi 900"}, {"Talvi", "Lumi 900 S"}}}},
		{"Sorvo 50 seal 39", Query{Roles: seal, Bikes: []Bike{{"Kuru", "Sorvo 50"}}, Lengths: leg(39 * mm)}},
		{"Sorvo 50 mm seal", Query{
			Roles: seal, Bikes: []Bike{{"Kuru", "Sorvo 50"}, {"Kuru", "Sorvo 500"}}, Lengths: leg(50 * mm),
		}},
		{"GT seal", Query{Roles: seal, Words: []string{"GT"}}},
		{"Kuru GT seal", Query{Roles: seal, Bikes: []Bike{{"Kuru", "GT"}}}},
		{"clip ud 43", Query{Roles: []catalog.Role{catalog.Clip}, Fork: "UD-43"}},
		{"kuru 39 dr", Query{Fork: "Kuru 39 DR"}},
		{"2001", Query{Words: []string{"2001"}}},
		{"gabeldichtrng 39", Query{Roles: seal, Lengths: leg(39 * mm), Read: []Reading{{"gabeldichtrng", "Gabeldichtring"}}}},
		{"gabelsimm", Query{Roles: seal, Read: []Reading{{"gabelsimm", "Gabelsimmerring"}}}},
		{"gabeld", Query{Words: []string{"gabeld"}}}, // a seal or a kit
		{"wipr Tlavi 600", Query{
			Roles: []catalog.Role{catalog.Wiper}, Bikes: []Bike{{"Talvi", "600"}},
			Read: []Reading{{"wipr", "wiper"}, {"Tlavi 600", "Talvi 600"}},
		}},
		{"Tlavi wiper 600", Query{
			Roles: []catalog.Role{catalog.Wiper}, Bikes: []Bike{{"Talvi", "600"}}, Read: []Reading{{"Tlavi", "Talvi"}},
		}},
		{"Talvi 601 seal", Query{Roles: seal, Make: "Talvi", Words: []string{"601"}}}, // 601 is not 600
		{"coil", Query{Words: []string{"coil"}}},
		{"Talvi601 seal", Query{Roles: seal, Words: []string{"Talvi601"}}},
		{"seat", Query{Words: []string{"seat"}}}, // the index knows it, so it is not read as seal
		{"KB-1042 orvelk", Query{Words: []string{"KB-1042", "orvelk"}}},
		{"fork", Query{Words: []string{"fork"}}},
		{"39/52/11 seal", Query{Sizes: size, Roles: seal}},
		{"wiper talvi600 Bj. 01", Query{Roles: []catalog.Role{catalog.Wiper}, Bikes: []Bike{{"Talvi", "600"}}, Year: 2001}},
		{"39 52 11", Query{Sizes: size}},
		{"seal 39 by 52 by 11 mm", Query{Sizes: size, Roles: seal}},
		{"39x52 seal 11", Query{Sizes: size, Roles: seal}},
		{"Talvi 600 39 52 11 2001", Query{Sizes: size, Bikes: []Bike{{"Talvi", "600"}}, Year: 2001}},
		{"52x39x11", Query{Sizes: size, Read: []Reading{{"52x39x11", size[0]}}}},
		{"52 39 11 seal", Query{Sizes: size, Roles: seal, Read: []Reading{{"52 39 11", size[0]}}}},
		{"52 x 39 x 11", Query{Sizes: size, Read: []Reading{{"52 x 39 x 11", size[0]}}}},
		{"39 52 11 2", Query{Sizes: size, Words: []string{"2"}}},
		{"39 80", Query{Lengths: leg(39 * mm), Words: []string{"80"}}},            // twice as wide as its hole
		{"39 52 40", Query{Lengths: []measure.Length{39 * mm, 52 * mm, 40 * mm}}}, // higher than its hole is wide
		{"02 39 52", Query{Sizes: []measure.Size{{Inner: 39 * mm, Outer: 52 * mm}}, Words: []string{"02"}}},
		{"washer 10 14", Query{
			Sizes: []measure.Size{{Inner: 10 * mm, Outer: 14 * mm}},
			Roles: []catalog.Role{catalog.BottomWasher, catalog.DrainWasher, catalog.BackupWasher},
		}},
		{"10 14", Query{Words: []string{"10", "14"}}},
		{"Bodenschraube 25 30", Query{
			Lengths: leg(30 * mm), Long: 25 * mm, Roles: []catalog.Role{catalog.BottomBolt},
		}},
		{"Sorvo 50 39 52", Query{Sizes: []measure.Size{{Inner: 39 * mm, Outer: 52 * mm}}, Bikes: []Bike{{"Kuru", "Sorvo 50"}}}},
		{`seal 1.535"`, Query{Lengths: leg(39 * mm), Roles: seal, Read: []Reading{{`1.535"`, 39 * mm}}}},
		{"1 3/8 in", Query{Lengths: leg(34_900), Read: []Reading{{"1 3/8 in", measure.Length(34_900)}}}},
		{"seal 2 in stock", Query{Roles: seal, InStock: true, Words: []string{"2"}}},
		{"seals for 41 mm leg", Query{Lengths: leg(41 * mm), Roles: seal}},
		{"41er Standrohr", Query{Lengths: leg(41 * mm), Tube: "inner"}},
		{"legs", Query{Words: []string{"legs"}}},
		{"left", Query{Words: []string{"left"}}},
		{"left leg seal", Query{Roles: seal, Leg: "left"}},
		{"oil seel 39", Query{Roles: seal, Lengths: leg(39 * mm), Read: []Reading{{"oil seel", "oil seal"}}}},
		{"oil seat", Query{Roles: []catalog.Role{catalog.Oil}, Words: []string{"seat"}}},
		{"drian bolt", Query{
			Roles: []catalog.Role{catalog.BottomBolt, catalog.DrainScrew}, Read: []Reading{{"drian bolt", "drain bolt"}},
		}},
		{"Gabelstaubkappen", Query{
			Roles: []catalog.Role{catalog.Wiper}, Read: []Reading{{"Gabelstaubkappen", "Staubkappe"}},
		}},
		{"Bremsscheibe", Query{Words: []string{"Bremsscheibe"}}},
		{"USD-Gabel lagernd", Query{Layout: "upside-down", InStock: true}},
		{"Talvi 600 2001-2004", Query{Bikes: []Bike{{"Talvi", "600"}}, Year: 2001, Until: 2004}},
		{"Talvi 600 2001/04", Query{Bikes: []Bike{{"Talvi", "600"}}, Year: 2001, Until: 2004}},
		{"Talvi 600 98-04", Query{Bikes: []Bike{{"Talvi", "600"}}, Year: 1998, Until: 2004}},
		{"36 39 41 seal", Query{Lengths: []measure.Length{36 * mm, 39 * mm, 41 * mm}, Roles: seal}},
		{"2 39 52 11", Query{Sizes: size, Words: []string{"2"}}},
		{"39 mal 52 auf 11", Query{Sizes: size}},
		{"39x52 seal 41 mm", Query{
			Sizes: []measure.Size{{Inner: 39 * mm, Outer: 52 * mm}}, Lengths: leg(41 * mm), Roles: seal,
		}},
		{"39 52 11 12 2", Query{
			Sizes: []measure.Size{{Inner: 39 * mm, Outer: 52 * mm, Height: 11 * mm, Overall: 12 * mm}}, Words: []string{"2"},
		}},
		{"usd motorcycle", Query{Layout: "upside-down"}},
		{"Talvi 600 2004-2001", Query{Bikes: []Bike{{"Talvi", "600"}}, Words: []string{"2004-2001"}}},
		{"Talvi 600 2001 bis 2004", Query{Bikes: []Bike{{"Talvi", "600"}}, Year: 2001, Until: 2004}},
		{"Talvi 600 2004 2001", Query{Bikes: []Bike{{"Talvi", "600"}}, Year: 2004, Words: []string{"2001"}}},
		{" - ", Query{}},
		{"od 54", Query{Partly: measure.Size{Outer: 54 * mm}}},
		{"seal 43 od 54", Query{Sizes: []measure.Size{{Inner: 43 * mm, Outer: 54 * mm}}, Roles: seal}},
		{"46 id 58 od seal", Query{Sizes: []measure.Size{{Inner: 46 * mm, Outer: 58 * mm}}, Roles: seal}},
		{"id 46 od 58 height 9.5 seal", Query{Sizes: []measure.Size{{Inner: 46 * mm, Outer: 58 * mm, Height: 9500}}, Roles: seal}},
		{"39 seal height 9,5", Query{Lengths: leg(39 * mm), Partly: measure.Size{Height: 9500}, Roles: seal}},
		{"Dichtring 39 9,5 mm hoch", Query{Lengths: leg(39 * mm), Partly: measure.Size{Height: 9500}, Roles: seal}},
		{"Außendurchmesser 58,1 Dichtring", Query{Partly: measure.Size{Outer: 58_100}, Roles: seal}},
		{"seal od 52 in stock", Query{Partly: measure.Size{Outer: 52 * mm}, Roles: seal, InStock: true}},
		{"od 2.047 in seal", Query{Partly: measure.Size{Outer: 52 * mm}, Roles: seal}},
		{"clip for bore 59 wire 2", Query{Partly: measure.Size{Outer: 59 * mm, Height: 2 * mm}, Roles: []catalog.Role{catalog.Clip}}},
		{"clip 53x1.8", Query{Partly: measure.Size{Outer: 53 * mm, Height: 1800}, Roles: []catalog.Role{catalog.Clip}}},
		{"o-ring 33 x 2,4", Query{
			Sizes: []measure.Size{{Inner: 33 * mm, Outer: 37_800, Height: 2400}}, Roles: []catalog.Role{catalog.CapORing, "base_valve_oring"},
		}},
		{"washer 10x1.5", Query{
			Partly: measure.Size{Inner: 10 * mm, Height: 1500}, Roles: []catalog.Role{catalog.BottomWasher, catalog.DrainWasher, catalog.BackupWasher},
		}},
		{"bolt M8 30 long", Query{
			Threads: []measure.Thread{{Series: "M", Nominal: "8"}}, Long: 30 * mm, Roles: []catalog.Role{catalog.BottomBolt, catalog.DrainScrew},
		}},
		{"10.9 bolt M8", Query{
			Threads: []measure.Thread{{Series: "M", Nominal: "8"}}, Roles: []catalog.Role{catalog.BottomBolt, catalog.DrainScrew},
			Words: []string{"10.9"},
		}},
		{"1.535 x 2.047 x 0.433 in seal", Query{Sizes: size, Roles: seal, Read: []Reading{{"1.535 x 2.047 x 0.433 in", size[0]}}}},
		{"1.535\" x 2.047\" seal", Query{
			Sizes: []measure.Size{{Inner: 39 * mm, Outer: 52 * mm}}, Roles: seal,
			Read: []Reading{{"1.535\" x 2.047\"", measure.Size{Inner: 39 * mm, Outer: 52 * mm}}},
		}},
		{"1 1/2in seal", Query{Lengths: leg(38_100), Roles: seal, Read: []Reading{{"1 1/2in", measure.Length(38_100)}}}},
		{"copper washer 10", Query{
			Lengths: leg(10 * mm), Roles: []catalog.Role{catalog.BottomWasher, catalog.DrainWasher}, Prefer: []string{"copper"},
		}},
		{"Aluscheibe", Query{Roles: []catalog.Role{catalog.BottomWasher, catalog.DrainWasher}, Prefer: []string{"aluminium"}}},
		{"slider bushing 41", Query{
			Lengths: leg(41 * mm), Roles: []catalog.Role{catalog.LowerBushing}, Slider: true, Layout: "conventional",
		}},
		{"Talvi 600 slider bush", Query{
			Bikes: []Bike{{"Talvi", "600"}}, Roles: []catalog.Role{catalog.LowerBushing}, Slider: true,
		}},
		{"bushing stanchion 41", Query{Lengths: leg(41 * mm), Roles: []catalog.Role{catalog.TubeBushing}, Tube: "inner"}},
		{"bushing 41 Tauchrohr", Query{Lengths: leg(41 * mm), Roles: []catalog.Role{catalog.LowerBushing}, Tube: "outer"}},
		{"stanchion 41", Query{Lengths: leg(41 * mm), Tube: "inner"}},
		{"seal kit with clip, no wipers", Query{
			Roles: []catalog.Role{catalog.Kit}, With: [][]catalog.Role{{catalog.Clip}}, Without: []catalog.Role{catalog.Wiper},
		}},
		{"bin A-02-1", Query{Shelf: true, Words: []string{"A-02-1"}}},
		{"staubkapppe", Query{Roles: []catalog.Role{catalog.Wiper}, Read: []Reading{{"staubkapppe", "Staubkappe"}}}},
		{"staubkkpppe", Query{Words: []string{"staubkkpppe"}}},     // two slips are too many
		{"zust seal", Query{Roles: seal, Words: []string{"zust"}}}, // no dust seal
		{"ztaubkappe", Query{Words: []string{"ztaubkappe"}}},       // words begin as they are typed
	} {
		v := vocabulary()
		v.Known = func(word string) bool { return word == "seat" || word == "coil" }
		tt.want.Text = tt.text
		if diff := cmp.Diff(trim(tt.want), Understand(tt.text, v)); diff != "" {
			t.Errorf("%q (-want +got):\n%s", tt.text, diff)
		}
	}
}

// A word that means something is not read as the slip of another.
func TestUnderstandMake(t *testing.T) {
	v := NewVocabulary([]Bike{{"Seel", "125"}}, nil)
	want := Query{Text: "oil seel", Roles: []catalog.Role{catalog.Oil}, Make: "Seel"}
	if diff := cmp.Diff(want, Understand("oil seel", v)); diff != "" {
		t.Errorf("-want +got:\n%s", diff)
	}
}

func trim(q Query) Query {
	if q.Text == " - " {
		q.Text = "-"
	}
	return q
}
