#!/bin/sh
# Makes the files of this folder from the symbols of ../../../testdata/pictures
# (EAN-13, Code 128, QR; all texts invented) with programs of other make:
# ImageMagick 6.9.11 for pictures, Ghostscript 10.00 for PDF. Other versions
# give other bytes.
set -eu
cd "$(dirname "$0")"
from=../../../testdata/pictures
a=$from/ean13.png b=$from/code128.png c=$from/qr.png
frame='-bordercolor white -border 20'
plain='-strip -define png:exclude-chunks=date,time'
rm -f ./*.jpg ./*.webp ./*.tif ./*.bmp ./*.gif ./*.pdf ./*.png ./*.heic ./*.avif

# JPEG: how the file is built.
convert "$a" $frame $plain -colorspace Gray -quality 85 grey.jpg
convert "$a" $frame $plain -colorspace sRGB -type TrueColor -sampling-factor 2x2 -quality 85 colour.jpg
convert "$a" $frame $plain -colorspace sRGB -type TrueColor -interlace JPEG -quality 85 progressive.jpg
convert "$a" $frame $plain -colorspace CMYK -quality 85 cmyk.jpg
convert "$a" $frame $plain -colorspace CMYK -interlace JPEG -quality 85 cmyk-progressive.jpg

# PNG: depths, palette, interlaced.
convert "$a" $frame $plain -depth 16 -colorspace Gray -define png:bit-depth=16 -define png:color-type=0 grey16.png
convert "$a" $frame $plain -define png:bit-depth=16 -define png:color-type=2 colour16.png
convert "$a" $frame $plain -type Palette -define png:color-type=3 palette.png
convert "$a" $frame $plain -interlace PNG -define png:color-type=2 -define png:bit-depth=8 interlaced.png
convert "$a" $frame $plain -define png:bit-depth=1 -define png:color-type=0 bilevel.png

# WebP: lossy, lossless, see-through.
convert "$a" $frame $plain -quality 85 lossy.webp
convert "$a" $frame $plain -define webp:lossless=true lossless.webp
convert "$a" $frame $plain -transparent white -quality 85 see-through.webp

# TIFF: compressions, depths, three pages.
for how in LZW Zip RLE Fax Group4; do
	convert "$a" $frame $plain -type Bilevel -compress "$how" "bilevel-$how.tif"
done
convert "$a" $frame $plain -colorspace Gray -depth 8 -compress LZW grey-LZW.tif
convert "$a" $frame $plain -colorspace Gray -depth 16 -compress Zip -endian MSB grey16-Zip.tif
convert "$a" $frame $plain -type TrueColor -depth 8 -compress Zip colour-Zip.tif
convert "$a" $frame $plain -type Palette -compress LZW palette.tif
convert "$a" $frame $plain -type TrueColor -define tiff:tile-geometry=64x64 -compress Zip tiles.tif
convert "$a" $frame $plain -type TrueColor -compress JPEG -quality 85 jpeg.tif
convert "$a" $frame $plain -type TrueColor -compress JPEG -quality 85 -define tiff:rows-per-strip=64 jpeg-strips.tif
convert "$a" $frame $plain -type TrueColor -compress JPEG -quality 85 -define tiff:tile-geometry=64x64 jpeg-tiles.tif
convert "$a" $frame $plain -colorspace Gray -depth 8 -compress JPEG -quality 85 -define tiff:rows-per-strip=32 jpeg-grey.tif
convert "$a" "$b" "$c" $frame $plain -colorspace Gray -depth 8 -compress Zip three.tif

# BMP and GIF.
convert "$a" $frame $plain -type Bilevel BMP3:bilevel.bmp
convert "$a" $frame $plain plain.gif
convert -delay 10 "$a" "$c" $frame $plain -interlace GIF moving.gif

# Not read.
convert "$a" $frame $plain photo.heic
convert "$a" $frame $plain photo.avif

# PDF: three pages of A4, the second lying; the same locked, and with rights
# withheld only.
ps=$(mktemp)
trap 'rm -f "$ps"' EXIT
page() { # PICTURE WIDTH HEIGHT
	size=$(identify -format '%w %h' "$1")
	set -- "$1" "$2" "$3" $size
	printf '<< /PageSize [%s %s] >> setpagedevice gsave 60 500 translate %s 1.5 mul %s 1.5 mul scale\n' "$2" "$3" "$4" "$5"
	printf '%s %s 8 [%s 0 0 -%s 0 %s] {<' "$4" "$5" "$4" "$5" "$5"
	convert "$1" -colorspace Gray -depth 8 gray:- | od -An -v -tx1 | tr -d ' \n'
	printf '>} image grestore showpage\n'
}
{
	echo '%!PS'
	page "$a" 595 842
	page "$b" 842 595
	page "$c" 595 842
} >"$ps"
pdf() { gs -q -dNOPAUSE -dBATCH -dSAFER -sDEVICE=pdfwrite "$@" "$ps"; }
pdf -sOutputFile=three.pdf
pdf -sOwnerPassword=o -sUserPassword=u -dEncryptionR=3 -dKeyLength=128 -dPermissions=-4 -sOutputFile=locked.pdf
pdf -sOwnerPassword=o -dEncryptionR=3 -dKeyLength=128 -dPermissions=-3904 -sOutputFile=rights.pdf
