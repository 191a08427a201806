package model

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"time"

	"bendbook/model/measure"
)

// The bounds below keep out slips of the hand and of the file; none of them is a rule of the trade.
const (
	longestLimb    measure.Length = 120
	longestHandle  measure.Length = 60
	thickestLimb   measure.Length = 12 // width or depth
	finestRule     measure.Length = 0.0001
	coarsestRule   measure.Length = 2
	finestScale    measure.Force  = 0.0001
	coarsestScale  measure.Force  = 20
	heaviestWeight measure.Force  = 400 // not itself allowed
	mostPulls                     = 100_000
	longestHeld                   = 10 * time.Minute
	longestText                   = 64_000 // bytes of a note or a reason
	// readingSlack is how far a reading may pass what geometry allows: the rule's error.
	readingSlack measure.Length = 0.25
)

// More of them, which forms refuse by as well.
const (
	MostStations = 100 // of a limb, and places of a block
	LongestName  = 400 // bytes of a name, a wood, a tool or another short text
)

// Check says whether the description can be one of a bow. The error is a *FieldError.
func (b Bow) Check() error {
	if err := CheckUnits(b.Units); err != nil {
		return err
	}
	if err := b.checkTools(); err != nil {
		return err
	}
	for _, text := range []struct{ field, text string }{
		{"id", b.ID}, {"name", b.Name}, {"wood", b.Wood}, {"number", b.Number}, {"order.for", b.Order.For}, {"aim.bend", b.Aim.Bend},
	} {
		if err := checkText(text.field, text.text, LongestName); err != nil {
			return err
		}
	}
	if !slices.Contains([]Section{"", SectionD, SectionRectangle, SectionEllipse}, b.Section) {
		return Fault("section", "expected D, rectangle or ellipse")
	}
	return cmp.Or(
		b.checkLength("handle", b.Handle, 0, longestHandle),
		b.checkLength("handle_depth", b.HandleDepth.Or(1), 0, thickestLimb),
		b.checkLimb("limbs.upper", b.Limbs[Upper]),
		b.checkLimb("limbs.lower", b.Limbs[Lower]),
		b.checkOrder(),
	)
}

// CheckUnits says whether the units are ones that a record may name. The error is a *FieldError.
func CheckUnits(units measure.Units) error {
	if err := units.Length.Check(); err != nil {
		return Fault("units.length", "%v", err)
	}
	if err := units.Force.Check(); err != nil {
		return Fault("units.force", "%v", err)
	}
	return nil
}

// checkTools judges what the bow is read with. It comes first, since the messages about all else are printed
// to the rule's and the scale's steps.
func (b Bow) checkTools() error {
	if b.Rule != 0 && !(b.Rule >= finestRule && b.Rule <= coarsestRule) {
		most := measure.Rule{Unit: b.Units.Length}
		return Fault("readings.rule", "expected the rule's step, above 0, %s at most", most.WithUnit(coarsestRule))
	}
	if b.Scale != 0 && !(b.Scale >= finestScale && b.Scale <= coarsestScale) {
		most := measure.Scale{Unit: b.Units.Force}
		return Fault("readings.scale", "expected the scale's step, above 0, %s at most",
			most.WithUnit(coarsestScale))
	}
	if !slices.Contains([]string{"", "clamped", "rocking"}, b.Cradle) {
		return Fault("readings.cradle", "expected clamped or rocking")
	}
	return nil
}

// Largest is the bow that stands at the bounds of Check: an event that cannot have happened to it can have
// happened to no bow. It judges entries of a bow whose earlier size is not known.
func Largest(units measure.Units) Bow {
	limb := Limb{Length: longestLimb, Stations: make([]measure.Length, MostStations)}
	for i := range limb.Stations {
		limb.Stations[i] = longestLimb
	}
	return Bow{Units: units, Handle: longestHandle, Limbs: [2]Limb{limb, limb}}
}

func (b Bow) checkLimb(path string, limb Limb) error {
	if !finite(limb.Length) || limb.Length <= 0 || limb.Length > longestLimb {
		return Fault(path+".length", "expected a length from root to nock above 0, %s at most",
			b.withUnit(longestLimb))
	}
	if len(limb.Stations) > MostStations {
		return Fault(path+".stations", "%d stations are too many; expected %d at most",
			len(limb.Stations), MostStations)
	}
	last := measure.Length(0)
	for i, at := range limb.Stations {
		field := fmt.Sprintf("%s.stations[%d]", path, i)
		switch {
		case !finite(at) || at <= 0 || (i > 0 && at <= last):
			return Fault(field, "expected stations that increase from the root outwards, the first above 0")
		case at > limb.Length+readingSlack:
			return Fault(field, "%s lies beyond the limb's %s", b.Ruler().Print(at), b.withUnit(limb.Length))
		}
		last = at
	}
	for _, row := range []struct {
		field string
		row   []measure.Optional[measure.Length]
	}{{".widths", limb.Widths}, {".depths", limb.Depths}} {
		if len(row.row) > len(limb.Stations) {
			return Fault(path+row.field, "there are %d for %d stations", len(row.row), len(limb.Stations))
		}
		for i, v := range row.row {
			if l, known := v.Get(); known && (!finite(l) || l <= 0 || l > thickestLimb) {
				return Fault(fmt.Sprintf("%s%s[%d]", path, row.field, i), "expected a size above 0, %s at most",
					b.withUnit(thickestLimb))
			}
		}
	}
	return nil
}

func (b Bow) checkOrder() error {
	if err := cmp.Or(checkKnown("order.draw", b.Order.Draw, b.CheckDraw),
		checkKnown("order.weight", b.Order.Weight, b.CheckWeight)); err != nil {
		return err
	}
	if allow, known := b.Order.Allow.Get(); known && (!finite(allow) || allow < 0 || allow >= heaviestWeight) {
		return Fault("order.allow", "expected what the weight may be off either side")
	}
	if !slices.Contains([]Hand{"", RightHanded, LeftHanded}, b.Order.Hand) {
		return Fault("order.hand", "expected right or left")
	}
	if err := checkText("order.notes", b.Order.Notes, longestText); err != nil {
		return err
	}
	if !slices.Contains([]DrawTo{"", ToBelly, ToBack, ToPivot}, b.Order.DrawTo) {
		return Fault("order.draw_to", "expected belly, back or pivot+1.75")
	}
	if _, isDay := b.Order.Due.Time(); b.Order.Due != "" && !isDay {
		return Fault("order.due", "expected a day like 2027-02-01")
	}
	longest := max(b.Limbs[Upper].Length, b.Limbs[Lower].Length)
	return cmp.Or(
		b.checkLength("aim.tiller_at", b.Aim.TillerAt.Or(0), 0, longest),
		b.checkLength("aim.tiller", b.Aim.Tiller.Or(0), -longest, longest),
		b.checkLength("aim.stiff_tips", b.Aim.StiffTips.Or(0), 0, longest),
	)
}

func (b Bow) checkLength(field string, v, least, most measure.Length) error {
	if !finite(v) || v < least || v > most {
		return Fault(field, "expected a length from %s to %s", b.Ruler().Print(least), b.withUnit(most))
	}
	return nil
}

func (b Bow) withUnit(l measure.Length) string { return b.Ruler().WithUnit(l) }

// checkKnown names the field of what a check finds wrong with a value that was read.
func checkKnown[T any](field string, v measure.Optional[T], check func(T) error) error {
	if known, ok := v.Get(); ok {
		if err := check(known); err != nil {
			return Fault(field, "%v", err)
		}
	}
	return nil
}

func checkText(field, text string, most int) error {
	if len(text) > most {
		return Fault(field, "it is longer than %d bytes", most)
	}
	return nil
}

func finite[T ~float64](v T) bool { return !math.IsNaN(float64(v)) && !math.IsInf(float64(v), 0) }
