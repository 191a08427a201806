package verdict_test

import (
	"strings"
	"testing"

	"bendbook/model"
	"bendbook/session/verdict"
)

// Where the support sinks by half an inch at 40 lb, the line is read too far out and the draws are shorter than
// they look. The verdict says that the readings fit no bow well; of the same bow on a tree that holds it doesn't.
func TestATreeThatGivesIsSaid(t *testing.T) {
	for _, sinks := range []float64{0, 0.5 / 40} {
		w := newTree(t, 4)
		p := w.plan(10, 13, 16, 19, 22)
		p.BraceHeight = true
		hang := w.stave.Read(w.r, p).Hangs[0]
		w.add(model.Braced{Height: inches(hang.Brace)})
		for i := range hang.Pulls {
			pull := &hang.Pulls[i]
			sunk := sinks * pull.Peak
			pull.Draw += sunk
			for k := range pull.Line {
				pull.Line[k].Value += sunk
			}
		}
		w.pull(hang)
		a := w.says(verdict.Usual())
		v := judge(a)
		said := strings.Contains(v.Why+strings.Join(a.Cautions, " "), "fit one bow well")
		if said != (sinks > 0) {
			t.Errorf("with a tree that sinks %v in per lb it says %q %q, %q", sinks, v.Say, v.Why, a.Cautions)
		}
	}
}
