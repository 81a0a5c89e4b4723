#!/bin/sh
# Makes the symbols of this folder with zint 2.11.1 and ImageMagick 6.9.
set -eu
cd "$(dirname "$0")"
make() {
	zint -b "$1" --scale=1 --quietzones --height=40 --notext -d "$3" -o "$2.png"
	convert "$2.png" -colorspace Gray -bordercolor white -border 12 -depth 8 -strip "$2.png"
}
make 25 code93 'OB-39.5 X'
make 25 code93_ascii 'Seal/39x52?'
make 18 codabar 'A31117-206.5B'
make 18 codabar_c 'C294/586+1:2$D'
for args in 'databar 40 9520123456788' 'databar_low 13 1003398870112'; do
	set -- $args
	zint -b 29 --scale=1 --height="$2" --notext -d "$3" -o "$1.png"
	convert "$1.png" -colorspace Gray -bordercolor white -border 12 -depth 8 -strip "$1.png"
done
convert databar.png -background white -rotate 25 -gaussian-blur 0x0.6 -quality 70 databar_turned.jpg
convert code93.png -background white -rotate 17 -gaussian-blur 0x0.7 -quality 70 code93_turned.jpg
convert codabar.png -background white -rotate -68 -gaussian-blur 0x0.7 -quality 70 codabar_turned.jpg
convert codabar_c.png -rotate 180 +level 35%,75% -attenuate 0.2 +noise Gaussian -colorspace Gray -depth 8 codabar_noise.jpg
