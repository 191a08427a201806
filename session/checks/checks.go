// Package checks holds a bow against its order: the draw in each way of measuring, the string, published rules, what the
// wood stands, and the weather where it goes. It gives sentences; it refuses nothing, and must not know where they are shown.
package checks

import (
	"fmt"
	"strings"

	"bendbook/model"
	"bendbook/model/date"
	"bendbook/model/measure"
	"bendbook/model/order"
	"bendbook/model/plain"
	"bendbook/model/wood"
	"bendbook/session"
	"bendbook/session/advice"
)

// Of are the checks of a bow, under headings; a is what its readings say. The error says why the shop's settings cannot be read.
func Of(shop *session.Shop, story session.Story, a advice.Advice) ([]advice.Part, error) {
	return of(shop, story, strainLines(story, a))
}

// Meanwhile are the checks of a bow while it is still reckoned what its readings say.
func Meanwhile(shop *session.Shop, story session.Story) ([]advice.Part, error) {
	return of(shop, story, []string{"Reckoning..."})
}

func of(shop *session.Shop, story session.Story, strain []string) ([]advice.Part, error) {
	bow := story.Bow()
	warnings, err := Warnings(shop, bow)
	if err != nil {
		return nil, err
	}
	var parts []advice.Part
	for _, p := range []advice.Part{
		{Heading: "To think of", Texts: warnings}, {Heading: "The order", Texts: orderLines(story, shop.Dates())},
		{Heading: "Strain at the surface at the ordered draw", Texts: strain}, {Heading: "Moisture", Texts: story.Weather().Say(bow)},
	} {
		if len(p.Texts) > 0 {
			parts = append(parts, p)
		}
	}
	return parts, nil
}

// Warnings are what is to be thought of with a bow's order, in sentences: what the rules say, and that its day is past. The error says why the
// shop's settings cannot be read.
func Warnings(shop *session.Shop, bow model.Bow) ([]string, error) {
	settings, err := shop.Settings()
	if err != nil {
		return nil, err
	}
	all := order.Warnings(bow, order.Longbow{ArrowLimit: settings.ArrowLimit})
	now := shop.Here()
	if days, promised := (session.Row{Bow: bow}).DaysLeft(now); promised && days < 0 {
		all = append(all, plain.Plural(-days, "the day that it was promised for, %[2]s, is %[1]d day past", "the day that it was promised for, %[2]s, is %[1]d days past",
			-days, shop.DatesOf(settings).Reprint(string(bow.Order.Due))))
	}
	for i, text := range all {
		all[i] = session.Capital(text) + "."
	}
	return all, nil
}

func orderLines(story session.Story, dates date.Order) []string {
	bow := story.Bow()
	rule := bow.Ruler()
	var lines []string
	if said := session.SayOrder(bow, dates); said != "" {
		lines = append(lines, said)
	}
	draws := order.DrawsOf(bow)
	var ways []string
	for _, way := range []struct {
		name string
		draw measure.Optional[measure.Length]
	}{{"to the belly, as the tree shows it", draws.Belly}, {"to the back", draws.Back}, {"published trade length (pivot + 1 3/4 in)", draws.Trade}} {
		if draw, known := way.draw.Get(); known {
			ways = append(ways, rule.WithUnit(draw)+" "+way.name)
		}
	}
	if len(ways) > 0 {
		lines = append(lines, fmt.Sprintf("Draw: %s.", strings.Join(ways, "; ")))
	}
	if bow.Order.Hand != "" {
		lines = append(lines, fmt.Sprintf("Drawn with the %s hand.", bow.Order.Hand))
	}
	loops, nocks := rule.WithUnit(order.StringFor(bow.Length())), rule.WithUnit(bow.Length())
	text := fmt.Sprintf("String: %s between the loops for %s nock to nock (trade standard: 3 in less).", loops, nocks)
	if l, known := story.StringLength().Get(); known {
		text = fmt.Sprintf("String: %s between the loops for %s nock to nock (trade standard: 3 in less); measured %s.", loops, nocks, rule.WithUnit(l))
	}
	lines = append(lines, text)
	if notes := session.SayNotes(bow); notes != "" {
		lines = append(lines, notes)
	}
	return lines
}

// strainLines are a line for each limb with the strain at the stations, and what the wood stands.
func strainLines(story session.Story, a advice.Advice) []string {
	bow := story.Bow()
	if !a.Read {
		return []string{"No strain can be told before the bow was read."}
	}
	kind, found := wood.Find(bow.Wood)
	var lines []string
	most := 0.0
	for _, side := range model.Sides {
		limb := a.Limbs[side]
		var cells []string
		for i, strain := range limb.Strain {
			if i >= len(bow.Limbs[side].Stations) || !(strain > 0) {
				continue
			}
			most = max(most, strain)
			cell := fmt.Sprintf("%s: %.2f", bow.Ruler().Short(bow.Limbs[side].Stations[i]), 100*strain)
			if found && kind.StrainHigh > 0 && strain > kind.StrainLow {
				cell += "!"
			}
			cells = append(cells, cell)
		}
		if len(cells) > 0 {
			lines = append(lines, fmt.Sprintf("%s limb, %% at %s: %s", side, bow.Ruler().Unit, strings.Join(cells, "  ")))
		}
	}
	if len(lines) == 0 {
		return []string{"It is told where width and depth were measured at the stations; none were."}
	}
	switch {
	case !found || kind.StrainHigh == 0:
		lines = append(lines, "What this wood stands is not known here.")
	default:
		text := fmt.Sprintf("%s is said to stand %.2f to %.2f %% (%s): a caution, never a licence.", kind.Name, 100*kind.StrainLow, 100*kind.StrainHigh, kind.StrainSource)
		if most > kind.StrainLow {
			text = fmt.Sprintf("It comes to %.2f %%, where marked (!) more than that is sure.", 100*most) + " " + text
		}
		lines = append(lines, text)
	}
	return lines
}
