package measure

import "math/big"

// thou is a length in thousandths of an inch.
type thou int64

// micrometres converts t, rounded half to even.
func (t thou) micrometres() Length {
	um, _ := round(big.NewRat(int64(t)*254, 10), int64(longestLen))
	return Length(um)
}

// hundredths converts t, rounded to 0.01 mm, halves up.
func (t thou) hundredths() Length { return Length(t*254+50) / 100 * 10 }

// dashSize looks a dash number up.
func dashSize(dash int) (inner, section thou, ok bool) {
	for _, row := range as568 {
		if row.dash == dash {
			return row.inner, row.section, true
		}
	}
	return 0, 0, false
}

// as568 holds the O-rings of SAE AS568 (the inch-derived sizes of ISO 3601-1)
// for which two public tables, or one and the tolerance band of ISO 3601-1,
// agree; the standard itself was not seen. Tables are known to be wrong at
// 240, 250, 325 and 350, so those are left out.
var as568 = []struct {
	dash           int
	inner, section thou
}{
	{1, 29, 40},
	{2, 42, 50},
	{3, 56, 60},
	{4, 70, 70},
	{5, 101, 70},
	{6, 114, 70},
	{7, 145, 70},
	{10, 239, 70},
	{11, 301, 70},
	{12, 364, 70},
	{13, 426, 70},
	{14, 489, 70},
	{15, 551, 70},
	{16, 614, 70},
	{17, 676, 70},
	{18, 739, 70},
	{20, 864, 70},
	{28, 1364, 70},
	{29, 1489, 70},
	{30, 1614, 70},
	{31, 1739, 70},
	{32, 1864, 70},
	{33, 1989, 70},
	{110, 362, 103},
	{111, 424, 103},
	{112, 487, 103},
	{113, 549, 103},
	{114, 612, 103},
	{115, 674, 103},
	{116, 737, 103},
	{120, 987, 103},
	{128, 1487, 103},
	{130, 1612, 103},
	{132, 1737, 103},
	{210, 734, 139},
	{211, 796, 139},
	{212, 859, 139},
	{213, 921, 139},
	{214, 984, 139},
	{215, 1046, 139},
	{216, 1109, 139},
	{217, 1171, 139},
	{218, 1234, 139},
	{220, 1359, 139},
	{222, 1484, 139},
	{225, 1859, 139},
	{230, 2484, 139},
}
