package page

import (
	"fmt"
	"io"
	"strings"

	"bendbook/model/date"
	"bendbook/session"
	"bendbook/session/sheet"
)

// TallySheet says what the tally sheet is.
const TallySheet = "A sheet to print and fill in at the tree with a pencil: this bow's stations in the order in which the forms ask, " +
	"so that it is typed from top to bottom afterwards."

// tally is a sheet to fill in at the tree with a pencil: the questions of this bow's forms in the order in which the
// forms ask them, with room for each answer, so that it is typed from top to bottom afterwards.
type tally struct {
	Grids   []grid
	Scrapes []struct{}
}

// grid is the questions of one form, a row each, with columns to fill in.
type grid struct {
	Caption string
	Caution string
	Columns []string
	Groups  []group
}

// group is a run of questions under one heading: upper limb, with the unit of all of them where they have one.
type group struct {
	Name string
	Unit string
	Rows []line
}

// line is one question: what is asked, and in which unit where the group does not say it.
type line struct{ Label, Unit string }

// How many columns and lines a tally sheet has room for on a page.
const (
	tallyPulls   = 4
	tallyScrapes = 6
)

// Tally writes the tally sheet of a bow as a page. The error is the writer's.
func Tally(w io.Writer, story session.Story) error {
	bow := story.Bow()
	p := page{
		Title: session.NameOf(bow), Kind: "tally", Lead: fmt.Sprintf("Tally sheet for pass %d, to fill in at the tree", story.Pass().Number),
		Tally: &tally{Scrapes: make([]struct{}, tallyScrapes)},
	}
	if order := session.SayOrder(bow, date.ISO); order != "" {
		p.Facts = append(p.Facts, fact{"Order", order})
	}
	p.Facts = append(p.Facts, fact{"Date", ""}, fact{"Weather", ""})
	pulls := make([]string, tallyPulls)
	for i := range pulls {
		pulls[i] = fmt.Sprintf("pull %d", i+1)
	}
	p.Tally.Grids = append(p.Tally.Grids, gridOf(sheet.Pull(story), pulls), gridOf(sheet.Braced(story), []string{"braced"}), gridOf(sheet.Block(story), []string{"block gap"}))
	return p.write(w)
}

func gridOf(s *sheet.Sheet, columns []string) grid {
	g := grid{Caption: s.Title, Caution: s.Caution, Columns: columns}
	for _, q := range s.Questions {
		if n := len(g.Groups); n == 0 || g.Groups[n-1].Name != q.Group {
			g.Groups = append(g.Groups, group{Name: q.Group})
		}
		last := &g.Groups[len(g.Groups)-1]
		l := line{Label: q.Label, Unit: q.Unit}
		if place, isStation := strings.CutSuffix(q.Label, " "+q.Unit); isStation {
			l = line{Label: place}
			last.Unit = q.Unit
		}
		last.Rows = append(last.Rows, l)
	}
	return g
}

// Width is how many columns the table has, the questions' own included.
func (g grid) Width() int { return len(g.Columns) + 1 }
