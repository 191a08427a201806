package model_test

import (
	"strconv"
	"testing"

	"bendbook/model"
	"bendbook/model/measure"
)

// Every mark of a rule in sixteenths, and every tenth of a pound, is the same to the last digit when it is
// typed as it is in metric units.
func TestMarksOfTheRecordsRuleAreReadBackExactly(t *testing.T) {
	kept := model.Bow{Units: measure.Imperial()}
	for _, units := range []measure.Units{
		{Length: measure.Centimetre, Force: measure.KilogramForce}, {Length: measure.Millimetre, Force: measure.Newton},
	} {
		bow := kept.ShownIn(units)
		for n := 1; n <= 80*16; n++ {
			l, f := measure.Length(n)/16, measure.Force(n)/10
			text := strconv.FormatFloat(l.In(units.Length), 'f', -1, 64)
			if got, err := bow.ParseLength(text); err != nil || got != l {
				t.Fatalf("%s %s is read as %v in (%v), want %v", text, units.Length, float64(got), err, float64(l))
			}
			text = strconv.FormatFloat(f.In(units.Force), 'f', -1, 64)
			if got, err := bow.ParseForce(text); err != nil || got != f {
				t.Fatalf("%s %s is read as %v lb (%v), want %v", text, units.Force, float64(got), err, float64(f))
			}
		}
	}
}

// A step that is round only in the unit of the record is none in the unit that is shown.
func TestABowIsToldByARuleOfTheUnitThatIsShown(t *testing.T) {
	metric := measure.Units{Length: measure.Centimetre, Force: measure.KilogramForce}
	for _, c := range []struct {
		kept, shown measure.Units
		rule        measure.Length
		scale       measure.Force
		want        string
	}{
		{measure.Imperial(), metric, 1.0 / 16, 0.1, "25.4 cm, 4.5 kg"},
		{measure.Imperial(), metric, 1.0 / 4, 0.5, "25.4 cm, 4.5 kg"},
		{measure.Imperial(), metric, measure.Millimetre.Length(5), measure.KilogramForce.Force(0.5), "25.5 cm, 4.5 kg"},
		{measure.Imperial(), metric, 0, 0, "25.4 cm, 4.5 kg"},
		{metric, measure.Imperial(), measure.Millimetre.Length(1), measure.KilogramForce.Force(0.1), "10 in, 10.0 lb"},
		{metric, measure.Imperial(), 1.0 / 8, 0.5, "10 in, 10.0 lb"},
		{metric, metric, measure.Millimetre.Length(5), measure.KilogramForce.Force(0.5), "25.5 cm, 4.5 kg"},
	} {
		bow := model.Bow{Units: c.kept, Rule: c.rule, Scale: c.scale}.ShownIn(c.shown)
		if got := bow.Ruler().WithUnit(10) + ", " + bow.Weigher().WithUnit(10); got != c.want {
			t.Errorf("kept in %v, steps %g and %g: %s, want %s", c.kept, c.rule, c.scale, got, c.want)
		}
		if back := bow.AsKept(); back.Units != c.kept || bow.KeptIn() != c.kept {
			t.Errorf("kept in %v it comes back in %v", c.kept, back.Units)
		}
	}
}
