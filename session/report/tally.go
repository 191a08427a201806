package report

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"bendbook/model/measure"
	"bendbook/session"
	"bendbook/session/form"
	"bendbook/session/verdict"
)

// TallySheet says what the tally sheet is.
const TallySheet = "A sheet to print and fill in at the tree with a pencil. It has this bow's stations " +
	"in the order of the forms: type it in from top to bottom. It says what to do next, how far to draw and " +
	"where to stop. The last readings are in grey."

// TallyPart is what follows the bow's name in a tally sheet's file name.
const TallyPart = "-tally.html"

// Tally writes the tally sheet of a bow as a page. The error is the writer's.
func Tally(w io.Writer, of Subject) error {
	story := of.Story
	a, err := of.Practice.Of(story)
	d := Document{
		Kind: "tally", Title: session.NameOf(story.Bow()), Now: of.verdict(story, a, err),
		Lead: fmt.Sprintf("Tally sheet, pass %d so far", story.Pass().Number),
		Tally: []grid{
			gridOf(form.Pull(story), "pull 1", "pull 2", "pull 3", "pull 4"), // as many as fit on a page
			gridOf(form.Braced(story), "braced").beside(gridOf(form.Relaxed(story), "relaxed")),
			gridOf(form.Block(story), "gap"),
		},
	}
	if err == nil {
		d.Figures = stopFigures(a, d.Now)
	}
	if order := session.SayOrder(story.Bow(), of.Finishing.Dates); order != "" {
		d.Facts = append(d.Facts, fact{Name: "Order", Value: order})
	}
	d.Facts = append(d.Facts, fact{Name: "Date"}, fact{Name: "Weather"})
	return writePage(w, d)
}

// stopFigures are how far to draw next and at what weight to stop; none for a bow that isn't drawn any more.
func stopFigures(a verdict.Advice, v verdict.Verdict) (all []fact) {
	next, ok := a.NextBy(v).Get()
	if !ok {
		return nil
	}
	bow := a.Bow
	draw := fact{Name: "Draw", Value: "not at all"}
	if next.Draw > 0 {
		draw = fact{Name: "Draw no farther than", Value: bow.Ruler().WithUnit(measure.Length(next.Draw))}
	}
	if next.Force.Estimate > 0 && next.Draw > 0 {
		draw.Beside = "expect " + a.Expected(next)
	}
	if most, known := next.StopAt.Get(); known {
		all = append(all, fact{Name: "Stop at", Value: bow.Weigher().WithUnit(bow.Rig.StopAt(most)),
			Beside: strings.TrimSpace(bow.Rig.OnItsScale() + " whatever the draw")})
	}
	return append([]fact{draw}, all...)
}

// gridOf has a sheet's questions with columns to fill in, and last time's answers before these.
func gridOf(s *form.Sheet, columns ...string) grid {
	g := grid{Caption: s.Title, Caution: s.Caution, Columns: columns}
	begins := s.At()
	// What a pull read last depends on its draw. Again, since a long draw is asked about.
	if was := s.Was(s.At()); s.Answer(was).State == form.Asked {
		s.Answer(was)
	}
	has := false
	for i := range s.Questions[begins:] {
		has = has || s.Was(begins+i) != ""
	}
	if has {
		g.Columns = append([]string{"last"}, columns...)
	}
	for i, q := range s.Questions[begins:] {
		if n := len(g.Groups); n == 0 || g.Groups[n-1].Name != q.Group {
			g.Groups = append(g.Groups, group{Name: q.Group})
		}
		last := &g.Groups[len(g.Groups)-1]
		asked := question{Label: q.Label, Unit: q.Unit, Cells: make([]answer, len(g.Columns))}
		if place, isStation := strings.CutSuffix(q.Label, " "+q.Unit); isStation {
			asked.Label, asked.Unit, last.Unit = place, "", q.Unit
		}
		if has {
			asked.Cells[0] = answer{true, s.Was(begins + i)}
		}
		last.Rows = append(last.Rows, asked)
	}
	return g
}

// beside is the grid with another's columns behind its own, in the rows of the same group and label.
func (g grid) beside(other grid) grid {
	g.Caption = "Braced to the string, relaxed to the line"
	g.Columns = slices.Concat(g.Columns, other.Columns)
	for i, group := range g.Groups {
		for k, q := range group.Rows {
			cells := slices.Repeat([]answer{{true, "–"}}, len(other.Columns)) // no question of the other
			for _, theirs := range other.Groups {
				for _, row := range theirs.Rows {
					if theirs.Name == group.Name && row.Label == q.Label {
						cells = row.Cells
					}
				}
			}
			g.Groups[i].Rows[k].Cells = slices.Concat(q.Cells, cells)
		}
	}
	return g
}
