package verdict_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"bendbook/model"
	"bendbook/model/aim"
	"bendbook/model/measure"
	"bendbook/model/record"
	"bendbook/session"
	"bendbook/session/verdict"
)

func storyOf(rec record.Record) session.Story { return session.Fold(rec.Description, rec.Items) }

// aimedAt is a record of a bow with another aim.
func aimedAt(t *testing.T, rec record.Record, aim model.Aim) record.Record {
	t.Helper()
	bow := rec.Bow
	bow.Aim = aim
	desc, err := record.Describe(bow)
	must(t, err)
	rec.Description = desc
	return rec
}

// A bow that is to bend like itself deviates nowhere, but for what tells its limbs apart.
func TestTheShapeOfABowIsItsOwnBend(t *testing.T) {
	rec := shop(t)["Hickory for Tamsin"]
	shape, err := verdict.ShapeOf(storyOf(rec))
	must(t, err)
	if shape.Name() != "as Hickory for Tamsin" {
		t.Errorf("it is called %q", shape.Name())
	}
	a, err := verdict.Of(storyOf(rec), verdict.Usual(), &shape)
	must(t, err)
	upper, lower := a.Limbs[model.Upper], a.Limbs[model.Lower]
	for i := range upper.At {
		if !upper.Compared[i] || !lower.Compared[i] {
			continue
		}
		// The shape lies between both limbs.
		if both := (upper.Deviation[i].Estimate + lower.Deviation[i].Estimate) / 2; math.Abs(both) > 0.03 {
			t.Errorf("at %v in both limbs are %.3f off their own shape", upper.At[i], both)
		}
	}
	compass := of(t, aimedAt(t, rec, model.Aim{Bend: "compass"}))
	if compass.Limbs[model.Upper].Deviation[0] == upper.Deviation[0] {
		t.Error("the shape makes no difference to the full compass")
	}
}

func TestAShapeThatIsNotToBeHadIsCautionedOf(t *testing.T) {
	t.Parallel()
	rec := shop(t)["Ash for Wren"]
	like, compass := rec.Bow.Aim, rec.Bow.Aim
	like.Bend, compass.Bend = aim.Like("Oak"), "compass"
	a, b := of(t, aimedAt(t, rec, like)), of(t, aimedAt(t, rec, compass))
	if said := strings.Join(a.Cautions, "\n"); !strings.Contains(said, "no readings here. I use the full compass") {
		t.Errorf("it says %q", said)
	}
	if a.Limbs[model.Upper].Deviation[0] != b.Limbs[model.Upper].Deviation[0] {
		t.Error("another aim than the full compass stands for it")
	}
	rec.Items = nil
	if _, err := verdict.ShapeOf(storyOf(rec)); !errors.Is(err, verdict.ErrUnread) {
		t.Errorf("the shape of a bow that was not read: %v", err)
	}
}

// The last foot of a limb is out of the comparison until the nocks are on, then as far as there is bend to compare.
func TestStiffTipsAreComparedOnceTheNocksAreOn(t *testing.T) {
	t.Parallel()
	rec := shop(t)["Hickory for Tamsin"]
	last := func(rec record.Record) float64 {
		limb, far := of(t, rec).Limbs[model.Upper], 0.0
		for i, at := range limb.At {
			if limb.Compared[i] {
				far = at
			}
		}
		return far
	}
	for _, c := range []struct {
		tips          measure.Optional[measure.Length]
		before, after float64
	}{{inches(0), 28, 28}, {inches(8), 24, 28}, {before: 20, after: 28}} {
		aim := rec.Bow.Aim
		aim.StiffTips = c.tips
		on := aimedAt(t, rec, aim)
		bare := on
		bare.Items = nil
		for _, item := range on.Items {
			done, ok := item.Entry.What.(model.Finish)
			if !ok || !strings.Contains(done.Step, "nock") && done.Step != model.HandedOver {
				bare.Items = append(bare.Items, item)
			}
		}
		if before, after := last(bare), last(on); before != c.before || after != c.after {
			t.Errorf("stiff tips %+v: compared to %v in before the nocks, %v after; want %v and %v", c.tips, before,
				after, c.before, c.after)
		}
	}
}
