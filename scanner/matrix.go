package scanner

import (
	"context"
	"strconv"
	"strings"
	"unicode"
)

// A matrixReader finds and reads the matrix symbols of planes, one after the
// other; what it needs is kept for the next.
type matrixReader struct {
	ink     ink
	finds   []finder
	blobs   blobber
	field   field
	bend    bend
	guesses []sizeGuess
	tries   int           // of sizes, in this plane
	done    []quad        // symbols read in this plane
	damaged []matrixFound // symbols of this plane that cannot be read
	first   view          // what the first look was taken at
	parts   []view        // of the picture, worth more than a first look
	blurred bool          // the picture is out of focus
	reduced bool          // the first look was taken at a smaller one
	plans   map[*dmSize]*dmPlan
	qrPlans map[int]*qrPlan
}

// A matrixFound is a matrix symbol that was decoded.
type matrixFound struct {
	plain string // QR or DataMatrix
	content
	load  float64 // share of the error correction that was needed
	wrong float64 // share of the fixed modules in the wrong colour
	at    quad
}

// matrixRungs are the steps of effort for matrix symbols, the cheap ones
// first, each to be tried where those before it found nothing: a look at the
// whole, then at its parts.
var matrixRungs = []func(*reader, context.Context, view){
	func(r *reader, ctx context.Context, v view) {
		r.matrix.first = v.atMost(mostAtOnce)
		r.matricesIn(ctx, r.matrix.first)
	},
	func(r *reader, ctx context.Context, v view) { // light on dark
		r.matrix.split(v, r.matrix.first)
		for _, part := range r.matrix.parts {
			r.matricesIn(ctx, part.atMost(mostAtOnce).negative())
		}
	},
	func(r *reader, ctx context.Context, _ view) { // out of focus, noise or print of dots, coarse, fine
		for _, part := range r.matrix.parts {
			near := part.atMost(mostSharpened)
			if r.matrix.blurred {
				r.matricesIn(ctx, near.focused(2, 5))
			} else {
				r.matricesIn(ctx, near.sharpened(1, 3))
				r.matricesIn(ctx, near.softened(1))
			}
			if len(near.pix) > fewPoints {
				r.matricesIn(ctx, near.halved())
			}
			if r.matrix.reduced {
				r.matricesIn(ctx, part)
			}
		}
	},
	func(r *reader, ctx context.Context, _ view) { // far out of focus
		for _, part := range r.matrix.parts {
			if r.matrix.blurred {
				r.matricesIn(ctx, part.atMost(mostSharpened).focused(3, 20))
			}
		}
	},
}

// split keeps the parts of v that are worth more than a first look, which was
// taken at small: all of it where it is small, else its regions.
func (m *matrixReader) split(v, small view) {
	m.parts, m.blurred, m.reduced = m.parts[:0], false, small.plane != v.plane
	if m.ink.plane != small.plane {
		return // not looked at
	}
	m.blurred = m.ink.soft()
	if len(v.pix) <= fewPoints {
		m.parts = append(m.parts, v)
		return
	}
	times := v.Width / small.Width
	for _, box := range m.ink.regions() {
		box.Min, box.Max = box.Min.Mul(times), box.Max.Mul(times)
		m.parts = append(m.parts, v.cut(box))
	}
}

// Sizes of planes, in points.
const (
	fewPoints     = 100_000 // looked at as a whole, not worth halving
	mostSharpened = 700_000
	mostAtOnce    = 3_000_000
)

// matrices adds the matrix symbols of v, with the effort of a rung.
func (r *reader) matrices(ctx context.Context, v view, rung int) {
	if rung < len(matrixRungs) && r.wants(QR, GS1QR, DataMatrix, GS1DataMatrix) {
		matrixRungs[rung](r, ctx, v)
	}
}

// matricesIn adds the matrix symbols of v, dark on light.
func (r *reader) matricesIn(ctx context.Context, v view) {
	if v.Width < leastSide || v.Height < leastSide || ctx.Err() != nil || !r.spend(0) {
		return
	}
	m := &r.matrix
	m.ink.of(v.plane)
	m.ink.most = r.effort() - r.spent
	m.done, m.damaged = m.done[:0], m.damaged[:0]
	inPicture := func(q quad) quad {
		for i, p := range q {
			q[i] = v.back(p.x-.5, p.y-.5)
		}
		return q
	}
	found := func(f matrixFound) { r.addMatrix(f, inPicture(f.at)) }
	m.finds = m.finds[:0]
	if r.wants(QR, GS1QR) {
		m.qrCodes(ctx, found)
	}
	if r.wants(DataMatrix, GS1DataMatrix) {
		m.dataMatrices(ctx, found, func(p point) bool { return r.known(v.back(p.x-.5, p.y-.5)) })
	}
	for _, f := range m.damaged {
		r.add(sighting{symbology: f.plain, need: 1, at: inPicture(f.at)})
	}
	r.spend(m.ink.looked)
}

// tiny is how many codewords a Data Matrix symbol has at most that is not
// believed when much of its error correction was needed and its frame is not
// whole: it is so small that the correction makes sense of noise now and then.
const (
	tiny      = 18
	muchLoad  = .5
	muchWrong = .05
)

// sure reports whether one reading is enough.
func (f *matrixFound) sure() bool {
	return f.plain != DataMatrix || f.words > tiny || f.load <= muchLoad || f.wrong <= muchWrong
}

// addMatrix adds a symbol; at is its place in the picture. What no label says
// as text is believed only as bytes, and where nothing is in doubt.
func (r *reader) addMatrix(f matrixFound, at quad) {
	symbology, text := matrixText(f.plain, f.modifier, f.text)
	if text == "" {
		return
	}
	if f.raw == nil && strings.ContainsFunc(text, unprintable) {
		f.raw = []byte(text)
	}
	if f.raw != nil && (f.load > muchLoad || f.wrong > muchWrong || f.words <= tiny && f.load+f.wrong > 0) {
		return
	}
	need, aim := 1, "]Q"
	if f.plain == DataMatrix {
		aim = "]d"
	}
	if !f.sure() {
		need = 2
	}
	aim += strconv.Itoa(f.modifier)
	r.add(sighting{symbology: symbology, text: text, raw: f.raw, aim: aim, votes: 1, need: need, at: at})
}

// unprintable reports control characters that no label has: all but the line
// ends, TAB, and the separators of element strings and ISO/IEC 15434.
func unprintable(c rune) bool {
	return unicode.IsControl(c) && !strings.ContainsRune("\n\r\t\x04\x1c\x1d\x1e\x1f", c)
}
