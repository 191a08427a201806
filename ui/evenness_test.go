package ui

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/session/verdict"
	"bendbook/ui/look"
)

// The picture's curves have the strips' figures, nothing where a strip can't tell, and one scale whichever pass is
// looked at.
func TestThePictureIsThatOfTheStrips(t *testing.T) {
	t.Parallel()
	a := atTheBench(t).bench().advice
	for pass := range a.Strips {
		p := evennessOf(a, pass).plot(look.Styles{}, 80, 12)
		if p.Y.Min != -a.Scale() || p.Y.Max != a.Scale() || a.Scale() < 0.3 {
			t.Errorf("pass %d goes from %v to %v, the bow's scale is %v", pass, p.Y.Min, p.Y.Max, a.Scale())
		}
		// The newest pass is drawn last of all, the upper limb and then the lower.
		first := len(p.Series) - 3
		if pass == a.Pass {
			first -= len(a.Findings)
		}
		for side, series := range p.Series[first : first+2] {
			course := a.Strips[pass].Limbs[side]
			for i, y := range series.Y {
				d := course.Deviation[i].Estimate
				if math.IsNaN(y) == course.Known[i] || course.Known[i] && (y != d || math.Abs(y) > a.Scale()) {
					t.Errorf("pass %d, %v limb at %v: drawn %v, told %v (%v)", pass, model.Side(side), course.At[i], y, d,
						course.Known[i])
				}
			}
		}
	}
}

// Each line of the story has its pass's strip and forecast, as the advice has them.
func TestTheStoryShowsEachPassAsItWasTold(t *testing.T) {
	t.Parallel()
	h := atTheBench(t)
	a := h.bench().advice
	h.press("t")
	for _, s := range a.Strips {
		f, _ := s.Weight.Get()
		scale := a.Bow.Weigher()
		force := func(v float64) string { return scale.Print(measure.Force(v)) }
		h.see(strings.TrimRight(s.Text(model.Lower, false)+"━"+s.Text(model.Upper, false), " "),
			fmt.Sprintf("%s (%s–%s)", force(f.Estimate), force(f.Low), force(f.High)))
	}
	h.reads(a.SayHistory(h.app.desk.dates())[0])
}

// Each kind of cell has a glyph of its own, one cell wide, also in ASCII.
func TestCellsAreToldApartWithoutColour(t *testing.T) {
	for _, ascii := range []bool{false, true} {
		var glyphs []rune
		for c := verdict.Unknown; c <= verdict.Weak; c++ {
			glyph := c.Glyph(ascii)
			if slices.Contains(glyphs, glyph) || ascii && glyph > 126 {
				t.Errorf("%v is %c", c, glyph)
			}
			glyphs = append(glyphs, glyph)
		}
	}
}

// Bows side by side show the strip of each one's last pass, and what is alike for all in one place.
func TestBowsAreComparedByTheirLastStrips(t *testing.T) {
	t.Parallel()
	h := sit(t, look.NoColour, true, 80, 24)
	var strips []string
	for _, keys := range [][]string{{"enter"}, {"down", "enter"}} {
		h.press(keys...)
		a := h.bench().advice
		last := a.Strips[a.Pass]
		strips = append(strips, last.Text(model.Lower, false)+"━"+last.Text(model.Upper, false))
		h.press("esc", "home")
	}
	h.press(" ", " ", "C")
	for _, strip := range strips {
		h.see(strings.TrimRight(strip, " "))
	}
	h.reads("Alike: section D, draw 28 in belly")
	h.miss("section         D")
}
