package measure

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"
)

// errNotMeasure is wrapped by every failure to read a length or a force from text.
var errNotMeasure = errors.New("not a measure")

// longestText is the longest text that is looked at as a measure; nothing a hand types is longer.
const longestText = 40

// largestNumber bounds what is taken for a measure at all, in any unit: past it lies a slip of the hand.
const largestNumber = 1e6

// A unitName is a unit with the words that name it behind a number: longer ones before those they end in.
type unitName struct {
	unit  string
	per   float64 // inches, or pounds-force, in one of this unit
	words []string
}

func lengthNames() []unitName {
	return []unitName{
		{string(Millimetre), 1 / millimetresPerInch, []string{"millimetres", "millimeters", "mm"}},
		{string(Centimetre), 1 / centimetresPerInch, []string{"centimetres", "centimeters", "cm"}},
		{string(Inch), 1, []string{"inches", "inch", "in.", "in", "\"", "″", "”"}},
	}
}

func forceNames() []unitName {
	return []unitName{
		{string(PoundForce), 1, []string{"lbf", "lbs", "lb.", "lb", "#", "pounds", "pound"}},
		{string(KilogramForce), newtonsPerKilogram / newtonsPerPound, []string{"kgf", "kg"}},
		{string(Newton), 1 / newtonsPerPound, []string{"n"}},
	}
}

// ParseLength reads a length as a bowyer writes it: 6 3/8, 6-3/8, 6.375, 6,375, 6⅜, 3/8, 6 3/8in, 162mm,
// 16.2cm. A number without a unit is in unit. A leading minus makes all of it negative: whether that has a
// sense is the caller's to say. The error wraps errNotMeasure and says what would be accepted.
func ParseLength(text string, unit LengthUnit) (Length, error) {
	v, err := parseMeasure(text, lengthNames(), 1/unit.PerInch())
	if err != nil {
		return 0, fmt.Errorf("%w; a length is written 6 3/8, 6-3/8, 6.375, 6⅜ or 162mm", err)
	}
	return Length(v), nil
}

// ParseForce reads a force as a bowyer writes it: 36, 36lb, 36.5, 36 1/2 lb, 16.3kg, 160N. A number without a
// unit is in unit. The error wraps errNotMeasure and says what would be accepted.
func ParseForce(text string, unit ForceUnit) (Force, error) {
	v, err := parseMeasure(text, forceNames(), 1/unit.PerPound())
	if err != nil {
		return 0, fmt.Errorf("%w; a weight is written 36, 36.5, 36 1/2, 36lb or 16.3kg", err)
	}
	return Force(v), nil
}

func parseMeasure(text string, names []unitName, per float64) (float64, error) {
	if len(text) > longestText {
		return 0, fmt.Errorf("%w: %d characters are too many", errNotMeasure, utf8.RuneCountInString(text))
	}
	number, u := unitBehind(text, names)
	if u.unit != "" {
		per = u.per
	}
	v, err := parseNumber(number)
	if err != nil {
		return 0, err
	}
	if math.Abs(v) > largestNumber {
		return 0, fmt.Errorf("%w: %s is beyond any bow", errNotMeasure, number)
	}
	return v * per, nil
}

// unitBehind parts a text into its number and the unit that it names, the zero one where it names none.
func unitBehind(text string, names []unitName) (number string, u unitName) {
	number = strings.ToLower(strings.TrimSpace(text))
	for _, u := range names {
		for _, word := range u.words {
			if rest, found := strings.CutSuffix(number, word); found {
				return strings.TrimSpace(rest), u
			}
		}
	}
	return number, unitName{}
}

// LengthNamed is the unit that the text of a length names behind its number; "" for none.
func LengthNamed(text string) LengthUnit {
	_, u := unitBehind(text, lengthNames())
	return LengthUnit(u.unit)
}

// ForceNamed is the unit that the text of a force names behind its number; "" for none.
func ForceNamed(text string) ForceUnit {
	_, u := unitBehind(text, forceNames())
	return ForceUnit(u.unit)
}

// parseNumber reads [-]whole, [-]decimal, [-]n/d, or [-]whole with a fraction behind a blank or a hyphen.
func parseNumber(text string) (float64, error) {
	text = strings.TrimSpace(spellFractions(text))
	negative := false
	for _, sign := range []string{"-", "−", "+"} {
		if rest, found := strings.CutPrefix(text, sign); found {
			negative, text = sign != "+", strings.TrimSpace(rest)
			break
		}
	}
	if text == "" {
		return 0, fmt.Errorf("%w: a number is missing", errNotMeasure)
	}
	v, err := parseMagnitude(text)
	if err != nil {
		return 0, err
	}
	if negative {
		v = -v
	}
	return v, nil
}

func parseMagnitude(text string) (float64, error) {
	over, under, isFraction := strings.Cut(text, "/")
	if !isFraction {
		return parseDecimal(text)
	}
	whole := ""
	over = strings.TrimSpace(over)
	if cut := strings.LastIndexAny(over, " -"); cut >= 0 {
		whole, over = strings.TrimRight(over[:cut], " -"), over[cut+1:]
	}
	n, errN := parseDigits(over)
	d, errD := parseDigits(strings.TrimSpace(under))
	if err := errors.Join(errN, errD); err != nil || d == 0 {
		return 0, fmt.Errorf("%w: %s/%s isn't a fraction", errNotMeasure, over, strings.TrimSpace(under))
	}
	if whole == "" {
		return n / d, nil
	}
	w, err := parseDigits(whole)
	if err != nil {
		return 0, fmt.Errorf("%w: %q", errNotMeasure, text)
	}
	if n >= d {
		return 0, fmt.Errorf("%w: %s/%s is one or more; a fraction behind %s is less", errNotMeasure, over,
			strings.TrimSpace(under), whole)
	}
	return w + n/d, nil
}

// parseDecimal reads digits with at most one point or comma between or before them; no sign and no exponent.
func parseDecimal(text string) (float64, error) {
	whole, part, _ := strings.Cut(strings.Replace(text, ",", ".", 1), ".")
	digits := whole + part
	if _, err := parseDigits(digits); err != nil {
		return 0, fmt.Errorf("%w: %q", errNotMeasure, text)
	}
	v, err := strconv.ParseFloat("0"+whole+"."+part+"0", 64)
	if err != nil {
		return 0, fmt.Errorf("%w: %q", errNotMeasure, text)
	}
	return v, nil
}

func parseDigits(text string) (float64, error) {
	if text == "" {
		return 0, fmt.Errorf("%w: digits are missing", errNotMeasure)
	}
	for _, r := range text {
		if r < '0' || r > '9' {
			return 0, fmt.Errorf("%w: %q", errNotMeasure, text)
		}
	}
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		return 0, fmt.Errorf("%w: %q", errNotMeasure, text)
	}
	return v, nil
}

var vulgarFractions = map[rune]string{
	'½': "1/2", '¼': "1/4", '¾': "3/4", '⅛': "1/8", '⅜': "3/8", '⅝': "5/8", '⅞': "7/8",
	'⅓': "1/3", '⅔': "2/3", '⅕': "1/5", '⅖': "2/5", '⅗': "3/5", '⅘': "4/5", '⅙': "1/6", '⅚': "5/6", '⅒': "1/10",
}

// spellFractions writes ⅜ as 3/8 and the fraction slash as a plain one, a blank before it.
func spellFractions(text string) string {
	var b strings.Builder
	for _, r := range text {
		switch spelled, isVulgar := vulgarFractions[r]; {
		case isVulgar:
			b.WriteString(" " + spelled)
		case r == '⁄' || r == '∕':
			b.WriteByte('/')
		case r == '\u00a0' || r == '\u2009' || r == '\u202f' || r == '\t':
			b.WriteByte(' ')
		default:
			b.WriteRune(r)
		}
	}
	return b.String()
}
