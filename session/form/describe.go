package form

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"bendbook/model"
	"bendbook/model/date"
	"bendbook/model/measure"
	"bendbook/session"
)

// unitChoices are the sets of units that a new bow may be kept in.
var unitChoices = []struct {
	name  string
	units measure.Units
}{
	{"inches and pounds", measure.Imperial()},
	{"centimetres and kilograms", measure.Units{Length: measure.Centimetre, Force: measure.KilogramForce}},
	{"millimetres and newtons", measure.Units{Length: measure.Millimetre, Force: measure.Newton}},
}

// Practice is what a shop's practice brings into the questions about a bow.
type Practice struct {
	Units    measure.Units // of a new bow; the zero value is inches and pounds
	Dates    date.Order
	Now      time.Time   // by which a day without its year is understood
	Finished []model.Bow // whose shape may be the aim
}

// choices are the sets of units that a new bow may be kept in, the shop's own among them, and which of them that is.
func (p Practice) choices() (names []string, units []measure.Units, own int) {
	own = -1
	for i, choice := range unitChoices {
		names, units = append(names, choice.name), append(units, choice.units)
		if choice.units == p.Units {
			own = i
		}
	}
	if p.Units == (measure.Units{}) {
		return names, units, 0
	}
	if own < 0 {
		own = len(names)
		names = append(names, fmt.Sprintf("%s and %s", nameFor(lengthNames, p.Units.Length), nameFor(forceNames, p.Units.Force)))
		units = append(units, p.Units)
	}
	return names, units, own
}

// NewBow asks for the description of a new bow. Its units decide what the later questions give as examples.
func NewBow(p Practice) *Sheet {
	s := newSheet("bow", "New bow", nil, nil)
	s.Usual = true
	names, units, own := p.choices()
	s.tune = func(s *Sheet) {
		chosen := units[own]
		if at := slices.Index(names, s.answer("units")); at >= 0 {
			chosen = units[at]
		}
		d := description{was: model.Bow{Units: chosen}, Practice: p}
		s.of = d.was
		questions := d.questions(true)
		s.Questions = slices.Insert(questions, 1, Question{
			Name: "units", Label: "units", Group: "bow", Preset: names[own], Choices: names, Hint: list(names),
		})
		s.finish = d.finish
	}
	s.tune(s)
	return s
}

// EditBow asks for the description of a bow anew, with what it says now filled in. A field that is left as it was filled in keeps its
// value to the last digit, also where the rule shows less. Stations that were read stay.
func EditBow(story session.Story, p Practice) *Sheet {
	bow := story.Bow()
	d := description{was: bow, read: wasRead(story), Practice: p}
	s := newSheet(editForm, "Change the description", d.questions(false), d.finish)
	s.of = bow
	for _, f := range d.fields() {
		if text := f.print(bow, bow); text != "" {
			s.answers[f.Name], s.filled[f.Name] = text, text
		}
	}
	return s
}

// description makes a bow's description from what it was and the answers.
type description struct {
	was  model.Bow // of a new bow only the units
	read bool      // stations were read
	Practice
}

// questions are the fields' questions. Those of a bow that is changed have no presets: what it says is filled in.
func (d description) questions(isNew bool) []Question {
	fields := d.fields()
	questions := make([]Question, len(fields))
	for i, f := range fields {
		questions[i] = f.Question
		questions[i].check = d.check(f)
		if !isNew {
			questions[i].Preset = ""
			questions[i].Must = f.Must && f.print(d.was, d.was) != ""
		}
	}
	return questions
}

func (d description) finish(s *Sheet) (Outcome, error) {
	bow := d.bow(s, s.answer)
	if err := bow.Check(); err != nil {
		return Outcome{}, err
	}
	return Outcome{Bow: bow}, nil
}

// bow is the description as answered so far. An answer that cannot be leaves its field as it was.
func (d description) bow(s *Sheet, answer func(name string) string) model.Bow {
	b := d.was
	for _, f := range d.fields() {
		if text := answer(f.Name); text != s.filled[f.Name] {
			// What cannot be is refused where it is answered; here the others are wanted.
			_ = f.set(b, &b, text)
		}
	}
	if answer("lower") == "" {
		b.Limbs[model.Lower].Length = b.Limbs[model.Upper].Length
	}
	return d.withStations(b, answer("stations"), s.filled["stations"])
}

// check judges one answer by the bow that it would make, all else as it is answered so far.
func (d description) check(f field[model.Bow]) func(*Sheet, string) error {
	return func(s *Sheet, text string) error {
		if text == s.filled[f.Name] {
			return nil
		}
		if err := f.set(d.was, new(d.was), text); err != nil {
			return err
		}
		bow := d.bow(s, func(name string) string {
			if name == f.Name {
				return text
			}
			return s.answer(name)
		})
		if f.Name == "stations" {
			return d.checkStations(text, bow.Limbs[model.Upper].Length)
		}
		// A draw is judged by the bow's size, which is asked for later; until then a bow of any size is meant.
		for _, side := range model.Sides {
			if limb := &bow.Limbs[side]; limb.Length == 0 && f.path != "limbs."+side.String() {
				limb.Length = 60
			}
		}
		var fault *model.FieldError
		if errors.As(bow.Check(), &fault) && (fault.Field == f.path || strings.HasPrefix(fault.Field, f.path+".")) {
			return errors.New(fault.Want)
		}
		return nil
	}
}
