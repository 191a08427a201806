package photo

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// A Colour is one that stickers may have: wood has none of them.
type Colour string

// hues are the middles of the colours on the wheel (degrees), and how far they reach.
func (c Colour) hue() (middle, reach float64) {
	switch c {
	case "green":
		return 135, 38
	case "blue":
		return 218, 30
	case "pink":
		return 328, 20
	}
	return 0, 0
}

// ParseColours reads the colours of the stations' stickers and of the handle's, such as "green, blue".
func ParseColours(text string) (stations, handle Colour, err error) {
	words := strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return r == ',' || r == ' ' })
	for _, word := range words {
		if _, reach := Colour(word).hue(); reach == 0 {
			return "", "", fmt.Errorf("%.20q is no sticker's colour. Type two of green, blue, pink", word)
		}
	}
	if len(words) != 2 || words[0] == words[1] {
		return "", "", fmt.Errorf("type two of green, blue, pink: the stations' and the handle's")
	}
	return Colour(words[0]), Colour(words[1]), nil
}

// A sticker is a round spot: its middle and radius (px).
type sticker struct {
	middle point
	radius float64
}

// The stickers that are taken: their diameters (in) and how much paler than pure they may be.
const (
	leastAcross, mostAcross = 0.22, 1.0
	leastPure               = 0.28
	leastBright             = 25
)

// findStickers finds round spots of a colour, given how many pixels an inch about has.
func (p *Picture) findStickers(of Colour, perInch float64) (found []sticker) {
	middle, reach := of.hue()
	mask := make([]bool, p.w*p.h)
	for at := range mask {
		r, g, b := int(p.rgb[3*at]), int(p.rgb[3*at+1]), int(p.rgb[3*at+2])
		high, low := max(r, g, b), min(r, g, b)
		if high < leastBright || float64(high-low) < leastPure*float64(high) {
			continue
		}
		var hue float64
		switch d := float64(high - low); high {
		case r:
			hue = 60 * float64(g-b) / d
		case g:
			hue = 120 + 60*float64(b-r)/d
		default:
			hue = 240 + 60*float64(r-g)/d
		}
		off := math.Abs(math.Mod(hue-middle+540, 360) - 180)
		mask[at] = off <= reach
	}
	small := perInch / float64(p.k)
	least := max(int(0.4*leastAcross*leastAcross*small*small), 4)
	round := slices.DeleteFunc(blobs(mask, p.w, least), func(b blob) bool {
		w, h := float64(b.width()), float64(b.height())
		return max(w, h) > 1.4*mostAcross*small || max(w, h) > 2.2*min(w, h) || float64(b.n) < 0.45*w*h
	})
	usual := math.Pi / 16 * small * small // of half an inch across
	for _, b := range nearest(round, func(b blob) float64 { return math.Abs(math.Log(float64(b.n) / usual)) }) {
		c := point{p.full(float64(b.sumX) / float64(b.n)), p.full(float64(b.sumY) / float64(b.n))}
		if s, ok := p.round(c, float64(p.k)*math.Sqrt(float64(b.n)/math.Pi)); ok && s.radius > perInch*leastAcross/2 {
			found = append(found, s)
		}
	}
	return found
}

// A spot is looked at along rays from its middle.
const (
	rays = 48
	step = 0.5 // between looks along a ray (px)
)

// round fits an ellipse to the edge of a spot: along each ray the place halfway between the colour inside and
// that outside. What lies behind each side moves that a little, so a whole model follows. Not ok says that it
// isn't round.
func (p *Picture) round(c point, r float64) (s sticker, ok bool) {
	for range 3 {
		shape, used, spread, ok := fitEdge(p.look(c, r))
		if !ok || used < rays*5/10 {
			return s, false
		}
		c, r = point{c.x + shape[1], c.y + shape[2]}, shape[0]
		oval := math.Hypot(shape[3], shape[4]) / r
		if r < 2.5 || oval > 0.2 || spread > 0.1*r+0.4 {
			return s, false
		}
	}
	return p.model(c, r)
}

// A ray is what is seen along one: where the spot's colour gives way to what lies outside.
type ray struct{ angle, edge float64 }

// look follows all rays on which an edge is seen.
func (p *Picture) look(c point, r float64) (all []ray) {
	for k := range rays {
		angle := 2 * math.Pi * float64(k) / rays
		sin, cos := math.Sincos(angle)
		at := func(d float64) colour { return p.sample(c.x+d*cos, c.y+d*sin) }
		var in, out colour
		for i := range 5 {
			in.add(at(r*(0.2+0.1*float64(i))), 0.2)
			out.add(at(r*(1.3+0.1*float64(i))), 0.2)
		}
		axis := in
		axis.add(out, -1)
		square := axis.dot(axis)
		if math.Sqrt(square) < 0.12*max(in.most(), out.most()) {
			continue
		}
		last := 1.0
		for d := 0.4 * r; d <= 1.65*r; d += step {
			v := at(d)
			v.add(out, -1)
			share := v.dot(axis) / square
			if share < 0.5 && last >= 0.5 {
				all = append(all, ray{angle, d - step*(0.5-share)/(last-share)})
				break
			}
			last = share
		}
	}
	return all
}

// fitEdge fits r + a·cos + b·sin + c·cos2 + d·sin2 to an edge by least squares, leaving out what lies far
// off. It returns the shape, how many places it keeps, and their spread (1 sd).
func fitEdge(looks []ray) (shape [5]float64, used int, spread float64, ok bool) {
	keep := make([]bool, len(looks))
	for i := range keep {
		keep[i] = true
	}
	for range 4 {
		var normal [5][6]float64
		used = 0
		for i, l := range looks {
			if !keep[i] {
				continue
			}
			used++
			b := edgeBasis(l.angle)
			for j := range 5 {
				for k := range 5 {
					normal[j][k] += b[j] * b[k]
				}
				normal[j][5] += b[j] * l.edge
			}
		}
		if used < 12 || !solve5(&normal, &shape) {
			return shape, used, 0, false
		}
		var off []float64
		for _, l := range looks {
			off = append(off, math.Abs(l.edge-edgeAt(shape, l.angle)))
		}
		sorted := slices.Sorted(slices.Values(off))
		spread = 1.5 * sorted[len(sorted)/2]
		for i := range keep {
			keep[i] = off[i] <= 2.5*spread+0.15
		}
	}
	return shape, used, spread, true
}

// edgeAt is how far an edge of some shape lies from the middle, at an angle.
func edgeAt(shape [5]float64, angle float64) (edge float64) {
	for k, b := range edgeBasis(angle) {
		edge += shape[k] * b
	}
	return edge
}

func edgeBasis(angle float64) [5]float64 {
	sin, cos := math.Sincos(angle)
	return [5]float64{1, cos, sin, cos*cos - sin*sin, 2 * sin * cos}
}

// solve5 solves five linear equations, whose right side stands in the last column.
func solve5(a *[5][6]float64, x *[5]float64) bool {
	for i := range 5 {
		pivot := i
		for j := i + 1; j < 5; j++ {
			if math.Abs(a[j][i]) > math.Abs(a[pivot][i]) {
				pivot = j
			}
		}
		a[i], a[pivot] = a[pivot], a[i]
		if math.Abs(a[i][i]) < 1e-9 {
			return false
		}
		for j := i + 1; j < 5; j++ {
			f := a[j][i] / a[i][i]
			for k := i; k < 6; k++ {
				a[j][k] -= f * a[i][k]
			}
		}
	}
	for i := 4; i >= 0; i-- {
		x[i] = a[i][5]
		for k := i + 1; k < 5; k++ {
			x[i] -= a[i][k] * x[k]
		}
		x[i] /= a[i][i]
	}
	return true
}
