package model

import (
	"errors"
	"fmt"
	"math"
	"time"

	"bendbook/model/measure"
)

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

// CheckReading says whether a distance can be read at station i of a limb. A limb is inextensible, so its
// belly is at most as far from the line as the station from the root, and a gap at most the limb long.
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
