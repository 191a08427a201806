package report

import (
	"fmt"
	"slices"
	"strings"

	"bendbook/model"
	"bendbook/model/date"
	"bendbook/model/measure"
	"bendbook/model/order"
	"bendbook/model/plain"
	"bendbook/model/wood"
	"bendbook/session"
	"bendbook/session/shop"
	"bendbook/session/verdict"
)

// Checks compares a bow with its order, under headings. a is what its readings say, nil while that is being
// worked out. The error says why the shop's settings can't be read.
func Checks(s *shop.Shop, story session.Story, a *verdict.Advice) ([]verdict.Part, error) {
	bow, strain := story.Bow(), []string{"Reckoning..."}
	if a != nil {
		strain = strainLines(story, *a)
	}
	warnings, err := Warnings(s, bow)
	if err != nil {
		return nil, err
	}
	parts := []verdict.Part{
		{Heading: "To think of", Texts: warnings},
		{Heading: "The order", Texts: orderLines(story, a, s.Dates())},
		{Heading: "Strain at the surface at the ordered draw", Texts: strain},
		{Heading: "Moisture", Texts: story.Weather().Say(bow)},
	}
	return slices.DeleteFunc(parts, func(p verdict.Part) bool { return len(p.Texts) == 0 }), nil
}

// Warnings lists what to think of with a bow's order. The error says why the settings can't be read.
func Warnings(s *shop.Shop, bow model.Bow) ([]string, error) {
	settings, err := s.Settings()
	if err != nil {
		return nil, err
	}
	all := order.Warnings(bow)
	if days, promised := (shop.Row{Bow: bow}).DaysLeft(s.Here()); promised && days < 0 {
		due := s.DatesOf(settings).Reprint(string(bow.Order.Due))
		past := plain.Plural(-days, "%d day", "%d days", -days)
		all = append(all, fmt.Sprintf("you promised it for %s, %s ago", due, past))
	}
	for i, text := range all {
		all[i] = session.Capital(text) + "."
	}
	return all, nil
}

func orderLines(story session.Story, a *verdict.Advice, dates date.Order) []string {
	bow := story.Bow()
	rule := bow.Ruler()
	var lines, ways sentences
	lines.add(session.SayOrder(bow, dates))
	way := func(draw measure.Optional[measure.Length], said string) {
		ways.add(known(draw, func(l measure.Length) string { return rule.WithUnit(l) + said }))
	}
	draws := order.DrawsOf(bow)
	way(draws.Belly, " to the belly, as the tree shows it")
	way(draws.Back, " to the back")
	way(draws.Trade, " published trade length (pivot + 1 3/4 in)")
	if len(ways) > 0 {
		lines.addf("Draw: %s.", strings.Join(ways, "; "))
	}
	if bow.Order.Hand != "" {
		lines.addf("Drawn with the %s hand.", bow.Order.Hand)
	}
	if said := sayString(story, a); said != "" {
		braced := func(l measure.Length) string { return ", braced to " + rule.WithUnit(l) }
		lines.addf("String: %s between the loops, for %s nock to nock%s.", said, rule.WithUnit(bow.Length()),
			known(story.BraceHeight(), braced))
	}
	if notes := plain.Line(bow.Order.Notes); notes != "" {
		lines.addf("Notes: %s", notes)
	}
	return lines
}

// strainLines lists the strain at each limb's stations, and how much the wood stands.
func strainLines(story session.Story, a verdict.Advice) []string {
	bow := story.Bow()
	if !a.Read {
		return []string{"Read the bow first: then its strain shows here."}
	}
	kind, found := wood.Find(bow.Wood)
	found = found && kind.StrainHigh > 0
	var lines sentences
	most := 0.0
	for _, side := range model.Sides {
		var cells []string
		for i, strain := range a.Limbs[side].Strain {
			if i >= len(bow.Limbs[side].Stations) || !(strain > 0) {
				continue
			}
			most = max(most, strain)
			cell := fmt.Sprintf("%s: %.2f", bow.Ruler().Short(bow.Limbs[side].Stations[i]), 100*strain)
			if found && strain > kind.StrainLow {
				cell += "!"
			}
			cells = append(cells, cell)
		}
		if len(cells) > 0 {
			lines.addf("%s limb, %% at %s: %s", side, bow.Ruler().Unit, strings.Join(cells, "  "))
		}
	}
	if len(lines) == 0 {
		return []string{"Measure width and depth at the stations: then it shows here."}
	}
	if !found {
		return append(lines, "Bendbook has no figure for what this wood stands.")
	}
	above := ""
	if most > kind.StrainLow {
		above = fmt.Sprintf("It comes to %.2f%%; (!) marks where it may be too much. ", 100*most)
	}
	return append(lines, fmt.Sprintf("%s%s should stand %.2f to %.2f%% (%s): a caution, never a licence.",
		above, kind.Name, 100*kind.StrainLow, 100*kind.StrainHigh, kind.StrainSource))
}
