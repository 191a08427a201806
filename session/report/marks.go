package report

import (
	"fmt"
	"html/template"
	"io"
	"strings"

	"bendbook/model/finish"
	"bendbook/model/measure"
	"bendbook/model/photo"
)

// marksPage is the sheet of marks, two to a page of A4 or Letter, with how they are used.
var marksPage = template.Must(template.New("marks").Parse(`<!DOCTYPE html>
<html lang="en"><meta charset="utf-8"><title>Marks for pictures of a bow</title>
<style>
body{font:12pt/1.4 sans-serif;max-width:7in;margin:auto}h1{font-size:16pt}
figure{margin:0 0 .3in;height:4.6in;break-inside:avoid}svg{width:4in;height:4in;display:block;padding:.1in}
figcaption{font-size:11pt}@page{margin:.4in}@media screen{body{padding:1em}}
</style>
<h1>Marks for pictures of a bow on the tree</h1>
<p><strong>Stand clear of the bow's line. Use the camera's timer or a remote. Don't hold a bow at full draw
for a picture.</strong></p>
<ol>
<li>Print this at 100%. Each black frame must be 4 in (101.6 mm) wide: check one with your rule.</li>
<li>Leave half an inch of white around each frame. Pin the marks flat on the board or wall behind the bow,
with the words upright, square to the board.</li>
<li>Measure to their middles from the middle of the handle: along, to the right, then down, which is the way
the string is drawn. Type the places in the settings, under photo.</li>
<li>Put a round sticker on the limb's side at each station. Take {{.Stations}} ones of 1/2 in, all of one
size. The edge touches the belly. The middle is square behind the station.</li>
<li>For the handle cut two squares of white paper, 1 in wide. Stick a round {{.Handle}} one on the middle of
each. Put one square at each end of the handle, on its side. Its edge lies along the belly, its middle at the
handle's end.</li>
<li>Put one more {{.Handle}} sticker on the string's hook. Its middle is where you measure the draw.</li>
<li>Set the camera on a stand, where the rope ends: 3 m or more away, square on, as high as the bow. Zoom
until the marks just fill the picture. Use much light, and no filter.</li>
<li>Hang the upper limb to the {{.Upper}}. Draw, let the timer take the picture, ease down. bendbook help
photo says more.</li>
</ol>
{{range .Marks}}<figure><svg viewBox="0 0 {{$.Size}} {{$.Size}}" shape-rendering="crispEdges">
<path d="{{.Path}}"/></svg>
<figcaption>Mark {{.Number}}: its middle at {{.Place}}. This way up.</figcaption></figure>
{{end}}</html>
`))

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
