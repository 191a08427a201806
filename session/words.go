package session

import (
	"encoding/json"
	"fmt"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"bendbook/model"
	"bendbook/model/aim"
	"bendbook/model/date"
	"bendbook/model/measure"
	"bendbook/model/plain"
)

// Say tells an event of the bow in one line of plain words.
func Say(bow model.Bow, what model.Event) string {
	rule, scale := bow.Ruler(), bow.Weigher()
	switch e := what.(type) {
	case model.Relaxed:
		return fmt.Sprintf("relaxed, %s to the line", readings(e.Readings))
	case model.StringLength:
		return fmt.Sprintf("string %s between the nocks", rule.WithUnit(e.Length))
	case model.Braced:
		parts := []string{"braced"}
		if height, known := e.Height.Get(); known {
			parts[0] = fmt.Sprintf("braced at %s", rule.WithUnit(height))
		}
		if e.Readings.Any() || e.Block == nil {
			parts = append(parts, fmt.Sprintf("%s to the %s", readings(e.Readings), e.From))
		}
		if e.Block != nil {
			parts = append(parts, fmt.Sprintf("%s under a block of %s", readings(e.Block.Gaps), rule.WithUnit(e.Block.Length)))
		}
		return strings.Join(parts, ", ")
	case model.Pull:
		parts := []string{fmt.Sprintf("pull to %s", rule.WithUnit(e.Draw))}
		if peak, known := e.Peak.Get(); known {
			parts[0] = fmt.Sprintf("pull to %s: %s", rule.WithUnit(e.Draw), scale.WithUnit(peak))
		}
		if held, known := e.Held.Get(); known {
			parts = append(parts, fmt.Sprintf("held %s", SayHeld(held)))
		}
		if e.Readings.Any() {
			parts = append(parts, fmt.Sprintf("%s to the %s", readings(e.Readings), e.From))
		}
		return strings.Join(parts, ", ")
	case model.Scrape:
		return sayScrape(bow, e)
	case model.Exercise:
		return plain.Plural(e.Pulls, "exercised, %d pull", "exercised, %d pulls", e.Pulls)
	case model.Finish:
		return sayFinished(e)
	case model.Moisture:
		return sayMoisture(bow, e)
	case model.Note:
		return fmt.Sprintf("note: %s", plain.Line(e.Text))
	case model.Void:
		return fmt.Sprintf("void: %s", SayReason(e.Why))
	case model.Edit:
		return sayEdit(e)
	case model.Rack:
		if e.InHand {
			return "taken in hand again"
		}
		return fmt.Sprintf("set aside: %s", SayReason(e.Why))
	}
	return fmt.Sprintf("%s (a kind of entry that this Bendbook does not know)", plain.Line(string(what.Kind())))
}

// sayEdit says what changed of the description, where that is widths and depths alone.
func sayEdit(e model.Edit) string {
	changed := "description changed"
	var set map[string]map[string]map[string]json.RawMessage
	if json.Unmarshal(e.Set, &set) != nil || len(set) != 1 || len(set["limbs"]) == 0 {
		return changed
	}
	for _, limb := range set["limbs"] {
		for field := range limb {
			if field != "widths" && field != "depths" {
				return changed
			}
		}
	}
	return "widths and depths measured"
}

func sayScrape(bow model.Bow, e model.Scrape) string {
	rule := bow.Ruler()
	parts := []string{fmt.Sprintf("%s limb, %s to %s", e.Limb, rule.Print(e.From), rule.WithUnit(e.To))}
	if e.Tool != "" {
		parts = append(parts, plain.Line(e.Tool))
	}
	if strokes, known := e.Strokes.Get(); known {
		parts = append(parts, plain.Plural(strokes, "%d stroke", "%d strokes", strokes))
	}
	if depth, known := e.Depth.Get(); known {
		parts = append(parts, fmt.Sprintf("%s deep", bow.Calliper().WithUnit(depth)))
	}
	if share, known := e.DepthShare.Get(); known {
		parts = append(parts, fmt.Sprintf("%.1f %% of the depth", 100*share))
	}
	return fmt.Sprintf("scraped %s", strings.Join(parts, ", "))
}

func sayFinish(e model.Finish) string {
	parts := []string{plain.Line(e.Step)}
	if coat, known := e.Coat.Get(); known {
		parts = append(parts, fmt.Sprintf("coat %d", coat))
	}
	if grit, known := e.Grit.Get(); known {
		parts = append(parts, fmt.Sprintf("grit %d", grit))
	}
	return strings.Join(parts, ", ")
}

// sayFinished is a step with all that its entry says.
func sayFinished(e model.Finish) string {
	said := sayFinish(e)
	if e.Text != "" {
		said += ": " + plain.Line(e.Text)
	}
	if e.On != "" {
		said = fmt.Sprintf("%s, on %s", said, plain.Line(string(e.On)))
	}
	return said
}

func sayMoisture(bow model.Bow, e model.Moisture) string {
	var parts []string
	if content, known := e.Content.Get(); known {
		parts = append(parts, fmt.Sprintf("wood at %.1f %%", 100*content))
	}
	if celsius, known := e.Celsius.Get(); known {
		unit := WarmthUnit(bow)
		if unit == "F" {
			celsius = 1.8*celsius + 32
		}
		parts = append(parts, fmt.Sprintf("air of %.0f %s", celsius, unit))
	}
	if humidity, known := e.Humidity.Get(); known {
		parts = append(parts, fmt.Sprintf("%.0f %% relative humidity", 100*humidity))
	}
	where := "in the shop"
	if e.Where == model.HomeAir {
		where = "where the bow goes"
	}
	return fmt.Sprintf("moisture %s: %s", where, strings.Join(parts, ", "))
}

// WarmthUnit is the unit in which a temperature is asked for and told: F for a bow that is measured in inches, else C.
func WarmthUnit(bow model.Bow) string {
	if bow.Units.Length == measure.Inch {
		return "F"
	}
	return "C"
}

func readings(r model.Readings) string {
	n := 0
	for _, limb := range r {
		for _, reading := range limb {
			if reading.Known() {
				n++
			}
		}
	}
	if n == 0 {
		return "nothing read"
	}
	return plain.Plural(n, "%d reading", "%d readings", n)
}

// SayReason is the maker's reason for a void or for setting a bow aside.
func SayReason(why string) string {
	if why = plain.Line(why); why != "" {
		return why
	}
	return "no reason given"
}

// SayOrder tells what the customer wants, in one line: for whom, weight at draw, when.
func SayOrder(bow model.Bow, dates date.Order) string {
	var parts []string
	if who := plain.Line(bow.Order.For); who != "" {
		parts = append(parts, fmt.Sprintf("for %s", who))
	}
	if what := SayWanted(bow); what != "" {
		parts = append(parts, what)
	}
	if bow.Order.Due != "" {
		parts = append(parts, fmt.Sprintf("due %s", dates.Reprint(plain.Line(string(bow.Order.Due)))))
	}
	return strings.Join(parts, ", ")
}

// SayWanted is what was ordered of weight and draw, as far as it was: 40 lb ± 2 at 28 in to the belly.
func SayWanted(bow model.Bow) string {
	scale, rule := bow.Weigher(), bow.Ruler()
	said := ""
	if weight, known := bow.Order.Weight.Get(); known {
		said = SayOrdered(bow, weight)
		if allow, known := bow.Order.Allow.Get(); known && allow > 0 {
			said += " ± " + scale.Short(allow)
		}
	}
	draw, known := bow.Order.Draw.Get()
	if !known {
		return said
	}
	drawn := rule.Short(draw) + " " + string(rule.Unit) + " " + SayDrawTo(bow.Order.DrawTo)
	if said == "" {
		return drawn
	}
	return fmt.Sprintf("%s at %s", said, drawn)
}

// SayOrdered is an ordered weight with its unit, without idle decimals.
func SayOrdered(bow model.Bow, weight measure.Force) string {
	return bow.Weigher().Short(weight) + " " + bow.Units.Force.Symbol()
}

// SayDrawTo tells where a draw is measured to.
func SayDrawTo(to model.DrawTo) string {
	switch to {
	case model.ToBack:
		return "to the back"
	case model.ToPivot:
		return "by the published standard (pivot point + 1 3/4 in)"
	}
	return "to the belly"
}

// SayHeld is how long a bow stood drawn: 3.2 s.
func SayHeld(held time.Duration) string { return measure.PrintSeconds(held) + " s" }

// SayPeak is a peak with its draw: 21.4 lb at 18 in.
func SayPeak(bow model.Bow, pull model.Pull) string {
	peak, known := pull.Peak.Get()
	if !known {
		return fmt.Sprintf("pulled to %s", bow.Ruler().WithUnit(pull.Draw))
	}
	return fmt.Sprintf("%s at %s", bow.Weigher().WithUnit(peak), bow.Ruler().WithUnit(pull.Draw))
}

// SayReading is a reading in the rule's fractions, or a dash where nothing was read.
func SayReading(bow model.Bow, reading measure.Optional[measure.Length]) string {
	if l, known := reading.Get(); known {
		return bow.Ruler().Print(l)
	}
	return "-"
}

// SayDifference is the upper limb's reading at a station less the lower one's, with its sign; "" where not both were read.
func SayDifference(bow model.Bow, at Station, rows model.Readings) string {
	if difference, known := at.Difference(rows).Get(); known {
		return bow.Ruler().PrintSigned(difference)
	}
	return ""
}

// SayOff tells how far the upper limb's gap is off, where the difference between the limbs is off the aim. It speaks of gaps alone: which
// limb bends more, and where, is told of the bend.
func SayOff(rule measure.Rule, off measure.Length) string {
	switch off = rule.Round(off); {
	case off > 0:
		return fmt.Sprintf("upper gap %s too large", rule.Print(off))
	case off < 0:
		return fmt.Sprintf("upper gap %s too small", rule.Print(-off))
	}
	return "as wanted"
}

// SayNumber is the bow's number with the word before it; "" where it has none.
func SayNumber(bow model.Bow) string {
	if number := plain.Line(bow.Number); number != "" {
		return fmt.Sprintf("number %s", number)
	}
	return ""
}

// SayNotes are what else was agreed with the customer; "" where nothing was.
func SayNotes(bow model.Bow) string {
	if notes := plain.Line(bow.Order.Notes); notes != "" {
		return fmt.Sprintf("Notes: %s", notes)
	}
	return ""
}

// SayEntry tells an entry in one line; a void says of which one.
func (s Story) SayEntry(line Line) string {
	if void, isVoid := line.Entry.What.(model.Void); isVoid {
		if other, known := s.Line(void.Entry); known {
			return fmt.Sprintf("void, %s: %s", plain.Line(void.Why), Say(s.Bow(), other.Entry.What))
		}
	}
	return Say(s.Bow(), line.Entry.What)
}

// Safety is what holds at every pull.
const Safety = "At the tree: stand clear of the line of the bow, never draw it past its weight, do not hold it at full draw, " +
	"ease down at a crack. Local rules and qualified teaching come first."

// Capital is a text that begins with a capital, where it begins with a letter of any tongue that has some.
func Capital(text string) string {
	first, size := utf8.DecodeRuneInString(text)
	if first == utf8.RuneError {
		return text
	}
	return string(unicode.ToTitle(first)) + text[size:]
}

// SayAim is what an aim is called where one is chosen, and how the limbs are then to bend, as it is said behind "to bend". The shape of another
// bow tells itself: as Holly.
func SayAim(name string) (called string, how string) {
	switch name {
	case aim.CompassName:
		return "full compass", "in a full compass"
	case aim.EllipseName:
		return "ellipse", "in an ellipse"
	case aim.StiffHandleName:
		return "stiffer at the handle", "stiffer at the handle"
	}
	name = plain.Line(name)
	return name, name
}

// NameOf is the bow's name as it may be shown, or its number or the start of its id where it has none.
func NameOf(bow model.Bow) string {
	if name := plain.Line(bow.Name); name != "" {
		return name
	}
	if number := plain.Line(bow.Number); number != "" {
		return fmt.Sprintf("number %s", number)
	}
	id := []rune(plain.Line(bow.ID))
	return fmt.Sprintf("bow %s", string(id[:min(len(id), 10)]))
}
