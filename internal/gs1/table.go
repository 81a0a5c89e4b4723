package gs1

// facts is every application identifier, one line for all that are alike:
//
//	AIs | value | needs | not beside | link
//
// A value is one or more pieces: n digits, x any of the 82 characters of table
// 7.11-1, y of the 39 of table 7.11-2, z base64url; how many, or from 1 to how
// many; ? where it may be missing; then what else is checked, by the names of
// checks.go. Needs are the AIs of which one must be on the same item, & where
// two or more must; * is any digit. "Same" are the AIs with the same first
// three digits. Link says what the AI may be in a GS1 Digital Link: a dot, a
// data attribute; key, with the AIs that may follow it in the path, in order.
//
// Source: GS1 General Specifications, clauses 3.2 and 4.14, carried over as
// facts from GS1's Barcode Syntax Dictionary ff2eb4b of July 2026.
const facts = `
00 | n18:sum:owner2 | | | key
01 | n14:sum:owner2 | | 255 37 | key 22>10>21 235
02 | n14:sum:owner2 | 37 | 01 03 | .
03 | n14:sum:owner2 | | 01 02 37 235
10 | x1-20 | 01 02 03 8006 8026 | | .
11 13 15-16 | n6:month | 01 02 03 8006 8026 | | .
12 | n6:month | 8020 | | .
17 | n6:month | 01 02 03 255 8006 8026 | | .
20 | n2 | 01 02 03 8006 8026 | | .
21 | x1-20 | 01 03 8006 | 235
22 | x1-20 | 01
235 | x1-28 | 01
240-241 | x1-30 | 01 02 03 8006 8026 | | .
242 | n1-6 | 01 02 8006 8026 | | .
243 | x1-20 | 01 03 | | .
250 | x1-30 | 01&21 03&21 8006&21 | | .
251 | x1-30 | 01 03 8006 | | .
253 | n13:sum:owner x1-17? | | | key
254 | x1-20 | 414
255 | n13:sum:owner n1-12? | | 01 02 415 8006 8020 8026 | key
30 | n1-8 | 01 02 | | .
3100-3105 3110-3115 3120-3125 3130-3135 3140-3145 3150-3155 3160-3165 | n6 | 01 02 | same | .
3200-3205 3210-3215 3220-3225 3230-3235 3240-3245 3250-3255 3260-3265 | n6 | 01 02 | same | .
3270-3275 3280-3285 3290-3295 3500-3505 3510-3515 3520-3525 3560-3565 | n6 | 01 02 | same | .
3570-3575 3600-3605 3610-3615 3640-3645 3650-3655 3660-3665 | n6 | 01 02 | same | .
3300-3305 3310-3315 3320-3325 3330-3335 3340-3345 3350-3355 3360-3365 | n6 | 00 01 | same | .
3400-3405 3410-3415 3420-3425 3430-3435 3440-3445 3450-3455 3460-3465 | n6 | 00 01 | same | .
3470-3475 3480-3485 3490-3495 3530-3535 3540-3545 3550-3555 3620-3625 | n6 | 00 01 | same | .
3630-3635 3670-3675 3680-3685 3690-3695 | n6 | 00 01 | same | .
3370-3375 | n6 | 01 | same | .
37 | n1-8 | 00&02 00&8026 | | .
3900-3909 | n1-15 | 255 8020 | same 391* 394* 8111 | .
3910-3919 | n3:currency n1-15 | 8020 | same | .
3920-3929 | n1-15 | 01&30 01&31** 01&32** 01&35** 01&36** | same 393* | .
3930-3939 | n3:currency n1-15 | 30 31** 32** 35** 36** | same | .
3940-3943 | n4 | 255 | same 8111 | .
3950-3955 | n6 | 30 31** 32** 35** 36** | 392* 393* same 8005 | .
400 90 | x1-30 | | | .
401 | x1-30:owner | | | key
402 | n17:sum:owner | | | key
403 4308 4319 | x1-30 | 00 | | .
410-413 416 | n13:sum:owner | | | .
414 | n13:sum:owner | | | key 254 7040
415 | n13:sum:owner | 8020 | | key 8020
417 | n13:sum:owner | | | key 7040
420 | x1-20 | | 421 | .
421 | n3:country x1-9 | | 4307 | .
422 | n3:country | 01 02 03 8006 8026 | 426 | .
423 425 | n3:country n3?:country n3?:country n3?:country n3?:country | 01 02 03 | 426 | .
424 | n3:country | 01 02 03 | 426 | .
426 | n3:country | 01 02 03 | | .
427 | x1-3 | 01&422 02&422 03&422 | | .
4300-4301 4310-4311 4320 | x1-35:percent | 00 | | .
4302 4304-4306 4312 4314-4316 | x1-70:percent | 00 | | .
4303 | x1-70:percent | 4302 | | .
4307 4317 | x2:country2 | 00 | | .
4309 | n10:latitude n10:longitude | 00 | | .
4313 | x1-70:percent | 4312 | | .
4318 | x1-20 | 00 | | .
4321-4323 | n1:yesno | 00 | | .
4324-4325 | n6:month n4:clock | 00 | | .
4326 | n6:day | 00 | | .
4330 | n6 x1?:minus | 00 | 4331 | .
4331 | n6 x1?:minus | 00 | 4330 | .
4332 | n6 x1?:minus | 00 | 4333 | .
4333 | n6 x1?:minus | 00 | 4332 | .
7001 | n13 | 01 02 8006 8026 | | .
7002 | x1-30 | 01 02 | | .
7003 | n6:day n4:clock | 01 02 03 | | .
7004 | n1-4 | 01&10 03&10 | | .
7005 | x1-12 | 01 02 | | .
7006 | n6:day | 01 02 | | .
7007 | n6:day n6?:day | 01 02 | | .
7008 | x1-3 | 01 02 | | .
7009 | x1-10 | 01 02 | | .
7010 | x1-2 | 01 02 03 | | .
7011 | n6:day n4?:clock | 01 02 03 | | .
7020 | x1-20 | 01&416 03&416 8006&416 | | .
7021 8012 | x1-20 | 01 03 8006 | | .
7022 | x1-20 | 01&7021 03&7021 8006&7021 | | .
7023 | x1-30:owner | | | .
7030-7039 | n3:anycountry x1-27 | 01 02 | | .
7040 | n1 x1 x1 x1:index
7041 | x1-4:package | 00
710-717 | x1-20 | 01 | | .
7230-7239 | x2 x1-28 | 01 8004 | | .
7240 | x1-20 | 01 8006 | 03 | .
7241 | n2:medium | 8017 8018 | | .
7242 | x1-25 | 8017 8018 | | .
7250 | n8:fullday | 8018 | 7251 | .
7251 | n8:fullday n4:clock | 8018 | 7250 | .
7252 | n1:sex | 8018 | | .
7253-7254 | x1-40:percent | 8017 8018 | 7256 7259 | .
7255 | x1-10 | 8017 8018 | 7256 7259 | .
7256 | x1-90:percent | 8017 8018 | | .
7257 | x1-70:percent | 8018 | | .
7258 | x3:turn | 8018&7259 | | .
7259 | x1-40:percent | 8018 | 7256 | .
8001 | n4:nonzero n5:nonzero n3:nonzero n1:winding n1 | 01 | | .
8002 | x1-20 | | | .
8003 | n1:zero n13:sum:owner x1-16? | | | key
8004 | x1-30:owner | | | key 7040
8005 | n6 | 01 02 | | .
8006 | n14:sum:owner2 n4:piece | | 01 03 37 | key 22>10>21
8007 | x1-34:iban | 415 | | .
8008 | n6:day n2:hour n2?:minute n2?:minute | 01 02 03 | | .
8009 | x1-50 | 00 01 03 | | .
8010 | y1-30:owner | | | key 8011
8011 | n1-12:nolead | 8010
8013 | x1-25:pair:owner | | | key
8014 | x1-25:pair:owner:letter | 01
8017 | n18:sum:owner | | 8018 | key 8019
8018 | n18:sum:owner | | 8017 | key 8019
8019 | n1-10 | 8017 8018
8020 | x1-25 | 415
8026 | n14:sum:owner2 n4:piece | 37 | 02 03 8006 | .
8030 | z1-90 | 00 01&21 03&21 253 255 8003 8004 8006&21 8010&8011 8017 8018 | | .
8040 | n15 | 01&21
8041 | n15 | 01&21&8040
8042 | n32 | 01&21&8040
8043 | n18 n1-2? | 01&21&8040
8110 | x1-70:coupon | | | .
8111 | n4 | 255 | | .
8112 | x1-70:offer | | | .
8200 | x1-70 | 01
91-99 | x1-90 | | | .
`

// predefined is the whole length, AI included, of the element strings that
// need no FNC1 behind them, by the first two digits of the AI. The length
// holds for AIs that are not given out yet, too. Source: General
// Specifications, figure 7.8.4-2.
var predefined = map[string]int{
	"00": 20, "01": 16, "02": 16, "03": 16, "04": 18,
	"11": 8, "12": 8, "13": 8, "14": 8, "15": 8, "16": 8, "17": 8, "18": 8, "19": 8, "20": 4,
	"31": 10, "32": 10, "33": 10, "34": 10, "35": 10, "36": 10, "41": 16,
}
