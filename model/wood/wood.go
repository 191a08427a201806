// Package wood holds what is published of the woods that bows are made of, and how moisture changes them: the
// moisture content that air gives, and stiffness at another moisture content.
//
// Properties are means of small clear pieces. A given stave may differ by a sixth either way, so an estimate
// starts from them and no bow is judged by them.
package wood

import (
	"slices"
	"strings"
)

// psiPerMPa: a psi is 6894.757293168362 Pa, NIST SP 811 (from memory).
const psiPerMPa = 1e6 / 6894.757293168362

// A Wood is what is published of one wood. A property that is not known is 0.
type Wood struct {
	Name string // as bowyers call it
	// Modulus and GreenModulus are the moduli of elasticity in bending, at 12 % moisture and green (psi).
	Modulus, GreenModulus float64
	meeting               float64 // moisture content below which drying changes the modulus; 0 is the usual
	Source                string  // of the moduli
	// StrainLow and StrainHigh bound the surface strain that a limb of this wood should stand at full
	// draw; 0 if unknown. They are a caution, never a licence.
	StrainLow, StrainHigh float64
	StrainSource          string
}

// memory marks what has no source to go by.
const memory = "from memory, not sure"

// table is in the order in which it is shown. Yew stands 45 to 50 depths of radius and osage 35, so a strain
// of half a depth over that.
func table() [12]Wood {
	const (
		handbook     = "Wood Handbook (FPL-GTR-190, -282) ch. 5, table of properties"
		greenIffy    = handbook + "; green modulus from memory"
		sheet        = "species sheet of the USDA Forest Products Laboratory"
		radiusOfBend = "older archery literature: least radius of bend over depth at full draw, " +
			"taken as a rectangle's"
	)
	return [...]Wood{
		{"ash, white", 1.74e6, 9900 * psiPerMPa, 0.24, greenIffy, 0.008, 0.010, memory},
		{"hickory, shagbark", 2.16e6, 10800 * psiPerMPa, 0, greenIffy, 0.008, 0.010, memory},
		{"yew, Pacific", 9310 * psiPerMPa, 6830 * psiPerMPa, 0, sheet, 0.5 / 50, 0.5 / 45, radiusOfBend},
		{"yew, European", 9700 * psiPerMPa, 0, 0, memory + ": 9 to 10.5 GPa", 0.5 / 50, 0.5 / 45, radiusOfBend},
		{"osage-orange", 0, 1.33e6, 0, handbook + "; not tested dry", 0.5 / 35, 0.5 / 35, radiusOfBend},
		{Name: "locust, black", Modulus: 2.05e6, Source: handbook},
		{Name: "elm, rock", Modulus: 1.54e6, Source: handbook},
		{Name: "maple, sugar", Modulus: 1.83e6, Source: handbook},
		{Name: "oak, white", Modulus: 1.78e6, Source: handbook},
		{Name: "cherry, black", Modulus: 1.49e6, Source: handbook},
		{Name: "walnut, black", Modulus: 1.68e6, Source: handbook},
		{Name: "ipe", Modulus: 3.14e6, Source: handbook},
	}
}

// StrainSure says whether the strain that the wood stands has a source to go by.
func (w Wood) StrainSure() bool { return w.StrainLow > 0 && w.StrainSource != memory }

// Find looks a wood up by its name as listed, its name in the usual order ("white ash"), or its kind alone
// ("ash"), which finds the first of that kind.
func Find(name string) (Wood, bool) {
	words := strings.FieldsFunc(strings.ToLower(name), func(r rune) bool { return r == ' ' || r == ',' })
	if len(words) == 0 {
		return Wood{}, false
	}
	for _, w := range table() {
		kind, sort, _ := strings.Cut(strings.ToLower(w.Name), ", ")
		if slices.Equal(words, []string{kind}) ||
			sort != "" && (slices.Equal(words, []string{sort, kind}) || slices.Equal(words, []string{kind, sort})) {
			return w, true
		}
	}
	return Wood{}, false
}

// Kind is what two names of the same wood have in common: the name under which it is known, or the maker's
// own in small letters.
func Kind(name string) string {
	if known, ok := Find(name); ok {
		return known.Name
	}
	return strings.ToLower(strings.Join(strings.Fields(name), " "))
}
