package scanner

// soft reports whether k is out of focus: along its rows there is no step
// from dark to light that is not spread over several points.
func (k *ink) soft() bool {
	const steep, few = .29, 10 // share of the contrast in one point; every so manyth step
	l := &k.layers[0]
	crisp := 0
	for y := range k.Height {
		for _, x := range k.changes[k.rows[y]:k.rows[y+1]] {
			if x == 0 || int(x) == k.Width {
				continue
			}
			at := y*k.Width + int(x)
			step := int(k.pix[at]) - int(k.pix[at-1])
			spread := l.spread[y/cellSide*l.w+int(x)/cellSide]
			if float64(max(step, -step)) > steep*float64(spread) {
				crisp++
			}
		}
	}
	return crisp*few < len(k.changes)
}

// focused undoes blur that spreads each point over about radius points to all
// sides: a picture is looked for that, blurred so, is the one seen, in so many
// rounds, each of which corrects it by what is still missing (the method of
// Van Cittert). Noise grows with every round.
func (v view) focused(radius, rounds int) view {
	const gain = 1.5
	n := len(v.pix)
	now, soft, spare := make([]float32, n), make([]float32, n), make([]float32, n)
	for i, p := range v.pix {
		now[i] = float32(p)
	}
	for range rounds {
		// The mean of a square, twice, is nearly a bell curve.
		means(spare, now, v.Width, 1, v.Height, v.Width, radius)
		means(soft, spare, v.Width, 1, v.Height, v.Width, radius)
		means(spare, soft, v.Height, v.Width, v.Width, 1, radius)
		means(soft, spare, v.Height, v.Width, v.Width, 1, radius)
		for i, p := range v.pix {
			now[i] = min(max(now[i]+gain*(float32(p)-soft[i]), 0), 255)
		}
	}
	p := newPlane(v.Width, v.Height)
	for i, x := range now {
		p.pix[i] = byte(x + .5)
	}
	v.plane = p
	return v
}

// softened gives the view with each point the mean of those at most radius
// away.
func (v view) softened(radius int) view {
	w, h := v.Width, v.Height
	p, across := newPlane(w, h), newPlane(w, h)
	for y := range h {
		mean(across.pix[y*w:(y+1)*w], v.pix[y*w:(y+1)*w], radius)
	}
	sums := make([]int, w)
	for y := -radius; y < h; y++ {
		if y+radius < h {
			for x, c := range across.pix[(y+radius)*w : (y+radius+1)*w] {
				sums[x] += int(c)
			}
		}
		if y > radius {
			for x, c := range across.pix[(y-radius-1)*w : (y-radius)*w] {
				sums[x] -= int(c)
			}
		}
		if y >= 0 {
			n := min(y+radius, h-1) - max(y-radius, 0) + 1
			for x, s := range sums {
				p.pix[y*w+x] = byte(s / n)
			}
		}
	}
	v.plane = p
	return v
}

// means sets each of to to the mean of those of from at most radius away, in
// lines of n values that lie step apart; the lines begin stride apart.
func means(to, from []float32, n, step, lines, stride, radius int) {
	for line := range lines {
		first := line * stride
		sum, count := float32(0), 0
		for i := -radius; i < n; i++ {
			if i+radius < n {
				sum += from[first+(i+radius)*step]
				count++
			}
			if i > radius {
				sum -= from[first+(i-radius-1)*step]
				count--
			}
			if i >= 0 {
				to[first+i*step] = sum / float32(count)
			}
		}
	}
}
