package session

import (
	"fmt"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/model/wood"
)

// Weather is how damp a bow's wood is where it was made and where it goes, and what that does to the weight.
type Weather struct {
	// Shop and Home are the wood's moisture content there, as a fraction of its dry weight: by the meter, or
	// what air of the temperature and humidity brings it to. Unread where neither was measured.
	Shop, Home measure.Optional[float64]
	ByMeter    bool // Shop is a meter's
	// Celsius is the temperature of the shop's air; unread where it was not measured.
	Celsius measure.Optional[float64]
	// Change is the fraction by which the bow's weight changes on the way, from stiffness alone.
	Change measure.Optional[float64]
	Source string // of the wood's stiffness dry and green; "" where Change is unread
}

// Weather is what was measured last in either place. A bow's weight is proportional to the wood's stiffness.
func (s Story) Weather() Weather {
	var w Weather
	for line := range Counting(s.Lines) {
		m, isMoisture := line.What.(model.Moisture)
		if m.Celsius.Known() && m.Where != model.HomeAir {
			w.Celsius = m.Celsius
		}
		content := m.Content
		if !content.Known() {
			content = inAir(m)
		}
		switch {
		case !isMoisture || !content.Known():
		case m.Where == model.HomeAir:
			w.Home = content
		default:
			w.Shop, w.ByMeter = content, m.Content.Known()
		}
	}
	shop, known := w.Shop.Get()
	home, also := w.Home.Get()
	kind, found := wood.Find(s.Bow().Wood)
	if !known || !also || !found {
		return w
	}
	before, ok := kind.ModulusAt(shop)
	after, okAfter := kind.ModulusAt(home)
	if ok && okAfter {
		w.Change, w.Source = measure.Some(after/before-1), kind.Source
	}
	return w
}

// inAir is the moisture content that air brings wood to; unread unless both its figures were measured.
func inAir(m model.Moisture) measure.Optional[float64] {
	celsius, warm := m.Celsius.Get()
	humidity, damp := m.Humidity.Get()
	content, ok := wood.MoistureInAir(celsius, humidity)
	if !warm || !damp || !ok {
		return measure.Optional[float64]{}
	}
	return measure.Some(content)
}

// Say describes it in sentences for the bow.
func (w Weather) Say(bow model.Bow) []string {
	const caution = "from stiffness alone: a caution, no forecast. Source: %s."
	var said []string
	shop, known := w.Shop.Get()
	home, also := w.Home.Get()
	if known {
		how := "in the end, by the air"
		if w.ByMeter {
			how = "by the meter"
		}
		said = append(said, fmt.Sprintf("In the shop the wood is at %.1f%% moisture, %s.", 100*shop, how))
	}
	if also {
		said = append(said, fmt.Sprintf("Where it goes, it ends up at %.1f%%.", 100*home))
	}
	change, told := w.Change.Get()
	weight, ordered := bow.Order.Weight.Get()
	switch {
	case told && ordered:
		becomes := bow.Weigher().WithUnit(weight * measure.Force(1+change))
		said = append(said, fmt.Sprintf("A bow of %s becomes about %s there (%+.1f%%), "+caution,
			SayOrdered(bow, weight), becomes, 100*change, w.Source))
	case told:
		said = append(said,
			fmt.Sprintf("Its weight changes by about %+.1f%% there, "+caution, 100*change, w.Source))
	case known && also:
		said = append(said, "Bendbook has no figure for how moisture changes this wood. Drier wood is stiffer: "+
			"a bow tillered damp and shot dry gains weight.")
	}
	return said
}
