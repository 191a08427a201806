package report

import (
	"fmt"
	"math"
	"slices"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/session"
	"bendbook/session/verdict"
)

// picture is a chart with what it shows in words and figures.
type picture struct {
	Name  string // a word without blanks, different for each picture of a page
	Title string
	Says  string // in sentences
	Table Table  // in figures

	chart chart
}

// pictures are those that a story and its advice have something for, in the order of looking.
func pictures(story session.Story, a verdict.Advice) []picture {
	var all []picture
	for _, draw := range []func(session.Story, verdict.Advice) (picture, bool){
		limbsPicture, changesPicture, bendPicture, forcePicture, weightsPicture,
	} {
		if p, ok := draw(story, a); ok {
			p.Table.Caption = p.Title
			all = append(all, p)
		}
	}
	return all
}

// mostPasses is how many passes are drawn over each other: the newest ones, and the first.
const mostPasses = 5

// hanging is the pose to draw: of those that the newest pass with readings was read in, the one that most
// passes share; to the line before to the string, drawn before braced, and the longer draw first.
func hanging(story session.Story) (best session.Pose, ok bool) {
	for _, pass := range slices.Backward(story.Passes) {
		poses := pass.Poses()
		if len(poses) == 0 {
			continue
		}
		rank := func(p session.Pose) []float64 {
			r := []float64{0, 0, float64(len(passesIn(story, p))), float64(p.Draw)}
			if p.From == model.FromLine {
				r[0] = 1
			}
			if p.Kind == model.KindPull {
				r[1] = 1
			}
			return r
		}
		return slices.MaxFunc(poses, func(a, b session.Pose) int { return slices.Compare(rank(a), rank(b)) }), true
	}
	return best, false
}

// passesIn are the passes to draw that were read in the pose, the newest first.
func passesIn(story session.Story, pose session.Pose) []int {
	var passes []int
	for n, pass := range slices.Backward(story.Passes) {
		if _, ok := pass.Reading(pose); ok {
			passes = append(passes, n)
		}
	}
	if len(passes) > mostPasses {
		passes = append(passes[:mostPasses-1], passes[len(passes)-1])
	}
	return passes
}

// reading is what a picture shows of the readings of one pass.
type reading func(rows model.Readings, side model.Side, i int) measure.Optional[measure.Length]

// addPasses draws a line for each limb and pass; the newest is drawn last, over the others.
func (c *chart) addPasses(story session.Story, pose session.Pose, passes []int, shown reading) {
	bow := story.Bow()
	for age, pass := range slices.Backward(passes) {
		rows, _ := story.Passes[pass].Reading(pose)
		for _, side := range model.Sides {
			s := series{look: looks[age]}
			if side == model.Upper {
				s.name = fmt.Sprintf("pass %d", pass)
			}
			for i, at := range bow.Limbs[side].Stations {
				y := math.NaN()
				if l, known := shown(rows, side, i).Get(); known {
					y = l.In(bow.Units.Length)
				}
				s.add(along(bow, side, at), y)
			}
			c.series = append(c.series, s)
		}
	}
}

// passesTable has a row for each station, and a column for each limb and pass.
func passesTable(
	story session.Story, pose session.Pose, passes []int, shown reading, say func(measure.Length) string,
) Table {
	bow := story.Bow()
	t := Table{Head: []string{fmt.Sprintf("out from the handle (%s)", bow.Units.Length)}}
	for _, at := range session.Stations(bow) {
		t.Rows = append(t.Rows, []string{bow.Ruler().Print(at.At)})
	}
	for _, pass := range passes {
		rows, _ := story.Passes[pass].Reading(pose)
		for _, side := range []model.Side{model.Lower, model.Upper} {
			t.Head = append(t.Head, fmt.Sprintf("%s, pass %d", side, pass))
			for i, at := range session.Stations(bow) {
				t.Rows[i] = append(t.Rows[i], or(shown(rows, side, at.Index[side]), say))
			}
		}
	}
	return t
}

func size(d measure.Optional[measure.Length]) measure.Length { return max(d.Or(0), -d.Or(0)) }
