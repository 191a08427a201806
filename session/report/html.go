package report

import (
	_ "embed" // the page and its style sheet
	"html/template"
	"io"
	"regexp"
	"strings"
)

//go:embed page.html
var pageHTML string

//go:embed style.css
var styleCSS template.CSS

var pages = template.Must(template.New("page").Funcs(template.FuncMap{
	"style": func() template.CSS { return styleCSS }, "whole": whole,
}).Parse(pageHTML))

// unbroken are days, ranges, and measures with their units.
var unbroken = regexp.MustCompile(`\d{4}-\d\d-\d\d|(?:\d+ )?[A-Z][a-z]{2} \d[ \d]*\b|` +
	`(?:\d+ )?[\d./]*\d–\d[\d./]*(?: \d+/\d+)?(?: ×\d+)?|` +
	`[+−-]?\d+(?:[.,]\d+| \d+/\d+|/\d+)? (?:in|cm|mm|lb|kg|ft lb|J)\b`)

// whole is text whose days and measures stay on one line each.
func whole(text string) template.HTML {
	var b strings.Builder
	end := 0
	for _, at := range unbroken.FindAllStringIndex(text, -1) {
		b.WriteString(template.HTMLEscapeString(text[end:at[0]]))
		b.WriteString(`<span class="whole">` + text[at[0]:at[1]] + `</span>`)
		end = at[1]
	}
	return template.HTML(b.String() + template.HTMLEscapeString(text[end:]))
}

func writePage(w io.Writer, d Document) error { return pages.Execute(w, d) }
