package form

import (
	"maps"
	"math"
	"reflect"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"bendbook/model"
	"bendbook/model/date"
	"bendbook/model/measure"
	"bendbook/session"
)

// isBow says whether what was drawn may be a bow.
func isBow(b model.Bow) bool { return b.Check() == nil }

func TestAnswersAsTheRulePrintsThemMakeTheEventThatWasMeant(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := rapid.Custom(drawBow).Filter(isBow).Draw(t, "bow")
		b.Rule = 0
		if b.Units.Length == measure.Inch {
			b.Rule = rapid.SampledFrom([]measure.Length{0, 1.0 / 8, 1.0 / 32, 0.1}).Draw(t, "rule")
		}
		story := storyOf(t, b)
		b = story.Bow()
		s := rapid.SampledFrom([]func(session.Story) *Sheet{Pull, Braced, relaxedKind().Of}).Draw(t, "form")(story)
		stations, meant := placesOf(b), make(map[string]measure.Length)
		for q, ok := s.Current(); ok; q, ok = s.Current() {
			name, least, most := q.Name, 0.0, float64(stations[q.Name])/2
			if most == 0 {
				name, least, most = "first", 1, float64(b.Length())/2-1
			}
			l := b.Ruler().Round(measure.Length(rapid.Float64Range(least, most).Draw(t, q.Name)))
			text := b.Ruler().Print(l)
			if q.Name == "peak" || q.Name == stringName || name != "first" && rapid.IntRange(0, 3).Draw(t, "left out") == 0 {
				text = ""
			} else {
				meant[name] = l
			}
			if got := s.Answer(text); got.State == Refused || got.State == Asked && s.Answer(text).State != Taken {
				t.Fatalf("%s: %q is not taken: %+v", q.Label, text, got)
			}
		}
		if len(meant) == 0 {
			return
		}
		event := finished(t, s).Event
		if err := b.CheckEvent(event); err != nil {
			t.Fatalf("the bench refuses what the sheet took: %v", err)
		}
		same := func(a, b measure.Length) bool { return math.Abs(float64(a-b)) < 1e-9 }
		if !maps.EqualFunc(readIn(event), meant, same) {
			t.Fatalf("meant %v, got %+v", meant, event)
		}
	})
}

// placesOf are a bow's stations by the names of their questions.
func placesOf(b model.Bow) map[string]measure.Length {
	all := make(map[string]measure.Length)
	for _, side := range model.Sides {
		for i, at := range b.Limbs[side].Stations {
			all[stationName(side, i)] = at
		}
	}
	return all
}

// readIn is what an event reads: first the draw or the brace height, then by the questions of the stations.
func readIn(event model.Event) map[string]measure.Length {
	all := make(map[string]measure.Length)
	var read model.Readings
	switch e := event.(type) {
	case model.Pull:
		all["first"], read = e.Draw, e.Readings
	case model.Braced:
		all["first"], read = e.Height.Or(0), e.Readings
	case model.Relaxed:
		read = e.Readings
	}
	for _, side := range model.Sides {
		for i, l := range read[side] {
			if l.Known() {
				all[stationName(side, i)] = l.Or(0)
			}
		}
	}
	return all
}

// Enter alone takes what is offered, or leaves out; a relaxed bow may lie below the line.
func TestEachFormMakesItsEntry(t *testing.T) {
	now := time.Date(2027, 2, 3, 8, 0, 0, 0, time.FixedZone("east", 10*3600))
	story := storyOf(t, ash())
	rasped := storyOf(t, ash(), model.Scrape{From: 1, To: 2, Tool: "rasp"})
	coat := model.Finish{Step: "varnish", Coat: measure.Some(1)}
	onDay := func(day model.Day) model.Finish { f := coat; f.On = day; return f }
	today := func() *Sheet { return OnDay(coat, "varnish", now, date.ISO) }
	home := model.Moisture{Where: model.HomeAir, Celsius: measure.Some(20.0), Humidity: measure.Some(0.5)}
	for _, c := range []struct {
		sheet   *Sheet
		answers []string
		want    model.Event
	}{
		{Pull(story), []string{"2", "18"},
			model.Pull{String: model.BracedString, Draw: 18, From: model.FromLine, Readings: unread()}},
		{Pull(story), []string{"73 1/2", "18"}, model.Pull{String: model.LongString, StringLength: some(73.5),
			Draw: 18, From: model.FromLine, Readings: unread()}},
		{Pull(story), []string{"", "18", "", "3/8", "", "1-1/4", "", "", ""}, model.Pull{
			String: model.LongString, Draw: 18, From: model.FromLine, Readings: model.Readings{{some(0.375), {}, some(1.25)}, {}},
		}},
		{Braced(story), []string{"5 3/4"},
			model.Braced{Height: some(5.75), From: model.FromString, Readings: unread()}},
		{relaxedKind().Of(story), []string{"-1/8", "0", "−¼", "", "+1/16", ""}, model.Relaxed{
			Readings: model.Readings{{some(-0.125), some(0), some(-0.25)}, {{}, some(0.0625)}},
		}},
		{scrapeSheet(story), []string{"1", "10", "33 3/4", "", "14", "0.01"}, model.Scrape{
			Limb: model.Upper, From: 10, To: 33.75, Tool: "scraper", Strokes: measure.Some(14), Depth: some(0.01),
		}},
		{scrapeSheet(rasped), []string{"1", "10", "33 3/4"}, model.Scrape{Limb: model.Upper, From: 10, To: 33.75,
			Tool: "rasp"}}, // the last one's
		{exerciseKind().Of(story), []string{""}, model.Exercise{Pulls: 20}},
		{noteKind().Of(story), []string{"  dry, ½ in of reflex "}, model.Note{Text: "dry, ½ in of reflex"}},
		{stringKind().Of(story), []string{"69 3/4"}, model.StringLength{Length: 69.75}},
		{Void("x", "pull to 18 in"), []string{"wrong mark"}, model.Void{Entry: "x", Why: "wrong mark"}},
		{Aside(story), []string{""}, model.Rack{}},
		{Aside(story), []string{"horn ordered"}, model.Rack{Why: "horn ordered"}},
		{today(), []string{""}, coat},
		{today(), []string{"2027-02-03"}, coat},
		{today(), []string{"-1"}, onDay("2027-02-02")},
		{today(), []string{"2027-01-31"}, onDay("2027-01-31")},
		{Weigh(story), []string{"", "36"}, model.Pull{
			Draw: 28, Peak: force(36), From: model.FromLine, Readings: unread(),
		}},
		{Moisture(story), []string{"", "9"}, model.Moisture{Where: model.ShopAir, Content: measure.Some(0.09)}},
		{Moisture(story), []string{"2", "", "68", "50%"}, home},
		{Moisture(story), []string{"customer", "", "20 °C", "50"}, home},
	} {
		answered(t, c.sheet, c.answers...)
		if o, err := c.sheet.Finish(); err != nil || !reflect.DeepEqual(o.Event, c.want) {
			t.Errorf("%s %q: %#v (%v), want %#v", c.sheet.Form, c.answers, o.Event, err, c.want)
		}
	}
}

func TestWhatCannotBeIsRefusedInItsFieldWithWhatWouldBeAccepted(t *testing.T) {
	story := storyOf(t, ash())
	now := time.Date(2027, 2, 3, 8, 0, 0, 0, time.UTC)
	type given map[string]string
	for _, c := range []struct {
		sheet func() *Sheet
		given given
		rows  [][3]string // question, answer, what is said
	}{
		{func() *Sheet { return Pull(story) }, given{"draw": "18"}, [][3]string{
			{"string", "18", "type 1 for long, 2 for braced"}, {"string", "none", "or its length"},
			{"draw", "", "draw is needed: "},
			{"draw", "far", "a length is written 6 3/8, 6-3/8, 6.375, 6⅜ or 162mm"},
			{"draw", "-18", "above 0 and within the bow's own 71 in"}, {"draw", "72", "within the bow's own 71 in"},
			{"draw", "18lb", "a length is written"},
			{"peak", "heavy", "a weight is written 36, 36.5, 36 1/2, 36lb or 16.3kg"},
			{"peak", "0", "above 0 and under 400.0 lb"}, {"peak", "400", "under 400.0 lb"},
			{"upper.0", "-1/4", "be below 0"}, {"lower.2", "6 3/", "a length is written"},
			{"upper.0", "6 1/2", "6 1/2 is beyond the bow: at 6 in it can be 6 in at most"},
		}},
		{func() *Sheet { return Braced(story) }, nil, [][3]string{
			{"height", "36", "within half the bow"}, {"height", "0", "above 0"}, {"upper.1", "-1", "be below 0"},
			{"lower.1", "33 1/2", "it can be 33 in at most"},
		}},
		{func() *Sheet { return relaxedKind().Of(story) }, nil, [][3]string{
			{"upper.2", "-12 1/2", "it can be 12 in at most"},
		}},
		{func() *Sheet { return exerciseKind().Of(story) }, nil, [][3]string{
			{"pulls", "0", "a whole number from 1 to 100000"}, {"pulls", "many", "a whole number from 1"},
		}},
		{func() *Sheet { return stringKind().Of(story) }, nil, [][3]string{{"length", "0", "1"}}},
		{func() *Sheet { return scrapeSheet(story) }, given{"limb": "2", "from": "12"}, [][3]string{
			{"limb", "left", "choose 1 upper, 2 lower"}, {"from", "33", "from 0 to under its 33 in"},
			{"from", "-1", "from 0"}, {"to", "12", "farther out"}, {"to", "34", "within the limb's 33 in"},
		}},
		{func() *Sheet { return scrapeSheet(story) }, given{"limb": "u", "from": "0", "to": "34"}, [][3]string{
			{"strokes", "-1", "a whole number from 0"}, {"depth", "-0.01", "from 0"}, {"depth", "13", "12 in"},
		}},
		{func() *Sheet { return OnDay(model.Finish{Step: "varnish"}, "varnish", now, date.ISO) }, nil, [][3]string{
			{"day", "2027-02-04", "still to come"}, {"day", "2027-02-30", "isn't a date"},
			{"day", "yesterday", "-1 for yesterday"}, {"day", "1", "isn't a date"}, {"day", "1066-10-14", "too long ago"},
		}},
		{func() *Sheet { return Moisture(story) }, nil, [][3]string{
			{"content", "90", "percentage from 0 to 60"}, {"humidity", "100", "percentage from 0 to 98"},
			{"humidity", "NaN", "percentage"}, {"warmth", "200", "isn't a shop's temperature"}, {"warmth", "70C", "isn't a shop's temperature"},
		}},
		{func() *Sheet { return Weigh(story) }, nil, [][3]string{
			{"peak", "400", "under 400"}, {"peak", "", "is needed"},
		}},
		{func() *Sheet { return newBow(practice{}) }, given{"more": "more"}, [][3]string{
			{"stations", "every 4", "comes first"}, // the length may be passed over and come later
			{"name", "", "name is needed"}, {"length", "", "nock to nock is needed"}, {"length", "3", "above 0"},
		}},
		{func() *Sheet { return newBow(practice{}) }, given{"name": "Ash", "length": "72", "more": "more", "upper": "34"}, [][3]string{
			{"name", strings.Repeat("x", 401), "too long"}, {"draw", "far", "a length is written 6 3/8"},
			{"draw", "-28", "above 0"}, {"weight", "400", "above 0 and under 400"},
			{"weight", "40in", "a weight is written 36"}, {"allow", "-2", "either side"},
			{"due", "soon", "2027-02-01"}, {"due", "2027-02-30", "2027-02-01"},
			{"draw_to", "b", "it could be 1 belly, 2 back"}, {"draw_to", "nose", "1 belly, 2 back, 3 pivot+1.75"},
			{"handle", "-4", "from 0 to 60 in"}, {"handle", "61", "60 in"}, {"handle_depth", "13", "12 in"},
			{"section", "round", "1 D"}, {"upper", "0", "above 0, 120 in at most"}, {"upper", "121", "120 in"},
			{"lower", "0", "above 0"}, {"tiller", "90", "34 in"}, {"tiller_at", "35", "from 0 to 34 in"},
			{"rule", "3", "2 in"}, {"rule", "-1/16", "2 in"}, {"scale", "21", "20"}, {"scale", "-1", "step"},
			{"stations", "6, 40", "40 lies beyond the upper limb's 34 in"}, {"stations", "8, 6", "6 does not"},
			{"stations", "6, 6", "6 does not"}, {"stations", "-6", "-6 does not"},
			{"stations", "six", "a length is written"}, {"stations", ",", "type places like 6, 8, 12 or every 4"},
			{"stations", "every 0", "above 0, within the limb's 34 in"}, {"stations", "every 35", "the limb's 34 in"},
			{"stations", "every 1/16", "too many: type 100"}, {"stations", "every", "a length is written"},
			{"bend", "flat", "choose 1 full compass"},
		}},
	} {
		for _, row := range c.rows {
			s := c.sheet()
			fill(t, s, c.given)
			s.goTo(s.index(row[0]))
			at := s.At()
			was, _ := s.Given(at)
			if got := s.Answer(row[1]); got.State != Refused || !strings.Contains(got.Says, row[2]) {
				t.Errorf("%s %q: %+v, want it refused with %q", row[0], row[1], got, row[2])
			}
			if is, _ := s.Given(at); s.At() != at || is != was {
				t.Errorf("%s %q: the sheet went on, or kept it", row[0], row[1])
			}
		}
	}
}

// = takes what it was last time, + and - a mark more or less, and the rule's denominator goes without
// saying; what they mean stands on the sheet, and in the pull. On a line of values 1 and 7 are two.
func TestWhatIsTypedInShort(t *testing.T) {
	story := storyOf(t, ash(), model.Pull{Draw: 18, Peak: force(22), From: model.FromLine,
		Readings: model.Readings{{some(0.75), some(1.5)}}})
	s := Pull(story)
	answered(t, s, "=", "=", "11/", "=")
	for text, says := range map[string]string{
		"=": "no value from last time", "+": "no value from last time", "3 16": "type 15 at most, or the next whole number", "16/": "one or more",
	} {
		if got := s.Answer(text); got.State != Refused || !strings.Contains(got.Says, says) {
			t.Errorf("%q: %+v, want it refused: %q", text, got, says)
		}
	}
	for text, want := range map[string]string{"=": "1 1/2", "++": "1 5/8", "=++": "1 5/8", "-": "1 7/16"} {
		s.goTo(s.index("upper.1"))
		answered(t, s, text)
		same(t, text, s.answers["upper.1"], want)
	}
	s.goTo(s.index("upper.1"))
	answered(t, s, "=", "3 8", "", "1 1/2")
	s.leave("3 7") // as with the arrow key
	for i, want := range []string{"18", "22.0", "11/16", "1 1/2", "3 1/2", "", "1 1/2", "3 7"} {
		if got, _ := s.Given(i + s.begins); got != want {
			t.Errorf("at question %d stands %q, want %q", i, got, want)
		}
	}
	want := model.Event(model.Pull{Draw: 18, Peak: force(22), From: model.FromLine,
		Readings: model.Readings{{some(0.6875), some(1.5), some(3.5)}, {{}, some(1.5), some(3.4375)}}})
	if got := finished(t, s).Event; !reflect.DeepEqual(got, want) {
		t.Errorf("it makes %+v, want %+v", got, want)
	}
	pull := must(Pull(story).Line(ash(), "14 21.5 upper 1 7 lower 0 1/16", true))(t).Event.(model.Pull)
	if upper := pull.Readings[model.Upper]; len(upper) != 2 || upper[1].Or(0) != 7 || len(pull.Readings[1]) != 2 {
		t.Errorf("on a line 1 7 is read as %v", pull.Readings)
	}
}

func TestAFormWithNothingReadIsNotSaved(t *testing.T) {
	bow, answer := ash(), "0.9"
	bow.Limbs[model.Upper].Depths = []maybeLength{some(0.9)}
	story := storyOf(t, bow)
	known := sizesSheet(story)
	answered(t, known, answer)
	for says, s := range map[string]*Sheet{
		"type the brace height or a gap": Braced(story), "the last sizes": known,
		"type a distance": relaxedKind().Of(story),
		"typed nothing":   Moisture(story), "nothing was measured": sizesSheet(story), "type a gap": Block(story),
	} {
		if _, err := s.Finish(); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%s: %v", s.Form, err)
		}
	}
}

func TestATextBehindAWholeChoiceBeginsAnother(t *testing.T) {
	q := Question{Choices: []string{"as described", "hand", "handed over"}}
	for _, c := range []struct {
		text, more string
		anew       bool
	}{
		{"as described", "c", true}, {"Hand", "l", true}, {"hand", "e", false}, {"as", " ", false},
		{"xyz", "c", false}, {"", "c", false},
	} {
		same(t, c.more+" behind "+c.text, q.BeginsAnew(c.text, c.more), c.anew)
	}
}

// TestWhatItWasLastTimeStandsBeside compares with the last reading in the same pose, in whichever pass.
func TestWhatItWasLastTimeStandsBeside(t *testing.T) {
	story := storyOf(t, ash(),
		model.Pull{Draw: 18, Peak: force(22), From: model.FromString,
			Readings: model.Readings{{some(3.25)}}},
		model.Scrape{From: 4, To: 12}, model.Braced{Height: some(5.75), From: model.FromString},
		model.StringLength{Length: 69.75})
	check := func(s *Sheet, names, want []string) {
		t.Helper()
		for i, name := range names {
			same(t, name, s.Was(s.index(name)), want[i])
		}
	}
	s := Pull(story)
	check(s, []string{"upper.0"}, []string{""}) // the draw is not known yet
	answered(t, s, "18 1/16")
	check(s, []string{"draw", "peak", "upper.0", "upper.1"}, []string{"18", "22.0", "3 1/4", ""})
	check(Braced(story), []string{"height"}, []string{"5 3/4"})
	check(stringKind().Of(story), []string{"length"}, []string{"69 3/4"})
	check(Pull(storyOf(t, ash())), []string{"draw"}, []string{""})
	same(t, "the next pass's pull is measured to", must(s.Finish())(t).Event.(model.Pull).From, model.FromString)
}
