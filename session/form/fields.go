package form

import (
	"fmt"
	"slices"
	"strconv"
	"time"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/model/plain"
)

// fields are a bow's description, in the order in which it is asked for. They want the bow's units known.
func (d description) fields() []field[model.Bow] {
	return slices.Concat(d.whose(), d.limbs(), d.wanted())
}

// asked is a question of a group.
func asked(group, hint string, examples ...any) Question {
	return Question{Group: group, Hint: fmt.Sprintf(hint, examples...)}
}

// whose are the fields that say which bow it is, for whom, and what was ordered.
func (d description) whose() []field[model.Bow] {
	type bow = model.Bow
	weighing := func(f measure.Force) string { return exampleForce(d.was.Units.Force, f) }
	name := asked("bow", "what you call it, such as Ash for Wren")
	name.Must = true
	drawTo := asked("order", "where the draw is measured to: 1 belly, 2 back, 3 pivot+1.75")
	drawTo.Preset = string(model.ToBelly)
	drawTo.Choices = []string{string(model.ToBelly), string(model.ToBack), string(model.ToPivot)}
	draw := asked("order", "the ordered draw length, such as %s", d.in(28))
	weight := asked("order", "the ordered draw weight, such as %s or %s%s", weighing(40), weighing(40),
		d.was.Units.Force.Symbol())
	allow := asked("order", "how far the weight may be off either side, such as %s", weighing(2))
	return []field[bow]{
		textField("name", name, func(b *bow) *string { return &b.Name }),
		textField("wood", asked("bow", "such as ash, yew or hickory"),
			func(b *bow) *string { return &b.Wood }),
		textField("number", asked("bow", "what will be stamped on it; Enter alone for none yet"),
			func(b *bow) *string { return &b.Number }),
		textField("order.for", asked("order", "a name or a mark of your choice"),
			func(b *bow) *string { return &b.Order.For }),
		optionalField("order.draw", draw, shortLengths(), func(b *bow) *maybeLength { return &b.Order.Draw }),
		textField("order.draw_to", drawTo, func(b *bow) *model.DrawTo { return &b.Order.DrawTo }),
		optionalField("order.weight", weight, shortForces(),
			func(b *bow) *maybeForce { return &b.Order.Weight }),
		optionalField("order.allow", allow, shortForces(),
			func(b *bow) *maybeForce { return &b.Order.Allow }),
		d.dueField(),
	}
}

// limbs are the fields of the bow's size.
func (d description) limbs() []field[model.Bow] {
	type bow = model.Bow
	handle := asked("limbs", "the stiff length between the limb roots")
	handle.Preset = d.in(4)
	section := asked("limbs", "1 D, 2 rectangle, 3 ellipse")
	section.Preset = string(model.SectionD)
	section.Choices = []string{string(model.SectionD), string(model.SectionRectangle),
		string(model.SectionEllipse)}
	upper := asked("limbs", "from its root at the handle to the nock, such as %s", d.in(34))
	upper.Label, upper.Must = "upper limb", true
	lower := asked("limbs", "the same; Enter alone for as long as the upper")
	lower.Label = "lower limb"
	return []field[bow]{
		valueField("handle", handle, shortLengths(), func(b *bow) *measure.Length { return &b.Handle }),
		optionalField("handle_depth", asked("limbs", "belly to back at the handle, such as %s",
			d.in(1.25)), shortLengths(),
			func(b *bow) *maybeLength { return &b.HandleDepth }),
		textField("section", section, func(b *bow) *model.Section { return &b.Section }),
		valueField("limbs.upper", upper, shortLengths(),
			func(b *bow) *measure.Length { return &b.Limbs[model.Upper].Length }),
		valueField("limbs.lower", lower, shortLengths(),
			func(b *bow) *measure.Length { return &b.Limbs[model.Lower].Length }),
		d.stationsField(),
	}
}

// wanted are the fields of the aim, of the tools and of what else was agreed.
func (d description) wanted() []field[model.Bow] {
	type bow = model.Bow
	rule := asked("tools", "the finest mark of your rule, such as 1/16 or 1mm")
	rule.Label = "rule's step"
	scale := asked("tools", "the finest step of your scale, such as 0.1 or 1/2")
	scale.Label = "scale's step"
	hand := asked("agreed", "the hand that draws the string: 1 right, 2 left; Enter alone where it is not "+
		"known")
	hand.Choices = []string{string(model.RightHanded), string(model.LeftHanded)}
	tiller := asked("aim", "upper less lower gap wanted; %s for the hand below the arrow, 0 for a "+
		"symmetrical bow", d.in(0.25))
	tips := asked("aim", "the last part of each limb left stiff until the nocks are on; Enter alone for %s "+
		"or so", d.in(12))
	return []field[bow]{
		d.bendField(),
		optionalField("aim.tiller", tiller, shortLengths(),
			func(b *bow) *maybeLength { return &b.Aim.Tiller }),
		optionalField("aim.tiller_at", asked("aim", "the station where that is measured, such as %s",
			d.in(8)), shortLengths(),
			func(b *bow) *maybeLength { return &b.Aim.TillerAt }),
		optionalField("aim.stiff_tips", tips, shortLengths(),
			func(b *bow) *maybeLength { return &b.Aim.StiffTips }),
		stepField("readings.rule", rule, shortLengths(), func(b *bow) *measure.Length { return &b.Rule },
			func(b bow, step measure.Length) (bool, float64) {
				return b.Units.Length != b.KeptIn().Length, step.In(b.Units.Length)
			}),
		stepField("readings.scale", scale, shortForces(), func(b *bow) *measure.Force { return &b.Scale },
			func(b bow, step measure.Force) (bool, float64) {
				return b.Units.Force != b.KeptIn().Force, step.In(b.Units.Force)
			}),
		textField("order.hand", hand, func(b *bow) *model.Hand { return &b.Order.Hand }),
		textField("order.notes", asked("agreed", "what else was agreed, in a line of your own words"),
			func(b *bow) *string { return &b.Order.Notes }),
	}
}

// in is an example of a length in the bow's unit.
func (d description) in(l measure.Length) string { return exampleLength(d.was.Units.Length, l) }

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

// stepField is the finest step of a tool, where 0 is not known. In a unit in which it is no round one it
// is told to three digits; in says what it is in the field's unit, and whether that is not the record's.
func stepField[V ~float64](path string, q Question, n notation[V], at func(*model.Bow) *V,
	in func(bow model.Bow, step V) (converted bool, number float64)) field[model.Bow] {
	short := n.print
	n.print = func(bow model.Bow, step V) string {
		converted, number := in(bow, step)
		switch {
		case step <= 0:
			return ""
		case converted:
			few, _ := strconv.ParseFloat(strconv.FormatFloat(number, 'g', 3, 64), 64)
			return strconv.FormatFloat(few, 'f', -1, 64)
		}
		return short(bow, step)
	}
	return valueField(path, q, n, at)
}
