package photo

import (
	"image"
	"image/color"
	"image/png"
	"io"
	"math"
	"strconv"
)

// A drawing is a small copy of a picture that is drawn on.
type drawing struct {
	*image.RGBA
	k int
}

// Show writes a small copy of a picture as PNG, with what was read of it: the marks, the stickers with their
// stations' numbers from the handle out, the line.
func (r *Reading) Show(w io.Writer, p *Picture) error {
	d := drawing{image.NewRGBA(image.Rect(0, 0, p.w, p.h)), p.k}
	for i := range p.w * p.h {
		d.Pix[4*i], d.Pix[4*i+1], d.Pix[4*i+2], d.Pix[4*i+3] = p.rgb[3*i], p.rgb[3*i+1], p.rgb[3*i+2], 255
	}
	blue, red := color.RGBA{0, 180, 255, 255}, color.RGBA{255, 40, 40, 255}
	white := color.RGBA{255, 255, 255, 255}
	for _, m := range r.marks {
		for i, c := range m.corners {
			d.line(c, m.corners[(i+1)%4], blue)
		}
		d.number(m.corners[0].on(m.corners[2], 0.5), m.number, blue)
	}
	for _, s := range r.stations {
		d.ring(s, 1, white) // seen, but perhaps no station
	}
	for side, row := range r.seen {
		for i, s := range row {
			if s.radius > 0 {
				d.ring(s, 1.6, red)
				d.number(point{s.middle.x, s.middle.y - float64(3*side+4)*s.radius}, i+1, red)
			}
		}
	}
	if r.hook.radius > 0 {
		d.ring(r.hook, 2, blue)
	}
	if a, b := r.handle[0], r.handle[1]; a.radius > 0 && b.radius > 0 {
		d.ring(a, 2, blue)
		d.ring(b, 2, blue)
		d.line(a.middle.on(b.middle, -8), a.middle.on(b.middle, 9), blue)
	}
	return png.Encode(w, d)
}

// dot sets a pixel at a place of the whole picture.
func (d drawing) dot(at point, c color.RGBA) {
	for i := range 4 {
		d.SetRGBA(int(at.x/float64(d.k))+i%2, int(at.y/float64(d.k))+i/2, c)
	}
}

func (d drawing) line(a, b point, c color.RGBA) {
	n := a.far(b) / float64(d.k)
	for i := 0.0; i <= n; i++ {
		d.dot(a.on(b, i/max(n, 1)), c)
	}
}

func (d drawing) ring(s sticker, by float64, c color.RGBA) {
	for i := range 120 {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / 120)
		d.dot(point{s.middle.x + by*s.radius*cos, s.middle.y + by*s.radius*sin}, c)
	}
}

// digits are 3 by 5 dots each, rows from the top, three bits a row.
const digits = "75557262277174771717557117471774757711117575775717"

// number writes a number around a place.
func (d drawing) number(at point, n int, c color.RGBA) {
	dot := 2 * float64(d.k)
	for i, r := range strconv.Itoa(n) {
		for y := range 5 {
			bits := digits[5*int(r-'0')+y] - '0'
			for x := range 3 {
				if bits>>(2-x)&1 == 1 {
					d.dot(point{at.x + dot*float64(4*i+x-2), at.y + dot*float64(y-2)}, c)
				}
			}
		}
	}
}
