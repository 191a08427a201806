package model

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"bendbook/model/measure"
)

// Bounds against typing errors and damaged files; none is a rule of the trade. The checks that use them ask
// whether a value lies within, since NaN lies nowhere.
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
	// readingSlack is how far the rule's error may take a reading beyond what geometry allows.
	readingSlack measure.Length = 0.25
)

// Bounds that forms use too.
const (
	MostStations = 100 // of a limb, and places of a block
	LongestName  = 400 // bytes of a name, a wood, a tool or another short text
)

// Check reports the first field of the description that can't be right. The error is a *FieldError.
func (b Bow) Check() error {
	// Tools come first, since the messages about all else are printed to the steps of rule and scale.
	if err := cmp.Or(CheckUnits(b.Units), b.checkTools()); err != nil {
		return err
	}
	return cmp.Or(
		checkText("id", b.ID, LongestName),
		checkText("name", b.Name, LongestName),
		checkText("wood", b.Wood, LongestName),
		checkText("number", b.Number, LongestName),
		checkText("order.for", b.Order.For, LongestName),
		checkText("aim.bend", b.Aim.Bend, LongestName),
		oneOf("section", b.Section, SectionD, SectionRectangle, SectionEllipse),
		b.checkLength("handle", b.Handle, 0, longestHandle),
		b.checkLength("handle_depth", b.HandleDepth.Or(1), 0, thickestLimb),
		b.checkLimb("limbs.upper", b.Limbs[Upper]),
		b.checkLimb("limbs.lower", b.Limbs[Lower]),
		b.checkOrder(),
	)
}

// CheckUnits reports whether a record may name the units. The error is a *FieldError.
func CheckUnits(units measure.Units) error {
	if err := units.Length.Check(); err != nil {
		return Fault("units.length", "%v", err)
	}
	if err := units.Force.Check(); err != nil {
		return Fault("units.force", "%v", err)
	}
	return nil
}

// checkTools judges what the bow is read with.
func (b Bow) checkTools() error {
	if b.Rule != 0 && !(b.Rule >= finestRule && b.Rule <= coarsestRule) {
		most := measure.Rule{Unit: b.Units.Length}
		return Fault("readings.rule", "type the rule's finest mark, above 0, %s at most",
			most.WithUnit(coarsestRule))
	}
	if b.Scale != 0 && !(b.Scale >= finestScale && b.Scale <= coarsestScale) {
		most := measure.Scale{Unit: b.Units.Force}
		return Fault("readings.scale", "type the scale's finest step, above 0, %s at most",
			most.WithUnit(coarsestScale))
	}
	return cmp.Or(oneOf("readings.cradle", b.Cradle, "clamped", "rocking"), b.Rig.check(b))
}

// Largest is the largest bow that Check lets pass. It judges entries of a bow whose earlier size is not
// known: an event that can't have happened to it can't have happened to any.
func Largest(units measure.Units) Bow {
	limb := Limb{Length: longestLimb, Stations: make([]measure.Length, MostStations)}
	for i := range limb.Stations {
		limb.Stations[i] = longestLimb
	}
	return Bow{Units: units, Handle: longestHandle, Limbs: [2]Limb{limb, limb}}
}

func (b Bow) checkLimb(path string, limb Limb) error {
	if !(limb.Length > 0 && limb.Length <= longestLimb) {
		return Fault(path+".length", "type the length from root to nock, above 0, %s at most",
			b.withUnit(longestLimb))
	}
	if len(limb.Stations) > MostStations {
		return Fault(path+".stations", "%d stations are too many: type %d at most",
			len(limb.Stations), MostStations)
	}
	last := measure.Length(0)
	for i, at := range limb.Stations {
		field := fmt.Sprintf("%s.stations[%d]", path, i)
		switch {
		case !(at > last):
			return Fault(field, "go out from the handle, the first above 0")
		case at > limb.Length+readingSlack:
			return Fault(field, "%s lies beyond the limb's %s", b.Ruler().Print(at), b.withUnit(limb.Length))
		}
		last = at
	}
	return cmp.Or(b.checkSizes(path+".widths", limb.Widths, len(limb.Stations)),
		b.checkSizes(path+".depths", limb.Depths, len(limb.Stations)))
}

func (b Bow) checkSizes(path string, sizes []measure.Optional[measure.Length], stations int) error {
	if len(sizes) > stations {
		return Fault(path, "there are %d for %d stations", len(sizes), stations)
	}
	for i, v := range sizes {
		if l := v.Or(1); !(l > 0 && l <= thickestLimb) {
			field := fmt.Sprintf("%s[%d]", path, i)
			return Fault(field, "type a size above 0, %s at most", b.withUnit(thickestLimb))
		}
	}
	return nil
}

func (b Bow) checkOrder() error {
	if allow := b.Order.Allow.Or(0); !(allow >= 0 && allow < heaviestWeight) {
		return Fault("order.allow", "type how far the weight may be off either side, such as 2")
	}
	if _, isDay := b.Order.Due.Time(); b.Order.Due != "" && !isDay {
		return Fault("order.due", "type a day like 2027-02-01")
	}
	longest := max(b.Limbs[Upper].Length, b.Limbs[Lower].Length)
	return cmp.Or(
		checkKnown("order.draw", b.Order.Draw, b.checkDraw),
		checkKnown("order.weight", b.Order.Weight, b.checkWeight),
		oneOf("order.hand", b.Order.Hand, RightHanded, LeftHanded),
		checkText("order.notes", b.Order.Notes, longestText),
		oneOf("order.draw_to", b.Order.DrawTo, ToBelly, ToBack, ToPivot),
		b.checkLength("aim.tiller_at", b.Aim.TillerAt.Or(0), 0, longest),
		b.checkLength("aim.tiller", b.Aim.Tiller.Or(0), -longest, longest),
		b.checkLength("aim.stiff_tips", b.Aim.StiffTips.Or(0), 0, longest),
	)
}

func (b Bow) checkDraw(draw measure.Length) error {
	if !(draw > 0 && draw <= b.Length()) {
		return fmt.Errorf("a draw is above 0 and within the bow's own %s", b.withUnit(b.Length()))
	}
	return nil
}

func (b Bow) checkWeight(weight measure.Force) error {
	if !(weight > 0 && weight < heaviestWeight) {
		return fmt.Errorf("a weight is above 0 and under %s", b.Weigher().WithUnit(heaviestWeight))
	}
	return nil
}

func (b Bow) checkLength(field string, v, least, most measure.Length) error {
	if !(v >= least && v <= most) {
		return Fault(field, "type a length from %s to %s", b.Ruler().Print(least), b.withUnit(most))
	}
	return nil
}

func (b Bow) withUnit(l measure.Length) string { return b.Ruler().WithUnit(l) }

// oneOf refuses a word that is neither empty nor one of those that a record may name.
func oneOf[T ~string](field string, word T, words ...T) error {
	if word == "" {
		return nil
	}
	return among(field, word, words...)
}

// among refuses a word that is none of those that a record may name.
func among[T ~string](field string, word T, words ...T) error {
	if slices.Contains(words, word) {
		return nil
	}
	want := string(words[0])
	for _, other := range words[1 : len(words)-1] {
		want += ", " + string(other)
	}
	return Fault(field, "choose %s or %s", want, words[len(words)-1])
}

// checkKnown checks a value that was read, and names its field in the error.
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

// FieldError says which field of a bow or an entry is wrong, and what was expected there.
type FieldError struct {
	Field string // path as a record spells it: limbs.upper.length, peak, upper[3]
	Want  string // what is wrong, and what was expected
}

func (e *FieldError) Error() string {
	if e.Field == "" {
		return e.Want
	}
	return e.Field + ": " + e.Want
}

// Within is the same error seen from the field that encloses it.
func (e *FieldError) Within(path string) *FieldError {
	switch {
	case e.Field == "":
		return &FieldError{path, e.Want}
	case path == "" || e.Field[0] == '[':
		return &FieldError{path + e.Field, e.Want}
	}
	return &FieldError{path + "." + e.Field, e.Want}
}

// Fault is the error of a field, with what was expected there.
func Fault(field string, format string, args ...any) error {
	return &FieldError{Field: field, Want: fmt.Sprintf(format, args...)}
}
