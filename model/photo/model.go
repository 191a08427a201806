package photo

import (
	"math"

	"gonum.org/v1/gonum/floats"
)

// The values of a spot's model: its middle off where it is looked for, radius and ovalness; the blur; the
// edge of the limb beside it, by its direction and distance; and the light of the spot, and on both sides of
// that edge, in red, green and blue.
const (
	spotX = iota
	spotY
	spotRadius
	spotOval
	spotSkew
	spotBlur
	edgeAngle
	edgeOff
	spotLight
	nearLight = spotLight + 3
	farLight  = nearLight + 3
	spotCount = farLight + 3
)

// What is known of a spot before (1 sd, px or as a share of the radius), and how well a picture shows light.
const (
	blurSD   = 0.8
	ovalSD   = 0.03
	edgeSD   = 0.15
	chroma   = 0.9   // px by which pictures blur colour more than brightness
	storedSD = 0.015 // of full light, as stored

	mostPixelsOfSpot = 800
	mostOval         = 0.12 // of a spot that is round, by perspective
	mostMisfit       = 4    // mean square of what the model misses (sd)
)

// model fits a disc of one colour before two others, which meet at a straight edge that touches it, all
// blurred alike, to the pixels around a spot that seems to lie somewhere. Not ok says that it isn't round.
func (p *Picture) model(c point, r float64) (s sticker, ok bool) {
	pixels := p.around(c, 1.5*r+1)
	x := start(pixels, r)
	before := [spotCount]float64{}
	copy(before[:], x)
	miss := func(x []float64) []float64 {
		out := make([]float64, 0, 3*len(pixels)+8)
		for _, q := range pixels {
			for i, v := range p.shade(x, q.at) {
				out = append(out, robust((v-q.seen[i])/storedSD))
			}
		}
		return append(out, (x[spotBlur]-before[spotBlur])/blurSD, x[spotOval]/(ovalSD*r), x[spotSkew]/(ovalSD*r),
			(x[edgeOff]-x[spotRadius])/(edgeSD*r), (x[edgeAngle]-before[edgeAngle])/0.3)
	}
	if !leastSquares(miss, x, 12, 1e-5) {
		return s, false
	}
	off := math.Hypot(x[spotX], x[spotY]) > 0.4*r+1 || math.Abs(x[spotRadius]/r-1) > 0.5 || x[spotRadius] < 2.5
	oval := math.Hypot(x[spotOval], x[spotSkew]) > mostOval*x[spotRadius]
	if off || oval || floats.Norm(miss(x), 2) > math.Sqrt(mostMisfit*float64(3*len(pixels))) {
		return s, false
	}
	// Blur moves the edge of a disc inward, by its curvature.
	wide := x[spotBlur]*x[spotBlur] + chroma*chroma/2
	return sticker{point{c.x + x[spotX], c.y + x[spotY]}, x[spotRadius] + wide/(2*x[spotRadius])}, true
}

// around are the pixels within reach of a place; of a large reach not every one is needed.
func (p *Picture) around(c point, reach float64) (pixels []pixel) {
	thin := 1 + int(math.Pi*reach*reach/mostPixelsOfSpot)
	for y := int(c.y - reach); y <= int(c.y+reach)+1; y++ {
		for x := int(c.x - reach); x <= int(c.x+reach)+1; x++ {
			d := point{float64(x) - c.x, float64(y) - c.y}
			if x < 0 || y < 0 || x >= p.Width || y >= p.Height || d.dot(d) > reach*reach ||
				(x+2*y)%thin != 0 {
				continue
			}
			red, green, blue := p.at(x, y)
			stored := colour{float64(red) / 255, float64(green) / 255, float64(blue) / 255}
			pixels = append(pixels, pixel{d, stored.parts(), p.sample(float64(x), float64(y))})
		}
	}
	return pixels
}

// A pixel near a spot: its place, brightness and colour as stored, and its light.
type pixel struct {
	at    point
	seen  [3]float64
	light colour
}

// parts are brightness and two differences of colour.
func (c colour) parts() [3]float64 { return [3]float64{c.grey(), c[0] - c[1], c[2] - c[1]} }

// robust keeps a residual from counting for more than some 4 sd.
func robust(v float64) float64 { return v / math.Sqrt(1+v*v/16) }

// start guesses a spot's values: light inside, and on both sides of the line that parts what is around best.
func start(pixels []pixel, r float64) []float64 {
	x := make([]float64, spotCount)
	x[spotRadius], x[spotBlur], x[edgeOff] = r, 1.2, r
	mean := func(from int, take func(q pixel) bool) (c colour) {
		n := 0.0
		for _, q := range pixels {
			if take(q) {
				c.add(q.light, 1)
				n++
			}
		}
		for i := range c {
			c[i] /= max(n, 1)
			x[from+i] = c[i]
		}
		return c
	}
	mean(spotLight, func(q pixel) bool { return q.at.dot(q.at) < 0.4*r*r })
	parted := func(angle float64) float64 {
		sin, cos := math.Sincos(angle)
		beyond := func(from int, way float64) colour {
			return mean(from, func(q pixel) bool {
				return q.at.dot(q.at) > 1.4*r*r && way*(q.at.x*cos+q.at.y*sin-r) > 0.1*r
			})
		}
		apart := beyond(farLight, 1)
		apart.add(beyond(nearLight, -1), -1)
		return apart.dot(apart)
	}
	most := -1.0
	for k := range 24 {
		angle := 2 * math.Pi * float64(k) / 24
		if d := parted(angle); d > most {
			most, x[edgeAngle] = d, angle
		}
	}
	parted(x[edgeAngle])
	return x
}

// shade is what the model shows at a place: brightness and colour as stored, the colour blurred more.
func (p *Picture) shade(x []float64, at point) (parts [3]float64) {
	d := point{at.x - x[spotX], at.y - x[spotY]}
	far := math.Hypot(d.x, d.y) + 1e-9
	cos, sin := d.x/far, d.y/far
	radius := x[spotRadius] + x[spotOval]*(cos*cos-sin*sin) + x[spotSkew]*2*sin*cos
	sinE, cosE := math.Sincos(x[edgeAngle])
	inside, beyond := radius-far, d.x*cosE+d.y*sinE-x[edgeOff]
	show := func(blur float64) colour {
		in, over := soft(inside/blur), soft(beyond/blur)
		var c colour
		for i := range c {
			c[i] = p.store(in*x[spotLight+i] + (1-in)*((1-over)*x[nearLight+i]+over*x[farLight+i]))
		}
		return c
	}
	bright := show(x[spotBlur])
	parts = bright.parts()
	if wide := math.Hypot(x[spotBlur], chroma); min(math.Abs(inside), math.Abs(beyond)) < sharp*wide {
		coloured := show(wide).parts()
		parts[1], parts[2] = coloured[1], coloured[2]
	}
	return parts
}

// sharp is how many sd from an edge its blur can still be seen.
const sharp = 4

// soft is a step blurred by one sd.
func soft(v float64) float64 {
	switch {
	case v > sharp:
		return 1
	case v < -sharp:
		return 0
	}
	return 1 / (1 + math.Exp(-1.702*v))
}
