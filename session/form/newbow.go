package form

import (
	"fmt"
	"slices"

	"bendbook/model"
	"bendbook/model/measure"
)

// newBow asks for the description of a new bow: a page of what most orders say, and behind "more" the rest,
// each with what Enter alone takes. Its units decide what the later questions give as examples.
func newBow(p practice) *Sheet {
	names, units, own := p.units()
	unit := Question{Name: "units", Label: "units", Group: "more", Preset: own, Choices: names,
		Hint: list(1, names)}
	s := newSheet("bow", "New bow", nil)
	s.Usual = true
	s.tune = func(s *Sheet) {
		chosen := slices.Index(names, s.answer("units"))
		if chosen < 0 {
			chosen = slices.Index(names, own)
		}
		before := s.of.Units
		was := model.Bow{Units: units[chosen], Rig: p.Tree.Rig(), Cradle: p.Tree.Rocking()}
		d := description{was: was, practice: p}
		s.Questions = slices.Insert(s.Questions, 0, unit) // some were answered in the units before
		for _, q := range s.Questions {
			if text := s.answers[q.Name]; before != (measure.Units{}) && text != "" {
				s.answers[q.Name] = carried(text, q.quantity(), before, units[chosen])
			}
		}
		d.ask(s)
		d.page(s, unit)
	}
	s.tune(s)
	return s
}

// firstPage names the questions that most orders answer, and how deep the handle is where a draw to the back
// asks for that.
func firstPage(s *Sheet) []string {
	names := []string{"name", "for", "wood", "length", "draw", "draw_to", "weight", "due", "more"}
	if s.answer("draw_to") == string(model.ToBack) {
		names = slices.Insert(names, 6, "handle_depth")
	}
	return names
}

// page puts the questions of the first page first. All others follow where more is asked for, or one of them
// is answered.
func (d description) page(s *Sheet, unit Question) {
	all, first := append(s.Questions, unit), make([]Question, 0, len(s.Questions)+1)
	for _, name := range firstPage(s) {
		at := slices.IndexFunc(all, func(q Question) bool { return q.Name == name })
		first = append(first, all[at])
		all = slices.Delete(all, at, at+1)
	}
	rest := append([]Question{all[len(all)-1]}, all[:len(all)-1]...) // the units before what is typed in them
	answered := func(q Question) bool { return s.answers[q.Name] != "" }
	s.Questions, s.unasked = first, rest
	then, _ := choose(moreChoices(), s.answers["more"])
	if then == askMore || slices.ContainsFunc(rest, answered) {
		s.Questions, s.unasked = append(s.Questions, rest...), nil
	}
	for i := range s.Questions {
		q := &s.Questions[i]
		q.otherwise = d.otherwise(q.Name)
		switch q.Name {
		case "for":
			q.Group = "bow"
		case "handle_depth":
			if s.answer("draw_to") == string(model.ToBack) {
				q.Group = "order"
			}
		case "due":
			q.hear = func(text string) string {
				day, err := d.Dates.Parse(text, d.Now)
				if err != nil {
					return ""
				}
				return d.Dates.Print(day)
			}
		case "number", "allow":
			q.Group = "more"
		case "upper", "lower":
			q.must, q.Hint = false, d.example("how long from the handle's end to the nock? Such as {34in}")
		}
	}
}

// The answers to "save or more".
const (
	saveNow = "save"
	askMore = "more"
)

func moreChoices() []string { return []string{saveNow, askMore} }

// whole asks of a new bow only: its length, which is halved, and whether there is more to say.
func (d description) whole() []Question {
	if d.was.Limbs[model.Upper].Length != 0 {
		return nil
	}
	return []Question{
		{path: "limbs.upper", Name: "length", Group: "bow", Label: "nock to nock", must: true,
			Hint: "how long is it from nock to nock, along the bow? Such as {72in} " + string(d.was.Units.Length)},
		{Name: "more", Group: "order", Label: "save or more", Preset: saveNow, Choices: moreChoices(),
			Hint: "1 save, 2 more: units, number, handle, unequal limbs, stations, aim, tools, hand"},
	}
}

// halve gives the limbs what the bow is long, less the handle: half each, or the rest to the limb that isn't
// told.
func halve(s *Sheet, b *model.Bow) {
	length, known := s.lengthOf("length").Get()
	if !known {
		return
	}
	upper, lower, rest := &b.Limbs[model.Upper].Length, &b.Limbs[model.Lower].Length, length-b.Handle
	switch toldUpper, toldLower := s.answer("upper") != "", s.answer("lower") != ""; {
	case !toldUpper && !toldLower:
		*upper, *lower = rest/2, rest/2
	case !toldUpper:
		*upper = rest - *lower
	case !toldLower:
		*lower = rest - *upper
	}
}

// oneLength refuses limbs that don't make the whole length that was typed.
func (d description) oneLength(s *Sheet, b *model.Bow) error {
	rule := d.was.Ruler()
	if length, known := s.lengthOf("length").Get(); known && rule.Round(b.Length()) != rule.Round(length) {
		return fmt.Errorf("limbs and handle make %s, and nock to nock is %s: put one of them right",
			rule.WithUnit(b.Length()), rule.WithUnit(length))
	}
	return nil
}

// otherwise says what is taken where a question is left out; nil for nothing.
func (d description) otherwise(name string) func(*Sheet) string {
	limb := func(side model.Side) func(*Sheet) string {
		return func(s *Sheet) string {
			if made := d.table().made(s).Limbs[side].Length; made > 0 {
				return d.was.Ruler().WithUnit(made)
			}
			return ""
		}
	}
	always := func(text string) func(*Sheet) string {
		return func(*Sheet) string { return d.example(text) }
	}
	switch name {
	case "upper":
		return limb(model.Upper)
	case "lower":
		return limb(model.Lower)
	case "stations":
		return func(s *Sheet) string { return d.stations(d.table().made(s)) }
	case "tiller":
		return always("{1/4in}")
	case "tiller_at":
		return always("{8in}")
	case "stiff_tips":
		return always("{12in} or so")
	case "rule":
		return always(d.was.Ruler().WithUnit(d.was.Ruler().Mark()))
	case "scale":
		return always(d.was.Weigher().WithUnit(d.was.Weigher().Mark()))
	}
	return nil
}
