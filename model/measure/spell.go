package measure

import (
	"fmt"
	"regexp"
	"strconv"
)

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
