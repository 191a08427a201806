package wood

import "math"

// MoistureInAir is the moisture content that wood comes to in air of the given temperature (°C) and relative
// humidity (a fraction), as a fraction of its dry weight.
//
// With h the humidity and T the temperature,
//
//	M = (18/W)·[Kh/(1−Kh) + (K₁Kh + 2K₁K₂K²h²)/(1 + K₁Kh + K₁K₂K²h²)]
//	W = 349 + 1.29T + 0.0135T²,  K = 0.805 + 0.000736T − 0.00000273T²
//	K₁ = 6.27 − 0.00938T − 0.000303T²,  K₂ = 1.91 + 0.0407T − 0.000293T²
//
// from Wood Handbook (USDA Forest Products Laboratory, FPL-GTR-190 and -282), ch. 4 (coefficients from
// memory; they give the printed cells of table 4-2 within 0.06 %). ok is false outside −20 to 60
// °C and 0 to 0.98.
func MoistureInAir(celsius, humidity float64) (content float64, ok bool) {
	if !(celsius >= -20 && celsius <= 60 && humidity >= 0 && humidity <= 0.98) {
		return 0, false
	}
	t := celsius
	w := 349 + 1.29*t + 0.0135*t*t
	kh := (0.805 + 0.000736*t - 0.00000273*t*t) * humidity
	k1 := 6.27 - 0.00938*t - 0.000303*t*t
	k2 := 1.91 + 0.0407*t - 0.000293*t*t
	first := kh / (1 - kh)
	second := (k1*kh + 2*k1*k2*kh*kh) / (1 + k1*kh + k1*k2*kh*kh)
	return 18 / w * (first + second), true
}

// Warm is the modulus of elasticity of dry lumber at a temperature (°F), from 15 to 150, as a share of that
// at 70. Wood Handbook (USDA Forest Products Laboratory, FPL-GTR-190), table 5-16 (read in a copy): it falls
// by 0.1108 % of that for each degree.
func Warm(fahrenheit float64) float64 { return 1 - 0.001108*(fahrenheit-70) }

// standard is the moisture content at which the handbooks give the properties of dry wood.
const standard = 0.12

// usualMeeting is the moisture content at which the properties of drying wood begin to change, where no other
// is known. Wood Handbook, ch. 5 (from memory).
const usualMeeting = 0.25

// ModulusAt is the modulus of elasticity P at a moisture content (a fraction), in psi; ok is false unless it
// is known both dry and green. Above a certain moisture content, usually 25 %, it stays what it is green.
//
//	P = P₁₂·(P₁₂/Pg)^((12 − M)/(Mp − 12)), all in per cent
//
// Wood Handbook, ch. 5 (from memory).
func (w Wood) ModulusAt(moisture float64) (p float64, ok bool) {
	dry, green, meeting := w.Modulus, w.GreenModulus, w.meeting
	if meeting <= 0 {
		meeting = usualMeeting
	}
	known := dry > 0 && green > 0 && !math.IsInf(dry, 0) && !math.IsInf(green, 0)
	if !known || !(meeting > standard && meeting <= 1) || !(moisture >= 0 && moisture <= 3) {
		return 0, false
	}
	if moisture >= meeting {
		return green, true
	}
	return dry * math.Pow(dry/green, (standard-moisture)/(meeting-standard)), true
}
