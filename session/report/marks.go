package report

import (
	_ "embed" // the sheet
	"fmt"
	"html/template"
	"io"
	"strings"

	"bendbook/model/finish"
	"bendbook/model/measure"
	"bendbook/model/photo"
)

//go:embed marks.html
var marksHTML string

// marksPage is the sheet of marks, two to a page of A4 or Letter, with how they are used.
var marksPage = template.Must(template.New("marks").Parse(marksHTML))

// Marks writes the sheet of marks to print, by the shop's settings.
func Marks(w io.Writer, settings finish.Settings) error {
	board, err := settings.Photo.Board()
	if err != nil {
		return fmt.Errorf("the settings of pictures: %w", err)
	}
	type mark struct {
		Number      int
		Path, Place string
	}
	page := struct {
		Stations, Handle photo.Colour
		Upper            string
		Size             int
		Marks            []mark
	}{board.Stations, board.Handle, settings.Photo.Upper, 0, nil}
	inches := measure.Rule{Unit: measure.Inch, Step: 1.0 / 16}
	for i, at := range board.Marks {
		modules, err := photo.Modules(i + 1)
		if err != nil {
			return err
		}
		var path strings.Builder
		for y, row := range modules {
			for x, black := range row {
				if black {
					fmt.Fprintf(&path, "M%d %dh1v1h-1z", x, y)
				}
			}
		}
		page.Size = len(modules)
		page.Marks = append(page.Marks, mark{i + 1, path.String(), pinned(inches, at)})
	}
	return marksPage.Execute(w, page)
}

func pinned(rule measure.Rule, at [2]float64) string {
	along, down := "to the right", "down"
	if at[0] < 0 {
		along = "to the left"
	}
	if at[1] < 0 {
		down = "up"
	}
	return fmt.Sprintf("%s %s, %s %s", rule.WithUnit(measure.Length(max(at[0], -at[0]))), along,
		rule.WithUnit(measure.Length(max(at[1], -at[1]))), down)
}
