package measure

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"
)

// errNotMeasure is wrapped by every failure to read a length or a force from text.
var errNotMeasure = errors.New("not a measure")

// longestText is the longest text that is looked at as a measure; nothing a hand types is longer.
const longestText = 40

// largestNumber bounds what is taken for a measure at all, in any unit: past it lies a slip of the hand.
const largestNumber = 1e6

// A named unit comes with the words that name it behind a number: longer ones before those they end in.
type named[U any] struct {
	unit  U
	words []string
}

func lengthNames() []named[LengthUnit] {
	return []named[LengthUnit]{
		{Millimetre, []string{"millimetres", "millimeters", "mm"}},
		{Centimetre, []string{"centimetres", "centimeters", "cm"}},
		{Inch, []string{"inches", "inch", "in.", "in", "\"", "″", "”"}},
	}
}

func forceNames() []named[ForceUnit] {
	return []named[ForceUnit]{
		{PoundForce, []string{"lbf", "lbs", "lb.", "lb", "#", "pounds", "pound"}},
		{KilogramForce, []string{"kgf", "kg"}},
		{Newton, []string{"n"}},
	}
}

// ParseLength reads a length as a bowyer writes it: 6 3/8, 6-3/8, 6.375, 6,375, 6⅜, 3/8, 6 3/8in, 162mm,
// 16.2cm. A number without a unit is in unit. A leading minus makes all of it negative; whether that makes
// sense is up to the caller. The error wraps errNotMeasure and says what would be accepted.
func ParseLength(text string, unit LengthUnit) (Length, error) {
	v, named, err := parseMeasure(text, lengthNames())
	if err != nil {
		return 0, fmt.Errorf("%w; a length is written 6 3/8, 6-3/8, 6.375, 6⅜ or 162mm", err)
	}
	return cmp.Or(named, unit).Length(v), nil
}

// ParseForce reads a force as a bowyer writes it: 36, 36lb, 36.5, 36 1/2 lb, 16.3kg, 160N. A number without a
// unit is in unit. The error wraps errNotMeasure and says what would be accepted.
func ParseForce(text string, unit ForceUnit) (Force, error) {
	v, named, err := parseMeasure(text, forceNames())
	if err != nil {
		return 0, fmt.Errorf("%w; a weight is written 36, 36.5, 36 1/2, 36lb or 16.3kg", err)
	}
	return cmp.Or(named, unit).Force(v), nil
}

func parseMeasure[U any](text string, names []named[U]) (v float64, unit U, err error) {
	if len(text) > longestText {
		return 0, unit, fmt.Errorf("%w: %d characters are too many", errNotMeasure, utf8.RuneCountInString(text))
	}
	number, unit := unitBehind(text, names)
	v, err = parseNumber(number)
	if err == nil && !isMeasure(v) {
		err = fmt.Errorf("%w: %s is beyond any bow", errNotMeasure, number)
	}
	return v, unit, err
}

// unitBehind parts a text into its number and the unit that it names, the zero one where it names none.
func unitBehind[U any](text string, names []named[U]) (number string, unit U) {
	number = strings.ToLower(strings.TrimSpace(text))
	for _, u := range names {
		for _, word := range u.words {
			if rest, found := strings.CutSuffix(number, word); found {
				return strings.TrimSpace(rest), u.unit
			}
		}
	}
	return number, unit
}

// LengthNamed is the unit that the text of a length names behind its number; "" for none.
func LengthNamed(text string) LengthUnit {
	_, unit := unitBehind(text, lengthNames())
	return unit
}

// ForceNamed is the unit that the text of a force names behind its number; "" for none.
func ForceNamed(text string) ForceUnit {
	_, unit := unitBehind(text, forceNames())
	return unit
}

// Seconds is a number of seconds as a time; ok is false for none, or one longer than a day.
func Seconds(v float64) (d time.Duration, ok bool) {
	const day = 24 * 60 * 60
	if !(v >= 0 && v <= day) {
		return 0, false
	}
	return time.Duration(math.Round(v * float64(time.Second))), true
}

// ParseSeconds reads a time as a bowyer types it: 3, 3.2, 3,2 or 3.2 s. The error wraps errNotMeasure
// and says what would be accepted.
func ParseSeconds(text string) (time.Duration, error) {
	number := strings.TrimSpace(strings.TrimSuffix(strings.ToLower(strings.TrimSpace(text)), "s"))
	v, err := parseDecimal(number)
	if err == nil {
		if d, ok := Seconds(v); ok {
			return d, nil
		}
		err = fmt.Errorf("%w: %s is longer than a day", errNotMeasure, number)
	}
	return 0, fmt.Errorf("%w; a time is written in seconds, 3 or 3.2", err)
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
	if negative {
		v = -v
	}
	return v, err
}

func parseMagnitude(text string) (float64, error) {
	over, under, isFraction := strings.Cut(text, "/")
	if !isFraction {
		return parseDecimal(text)
	}
	whole := ""
	over, under = strings.TrimSpace(over), strings.TrimSpace(under)
	if cut := strings.LastIndexAny(over, " -"); cut >= 0 {
		whole, over = strings.TrimRight(over[:cut], " -"), over[cut+1:]
	}
	n, isNumber := parseDigits(over)
	d, isAlso := parseDigits(under)
	w, isWhole := parseDigits(whole)
	switch {
	case !isNumber || !isAlso || d == 0:
		return 0, fmt.Errorf("%w: %s/%s isn't a fraction", errNotMeasure, over, under)
	case whole == "":
		return n / d, nil
	case !isWhole:
		return 0, fmt.Errorf("%w: %q", errNotMeasure, text)
	case n >= d:
		return 0, fmt.Errorf("%w: %s/%s is one or more; a fraction behind %s is less", errNotMeasure, over, under,
			whole)
	}
	return w + n/d, nil
}

// parseDecimal reads digits with at most one point or comma between or before them; no sign and no exponent.
func parseDecimal(text string) (float64, error) {
	whole, part, _ := strings.Cut(strings.Replace(text, ",", ".", 1), ".")
	if _, ok := parseDigits(whole + part); !ok {
		return 0, fmt.Errorf("%w: %q", errNotMeasure, text)
	}
	return strconv.ParseFloat("0"+whole+"."+part+"0", 64)
}

func parseDigits(text string) (v float64, ok bool) {
	if strings.Trim(text, "0123456789") != "" {
		return 0, false
	}
	v, err := strconv.ParseFloat(text, 64)
	return v, err == nil
}

// spellFractions writes ⅜ as 3/8, a blank before it, any fraction slash as a plain one and any blank too.
func spellFractions(text string) string {
	return strings.NewReplacer("½", " 1/2", "¼", " 1/4", "¾", " 3/4", "⅛", " 1/8", "⅜", " 3/8", "⅝", " 5/8",
		"⅞", " 7/8", "⅓", " 1/3", "⅔", " 2/3", "⅕", " 1/5", "⅖", " 2/5", "⅗", " 3/5", "⅘", " 4/5", "⅙", " 1/6",
		"⅚", " 5/6", "⅒", " 1/10", "⁄", "/", "∕", "/", "\u00a0", " ", "\u2009", " ", "\u202f", " ", "\t", " ",
	).Replace(text)
}

// Spell writes out a length that leaves its denominator to the rule: on one in sixteenths 1 11 is 1 11/16,
// and 11/ is 11/16. Any other text, and any on a rule in decimals, comes back as it is. The error says what
// would be accepted.
func (r Rule) Spell(text string) (string, error) {
	number, unit := unitBehind(text, lengthNames())
	v, short, err := spelled(number, r.perInch())
	if !short || err != nil || unit != "" && unit != r.Unit {
		return text, err
	}
	return r.Print(r.Unit.Length(v)), nil
}

// Spell is [Rule.Spell] for a weight: on a scale in quarters 36 1 is 36.25.
func (s Scale) Spell(text string) (string, error) {
	number, unit := unitBehind(text, forceNames())
	v, short, err := spelled(number, cutInHalves(s.step()))
	if !short || err != nil || unit != "" && unit != s.Unit {
		return text, err
	}
	return strconv.FormatFloat(v, 'f', -1, 64), nil
}

var unspelled = regexp.MustCompile(`^([-−+]?)(?:(\d{1,6}) +(\d{1,6})|(\d{1,6})/)$`)

// spelled reads a number in parts of which so many make one; short is false for one written in full.
func spelled(number string, parts int64) (v float64, short bool, err error) {
	found := unspelled.FindStringSubmatch(number)
	if parts == 0 || found == nil {
		return 0, false, nil
	}
	whole, _ := strconv.ParseInt("0"+found[2], 10, 64)
	n, _ := strconv.ParseInt(found[3]+found[4], 10, 64) // one of them is empty
	if n >= parts {
		return 0, true, fmt.Errorf("%d/%d is one or more: type %d at most, or the next whole number", n, parts,
			parts-1)
	}
	v = float64(whole) + float64(n)/float64(parts)
	if found[1] != "" && found[1] != "+" {
		v = -v
	}
	return v, true, nil
}
