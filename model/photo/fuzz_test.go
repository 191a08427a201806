package photo_test

import (
	"bytes"
	"encoding/binary"
	"hash/crc32"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"math"
	"strings"
	"testing"

	"bendbook/model/photo"
)

// encoded is a small picture as JPEG, with an EXIF orientation unless that is 0, and as PNG.
func encoded(t testing.TB, w, h, orientation int) (asJPEG, asPNG []byte) {
	m := image.NewNRGBA(image.Rect(0, 0, w, h))
	for x := range w {
		for y := range h {
			m.Set(x, y, color.NRGBA{uint8(x), uint8(y), uint8(x * y), 255})
		}
	}
	var j, p bytes.Buffer
	if err := jpeg.Encode(&j, m, nil); err != nil {
		t.Fatal(err)
	}
	if err := png.Encode(&p, m); err != nil {
		t.Fatal(err)
	}
	asJPEG = j.Bytes()
	if orientation > 0 {
		exif := []byte("Exif\x00\x00MM\x00\x2a\x00\x00\x00\x08\x00\x01\x01\x12\x00\x03\x00\x00\x00\x01\x00\x00\x00\x00\x00\x00")
		exif[25] = byte(orientation)
		head := append([]byte{0xff, 0xd8, 0xff, 0xe1}, binary.BigEndian.AppendUint16(nil, uint16(len(exif)+2))...)
		asJPEG = append(append(head, exif...), asJPEG[2:]...)
	}
	return asJPEG, p.Bytes()
}

// A picture that claims to be larger than it may be is refused before anything is decoded.
func TestBombsAreRefused(t *testing.T) {
	t.Parallel()
	_, small := encoded(t, 640, 480, 0)
	bomb := bytes.Clone(small)
	binary.BigEndian.PutUint32(bomb[16:], 1<<16)
	binary.BigEndian.PutUint32(bomb[20:], 1<<16)
	binary.BigEndian.PutUint32(bomb[29:], crc32.ChecksumIEEE(bomb[12:29]))
	asJPEG, _ := encoded(t, 640, 480, 0)
	at := bytes.Index(asJPEG, []byte{0xff, 0xc0})
	wide := bytes.Clone(asJPEG)
	binary.BigEndian.PutUint16(wide[at+5:], 8000)
	binary.BigEndian.PutUint16(wide[at+7:], 8000)
	for name, c := range map[string]struct {
		data []byte
		says string
	}{
		"4 gigapixels of PNG":    {bomb, "50 megapixels"},
		"64 megapixels of JPEG":  {wide, "50 megapixels"},
		"half a picture":         {small[:len(small)/2], "damaged"},
		"HEIC":                   {[]byte("\x00\x00\x00\x18ftypheic\x00\x00\x00\x00mif1heic"), "JPEG"},
		"a text":                 {[]byte("no picture"), "JPEG or PNG"},
		"nothing":                {nil, "JPEG or PNG"},
		"a picture of a thumb":   {func() []byte { j, _ := encoded(t, 100, 80, 0); return j }(), "full size"},
		"a header and no pixels": {asJPEG[:at+30], "damaged"},
	} {
		if _, err := photo.Open(c.data); err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// A camera held upright says so in the picture; Open turns it.
func TestPicturesAreTurnedUpright(t *testing.T) {
	t.Parallel()
	for orientation, width := range map[int]int{0: 700, 1: 700, 3: 700, 6: 500, 8: 500} {
		data, _ := encoded(t, 700, 500, orientation)
		if p, err := photo.Open(data); err != nil || p.Width != width {
			t.Errorf("orientation %d: %v, %v", orientation, p, err)
		}
	}
}

// marked is a small picture of a bow before its marks: whole, without its lower part, or with bytes changed.
func marked(t testing.TB, damaged int) []byte {
	s, wood := atBoard(t, 7, 1280, 960, 3)
	pose := wood.Chain(1, 0)
	pose.Pose.Slope = [2][]float64{pose.Limbs[0].Unstrung(), pose.Limbs[1].Unstrung()}
	s.hang(wood, pose, false, s.board.Away, 4, 0)
	shot := s.expose(0, 1, 0)
	if damaged == 1 {
		shot = shot.SubImage(image.Rect(0, 0, s.width, s.height*2/3)).(*image.NRGBA)
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, noAlpha{shot}, &jpeg.Options{Quality: 60}); err != nil {
		t.Fatal(err)
	}
	data := b.Bytes()
	if damaged == 0 {
		p, err := photo.Open(data)
		if err == nil {
			_, err = photo.Read(p, s.board, s.bow)
		}
		if err != nil {
			t.Fatalf("what is fuzzed shows no marks: %v", err)
		}
	}
	for i := len(data) / 2; damaged == 2 && i < len(data); i += len(data) / 5 {
		data[i] ^= 0x15
	}
	return data
}

// No file makes the decoder panic, or a picture of more than it may have.
func FuzzOpen(f *testing.F) {
	for orientation := range 9 {
		asJPEG, asPNG := encoded(f, 640, 480, orientation)
		f.Add(asJPEG)
		f.Add(asPNG)
	}
	f.Add([]byte("\x00\x00\x00\x18ftypheic\x00\x00\x00\x00mif1heic"))
	for _, damaged := range []int{0, 1, 2} {
		f.Add(marked(f, damaged))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		p, err := photo.Open(data)
		if err != nil {
			return
		}
		if p.Width*p.Height > 50e6 {
			t.Errorf("%d by %d", p.Width, p.Height)
		}
		r, err := photo.Read(p, usualBoard(), photo.Bow{Handle: 4, Stations: [2][]float64{{4, 8}, {4, 8}}})
		if err != nil {
			return
		}
		for _, row := range r.At {
			for _, at := range row {
				if v, known := at.Get(); known && !(math.Abs(float64(v)) < 100) {
					t.Errorf("read %v", r.At)
				}
			}
		}
	})
}
