package photo

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"image"
	"image/color"
	_ "image/jpeg" // Open decodes these
	_ "image/png"
	"math"
	"slices"
)

// The largest pictures that are decoded: pixels, and bytes that the decoder keeps.
const (
	mostPixels = 50e6
	mostBytes  = 320e6
	MostBytes  = 100 << 20 // of a picture's file
)

// A fault is what is wrong with a picture, and what to do about it, for the maker to read.
type fault string

func (f fault) Error() string { return string(f) }

const (
	errHEIC    fault = "I can't read HEIC pictures. Save it as JPEG, or set the camera to \"most compatible\""
	errUnknown fault = "it isn't a JPEG or PNG picture. Save it as one of these"
	errLarge   fault = "the picture is too large. Save it with 50 megapixels or fewer"
	errBroken  fault = "the picture is damaged. Copy it from the camera again"
	errSmall   fault = "the picture is too small. Use the camera's full size"
)

// A Picture is a decoded photograph.
type Picture struct {
	Width, Height int
	image         image.Image
	turn          [6]int // pixel (x, y) is stored at (t0·x + t1·y + t2, t3·x + t4·y + t5)
	k             int    // pixels across a cell of the small copy
	w, h          int    // of the small copy
	rgb           []uint8
	light         [256]float64  // of a stored value
	stored        [1026]float64 // of light, in steps of 1/1024
}

// Open decodes a JPEG or PNG picture and turns it upright by its EXIF tag. The error says what to do.
func Open(data []byte) (p *Picture, err error) {
	defer func() { // a decoder that is handed nonsense may panic
		if recover() != nil {
			p, err = nil, errBroken
		}
	}()
	if len(data) > 12 && string(data[4:8]) == "ftyp" {
		return nil, errHEIC
	}
	config, format, err := image.DecodeConfig(bytes.NewReader(data))
	switch {
	case errors.Is(err, image.ErrFormat):
		return nil, errUnknown
	case err != nil:
		return nil, fmt.Errorf("%w (%w)", errBroken, err)
	case config.Width < 640 || config.Height < 480 && config.Width < 480:
		return nil, errSmall
	}
	orientation, progressive := header(data)
	pixels := float64(config.Width) * float64(config.Height)
	if pixels > mostPixels || pixels*perPixel(config.ColorModel, format, progressive) > mostBytes {
		return nil, errLarge
	}
	decoded, _, err := image.Decode(bytes.NewReader(data))
	if err != nil {
		return nil, fmt.Errorf("%w (%w)", errBroken, err)
	}
	return upright(decoded, orientation), nil
}

// perPixel are the bytes that a decoder keeps of each pixel.
func perPixel(model color.Model, format string, progressive bool) float64 {
	switch {
	case format == "jpeg" && progressive:
		return 15 // coefficients of 4 bytes, and the picture
	case model == color.RGBA64Model || model == color.NRGBA64Model:
		return 8
	}
	return 4
}

// header finds the EXIF orientation of a JPEG picture, 1 where it has none, and whether it is progressive.
func header(data []byte) (orientation int, progressive bool) {
	orientation = 1
	for at := 2; at+4 <= len(data) && data[at] == 0xff; {
		marker, size := data[at+1], int(binary.BigEndian.Uint16(data[at+2:]))
		end := at + 2 + size
		if marker == 0xda || size < 2 || end > len(data) {
			break
		}
		body := data[at+4 : end]
		if marker == 0xe1 && bytes.HasPrefix(body, []byte("Exif\x00\x00")) {
			orientation = exif(body[6:])
		}
		progressive = progressive || marker == 0xc2
		at = end
	}
	return orientation, progressive
}

// exif reads the orientation tag (0x0112) of a TIFF header's first directory.
func exif(tiff []byte) int {
	if len(tiff) < 8 {
		return 1
	}
	var order binary.ByteOrder = binary.BigEndian
	if tiff[0] == 'I' {
		order = binary.LittleEndian
	}
	at := min(order.Uint32(tiff[4:]), uint32(len(tiff)-2))
	n := order.Uint16(tiff[at:])
	for entry := range slices.Chunk(tiff[at+2:], 12) {
		if n == 0 || len(entry) < 12 {
			break
		}
		if n--; order.Uint16(entry) == 0x0112 {
			return int(order.Uint16(entry[8:]))
		}
	}
	return 1
}

// upright makes a picture of a decoded image and its EXIF orientation.
func upright(decoded image.Image, orientation int) *Picture {
	b := decoded.Bounds()
	w, h := b.Dx(), b.Dy()
	p := &Picture{Width: w, Height: h, image: decoded}
	x, y, right, bottom := b.Min.X, b.Min.Y, b.Max.X-1, b.Max.Y-1
	turns := [...][6]int{{}, {1, 0, x, 0, 1, y}, {-1, 0, right, 0, 1, y}, {-1, 0, right, 0, -1, bottom},
		{1, 0, x, 0, -1, bottom}, {0, 1, x, 1, 0, y}, {0, 1, x, -1, 0, bottom}, {0, -1, right, -1, 0, bottom},
		{0, -1, right, 1, 0, y}}
	if orientation < 1 || orientation >= len(turns) {
		orientation = 1
	}
	p.turn = turns[orientation]
	if p.turn[0] == 0 {
		p.Width, p.Height = h, w
	}
	for i := range p.light {
		p.light[i] = math.Pow(float64(i)/255, gamma)
	}
	for i := range p.stored {
		p.stored[i] = math.Pow(float64(i)/1024, 1/gamma)
	}
	p.shrink()
	return p
}

// at is a pixel's colour.
func (p *Picture) at(x, y int) (r, g, b uint8) {
	t := &p.turn
	x, y = t[0]*x+t[1]*y+t[2], t[3]*x+t[4]*y+t[5]
	switch m := p.image.(type) {
	case *image.YCbCr:
		at := m.COffset(x, y)
		return color.YCbCrToRGB(m.Y[m.YOffset(x, y)], m.Cb[at], m.Cr[at])
	case *image.NRGBA:
		at := m.PixOffset(x, y)
		return m.Pix[at], m.Pix[at+1], m.Pix[at+2]
	case *image.RGBA:
		at := m.PixOffset(x, y)
		return m.Pix[at], m.Pix[at+1], m.Pix[at+2]
	}
	red, green, blue, _ := p.image.At(x, y).RGBA()
	return uint8(red >> 8), uint8(green >> 8), uint8(blue >> 8)
}

// colour is the light of a place, its parts from 0 to 1. Blur mixes light, not what pictures store of it.
type colour [3]float64

// gamma is how pictures store light, near enough.
const gamma = 2.2

// store is light as it is stored, from 0 to 1.
func (p *Picture) store(light float64) float64 {
	at := min(max(light, 0.0005), 1) * 1024
	i := int(at)
	return p.stored[i] + (at-float64(i))*(p.stored[i+1]-p.stored[i])
}

// add adds a share of another.
func (c *colour) add(other colour, share float64) {
	for i, v := range other {
		c[i] += share * v
	}
}

func (c colour) dot(other colour) float64 { return c[0]*other[0] + c[1]*other[1] + c[2]*other[2] }

func (c colour) grey() float64 { return 0.3*c[0] + 0.59*c[1] + 0.11*c[2] }

// sample is the colour at a place between pixels, whose middles are at whole numbers.
func (p *Picture) sample(x, y float64) (c colour) {
	x, y = min(max(x, 0), float64(p.Width)-1.001), min(max(y, 0), float64(p.Height)-1.001)
	i, j := int(x), int(y)
	fx, fy := x-float64(i), y-float64(j)
	for _, q := range [4]struct {
		x, y int
		part float64
	}{
		{i, j, (1 - fx) * (1 - fy)}, {i + 1, j, fx * (1 - fy)},
		{i, j + 1, (1 - fx) * fy}, {i + 1, j + 1, fx * fy},
	} {
		r, g, b := p.at(q.x, q.y)
		c[0] += q.part * p.light[r]
		c[1] += q.part * p.light[g]
		c[2] += q.part * p.light[b]
	}
	return c
}

// shrink makes a small copy of at most some 2,000 pixels across, in which marks and stickers are searched.
func (p *Picture) shrink() {
	p.k = (max(p.Width, p.Height) + 2099) / 2100
	p.w, p.h = p.Width/p.k, p.Height/p.k
	p.rgb = make([]uint8, 3*p.w*p.h)
	step := max(p.k/2, 1)
	for j := range p.h {
		for i := range p.w {
			var sum [3]int
			n := 0
			for y := j * p.k; y < (j+1)*p.k; y += step {
				for x := i * p.k; x < (i+1)*p.k; x += step {
					r, g, b := p.at(x, y)
					sum[0], sum[1], sum[2], n = sum[0]+int(r), sum[1]+int(g), sum[2]+int(b), n+1
				}
			}
			for c, s := range sum {
				p.rgb[3*(j*p.w+i)+c] = uint8(s / n)
			}
		}
	}
}

// full takes a place of the small copy to the picture.
func (p *Picture) full(v float64) float64 { return (v+0.5)*float64(p.k) - 0.5 }
