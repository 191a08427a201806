package photo

import (
	"fmt"
	"math"
	"slices"

	"bendbook/model/measure"
)

// HandleBehind is how far behind the belly the handle's stickers have their middles (in): each is stuck on a
// white square of paper of twice that, one side of which lies along the belly. On white its edge is sharpest,
// and the line through both is what all stations hang on.
const HandleBehind = 0.5

// A Board is where the marks are, and how the stickers look.
type Board struct {
	Marks     [][2]float64 // the middles of marks 1, 2, … (in)
	Away      float64      // of the bow's side from the board (in)
	AwayError float64      // 1 sd (in)
	Stations  Colour
	Handle    Colour
	UpperLeft bool // the upper limb hangs towards negative x
}

// A Bow is what is known of the bow in a picture: the handle between its stickers, and the stations of the
// upper limb and the lower, from the handle out (in).
type Bow struct {
	Handle   float64
	Stations [2][]float64
}

// A Reading is what a picture tells.
type Reading struct {
	// At are the belly's distances from the line at the stations (in); what wasn't seen is unread.
	At [2][]measure.Optional[measure.Length]
	// Draw is the hook's distance from the line, where it has a sticker.
	Draw measure.Optional[measure.Length]

	marks    []mark
	handle   [2]sticker
	seen     [2][]sticker // radius 0 where not seen
	hook     sticker
	stations []sticker // all of the colour
}

// The marks without which no camera is placed, and how far one may be off its place (in).
const leastMarks, mostOff = 4, 0.25

const (
	errHandle  fault = "I don't see both stickers at the handle. Uncover them, or turn on the light"
	errFew     fault = "I see too few stickers on the limbs. Turn on the light, or step nearer"
	errCamera  fault = "the marks don't lie as the settings say. Measure their places again"
	errScale   fault = "the limbs' lengths don't fit the marks. Measure the marks' places and the stations"
	errNoMarks fault = "the settings name too few marks. Type the places of six or more"
)

// Read reads a bow off a picture. The error is one sentence, and what to do.
func Read(p *Picture, board Board, bow Bow) (Reading, error) {
	var r Reading
	if len(board.Marks) < leastMarks {
		return r, errNoMarks
	}
	var places []point
	for _, m := range p.findMarks() {
		if m.number <= len(board.Marks) {
			r.marks = append(r.marks, m)
			at := board.Marks[m.number-1]
			places = append(places, point{at[0], at[1]})
		}
	}
	if n := len(r.marks); n < leastMarks {
		return r, fault(fmt.Sprintf("I see %d of %d marks. Turn on the light, or step back", n, len(board.Marks)))
	}
	c, off, ok := fitCamera(p.Width, p.Height, r.marks, places)
	if !ok {
		return r, errCamera
	}
	for i, o := range off {
		if math.Hypot(o.x, o.y) > mostOff {
			return r, fmt.Errorf("mark %d isn't where the settings say. Measure its place again", r.marks[i].number)
		}
	}
	return r, r.read(p, c, board, bow)
}

// perInch is about how many pixels an inch of the bow has.
func (c *camera) perInch(away float64) float64 {
	return c.project(-5, 5, -away).far(c.project(5, 5, -away)) / 10
}

// spots are stickers as they lie in the plane of the bow.
func (c *camera) spots(all []sticker, away float64) (spots []spot) {
	for i, s := range all {
		at := c.onPlane(s.middle, -away)
		edge := c.onPlane(point{s.middle.x + s.radius, s.middle.y}, -away)
		spots = append(spots, spot{at, at.far(edge), i})
	}
	return spots
}

// A pose is a choice of the handle's stickers with the ways that follow from it.
type pose struct {
	ends [2]spot // upper, lower
	// behind is how far behind the belly the stations' stickers have their middles; the limbs begin there, too.
	behind float64
	ways   [2]way
	limbs  [2]limb
	cost   float64
}

func (r *Reading) read(p *Picture, c *camera, board Board, bow Bow) error {
	perInch := c.perInch(board.Away)
	r.stations = p.findStickers(board.Stations, perInch)
	handles := p.findStickers(board.Handle, perInch)
	spots, ends := c.spots(r.stations, board.Away), c.spots(handles, board.Away)
	best := pose{cost: math.Inf(1)}
	for _, a := range ends {
		for _, b := range ends {
			if now, ok := follow(a, b, spots, board, bow); ok && now.cost < best.cost {
				best = now
			}
		}
	}
	if math.IsInf(best.cost, 1) {
		return errHandle
	}
	if best.ways[0].n+best.ways[1].n < max(4, (len(bow.Stations[0])+len(bow.Stations[1]))/3) {
		return errFew
	}
	scale, err := best.scale(spots, board, bow)
	if err != nil {
		return err
	}
	best.measure(r, spots, scale)
	for side := range r.handle {
		r.handle[side] = handles[best.ends[side].index]
	}
	r.findHook(best, handles, spots, ends, scale)
	return nil
}

// follow tries two stickers as the handle's ends, the upper limb's first.
func follow(upper, lower spot, spots []spot, board Board, bow Bow) (now pose, ok bool) {
	d := lower.to(upper.point)
	apart := math.Hypot(d.x, d.y)
	if board.UpperLeft != (d.x < 0) || math.Abs(apart-bow.Handle) > 0.15+0.06*bow.Handle ||
		math.Abs(d.y) > 0.5*math.Abs(d.x) {
		return now, false
	}
	now.ends = [2]spot{upper, lower}
	out := point{d.x / apart, d.y / apart}
	sign := math.Copysign(1, out.x)
	down := point{-sign * out.y, sign * out.x}
	var sizes []float64
	for _, s := range spots {
		sizes = append(sizes, s.radius)
	}
	now.behind = median(sizes)
	off := HandleBehind - now.behind
	for side, end := range now.ends {
		root := point{end.x + off*down.x, end.y + off*down.y}
		now.limbs[side] = limb{root, out, down, bow.Stations[side]}
		now.ways[side] = now.limbs[side].follow(spots, looseScale)
		now.cost += now.ways[side].cost
		out = point{-out.x, -out.y}
	}
	return now, true
}

// median is the middle one of some numbers, 0 of none.
func median(v []float64) float64 {
	if len(v) == 0 {
		return 0
	}
	slices.Sort(v)
	return v[len(v)/2]
}

// How far the scale may be off before the limbs' lengths set it right, and how far it may be found to be.
const (
	looseScale = 0.04
	tightScale = 0.006
	mostScale  = 0.04
)

// scale finds by how much larger the bow looks than it is, and follows the limbs again by it. What is known
// of it beforehand is the bow's distance from the board.
func (ps *pose) scale(spots []spot, board Board, bow Bow) (scale float64, err error) {
	// As a share, seen from three metres; how far the camera stands is known to some 40%.
	away := math.Hypot(board.AwayError, 0.4*board.Away) / 120
	for range 2 {
		looks, is := 0.0, 0.0
		for side := range ps.ways {
			l, s := ps.length(side, spots)
			looks, is = looks+l, is+s
		}
		// A sticker at each end of what is measured is placed to a thirty-second.
		placed := 0.05 / max(is, 1)
		weight := away * away / (away*away + placed*placed)
		scale = 1 + weight*(looks/max(is, 1)-1)
		if math.Abs(scale-1) > mostScale || math.Abs(looks/max(is, 1)-1) > mostScale {
			return 0, errScale
		}
		scaled := make([]spot, len(spots))
		for i, s := range spots {
			scaled[i] = spot{point{s.x / scale, s.y / scale}, s.radius / scale, s.index}
		}
		for side := range ps.limbs {
			l := ps.limbs[side]
			l.root = point{l.root.x / scale, l.root.y / scale}
			ps.ways[side] = l.follow(scaled, tightScale)
		}
	}
	return scale, nil
}

// length is how long a limb looks from the handle to the last sticker seen, and how long it is.
func (ps *pose) length(side int, spots []spot) (looks, is float64) {
	l := &ps.limbs[side]
	var last point
	heading, before := 0.0, 0.0
	for i, at := range ps.ways[side].at {
		if at < 0 {
			continue
		}
		to := l.local(spots[at].point)
		d := last.to(to)
		now := math.Atan2(d.y, d.x)
		turned, span := now-heading, l.stations[i]-before
		looks += arc(math.Hypot(d.x, d.y), turned, spots[at].radius)
		is += span
		last, heading, before = to, now, l.stations[i]
	}
	return looks, is
}

// measure takes the readings off the ways. A sticker's edge lies at the belly, its middle a radius behind
// it, square to the limb.
func (ps *pose) measure(r *Reading, spots []spot, scale float64) {
	var sizes []float64
	for _, w := range ps.ways {
		for _, at := range w.at {
			if at >= 0 {
				sizes = append(sizes, spots[at].radius/scale)
			}
		}
	}
	radius := median(sizes)
	for side, w := range ps.ways {
		l := &ps.limbs[side]
		n := len(l.stations)
		r.At[side] = make([]measure.Optional[measure.Length], n)
		r.seen[side] = make([]sticker, n)
		at := []point{{}}
		index := []int{-1}
		for i, s := range w.at {
			if s < 0 || math.Abs(spots[s].radius/scale-radius) > 0.3*radius {
				continue
			}
			q := l.local(spots[s].point)
			at, index = append(at, point{q.x / scale, q.y / scale}), append(index, i)
		}
		for k := 1; k < len(at); k++ {
			before, after := at[k-1], at[min(k+1, len(at)-1)]
			d := before.to(after)
			y := at[k].y + radius*d.x/math.Hypot(d.x, d.y) - ps.behind/scale
			r.At[side][index[k]] = measure.Some(measure.Length(y))
			r.seen[side][index[k]] = r.stations[w.at[index[k]]]
		}
	}
}

// Farthest is how far off the line a limb is at its farthest.
func (r *Reading) Farthest() (most measure.Length) {
	for _, row := range r.At {
		for _, at := range row {
			most = max(most, at.Or(0))
		}
	}
	return most
}

// The string from nock to hook is about as long as its limb with half the handle, as shares of that to the
// outermost sticker; a long string is a little longer. The hook hangs near the middle (in).
const (
	leastString, mostString = 0.85, 1.15
	mostAside               = 1.5
)

// findHook looks for the one more sticker of the handle's colour, on the string's hook: farther off the line
// than the limbs, and as far from the outermost sticker of each as a taut string reaches.
func (r *Reading) findHook(ps pose, handles []sticker, spots, ends []spot, scale float64) {
	l := &ps.limbs[0]
	middle := l.root.on(ps.limbs[1].root, 0.5)
	half := ps.ends[0].far(ps.ends[1].point) / scale / 2
	taut := func(s spot) bool {
		for side, w := range ps.ways {
			if w.station < 0 {
				continue
			}
			share := s.far(spots[w.at[w.station]].point) / scale / (ps.limbs[side].stations[w.station] + half)
			if share < leastString || share > mostString {
				return false
			}
		}
		return true
	}
	var found []spot
	for _, s := range ends {
		d := middle.to(s.point)
		along, across := d.dot(l.out)/scale, d.dot(l.down)/scale
		if s.index != ps.ends[0].index && s.index != ps.ends[1].index && math.Abs(along) < mostAside &&
			across > max(float64(r.Farthest()), 3) && math.Abs(s.radius/ps.ends[0].radius-1) < 0.25 && taut(s) {
			found = append(found, s)
		}
	}
	if len(found) != 1 {
		return
	}
	r.hook = handles[found[0].index]
	r.Draw = measure.Some(measure.Length((middle.to(found[0].point).dot(l.down) - ps.behind) / scale))
}
