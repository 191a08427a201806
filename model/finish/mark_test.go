package finish

import (
	"math"
	"testing"

	"bendbook/model"
	"bendbook/model/measure"
)

func ordered(draw measure.Length) model.Bow {
	return model.Bow{Units: measure.Imperial(), Number: "270201-1-KXTR", Rule: 1.0 / 16, Scale: 0.1,
		Order: model.Order{Draw: measure.Some(draw)}}
}

// A bow that peaks at 36 with a pound of settling is marked 35: common practice.
func TestMarks(t *testing.T) {
	one := Allowance{Mean: 0.025, Low: -0.004, High: 0.054} // common practice
	for _, c := range []struct {
		name      string
		weighings Weighings
		round     string
		weight    measure.Force
		text      string
		foretold  bool
	}{
		{"36 with a pound of settling", Weighings{Tree: pounds(37), Finished: pounds(36)}, roundDown, 35, "35 lb @ 28 in 270201-1-KXTR", false},
		{"a hair less", Weighings{Finished: pounds(35.8)}, roundDown, 34, "34 lb @ 28 in 270201-1-KXTR", false},
		{"a hair less, to the nearest", Weighings{Finished: pounds(35.8)}, roundNearest, 35, "35 lb @ 28 in 270201-1-KXTR", false},
		{"a hair more, up", Weighings{Finished: pounds(36.1)}, roundUp, 36, "36 lb @ 28 in 270201-1-KXTR", false},
		{"on the tree, finishing and settling to come", Weighings{Tree: pounds(37)}, roundDown, 35, "35 lb @ 28 in 270201-1-KXTR", true},
		{"a bow of 90 loses more", Weighings{Finished: pounds(91)}, roundDown, 88, "88 lb @ 28 in 270201-1-KXTR", false},
		{"after its first weeks", Weighings{Tree: pounds(37), Finished: pounds(36), Used: pounds(35.2)}, roundDown, 35, "35 lb @ 28 in 270201-1-KXTR", false},
	} {
		s := Usual()
		s.Mark.Round = c.round
		mark, ok := s.MarkOf(ordered(28), c.weighings, Allowances{Sanding: one, Settling: one})
		if !ok || mark.Weight != c.weight || mark.Text != c.text || mark.Foretold() != c.foretold {
			t.Errorf("%s: %+v", c.name, mark)
		}
	}
	// The band is that of what is to come: ± 2.9 % for settling alone, √2 times that with finishing.
	mark, _ := Usual().MarkOf(ordered(28), Weighings{Tree: pounds(42)}, Allowances{one, one})
	half := float64(mark.High-mark.Low) / 2
	if math.Abs(half-40*0.029*math.Sqrt2) > 1e-9 || math.Abs(float64(mark.Settled)-40) > 1e-9 {
		t.Errorf("%+v", mark)
	}
	// Of a scale on the rope that nobody weighed both ways with, it is nine times in ten 4.5 % either way besides.
	onRope := ordered(28)
	onRope.Rig.ScaleAt = model.OnRope
	mark, _ = Usual().MarkOf(onRope, Weighings{Used: pounds(40)}, Allowances{one, one})
	if half := float64(mark.High-mark.Low) / 2; math.Abs(half-40*1.645*0.03/1.1) > 1e-9 {
		t.Errorf("%+v", mark)
	}
	if _, ok := Usual().MarkOf(ordered(28), Weighings{}, Allowances{}); ok {
		t.Error("a mark without a weighing")
	}
	unordered := model.Bow{Units: measure.Imperial()}
	if _, ok := Usual().MarkOf(unordered, Weighings{Finished: pounds(36)}, Allowances{}); ok {
		t.Error("a mark without a draw")
	}
}

// A bow of kilograms is rounded in kilograms: 36 lb is 16.33 kg, less 2.5 % is 15.93.
func TestAMarkIsRoundedInTheBowsOwnUnit(t *testing.T) {
	bow := ordered(28)
	bow.Units = measure.Units{Length: measure.Centimetre, Force: measure.KilogramForce}
	bow.Order.Draw, bow.Rule, bow.Scale = measure.Some(measure.Centimetre.Length(71)), 0, 0
	s := Usual()
	s.Mark.Step = 0.5
	mark, _ := s.MarkOf(bow, Weighings{Finished: pounds(36)}, Allowances{Settling: Allowance{Mean: 0.025}})
	if mark.Text != "15.5 kg @ 71 cm 270201-1-KXTR" {
		t.Errorf("%q", mark.Text)
	}
}
