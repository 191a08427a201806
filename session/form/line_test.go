package form

import (
	"errors"
	"fmt"
	"reflect"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"bendbook/model"
)

func TestOneLineOrAnotherMakesTheSamePull(t *testing.T) {
	story := storyOf(t, ash())
	want := model.Event(model.Pull{
		Draw: 14, Peak: force(21.5), From: model.FromLine,
		Readings: model.Readings{{some(0.375), some(0.6875), some(1.625)}, {{}, some(0.75)}},
	})
	for _, line := range []string{
		"14 21.5 upper 3/8 11/16 1 5/8 lower - 3/4",
		"14 21 1/2 upper 3/8 11/16 1-5/8 lower - 3/4",
		"14in 21.5lb upper .375 0,6875 1⅝ lower @8 3/4",
		"14 in 21.5 lb lower@8 3/4 upper 3/8 in 11/16 in 1 5/8 in",
		"upper 3/8 - 1 5/8 upper@8 11/16 lower - 3/4 peak 21.5 draw 14",
		"Peak 21.5 UPPER 3/8 11/16 1 5/8 Lower - 3/4 - DRAW 14",
	} {
		if got := must(Pull(story).Line(ash(), line, false))(t).Event; !reflect.DeepEqual(got, want) {
			t.Errorf("%s\n makes %v,\n want %v", line, got, want)
		}
	}
}

// The values of one limb never run on into the other, and none is dropped.
func TestNoValueLandsOnTheOtherLimb(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		upper, lower := rapid.IntRange(0, 5).Draw(t, "upper"), rapid.IntRange(0, 5).Draw(t, "lower")
		values := func(n int) string { return strings.Repeat(" 1", n) }
		line := "14"
		if upper > 0 {
			line += " upper" + values(upper)
		}
		if lower > 0 {
			line += " lower" + values(lower)
		}
		story := storyOf(t, ash())
		o, err := Pull(story).Line(ash(), line, true)
		if fits := upper <= 3 && lower <= 3; fits != (err == nil) {
			t.Fatalf("%s: %v", line, err)
		}
		pull, ok := o.Event.(model.Pull)
		if ok && (len(pull.Readings[model.Upper]) != upper || len(pull.Readings[model.Lower]) != lower) {
			t.Fatalf("%s makes %v", line, pull.Readings)
		}
	})
}

// A doubtful value is asked about by a line as by the form, and kept by whoever is sure.
func TestALineDoubtsWhatTheFormDoubts(t *testing.T) {
	story := storyOf(t, ash(), model.Pull{Draw: 14, Peak: force(21.5), From: model.FromLine})
	var doubt DoubtError
	for _, line := range []string{"14 35", "27 21.5", "29"} {
		_, err := Pull(story).Line(ash(), line, false)
		if !errors.As(err, &doubt) || strings.Contains(err.Error(), "Enter") {
			t.Errorf("%s: %v, want a doubt", line, err)
		}
		if _, err := Pull(story).Line(ash(), line, true); err != nil {
			t.Errorf("%s, surely: %v", line, err)
		}
	}
	if _, err := Pull(story).Line(ash(), "99", true); err == nil || errors.As(err, &doubt) {
		t.Errorf("a draw beyond the bow: %v", err)
	}
}

// Whatever stands on a line, it makes an entry that the bow can have, or says why not.
func TestAnyLineMakesAnEntryOrSaysWhyNot(t *testing.T) {
	story := storyOf(t, ash())
	for _, kind := range Kinds() {
		t.Run(kind.Name, func(t *testing.T) {
			words := slices.Concat(kind.Of(story).LineWords(), strings.Fields("- 1 2.5 3/8 -1/8 20C 9% x15 18-24 "+
				"6-3/8 @8 upper@12 @ x @x -- in lb held 1 1/2 every , ½ é \u202e"))
			rapid.Check(t, func(t *rapid.T) {
				some := rapid.SliceOfN(rapid.OneOf(rapid.SampledFrom(words), rapid.String()), 0, 9).Draw(t, "words")
				line := strings.Join(some, " ")
				o, err := kind.Of(story).Line(ash(), line, rapid.Bool().Draw(t, "sure"))
				if err == nil {
					err = story.Bow().CheckEvent(o.Event)
				} else if err.Error() == "" {
					err = fmt.Errorf("no reason")
				} else {
					return
				}
				if err != nil {
					t.Fatalf("%q: %v", line, err)
				}
			})
		})
	}
}
