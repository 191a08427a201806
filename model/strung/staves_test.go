package strung_test

import (
	"math"

	"pgregory.net/rapid"

	"bendbook/model/strung"
)

// A hung stave is a bow with the string it is hung with.
type hungStave struct {
	bow    strung.Bow
	height float64 // brace
	draw   float64
}

// staves draws staves within sense: limbs of 10 to 45 in, unequal by up to 10 %, stiffness over three orders
// of magnitude with roots 1 to 50 times as stiff as tips, up to 3 in of set or reflex (a tenth of the limb
// where that is less, twice as much at the tips as at the roots at most), braced to 15 to 22 % of a limb and
// drawn to between 10 and 65 % of one beyond. Half of them are hooked off the string's middle.
func staves() *rapid.Generator[hungStave] { return stavesTo(0.1, false) }

// stavesTo draws staves whose set or reflex is up to 3 in, but no more than a share of the limb. Alike limbs
// have one taper.
func stavesTo(share float64, alike bool) *rapid.Generator[hungStave] {
	return rapid.Custom(func(t *rapid.T) hungStave {
		length := rapid.Float64Range(10, 45).Draw(t, "length")
		scale := math.Pow(10, rapid.Float64Range(2.5, 5.5).Draw(t, "scale"))
		most := math.Min(3, share*length)
		rest := rapid.Float64Range(-most, most).Draw(t, "rest")
		upper, lower := tapers(t), tapers(t)
		if alike {
			lower = upper
		}
		h := hungStave{bow: strung.Bow{
			Handle: rapid.Float64Range(0, 0.3).Draw(t, "handle") * length,
			Upper:  limbs(t, length, scale, rest, upper),
			Lower: limbs(t, length*rapid.Float64Range(0.9, 1.1).Draw(t, "lower"),
				scale*rapid.Float64Range(0.8, 1.25).Draw(t, "weaker"),
				rest+rapid.Float64Range(-0.01, 0.01).Draw(t, "twist")*length, lower),
		}}
		if rapid.Bool().Draw(t, "hook off") {
			h.bow.Hook = rapid.Float64Range(-0.05, 0.05).Draw(t, "hook") * length
		}
		if rapid.Bool().Draw(t, "log") {
			h.bow.Between = strung.LogLinear
		}
		h.height = (rapid.Float64Range(0.15, 0.22).Draw(t, "brace"))*length + math.Max(rest, 0)
		h.draw = h.height + rapid.Float64Range(0.1, 0.65).Draw(t, "draw")*length
		return h
	})
}

// A taper is how stiffness falls from root to nock: to the share tip, with a power of what is left of the
// limb.
type taper struct{ tip, power float64 }

func tapers(t *rapid.T) taper {
	return taper{
		tip:   math.Pow(50, -rapid.Float64Range(0, 1).Draw(t, "tip")),
		power: rapid.Float64Range(0.5, 2).Draw(t, "taper"),
	}
}

// limbs draws one limb whose unstrung nock stands off the line by about rise.
func limbs(t *rapid.T, length, scale, rise float64, shape taper) strung.Limb {
	n := rapid.IntRange(2, 20).Draw(t, "knots")
	end := rapid.Float64Range(0.5, 1).Draw(t, "rest at root")
	limb := strung.Limb{Length: length}
	for i := range n {
		u := float64(i) / float64(n-1)
		limb.At = append(limb.At, u*length)
		b := scale * (shape.tip + (1-shape.tip)*math.Pow(1-u, shape.power))
		if i > 0 && i < n-1 {
			b *= math.Exp(rapid.Float64Range(-0.25, 0.25).Draw(t, "rough"))
		}
		limb.Stiffness = append(limb.Stiffness, b)
		limb.RestBend = append(limb.RestBend, 2*rise/length/length*(end+(1-end)*u)/(end+(1-end)/3))
	}
	limb.At[n-1] = length
	return limb
}
