package verdict_test

import (
	"strings"
	"testing"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/model/treetest"
	"bendbook/session/verdict"
)

// TestATreeThatGivesIsSaid: where the support sinks by half an inch at 40 lb, the line is read too far out and the
// draws are shorter than they look. The verdict says that the readings fit no bow well, and asks for the tree; of
// the same bow on a tree that holds it doesn't.
func TestATreeThatGivesIsSaid(t *testing.T) {
	for _, sinks := range []float64{0, 0.5 / 40} {
		w := newTree(t, 4)
		draws := []float64{10, 13, 16, 19, 22}
		p := treetest.Plan{Draws: draws, LineDraws: draws, BraceHeight: true, Rule: 1.0 / 32, Scale: 0.1}
		for _, at := range w.bow.Limbs[model.Upper].Stations {
			p.Stations = append(p.Stations, float64(at))
		}
		hang := w.stave.Read(w.r, p).Hangs[0]
		w.add(model.Braced{Height: measure.Some(measure.Length(hang.Brace))})
		for _, pull := range hang.Pulls {
			sunk := sinks * pull.Peak
			for i := range pull.Line {
				pull.Line[i].Value += sunk
			}
			w.add(model.Pull{Draw: measure.Length(pull.Draw + sunk), Peak: measure.Some(measure.Force(pull.Peak)),
				From: model.FromLine, Readings: rows(pull.Line, w.bow.Limbs[model.Upper].Stations)})
		}
		a := w.says(verdict.Usual())
		v := judge(a)
		said := strings.Contains(v.Why+strings.Join(a.Cautions, " "), "fit one bow well")
		if said != (sinks > 0) {
			t.Errorf("with a tree that sinks %v in per lb it says %q %q, %q", sinks, v.Say, v.Why, a.Cautions)
		}
	}
}
