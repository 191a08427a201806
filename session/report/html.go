package report

import (
	_ "embed" // the page and its style sheet
	"fmt"
	"html/template"
	"io"
	"strings"

	"bendbook/model/date"
	"bendbook/session"
	"bendbook/session/form"
)

//go:embed page.html
var pageHTML string

//go:embed style.css
var styleCSS template.CSS

var pages = template.Must(template.New("page").
	Funcs(template.FuncMap{"style": func() template.CSS { return styleCSS }}).Parse(pageHTML))

// writePage writes the document as a page with its pictures.
func writePage(w io.Writer, d Document) error { return pages.Execute(w, d) }

// TallySheet says what the tally sheet is.
const TallySheet = "A sheet to print and fill in at the tree with a pencil. It has this bow's stations in the " +
	"order of the forms: type it in from top to bottom."

// TallyPart is what follows the bow's name in a tally sheet's file name.
const TallyPart = "-tally.html"

// Tally writes the tally sheet of a bow as a page. The error is the writer's.
func Tally(w io.Writer, story session.Story) error {
	d := Document{
		Kind: "tally", Title: session.NameOf(story.Bow()),
		Lead: fmt.Sprintf("Tally sheet for pass %d, to fill in at the tree", story.Pass().Number),
		Tally: &tally{Grids: []grid{
			gridOf(form.Pull(story), "pull 1", "pull 2", "pull 3", "pull 4"), // as many as fit on a page
			gridOf(form.Braced(story), "braced"), gridOf(form.Block(story), "block gap"),
		}},
	}
	if order := session.SayOrder(story.Bow(), date.ISO); order != "" {
		d.Facts = append(d.Facts, fact{Name: "Order", Value: order})
	}
	d.Facts = append(d.Facts, fact{Name: "Date"}, fact{Name: "Weather"})
	return writePage(w, d)
}

func gridOf(s *form.Sheet, columns ...string) grid {
	g := grid{Caption: s.Title, Caution: s.Caution, Columns: columns}
	for _, q := range s.Questions {
		if n := len(g.Groups); n == 0 || g.Groups[n-1].Name != q.Group {
			g.Groups = append(g.Groups, group{Name: q.Group})
		}
		last := &g.Groups[len(g.Groups)-1]
		asked := question{Label: q.Label, Unit: q.Unit}
		if place, isStation := strings.CutSuffix(q.Label, " "+q.Unit); isStation {
			asked, last.Unit = question{Label: place}, q.Unit
		}
		last.Rows = append(last.Rows, asked)
	}
	return g
}
