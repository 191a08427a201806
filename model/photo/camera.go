package photo

import (
	"math"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/num/quat"
	"gonum.org/v1/gonum/spatial/r3"
)

// fromSquare maps the unit square onto four corners (Heckbert, Fundamentals of Texture Mapping, 1989, 2.2.3);
// nil where they are none.
func fromSquare(c [4]point) func(p point) point {
	u, v := c[2].to(c[1]), c[2].to(c[3])
	off := point{c[0].x - c[1].x + c[2].x - c[3].x, c[0].y - c[1].y + c[2].y - c[3].y}
	d := u.cross(v)
	if d == 0 {
		return nil
	}
	g, k := off.cross(v)/d, u.cross(off)/d
	right := point{c[1].x - c[0].x + g*c[1].x, c[1].y - c[0].y + g*c[1].y}
	down := point{c[3].x - c[0].x + k*c[3].x, c[3].y - c[0].y + k*c[3].y}
	return func(p point) point {
		w := g*p.x + k*p.y + 1
		return point{(right.x*p.x + down.x*p.y + c[0].x) / w, (right.y*p.x + down.y*p.y + c[0].y) / w}
	}
}

// A camera takes board coordinates to pixels: a pinhole and one radial term.
type camera struct {
	middle   point
	half     float64 // half the picture's diagonal (px)
	focal    float64 // px
	radial   float64 // by which the lens moves a corner outward, as a share
	rotation r3.Rotation
	shift    r3.Vec
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
	v := r3.Add(c.rotation.Rotate(r3.Vec{X: x, Y: y, Z: z}), c.shift)
	u := point{c.focal * v.X / v.Z, c.focal * v.Y / v.Z}
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
	back := r3.Rotation(quat.Conj(quat.Number(c.rotation))) // to board coordinates
	from, along := back.Rotate(r3.Scale(-1, c.shift)), back.Rotate(r3.Vec{X: u.x, Y: u.y, Z: c.focal})
	t := (z - from.Z) / along.Z
	return point{from.X + t*along.X, from.Y + t*along.Y}
}

// with is the camera with changed values, by those of the fit.
func (c *camera) with(x []float64) *camera {
	next := *c
	next.focal *= math.Exp(x[logFocal])
	next.radial = x[radial]
	turn := r3.Vec{X: x[turning], Y: x[turning+1], Z: x[turning+2]}
	by := quat.Number(r3.NewRotation(r3.Norm(turn), turn))
	next.rotation = r3.Rotation(quat.Mul(by, quat.Number(c.rotation)))
	next.shift = r3.Add(c.shift, r3.Vec{X: x[shifting], Y: x[shifting+1], Z: x[shifting+2]})
	// A longer lens sees the same from farther off.
	next.shift.Z *= math.Exp(x[logFocal])
	return &next
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
	c.rotation = r3.NewRotation(angle, r3.Vec{Z: 1})
	scale := math.Hypot(seen.x, seen.y) / math.Hypot(d.x, d.y)
	x, y := cos*from[0].x-sin*from[0].y, sin*from[0].x+cos*from[0].y
	c.shift = r3.Vec{X: to[0].x/scale - x, Y: to[0].y/scale - y, Z: c.focal / scale}
	return scale > 0.1 && !math.IsInf(scale, 0)
}

// leastSquares brings the sum of squares down from x (Levenberg and
// Marquardt) in some rounds, until a step gains less than a share, and says whether it settled.
func leastSquares(miss func(x []float64) []float64, x []float64, rounds int, tolerance float64) bool {
	n, damping := len(x), 1e-3
	r := miss(x)
	sum := floats.Dot(r, r)
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
			if now := floats.Dot(trial, trial); now <= sum {
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
