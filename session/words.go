package session

import (
	"cmp"
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

// Say describes an event of the bow in one line of plain words.
func Say(bow model.Bow, what model.Event) string { return what.Say(bow) }

// SayOrder says what the customer wants, in one line: for whom, weight at draw, when.
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

// SayWanted is the ordered weight and draw, as far as they are known: 40 lb ± 2 at 28 in to the belly.
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

// SayOrdered is an ordered weight with its unit, without trailing zeros.
func SayOrdered(bow model.Bow, weight measure.Force) string {
	return bow.Weigher().Short(weight) + " " + bow.Units.Force.Symbol()
}

// SayDrawTo says where a draw is measured to.
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
	return fmt.Sprintf("%s at %s", bow.Weigher().WithUnit(peak), bow.Ruler().WithUnit(pull.Draw)) + SayLong(pull)
}

// SayLong marks what was read on the long string, which isn't the weight of the braced bow; "" for any other.
func SayLong(pull model.Pull) string {
	if pull.String == model.LongString {
		return " on the long string"
	}
	return ""
}

// SayReading is a reading in the rule's fractions, or a dash where nothing was read.
func SayReading(bow model.Bow, reading measure.Optional[measure.Length]) string {
	if l, known := reading.Get(); known {
		return bow.Ruler().Print(l)
	}
	return "-"
}

// SayDifference is the upper limb's reading at a station less the lower one's, with its sign; or "".
func SayDifference(bow model.Bow, at Station, rows model.Readings) string {
	if difference, known := at.Difference(rows).Get(); known {
		return bow.Ruler().PrintSigned(difference)
	}
	return ""
}

// SayLesson says what a bow taught for the next of its wood; "" where it taught nothing.
func SayLesson(bow model.Bow, lesson string) string {
	if lesson == "" {
		return ""
	}
	return fmt.Sprintf("Lesson of %s: %s.", NameOf(bow), lesson)
}

// SayNumber is the bow's number with the word before it; "" where it has none.
func SayNumber(bow model.Bow) string {
	if number := plain.Line(bow.Number); number != "" {
		return fmt.Sprintf("number %s", number)
	}
	return ""
}

// SayEntry describes an entry in one line; a void with the entry that it voids.
func (s Story) SayEntry(line Line) string {
	if void, isVoid := line.Entry.What.(model.Void); isVoid {
		if other, known := s.Line(void.Entry); known {
			return fmt.Sprintf("struck out, %s: %s", plain.Line(void.Why), Say(s.Bow(), other.Entry.What))
		}
	}
	return Say(s.Bow(), line.Entry.What)
}

// Safety is what to mind at every pull.
const Safety = "At the tree: stand clear of the bow's line. Never draw it past its weight, and don't " +
	"hold it at full draw. Ease down at a crack. Local rules and qualified teaching come first."

// Capital is the text with a capital at the beginning, in any script that has capitals.
func Capital(text string) string {
	first, size := utf8.DecodeRuneInString(text)
	if first == utf8.RuneError {
		return text
	}
	return string(unicode.ToTitle(first)) + text[size:]
}

// SayAim is what an aim is called, and how the limbs should bend then, as said after "to bend".
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

// NameOf is the bow's name in a form safe to show; without a name its number, or else the start of its id.
func NameOf(bow model.Bow) string {
	id := []rune(plain.Line(bow.ID))
	return cmp.Or(plain.Line(bow.Name), SayNumber(bow), fmt.Sprintf("bow %s", string(id[:min(len(id), 10)])))
}
