package photo

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/makiuchi-d/gozxing/qrcode/decoder"
	"github.com/makiuchi-d/gozxing/qrcode/encoder"
)

// A mark is a QR code (ISO/IEC 18004, version 1) in a black square frame. In modules: the frame is 2 thick,
// the white between frame and code as well.
const (
	codeSize   = 21
	frame      = 2
	quiet      = 2
	markSize   = codeSize + 2*(frame+quiet)
	markPrefix = "BB"
)

// MarkSide is a mark's side over its black frame (in).
const MarkSide = 4.0

// Modules are a mark's black squares, row by row.
func Modules(number int) ([][]bool, error) {
	text := fmt.Sprint(markPrefix, number)
	code, err := encoder.Encoder_encodeWithoutHint(text, decoder.ErrorCorrectionLevel_H)
	if err != nil {
		return nil, fmt.Errorf("drawing mark %d: %w", number, err)
	}
	all := make([][]bool, markSize)
	for y := range all {
		all[y] = make([]bool, markSize)
		for x := range all[y] {
			edge := min(x, y, markSize-1-x, markSize-1-y)
			i, j := x-frame-quiet, y-frame-quiet
			inCode := min(i, j, codeSize-1-i, codeSize-1-j) >= 0
			all[y][x] = edge < frame || inCode && code.GetMatrix().Get(i, j) == 1
		}
	}
	return all, nil
}

type point struct{ x, y float64 }

func (p point) to(q point) point            { return point{q.x - p.x, q.y - p.y} }
func (p point) cross(q point) float64       { return p.x*q.y - p.y*q.x }
func (p point) dot(q point) float64         { return p.x*q.x + p.y*q.y }
func (p point) far(q point) float64         { return math.Hypot(q.x-p.x, q.y-p.y) }
func (p point) on(q point, t float64) point { return point{p.x + t*(q.x-p.x), p.y + t*(q.y-p.y)} }

// A mark is one that was found: its number, and its corners from the upper left clockwise, as printed.
type mark struct {
	number  int
	corners [4]point
}

// findMarks finds the marks in a picture. One number seen twice counts as not seen.
func (p *Picture) findMarks() (found []mark) {
	seen := map[int]int{}
	frames := slices.DeleteFunc(blobs(p.dark(), p.w, 60), func(b blob) bool {
		w, h := b.width(), b.height()
		// A frame is hollow, and about as wide as high.
		return min(w, h) < 20 || max(w, h) > 2*min(w, h) || b.n > w*h*6/10
	})
	for _, b := range nearest(frames, func(b blob) float64 { return -float64(b.n) }) {
		corners, ok := p.square(b)
		if !ok {
			continue
		}
		if m, ok := p.decode(corners); ok {
			found = append(found, m)
			seen[m.number]++
		}
	}
	return slices.DeleteFunc(found, func(m mark) bool { return seen[m.number] > 1 })
}

// dark marks the pixels of the small copy that are well below the mean of their surroundings.
func (p *Picture) dark() []bool {
	w, h := p.w, p.h
	grey := make([]uint8, w*h)
	sums := make([]uint32, (w+1)*(h+1))
	for y := range h {
		row := uint32(0)
		for x := range w {
			at := y*w + x
			c := p.rgb[3*at : 3*at+3]
			grey[at] = uint8((77*int(c[0]) + 150*int(c[1]) + 29*int(c[2])) >> 8)
			row += uint32(grey[at])
			sums[(y+1)*(w+1)+x+1] = sums[y*(w+1)+x+1] + row
		}
	}
	mask := make([]bool, w*h)
	r := w / 60
	for y := range h {
		y0, y1 := max(y-r, 0), min(y+r+1, h)
		for x := range w {
			x0, x1 := max(x-r, 0), min(x+r+1, w)
			sum := sums[y1*(w+1)+x1] - sums[y0*(w+1)+x1] - sums[y1*(w+1)+x0] + sums[y0*(w+1)+x0]
			n := uint32((x1 - x0) * (y1 - y0))
			mask[y*w+x] = uint32(grey[y*w+x])*n*100 < sum*72
		}
	}
	return mask
}

// square finds the outer corners of a frame, clockwise. Not ok says that it is none.
func (p *Picture) square(b blob) (corners [4]point, ok bool) {
	farthest := func(score func(q point) float64) (best point) {
		most := math.Inf(-1)
		for _, at := range b.pixels {
			q := point{float64(int(at) % p.w), float64(int(at) / p.w)}
			if s := score(q); s > most {
				most, best = s, q
			}
		}
		return best
	}
	middle := point{float64(b.sumX) / float64(b.n), float64(b.sumY) / float64(b.n)}
	a := farthest(middle.far)
	c := farthest(a.far)
	across := a.to(c)
	corners = [4]point{a, farthest(func(q point) float64 { return -across.cross(a.to(q)) }), c,
		farthest(func(q point) float64 { return across.cross(a.to(q)) })}
	for i, q := range corners {
		corners[i] = point{p.full(q.x), p.full(q.y)}
	}
	for range 2 {
		if corners, ok = p.refine(corners); !ok {
			return corners, false
		}
	}
	return corners, true
}

// refine fits a line to the outer edge of each side of a frame, and returns where they meet.
func (p *Picture) refine(corners [4]point) (better [4]point, ok bool) {
	var lines [4][2]point
	for i := range corners {
		from, to := corners[i], corners[(i+1)%4]
		length := from.far(to)
		if length < 20 {
			return better, false
		}
		// Outward, as the corners go clockwise on a screen.
		out := point{(to.y - from.y) / length, (from.x - to.x) / length}
		reach := max(length/markSize*frame, 3)
		var edge []point
		for k := range 24 {
			foot := from.on(to, 0.1+0.8*float64(k)/23)
			if off, ok := p.crossing(foot, out, reach); ok {
				edge = append(edge, point{foot.x + off*out.x, foot.y + off*out.y})
			}
		}
		if len(edge) < 12 {
			return better, false
		}
		lines[i], ok = fitLine(edge, 0.06*reach+0.6)
		if !ok {
			return better, false
		}
	}
	for i := range corners {
		a, b := lines[(i+3)%4], lines[i]
		d := a[1].cross(b[1])
		if math.Abs(d) < 0.3 {
			return better, false
		}
		t := a[0].to(b[0]).cross(b[1]) / d
		better[i] = point{a[0].x + t*a[1].x, a[0].y + t*a[1].y}
	}
	return better, true
}

// crossing is where the picture turns from dark to light along a direction, from a place (px).
func (p *Picture) crossing(foot, out point, reach float64) (off float64, ok bool) {
	const step = 0.5
	n := int(reach/step) + 1
	profile := make([]float64, 2*n+1)
	for i := range profile {
		d := float64(i-n) * step
		profile[i] = p.sample(foot.x+d*out.x, foot.y+d*out.y).grey()
	}
	low, high := slices.Min(profile[:n+2]), slices.Max(profile[n/2:])
	if high-low < 0.4*high {
		return 0, false
	}
	half := (low + high) / 2
	for i := 1; i < len(profile); i++ {
		// The last rise counts as the outer edge of the frame; before it lies the frame itself.
		if profile[i-1] < half && profile[i] >= half && i > n/3 {
			return (float64(i-1-n) + (half-profile[i-1])/(profile[i]-profile[i-1])) * step, true
		}
	}
	return 0, false
}

// fitLine fits a line to points, twice, the second time without those off the first: a place and a direction.
func fitLine(all []point, most float64) (line [2]point, ok bool) {
	for range 3 {
		var m point
		n := float64(len(all))
		for _, q := range all {
			m.x, m.y = m.x+q.x/n, m.y+q.y/n
		}
		var xx, xy, yy float64
		for _, q := range all {
			d := m.to(q)
			xx, xy, yy = xx+d.x*d.x, xy+d.x*d.y, yy+d.y*d.y
		}
		sin, cos := math.Sincos(0.5 * math.Atan2(2*xy, xx-yy))
		line = [2]point{m, {cos, sin}}
		var near []point
		for _, q := range all {
			if math.Abs(m.to(q).cross(line[1])) <= most {
				near = append(near, q)
			}
		}
		if len(near) < 10 {
			return line, false
		}
		all = near
	}
	return line, true
}

// A grid is the grey of a mark's modules.
type grid [markSize][markSize]float64

// decode reads the code in a frame, whichever way it is turned, and sharper where it is blurred.
func (p *Picture) decode(corners [4]point) (m mark, ok bool) {
	onto := fromSquare(corners)
	if onto == nil {
		return m, false
	}
	var grey grid
	for y := range grey {
		for x := range grey[y] {
			q := onto(point{(float64(x) + 0.5) / markSize, (float64(y) + 0.5) / markSize})
			grey[y][x] = p.sample(q.x, q.y).grey()
		}
	}
	for _, by := range []float64{0, 0.2, 0.5, 1} {
		sharp := grey.sharpen(by)
		for turn := range 4 {
			if n := sharp.number(turn); n > 0 {
				m.number = n
				for i := range corners {
					m.corners[i] = corners[(i+turn)%4]
				}
				return m, true
			}
		}
	}
	return m, false
}

// sharpen takes a share of what its neighbours added to each module by blur off it.
func (g *grid) sharpen(by float64) *grid {
	sharp := *g
	for y := 1; y < markSize-1; y++ {
		for x := 1; x < markSize-1; x++ {
			sharp[y][x] += by * (g[y][x] - (g[y-1][x]+g[y+1][x]+g[y][x-1]+g[y][x+1])/4)
		}
	}
	return &sharp
}

// number reads a mark's number, 0 for none, with the corner that turn names at the upper left.
func (g *grid) number(turn int) int {
	bits := make([][]bool, codeSize)
	for j := range bits {
		bits[j] = make([]bool, codeSize)
		for i := range bits[j] {
			x, y := i+frame+quiet, j+frame+quiet
			for range turn {
				x, y = markSize-1-y, x
			}
			bits[j][i] = g[y][x] < g.threshold(x, y)
		}
	}
	result, err := decoder.NewDecoder().DecodeBoolMapWithoutHint(bits)
	if err != nil {
		return 0
	}
	text, isMark := strings.CutPrefix(result.GetText(), markPrefix)
	if n, err := strconv.Atoi(text); isMark && err == nil && n > 0 && n < 100 {
		return n
	}
	return 0
}

// threshold is the middle between the darkest and the lightest module near one.
func (g *grid) threshold(x, y int) float64 {
	low, high := math.Inf(1), math.Inf(-1)
	for j := max(y-4, 0); j <= min(y+4, markSize-1); j++ {
		for i := max(x-4, 0); i <= min(x+4, markSize-1); i++ {
			low, high = min(low, g[j][i]), max(high, g[j][i])
		}
	}
	return (low + high) / 2
}
