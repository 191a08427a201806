package photo

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// A homography maps a plane onto a picture.
type homography [9]float64

func (h homography) apply(p point) point {
	w := h[6]*p.x + h[7]*p.y + h[8]
	return point{(h[0]*p.x + h[1]*p.y + h[2]) / w, (h[3]*p.x + h[4]*p.y + h[5]) / w}
}

// fromSquare maps the unit square onto four corners.
func fromSquare(corners [4]point) (homography, bool) {
	return fitHomography([]point{{0, 0}, {1, 0}, {1, 1}, {0, 1}}, corners[:])
}

// fitHomography finds the homography between points by linear least squares, with its last term 1.
func fitHomography(from, to []point) (h homography, ok bool) {
	a, b := mat.NewDense(2*len(from), 8, nil), mat.NewVecDense(2*len(from), nil)
	for i, p := range from {
		q := to[i]
		a.SetRow(2*i, []float64{p.x, p.y, 1, 0, 0, 0, -p.x * q.x, -p.y * q.x})
		a.SetRow(2*i+1, []float64{0, 0, 0, p.x, p.y, 1, -p.x * q.y, -p.y * q.y})
		b.SetVec(2*i, q.x)
		b.SetVec(2*i+1, q.y)
	}
	var x mat.VecDense
	if x.SolveVec(a, b) != nil {
		return h, false
	}
	copy(h[:], x.RawVector().Data)
	h[8] = 1
	return h, true
}

// A camera takes board coordinates to pixels: a pinhole and one radial term.
type camera struct {
	middle   point
	half     float64 // half the picture's diagonal (px)
	focal    float64 // px
	radial   float64 // by which the lens moves a corner outward, as a share
	rotation [3][3]float64
	shift    [3]float64
}

// The values of a camera that the fit changes: log focal length, radial term, rotation vector, shift. After
// them come the marks' growth by print and edge, and each mark's shift and turn.
const (
	logFocal = iota
	radial
	turning
	shifting = turning + 3
	growth   = shifting + 3
	perMark  = growth + 1
)

// What is known before (1 sd): how well marks are pinned and corners found, and what lenses are like.
const (
	pinned     = 1.0 / 32 // in
	pinnedTurn = 0.02     // rad
	printed    = 0.02     // of half a mark's side, as a share
	cornerSD   = 0.12     // px
	focalSD    = 0.8
	radialSD   = 0.03
	usualFocal = 1.3 // of the picture's longer side
)

// project takes a place to pixels.
func (c *camera) project(x, y, z float64) point {
	var v [3]float64
	for i, row := range c.rotation {
		v[i] = row[0]*x + row[1]*y + row[2]*z + c.shift[i]
	}
	u := point{c.focal * v[0] / v[2], c.focal * v[1] / v[2]}
	grow := 1 + c.radial*u.dot(u)/(c.half*c.half)
	return point{c.middle.x + u.x*grow, c.middle.y + u.y*grow}
}

// onPlane is the place of the plane at z that is seen at a pixel.
func (c *camera) onPlane(at point, z float64) point {
	d := point{at.x - c.middle.x, at.y - c.middle.y}
	u := d
	for range 12 {
		grow := 1 + c.radial*u.dot(u)/(c.half*c.half)
		u = point{d.x / grow, d.y / grow}
	}
	ray := [3]float64{u.x / c.focal, u.y / c.focal, 1}
	var from, along [3]float64 // in board coordinates: -Rᵀ·shift, Rᵀ·ray
	for i := range 3 {
		for j := range 3 {
			from[i] -= c.rotation[j][i] * c.shift[j]
			along[i] += c.rotation[j][i] * ray[j]
		}
	}
	t := (z - from[2]) / along[2]
	return point{from[0] + t*along[0], from[1] + t*along[1]}
}

// with is the camera with changed values, by those of the fit.
func (c *camera) with(x []float64) *camera {
	next := *c
	next.focal *= math.Exp(x[logFocal])
	next.radial = x[radial]
	turn := rotate(x[turning], x[turning+1], x[turning+2])
	for i := range 3 {
		next.shift[i] += x[shifting+i]
		for j := range 3 {
			next.rotation[i][j] = 0
			for k := range 3 {
				next.rotation[i][j] += turn[i][k] * c.rotation[k][j]
			}
		}
	}
	// A longer lens sees the same from farther off.
	next.shift[2] *= math.Exp(x[logFocal])
	return &next
}

// rotate is the rotation by a vector (Rodrigues).
func rotate(x, y, z float64) (r [3][3]float64) {
	angle := math.Sqrt(x*x + y*y + z*z)
	s, v := 1.0, 0.5
	if angle > 1e-9 {
		s, v = math.Sin(angle)/angle, (1-math.Cos(angle))/(angle*angle)
	}
	cross := [3][3]float64{{0, -z, y}, {z, 0, -x}, {-y, x, 0}}
	for i := range 3 {
		for j := range 3 {
			r[i][j] = s * cross[i][j]
			for k := range 3 {
				r[i][j] += v * cross[i][k] * cross[k][j]
			}
		}
		r[i][i]++
	}
	return r
}

// corner is corner i of a mark from its middle, grown by a share and turned.
func corner(i int, grown, turn float64) point {
	half := MarkSide / 2 * (1 + grown)
	x, y := [4]float64{-half, half, half, -half}[i], [4]float64{-half, -half, half, half}[i]
	sin, cos := math.Sincos(turn)
	return point{x*cos - y*sin, x*sin + y*cos}
}

// fitCamera finds the camera that saw marks whose middles are known. A mark may have been pinned a little
// off, which off tells by mark (in).
func fitCamera(width, height int, marks []mark, places []point) (c *camera, off []point, ok bool) {
	w, h := float64(width), float64(height)
	c = &camera{middle: point{(w - 1) / 2, (h - 1) / 2}, half: math.Hypot(w, h) / 2,
		focal: usualFocal * max(w, h)}
	var from, to []point
	for i, m := range marks {
		for k, at := range m.corners {
			q := corner(k, 0, 0)
			from = append(from, point{places[i].x + q.x, places[i].y + q.y})
			to = append(to, point{at.x - c.middle.x, at.y - c.middle.y})
		}
	}
	if !c.start(from, to) {
		return nil, nil, false
	}
	miss := func(x []float64) (r []float64) {
		now := c.with(x)
		for i, m := range marks {
			own := x[perMark+3*i:][:3]
			for k, at := range m.corners {
				q := corner(k, x[growth], own[2])
				seen := now.project(places[i].x+own[0]+q.x, places[i].y+own[1]+q.y, 0)
				r = append(r, (seen.x-at.x)/cornerSD, (seen.y-at.y)/cornerSD)
			}
			r = append(r, own[0]/pinned, own[1]/pinned, own[2]/pinnedTurn)
		}
		return append(r, x[logFocal]/focalSD, x[radial]/radialSD, x[growth]/printed)
	}
	x := make([]float64, perMark+3*len(marks))
	if !leastSquares(miss, x, 100, 1e-9) {
		return nil, nil, false
	}
	for i := range marks {
		off = append(off, point{x[perMark+3*i], x[perMark+3*i+1]})
	}
	return c.with(x), off, true
}

// start places the camera square before the marks, turned and as far off as the first and the last say.
func (c *camera) start(from, to []point) bool {
	n := len(from) - 2 // opposite corners, of two marks
	d, seen := from[0].to(from[n]), to[0].to(to[n])
	angle := math.Atan2(d.cross(seen), d.dot(seen))
	sin, cos := math.Sincos(angle)
	c.rotation = [3][3]float64{{cos, -sin, 0}, {sin, cos, 0}, {0, 0, 1}}
	scale := math.Hypot(seen.x, seen.y) / math.Hypot(d.x, d.y)
	x, y := cos*from[0].x-sin*from[0].y, sin*from[0].x+cos*from[0].y
	c.shift = [3]float64{to[0].x/scale - x, to[0].y/scale - y, c.focal / scale}
	return scale > 0.1 && !math.IsInf(scale, 0)
}

// leastSquares brings the sum of squares down from x (Levenberg and
// Marquardt) in some rounds, until a step gains less than a share, and says whether it settled.
func leastSquares(miss func(x []float64) []float64, x []float64, rounds int, tolerance float64) bool {
	n, damping := len(x), 1e-3
	r := miss(x)
	sum := squares(r)
	for range rounds {
		slope := mat.NewDense(len(r), n, nil)
		for k := range x {
			was := x[k]
			x[k] = was + 1e-6
			for i, v := range miss(x) {
				slope.Set(i, k, (v-r[i])/1e-6)
			}
			x[k] = was
		}
		var normal mat.SymDense
		normal.SymOuterK(1, slope.T())
		var down mat.VecDense
		down.MulVec(slope.T(), mat.NewVecDense(len(r), r))
		for range 12 {
			damped := mat.NewSymDense(n, nil)
			damped.CopySym(&normal)
			for k := range n {
				damped.SetSym(k, k, normal.At(k, k)*(1+damping)+1e-12)
			}
			var chol mat.Cholesky
			var step mat.VecDense
			if !chol.Factorize(damped) || chol.SolveVecTo(&step, &down) != nil {
				damping *= 10
				continue
			}
			next := make([]float64, n)
			for k := range next {
				next[k] = x[k] - step.AtVec(k)
			}
			trial := miss(next)
			if now := squares(trial); now <= sum {
				settled := sum-now < tolerance*(1+sum)
				copy(x, next)
				r, sum, damping = trial, now, damping/10
				if settled {
					return true
				}
				break
			}
			damping *= 10
		}
		if damping > 1e9 {
			return !math.IsNaN(sum)
		}
	}
	return !math.IsNaN(sum)
}

func squares(r []float64) (sum float64) {
	for _, v := range r {
		sum += v * v
	}
	return sum
}
