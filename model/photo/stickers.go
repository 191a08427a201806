package photo

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// A Colour is one that stickers may have: wood has none of them.
type Colour string

// hues are the middles of the colours on the wheel (degrees), and how far they reach.
func (c Colour) hue() (middle, reach float64) {
	switch c {
	case "green":
		return 135, 38
	case "blue":
		return 218, 30
	case "pink":
		return 328, 20
	}
	return 0, 0
}

// ParseColours reads the colours of the stations' stickers and of the handle's, such as "green, blue".
func ParseColours(text string) (stations, handle Colour, err error) {
	words := strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return r == ',' || r == ' ' })
	for _, word := range words {
		if _, reach := Colour(word).hue(); reach == 0 {
			return "", "", fmt.Errorf("%.20q is no sticker's colour. Type two of green, blue, pink", word)
		}
	}
	if len(words) != 2 || words[0] == words[1] {
		return "", "", fmt.Errorf("type two of green, blue, pink: the stations' and the handle's")
	}
	return Colour(words[0]), Colour(words[1]), nil
}

// A sticker is a round spot: its middle and radius (px).
type sticker struct {
	middle point
	radius float64
}

// The stickers that are taken: their diameters (in) and how much paler than pure they may be.
const (
	leastAcross, mostAcross = 0.22, 1.0
	leastPure               = 0.28
	leastBright             = 25
)

// findStickers finds round spots of a colour, given how many pixels an inch about has.
func (p *Picture) findStickers(of Colour, perInch float64) (found []sticker) {
	middle, reach := of.hue()
	mask := make([]bool, p.w*p.h)
	for at := range mask {
		r, g, b := int(p.rgb[3*at]), int(p.rgb[3*at+1]), int(p.rgb[3*at+2])
		high, low := max(r, g, b), min(r, g, b)
		if high < leastBright || float64(high-low) < leastPure*float64(high) {
			continue
		}
		var hue float64
		switch d := float64(high - low); high {
		case r:
			hue = 60 * float64(g-b) / d
		case g:
			hue = 120 + 60*float64(b-r)/d
		default:
			hue = 240 + 60*float64(r-g)/d
		}
		off := math.Abs(math.Mod(hue-middle+540, 360) - 180)
		mask[at] = off <= reach
	}
	small := perInch / float64(p.k)
	least := max(int(0.4*leastAcross*leastAcross*small*small), 4)
	round := slices.DeleteFunc(blobs(mask, p.w, least), func(b blob) bool {
		w, h := float64(b.width()), float64(b.height())
		return max(w, h) > 1.4*mostAcross*small || max(w, h) > 1.6*min(w, h)+1 || float64(b.n) < 0.5*w*h
	})
	usual := math.Pi / 16 * small * small // of half an inch across
	for _, b := range nearest(round, func(b blob) float64 { return math.Abs(math.Log(float64(b.n) / usual)) }) {
		c := point{p.full(float64(b.sumX) / float64(b.n)), p.full(float64(b.sumY) / float64(b.n))}
		r := float64(p.k) * math.Sqrt(float64(b.n)/math.Pi)
		if s, ok := p.model(c, r); ok && s.radius > perInch*leastAcross/2 {
			found = append(found, s)
		}
	}
	return found
}
