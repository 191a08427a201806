package ui

import (
	"encoding/json"
	"errors"
	"math"
	"os"
	"testing"
	"time"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/ui/look"
)

// A pull whose stations come from a picture takes twelve keys, is as the picture shows, and says so.
func TestAPullByPicture(t *testing.T) {
	t.Parallel()
	const kept = "../testdata/photo/drawn"
	picture, err := os.ReadFile(kept + ".jpg")
	if err != nil {
		t.Fatal(err)
	}
	doc, err := os.ReadFile(kept + ".json")
	if err != nil {
		t.Fatal(err)
	}
	var is struct {
		Handle          measure.Length
		Lengths         [2]measure.Length
		Stations, Truth [2][]measure.Length
		Draw            float64
	}
	if err := json.Unmarshal(doc, &is); err != nil {
		t.Fatal(err)
	}
	bow := model.Bow{Name: "Rowan", Handle: is.Handle}
	for side := range bow.Limbs {
		bow.Limbs[side] = model.Limb{Length: is.Lengths[side], Stations: is.Stations[side]}
	}
	h := handsOn(t)
	h.clock = morning.Add(time.Hour)
	h.newBow(bow, model.Braced{Height: measure.Some[measure.Length](6), From: model.FromString})
	h.open(look.NoColour, 80, 24)
	h.press("enter")
	shown := ""
	h.app.desk.Picture = func(folder, name string) ([]byte, string, error) {
		if name != "" {
			return nil, "", errors.New("there is no such file")
		}
		return picture, "/pictures/new.jpg", nil
	}
	h.app.desk.Replace = func(path string, data []byte) error { shown = path; return nil }

	// Without a folder in the settings it says what to do.
	h.press("p", "ctrl+p")
	h.reads("Type the folder of your pictures in the settings")
	h.press("lost.jpg", "ctrl+p")
	h.reads("no picture: there is no such file")
	h.press("ctrl+x", "ctrl+x")
	settings := h.settings()
	settings.Photo.Folder = "/pictures"
	h.app.desk.follow(settings)

	// While it is read the keys go on; what is typed then leaves the picture out.
	h.press("p", "20", "enter")
	h.hold = true
	h.press("ctrl+p")
	h.reads("Reading the picture…")
	h.press("38.6", "enter")
	h.hold = false
	for _, work := range h.held {
		h.do(work)
	}
	h.reads("The form changed. The picture was left out.")
	h.press("ctrl+x", "ctrl+x")

	keys := h.strokes("p", "20", "enter", "38.6", "enter", "ctrl+p")
	h.reads("new.jpg: 13 of 14 stations are filled in. Not seen:")
	if keys += h.strokes("ctrl+s"); keys > 12 {
		t.Errorf("it took %d keys", keys)
	}
	h.reads("13 readings off a photograph")
	pull, _ := h.bench().atWork.Story().LastPull()
	if pull.By != model.ByPhoto || shown != "/pictures/new.read.png" {
		t.Errorf("%+v, shown as %q", pull, shown)
	}
	for side, row := range is.Truth {
		for i, truth := range row {
			got, known := pull.Readings.At(model.Side(side), i).Get()
			if known && math.Abs(float64(got-truth)) > 0.04 {
				t.Errorf("limb %d, station %d: %v, is %v", side, i, got, truth)
			}
		}
	}
}
