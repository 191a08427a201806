package order

import (
	"strings"
	"testing"

	"bendbook/model"
	"bendbook/model/measure"
)

func longbow(limb measure.Length) model.Bow {
	l := model.Limb{Length: limb, Stations: []measure.Length{8, 16, 24}}
	return model.Bow{
		Units: measure.Imperial(), Handle: 4, HandleDepth: measure.Some[measure.Length](1.25),
		Section: model.SectionD, Limbs: [2]model.Limb{l, l},
		Order: model.Order{Draw: measure.Some[measure.Length](28), Weight: measure.Some[measure.Force](40)},
	}
}

// Trade standard for draw length (read; testdata/reference): string's nock to the pivot point plus 1¾ in;
// 26¼ in there is a 28 in draw.
func TestDrawsInEachWayOfMeasuring(t *testing.T) {
	for _, c := range []struct {
		to                 model.DrawTo
		belly, back, trade measure.Length
	}{
		{model.ToPivot, 26.25, 27.5, 28},
		{model.ToBelly, 28, 29.25, 29.75},
		{model.ToBack, 26.75, 28, 28.5},
	} {
		bow := longbow(34)
		bow.Order.DrawTo = c.to
		d := DrawsOf(bow)
		if d.Belly.Or(0) != c.belly || d.Back.Or(0) != c.back || d.Trade.Or(0) != c.trade {
			t.Errorf("28 in to %s: %+v, want %v, %v, %v", c.to, d, c.belly, c.back, c.trade)
		}
	}
	bow := longbow(34)
	bow.HandleDepth, bow.Order.DrawTo = measure.Optional[measure.Length]{}, model.ToBack
	if d := DrawsOf(bow); d.Belly.Known() || d.Trade.Known() || d.Back.Or(0) != 28 {
		t.Errorf("without the handle's depth: %+v", d)
	}
	if d := DrawsOf(model.Bow{}); d != (Draws{}) {
		t.Errorf("without an order: %+v", d)
	}
}

// The rule of the target longbow, in a coach's manual (read): depth at least 5/8 of the width; not shorter
// than 5 ft for arrows to 26 in, else 5 ft 6 in.
func TestTheRuleOfTheTargetLongbow(t *testing.T) {
	sized := func(width, depth measure.Length) model.Bow {
		bow := longbow(34)
		bow.Limbs[model.Lower].Widths = []measure.Optional[measure.Length]{measure.Some(width), {},
			measure.Some(width)}
		bow.Limbs[model.Lower].Depths = []measure.Optional[measure.Length]{measure.Some(depth),
			measure.Some[measure.Length](0.1)}
		return bow
	}
	arrows := func(limb, draw measure.Length) model.Bow { // arrows are 1¼ in longer than the draw to the belly
		bow := longbow(limb)
		bow.Order.Draw = measure.Some(draw)
		return bow
	}
	flat := longbow(28) // 60 in, 152 cm
	flat.Section = model.SectionRectangle
	for _, c := range []struct {
		name string
		bow  model.Bow
		says string // "" for no warning
	}{
		{"a depth of just 5/8", sized(1.2, 0.75), ""},
		{"a little less", sized(1.2, 0.74), "lower limb at 8 in is 0.62 as deep as wide"},
		{"5 ft 6 in for 29 in arrows", arrows(31, 27.75), ""},
		{"an inch less", arrows(30.5, 27.75), "arrows over 26 in need a target longbow of 5 ft 6 in or more: this one is 65 in, and its arrows 29 in"},
		{"5 ft for 26 in arrows", arrows(28, 24.75), ""},
		{"5 ft for 27 in arrows", arrows(28, 25.75), "5 ft 6 in"},
		{"under 5 ft", arrows(27, 24), "5 ft or longer; this one is 58 in"},
		{"a flatbow of 152 cm", flat, "160 cm or more nock to nock for men; this one is 152 cm"},
	} {
		got := strings.Join(Warnings(c.bow), "\n")
		if c.says == "" && got != "" || !strings.Contains(got, c.says) {
			t.Errorf("%s: %q", c.name, got)
		}
	}
}

func TestOrdersThatSayTooLittleOrTooMuch(t *testing.T) {
	bow := longbow(34)
	bow.Order.Allow = measure.Some[measure.Force](20)
	if got := Warnings(bow); len(got) != 1 || !strings.Contains(got[0], "20.0 lb either side") {
		t.Errorf("%q", got)
	}
	bow.Order = model.Order{Weight: measure.Some[measure.Force](40)}
	if got := Warnings(bow); len(got) != 1 || !strings.Contains(got[0], "no draw length") {
		t.Errorf("%q", got)
	}
	bow.Order = model.Order{Draw: measure.Some[measure.Length](28), DrawTo: model.ToBack}
	bow.HandleDepth = measure.Optional[measure.Length]{}
	if got := Warnings(bow); len(got) != 1 || !strings.Contains(got[0], "how deep the handle is") {
		t.Errorf("%q", got)
	}
	if len(Warnings(model.Bow{Units: measure.Imperial()})) != 0 {
		t.Error("a bow of which nothing is known is warned of")
	}
}
