package photo_test

import (
	"bytes"
	"encoding/json"
	"flag"
	"image/jpeg"
	"math"
	"os"
	"path/filepath"
	"testing"

	"bendbook/model/photo"
)

var update = flag.Bool("update", false, "render the kept pictures anew")

// A kept is a picture in testdata/photo with what is true of it.
type kept struct {
	Handle   float64      `json:"handle"`
	Lengths  [2]float64   `json:"lengths"`
	Stations [2][]float64 `json:"stations"`
	Draw     float64      `json:"draw"`
	Truth    [2][]float64 `json:"truth"`
}

// keep renders a small picture of a bow that is drawn 20 in, with stations every 4 in and one sticker missing.
func keep(t *testing.T, name string) {
	s, wood := atBoard(t, 47, 2560, 1600, 6)
	s.drawn = 20
	pose := wood.Chain(1, 0)
	if err := pose.Brace(wood.Brace); err != nil {
		t.Fatal(err)
	}
	if err := pose.Draw(s.drawn); err != nil {
		t.Fatal(err)
	}
	s.hang(wood, pose, true, s.board.Away, 4, 0.06)
	var b bytes.Buffer
	if err := jpeg.Encode(&b, noAlpha{s.expose(1, 0.3, 0)}, &jpeg.Options{Quality: 70}); err != nil {
		t.Fatal(err)
	}
	lengths := [2]float64{wood.Limbs[0].Length, wood.Limbs[1].Length}
	k := kept{s.bow.Handle, lengths, s.bow.Stations, s.draw, s.truth}
	doc, err := json.MarshalIndent(k, "", " ")
	if err != nil {
		t.Fatal(err)
	}
	for ending, data := range map[string][]byte{".jpg": b.Bytes(), ".json": doc} {
		if err := os.WriteFile(name+ending, data, 0o666); err != nil {
			t.Fatal(err)
		}
	}
}

// The kept picture reads as it was drawn, and as a PNG shows what was read.
func TestKeptPicture(t *testing.T) {
	t.Parallel()
	name := filepath.Join("..", "..", "testdata", "photo", "drawn")
	if *update {
		keep(t, name)
	}
	data, err := os.ReadFile(name + ".jpg")
	if err != nil {
		t.Fatal(err)
	}
	doc, err := os.ReadFile(name + ".json")
	if err != nil {
		t.Fatal(err)
	}
	var is kept
	if err := json.Unmarshal(doc, &is); err != nil {
		t.Fatal(err)
	}
	p, err := photo.Open(data)
	if err != nil {
		t.Fatal(err)
	}
	board := usualBoard()
	r, err := photo.Read(p, board, photo.Bow{Handle: is.Handle, Stations: is.Stations})
	if err != nil {
		t.Fatal(err)
	}
	seen := 0
	for side, row := range r.At {
		for i, at := range row {
			if v, known := at.Get(); known {
				seen++
				if off := math.Abs(float64(v) - is.Truth[side][i]); off > 0.03 {
					t.Errorf("limb %d, station %d is off by %.3f", side, i, off)
				}
			}
		}
	}
	draw, _ := r.Draw.Get()
	if seen < 13 || math.Abs(float64(draw)-is.Draw) > 0.03 {
		t.Errorf("%d stations, draw %.3f", seen, float64(draw))
	}
	var shown bytes.Buffer
	if err := r.Show(&shown, p); err != nil {
		t.Fatal(err)
	}
	if *update {
		if err := os.WriteFile(filepath.Join(os.TempDir(), "drawn.read.png"), shown.Bytes(), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	if again, err := photo.Open(shown.Bytes()); err != nil || again.Width < 1000 {
		t.Errorf("what was read is no picture: %v", err)
	}
	// Without a board as it is, no figure is better than a wrong one.
	board.Marks[1][1] += 1
	if _, err := photo.Read(p, board, photo.Bow{Handle: is.Handle, Stations: is.Stations}); err == nil {
		t.Error("a mark an inch off its place was not noticed")
	}
}
