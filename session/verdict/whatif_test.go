package verdict_test

import (
	"math"
	"strings"
	"testing"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/session/verdict"
)

// What is asked in words changes the weight the way it does at the tree, and nothing else.
func TestWhatIfGoesTheRightWay(t *testing.T) {
	w := newTree(t, 3)
	w.bow.Wood = "ash"
	w.read(9, 12, 15, 18)
	a := w.says(verdict.Usual())
	would := func(answers map[string]string) verdict.Would {
		t.Helper()
		asked, err := a.Asked(answers)
		must(t, err)
		o, err := a.Would(asked)
		must(t, err)
		return o
	}
	now := would(nil)
	if weight, _ := a.Weight.Get(); math.Abs(now.Weight.Force.Estimate-weight.Force.Estimate) > 1e-9 {
		t.Errorf("asked nothing it weighs %v, want %v", now.Weight, weight)
	}
	for name, c := range map[string]struct {
		text         string
		least, share float64 // of the weight now
	}{
		"shorten": {"1", 1.02, 1.2}, "draw": {"27", 0.85, 0.99}, "follow": {"1", 0.85, 0.99},
		"brace": {"8", 0.9, 1.1}, "strip-upper": {"10-20 3%", 0.93, 0.995}, "nocks": {"2", 0.999, 1.02},
		"sides-lower": {"10-20 3%", 0.97, 0.999}, "hook": {"3/4", 0.98, 1.02},
		// Wood Handbook, FPL-GTR-190: 0.1108% of the modulus at 70 °F for each degree (table 5-16), from 68 to
		// 40; 12,000 MPa for white ash at 12%, 9,900 green, meeting at 24% (ch. 5), from 9 to 13%.
		"warmth": {"40", 1.0309, 1.0310}, "damp": {"13", 0.9378, 0.9380},
	} {
		then := would(map[string]string{name: c.text})
		if share := then.Weight.Force.Estimate / now.Weight.Force.Estimate; share < c.least || share > c.share {
			t.Errorf("%s %s: %.3f of the weight now, want %v to %v", name, c.text, share, c.least, c.share)
		}
	}
	if short := would(map[string]string{"shorten": "1"}); math.Abs(now.String.Estimate-short.String.Estimate-2) > 0.2 ||
		math.Abs(short.Brace-now.Brace) > 1e-9 {
		t.Errorf("an inch off each end needs a string of %v braced %v, before %v and %v", short.String, short.Brace,
			now.String, now.Brace)
	}
	// In a shop at 40 °F it weighs at 40 °F what it weighs now.
	w.add(model.Moisture{Where: model.ShopAir, Celsius: measure.Some(40.0 / 9)})
	a = w.says(verdict.Usual())
	cold := would(map[string]string{"warmth": "40"}).Weight.Force.Estimate / would(nil).Weight.Force.Estimate
	if math.Abs(cold-1) > 1e-6 {
		t.Errorf("as cold as it is, it weighs %.6f of the weight now", cold)
	}
	// A string that measures a quarter inch short of what the limbs say stretches by most of that.
	on, _ := w.story().Strings().Now()
	w.add(model.StringLength{Length: measure.Length(now.String.Estimate) - 0.25})
	a = w.says(verdict.Usual())
	if made := would(nil).String; !on.Brace.Known() || made.Estimate > now.String.Estimate-0.1 ||
		made.High-made.Low >= now.String.High-now.String.Low {
		t.Errorf("the string to make is %v, before one was measured %v", made, now.String)
	}
	for _, wrong := range []map[string]string{{"strip-upper": "20-10 3%"}, {"draw": "far"}, {"hinge": "1"},
		{"brace": "6", "string": "66"}, {"sides-upper": "10-20 1/64"}, {"warmth": "hot"}} {
		if _, err := a.Asked(wrong); err == nil {
			t.Errorf("%v is taken", wrong)
		}
	}
	if _, err := a.Would(verdict.WhatIf{Draw: 200}); err == nil || !strings.Contains(err.Error(), "drawn so") {
		t.Errorf("drawn 200 in: %v", err)
	}
}

// BenchmarkWhatIf is one on a bow of twenty passes, before and after with all that is told.
func BenchmarkWhatIf(b *testing.B) {
	w := passes(b, 20)
	a := w.says(verdict.Usual())
	for name, text := range map[string]string{"draw": "27", "brace": "6 1/2", "shorten": "3/4",
		"strip-upper": "10-20 3%"} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				asked, err := a.Asked(map[string]string{name: text})
				must(b, err)
				_, err = a.Would(asked)
				must(b, err)
			}
		})
	}
}
