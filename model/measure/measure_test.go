package measure

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"
)

func TestParseLengthAcceptsEveryWayOfWritingOne(t *testing.T) {
	for _, c := range []struct {
		text string
		unit LengthUnit
		want float64
	}{
		{"6 3/8", Inch, 6.375}, {"6-3/8", Inch, 6.375}, {"6.375", Inch, 6.375}, {"6⅜", Inch, 6.375},
		{"6 ⅜", Inch, 6.375},
		{"6,375", Inch, 6.375}, {" 6 3/8 in ", Inch, 6.375}, {`6 3/8"`, Inch, 6.375}, {"6 3⁄8", Inch, 6.375},
		{"162mm", Inch, 162 / 25.4}, {"16.2 cm", Inch, 16.2 / 2.54}, {"162 millimeters", Inch, 162 / 25.4},
		{"16.2 Centimetres", Inch, 16.2 / 2.54}, {"6 inches", Inch, 6}, {"162", Millimetre, 162 / 25.4},
		{"6 3/8in", Centimetre, 6.375},
		{"3/8", Inch, .375}, {"⅜", Inch, .375}, {".5", Inch, .5}, {"5.", Inch, 5}, {"0", Inch, 0}, {"28", Inch, 28},
		{"-1/4", Inch, -.25}, {"-1 1/4", Inch, -1.25}, {"−¼", Inch, -.25}, {"+2", Inch, 2}, {"9/8", Inch, 1.125},
		{"6 - 3/8", Inch, 6.375},
	} {
		got, err := ParseLength(c.text, c.unit)
		if err != nil || math.Abs(float64(got)-c.want) > 1e-12 {
			t.Errorf("ParseLength(%q, %s) = %v, %v; want %v", c.text, c.unit, got, err, c.want)
		}
	}
}

func TestParseForceAcceptsEveryWayOfWritingOne(t *testing.T) {
	// One kilogram-force is 9.80665 N, a pound-force 4.4482216152605 N: NIST SP 811, appendix B (from
	// memory).
	for text, want := range map[string]float64{
		"36": 36, "36lb": 36, "36 lbs": 36, "36 lbf": 36, "36#": 36, "36.5": 36.5, "36 1/2 lb": 36.5,
		"16.3kg": 16.3 * 9.80665 / 4.4482216152605, "160N": 160 / 4.4482216152605,
	} {
		if got, err := ParseForce(text, PoundForce); err != nil || math.Abs(float64(got)-want) > 1e-12 {
			t.Errorf("ParseForce(%q) = %v, %v; want %v", text, got, err, want)
		}
	}
}

func TestParseRefusesWhatIsNoMeasure(t *testing.T) {
	for _, text := range []string{
		"", " ", "abc", "6 3/", "/8", "6/0", "6 9/8", "6 3/8 3/8", "1e3", "0x10", "NaN", "Inf", "--3", "6..2",
		"6.3/8", "6 3 8",
		"9999999999", "12345678901234567890123456789012345678901234567890", "6 lb", "\x1b[31m", "३", "-", "in",
		"6 3/8 feet",
	} {
		if got, err := ParseLength(text, Inch); !errors.Is(err, errNotMeasure) {
			t.Errorf("ParseLength(%q) = %v, %v; want an error", text, got, err)
		}
	}
}

func TestPrintUsesTheRulesOwnFractions(t *testing.T) {
	sixteenths, tenths := Rule{Unit: Inch, Step: 1.0 / 16}, Rule{Unit: Inch, Step: .1}
	for _, c := range []struct{ got, want string }{
		{sixteenths.Print(6.375), "6 3/8"}, {sixteenths.Print(6.38), "6 3/8"}, {sixteenths.Print(28), "28"},
		{sixteenths.Print(.0625), "1/16"}, {sixteenths.Print(0), "0"}, {sixteenths.Print(-.01), "0"},
		{sixteenths.Print(-.25), "-1/4"}, {sixteenths.Print(-1.25), "-1 1/4"},
		{sixteenths.PrintSigned(.25), "+1/4"},
		{Rule{Unit: Inch, Step: 1.0 / 32}.Print(6.40625), "6 13/32"}, {tenths.Print(6.375), "6.4"},
		{Rule{Unit: Centimetre}.Print(6.375), "16.2"}, {Rule{Unit: Millimetre}.Print(6.375), "162"},
		{Scale{Unit: KilogramForce, Step: Force(0.1 / KilogramForce.PerPound())}.WithUnit(36), "16.3 kg"},
		{Scale{Unit: PoundForce}.WithUnit(400), "400.0 lb"},
		// What is no measure prints short.
		{sixteenths.Print(1e300), "1e+300"}, {tenths.Print(-1e300), "-1e+300"},
		{Rule{Unit: Millimetre}.Print(1e300), "2.54e+301"}, {Scale{Unit: PoundForce}.WithUnit(1e300), "1e+300 lb"},
		{Rule{Unit: Inch}.Print(Length(math.NaN())), "NaN"},
		{Rule{Unit: Centimetre}.Print(Length(math.Inf(1))), "+Inf"},
	} {
		if c.got != c.want {
			t.Errorf("printed as %q, want %q", c.got, c.want)
		}
	}
}

func TestUnitsSayThatTheyAreNotKnown(t *testing.T) {
	for want, err := range map[string]error{
		`"ft" isn't a unit of length here: write in, cm or mm`: LengthUnit("ft").Check(),
		`"" isn't a unit of length here: write in, cm or mm`:   LengthUnit("").Check(),
		`"kg" isn't a unit of force here: write lbf, kgf or N`: ForceUnit("kg").Check(),
	} {
		if err == nil || err.Error() != want {
			t.Errorf("%v, want %q", err, want)
		}
	}
	if err := errors.Join(Millimetre.Check(), Newton.Check(), Imperial().Length.Check()); err != nil {
		t.Error(err)
	}
}

func TestEveryPrintedLengthParsesBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rule := Rule{
			Unit: rapid.SampledFrom([]LengthUnit{Inch, Centimetre, Millimetre}).Draw(t, "unit"),
			Step: rapid.SampledFrom([]Length{0, .5, .125, 1.0 / 16, 1.0 / 32, 1.0 / 64, .1, .05}).Draw(t, "step"),
		}
		if rule.Unit != Inch {
			rule.Step = 0
		}
		l := Length(rapid.Float64Range(-120, 120).Draw(t, "length"))
		text := rule.Print(l)
		back, err := ParseLength(text, rule.Unit)
		if err != nil {
			t.Fatalf("%v printed as %q: %v", l, text, err)
		}
		if math.Abs(float64(back-rule.Round(l))) > 1e-9 {
			t.Fatalf("%v printed as %q reads back as %v, want %v", l, text, back, rule.Round(l))
		}
		if withUnit, err := ParseLength(rule.WithUnit(l), Millimetre); err != nil ||
			math.Abs(float64(withUnit-back)) > 1e-9 {
			t.Fatalf("%q reads back as %v, %v", rule.WithUnit(l), withUnit, err)
		}
	})
}

func TestEveryPrintedForceParsesBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		unit := rapid.SampledFrom([]ForceUnit{PoundForce, KilogramForce, Newton}).Draw(t, "unit")
		scale := Scale{Unit: unit, Step: unit.Force(rapid.SampledFrom([]float64{.1, .25, .5, 1}).Draw(t, "step"))}
		f := Force(rapid.Float64Range(0, 400).Draw(t, "force"))
		back, err := ParseForce(scale.WithUnit(f), PoundForce)
		if err != nil || math.Abs(float64(back-f)) > float64(scale.Step)/2+1e-9 {
			t.Fatalf("%v printed as %q reads back as %v, %v", f, scale.WithUnit(f), back, err)
		}
	})
}

func TestNumbersOfOtherUnitsSurviveTheWayThroughInches(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		// A number below the smallest normal one, 2e-308, has fewer than 12 digits to keep.
		normal := func(v float64) bool { return v == 0 || math.Abs(v) >= 1e-290 }
		whole := rapid.Float64Range(-500, 500).Filter(normal)
		v := significant(whole.Draw(t, "v"), 12)
		for _, u := range []LengthUnit{Inch, Centimetre, Millimetre} {
			if got := u.Length(v).In(u); got != v {
				t.Fatalf("%v %s comes back as %v", v, u, got)
			}
		}
		for _, u := range []ForceUnit{PoundForce, KilogramForce, Newton} {
			if got := u.Force(v).In(u); got != v {
				t.Fatalf("%v %s comes back as %v", v, u, got)
			}
		}
	})
}

// Whatever is typed is a finite number, or refused as no measure.
func FuzzParse(f *testing.F) {
	for _, seed := range []string{
		"6 3/8", "6-3/8", "6⅜", "162mm", "-1/4", "9/0", "\xff", "1 1/1", "41 1/2 lb", "18,5kg", "182 N", "1e999",
		"½", "40#",
	} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		hold := func(v float64, err error) {
			if err == nil && (math.IsNaN(v) || math.IsInf(v, 0)) || err != nil && !errors.Is(err, errNotMeasure) {
				t.Errorf("%q gives %v, %v", text, v, err)
			}
		}
		l, err := ParseLength(text, Inch)
		hold(float64(l), err)
		for _, unit := range []ForceUnit{PoundForce, KilogramForce, Newton} {
			w, err := ParseForce(text, unit)
			hold(float64(w), err)
		}
	})
}

func TestParseSeconds(t *testing.T) {
	for text, want := range map[string]time.Duration{
		"3": 3 * time.Second, "3.2": 3200 * time.Millisecond, "3,2": 3200 * time.Millisecond,
		" 3.2 s ": 3200 * time.Millisecond,
		"0":       0, ".5": 500 * time.Millisecond, "12s": 12 * time.Second,
	} {
		if got, err := ParseSeconds(text); err != nil || got != want {
			t.Errorf("%q is %v (%v), want %v", text, got, err, want)
		}
	}
	for _, text := range []string{"", "s", "-1", "3 1/2", "1e3", "90000", "3m", "NaN"} {
		if got, err := ParseSeconds(text); !errors.Is(err, errNotMeasure) {
			t.Errorf("%q is %v (%v)", text, got, err)
		}
	}
}

// A time to a tenth, as the clock gives it, is typed as it is printed.
func TestSecondsComeBackAsTheyArePrinted(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := time.Duration(rapid.IntRange(0, 864_000).Draw(t, "tenths")) * 100 * time.Millisecond
		if back, err := ParseSeconds(PrintSeconds(d)); err != nil || back != d {
			t.Fatalf("%v is printed %q and read %v (%v)", d, PrintSeconds(d), back, err)
		}
	})
}

// Every mark of a rule can be typed without its denominator, with few keys: 1 11 or 11/. What is one or more
// is refused, and a rule in decimals knows nothing of it.
func TestTheDenominatorOfTheRuleGoesWithoutSaying(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		parts := rapid.SampledFrom([]int{2, 4, 8, 16, 32, 64}).Draw(t, "marks to the inch")
		rule := Rule{Unit: Inch, Step: Length(1 / float64(parts))}
		scale := Scale{Unit: PoundForce, Step: Force(1 / float64(parts))}
		whole, n := rapid.IntRange(0, 9).Draw(t, "whole"), rapid.IntRange(0, parts-1).Draw(t, "marks")
		want := Length(float64(whole) + float64(n)/float64(parts))
		for _, text := range []string{fmt.Sprintf("%d %d", whole, n), fmt.Sprintf("-%d %d in", whole, n)} {
			full, err := rule.Spell(text)
			got, err2 := ParseLength(full, Inch)
			if err != nil || err2 != nil || math.Abs(float64(got)) != float64(want) || got < 0 != (text[0] == '-' && want > 0) {
				t.Fatalf("%q is %q on a rule in 1/%d, want %v (%v)", text, full, parts, want, err)
			}
			if bare := fmt.Sprintf("%d/", n); whole == 0 {
				if short, err := rule.Spell(bare); err != nil || short != strings.TrimPrefix(full, "-") {
					t.Fatalf("%q is %q, want %q", bare, short, full)
				}
			}
			text = strings.TrimSuffix(text, " in")
			full, err = scale.Spell(text)
			if got, err2 := ParseForce(full, PoundForce); err != nil || err2 != nil || math.Abs(float64(got)) != float64(want) {
				t.Fatalf("%q is %q on a scale in 1/%d", text, full, parts)
			}
			for _, other := range []Rule{{Unit: Centimetre}, {Unit: Inch, Step: 0.1}} {
				if same, err := other.Spell(text); err != nil || same != text {
					t.Fatalf("%q becomes %q on a rule in decimals (%v)", text, same, err)
				}
			}
		}
		more := fmt.Sprintf("%d %d", whole, parts+n)
		if full, err := rule.Spell(more); err == nil {
			t.Fatalf("%q is taken for %q on a rule in 1/%d", more, full, parts)
		}
	})
	for _, full := range []string{"1 11/16", "1.5", "11/16", "6-3/8", "6⅜", "6 3/", "1 8cm", "1 2 3", "", "/", "far"} {
		if got, err := (Rule{Unit: Inch}).Spell(full); err != nil || got != full {
			t.Errorf("%q becomes %q (%v)", full, got, err)
		}
	}
}
