package estimate

import (
	"bendbook/model"
	"bendbook/model/section"
)

// A Bow is what is known of a bow apart from its readings.
type Bow struct {
	// Handle is the rigid length between the limb roots (in).
	Handle float64
	// Limbs are both limbs, by Side.
	Limbs [2]Limb
	// Section is the form of the limbs' cross section; its stiffness counts where widths and depths are
	// known, and what a scraping takes off always. The zero is a D.
	Section section.Kind
	// Modulus is the wood's modulus of elasticity (psi) and ModulusError its standard deviation as a
	// fraction; a Modulus of 0 is not known.
	Modulus, ModulusError float64
	// Draw (in, of the hook from the belly line) and Weight (lbf) are what the bow is meant to have; 0 where
	// that is not known. They only say about how strong a stave to expect.
	Draw, Weight float64
	// Errors are those of the readings.
	Errors Errors
}

// A Limb is one limb from its root to its nock.
type Limb struct {
	// Length is from root to nock along the limb (in).
	Length float64
	// Sizes are widths and depths where they were measured before any wood came off, outwards: by them the
	// limb's stiffness is expected. nil where none was.
	Sizes []Size
	// Later are they as measured once wood had come off: by them depths and strains are told, and of the
	// stave they say nothing. nil where nothing was measured since.
	Later []Size
}

// latest are the widths and depths as last measured.
func (l Limb) latest() []Size {
	if len(l.Later) > 0 {
		return l.Later
	}
	return l.Sizes
}

// A Size is the cross section at one place of a limb (in).
type Size struct{ At, Width, Depth float64 }

// length is the bow's length from nock to nock along the belly.
func (b Bow) length() float64 {
	return b.Handle + b.Limbs[model.Upper].Length + b.Limbs[model.Lower].Length
}

// UsualBrace is the brace height where none was read: 6 in on a bow of 72 (common practice).
func (b Bow) UsualBrace() float64 { return 6 * b.length() / 72 }

// UsualDraw is the draw where none was ordered: 28 in on a bow of 72 (common practice).
func (b Bow) UsualDraw() float64 { return 28 * b.length() / 72 }

// Errors are standard deviations of single readings, the rounding of rule and scale included.
type Errors struct {
	// Line is that of line, string-gap and relaxed readings (in).
	Line float64
	// Block is that of gaps under a block (in).
	Block float64
	// Peak is that of the scale's peak (lbf).
	Peak float64
	// Brace and String are those of brace height and of string length (in).
	Brace, String float64
	// Tilt is that of the bow's tilt on a cradle that rocks (rad); 0 on a clamped one.
	Tilt float64
}
