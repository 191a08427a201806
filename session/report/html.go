package report

import (
	"embed"
	"html/template"
	"io"
	"strings"
)

//go:embed page.html style.css
var files embed.FS

var pages = template.Must(template.New("page.html").Funcs(template.FuncMap{"style": style}).ParseFS(files, "page.html"))

// style is the style sheet. It is part of this program and needs no escaping.
func style() (template.CSS, error) {
	css, err := files.ReadFile("style.css")
	return template.CSS(css), err
}

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
