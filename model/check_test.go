package model

import (
	"errors"
	"math"
	"strings"
	"testing"
	"time"

	"bendbook/model/measure"
)

type length = measure.Length

func some(l length) measure.Optional[length]                 { return measure.Some(l) }
func pounds(f measure.Force) measure.Optional[measure.Force] { return measure.Some(f) }
func row(readings ...length) (out []measure.Optional[length]) {
	for _, r := range readings {
		out = append(out, some(r))
	}
	return out
}

// longbow is a bow of 34 + 4 + 33 in that Check has nothing against.
func longbow() Bow {
	return Bow{
		Units: measure.Imperial(), Name: "Ash for Wren", Handle: 4,
		Limbs: [2]Limb{
			Upper: {Length: 34, Stations: []length{6, 8, 12, 34}},
			Lower: {Length: 33, Stations: []length{6, 8, 12}},
		},
		Order: Order{Draw: some(28), Weight: pounds(40), Allow: pounds(2), Due: "2027-02-01"},
	}
}

// checkFault holds an error against the field that it must name; "" is none at all.
func checkFault(t *testing.T, what string, err error, field string) {
	t.Helper()
	var fault *FieldError
	switch {
	case field == "" && err != nil:
		t.Errorf("%s: refused: %v", what, err)
	case field != "" && !errors.As(err, &fault):
		t.Errorf("%s: %v; want a FieldError at %s", what, err, field)
	case field != "" && fault.Field != field:
		t.Errorf("%s: refused at %q (%s); want %s", what, fault.Field, fault.Want, field)
	case field != "" && (fault.Want == "" || len(fault.Error()) > 200):
		t.Errorf("%s: says %q", what, fault.Error())
	}
}

func TestCheckHoldsEachBoundOnBothSides(t *testing.T) {
	if err := longbow().Check(); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		what, field string
		change      func(b *Bow)
	}{
		{"unit ft", "units.length", func(b *Bow) { b.Units.Length = "ft" }},
		{"unit kg", "units.force", func(b *Bow) { b.Units.Force = "kg" }},
		{"metric", "", func(b *Bow) { b.Units = measure.Units{Length: measure.Millimetre, Force: measure.Newton} }},
		{"name of 400 bytes", "", func(b *Bow) { b.Name = strings.Repeat("n", 400) }},
		{"name of 401 bytes", "name", func(b *Bow) { b.Name = strings.Repeat("n", 401) }},
		{"section d", "section", func(b *Bow) { b.Section = "d" }},
		{"hanging", "readings.cradle", func(b *Bow) { b.Cradle = "hanging" }},
		{"no handle", "", func(b *Bow) { b.Handle = 0 }},
		{"handle below 0", "handle", func(b *Bow) { b.Handle = -.01 }},
		{"handle 60", "", func(b *Bow) { b.Handle = 60 }},
		{"handle 60.1", "handle", func(b *Bow) { b.Handle = 60.1 }},
		{"handle depth below 0", "handle_depth", func(b *Bow) { b.HandleDepth = some(-1) }},
		{"rule not known", "", func(b *Bow) { b.Rule = 0 }},
		{"rule 2", "", func(b *Bow) { b.Rule = 2 }},
		{"rule 2.01", "readings.rule", func(b *Bow) { b.Rule = 2.01 }},
		{"rule finer than light", "readings.rule", func(b *Bow) { b.Rule = 5e-324 }},
		{"scale 20", "", func(b *Bow) { b.Scale = 20 }},
		{"scale 20.1", "readings.scale", func(b *Bow) { b.Scale = 20.1 }},
		{"limb of 0", "limbs.lower.length", func(b *Bow) { b.Limbs[Lower].Length = 0 }},
		{"limb of 120", "", func(b *Bow) { b.Limbs[Upper].Length = 120 }},
		{"limb of 120.1", "limbs.upper.length", func(b *Bow) { b.Limbs[Upper].Length = 120.1 }},
		{"limb NaN", "limbs.upper.length", func(b *Bow) { b.Limbs[Upper].Length = length(math.NaN()) }},
		{"no stations", "", func(b *Bow) { b.Limbs[Lower].Stations = nil }},
		{"station at the root", "limbs.lower.stations[0]", func(b *Bow) { b.Limbs[Lower].Stations = []length{0, 1} }},
		{"stations that stand still", "limbs.upper.stations[1]", func(b *Bow) { b.Limbs[Upper].Stations = []length{6, 6} }},
		{"station a rule's error beyond the nock", "", func(b *Bow) { b.Limbs[Lower].Stations = []length{33.25} }},
		{"station beyond the nock", "limbs.lower.stations[0]", func(b *Bow) { b.Limbs[Lower].Stations = []length{33.3} }},
		{"100 stations", "", func(b *Bow) { b.Limbs[Upper].Stations = every(.3, 100) }},
		{"101 stations", "limbs.upper.stations", func(b *Bow) { b.Limbs[Upper].Stations = every(.3, 101) }},
		{"widths", "", func(b *Bow) { b.Limbs[Lower].Widths = row(1.5, 1.4, 12) }},
		{"a width of 0", "limbs.lower.widths[1]", func(b *Bow) { b.Limbs[Lower].Widths = row(1.5, 0) }},
		{"a depth of 12.1", "limbs.lower.depths[2]", func(b *Bow) { b.Limbs[Lower].Depths = row(1, 1, 12.1) }},
		{"four depths for three stations", "limbs.lower.depths", func(b *Bow) { b.Limbs[Lower].Depths = row(1, 1, 1, 1) }},
		{"draw of the whole bow", "", func(b *Bow) { b.Order.Draw = some(71) }},
		{"draw beyond the bow", "order.draw", func(b *Bow) { b.Order.Draw = some(71.1) }},
		{"draw 0", "order.draw", func(b *Bow) { b.Order.Draw = some(0) }},
		{"weight 399.9", "", func(b *Bow) { b.Order.Weight = pounds(399.9) }},
		{"weight 400", "order.weight", func(b *Bow) { b.Order.Weight = pounds(400) }},
		{"nothing allowed", "", func(b *Bow) { b.Order.Allow = pounds(0) }},
		{"less than nothing allowed", "order.allow", func(b *Bow) { b.Order.Allow = pounds(-.1) }},
		{"draw to the back", "", func(b *Bow) { b.Order.DrawTo = ToBack }},
		{"draw to the shelf", "order.draw_to", func(b *Bow) { b.Order.DrawTo = "shelf" }},
		{"a leap day", "", func(b *Bow) { b.Order.Due = "2028-02-29" }},
		{"no leap day", "order.due", func(b *Bow) { b.Order.Due = "2027-02-29" }},
		{"tiller at the longer limb's nock", "", func(b *Bow) { b.Aim.TillerAt = some(34) }},
		{"tiller beyond it", "aim.tiller_at", func(b *Bow) { b.Aim.TillerAt = some(34.1) }},
		{"tiller below 0", "", func(b *Bow) { b.Aim.Tiller = some(-.25) }},
		{"stiff tips below 0", "aim.stiff_tips", func(b *Bow) { b.Aim.StiffTips = measure.Some[measure.Length](-1) }},
	} {
		bow := longbow()
		c.change(&bow)
		checkFault(t, c.what, bow.Check(), c.field)
	}
}

// every is n stations at equal steps.
func every(step length, n int) []length {
	stations := make([]length, n)
	for i := range stations {
		stations[i] = step * length(i+1)
	}
	return stations
}

func TestCheckEventHoldsEachBoundOnBothSides(t *testing.T) {
	readings := func(upper, lower []measure.Optional[length]) Readings { return Readings{upper, lower} }
	block := func(b Block) Braced { return Braced{From: FromString, Block: &b} }
	long := strings.Repeat("n", 64_001)
	for _, c := range []struct {
		what, field string
		event       Event
	}{
		{"nothing read", "", Relaxed{}},
		// A limb is inextensible: at 6 in from the root it is 6 in from the line at most. The rule may err by
		// ¼ in.
		{"a limb square to the line", "", Relaxed{Readings: readings(row(6.25), nil)}},
		{"a limb that stretched", "upper[0]", Relaxed{Readings: readings(row(6.3), nil)}},
		{"reflex", "", Relaxed{Readings: readings(nil, row(-2))}},
		{"more reflex than limb", "lower[2]", Relaxed{Readings: readings(nil, row(0, 0, -12.3))}},
		{"a reading that is none", "lower[0]", Relaxed{Readings: readings(nil, row(length(math.NaN())))}},
		{"as many readings as stations", "", Relaxed{Readings: readings(row(0, 0, 0, 0), nil)}},
		{"more readings than stations", "lower", Relaxed{Readings: readings(nil, row(0, 0, 0, 0))}},
		{"a station left out", "lower[1]", Relaxed{Readings: readings(nil, []measure.Optional[length]{{}, some(99)})}},
		{"string of 1 in", "", StringLength{Length: 1}},
		{"string under 1 in", "length", StringLength{Length: .9}},
		{"string of two bows", "", StringLength{Length: 142}},
		{"string longer than that", "length", StringLength{Length: 142.1}},
		{"brace height not read", "", Braced{From: FromString}},
		{"half the bow", "", Braced{Height: some(35.5), From: FromString}},
		{"more than half the bow", "height", Braced{Height: some(35.6), From: FromString}},
		{"brace height 0", "height", Braced{Height: some(0), From: FromString}},
		{"a gap as long as the limb", "", Braced{From: FromString, Readings: readings(row(34.25), nil)}},
		{"a gap longer than the limb", "lower[0]", Braced{From: FromString, Readings: readings(nil, row(33.3))}},
		{"a gap of 0", "", Braced{From: FromString, Readings: readings(row(0), nil)}},
		{"a gap below 0", "upper[0]", Braced{From: FromString, Readings: readings(row(-.01), nil)}},
		{"braced, below the line", "", Braced{From: FromLine, Readings: readings(row(-.01), nil)}},
		{"block", "", block(Block{Length: 6, At: []length{0, 34}, Gaps: readings(row(.1, 3), row(-.1))})},
		{"block of 0", "block.length", block(Block{At: []length{4}})},
		{"block longer than the limb", "block.length", block(Block{Length: 34.1})},
		{"block beyond the limb", "block.at[1]", block(Block{Length: 6, At: []length{4, 34.1}})},
		{"block inside the handle", "block.at[0]", block(Block{Length: 6, At: []length{-1}})},
		{"gap of more than half the block", "block.upper[0]", block(Block{Length: 6, At: []length{4}, Gaps: readings(row(3.1), nil)})},
		{"more gaps than places", "block.lower", block(Block{Length: 6, At: []length{4}, Gaps: readings(nil, row(0, 0))})},
		{"101 places", "block.at", block(Block{Length: 6, At: every(.3, 101)})},
		{"draw of the whole bow", "", Pull{Draw: 71, From: FromLine}},
		{"draw beyond the bow", "draw", Pull{Draw: 71.1, From: FromLine}},
		{"draw 0", "draw", Pull{Draw: 0, From: FromLine}},
		{"peak 399.9", "", Pull{Draw: 20, Peak: pounds(399.9), From: FromLine}},
		{"peak 400", "peak", Pull{Draw: 20, Peak: pounds(400), From: FromLine}},
		{"held 3 s", "", Pull{Draw: 20, Held: measure.Some(3 * time.Second), From: FromLine}},
		{"held 0", "held", Pull{Draw: 20, Held: measure.Some(time.Duration(0)), From: FromLine}},
		{"held 11 minutes", "held", Pull{Draw: 20, Held: measure.Some(11 * time.Minute), From: FromLine}},
		{"peak 0", "peak", Pull{Draw: 20, Peak: pounds(0), From: FromLine}},
		{"peak Inf", "peak", Pull{Draw: 20, Peak: pounds(measure.Force(math.Inf(1))), From: FromLine}},
		{"drawn past the line", "upper[3]", Pull{Draw: 20, From: FromLine, Readings: readings(row(0, 0, 0, 34.3), nil)}},
		{"whole limb scraped", "", Scrape{Limb: Lower, From: 0, To: 33.25}},
		{"scraped beyond the nock", "to", Scrape{Limb: Lower, From: 0, To: 33.3}},
		{"scraped in the handle", "from", Scrape{Limb: Upper, From: -.1, To: 4}},
		{"scraped from the nock", "from", Scrape{Limb: Upper, From: 34, To: 34.1}},
		{"scraped nowhere", "to", Scrape{Limb: Upper, From: 4, To: 4}},
		{"depth 12", "", Scrape{From: 4, To: 6, Depth: some(12)}},
		{"depth below 0", "depth", Scrape{From: 4, To: 6, Depth: some(-.01)}},
		{"nearly all of the depth", "", Scrape{From: 4, To: 6, DepthShare: measure.Some(.99)}},
		{"all of the depth", "depth_share", Scrape{From: 4, To: 6, DepthShare: measure.Some(1.0)}},
		{"a share that is none", "depth_share", Scrape{From: 4, To: 6, DepthShare: measure.Some(math.NaN())}},
		{"strokes below 0", "strokes", Scrape{From: 4, To: 6, Strokes: measure.Some(-1)}},
		{"a tool's name of 401 bytes", "tool", Scrape{From: 4, To: 6, Tool: long[:401]}},
		{"30 pulls", "", Exercise{30}},
		{"pulls below 0", "pulls", Exercise{-1}},
		{"a lifetime of pulls", "pulls", Exercise{100_001}},
		{"a coat", "", Finish{Step: "varnish", Coat: measure.Some(1)}},
		{"a coat below 0", "coat", Finish{Step: "varnish", Coat: measure.Some(-1)}},
		{"a step on its own day", "", Finish{Step: "varnish", Coat: measure.Some(1), On: "2027-02-01"}},
		{"a step on no day", "on", Finish{Step: "varnish", On: "2027-02-30"}},
		{"a step before there were books", "on", Finish{Step: "varnish", On: "1066-10-14"}},
		{"grit 0", "grit", Finish{Step: "sanded", Grit: measure.Some(0)}},
		{"a mark of 401 bytes", "text", Finish{Step: "marked", Text: long[:401]}},
		{"a moisture meter", "", Moisture{Where: ShopAir, Content: measure.Some(0.09)}},
		{"9 for 9 %", "content", Moisture{Where: ShopAir, Content: measure.Some(9.0)}},
		{"air", "", Moisture{Where: HomeAir, Celsius: measure.Some(21.0), Humidity: measure.Some(0.3)}},
		{"70 for 70 F", "celsius", Moisture{Where: HomeAir, Celsius: measure.Some(70.0)}},
		{"50 for 50 %", "humidity", Moisture{Where: HomeAir, Humidity: measure.Some(50.0)}},
		{"air of nowhere", "where", Moisture{Humidity: measure.Some(0.5)}},
		{"a note of 64,000 bytes", "", Note{long[:64_000]}},
		{"a note of 64,001 bytes", "text", Note{long}},
		{"void", "", Void{Entry: "a", Why: "rule held at the wrong mark"}},
		{"a reason of 64,001 bytes", "why", Void{Entry: "a", Why: long}},
		{"aside for 64,001 bytes", "why", Rack{Why: long}},
		{"an event of another kind", "", Unknown{"weathervane"}},
	} {
		checkFault(t, c.what, longbow().CheckEvent(c.event), c.field)
	}
}

func TestMessagesSpeakTheBowsOwnUnits(t *testing.T) {
	bow := longbow()
	bow.Units = measure.Units{Length: measure.Centimetre, Force: measure.KilogramForce}
	for want, err := range map[string]error{
		"a draw is above 0 and within the bow's own 180.3 cm":          bow.checkDraw(90),
		"a weight is above 0 and under 181.4 kg":                       bow.checkWeight(500),
		"50.8 is beyond the bow: at 20.3 cm it can be 20.3 cm at most": bow.checkReading(FromLine, Upper, 1, 20),
	} {
		if err == nil || err.Error() != want {
			t.Errorf("%v; want %s", err, want)
		}
	}
}

func TestNoEventFitsABowThatDoesNotFitTheLargest(t *testing.T) {
	largest := Largest(measure.Imperial())
	if err := largest.CheckEvent(Scrape{Limb: Upper, From: 100, To: 120}); err != nil {
		t.Error(err)
	}
	checkFault(t, "a reading", largest.CheckEvent(Relaxed{Readings: Readings{row(121), nil}}), "upper[0]")
	many := Relaxed{Readings: Readings{nil, make([]measure.Optional[length], 101)}}
	checkFault(t, "101 readings", largest.CheckEvent(many), "lower")
}

func TestAFieldErrorIsSeenFromOutside(t *testing.T) {
	for _, c := range []struct{ field, path, want string }{
		{"peak", "entries[2]", "entries[2].peak: w"},
		{"[3]", "upper", "upper[3]: w"},
		{"", "bow", "bow: w"},
		{"peak", "", "peak: w"},
		{"", "", "w"},
	} {
		if got := (&FieldError{c.field, "w"}).Within(c.path).Error(); got != c.want {
			t.Errorf("%q within %q is %q, want %q", c.field, c.path, got, c.want)
		}
	}
}
