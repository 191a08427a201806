package sheet

import (
	"fmt"
	"strings"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/session"
)

// unitChoices are the sets of units that a new bow may be kept in.
var unitChoices = []struct {
	name  string
	units measure.Units
	rule  string // preset step of the rule
}{
	{"inches and pounds", measure.Imperial(), "1/16"},
	{"centimetres and kilograms", measure.Units{Length: measure.Centimetre, Force: measure.KilogramForce}, "0.1"},
	{"millimetres and newtons", measure.Units{Length: measure.Millimetre, Force: measure.Newton}, "1"},
}

// NewBow asks for the description of a new bow.
func NewBow() *Sheet {
	names := make([]string, len(unitChoices))
	for i, choice := range unitChoices {
		names[i] = choice.name
	}
	units := Question{Name: "units", Label: "units", Group: "bow", Preset: names[0], Choices: names, Hint: list(names)}
	s := newSheet("bow", "New bow", nil, describe(model.Bow{}))
	s.Questions = append([]Question{descriptionQuestions(nil)[0], units}, descriptionQuestions(nil)[1:]...)
	return s
}

// EditBow asks for the description of a bow anew, with what it says now filled in. Stations that were read stay.
func EditBow(story session.Story) *Sheet {
	bow := story.Bow()
	s := newSheet("edit", "Change: "+session.NameOf(bow), descriptionQuestions(&story), describe(bow))
	rule, scale := bow.Ruler(), bow.Weigher()
	fill := func(name, text string) {
		if text != "" && text != "0" {
			s.answers[name] = text
		}
	}
	maybe := func(name string, l measure.Optional[measure.Length]) {
		if v, known := l.Get(); known {
			s.answers[name] = rule.Print(v)
		}
	}
	fill("name", bow.Name)
	fill("wood", bow.Wood)
	fill("number", bow.Number)
	fill("for", bow.Order.For)
	maybe("draw", bow.Order.Draw)
	fill("draw_to", string(bow.Order.DrawTo))
	if w, known := bow.Order.Weight.Get(); known {
		fill("weight", scale.Print(w))
	}
	if w, known := bow.Order.Allow.Get(); known {
		s.answers["allow"] = scale.Print(w)
	}
	fill("due", string(bow.Order.Due))
	s.answers["handle"] = rule.Print(bow.Handle)
	maybe("handle_depth", bow.HandleDepth)
	fill("section", string(bow.Section))
	fill("upper", rule.Print(bow.Limbs[model.Upper].Length))
	fill("lower", rule.Print(bow.Limbs[model.Lower].Length))
	fill("stations", stationList(bow))
	maybe("tiller", bow.Aim.Tiller)
	maybe("tiller_at", bow.Aim.TillerAt)
	if bow.Rule > 0 {
		fill("rule", ruleStep(bow))
	}
	if bow.Scale > 0 {
		fill("scale", measure.Scale{Unit: bow.Units.Force, Step: bow.Units.Force.Force(0.01)}.Print(bow.Scale))
	}
	return s
}

// descriptionQuestions ask for a bow's description; story is nil for a new one.
func descriptionQuestions(story *session.Story) []Question {
	dimension := func(name, label, group, preset, hint string, must bool, field string) Question {
		return Question{Name: name, Label: label, Group: group, Preset: preset, Hint: hint, Must: must, check: checkField(story, field)}
	}
	return []Question{
		{Name: "name", Label: "name", Group: "bow", Must: true, Hint: "what you call it, such as Ash for Wren", check: shortText},
		{Name: "wood", Label: "wood", Group: "bow", Hint: "such as ash, yew or hickory", check: shortText},
		{Name: "number", Label: "number", Group: "bow", Hint: "what will be stamped on it; Enter alone for none yet", check: shortText},
		{Name: "for", Label: "for", Group: "order", Hint: "a name or a mark of your choice", check: shortText},
		dimension("draw", "draw", "order", "", "the ordered draw length, such as 28", false, "order.draw"),
		{
			Name: "draw_to", Label: "draw to", Group: "order", Preset: string(model.ToBelly), Hint: "where the draw is measured to: 1 belly, 2 back, 3 pivot+1.75",
			Choices: []string{string(model.ToBelly), string(model.ToBack), string(model.ToPivot)},
		},
		dimension("weight", "weight", "order", "", "the ordered draw weight, such as 40 or 40lb", false, "order.weight"),
		dimension("allow", "allow", "order", "", "how far the weight may be off either side, such as 2", false, "order.allow"),
		dimension("due", "due", "order", "", "the day it is promised for, like 2027-02-01", false, "order.due"),
		dimension("handle", "handle", "limbs", "4", "the stiff length between the limb roots", false, "handle"),
		dimension("handle_depth", "handle depth", "limbs", "", "belly to back at the handle, such as 1 1/4", false, "handle_depth"),
		{
			Name: "section", Label: "section", Group: "limbs", Preset: string(model.SectionD), Hint: "1 D, 2 rectangle, 3 ellipse",
			Choices: []string{string(model.SectionD), string(model.SectionRectangle), string(model.SectionEllipse)},
		},
		dimension("upper", "upper limb", "limbs", "", "from its root at the handle to the nock, such as 34", true, "limbs.upper"),
		dimension("lower", "lower limb", "limbs", "", "the same; Enter alone for as long as the upper", false, "limbs.lower"),
		{
			Name: "stations", Label: "stations", Group: "limbs", Hint: "where both limbs are read, from the handle out: 6, 8, 12 or every 4",
			check: checkStations(story),
		},
		dimension("tiller", "tiller", "aim", "", "upper less lower gap wanted; 1/4 for the hand below the arrow, 0 for a symmetrical bow", false, "aim.tiller"),
		dimension("tiller_at", "tiller at", "aim", "", "the station where that is measured, such as 8", false, "aim.tiller_at"),
		{Name: "rule", Label: "rule's step", Group: "tools", Hint: "the finest mark of your rule, such as 1/16 or 1mm", check: checkField(story, "readings.rule")},
		dimension("scale", "scale's step", "tools", "", "the finest step of your scale, such as 0.1 or 1/2", false, "readings.scale"),
	}
}

// checkField judges one answer by the bow that it would make, all else as it is answered so far.
func checkField(story *session.Story, field string) func(*Sheet, string) error {
	return func(s *Sheet, text string) error {
		units := s.units(story)
		if strings.HasSuffix(field, ".weight") || strings.HasSuffix(field, ".allow") || strings.HasSuffix(field, ".scale") {
			if _, err := measure.ParseForce(text, units.Force); err != nil {
				return err
			}
		} else if field != "order.due" {
			if _, err := measure.ParseLength(text, units.Length); err != nil {
				return err
			}
		}
		bow := s.bow(model.Bow{Units: units}, questionOf(field), text)
		// A draw is judged by the bow's size, which is asked for later; until then any bow's size is in doubt.
		if bow.Limbs[model.Upper].Length == 0 {
			bow.Limbs[model.Upper].Length, bow.Limbs[model.Lower].Length = 60, 60
		}
		var fault *model.FieldError
		if err := bow.Check(); err != nil {
			if f, ok := err.(*model.FieldError); ok {
				fault = f
			}
		}
		if fault != nil && (fault.Field == field || strings.HasPrefix(fault.Field, field+".")) {
			return fmt.Errorf("%s", fault.Want)
		}
		return nil
	}
}

// questionOf is the question that a field of a record answers.
func questionOf(field string) string { return field[strings.LastIndexByte(field, '.')+1:] }

func checkStations(story *session.Story) func(*Sheet, string) error {
	return func(s *Sheet, text string) error {
		units := s.units(story)
		upper := s.lengthOf(model.Bow{Units: units}, "upper").Or(0)
		stations, err := parseStations(text, units.Length, upper)
		if err != nil {
			return err
		}
		if last := stations[len(stations)-1]; upper > 0 && last > upper {
			rule := measure.Rule{Unit: units.Length}
			return fmt.Errorf("%s lies beyond the upper limb's %s", rule.Print(last), rule.WithUnit(upper))
		}
		if story != nil && wasRead(*story) && text != stationList(story.Bow()) {
			return fmt.Errorf("stations that were read stay where they are: %s", stationList(story.Bow()))
		}
		return nil
	}
}

func wasRead(story session.Story) bool {
	for _, pass := range story.Passes {
		if _, ok := pass.LastPose(); ok {
			return true
		}
	}
	return false
}

// describe makes the bow's description, from what it was.
func describe(was model.Bow) func(*Sheet) (Outcome, error) {
	return func(s *Sheet) (Outcome, error) {
		if was.Units == (measure.Units{}) {
			was.Units = s.units(nil)
		}
		bow := s.bow(was, "", "")
		if err := bow.Check(); err != nil {
			return Outcome{}, err
		}
		return Outcome{Bow: bow}, nil
	}
}

// units are the units that the bow is kept in.
func (s *Sheet) units(story *session.Story) measure.Units {
	if story != nil {
		return story.Bow().Units
	}
	name, _ := choose([]string{unitChoices[0].name, unitChoices[1].name, unitChoices[2].name}, s.answer("units"))
	for _, choice := range unitChoices {
		if choice.name == name {
			return choice.units
		}
	}
	return measure.Imperial()
}

// bow is the description as answered so far, with text in place of the answer to question at ("" for none).
func (s *Sheet) bow(was model.Bow, at, text string) model.Bow {
	if at != "" {
		kept, had := s.answers[at]
		s.answers[at] = text
		defer func() {
			if s.answers[at] = kept; !had {
				delete(s.answers, at)
			}
		}()
	}
	b := was
	b.Name, b.Wood, b.Number = s.answer("name"), s.answer("wood"), s.answer("number")
	b.Handle, b.HandleDepth = s.lengthOf(b, "handle").Or(0), s.lengthOf(b, "handle_depth")
	b.Section = model.Section(s.answer("section"))
	b.Order = model.Order{
		For: s.answer("for"), Draw: s.lengthOf(b, "draw"), DrawTo: model.DrawTo(s.answer("draw_to")),
		Weight: s.weightOf(b, "weight"), Allow: s.weightOf(b, "allow"), Due: model.Day(s.answer("due")),
	}
	b.Aim.Tiller, b.Aim.TillerAt = s.lengthOf(b, "tiller"), s.lengthOf(b, "tiller_at")
	b.Rule, b.Scale = s.lengthOf(b, "rule").Or(0), s.weightOf(b, "scale").Or(0)
	upper := s.lengthOf(b, "upper").Or(0)
	lower := s.lengthOf(b, "lower").Or(upper)
	b.Limbs[model.Upper].Length, b.Limbs[model.Lower].Length = upper, lower
	if stations, err := s.stations(b, upper); err == nil && (len(was.Limbs[model.Upper].Stations) == 0 || s.answer("stations") != stationList(was)) {
		b.Limbs[model.Upper].Stations, b.Limbs[model.Lower].Stations = within(stations, upper), within(stations, lower)
	}
	return b
}

func (s *Sheet) stations(b model.Bow, upper measure.Length) ([]measure.Length, error) {
	if text := s.answer("stations"); text != "" {
		return parseStations(text, b.Units.Length, upper)
	}
	return usualStations(b.Units.Length, upper), nil
}

// usualStations are the places where the difference between the limbs is looked for, 6, 8 and 12 in, and then
// every 4 in to the nock (common practice); in other units the same places in whole centimetres.
func usualStations(unit measure.LengthUnit, limb measure.Length) []measure.Length {
	var stations []measure.Length
	for _, at := range []measure.Length{6, 8, 12, 16, 20, 24, 28, 32, 36, 40} {
		if unit != measure.Inch {
			at = measure.Centimetre.Length(float64(int(at * 2.5)))
		}
		if at <= limb {
			stations = append(stations, at)
		}
	}
	return stations
}

func within(stations []measure.Length, limb measure.Length) []measure.Length {
	for len(stations) > 0 && stations[len(stations)-1] > limb {
		stations = stations[:len(stations)-1]
	}
	return stations
}

// stationList is the upper limb's stations as they are typed.
func stationList(bow model.Bow) string {
	places := make([]string, len(bow.Limbs[model.Upper].Stations))
	for i, at := range bow.Limbs[model.Upper].Stations {
		places[i] = bow.Ruler().Print(at)
	}
	return strings.Join(places, ", ")
}

// ruleStep is the rule's step in its own words: a fraction of an inch, or a decimal.
func ruleStep(bow model.Bow) string {
	return measure.Rule{Unit: bow.Units.Length, Step: min(bow.Rule, bow.Units.Length.DefaultStep())}.Print(bow.Rule)
}
