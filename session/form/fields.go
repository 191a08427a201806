package form

import (
	"fmt"
	"strconv"
	"time"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/model/plain"
)

// fields are a bow's description, in the order in which it is asked for. They want the bow's units known.
func (d description) fields() []field[model.Bow] {
	units := d.was.Units
	inUnits := func(l measure.Length) string { return exampleLength(units.Length, l) }
	weighing := func(f measure.Force) string { return exampleForce(units.Force, f) }
	return []field[model.Bow]{
		textField("name", Question{Group: "bow", Must: true, Hint: "what you call it, such as Ash for Wren"},
			func(b *model.Bow) *string { return &b.Name }),
		textField("wood", Question{Group: "bow", Hint: "such as ash, yew or hickory"},
			func(b *model.Bow) *string { return &b.Wood }),
		textField("number", Question{Group: "bow", Hint: "what will be stamped on it; Enter alone for none " +
			"yet"},
			func(b *model.Bow) *string { return &b.Number }),
		textField("order.for", Question{Group: "order", Hint: "a name or a mark of your choice"},
			func(b *model.Bow) *string { return &b.Order.For }),
		lengthField("order.draw", Question{Group: "order", Hint: fmt.Sprintf("the ordered draw length, "+
			"such as %s", inUnits(28))},
			func(b *model.Bow) *measure.Optional[measure.Length] { return &b.Order.Draw }),
		textField("order.draw_to", Question{
			Label: "draw to", Group: "order", Preset: string(model.ToBelly),
			Hint:    "where the draw is measured to: 1 belly, 2 back, 3 pivot+1.75",
			Choices: []string{string(model.ToBelly), string(model.ToBack), string(model.ToPivot)},
		}, func(b *model.Bow) *model.DrawTo { return &b.Order.DrawTo }),
		forceField("order.weight", Question{
			Group: "order",
			Hint: fmt.Sprintf("the ordered draw weight, such as %s or %s%s", weighing(40), weighing(40),
				units.Force.Symbol()),
		}, func(b *model.Bow) *measure.Optional[measure.Force] { return &b.Order.Weight }),
		forceField("order.allow", Question{Group: "order", Hint: fmt.Sprintf("how far the weight may be "+
			"off either side, such as %s", weighing(2))},
			func(b *model.Bow) *measure.Optional[measure.Force] { return &b.Order.Allow }),
		d.dueField(),
		sizeField("handle", Question{Group: "limbs", Preset: inUnits(4),
			Hint: "the stiff length between the limb roots"},
			func(b *model.Bow) *measure.Length { return &b.Handle }),
		lengthField("handle_depth", Question{Label: "handle depth", Group: "limbs",
			Hint: fmt.Sprintf("belly to back at the handle, such as %s", inUnits(1.25))},
			func(b *model.Bow) *measure.Optional[measure.Length] { return &b.HandleDepth }),
		textField("section", Question{
			Group: "limbs", Preset: string(model.SectionD), Hint: "1 D, 2 rectangle, 3 ellipse",
			Choices: []string{string(model.SectionD), string(model.SectionRectangle),
				string(model.SectionEllipse)},
		}, func(b *model.Bow) *model.Section { return &b.Section }),
		sizeField("limbs.upper", Question{Label: "upper limb", Group: "limbs", Must: true,
			Hint: fmt.Sprintf("from its root at the handle to the nock, such as %s", inUnits(34))},
			func(b *model.Bow) *measure.Length { return &b.Limbs[model.Upper].Length }),
		sizeField("limbs.lower", Question{Label: "lower limb", Group: "limbs",
			Hint: "the same; Enter alone for as long as the upper"},
			func(b *model.Bow) *measure.Length { return &b.Limbs[model.Lower].Length }),
		d.stationsField(),
		d.bendField(),
		lengthField("aim.tiller", Question{
			Group: "aim",
			Hint: fmt.Sprintf("upper less lower gap wanted; %s for the hand below the arrow, 0 for a "+
				"symmetrical bow", inUnits(0.25)),
		}, func(b *model.Bow) *measure.Optional[measure.Length] { return &b.Aim.Tiller }),
		lengthField("aim.tiller_at", Question{Label: "tiller at", Group: "aim",
			Hint: fmt.Sprintf("the station where that is measured, such as %s", inUnits(8))},
			func(b *model.Bow) *measure.Optional[measure.Length] { return &b.Aim.TillerAt }),
		lengthField("aim.stiff_tips", Question{
			Label: "stiff tips", Group: "aim", Hint: fmt.Sprintf("the last part of each limb left stiff "+
				"until the nocks are on; Enter alone for %s or so", inUnits(12)),
		}, func(b *model.Bow) *measure.Optional[measure.Length] { return &b.Aim.StiffTips }),
		ruleField("readings.rule", Question{Label: "rule's step", Group: "tools",
			Hint: "the finest mark of your rule, such as 1/16 or 1mm"}),
		scaleField("readings.scale", Question{Label: "scale's step", Group: "tools",
			Hint: "the finest step of your scale, such as 0.1 or 1/2"}),
		textField("order.hand", Question{
			Group: "agreed", Hint: "the hand that draws the string: 1 right, 2 left; Enter alone where it " +
				"is not known",
			Choices: []string{string(model.RightHanded), string(model.LeftHanded)},
		}, func(b *model.Bow) *model.Hand { return &b.Order.Hand }),
		textField("order.notes", Question{Group: "agreed", Hint: "what else was agreed, in a line of your " +
			"own words"},
			func(b *model.Bow) *string { return &b.Order.Notes }),
	}
}

// dueField asks for the day that a bow is promised for, in the shop's order of days.
func (d description) dueField() field[model.Bow] {
	at := time.Date(2027, time.February, 1, 0, 0, 0, 0, time.UTC)
	return field[model.Bow]{
		Question: named("order.due", Question{Group: "order", Hint: fmt.Sprintf("the day it is promised "+
			"for, like %s", d.Dates.Print(at))}),
		path:  "order.due",
		print: func(_, bow model.Bow) string { return d.Dates.Reprint(plain.Line(string(bow.Order.Due))) },
		set: func(_ model.Bow, bow *model.Bow, text string) error {
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

func lengthField(path string, q Question, at func(*model.Bow) *measure.Optional[measure.Length]) field[model.Bow] {
	return optionalField(path, measuring(aLength, q), shortLengths(), at)
}

// sizeField is a length that is always known, if only as 0.
func sizeField(path string, q Question, at func(*model.Bow) *measure.Length) field[model.Bow] {
	return valueField(path, measuring(aLength, q), shortLengths(), at)
}

func forceField(path string, q Question, at func(*model.Bow) *measure.Optional[measure.Force]) field[model.Bow] {
	return optionalField(path, measuring(aForce, q), shortForces(), at)
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
func ruleField(path string, q Question) field[model.Bow] {
	steps := shortLengths()
	steps.print = func(bow model.Bow, step measure.Length) string {
		switch {
		case step <= 0:
			return ""
		case bow.Units.Length != bow.KeptIn().Length:
			return about(step.In(bow.Units.Length))
		}
		return bow.Ruler().Short(step)
	}
	return valueField(path, measuring(aLength, q), steps,
		func(b *model.Bow) *measure.Length { return &b.Rule })
}

// scaleField is the step of the scale, where 0 is not known.
func scaleField(path string, q Question) field[model.Bow] {
	steps := shortForces()
	steps.print = func(bow model.Bow, step measure.Force) string {
		switch {
		case step <= 0:
			return ""
		case bow.Units.Force != bow.KeptIn().Force:
			return about(step.In(bow.Units.Force))
		}
		return bow.Weigher().Short(step)
	}
	return valueField(path, measuring(aForce, q), steps,
		func(b *model.Bow) *measure.Force { return &b.Scale })
}
