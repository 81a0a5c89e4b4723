#!/bin/sh
# Makes the pictures of this folder and manifest.tsv, one line a symbol:
# file, symbology, text ({GS} is byte 0x1D), clean yes or no, how made.
#
# The encoder is zint, independent of the program that is tested; it refuses
# a wrong check digit in the texts below (to EAN-8 and ITF-14 it adds the digit itself). Made with zint 2.11.1 and
# ImageMagick 6.9.11; other versions give other pixels. All texts are
# invented: GTINs have the GS1 demonstration prefix 952 or the in-store
# prefixes 040 to 049; an EAN-13 that begins with 0 is the same bars as UPC-A.
set -eu
cd "$(dirname "$0")"
rm -f ./*.png ./*.jpg
printf '# file\tsymbology\ttext\tclean\thow\n' >manifest.tsv
tmp=$(mktemp -d)
trap 'rm -rf "$tmp"' EXIT

note() { printf '%s\t%s\t%s\t%s\t%s\n' "$@" >>manifest.tsv; }

# bar NAME NUMBER DATA SCALE OPTION...: a symbol without frame into $tmp.
bar() {
	name=$1 number=$2 data=$3 scale=$4
	shift 4
	zint -b "$number" -d "$data" --scale="$scale" --quietzones "$@" -o "$tmp/$name.png"
}

# grey IN OUT OPERATION...: a small grey file, the same bytes every time.
grey() {
	in=$1 out=$2
	shift 2
	convert -seed 7 "$in" "$@" -colorspace Gray -depth 8 -strip -define png:exclude-chunks=date,time "$out"
}

# degrade NAME SYMBOLOGY TEXT HOW OPERATION...: NAME of $tmp, made worse.
degrade() {
	name=$1 symbology=$2 text=$3 how=$4 file="$1-$4"
	shift 4
	case $how in *jpeg*) file=$file.jpg ;; *) file=$file.png ;; esac
	grey "$tmp/$name.png" "$file" -bordercolor white -border 20 "$@"
	note "$file" "$symbology" "$text" no "zint, then $*"
}

# whole NAME SYMBOLOGY TEXT: NAME of $tmp as it is.
whole() {
	grey "$tmp/$1.png" "$1.png" -bordercolor white -border 10
	note "$1.png" "$2" "$3" yes "zint"
}

# One symbol each, clean.
gs1='[01]09520123456788[17]310531[10]B-42/7[30]12'
gs1text='010952012345678817310531''10B-42/7{GS}3012'
bar ean13 13 9520123456788 1 --height=40
bar ean13-own 13 0400000000176 1 --height=40
bar ean8 13 9521234 1 --height=40
bar upca 34 952100039520 1 --height=40
bar upce 38 01234565 1 --height=40
bar ean13-two 13 952012345678+12 1 --height=40
bar ean13-five 13 952012345678+54321 1 --height=40
bar upce-five 38 01234565+51234 1 --height=40
bar code128 20 KB-39-52-11 1 --height=40
bar code128-bin 20 A-03-2 1 --height=40
bar code128-check102 20 KB-AKE 1 --height=40
bar code128-digits 20 395211004300 1 --height=40
bar code39 8 KB-39-52-11 1 --height=40
bar itf 89 1952100039521 1 --height=40
bar gs1128 16 "$gs1" 1 --height=40
bar gs1128-sscc 16 '[00]395210000000000019' 1 --height=40
bar qr 58 'KB-39-52-11;2;pair' 2 --secure=2
bar qr-umlaut 58 'Gabel 39 mm, Dämpferöl' 2 --secure=2
bar gs1qr 58 "$gs1" 2 --gs1 --secure=2
bar datamatrix 71 KB-43-55-10-5 2 --square
bar datamatrix-long 71 'https://id.example.test/01/09520123456788' 2
bar gs1dm 71 "$gs1" 2 --gs1 --square
whole ean13 ean13 9520123456788
whole ean13-own upca 400000000176
whole ean8 ean8 95212340
whole upca upca 952100039520
whole upce upce 01234565
whole ean13-two ean13 9520123456788 # add-on 12
whole ean13-five ean13 9520123456788 # add-on 54321
whole upce-five upce 01234565 # add-on 51234
whole code128 code128 KB-39-52-11
whole code128-bin code128 A-03-2
whole code128-check102 code128 KB-AKE
whole code128-digits code128 395211004300
whole code39 code39 KB-39-52-11
whole itf itf 19521000395210
whole gs1128 gs1_128 "$gs1text"
whole gs1128-sscc gs1_128 00395210000000000019
whole qr qr 'KB-39-52-11;2;pair'
whole qr-umlaut qr 'Gabel 39 mm, Dämpferöl'
whole gs1qr gs1_qr "$gs1text"
whole datamatrix datamatrix KB-43-55-10-5
whole datamatrix-long datamatrix 'https://id.example.test/01/09520123456788'
whole gs1dm gs1_datamatrix "$gs1text"

# Turned ones.
for turn in 90 180 270; do
	grey "$tmp/ean13.png" "ean13-turned$turn.png" -bordercolor white -border 10 -rotate $turn
	note "ean13-turned$turn.png" ean13 9520123456788 yes "zint, then -rotate $turn"
	grey "$tmp/gs1dm.png" "gs1dm-turned$turn.png" -bordercolor white -border 10 -rotate $turn
	note "gs1dm-turned$turn.png" gs1_datamatrix "$gs1text" yes "zint, then -rotate $turn"
done

# Made worse: what a phone does in a workshop.
while read -r name symbology text; do
	degrade "$name" "$symbology" "$text" blur -gaussian-blur 0x1
	degrade "$name" "$symbology" "$text" noise -attenuate 0.7 +noise Gaussian
	degrade "$name" "$symbology" "$text" tilt8 -background white -rotate 8
	degrade "$name" "$symbology" "$text" tilt25 -background white -rotate -25
	degrade "$name" "$symbology" "$text" faint +level '45%,62%'
	degrade "$name" "$symbology" "$text" jpeg -gaussian-blur 0x0.6 -quality 18
done <<END
ean13 ean13 9520123456788
code128 code128 KB-39-52-11
qr qr KB-39-52-11;2;pair
gs1dm gs1_datamatrix $gs1text
END
for name in ean8 upce itf code39; do
	text=$(awk -F '\t' -v f="$name.png" '$1 == f { print $3 }' manifest.tsv)
	degrade "$name" "$name" "$text" blur -gaussian-blur 0x0.8
	degrade "$name" "$name" "$text" jpeg -gaussian-blur 0x0.6 -quality 18
done
degrade code128 code128 KB-39-52-11 negative -negate
degrade gs1dm gs1_datamatrix "$gs1text" negative -negate

# sheet OUT CLEAN SIZE HOW then lines "x y name symbology text": many symbols
# on one white sheet, with print beside them.
sheet() {
	out=$1 clean=$2 size=$3 how=$4
	set -- -size "$size" canvas:white -font DejaVu-Sans -pointsize 15 -fill black
	while read -r x y name symbology text; do
		set -- "$@" "$tmp/$name.png" -geometry "+$x+$y" -composite -annotate "+$x+$((y - 6))" "Pos. $name"
		note "$out" "$symbology" "$text" "$clean" "$how"
	done
	convert -seed 7 "$@" "$tmp/sheet.png"
}

bar a 20 KB-39-52-11 1 --height=40
bar b 20 KB-43-55-10 1 --height=40
bar c 20 WP-41-54 1 --height=40
bar d 20 BU-41-20 1 --height=40
bar e 20 CL-54 1 --height=40
bar f 20 OR-24-2.5 1 --height=40
bar g 13 9521000395213 1 --height=40
bar h 13 9521000415317 1 --height=40

# A bag: a GTIN beside the maker's number.
sheet bag.png yes 680x150 'two symbols side by side' <<END
20 30 g ean13 9521000395213
300 30 a code128 KB-39-52-11
END
grey "$tmp/sheet.png" bag.png
# A bag: GTIN above the maker's number and a Data Matrix beside them.
sheet bag-three.png yes 520x330 'three symbols on a label' <<END
30 30 h ean13 9521000415317
30 190 b code128 KB-43-55-10
360 90 gs1dm gs1_datamatrix $gs1text
END
grey "$tmp/sheet.png" bag-three.png
# The same pack twice in one picture, and four times.
sheet twice.png yes 300x330 'equal symbols one above the other' <<END
20 30 g ean13 9521000395213
20 190 g ean13 9521000395213
END
grey "$tmp/sheet.png" twice.png
sheet four.png yes 560x330 'equal symbols in a square' <<END
20 30 g ean13 9521000395213
300 30 g ean13 9521000395213
20 190 g ean13 9521000395213
300 190 g ean13 9521000395213
END
grey "$tmp/sheet.png" four.png
sheet matrix-pair.png yes 360x160 'equal matrix symbols' <<END
20 30 gs1dm gs1_datamatrix $gs1text
200 30 gs1dm gs1_datamatrix $gs1text
END
grey "$tmp/sheet.png" matrix-pair.png
sheet qr-three.png yes 540x160 'equal and different QR symbols' <<END
20 30 qr qr KB-39-52-11;2;pair
180 30 gs1qr gs1_qr $gs1text
360 30 qr qr KB-39-52-11;2;pair
END
grey "$tmp/sheet.png" qr-three.png
# A delivery slip, clean and as a photo.
slip() {
	sheet "$1" "$2" 760x900 "$3" <<END
40 60 a code128 KB-39-52-11
420 60 b code128 KB-43-55-10
40 200 c code128 WP-41-54
420 200 d code128 BU-41-20
40 340 e code128 CL-54
420 340 f code128 OR-24-2.5
40 480 a code128 KB-39-52-11
420 480 g ean13 9521000395213
40 640 h ean13 9521000415317
420 660 qr qr KB-39-52-11;2;pair
END
}
slip slip.png yes 'delivery slip'
grey "$tmp/sheet.png" slip.png
slip slip-photo.jpg no 'delivery slip, tilted 2 degrees, blurred, noise, JPEG 60'
grey "$tmp/sheet.png" slip-photo.jpg -background gray80 -rotate 2 -gaussian-blur 0x0.6 +level 8%,88% \
	-attenuate 0.15 +noise Gaussian -quality 60
slip slip-tilt.jpg no 'delivery slip, tilted 20 degrees, JPEG 60'
grey "$tmp/sheet.png" slip-tilt.jpg -background gray80 -rotate 20 -quality 60

# Symbols that are easily counted wrong: close together, crossed by a scratch,
# on their corner, framed and close to the rim of the page.
sheet twice-close.png yes 300x260 'equal symbols, the second right below the print of the first' <<END
20 30 g ean13 9521000395213
20 136 g ean13 9521000395213
END
grey "$tmp/sheet.png" twice-close.png
grey "$tmp/code128.png" code128-scratched.png -bordercolor white -border 10 -fill white \
	-draw 'rectangle 0,40 400,45' -draw 'rectangle 0,70 400,72'
note code128-scratched.png code128 KB-39-52-11 yes 'zint, then two white lines across all bars'
grey "$tmp/code128.png" code128-blot.png -bordercolor white -border 10 -fill black -draw 'rectangle 110,35 200,70'
note code128-blot.png code128 KB-39-52-11 yes 'zint, then a black blot over a third of the bars'
grey "$tmp/upce.png" upce-tilt45.png -bordercolor white -border 20 -background white -rotate 45
note upce-tilt45.png upce 01234565 no 'zint, then -rotate 45'
grey "$tmp/itf.png" itf-rim.png -bordercolor white -border 1 -background gray30 -rotate 34
note itf-rim.png itf 19521000395210 no 'zint, then -background gray30 -rotate 34'

# Bars of which nobody can make out a text: both ends are covered.
grey "$tmp/code128.png" covered.png -bordercolor white -border 10 -fill white \
	-draw 'rectangle 0,0 60,200' -draw 'rectangle 290,0 400,200'
note covered.png - bars yes 'zint, then both ends painted white'

# Nothing to read.
convert -size 300x200 canvas:white -depth 8 -strip blank.png
convert -size 420x200 canvas:white -font DejaVu-Sans -pointsize 16 -annotate +20+40 'Delivery note 4711' \
	-annotate +20+80 '2 pcs KB-39-52-11  39x52x11' -annotate +20+120 '||| || ||| | |||| || | ||| ||' \
	-depth 8 -strip print.png
convert -seed 7 -size 320x240 plasma:gray30-gray70 -colorspace Gray -depth 8 -strip -quality 70 clouds.jpg
for f in blank.png clouds.jpg; do note "$f" - - yes 'nothing to read'; done
note print.png - bars yes 'print with a row of strokes, no symbol'
