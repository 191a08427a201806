package verdict_test

import (
	"math"
	"reflect"
	"regexp"
	"strings"
	"testing"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/session/verdict"
)

// sized gives a bow widths and depths at all stations.
func sized(bow *model.Bow, depth float64) {
	for side := range bow.Limbs {
		limb := &bow.Limbs[side]
		limb.Widths, limb.Depths = nil, nil
		for range limb.Stations {
			limb.Widths, limb.Depths = append(limb.Widths, inches(1.1)), append(limb.Depths, inches(depth))
		}
	}
}

// worked reads a stave, scrapes it by shares of its depth and reads it again; it is measured before, between or
// after.
func worked(t *testing.T, before, between, after float64) *tree {
	w := newTree(t, 4)
	part := func(depth float64) {
		if depth > 0 {
			w.edit(func(bow *model.Bow) { sized(bow, depth) })
		}
	}
	part(before)
	w.read(9, 14)
	part(between)
	w.add(model.Scrape{Limb: model.Upper, From: 8, To: 16, Tool: "scraper", DepthShare: measure.Some(0.05)})
	w.read(14)
	part(after)
	return w
}

// What a calliper says of a limb is of that moment. Before the first scrape it is of the stave, and says how
// stiff that is to be expected; once wood came off it says of how much wood a share is, and nothing of the stave.
func TestSizesAreOfTheirMoment(t *testing.T) {
	says := func(w *tree) verdict.Advice { return w.says(verdict.Usual()) }
	same := func(a, b verdict.Advice) bool {
		return reflect.DeepEqual(a.Curve, b.Curve) && reflect.DeepEqual(a.CameOff, b.CameOff)
	}
	depth := func(a verdict.Advice) float64 {
		if len(a.Removal) == 0 {
			return 0
		}
		return a.Removal[0].Depth.Or(0) / a.Removal[0].DepthShare
	}
	never, first, early := says(worked(t, 0, 0, 0)), says(worked(t, 0.8, 0, 0)), says(worked(t, 0, 0.8, 0))
	late, twice := says(worked(t, 0, 0, 0.7)), says(worked(t, 0.8, 0, 0.7))
	if same(never, first) {
		t.Error("sizes of the stave say nothing of it")
	}
	if !same(first, early) {
		t.Error("a stave measured after its first reading is not the stave that was described so from the beginning")
	}
	if !same(never, late) {
		t.Error("what was measured after wood came off is taken for the stave")
	}
	if !same(first, twice) {
		t.Error("what was measured anew takes the place of the stave's own sizes")
	}
	for _, c := range []struct {
		name string
		a    verdict.Advice
		want float64
	}{{"never", never, 0}, {"first", first, 0.8}, {"late", late, 0.7}, {"twice", twice, 0.7}} {
		if got := depth(c.a); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("measured %s: the depth that wood is told by is %v, want %v", c.name, got, c.want)
		}
	}
}

// What shooting a bow in did to tiller and set is told once it was read again, and not before.
func TestShootingInTellsBeforeAndAfter(t *testing.T) {
	w := newTree(t, 5)
	grew := regexp.MustCompile(`set grew by \+(3/16|7/32|1/4|9/32|5/16)\.$`) // of 1/4 in, by rule
	told := func() (said string) {
		a := w.says(verdict.Usual())
		for _, part := range a.Parts(judge(a)) {
			if part.Heading == "Shot in" {
				said = part.Texts[0]
			}
		}
		return said
	}
	w.follows(0).read(9, 14)
	w.add(model.Shot{Arrows: 20}, model.Shot{Arrows: 10})
	if said := told(); said != "" {
		t.Errorf("not read since, it says %q", said)
	}
	w.follows(0.25).read(9, 14)
	if said := told(); !strings.HasPrefix(said, "30 arrows: upper − lower at 8 in was ") || !grew.MatchString(said) {
		t.Errorf("it says %q", said)
	}
}
