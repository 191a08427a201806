package form

import (
	"fmt"
	"strconv"
	"time"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/model/plain"
)

// field is one question about a bow's description, how the bow's own value is filled in, and how an answer changes it.
type field struct {
	Question
	path  string                                  // as a model.FieldError names it
	print func(bow model.Bow) string              // "" where it is not known
	set   func(bow *model.Bow, text string) error // "" leaves it out
}

// fields are a bow's description, in the order in which it is asked for. They want the bow's units known.
func (d description) fields() []field {
	units := d.was.Units
	inUnits := func(l measure.Length) string { return exampleLength(units.Length, l) }
	weighing := func(f measure.Force) string { return exampleForce(units.Force, f) }
	return []field{
		textField("name", Question{Label: "name", Group: "bow", Must: true, Hint: "what you call it, such as Ash for Wren"},
			func(b *model.Bow) *string { return &b.Name }),
		textField("wood", Question{Label: "wood", Group: "bow", Hint: "such as ash, yew or hickory"},
			func(b *model.Bow) *string { return &b.Wood }),
		textField("number", Question{Label: "number", Group: "bow", Hint: "what will be stamped on it; Enter alone for none yet"},
			func(b *model.Bow) *string { return &b.Number }),
		textField("order.for", Question{Label: "for", Group: "order", Hint: "a name or a mark of your choice"},
			func(b *model.Bow) *string { return &b.Order.For }),
		lengthField("order.draw", Question{Label: "draw", Group: "order", Hint: fmt.Sprintf("the ordered draw length, such as %s", inUnits(28))},
			func(b *model.Bow) *measure.Optional[measure.Length] { return &b.Order.Draw }),
		textField("order.draw_to", Question{
			Label: "draw to", Group: "order", Preset: string(model.ToBelly), Hint: "where the draw is measured to: 1 belly, 2 back, 3 pivot+1.75",
			Choices: []string{string(model.ToBelly), string(model.ToBack), string(model.ToPivot)},
		}, func(b *model.Bow) *model.DrawTo { return &b.Order.DrawTo }),
		forceField("order.weight", Question{
			Label: "weight", Group: "order",
			Hint: fmt.Sprintf("the ordered draw weight, such as %s or %s%s", weighing(40), weighing(40), units.Force.Symbol()),
		}, func(b *model.Bow) *measure.Optional[measure.Force] { return &b.Order.Weight }),
		forceField("order.allow", Question{Label: "allow", Group: "order", Hint: fmt.Sprintf("how far the weight may be off either side, such as %s", weighing(2))},
			func(b *model.Bow) *measure.Optional[measure.Force] { return &b.Order.Allow }),
		d.dueField(),
		sizeField("handle", Question{Label: "handle", Group: "limbs", Preset: inUnits(4), Hint: "the stiff length between the limb roots"},
			func(b *model.Bow) *measure.Length { return &b.Handle }),
		lengthField("handle_depth", Question{Label: "handle depth", Group: "limbs", Hint: fmt.Sprintf("belly to back at the handle, such as %s", inUnits(1.25))},
			func(b *model.Bow) *measure.Optional[measure.Length] { return &b.HandleDepth }),
		textField("section", Question{
			Label: "section", Group: "limbs", Preset: string(model.SectionD), Hint: "1 D, 2 rectangle, 3 ellipse",
			Choices: []string{string(model.SectionD), string(model.SectionRectangle), string(model.SectionEllipse)},
		}, func(b *model.Bow) *model.Section { return &b.Section }),
		sizeField("limbs.upper", Question{Label: "upper limb", Group: "limbs", Must: true, Hint: fmt.Sprintf("from its root at the handle to the nock, such as %s", inUnits(34))},
			func(b *model.Bow) *measure.Length { return &b.Limbs[model.Upper].Length }),
		sizeField("limbs.lower", Question{Label: "lower limb", Group: "limbs", Hint: "the same; Enter alone for as long as the upper"},
			func(b *model.Bow) *measure.Length { return &b.Limbs[model.Lower].Length }),
		d.stationsField(),
		d.bendField(),
		lengthField("aim.tiller", Question{
			Label: "tiller", Group: "aim",
			Hint: fmt.Sprintf("upper less lower gap wanted; %s for the hand below the arrow, 0 for a symmetrical bow", inUnits(0.25)),
		}, func(b *model.Bow) *measure.Optional[measure.Length] { return &b.Aim.Tiller }),
		lengthField("aim.tiller_at", Question{Label: "tiller at", Group: "aim", Hint: fmt.Sprintf("the station where that is measured, such as %s", inUnits(8))},
			func(b *model.Bow) *measure.Optional[measure.Length] { return &b.Aim.TillerAt }),
		lengthField("aim.stiff_tips", Question{
			Label: "stiff tips", Group: "aim", Hint: fmt.Sprintf("the last part of each limb left stiff until the nocks are on; Enter alone for %s or so", inUnits(12)),
		}, func(b *model.Bow) *measure.Optional[measure.Length] { return &b.Aim.StiffTips }),
		ruleField("readings.rule", Question{Label: "rule's step", Group: "tools", Hint: "the finest mark of your rule, such as 1/16 or 1mm"}),
		scaleField("readings.scale", Question{Label: "scale's step", Group: "tools", Hint: "the finest step of your scale, such as 0.1 or 1/2"}),
		textField("order.hand", Question{
			Label: "hand", Group: "agreed", Hint: "the hand that draws the string: 1 right, 2 left; Enter alone where it is not known",
			Choices: []string{string(model.RightHanded), string(model.LeftHanded)},
		}, func(b *model.Bow) *model.Hand { return &b.Order.Hand }),
		textField("order.notes", Question{Label: "notes", Group: "agreed", Hint: "what else was agreed, in a line of your own words"},
			func(b *model.Bow) *string { return &b.Order.Notes }),
	}
}

// named is the question under the last part of its path, by which drafts know it.
func named(path string, q Question) Question {
	for i := range path {
		if path[i] == '.' {
			q.Name = path[i+1:]
		}
	}
	if q.Name == "" {
		q.Name = path
	}
	return q
}

func textField[T ~string](path string, q Question, at func(*model.Bow) *T) field {
	return field{
		Question: named(path, q), path: path,
		print: func(bow model.Bow) string { return plain.Line(string(*at(&bow))) },
		set: func(bow *model.Bow, text string) error {
			*at(bow) = T(text)
			return shortText(nil, text)
		},
	}
}

// dueField asks for the day that a bow is promised for, in the shop's order of days.
func (d description) dueField() field {
	at := time.Date(2027, time.February, 1, 0, 0, 0, 0, time.UTC)
	return field{
		Question: named("order.due", Question{Label: "due", Group: "order", Hint: fmt.Sprintf("the day it is promised for, like %s", d.Dates.Print(at))}),
		path:     "order.due",
		print:    func(bow model.Bow) string { return d.Dates.Reprint(plain.Line(string(bow.Order.Due))) },
		set: func(bow *model.Bow, text string) error {
			if text == "" {
				bow.Order.Due = ""
				return nil
			}
			day, err := d.Dates.Parse(text, d.Now)
			if err != nil {
				return err
			}
			bow.Order.Due = model.Day(day.Format(time.DateOnly))
			return nil
		},
	}
}

func lengthField(path string, q Question, at func(*model.Bow) *measure.Optional[measure.Length]) field {
	return field{
		Question: measuring(aLength, named(path, q)), path: path,
		print: func(bow model.Bow) string {
			if l, known := at(&bow).Get(); known {
				return bow.Ruler().Short(l)
			}
			return ""
		},
		set: func(bow *model.Bow, text string) (err error) {
			*at(bow), err = parsed(text, bow.ParseLength)
			return err
		},
	}
}

// sizeField is a length that is always known, if only as 0.
func sizeField(path string, q Question, at func(*model.Bow) *measure.Length) field {
	return field{
		Question: measuring(aLength, named(path, q)), path: path,
		print: func(bow model.Bow) string {
			return bow.Ruler().Short(*at(&bow))
		},
		set: func(bow *model.Bow, text string) error {
			l, err := parsed(text, bow.ParseLength)
			*at(bow) = l.Or(0)
			return err
		},
	}
}

func forceField(path string, q Question, at func(*model.Bow) *measure.Optional[measure.Force]) field {
	return field{
		Question: measuring(aForce, named(path, q)), path: path,
		print: func(bow model.Bow) string {
			if f, known := at(&bow).Get(); known {
				return bow.Weigher().Short(f)
			}
			return ""
		},
		set: func(bow *model.Bow, text string) (err error) {
			*at(bow), err = parsed(text, bow.ParseForce)
			return err
		},
	}
}

// about is a step in a unit in which it is no round one: to three digits.
func about(step float64) string {
	few, err := strconv.ParseFloat(strconv.FormatFloat(step, 'g', 3, 64), 64)
	if err != nil {
		few = step
	}
	return strconv.FormatFloat(few, 'f', -1, 64)
}

// ruleField is the step of the rule, where 0 is not known.
func ruleField(path string, q Question) field {
	return field{
		Question: measuring(aLength, named(path, q)), path: path,
		print: func(bow model.Bow) string {
			switch {
			case bow.Rule <= 0:
				return ""
			case bow.Units.Length != bow.KeptIn().Length:
				return about(bow.Rule.In(bow.Units.Length))
			}
			return bow.Ruler().Short(bow.Rule)
		},
		set: func(bow *model.Bow, text string) error {
			l, err := parsed(text, bow.ParseLength)
			bow.Rule = l.Or(0)
			return err
		},
	}
}

func scaleField(path string, q Question) field {
	return field{
		Question: measuring(aForce, named(path, q)), path: path,
		print: func(bow model.Bow) string {
			switch {
			case bow.Scale <= 0:
				return ""
			case bow.Units.Force != bow.KeptIn().Force:
				return about(bow.Scale.In(bow.Units.Force))
			}
			return bow.Weigher().Short(bow.Scale)
		},
		set: func(bow *model.Bow, text string) error {
			f, err := parsed(text, bow.ParseForce)
			bow.Scale = f.Or(0)
			return err
		},
	}
}

// parsed reads an answer; "" is an unread one.
func parsed[T any](text string, parse func(string) (T, error)) (measure.Optional[T], error) {
	if text == "" {
		return measure.Optional[T]{}, nil
	}
	v, err := parse(text)
	if err != nil {
		return measure.Optional[T]{}, err
	}
	return measure.Some(v), nil
}
