package model

import (
	"errors"
	"fmt"
	"math"

	"bendbook/model/measure"
	"bendbook/model/plain"
)

// Readings are the distances read at a bow's stations. The first index is the Side, the second that of the
// limb's station; a row may end early.
type Readings [2][]measure.Optional[measure.Length]

// At is the reading of a limb's station i; unread where there is none.
func (r Readings) At(s Side, i int) measure.Optional[measure.Length] {
	if i < 0 || i >= len(r[s]) {
		return measure.Optional[measure.Length]{}
	}
	return r[s][i]
}

// Any reports whether at least one station was read.
func (r Readings) Any() bool { return r.count() > 0 }

func (r Readings) count() (n int) {
	for _, limb := range r {
		for _, reading := range limb {
			if reading.Known() {
				n++
			}
		}
	}
	return n
}

// say tells how many stations were read.
func (r Readings) say() string {
	n := r.count()
	if n == 0 {
		return "nothing read"
	}
	return plain.Plural(n, "%d reading", "%d readings", n)
}

// Datum is the line that a station's distance is measured from.
type Datum string

// The datums that a record may name.
const (
	FromLine   Datum = "line"   // the straight line through the belly at the limb roots
	FromString Datum = "string" // the string, square to it
)

// ReadBy says how stations were read; "" is by the rule.
type ReadBy string

// ByPhoto are readings off a photograph.
const ByPhoto ReadBy = "photo"

func (by ReadBy) check() error {
	if by != "" && by != ByPhoto {
		return Fault("by", "write %s, or leave it out for the rule", ByPhoto)
	}
	return nil
}

// say tells how many stations were read, and off a photograph where they were.
func (by ReadBy) say(r Readings) string {
	if by == ByPhoto {
		return r.say() + " off a photograph"
	}
	return r.say()
}

// checkReading judges a distance read at station i of a limb. A limb doesn't stretch, so its belly is at most
// as far from the line as the station from the root, and a gap is at most as long as the limb.
func (b Bow) checkReading(from Datum, side Side, i int, reading measure.Length) error {
	limb := b.Limbs[side]
	most := limb.Stations[i]
	if from == FromString {
		most = limb.Length
	}
	if !(math.Abs(float64(reading)) <= float64(most+readingSlack)) {
		return fmt.Errorf("%s is beyond the bow: at %s it can be %s at most",
			b.Ruler().Print(reading), b.Ruler().WithUnit(limb.Stations[i]), b.withUnit(most))
	}
	if from == FromString && reading < 0 {
		return errors.New("a gap to the string is never below 0")
	}
	return nil
}

func (b Bow) checkReadings(from Datum, r Readings) error {
	for _, side := range Sides {
		if have, stations := len(r[side]), len(b.Limbs[side].Stations); have > stations {
			return Fault(side.String(), "there are %d readings for %d stations", have, stations)
		}
		for i, reading := range r[side] {
			// 0 can be read everywhere.
			if err := b.checkReading(from, side, i, reading.Or(0)); err != nil {
				return Fault(fmt.Sprintf("%s[%d]", side, i), "%v", err)
			}
		}
	}
	return nil
}
