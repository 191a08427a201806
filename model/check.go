package model

import (
	"errors"
	"fmt"
	"math"
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
	// readingSlack is how far a reading may pass what geometry allows before it is refused: the rule's own error.
	readingSlack measure.Length = 0.25
)

// More of them, which forms refuse by as well.
const (
	MostStations = 100 // of a limb, and places of a block
	LongestName  = 400 // bytes of a name, a wood, a tool or another short text
)

// FieldError says which field of a bow or an entry is wrong, and what was expected there.
type FieldError struct {
	Field string // path as a record spells it: limbs.upper.length, peak, upper[3]
	Want  string // what is wrong, and what was expected
}

// Error implements error.
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

func fault(field, format string, args ...any) error {
	return &FieldError{Field: field, Want: fmt.Sprintf(format, args...)}
}

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
		if len(text.text) > LongestName {
			return fault(text.field, "it is longer than %d bytes", LongestName)
		}
	}
	switch b.Section {
	case "", SectionD, SectionRectangle, SectionEllipse:
	default:
		return fault("section", "expected D, rectangle or ellipse")
	}
	for _, length := range []struct {
		field    string
		value    measure.Length
		min, max measure.Length
	}{
		{"handle", b.Handle, 0, longestHandle},
		{"handle_depth", b.HandleDepth.Or(1), 0, thickestLimb},
	} {
		if err := b.checkLength(length.field, length.value, length.min, length.max); err != nil {
			return err
		}
	}
	for _, side := range Sides {
		if err := b.checkLimb("limbs."+side.String(), b.Limbs[side]); err != nil {
			return err
		}
	}
	return b.checkOrder()
}

// CheckUnits says whether the units are ones that a record may name. The error is a *FieldError.
func CheckUnits(units measure.Units) error {
	if err := units.Length.Check(); err != nil {
		return fault("units.length", "%v", err)
	}
	if err := units.Force.Check(); err != nil {
		return fault("units.force", "%v", err)
	}
	return nil
}

// checkTools judges what the bow is read with. It comes first, since the messages about all else are printed to
// the rule's and the scale's steps.
func (b Bow) checkTools() error {
	if b.Rule != 0 && !(b.Rule >= finestRule && b.Rule <= coarsestRule) {
		most := measure.Rule{Unit: b.Units.Length}
		return fault("readings.rule", "expected the rule's step, above 0, %s at most", most.WithUnit(coarsestRule))
	}
	if b.Scale != 0 && !(b.Scale >= finestScale && b.Scale <= coarsestScale) {
		most := measure.Scale{Unit: b.Units.Force}
		return fault("readings.scale", "expected the scale's step, above 0, %s at most", most.WithUnit(coarsestScale))
	}
	switch b.Cradle {
	case "", "clamped", "rocking":
		return nil
	}
	return fault("readings.cradle", "expected clamped or rocking")
}

// Largest is the bow that stands at the bounds of Check: an event that cannot have happened to it can have happened
// to no bow. It judges entries of a bow whose earlier size is not known.
func Largest(units measure.Units) Bow {
	limb := Limb{Length: longestLimb, Stations: make([]measure.Length, MostStations)}
	for i := range limb.Stations {
		limb.Stations[i] = longestLimb
	}
	return Bow{Units: units, Handle: longestHandle, Limbs: [2]Limb{limb, limb}}
}

func (b Bow) checkLimb(path string, limb Limb) error {
	if !finite(limb.Length) || limb.Length <= 0 || limb.Length > longestLimb {
		return fault(path+".length", "expected a length from root to nock above 0, %s at most", b.withUnit(longestLimb))
	}
	if len(limb.Stations) > MostStations {
		return fault(path+".stations", "%d stations are too many; expected %d at most", len(limb.Stations), MostStations)
	}
	last := measure.Length(0)
	for i, at := range limb.Stations {
		field := fmt.Sprintf("%s.stations[%d]", path, i)
		switch {
		case !finite(at) || at <= 0 || (i > 0 && at <= last):
			return fault(field, "expected stations that increase from the root outwards, the first above 0")
		case at > limb.Length+readingSlack:
			return fault(field, "%s lies beyond the limb's %s", b.Ruler().Print(at), b.withUnit(limb.Length))
		}
		last = at
	}
	for _, row := range []struct {
		field string
		row   []measure.Optional[measure.Length]
	}{{".widths", limb.Widths}, {".depths", limb.Depths}} {
		if len(row.row) > len(limb.Stations) {
			return fault(path+row.field, "there are %d for %d stations", len(row.row), len(limb.Stations))
		}
		for i, v := range row.row {
			if l, known := v.Get(); known && (!finite(l) || l <= 0 || l > thickestLimb) {
				return fault(fmt.Sprintf("%s%s[%d]", path, row.field, i), "expected a size above 0, %s at most", b.withUnit(thickestLimb))
			}
		}
	}
	return nil
}

func (b Bow) checkOrder() error {
	if draw, known := b.Order.Draw.Get(); known {
		if err := b.CheckDraw(draw); err != nil {
			return fault("order.draw", "%v", err)
		}
	}
	if weight, known := b.Order.Weight.Get(); known {
		if err := b.CheckWeight(weight); err != nil {
			return fault("order.weight", "%v", err)
		}
	}
	if allow, known := b.Order.Allow.Get(); known && (!finite(allow) || allow < 0 || allow >= heaviestWeight) {
		return fault("order.allow", "expected what the weight may be off either side")
	}
	switch b.Order.Hand {
	case "", RightHanded, LeftHanded:
	default:
		return fault("order.hand", "expected right or left")
	}
	if err := checkText("order.notes", b.Order.Notes, longestText); err != nil {
		return err
	}
	switch b.Order.DrawTo {
	case "", ToBelly, ToBack, ToPivot:
	default:
		return fault("order.draw_to", "expected belly, back or pivot+1.75")
	}
	if _, isDay := b.Order.Due.Time(); b.Order.Due != "" && !isDay {
		return fault("order.due", "expected a day like 2027-02-01")
	}
	longest := max(b.Limbs[Upper].Length, b.Limbs[Lower].Length)
	if err := b.checkLength("aim.tiller_at", b.Aim.TillerAt.Or(0), 0, longest); err != nil {
		return err
	}
	if err := b.checkLength("aim.tiller", b.Aim.Tiller.Or(0), -longest, longest); err != nil {
		return err
	}
	return b.checkLength("aim.stiff_tips", b.Aim.StiffTips.Or(0), 0, longest)
}

// CheckEvent says whether an event can have happened to this bow. The error is a *FieldError.
func (b Bow) CheckEvent(event Event) error {
	switch e := event.(type) {
	case Relaxed:
		return b.checkReadings(FromLine, e.Readings)
	case StringLength:
		return b.checkLength("length", e.Length, 1, 2*b.Length())
	case Braced:
		if height, known := e.Height.Get(); known {
			if err := b.CheckBraceHeight(height); err != nil {
				return fault("height", "%v", err)
			}
		}
		if err := b.checkReadings(e.From, e.Readings); err != nil {
			return err
		}
		return b.checkBlock(e.Block)
	case Pull:
		if err := b.CheckDraw(e.Draw); err != nil {
			return fault("draw", "%v", err)
		}
		if peak, known := e.Peak.Get(); known {
			if err := b.CheckWeight(peak); err != nil {
				return fault("peak", "%v", err)
			}
		}
		if held, known := e.Held.Get(); known {
			if err := CheckHeld(held); err != nil {
				return fault("held", "%v", err)
			}
		}
		return b.checkReadings(e.From, e.Readings)
	case Scrape:
		return b.checkScrape(e)
	case Exercise:
		if e.Pulls < 0 || e.Pulls > mostPulls {
			return fault("pulls", "expected a number of pulls, %d at most", mostPulls)
		}
	case Finish:
		return checkFinish(e)
	case Moisture:
		return checkMoisture(e)
	case Note:
		return checkText("text", e.Text, longestText)
	case Void:
		if err := checkText("entry", e.Entry, LongestName); err != nil {
			return err
		}
		return checkText("why", e.Why, longestText)
	case Rack:
		return checkText("why", e.Why, longestText)
	}
	return nil
}

func checkFinish(e Finish) error {
	if e.Coat.Or(0) < 0 {
		return fault("coat", "expected a number of coats")
	}
	if e.Grit.Or(1) < 1 {
		return fault("grit", "expected a sandpaper's grit, such as 120")
	}
	if e.On != "" {
		if day, isDay := e.On.Time(); !isDay || day.Year() < 1970 {
			return fault("on", "expected a day like 2027-02-01")
		}
	}
	if err := checkText("text", e.Text, LongestName); err != nil {
		return err
	}
	return checkText("step", e.Step, LongestName)
}

// checkMoisture keeps to what MoistureInAir and AtMoisture of package wood can answer.
func checkMoisture(e Moisture) error {
	switch e.Where {
	case ShopAir, HomeAir:
	default:
		return fault("where", "expected shop or customer")
	}
	if content, known := e.Content.Get(); known && !(content >= 0 && content <= 1) {
		return fault("content", "expected a moisture content as a fraction, such as 0.09")
	}
	if celsius, known := e.Celsius.Get(); known && !(celsius >= -20 && celsius <= 60) {
		return fault("celsius", "expected a temperature from -20 to 60 degrees C")
	}
	if humidity, known := e.Humidity.Get(); known && !(humidity >= 0 && humidity <= 0.98) {
		return fault("humidity", "expected a relative humidity as a fraction, from 0 to 0.98")
	}
	return nil
}

// CheckDraw says whether a draw is within the bow's own size.
func (b Bow) CheckDraw(draw measure.Length) error {
	if !finite(draw) || draw <= 0 || draw > b.Length() {
		return fmt.Errorf("a draw is above 0 and within the bow's own %s", b.withUnit(b.Length()))
	}
	return nil
}

// CheckWeight says whether a force can be one of a bow drawn by hand.
func (b Bow) CheckWeight(weight measure.Force) error {
	if !finite(weight) || weight <= 0 || weight >= heaviestWeight {
		return fmt.Errorf("a weight is above 0 and under %s", b.Weigher().WithUnit(heaviestWeight))
	}
	return nil
}

// CheckHeld says whether a bow can have stood drawn so long.
func CheckHeld(held time.Duration) error {
	if held <= 0 || held > longestHeld {
		return fmt.Errorf("the time held is above 0 and within %.0f s", longestHeld.Seconds())
	}
	return nil
}

// CheckBraceHeight says whether a brace height is within the bow's own size.
func (b Bow) CheckBraceHeight(height measure.Length) error {
	if !finite(height) || height <= 0 || height > b.Length()/2 {
		return fmt.Errorf("a brace height is above 0 and within half the bow, %s", b.withUnit(b.Length()/2))
	}
	return nil
}

// CheckReading says whether a distance can be read at station i of a limb. A limb is inextensible, so its belly
// is never farther from the line than the station is from the root; a gap to the string is at most the limb long.
func (b Bow) CheckReading(from Datum, side Side, i int, reading measure.Length) error {
	limb := b.Limbs[side]
	if i < 0 || i >= len(limb.Stations) {
		return fmt.Errorf("the %s limb has %d stations", side, len(limb.Stations))
	}
	most := limb.Stations[i]
	if from == FromString {
		most = limb.Length
	}
	if !finite(reading) || measure.Length(math.Abs(float64(reading))) > most+readingSlack {
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
			return fault(side.String(), "there are %d readings for %d stations", have, stations)
		}
		for i, reading := range r[side] {
			if v, known := reading.Get(); known {
				if err := b.CheckReading(from, side, i, v); err != nil {
					return fault(fmt.Sprintf("%s[%d]", side, i), "%v", err)
				}
			}
		}
	}
	return nil
}

func (b Bow) checkBlock(block *Block) error {
	if block == nil {
		return nil
	}
	longest := max(b.Limbs[Upper].Length, b.Limbs[Lower].Length)
	if !finite(block.Length) || block.Length <= 0 || block.Length > longest {
		return fault("block.length", "expected a block's length, within a limb's %s", b.withUnit(longest))
	}
	if len(block.At) > MostStations {
		return fault("block.at", "%d places are too many; expected %d at most", len(block.At), MostStations)
	}
	for i, at := range block.At {
		if !finite(at) || at < 0 || at > longest {
			return fault(fmt.Sprintf("block.at[%d]", i), "expected a place on the limb, within its %s", b.withUnit(longest))
		}
	}
	for _, side := range Sides {
		if len(block.Gaps[side]) > len(block.At) {
			return fault("block."+side.String(), "there are %d gaps for %d places", len(block.Gaps[side]), len(block.At))
		}
		for i, gap := range block.Gaps[side] {
			if v, known := gap.Get(); known && (!finite(v) || measure.Length(math.Abs(float64(v))) > block.Length/2) {
				return fault(fmt.Sprintf("block.%s[%d]", side, i), "expected a gap under the block, less than half its length")
			}
		}
	}
	return nil
}

func (b Bow) checkScrape(s Scrape) error {
	limb := b.Limbs[s.Limb].Length
	if !finite(s.From) || s.From < 0 || s.From >= limb {
		return fault("from", "expected a place on the %s limb, from 0 to under its %s", s.Limb, b.withUnit(limb))
	}
	if !finite(s.To) || s.To <= s.From || s.To > limb+readingSlack {
		return fault("to", "expected a place farther out than from, within the limb's %s", b.withUnit(limb))
	}
	if s.Strokes.Or(0) < 0 {
		return fault("strokes", "expected a number of strokes")
	}
	if err := b.checkLength("depth", s.Depth.Or(0), 0, thickestLimb); err != nil {
		return err
	}
	if share, known := s.DepthShare.Get(); known && !(share >= 0 && share < 1) {
		return fault("depth_share", "expected a fraction of the depth, from 0 to under 1")
	}
	return checkText("tool", s.Tool, LongestName)
}

func (b Bow) checkLength(field string, v, least, most measure.Length) error {
	if !finite(v) || v < least || v > most {
		return fault(field, "expected a length from %s to %s", b.Ruler().Print(least), b.withUnit(most))
	}
	return nil
}

func (b Bow) withUnit(l measure.Length) string { return b.Ruler().WithUnit(l) }

func checkText(field, text string, most int) error {
	if len(text) > most {
		return fault(field, "it is longer than %d bytes", most)
	}
	return nil
}

func finite[T ~float64](v T) bool { return !math.IsNaN(float64(v)) && !math.IsInf(float64(v), 0) }
