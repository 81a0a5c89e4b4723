#!/bin/sh
# Makes the matrix symbols of this folder and manifest.tsv: file, symbology,
# text. The encoder is zint, independent of the program that is tested. Made
# with zint 2.11.1 and ImageMagick 6.9.11; other versions give other pixels.
set -eu
cd "$(dirname "$0")"
rm -f ./*.png
tmp=$(mktemp -d)
trap 'rm -rf "$tmp"' EXIT
printf '# file\tsymbology\ttext\n' >manifest.tsv

# put FILE SYMBOLOGY TEXT OPTION...
put() {
	file=$1 symbology=$2 text=$3
	shift 3
	zint "$@" -d "$text" --scale=1 --border=0 -o "$tmp/x.png"
	convert "$tmp/x.png" -bordercolor white -border 6 -colorspace Gray -depth 2 -strip -define png:exclude-chunks=date,time "$file"
	printf '%s\t%s\t%s\n' "$file" "$symbology" "$text" >>manifest.tsv
}

# Every size of Data Matrix: ISO/IEC 16022 and, from 31 on, ISO/IEC 21471.
n=0
while [ $((n += 1)) -le 48 ]; do
	dmre=
	[ $n -le 30 ] || dmre=--dmre
	text="KB-39-$n"
	case $n in 1) text=A1 ;; 2 | 25) text=KB2 ;; esac
	put "size$n.png" datamatrix "$text" -b 71 --vers=$n $dmre
done
# QR from the smallest to a large one.
for n in 1 2 6 7 14 25; do put "qr$n.png" qr "KB-39-52-$n" -b 58 --vers=$n --secure=2; done
# Character sets by name and without.
put utf8.png datamatrix 'Dämpfer 10 €' -b 71 --square --eci=26
put latin1.png datamatrix 'Dämpferöl' -b 71 --square --eci=3
put unnamed.png datamatrix 'Dämpferöl' -b 71 --square
put cyrillic.png datamatrix 'Вилка' -b 71 --square --eci=7
put qr-utf8.png qr 'Dämpfer 10 €' -b 58 --eci=26
put qr-unnamed.png qr 'Dämpferöl' -b 58
