package report

import (
	_ "embed" // the page and its style sheet
	"html/template"
	"io"
)

//go:embed page.html
var pageHTML string

//go:embed style.css
var styleCSS template.CSS

var pages = template.Must(template.New("page").
	Funcs(template.FuncMap{"style": func() template.CSS { return styleCSS }}).Parse(pageHTML))

// writePage writes the document as a page with its pictures.
func writePage(w io.Writer, d Document) error { return pages.Execute(w, d) }
