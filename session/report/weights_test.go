package report

import (
	"regexp"
	"slices"
	"testing"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/session"
	"bendbook/session/verdict"
)

// scrapedTo40 is a bow that weighed 46 lb at 28 in, and 40 lb once it was scraped.
func scrapedTo40(t testing.TB, order model.Order) session.Story {
	t.Helper()
	bow := model.Bow{
		Name: "Ash for Wren", Units: measure.Imperial(), Handle: 4, Order: order,
		Limbs: [2]model.Limb{{Length: 34}, {Length: 34}},
	}
	w := newWorkshop(t, bow)
	w.add(t, at28(46), model.Scrape{Limb: model.Upper, From: 4, To: 30, Tool: "scraper"}, at28(40))
	return w.story()
}

// linesIn are the places (x from, y from, x to, y to) of the lines of a class that go from one point to
// another.
func linesIn(svg, class string) (all [][]string) {
	line := regexp.MustCompile(`<path class="` + class + `" d="M([\d.]+) ([\d.]+)L([\d.]+) ([\d.]+)"`)
	for _, found := range line.FindAllStringSubmatch(svg, -1) {
		all = append(all, found[1:])
	}
	return all
}

// The weight ordered is a level line right across the weights, which the bow meets in the pass in which it
// weighs just that, and the legend says what it is. Without an order there is none.
func TestTheWeightOrderedIsALineAcrossTheWeights(t *testing.T) {
	p, ok := weightsPicture(scrapedTo40(t, model.Order{Weight: measure.Some[measure.Force](40)}),
		verdict.Advice{})
	if !ok {
		t.Fatal("a bow that was weighed twice has no picture")
	}
	svg := svgOf(t, p)
	weights, ordered := linesIn(svg, "s0"), linesIn(svg, "aim")
	if len(weights) != 1 || len(ordered) != 1 {
		t.Fatalf("lines of the weights %v, of the order %v in\n%s", weights, ordered, svg)
	}
	bow, line := weights[0], ordered[0]
	if line[1] != line[3] || line[1] != bow[3] || line[1] == bow[1] {
		t.Errorf("the line of 40 lb goes from height %s to %s, the bow from %s (46 lb) to %s (40 lb)",
			line[1], line[3], bow[1], bow[3])
	}
	if left, right := n(leftMargin), n(chartWidth-rightMargin); line[0] != left || line[2] != right {
		t.Errorf("the line goes from %s to %s, not right across from %s to %s", line[0], line[2], left, right)
	}
	if !slices.Contains(texts(t, svg), "ordered") {
		t.Errorf("the legend does not name the weight ordered in\n%s", svg)
	}
	p, ok = weightsPicture(scrapedTo40(t, model.Order{}), verdict.Advice{})
	if svg := svgOf(t, p); !ok || len(linesIn(svg, "aim")) > 0 || slices.Contains(texts(t, svg), "ordered") {
		t.Errorf("nothing was ordered, and yet there is a line in\n%s", svg)
	}
}
