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
		for _, q := range append(s.Questions, unit) { // some were answered in the units before
			if text := s.answers[q.Name]; before != (measure.Units{}) && text != "" {
				s.answers[q.Name] = carried(text, q.quantity(), before, units[chosen])
			}
		}
		d.ask(s)
		page(s, unit)
	}
	s.tune(s)
	return s
}

// page puts first what most orders answer, and how deep the handle is where a draw to the back asks for that.
// All else follows where more is asked for, or some of it is answered.
func page(s *Sheet, unit Question) {
	first := []string{"name", "for", "wood", "length", "draw", "draw_to", "weight", "due", "more"}
	if s.answer("draw_to") == string(model.ToBack) {
		first = slices.Insert(first, 6, "handle_depth")
		s.Questions[s.index("handle_depth")].Group = "order"
	}
	place := func(q Question) int {
		if at := slices.Index(first, q.Name); at >= 0 {
			return at
		}
		return len(first)
	}
	s.Questions, s.unasked = slices.Insert(s.Questions, 0, unit), nil // before what is typed in these units
	slices.SortStableFunc(s.Questions, func(a, b Question) int { return place(a) - place(b) })
	answered := func(q Question) bool { return s.answers[q.Name] != "" }
	rest := s.Questions[len(first):]
	then, _ := choose(moreChoices(), s.answers["more"])
	if then != askMore && !slices.ContainsFunc(rest, answered) {
		s.Questions, s.unasked = s.Questions[:len(first):len(first)], rest
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
	if !d.isNew() {
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
