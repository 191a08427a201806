package picture

import (
	"html/template"
	"strings"
)

// Picture is one drawing with what it shows in words and figures.
type Picture struct {
	Name  string // a word without blanks, different for each picture of a page
	Title string
	Says  string // in sentences
	Table Table  // in figures

	chart chart
}

// Table is figures in rows under a head, in the bow's own units.
type Table struct {
	Head []string
	Rows [][]string // each as long as Head
}

// SVG is the drawing as an svg element to stand in a page. It takes its size from viewBox and its colours from the page.
func (p Picture) SVG() (template.HTML, error) {
	d := p.chart.draw()
	d.Name, d.Title, d.Says = p.Name, p.Title, p.Says
	var b strings.Builder
	if err := svg.Execute(&b, d); err != nil {
		return "", err
	}
	// Every text in it was escaped by the template that wrote it.
	return template.HTML(b.String()), nil
}

// svg writes a drawing. Its letters stay letters.
var svg = template.Must(template.New("svg").Parse(`<svg xmlns="http://www.w3.org/2000/svg" role="img" class="picture" ` +
	`aria-labelledby="{{.Name}}-title {{.Name}}-says" viewBox="0 0 {{.Width}} {{.Height}}" width="{{.Width}}" height="{{.Height}}" ` +
	`fill="none" stroke="currentColor" stroke-width="1" stroke-linecap="round" stroke-linejoin="round" font-size="12">
<title id="{{.Name}}-title">{{.Title}}</title>
<desc id="{{.Name}}-says">{{.Says}}</desc>
{{range .Areas}}<path class="{{.Class}}" d="{{.D}}" fill="currentColor" fill-opacity="{{.Opacity}}" stroke="none"/>
{{end}}{{range .Paths}}<path class="{{.Class}}" d="{{.D}}" stroke-width="{{.Width}}"{{if .Dash}} stroke-dasharray="{{.Dash}}"{{end}}{{if .Solid}} fill="currentColor"{{end}}{{if .Faint}} stroke-opacity="0.3"{{end}}/>
{{end}}<g fill="currentColor" stroke="none">
{{range .Texts}}<text x="{{.X}}" y="{{.Y}}"{{if .Anchor}} text-anchor="{{.Anchor}}"{{end}}{{if .Class}} class="{{.Class}}"{{end}}>{{.Text}}</text>
{{end}}</g>
</svg>`))

// drawing is a chart laid out: what the template writes, from back to front.
type drawing struct {
	Name, Title, Says string
	Width, Height     int
	Areas             []area
	Paths             []path
	Texts             []text
}

type area struct{ Class, D, Opacity string }

type path struct {
	Class, D, Width, Dash string
	Solid, Faint          bool // filled; a line of the grid
}

type text struct {
	X, Y                string
	Anchor, Class, Text string
}
