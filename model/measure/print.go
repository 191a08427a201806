package measure

import (
	"math"
	"strconv"
	"strings"
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

// step is the rule's step as a number of its unit.
func (r Rule) step() float64 {
	if r.Step > 0 {
		return r.Step.In(r.Unit)
	}
	return r.Unit.DefaultStep().In(r.Unit)
}

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
	if beyondMeasure(marks * step) {
		return printWild(marks * step)
	}
	if d := 1 / step; r.Unit == Inch && d >= 2 && d <= 128 && isPowerOfTwo(d) {
		return printFraction(int64(marks), int64(d))
	}
	return printDecimal(marks*step, decimals(step))
}

// PrintSigned is Print with a plus before what is above zero: a difference.
func (r Rule) PrintSigned(l Length) string {
	return signed(r.Print(l))
}

func signed(text string) string {
	if !strings.HasPrefix(text, "-") && strings.Trim(text, "0.") != "" {
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
	step := 0.1
	if s.Step > 0 {
		step = s.Step.In(s.Unit)
	}
	v := math.Round(f.In(s.Unit)/step) * step
	if beyondMeasure(v) {
		return printWild(v)
	}
	return printDecimal(v, decimals(step))
}

// PrintSigned is Print with a plus before what is above zero: a difference.
func (s Scale) PrintSigned(f Force) string {
	return signed(s.Print(f))
}

// Short writes f like Print, but a whole number without decimals: an ordered weight.
func (s Scale) Short(f Force) string { return withoutIdleDecimals(s.Print(f)) }

// WithUnit is Print with the unit behind it.
func (s Scale) WithUnit(f Force) string { return s.Print(f) + " " + s.Unit.Symbol() }

// beyondMeasure says whether v isn't a number that a hand reads or types.
func beyondMeasure(v float64) bool { return !(math.Abs(v) <= largestNumber) }

func printWild(v float64) string { return strconv.FormatFloat(v, 'g', 4, 64) }

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
		return strings.Replace(sign+strconv.FormatInt(whole, 10), "-0", "0", 1)
	case whole == 0:
		return sign + strconv.FormatInt(n, 10) + "/" + strconv.FormatInt(perWhole, 10)
	}
	return sign + strconv.FormatInt(whole, 10) + " " + strconv.FormatInt(n, 10) + "/" +
		strconv.FormatInt(perWhole, 10)
}

func printDecimal(v float64, places int) string {
	s := strconv.FormatFloat(v, 'f', places, 64)
	if strings.Trim(s, "-0.") == "" {
		s = strings.TrimPrefix(s, "-")
	}
	return s
}

// decimals is how many decimals show a multiple of step without loss, four at most.
func decimals(step float64) int {
	for places := range 4 {
		if scaled := step * math.Pow10(places); math.Abs(scaled-math.Round(scaled)) < 1e-9*scaled {
			return places
		}
	}
	return 4
}

func roundDecimals(v float64, places int) float64 {
	rounded, err := strconv.ParseFloat(strconv.FormatFloat(v, 'f', max(places, 0), 64), 64)
	if err != nil {
		return v
	}
	return rounded
}

func isPowerOfTwo(d float64) bool {
	n := math.Round(d)
	return math.Abs(d-n) < 1e-6 && int64(n)&(int64(n)-1) == 0
}

func withoutIdleDecimals(text string) string {
	if whole, part, found := strings.Cut(text, "."); found && strings.Trim(part, "0") == "" {
		return whole
	}
	return text
}
