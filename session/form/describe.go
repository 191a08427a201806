package form

import (
	"errors"
	"fmt"
	"slices"
	"time"

	"bendbook/model"
	"bendbook/model/date"
	"bendbook/model/finish"
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

// choices are the sets of units that a new bow may be kept in, the shop's own among them, and which of them
// that is.
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
		names = append(names, finish.LengthName(p.Units.Length)+" and "+finish.ForceName(p.Units.Force))
		units = append(units, p.Units)
	}
	return names, units, own
}

// NewBow asks for the description of a new bow. Its units decide what the later questions give as examples.
func NewBow(p Practice) *Sheet {
	names, units, own := p.choices()
	unit := Question{Name: "units", Label: "units", Group: "bow", Preset: names[own], Choices: names,
		Hint: list(1, names)}
	s := newSheet("bow", "New bow", nil)
	s.Usual = true
	s.tune = func(s *Sheet) {
		chosen := units[own]
		if at := slices.Index(names, s.answer("units")); at >= 0 {
			chosen = units[at]
		}
		t := description{was: model.Bow{Units: chosen}, Practice: p}.table()
		questions, _ := t.questions("")
		s.of, s.Questions = t.of, slices.Insert(questions, 1, unit)
		s.finish = finishBow(t)
	}
	s.tune(s)
	return s
}

// EditBow asks for the description of a bow anew, with what it says now filled in. A field that is left as
// it was filled in keeps its value to the last digit, also where the rule shows less. Stations that were
// read stay.
func EditBow(story session.Story, p Practice) *Sheet {
	return description{was: story.Bow(), read: wasRead(story), Practice: p}.filled(editForm,
		"Change the description")
}

// Like asks for the description of a new bow, filled in with that of a pattern.
func Like(pattern model.Bow, of string, p Practice) *Sheet {
	s := description{was: pattern, Practice: p}.filled(likeForm, fmt.Sprintf("Another like %s", of))
	finish := s.finish
	s.finish = func(s *Sheet) (Outcome, error) {
		o, err := finish(s)
		if err == nil && o.Bow.Name == "" {
			err = errors.New("a bow needs a name")
		}
		return o, err
	}
	return s
}

// description makes a bow's description from what it was and the answers.
type description struct {
	was  model.Bow // of a new bow only the units
	read bool      // stations were read
	Practice
}

func (d description) table() table[model.Bow] {
	return table[model.Bow]{
		of: d.was, was: d.was, fields: d.fields(), judge: d.judge,
		along: func(s *Sheet, answer func(string) string, b *model.Bow) {
			if answer("lower") == "" {
				b.Limbs[model.Lower].Length = b.Limbs[model.Upper].Length
			}
			*b = d.withStations(*b, answer("stations"), s.filled["stations"])
		},
	}
}

// judge checks a bow. A draw is judged by the bow's size, which is asked for later; until then a bow of any
// size is meant.
func (d description) judge(path string, b model.Bow) error {
	for _, side := range model.Sides {
		if limb := &b.Limbs[side]; path != "" && limb.Length == 0 && path != "limbs."+side.String() {
			limb.Length = 60
		}
	}
	return b.Check()
}

// filled is a sheet with what the bow was filled in. It has no presets and needs what is there already.
func (d description) filled(form, title string) *Sheet {
	t := d.table()
	s := newSheet(form, title, finishBow(t))
	s.of = d.was
	s.Questions, _ = t.questions("")
	t.fill(s)
	for i := range s.Questions {
		q := &s.Questions[i]
		q.Preset, q.Must = "", q.Must && s.filled[q.Name] != ""
	}
	return s
}

func finishBow(t table[model.Bow]) func(*Sheet) (Outcome, error) {
	return func(s *Sheet) (Outcome, error) {
		bow, err := t.finish(s)
		return Outcome{Bow: bow}, err
	}
}
