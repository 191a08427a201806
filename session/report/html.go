package report

import (
	_ "embed" // the page and its style sheet
	"html/template"
	"io"
	"strings"
)

//go:embed page.html
var pageHTML string

//go:embed style.css
var styleCSS template.CSS

var pages = template.Must(template.New("page").
	Funcs(template.FuncMap{"style": func() template.CSS { return styleCSS }}).Parse(pageHTML))

// page is what the template writes.
type page struct {
	Document
	Kind  string // a class of the body
	Tally *tally
}

func (p page) write(w io.Writer) error { return pages.Execute(w, p) }

// writePage writes a story as a page.
func writePage(w io.Writer, of Subject) error {
	d, err := Of(of)
	if err != nil {
		return err
	}
	return page{Document: d, Kind: "summary"}.write(w)
}

// writeCardPage writes a card as a page that shows all of it at once.
func writeCardPage(w io.Writer, card Document) error {
	card.Open = true
	return page{Document: card, Kind: "card"}.write(w)
}

// Title is the caption without the colon that leads to the table in a text.
func (t Table) Title() string { return strings.TrimSuffix(t.Caption, ":") }
