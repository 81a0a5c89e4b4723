package scanner

// A warp leads from one plane to another as a camera does that looks at it
// from the side: x = (a*u + b*v + c) / (g*u + h*v + i), y likewise.
type warp struct{ a, b, c, d, e, f, g, h, i float64 }

// warpTo gives the warp of the unit square to q, (0,0) to the first corner and
// (1,0) to the second.
func warpTo(q quad) warp {
	sx := q[0].x - q[1].x + q[2].x - q[3].x
	sy := q[0].y - q[1].y + q[2].y - q[3].y
	dx1, dy1 := q[1].x-q[2].x, q[1].y-q[2].y
	dx2, dy2 := q[3].x-q[2].x, q[3].y-q[2].y
	var g, h float64
	if det := dx1*dy2 - dx2*dy1; det != 0 {
		g, h = (sx*dy2-dx2*sy)/det, (dx1*sy-sx*dy1)/det
	}
	return warp{
		q[1].x - q[0].x + g*q[1].x, q[3].x - q[0].x + h*q[3].x, q[0].x,
		q[1].y - q[0].y + g*q[1].y, q[3].y - q[0].y + h*q[3].y, q[0].y,
		g, h, 1,
	}
}

// at gives where (u,v) leads.
func (w *warp) at(u, v float64) point {
	n := 1 / (w.g*u + w.h*v + w.i)
	return point{(w.a*u + w.b*v + w.c) * n, (w.d*u + w.e*v + w.f) * n}
}

// inverse gives the way back, up to a factor, which does not matter.
func (w *warp) inverse() warp {
	return warp{
		w.e*w.i - w.f*w.h, w.c*w.h - w.b*w.i, w.b*w.f - w.c*w.e,
		w.f*w.g - w.d*w.i, w.a*w.i - w.c*w.g, w.c*w.d - w.a*w.f,
		w.d*w.h - w.e*w.g, w.b*w.g - w.a*w.h, w.a*w.e - w.b*w.d,
	}
}

// times gives the warp that goes through r first and then through w.
func (w *warp) times(r *warp) warp {
	return warp{
		w.a*r.a + w.b*r.d + w.c*r.g, w.a*r.b + w.b*r.e + w.c*r.h, w.a*r.c + w.b*r.f + w.c*r.i,
		w.d*r.a + w.e*r.d + w.f*r.g, w.d*r.b + w.e*r.e + w.f*r.h, w.d*r.c + w.e*r.f + w.f*r.i,
		w.g*r.a + w.h*r.d + w.i*r.g, w.g*r.b + w.h*r.e + w.i*r.h, w.g*r.c + w.h*r.f + w.i*r.i,
	}
}

// cornersOf gives where the corners of a field of cols by rows lie if the
// places from of the field are the points to.
func cornersOf(from, to quad, cols, rows float64) quad {
	there, back := warpTo(to), warpTo(from)
	back = back.inverse()
	w := there.times(&back)
	return quad{w.at(0, 0), w.at(cols, 0), w.at(cols, rows), w.at(0, rows)}
}

// fieldWarp gives the warp of a field of cols by rows to q.
func fieldWarp(q quad, cols, rows int) warp {
	w := warpTo(q)
	fu, fv := 1/float64(cols), 1/float64(rows)
	w.a, w.d, w.g = w.a*fu, w.d*fu, w.g*fu
	w.b, w.e, w.h = w.b*fv, w.e*fv, w.h*fv
	return w
}
