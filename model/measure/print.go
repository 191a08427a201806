package measure

import (
	"cmp"
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"
)

// Rule prints lengths as they stand on the bowyer's rule.
type Rule struct {
	Unit LengthUnit
	Step Length // the rule's step; 0 means DefaultStep of the unit
}

// DefaultStep is the step of a common rule in this unit: 1/16 in, or 1 mm.
func (u LengthUnit) DefaultStep() Length {
	if u == Inch {
		return 1.0 / 16
	}
	return Length(1 / millimetresPerInch)
}

// Mark is from one mark of the rule to the next.
func (r Rule) Mark() Length { return cmp.Or(r.Step, r.Unit.DefaultStep()) }

// step is the rule's step as a number of its unit.
func (r Rule) step() float64 { return r.Mark().In(r.Unit) }

// Round is the mark of the rule nearest to l; halves go away from zero.
func (r Rule) Round(l Length) Length {
	step := r.step()
	return r.Unit.Length(math.Round(l.In(r.Unit)/step) * step)
}

// Print writes l without its unit: inches as a whole number and a reduced fraction where the rule is cut in
// halves (6 3/8, 1/16, -1/4, 0), else as a decimal. ParseLength reads it back as Round(l). What is beyond any
// measure is written with a power of ten, so that a message about it stays short.
func (r Rule) Print(l Length) string {
	step := r.step()
	marks := math.Round(l.In(r.Unit) / step)
	if d := r.perInch(); d > 0 && isMeasure(marks*step) {
		return printFraction(int64(marks), d)
	}
	return printDecimal(marks*step, step)
}

// perInch is the marks to the inch of a rule that is cut in halves; 0 for any other.
func (r Rule) perInch() int64 {
	if d := cutInHalves(r.step()); r.Unit == Inch {
		return d
	}
	return 0
}

// cutInHalves is how many steps make one, where those are halves, quarters and so on to 1/128; else 0.
func cutInHalves(step float64) int64 {
	if d := 1 / step; d >= 2 && d <= 128 && isPowerOfTwo(d) {
		return int64(d)
	}
	return 0
}

// PrintSigned is Print of a difference: with a plus before what is above zero, and a minus sign.
func (r Rule) PrintSigned(l Length) string { return signed(r.Print(l)) }

func signed(text string) string {
	below, negative := strings.CutPrefix(text, "-")
	switch {
	case negative:
		return "−" + below
	case strings.Trim(text, "0.") != "":
		return "+" + text
	}
	return text
}

// WithUnit is Print with the unit behind it.
func (r Rule) WithUnit(l Length) string { return r.Print(l) + " " + string(r.Unit) }

// Short writes l like Print, but a whole number without decimals: an ordered draw.
func (r Rule) Short(l Length) string { return withoutIdleDecimals(r.Print(l)) }

// Scale prints forces to the step of the bowyer's scale.
type Scale struct {
	Unit ForceUnit
	Step Force // the scale's step; 0 means a tenth of the unit
}

// Print writes f without its unit, rounded to the scale's step.
func (s Scale) Print(f Force) string {
	return printDecimal(s.Round(f).In(s.Unit), s.step())
}

// Round is the force in whole steps, as Print writes it.
func (s Scale) Round(f Force) Force {
	return s.Unit.Force(math.Round(f.In(s.Unit)/s.step()) * s.step())
}

// Mark is from one mark of the scale to the next.
func (s Scale) Mark() Force { return cmp.Or(s.Step, s.Unit.Force(0.1)) }

func (s Scale) step() float64 { return s.Mark().In(s.Unit) }

// PrintSigned is Print with a plus before what is above zero: a difference.
func (s Scale) PrintSigned(f Force) string { return signed(s.Print(f)) }

// Short writes f like Print, but a whole number without decimals: an ordered weight.
func (s Scale) Short(f Force) string { return withoutIdleDecimals(s.Print(f)) }

// WithUnit is Print with the unit behind it.
func (s Scale) WithUnit(f Force) string { return s.Print(f) + " " + s.Unit.Symbol() }

// isMeasure says whether v is a number that a hand reads or types.
func isMeasure(v float64) bool { return math.Abs(v) <= largestNumber }

func printFraction(marks, perWhole int64) string {
	sign := ""
	if marks < 0 {
		sign, marks = "-", -marks
	}
	whole, n := marks/perWhole, marks%perWhole
	for n > 0 && n%2 == 0 {
		n, perWhole = n/2, perWhole/2
	}
	switch {
	case n == 0:
		return fmt.Sprintf("%s%d", sign, whole)
	case whole == 0:
		return fmt.Sprintf("%s%d/%d", sign, n, perWhole)
	}
	return fmt.Sprintf("%s%d %d/%d", sign, whole, n, perWhole)
}

// printDecimal writes a multiple of a step without loss, with four decimals at most.
func printDecimal(v, step float64) string {
	if !isMeasure(v) {
		return strconv.FormatFloat(v, 'g', 4, 64)
	}
	places := 0
	for ; places < 4; places++ {
		if scaled := step * math.Pow10(places); math.Abs(scaled-math.Round(scaled)) < 1e-9*scaled {
			break
		}
	}
	s := strconv.FormatFloat(v, 'f', places, 64)
	if strings.Trim(s, "-0.") == "" {
		s = strings.TrimPrefix(s, "-")
	}
	return s
}

func withoutIdleDecimals(text string) string {
	if whole, part, found := strings.Cut(text, "."); found && strings.Trim(part, "0") == "" {
		return whole
	}
	return text
}

// PrintSeconds is a time in seconds, to a tenth: 3.2.
func PrintSeconds(d time.Duration) string {
	return strconv.FormatFloat(math.Round(d.Seconds()*10)/10, 'f', -1, 64)
}
