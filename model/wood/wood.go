// Package wood holds what is published of the woods that bows are made of, and how moisture changes them: the
// moisture content that air gives, and stiffness at another moisture content.
//
// Properties are those of small clear pieces, in the mean. A given stave may differ from them by a sixth
// either way, so they are where an estimate starts and never what a bow is held to. The package knows nothing
// of bows, sections or files.
package wood

import (
	"slices"
	"strings"
)

// psiPerMPa: a psi is 6894.757293168362 Pa, NIST SP 811 (from memory).
const psiPerMPa = 1e6 / 6894.757293168362

// A Wood is what is published of one wood. A property that is not known is 0.
type Wood struct {
	// Name is how bowyers call it.
	Name string
	// Rupture and Modulus are the moduli of rupture and of elasticity in bending (psi), at 12 % moisture.
	Rupture, Modulus float64
	// GreenRupture and GreenModulus are the same of green wood (psi).
	GreenRupture, GreenModulus float64
	// Meeting is the moisture content below which drying changes the properties; 0 is 0.25.
	Meeting float64
	// StrainLow and StrainHigh bound the surface strain that a limb of this wood is said to stand at full
	// draw; 0 if nothing is said. They are a caution, never a licence.
	StrainLow, StrainHigh float64
	// Source says where the properties come from, and what in them is not sure.
	Source string
	// StrainSource does so for the strains.
	StrainSource string
}

const (
	handbook     = "Wood Handbook (FPL-GTR-190, -282) ch. 5, table of properties"
	ruptureIffy  = handbook + "; modulus of rupture from memory"
	radiusOfBend = "older archery literature: least radius of bend over depth at full draw, " +
		"taken as a rectangle's"
	strainIffy = "from memory, not sure"
)

// table is in the order in which it is shown. Yew stands 45 to 50 depths of radius and osage 35, so a strain
// of half a depth over that.
func table() [12]Wood {
	return [...]Wood{
		{Name: "ash, white", Rupture: 15000, Modulus: 1.74e6, GreenModulus: 9900 * psiPerMPa, Meeting: 0.24,
			StrainLow: 0.008, StrainHigh: 0.010, Source: handbook + "; green modulus from memory",
			StrainSource: strainIffy},
		{Name: "hickory, shagbark", Rupture: 20200, Modulus: 2.16e6, GreenModulus: 10800 * psiPerMPa,
			StrainLow: 0.008, StrainHigh: 0.010, Source: handbook + "; green modulus from memory",
			StrainSource: strainIffy},
		{Name: "yew, Pacific", Rupture: 105 * psiPerMPa, Modulus: 9310 * psiPerMPa, GreenRupture: 69.6 * psiPerMPa, GreenModulus: 6830 * psiPerMPa,
			StrainLow: 0.5 / 50, StrainHigh: 0.5 / 45, Source: "species sheet of the USDA Forest Products Laboratory",
			StrainSource: radiusOfBend},
		{Name: "yew, European", Rupture: 102 * psiPerMPa, Modulus: 9700 * psiPerMPa,
			StrainLow: 0.5 / 50, StrainHigh: 0.5 / 45, Source: "from memory, not sure: 95 to 110 MPa and 9 to 10.5 GPa", StrainSource: radiusOfBend},
		{Name: "osage-orange", GreenRupture: 13700, GreenModulus: 1.33e6,
			StrainLow: 0.5 / 35, StrainHigh: 0.5 / 35, Source: handbook + "; green only, it was not tested dry",
			StrainSource: radiusOfBend},
		{Name: "locust, black", Rupture: 19400, Modulus: 2.05e6, Source: handbook},
		{Name: "elm, rock", Rupture: 14800, Modulus: 1.54e6, Source: ruptureIffy},
		{Name: "maple, sugar", Rupture: 15800, Modulus: 1.83e6, Source: handbook},
		{Name: "oak, white", Rupture: 15200, Modulus: 1.78e6, Source: ruptureIffy},
		{Name: "cherry, black", Rupture: 12300, Modulus: 1.49e6, Source: ruptureIffy},
		{Name: "walnut, black", Rupture: 14600, Modulus: 1.68e6, Source: handbook},
		{Name: "ipe", Rupture: 25360, Modulus: 3.14e6, Source: handbook},
	}
}

// StrainSure says whether the strain that the wood stands has a source to go by.
func (w Wood) StrainSure() bool { return w.StrainLow > 0 && w.StrainSource != strainIffy }

// Find looks a wood up by what a bowyer writes: its name as listed, its name in the usual order ("white
// ash"), or its kind alone ("ash") where one wood of that kind is listed or, of several, the first.
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

// ModulusAt is the modulus of elasticity at a moisture content (a fraction), in psi, and whether it is known:
// that takes the modulus dry and green.
func (w Wood) ModulusAt(moisture float64) (float64, bool) {
	if w.Modulus == 0 || w.GreenModulus == 0 {
		return 0, false
	}
	e, err := atMoisture(w.Modulus, w.GreenModulus, w.Meeting, moisture)
	return e, err == nil
}
