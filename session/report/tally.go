package report

import (
	"fmt"
	"io"
	"strings"

	"bendbook/model/date"
	"bendbook/session"
	"bendbook/session/form"
)

// TallySheet says what the tally sheet is.
const TallySheet = "A sheet to print and fill in at the tree with a pencil: this bow's stations in the " +
	"order in which the forms ask, so that it is typed from top to bottom afterwards."

// TallyPart is the end of a tally sheet's file name, behind the bow's.
const TallyPart = "-tally.html"

// tally is the questions of a bow's forms with room to write the answers.
type tally struct {
	Grids   []grid
	Scrapes [tallyScrapes]struct{}
}

// grid is the questions of one form, a row each, with columns to fill in.
type grid struct {
	Caption, Caution string
	Columns          []string
	Groups           []group
}

// group is a run of questions under one heading, such as the upper limb, with the unit of all or "".
type group struct {
	Name, Unit string
	Rows       []question
}

// question has its unit where the group has none.
type question struct{ Label, Unit string }

// How many pulls and scrapings fit on a page.
const (
	tallyPulls   = 4
	tallyScrapes = 6
)

// Tally writes the tally sheet of a bow as a page. The error is the writer's.
func Tally(w io.Writer, story session.Story) error {
	bow := story.Bow()
	d := Document{
		Title: session.NameOf(bow),
		Lead:  fmt.Sprintf("Tally sheet for pass %d, to fill in at the tree", story.Pass().Number),
	}
	if order := session.SayOrder(bow, date.ISO); order != "" {
		d.Facts = append(d.Facts, fact{Name: "Order", Value: order})
	}
	d.Facts = append(d.Facts, fact{Name: "Date"}, fact{Name: "Weather"})
	var pulls []string
	for n := range tallyPulls {
		pulls = append(pulls, fmt.Sprintf("pull %d", n+1))
	}
	return page{Document: d, Kind: "tally", Tally: &tally{Grids: []grid{
		gridOf(form.Pull(story), pulls...), gridOf(form.Braced(story), "braced"),
		gridOf(form.Block(story), "block gap"),
	}}}.write(w)
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

// Width is how many columns the table has with that of the questions.
func (g grid) Width() int { return len(g.Columns) + 1 }
