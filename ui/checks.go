package ui

import (
	"fmt"
	"strings"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/model/order"
	"bendbook/model/wood"
	"bendbook/session"
	"bendbook/session/advice"
)

// checksScreen holds the bow against its order: the draw in each way of measuring, the string, published rules, what the wood stands, and the
// weather where it goes.
type checksScreen struct {
	keysOnly
	desk *Desk
	name string
	part []part
	at   int // first line that is shown
}

// part is a heading with what stands under it.
type part struct {
	heading string
	texts   []string
}

func openChecks(desk *Desk, atWork *session.Bench) move {
	settings, err := desk.Shop.Settings()
	if err != nil {
		return failed(err)
	}
	story := atWork.Story()
	bow := story.Bow()
	c := &checksScreen{desk: desk, name: session.NameOf(bow)}
	c.add("To think of", warnings(bow, desk, order.Longbow{ArrowLimit: settings.ArrowLimit}))
	c.add("The order", orderLines(story))
	c.add("Strain at the surface at the ordered draw", strainLines(desk, story))
	c.add("Moisture", story.Weather().Say(bow))
	return move{open: c}
}

func (c *checksScreen) add(heading string, texts []string) {
	if len(texts) > 0 {
		c.part = append(c.part, part{heading, texts})
	}
}

// warnings are the order's, and that its day is past or cannot be met.
func warnings(bow model.Bow, desk *Desk, rule order.Longbow) []string {
	all := order.Warnings(bow, rule)
	now := desk.Shop.Now().In(desk.Place)
	if days, promised := (session.Row{Bow: bow}).DaysLeft(now); promised && days < 0 {
		all = append(all, fmt.Sprintf("the day that it was promised for, %s, is %d %s past", bow.Order.Due, -days, plural(-days, "day", "days")))
	}
	for i, text := range all {
		all[i] = strings.ToUpper(text[:1]) + text[1:] + "."
	}
	return all
}

func orderLines(story session.Story) []string {
	bow := story.Bow()
	rule := bow.Ruler()
	lines := nonEmpty(session.SayOrder(bow))
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
		lines = append(lines, "Draw: "+strings.Join(ways, "; ")+".")
	}
	if bow.Order.Hand != "" {
		lines = append(lines, "Drawn with the "+string(bow.Order.Hand)+" hand.")
	}
	text := fmt.Sprintf("String: %s between the loops for %s nock to nock (trade standard: 3 in less)", rule.WithUnit(order.StringFor(bow.Length())), rule.WithUnit(bow.Length()))
	if l, known := story.StringLength().Get(); known {
		text += "; measured " + rule.WithUnit(l)
	}
	lines = append(lines, text+".")
	return append(lines, nonEmpty(session.SayNotes(bow))...)
}

// strainLines are a line for each limb with the strain at the stations, and what the wood stands.
func strainLines(desk *Desk, story session.Story) []string {
	bow := story.Bow()
	a, err := advise(story, advice.PracticeFor(desk.Shop, bow.Wood), nil)
	if err != nil || !a.Read {
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
			text = fmt.Sprintf("It comes to %.2f %%, where marked (!) more than that is sure. ", 100*most) + text
		}
		lines = append(lines, text)
	}
	return lines
}

func (c *checksScreen) title() (name, what, right string) {
	return c.name, "held against its order", ""
}

func (c *checksScreen) actions() []action {
	scroll := func(by int) func() move { return func() move { c.at += by; return move{} } }
	return []action{
		{keys: []string{"up", "k"}, show: "up/down", name: "scroll", main: true, long: "Scroll up.", do: scroll(-1)},
		{keys: []string{"down", "j"}, name: "scroll down", long: "Scroll down.", do: scroll(1)},
		{keys: []string{"pgup"}, name: "page up", long: "Go up by a page.", do: scroll(-10)},
		{keys: []string{"pgdown", " "}, name: "page down", long: "Go down by a page.", do: scroll(10)},
		{keys: []string{"esc", "q"}, name: "back", main: true, long: "Go back.", do: func() move { return move{back: true} }},
	}
}

func (c *checksScreen) view(width, height int) string {
	lines := partLines(c.desk, c.part, width)
	c.at = max(0, min(c.at, len(lines)-height))
	return strings.Join(lines[c.at:min(c.at+height, len(lines))], "\n")
}

// partLines are headings and points, wrapped to the width.
func partLines(desk *Desk, parts []part, width int) []string {
	var lines []string
	for _, p := range parts {
		if len(lines) > 0 {
			lines = append(lines, "")
		}
		lines = append(lines, desk.Styles.Strong.Render(p.heading))
		for _, text := range p.texts {
			for i, line := range wrapped(text, width-4, 12) {
				lead := "- "
				if i > 0 {
					lead = "  "
				}
				lines = append(lines, lead+line)
			}
		}
	}
	return lines
}
