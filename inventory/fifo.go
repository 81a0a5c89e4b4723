package inventory

// First in, first out, as a report: the ledger itself goes by the moving
// average (value.go), and this plays it again.

// layer is some pieces that came in together and are still there.
type layer struct {
	amount int64
	value  Value
}

// queue is the pieces of a part by age, the oldest first. Its zero value is an
// empty shelf.
type queue struct {
	layers []layer
	owed   int64 // pieces that went out before they came in by the book
}

// in brings pieces, value being that of all of them.
func (q *queue) in(amount int64, value Value) { q.bring(layer{amount, value}, false) }

// back brings pieces that went out before, to be used first.
func (q *queue) back(amount int64, value Value) { q.bring(layer{amount, value}, true) }

func (q *queue) bring(l layer, first bool) {
	if n := min(q.owed, l.amount); n > 0 {
		l.take(n)
		q.owed -= n
	}
	switch {
	case l.amount == 0:
	case first:
		q.layers = append([]layer{l}, q.layers...)
	default:
		q.layers = append(q.layers, l)
	}
}

// out takes pieces, the oldest first, and gives what those of known value did
// cost, and how many had none.
func (q *queue) out(amount int64) (cost, unknown int64) {
	for amount > 0 && len(q.layers) > 0 {
		l := &q.layers[0]
		n := min(amount, l.amount)
		v := l.take(n)
		if v.Known {
			cost += v.Minor
		} else {
			unknown += n
		}
		amount -= n
		if l.amount == 0 {
			q.layers = q.layers[1:]
		}
	}
	q.owed += amount
	return cost, unknown + amount
}

// take takes n of the pieces: their share of the value rounded half to even,
// the last ones all that is left.
func (l *layer) take(n int64) Value {
	v := l.value
	if v.Known {
		v.Minor = holding{known: l.amount, value: l.value.Minor}.price(n)
		l.value.Minor -= v.Minor
	}
	l.amount -= n
	return v
}

// left gives what is there: pieces of known value, their value, and the rest.
func (q *queue) left() holding {
	h := holding{unknown: -q.owed}
	for _, l := range q.layers {
		if l.value.Known {
			h.known, h.value = h.known+l.amount, h.value+l.value.Minor
		} else {
			h.unknown += l.amount
		}
	}
	return h
}
