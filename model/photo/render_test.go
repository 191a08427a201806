package photo_test

import (
	"bytes"
	"image"
	"image/color"
	"image/jpeg"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"bendbook/model/links"
	"bendbook/model/photo"
)

// A scene is a bow before its board as a camera sees it. Its camera shares no code with the reader.
type scene struct {
	r             *rand.Rand
	width, height int
	light         []float32 // linear, three to a pixel

	focal, lens float64 // px; share at a corner
	turn        [3][3]float64
	eye         [3]float64

	board  photo.Board
	bow    photo.Bow
	truth  [2][]float64 // of the belly at the stations
	hidden [2][]bool
	draw   float64 // 0 where no sticker shows it
	drawn  float64 // as pulled
	marks  int     // that can be seen
}

type xy struct{ x, y float64 }

var between = links.Between

// seen is the pixel of a place.
func (s *scene) seen(x, y, z float64) (float64, float64) {
	var v [3]float64
	for i := range v {
		v[i] = s.turn[i][0]*(x-s.eye[0]) + s.turn[i][1]*(y-s.eye[1]) + s.turn[i][2]*(z-s.eye[2])
	}
	u, w := s.focal*v[0]/v[2], s.focal*v[1]/v[2]
	half := math.Hypot(float64(s.width), float64(s.height)) / 2
	bulge := 1 + s.lens*(u*u+w*w)/(half*half)
	return u*bulge + float64(s.width-1)/2, w*bulge + float64(s.height-1)/2
}

// place is what a pixel shows of the plane at z: the radial term is undone by Newton's method on the radius.
func (s *scene) place(px, py, z float64) xy {
	u, w := px-float64(s.width-1)/2, py-float64(s.height-1)/2
	half := math.Hypot(float64(s.width), float64(s.height)) / 2
	if d := math.Hypot(u, w) / half; d > 0 {
		q := d
		for range 4 {
			q -= (q + s.lens*q*q*q - d) / (1 + 3*s.lens*q*q)
		}
		u, w = u*q/d, w*q/d
	}
	var ray [3]float64
	for i := range ray {
		ray[i] = s.turn[0][i]*u + s.turn[1][i]*w + s.turn[2][i]*s.focal
	}
	t := (z - s.eye[2]) / ray[2]
	return xy{s.eye[0] + t*ray[0], s.eye[1] + t*ray[1]}
}

// atBoard is a camera before a board with all its marks, off square by at most some degrees, and a bow.
func atBoard(t testing.TB, seed uint64, width, height int, degrees float64) (*scene, *links.Bow) {
	t.Helper()
	r := rand.New(rand.NewPCG(seed, 25))
	s := &scene{r: r, width: width, height: height, board: usualBoard()}
	s.light = make([]float32, 3*width*height)
	s.aim(degrees, 0.01)
	s.wall()
	s.pinUp(t, 0, 1.0/64)
	wood := links.New(r, 0.1, 0.05)
	wood.Handle = 4
	return s, wood
}

// aim sets the camera up: as far as the scene fits, off square by at most some degrees.
func (s *scene) aim(degrees, lens float64) {
	distance := between(s.r, 118, 190)
	across := between(s.r, 80, 88)
	s.focal, s.lens = float64(max(s.width, s.height))*distance/across, lens
	way, off := between(s.r, 0, 2*math.Pi), degrees*math.Pi/180
	yaw, pitch, roll := off*math.Cos(way), off*math.Sin(way), between(s.r, -0.04, 0.04)
	back := [3]float64{-math.Sin(yaw) * math.Cos(pitch), -math.Sin(pitch), -math.Cos(yaw) * math.Cos(pitch)}
	s.eye = [3]float64{distance * back[0], 13 + distance*back[1], distance * back[2]}
	forward := [3]float64{-back[0], -back[1], -back[2]}
	right := unit(cross([3]float64{0, 1, 0}, forward))
	down := cross(forward, right)
	sin, cos := math.Sincos(roll)
	for i := range 3 {
		s.turn[0][i] = cos*right[i] + sin*down[i]
		s.turn[1][i] = cos*down[i] - sin*right[i]
		s.turn[2][i] = forward[i]
	}
}

func cross(a, b [3]float64) [3]float64 {
	return [3]float64{a[1]*b[2] - a[2]*b[1], a[2]*b[0] - a[0]*b[2], a[0]*b[1] - a[1]*b[0]}
}

func unit(a [3]float64) [3]float64 {
	n := math.Sqrt(a[0]*a[0] + a[1]*a[1] + a[2]*a[2])
	return [3]float64{a[0] / n, a[1] / n, a[2] / n}
}

type rgb [3]float32

// linear is a colour as cameras store it, undone.
func linear(r, g, b float64) (c rgb) {
	for i, v := range []float64{r, g, b} {
		c[i] = float32(math.Pow(v/255, 2.2))
	}
	return c
}

// paint colours the plane at z within a box, nine looks to a pixel.
func (s *scene) paint(z, x0, y0, x1, y1 float64, look func(p xy) (rgb, bool)) {
	left, top, right, bottom := math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for _, c := range []xy{{x0, y0}, {x1, y0}, {x0, y1}, {x1, y1}} {
		px, py := s.seen(c.x, c.y, z)
		left, right = min(left, px-2), max(right, px+2)
		top, bottom = min(top, py-2), max(bottom, py+2)
	}
	for y := max(int(top), 0); y <= min(int(bottom), s.height-1); y++ {
		for x := max(int(left), 0); x <= min(int(right), s.width-1); x++ {
			var sum rgb
			n := float32(0)
			for k := range 9 {
				p := s.place(float64(x)+float64(k%3-1)/3, float64(y)+float64(k/3-1)/3, z)
				if c, on := look(p); on {
					sum[0], sum[1], sum[2], n = sum[0]+c[0], sum[1]+c[1], sum[2]+c[2], n+1
				}
			}
			if n == 0 {
				continue
			}
			at := s.light[3*(y*s.width+x):][:3]
			for c := range at {
				at[c] += (sum[c]/n - at[c]) * n / 9
			}
		}
	}
}

// disc paints a round spot, flattened by a share.
func (s *scene) disc(z float64, at xy, r, flat float64, c rgb) {
	s.paint(z, at.x-r, at.y-r, at.x+r, at.y+r, func(p xy) (rgb, bool) {
		return c, math.Hypot(p.x-at.x, (p.y-at.y)/flat) <= r
	})
}

// band paints a four-sided piece, its corners in order.
func (s *scene) band(z float64, c rgb, q ...xy) {
	x0, y0, x1, y1 := q[0].x, q[0].y, q[0].x, q[0].y
	for _, p := range q {
		x0, x1, y0, y1 = min(x0, p.x), max(x1, p.x), min(y0, p.y), max(y1, p.y)
	}
	s.paint(z, x0, y0, x1, y1, func(p xy) (rgb, bool) {
		plus, minus := false, false
		for i, a := range q {
			b := q[(i+1)%len(q)]
			side := (b.x-a.x)*(p.y-a.y) - (b.y-a.y)*(p.x-a.x)
			plus, minus = plus || side > 0, minus || side < 0
		}
		return c, !(plus && minus)
	})
}

// wall paints what is behind everything: planks, and light that falls off.
func (s *scene) wall() {
	base := [][3]float64{{215, 210, 200}, {190, 165, 130}, {150, 150, 155}, {225, 222, 215}}[s.r.IntN(4)]
	c := linear(base[0], base[1], base[2])
	grain := make([]float32, 4096)
	for i := range grain {
		grain[i] = 1 + 0.05*float32(s.r.NormFloat64())
	}
	for y := range s.height {
		for x := range s.width {
			g := grain[(y/6*131+x/60*17)&4095]
			if y%211 < 3 {
				g *= 0.6
			}
			at := s.light[3*(y*s.width+x):][:3]
			at[0], at[1], at[2] = c[0]*g, c[1]*g, c[2]*g
		}
	}
}

// pinUp paints the marks, each a little off its place. Some may be covered.
func (s *scene) pinUp(t testing.TB, cover int, off float64) {
	covered := s.r.Perm(len(s.board.Marks))[:cover]
	for i, at := range s.board.Marks {
		modules, err := photo.Modules(i + 1)
		if err != nil {
			t.Fatal(err)
		}
		n := len(modules)
		sin, cos := math.Sincos(0.01 * s.r.NormFloat64())
		mx, my := at[0]+off*s.r.NormFloat64(), at[1]+off*s.r.NormFloat64()
		black, white := linear(40, 40, 42), linear(235, 235, 232)
		half := photo.MarkSide / 2
		s.paint(0, mx-3, my-3, mx+3, my+3, func(p xy) (rgb, bool) {
			x, y := cos*(p.x-mx)+sin*(p.y-my), cos*(p.y-my)-sin*(p.x-mx)
			if max(math.Abs(x), math.Abs(y)) > half+0.3 { // the paper's margin
				return white, false
			}
			i, j := int(math.Floor((x+half)/photo.MarkSide*float64(n))), int(math.Floor((y+half)/photo.MarkSide*float64(n)))
			if i >= 0 && j >= 0 && i < n && j < n && modules[j][i] {
				return black, true
			}
			return white, true
		})
		if slices.Contains(covered, i) {
			s.band(0, linear(120, 90, 70), xy{mx - 3, my - 1}, xy{mx + 3, my - 1}, xy{mx + 3, my + 3}, xy{mx - 3, my + 3})
		}
	}
	s.marks = len(s.board.Marks) - cover
}

var stickerInks = map[photo.Colour][3]float64{"green": {65, 200, 90}, "blue": {50, 125, 225}, "pink": {250, 90, 175}}

func (s *scene) ink(c photo.Colour) rgb {
	v := stickerInks[c]
	return linear(v[0]+10*s.r.NormFloat64(), v[1]+10*s.r.NormFloat64(), v[2]+10*s.r.NormFloat64())
}

// clutter paints things of the stickers' colours on the wall: rags, tins, and other round ones.
func (s *scene) clutter(n int) {
	for range n {
		c := s.ink([]photo.Colour{s.board.Stations, s.board.Handle}[s.r.IntN(2)])
		at := xy{between(s.r, -40, 40), between(s.r, -14, 42)}
		switch s.r.IntN(3) {
		case 0:
			w, h := between(s.r, 0.3, 4), between(s.r, 0.2, 3)
			s.band(0, c, xy{at.x, at.y}, xy{at.x + w, at.y}, xy{at.x + w, at.y + h}, xy{at.x, at.y + h})
		case 1:
			s.disc(0, at, between(s.r, 0.1, 1.5), between(s.r, 0.3, 1), c)
		default:
			s.disc(0, at, between(s.r, 0.18, 0.3), 1, c)
		}
	}
}

// hang paints a bow of links in a pose: limbs, string, stickers.
func (s *scene) hang(wood *links.Bow, pose *links.Chain, hook bool, away, every, hide float64) {
	tilt, place := between(s.r, -0.03, 0.03), xy{between(s.r, -1, 1), between(s.r, -1, 1)}
	sin, cos := math.Sincos(tilt)
	left := 1.0
	if s.board.UpperLeft {
		left = -1
	}
	world := func(x, y float64) xy {
		x *= left
		return xy{place.x + cos*x - sin*y, place.y + sin*x + cos*y}
	}
	r := between(s.r, 0.21, 0.26)
	s.bow.Handle = wood.Handle
	colour := [][3]float64{{205, 165, 110}, {170, 120, 75}, {225, 195, 145}, {130, 80, 50}}[s.r.IntN(4)]
	timber := linear(colour[0], colour[1], colour[2])
	h := wood.Handle / 2
	s.band(-away, timber, world(-h-0.05, 0), world(h+0.05, 0), world(h+0.05, -1.25), world(-h-0.05, -1.25))
	var nocks [2]xy
	for side, out := range []float64{1, -1} {
		limb := &wood.Limbs[side]
		slope := pose.Pose.Slope[side]
		at := func(d float64) (x, y, sin, cos float64) {
			x, y = limb.Point(slope, d)
			x0, y0 := limb.Point(slope, max(d-0.1, 0))
			x1, y1 := limb.Point(slope, min(d+0.1, limb.Length))
			n := math.Hypot(x1-x0, y1-y0)
			return x, y, (y1 - y0) / n, (x1 - x0) / n
		}
		point := func(d, behind float64) xy {
			x, y, sin, cos := at(d)
			return world(out*(h+x+behind*sin), y-behind*cos)
		}
		thick := func(d float64) float64 { return 1.2 - 0.65*d/limb.Length }
		const step = 0.5
		for d := 0.0; d < limb.Length; d += step {
			e := min(d+step, limb.Length)
			s.band(-away, timber, point(d, 0), point(e, 0), point(e, thick(e)), point(d, thick(d)))
		}
		nocks[side] = point(limb.Length-0.2, 0.2)
		for d := every; d < limb.Length-0.9; d += every {
			_, y, _, _ := at(d)
			s.bow.Stations[side] = append(s.bow.Stations[side], d)
			s.truth[side] = append(s.truth[side], y)
			hidden := s.r.Float64() < hide
			s.hidden[side] = append(s.hidden[side], hidden)
			if !hidden {
				s.disc(-away, point(d, r), r, 1, s.ink(s.board.Stations))
			}
		}
		const half = photo.HandleBehind
		s.band(-away, linear(235, 235, 230), world(out*h-half, 0), world(out*h+half, 0), world(out*h+half, -2*half),
			world(out*h-half, -2*half))
		s.disc(-away, world(out*h, -half), r, 1, s.ink(s.board.Handle))
	}
	if hook {
		y := s.drawn
		end, dark := world(pose.Pose.At[links.HookX], y), linear(60, 50, 45)
		for _, nock := range nocks {
			n := math.Hypot(end.x-nock.x, end.y-nock.y) / 0.06
			dx, dy := (end.y-nock.y)/n, (nock.x-end.x)/n
			const parts = 24
			for k := range parts {
				a, b := float64(k)/parts, float64(k+1)/parts
				p, q := xy{nock.x + a*(end.x-nock.x), nock.y + a*(end.y-nock.y)},
					xy{nock.x + b*(end.x-nock.x), nock.y + b*(end.y-nock.y)}
				s.band(-away, dark, p, q, xy{q.x + dx, q.y + dy}, xy{p.x + dx, p.y + dy})
			}
		}
		s.disc(-away, end, r, 1, s.ink(s.board.Handle))
		s.draw = y
	}
}

// expose gives the picture its light, shadows, blur and noise, and develops it.
func (s *scene) expose(blur int, noise float64, shadows int) *image.NRGBA {
	dim, dirX, dirY := between(s.r, 0.2, 0.6), between(s.r, -1, 1), between(s.r, -1, 1)
	bright := float32(between(s.r, 0.55, 1.1))
	type shadow struct{ x, y, c, soft, dark float64 }
	var cast []shadow
	for range shadows {
		a := between(s.r, 0, 2*math.Pi)
		cast = append(cast, shadow{math.Cos(a), math.Sin(a), between(s.r, -0.6, 0.6), between(s.r, 0.003, 0.08),
			between(s.r, 0.25, 0.6)})
	}
	for y := range s.height {
		v := 2*float64(y)/float64(s.height) - 1
		for x := range s.width {
			u := 2*float64(x)/float64(s.width) - 1
			l := 1 - dim*(0.5+0.35*(dirX*u+dirY*v))
			for _, c := range cast {
				l *= 1 - c.dark*min(max((c.x*u+c.y*v-c.c)/c.soft, 0), 1)
			}
			at := s.light[3*(y*s.width+x):][:3]
			f := float32(l) * bright
			at[0], at[1], at[2] = at[0]*f, at[1]*f, at[2]*f
		}
	}
	if blur > 0 {
		s.blur(blur)
		s.blur(blur)
	}
	var develop [4096]float64
	for i := range develop {
		develop[i] = 255 * math.Pow(float64(i)/4095, 1/2.2)
	}
	static := make([]float64, 1<<16)
	for i := range static {
		static[i] = noise * s.r.NormFloat64()
	}
	out := image.NewNRGBA(image.Rect(0, 0, s.width, s.height))
	at := 0
	for i := 0; i < len(s.light); i += 3 {
		if i%(3*s.width) == 0 {
			at = s.r.IntN(len(static))
		}
		for c := range 3 {
			at = (at + 1) & (len(static) - 1)
			v := develop[int(min(max(s.light[i+c], 0), 1)*4095)] + static[at] + 0.5
			out.Pix[i/3*4+c] = uint8(min(max(v, 0), 255))
		}
		out.Pix[i/3*4+3] = 255
	}
	return out
}

// blur is a mean over 2n+1 pixels, across and then down.
func (s *scene) blur(n int) {
	pass := func(lines, length, line, step int) {
		row := make([]float32, length)
		for k := range lines {
			for c := range 3 {
				from := 3*k*line + c
				for i := range row {
					row[i] = s.light[from+3*i*step]
				}
				sum := float32(0)
				for i := -n; i <= n; i++ {
					sum += row[max(i, 0)]
				}
				for i := range row {
					s.light[from+3*i*step] = sum / float32(2*n+1)
					sum += row[min(i+n+1, length-1)] - row[max(i-n, 0)]
				}
			}
		}
	}
	pass(s.height, s.width, s.width, 1)
	pass(s.width, s.height, 1, s.width)
}

// usualBoard is a board with six marks.
func usualBoard() photo.Board {
	return photo.Board{
		Marks: [][2]float64{{-32, -8}, {0, -8}, {32, -8}, {-32, 26}, {12, 34}, {32, 26}},
		Away:  3, AwayError: 0.25, Stations: "green", Handle: "pink",
	}
}

// shoot takes one picture by chance.
func shoot(t testing.TB, seed uint64) (s *scene, data []byte) {
	r := rand.New(rand.NewPCG(seed, 25))
	s = &scene{r: r, width: 3264, height: 2448, board: usualBoard()}
	if r.IntN(3) == 0 {
		s.width, s.height = 4032, 3024
	}
	s.board.UpperLeft = r.IntN(4) == 0
	if r.IntN(3) == 0 {
		s.board.Stations, s.board.Handle = "pink", "green"
	}
	s.light = make([]float32, 3*s.width*s.height)
	s.aim(between(r, 0, 15), between(r, -0.03, 0.03))
	s.wall()
	s.clutter(r.IntN(25))
	s.pinUp(t, r.IntN(2), 1.0/32)
	wood := links.New(r, 0.13, 0.05)
	every, hide := []float64{2, 4}[r.IntN(2)], []float64{0, 0, 0.05, 0.15}[r.IntN(4)]
	pose := wood.Chain(1, 0)
	stage := r.IntN(5)
	s.drawn = 0
	switch {
	case stage == 0:
		pose.Pose.Slope = [2][]float64{pose.Limbs[0].Unstrung(), pose.Limbs[1].Unstrung()}
	case pose.Brace(wood.Brace) != nil:
		t.Fatal("no brace")
	case stage > 1:
		s.drawn = between(r, 9, wood.Draw)
		if err := pose.Draw(s.drawn); err != nil {
			t.Fatal(err)
		}
	}
	s.hang(wood, pose, s.drawn > 0, s.board.Away+0.1*r.NormFloat64(), every, hide)
	picture := s.expose(r.IntN(3), between(r, 1, 5), r.IntN(3))
	var b bytes.Buffer
	if err := jpeg.Encode(&b, noAlpha{picture}, &jpeg.Options{Quality: []int{60, 75, 92}[r.IntN(3)]}); err != nil {
		t.Fatal(err)
	}
	return s, b.Bytes()
}

// noAlpha hands an image on as one that the encoder knows a quick way for.
type noAlpha struct{ *image.NRGBA }

func (n noAlpha) ColorModel() color.Model { return color.RGBAModel }
