// Package model holds a bow: its description, the entries of its record, which readings are possible on it,
// and what follows from them by geometry alone. Packages below hold the quantities (measure), the record as a
// file (record) and the mechanics.
//
// It has no clock, no files and no screen. Lengths are inches and forces pounds-force everywhere (package
// measure); distances along a limb run from its root, where the rigid handle ends.
package model

import (
	"time"

	"bendbook/model/measure"
)

// Side is one of a bow's two limbs. It indexes every pair of limbs in the program.
type Side int

// The two limbs, in the order in which they are read.
const (
	Upper Side = iota
	Lower
)

// Sides are both limbs, in that order.
var Sides = [2]Side{Upper, Lower}

// String is the limb's name: upper or lower.
func (s Side) String() string {
	if s == Lower {
		return "lower"
	}
	return "upper"
}

// Other is the opposite limb.
func (s Side) Other() Side { return 1 - s }

// Bow is the description of one bow.
type Bow struct {
	ID     string
	Name   string
	Wood   string
	Number string // stamped on the finished bow; "" until given

	Units measure.Units // that its figures are shown and typed in: its record's, unless ShownIn says others
	kept  measure.Units // its record's, where its figures are shown in others

	Handle      measure.Length                   // rigid length between the two limb roots
	HandleDepth measure.Optional[measure.Length] // belly to back at the handle
	Section     Section
	Limbs       [2]Limb `json:",omitzero"` // by Side

	Order Order
	Aim   Aim            `json:",omitzero"`
	Rule  measure.Length // step of the rule that reads the stations; 0 is not known
	Scale measure.Force  // step of the scale; 0 is not known
	// Cradle is "clamped" or "rocking": whether the bow can tilt on the tree; "" is not known.
	Cradle string
	Rig    Rig `json:",omitzero"`
}

// Section is the form of a limb's cross section.
type Section string

// The sections that a record may name; "" is not known.
const (
	SectionD         Section = "D"
	SectionRectangle Section = "rectangle"
	SectionEllipse   Section = "ellipse"
)

// Limb is one limb of a bow.
type Limb struct {
	Length   measure.Length   // from root to nock, along the limb
	Stations []measure.Length // where it is read, from the root, increasing
	// Widths and Depths are measured at the stations, in their order; nil or short where not measured.
	Widths, Depths []measure.Optional[measure.Length]
}

// Order is what the customer wants.
type Order struct {
	For    string
	Draw   measure.Optional[measure.Length] // measured as DrawTo says
	DrawTo DrawTo
	Weight measure.Optional[measure.Force] // at Draw
	Allow  measure.Optional[measure.Force] // either side of Weight
	Due    Day
	Hand   Hand
	Notes  string // what else was agreed
}

// Hand is the hand that draws the string.
type Hand string

// The hands that a record may name; "" is not known.
const (
	RightHanded Hand = "right"
	LeftHanded  Hand = "left"
)

// DrawTo is the place that a draw length is measured from.
type DrawTo string

// The places that a record may name; "" stands for ToBelly.
const (
	ToBelly DrawTo = "belly"
	ToBack  DrawTo = "back"
	// ToPivot is the published trade draw length: string's nock to the grip's pivot point, plus 1¾ in.
	ToPivot DrawTo = "pivot+1.75"
)

// Aim is how the limbs should bend, and how they should differ.
type Aim struct {
	// Bend is the name of an aim, such as "compass", or "as" and the id, number or name of a finished bow; "" is
	// not chosen.
	Bend string
	// TillerAt is the station at which Tiller is wanted: the upper gap to the string less the lower, braced.
	TillerAt measure.Optional[measure.Length]
	Tiller   measure.Optional[measure.Length]
	// StiffTips is the last part of each limb, left stiff until the nocks are on; unread for the usual one.
	StiffTips measure.Optional[measure.Length]
}

// Day is a calendar day as 2027-02-01; "" is none.
type Day string

// Time is the day's first moment in UTC; ok is false where there is none or the text isn't a day.
func (d Day) Time() (t time.Time, ok bool) {
	t, err := time.Parse(time.DateOnly, string(d))
	return t, err == nil
}

// Length is the bow's length along the belly, nock to nock.
func (b Bow) Length() measure.Length {
	return b.Limbs[Upper].Length + b.Handle + b.Limbs[Lower].Length
}

// Calliper prints what a rule can't show, such as the depth of a scrape, in thousandths of an inch or
// hundredths of a millimetre.
func (b Bow) Calliper() measure.Rule {
	if b.Units.Length == measure.Inch {
		return measure.Rule{Unit: measure.Inch, Step: 0.001}
	}
	return measure.Rule{Unit: measure.Millimetre, Step: measure.Millimetre.Length(0.01)}
}

// UsualDepth is the depth of a handle that wasn't measured (common practice).
const UsualDepth measure.Length = 1.25

// TradeDrawExcess is what the published trade draw length adds to the distance from the string's nock to the
// pivot point of the grip: 26¼ in there is a 28 in draw. Trade standard (read; see testdata/reference).
const TradeDrawExcess measure.Length = 1.75

// DrawToBelly is the ordered draw as the tree shows it, from the belly; unread where no draw is ordered, or
// one to the back and the handle's depth is not known. The pivot point of a grip without a shelf is taken to
// lie at the belly.
func (b Bow) DrawToBelly() measure.Optional[measure.Length] {
	draw, known := b.Order.Draw.Get()
	depth, measured := b.HandleDepth.Get()
	switch {
	case !known, b.Order.DrawTo == ToBack && !measured:
		return measure.Optional[measure.Length]{}
	case b.Order.DrawTo == ToBack:
		return measure.Some(draw - depth)
	case b.Order.DrawTo == ToPivot:
		return measure.Some(draw - TradeDrawExcess)
	}
	return measure.Some(draw)
}
