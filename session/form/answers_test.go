package form

import (
	"math"
	"reflect"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/session"
)

// readBows are all bows whose rule and scale show their steps without loss.
func readBows(t *rapid.T) model.Bow {
	b := drawBow(t)
	b.Rule, b.Scale = 0, 0
	if b.Units.Length == measure.Inch {
		b.Rule = rapid.SampledFrom([]measure.Length{0, 1.0 / 8, 1.0 / 32, 0.1}).Draw(t, "rule")
	}
	return b
}

// isBow says whether what was drawn may be a bow.
func isBow(b model.Bow) bool { return b.Check() == nil }

// drawRows are readings on the marks of the bow's rule, some left out.
func drawRows(t *rapid.T, b model.Bow, from model.Datum, least float64) model.Readings {
	var r model.Readings
	for _, side := range model.Sides {
		for i, at := range b.Limbs[side].Stations {
			if from == model.FromString {
				at = b.Limbs[side].Length
			}
			l := b.Ruler().Round(measure.Length(rapid.Float64Range(least*float64(at), float64(at)).Draw(t, "reading")))
			if b.CheckReading(from, side, i, l) != nil || rapid.IntRange(0, 3).Draw(t, "read") == 0 {
				r[side] = append(r[side], measure.Optional[measure.Length]{})
			} else {
				r[side] = append(r[side], measure.Some(l))
			}
		}
	}
	return r
}

// typeIn types an answer as the bow's own rule prints it, and again where it is asked about.
func typeIn(t *rapid.T, s *Sheet, text string) {
	q, _ := s.Current()
	got := s.Answer(text)
	if got.State == Asked {
		if again, _ := s.Current(); again.Name != q.Name {
			t.Fatalf("%s was asked about and yet passed", q.Label)
		}
		got = s.Answer(text)
	}
	if got.State != Taken {
		t.Fatalf("%s: %q is not taken: %+v", q.Label, text, got)
	}
}

func typeRows(t *rapid.T, s *Sheet, b model.Bow, r model.Readings) {
	for _, side := range model.Sides {
		for i := range b.Limbs[side].Stations {
			text := ""
			if l, known := r.At(side, i).Get(); known {
				text = b.Ruler().Print(l)
			}
			typeIn(t, s, text)
		}
	}
}

// sameRows says whether readings agree to the last digit that can be typed; unread stays unread.
func sameRows(a, b model.Readings) bool {
	for _, side := range model.Sides {
		for i := range max(len(a[side]), len(b[side])) {
			x, xKnown := a.At(side, i).Get()
			y, yKnown := b.At(side, i).Get()
			if xKnown != yKnown || math.Abs(float64(x-y)) > 1e-9 {
				return false
			}
		}
	}
	return true
}

func TestAnswersAsTheRulePrintsThemMakeTheEventThatWasMeant(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := rapid.Custom(readBows).Filter(isBow).Draw(t, "bow")
		story, err := tell(b)
		if err != nil {
			t.Fatal(err)
		}
		b = story.Bow()
		near := func(a, b float64) bool { return math.Abs(a-b) < 1e-9 }
		switch rapid.IntRange(0, 2).Draw(t, "form") {
		case 0:
			meant := model.Pull{From: model.FromLine, Readings: drawRows(t, b, model.FromLine, 0)}
			meant.Draw = b.Ruler().Round(measure.Length(rapid.Float64Range(1, float64(b.Length())-1).Draw(t, "draw")))
			peak := b.Weigher().Print(measure.Force(rapid.Float64Range(1, 399).Draw(t, "peak")))
			s := Pull(story)
			typeIn(t, s, b.Ruler().Print(meant.Draw))
			typeIn(t, s, peak)
			typeRows(t, s, b, meant.Readings)
			outcome, err := s.Finish()
			got, isPull := outcome.Event.(model.Pull)
			if err != nil || !isPull || !near(float64(got.Draw), float64(meant.Draw)) || b.Weigher().Print(got.Peak.Or(0)) != peak || !sameRows(got.Readings, meant.Readings) {
				t.Fatalf("meant %+v, got %+v (%v)", meant, got, err)
			}
			if _, err := tell(b, got); err != nil {
				t.Fatalf("the bench refuses what the sheet took: %v", err)
			}
		case 1:
			meant := model.Braced{From: model.FromString, Readings: drawRows(t, b, model.FromString, 0)}
			meant.Height = measure.Some(b.Ruler().Round(measure.Length(rapid.Float64Range(1, float64(b.Length())/2-1).Draw(t, "height"))))
			s := Braced(story)
			typeIn(t, s, b.Ruler().Print(meant.Height.Or(0)))
			typeRows(t, s, b, meant.Readings)
			outcome, err := s.Finish()
			got, isBraced := outcome.Event.(model.Braced)
			if err != nil || !isBraced || !near(float64(got.Height.Or(0)), float64(meant.Height.Or(0))) || !sameRows(got.Readings, meant.Readings) {
				t.Fatalf("meant %+v, got %+v (%v)", meant, got, err)
			}
		default:
			meant := drawRows(t, b, model.FromLine, -1)
			s := Relaxed(story)
			typeRows(t, s, b, meant)
			outcome, err := s.Finish()
			if !meant.Any() {
				if err == nil {
					t.Fatal("a reading of nothing was taken")
				}
				return
			}
			got, isRelaxed := outcome.Event.(model.Relaxed)
			if err != nil || !isRelaxed || !sameRows(got.Readings, meant) {
				t.Fatalf("meant %+v, got %+v (%v)", meant, got, err)
			}
		}
	})
}

func TestPullInTheOrderInWhichOneWalksRoundTheBow(t *testing.T) {
	s := Pull(storyOf(t, ash()))
	var labels []string
	for _, q := range s.Questions {
		labels = append(labels, q.Group+" "+q.Label)
	}
	want := []string{"pull draw", "pull peak", "upper limb 6 in", "upper limb 8 in", "upper limb 12 in", "lower limb 6 in", "lower limb 8 in", "lower limb 12 in"}
	if !reflect.DeepEqual(labels, want) {
		t.Errorf("the questions are %q, want %q", labels, want)
	}
	if s.Caution != PullCaution {
		t.Errorf("the caution is %q", s.Caution)
	}
}

func TestEnterAloneLeavesAReadingOut(t *testing.T) {
	s := Pull(storyOf(t, ash()))
	if got := s.Answer(""); got.State != Refused || !strings.HasPrefix(got.Says, "draw is needed: ") {
		t.Errorf("a pull without its draw: %+v", got)
	}
	answered(t, s, "18", "", "3/8", "", "1-1/4", "", "", "")
	outcome, err := s.Finish()
	want := model.Pull{Draw: 18, From: model.FromLine, Readings: model.Readings{
		{measure.Some[measure.Length](0.375), {}, measure.Some[measure.Length](1.25)}, {},
	}}
	if err != nil || !reflect.DeepEqual(outcome.Event, model.Event(want)) || !s.Done() {
		t.Errorf("the pull is %#v (%v), want %#v", outcome.Event, err, want)
	}
	s = Pull(storyOf(t, ash()))
	answered(t, s, "18")
	if outcome, err := s.Finish(); err != nil || outcome.Event.(model.Pull).Readings.Any() {
		t.Errorf("a pull of which only the draw is known: %#v (%v)", outcome.Event, err)
	}
}

func TestReadingsAreRefusedInTheirFieldWithWhatWouldBeAccepted(t *testing.T) {
	story := storyOf(t, ash())
	for _, c := range []struct {
		sheet               *Sheet
		question, bad, says string
	}{
		{Pull(story), "draw", "far", "a length is written 6 3/8, 6-3/8, 6.375, 6⅜ or 162mm"},
		{Pull(story), "draw", "-18", "above 0 and within the bow's own 71 in"},
		{Pull(story), "draw", "72", "within the bow's own 71 in"},
		{Pull(story), "draw", "18lb", "a length is written"},
		{Pull(story), "peak", "heavy", "a weight is written 36, 36.5, 36 1/2, 36lb or 16.3kg"},
		{Pull(story), "peak", "0", "above 0 and under 400.0 lb"},
		{Pull(story), "peak", "400", "under 400.0 lb"},
		{Pull(story), "upper.0", "-1/4", "not below 0"},
		{Pull(story), "upper.0", "6 1/2", "6 1/2 is beyond the bow: at 6 in it can be 6 in at most"},
		{Pull(story), "lower.2", "6 3/", "a length is written"},
		{Pull(story), "lower.2", "1e1", "a length is written"},
		{Braced(story), "height", "36", "within half the bow"},
		{Braced(story), "height", "0", "above 0"},
		{Braced(story), "upper.1", "-1", "not below 0"},
		{Braced(story), "lower.1", "33 1/2", "it can be 33 in at most"},
		{Relaxed(story), "upper.2", "-12 1/2", "it can be 12 in at most"},
		{Scrape(story), "limb", "left", "expected 1 upper, 2 lower"},
		{Exercise(story), "pulls", "0", "a whole number from 1 to 100000"},
		{Exercise(story), "pulls", "many", "a whole number from 1"},
		{StringLength(story), "length", "0", "1"},
	} {
		for q, ok := c.sheet.Current(); ok && q.Name != c.question; q, ok = c.sheet.Current() {
			answered(t, c.sheet, map[string]string{"draw": "18"}[q.Name])
		}
		at := c.sheet.At()
		if got := c.sheet.Answer(c.bad); got.State != Refused || !strings.Contains(got.Says, c.says) {
			t.Errorf("%s %q: %+v, want it refused with %q", c.question, c.bad, got, c.says)
		}
		if _, given := c.sheet.Given(at); c.sheet.At() != at || given {
			t.Errorf("%s %q: the sheet went on, or kept it", c.question, c.bad)
		}
	}
}

func TestScrapeIsJudgedByTheLimbItIsOn(t *testing.T) {
	story := storyOf(t, ash())
	for _, c := range []struct {
		answers   []string
		bad, says string
	}{
		{[]string{"2"}, "33", "from 0 to under its 33 in"}, {[]string{"1"}, "-1", "from 0"}, {[]string{"upper", "12"}, "12", "farther out"},
		{[]string{"l", "12"}, "34", "within the limb's 33 in"}, {[]string{"u", "0", "34", ""}, "-1", "a whole number from 0"},
		{[]string{"u", "0", "34", "rasp", "12"}, "-0.01", "from 0"}, {[]string{"u", "0", "34", "rasp", "12"}, "13", "12 in"},
	} {
		s := Scrape(story)
		answered(t, s, c.answers...)
		if got := s.Answer(c.bad); got.State != Refused || !strings.Contains(got.Says, c.says) {
			t.Errorf("%q, then %q: %+v, want it refused with %q", c.answers, c.bad, got, c.says)
		}
	}
	s := Scrape(story)
	answered(t, s, "1", "10", "33 3/4", "", "14", "0.01")
	outcome, err := s.Finish()
	want := model.Scrape{Limb: model.Upper, From: 10, To: 33.75, Tool: "scraper", Strokes: measure.Some(14), Depth: measure.Some[measure.Length](0.01)}
	if err != nil || !reflect.DeepEqual(outcome.Event, model.Event(want)) {
		t.Errorf("the scrape is %#v (%v), want %#v", outcome.Event, err, want)
	}
	// On the shorter limb that is too far.
	s.Go(0)
	answered(t, s, "2")
	if _, err := s.Finish(); err == nil || s.Questions[s.At()].Name != "to" || !strings.Contains(err.Error(), "33 in") {
		t.Errorf("on the other limb the sheet says %v and stands at question %d", err, s.At())
	}
	// The tool is the last one's.
	s = Scrape(storyOf(t, ash(), model.Scrape{From: 1, To: 2, Tool: "rasp"}, model.Scrape{From: 1, To: 2}))
	for _, q := range s.Questions {
		if q.Name == "tool" && q.Preset != "scraper" {
			t.Errorf("after a scrape without a tool the preset is %q", q.Preset)
		}
	}
}

func TestRelaxedBowMayLieBelowTheLine(t *testing.T) {
	s := Relaxed(storyOf(t, ash()))
	answered(t, s, "-1/8", "0", "−¼", "", "+1/16", "")
	outcome, err := s.Finish()
	if got, want := outcome.Event, (model.Relaxed{Readings: model.Readings{
		{measure.Some[measure.Length](-0.125), measure.Some[measure.Length](0), measure.Some[measure.Length](-0.25)},
		{{}, measure.Some[measure.Length](0.0625)},
	}}); err != nil || !reflect.DeepEqual(got, model.Event(want)) {
		t.Errorf("the reading is %#v (%v), want %#v", got, err, want)
	}
}

func TestBracedNeedsAHeightOrAGap(t *testing.T) {
	s := Braced(storyOf(t, ash()))
	answered(t, s, "", "", "", "", "", "", "")
	if _, err := s.Finish(); err == nil || !strings.Contains(err.Error(), "type the brace height or a gap") {
		t.Errorf("a braced reading of nothing: %v", err)
	}
	s.Go(0)
	answered(t, s, "5 3/4")
	if outcome, err := s.Finish(); err != nil || outcome.Event.(model.Braced).Height.Or(0) != 5.75 {
		t.Errorf("a brace height alone: %#v (%v)", outcome.Event, err)
	}
}

func TestSmallSheets(t *testing.T) {
	story := storyOf(t, ash())
	for _, c := range []struct {
		sheet   *Sheet
		answers []string
		want    model.Event
	}{
		{Exercise(story), []string{""}, model.Exercise{Pulls: 20}},
		{Exercise(story), []string{"12"}, model.Exercise{Pulls: 12}},
		{Note(story), []string{"  dry, ½ in of reflex "}, model.Note{Text: "dry, ½ in of reflex"}},
		{StringLength(story), []string{"69 3/4"}, model.StringLength{Length: 69.75}},
		{Void("x", "pull to 18 in"), []string{"wrong mark"}, model.Void{Entry: "x", Why: "wrong mark"}},
		{Aside(), []string{""}, model.Rack{}},
		{Aside(), []string{"horn ordered"}, model.Rack{Why: "horn ordered"}},
	} {
		answered(t, c.sheet, c.answers...)
		if outcome, err := c.sheet.Finish(); err != nil || !reflect.DeepEqual(outcome.Event, c.want) {
			t.Errorf("%s %q: %#v (%v), want %#v", c.sheet.Form, c.answers, outcome.Event, err, c.want)
		}
	}
}

func TestATextBehindAWholeChoiceBeginsAnother(t *testing.T) {
	q := Question{Choices: []string{"as described", "hand", "handed over"}}
	for _, c := range []struct {
		text, more string
		anew       bool
	}{
		{"as described", "c", true}, {"as described", "as", true}, {"Hand", "l", true},
		{"hand", "e", false}, {"hand", "ed", false}, {"as", " ", false}, {"xyz", "c", false}, {"", "c", false},
	} {
		if got := q.BeginsAnew(c.text, c.more); got != c.anew {
			t.Errorf("%q behind %q begins another answer: %t", c.more, c.text, got)
		}
	}
	if (Question{}).BeginsAnew("ash", "x") {
		t.Error("a free answer goes on")
	}
}

func TestChooseByPlaceSelfOrStart(t *testing.T) {
	choices := []string{"horn nocks fitted", "handle", "handed over", "hand"}
	for text, want := range map[string]string{
		"1": choices[0], "4": "hand", "HANDLE": "handle", "hand": "hand", "hande": "handed over", " horn ": choices[0], "hor": choices[0],
	} {
		if got, ok := choose(choices, text); !ok || got != want {
			t.Errorf("%q chooses %q (%t), want %q", text, got, ok, want)
		}
	}
	for _, text := range []string{"", "h", "han", "0", "5", "x", "handle bar"} {
		if got, ok := choose(choices, text); ok {
			t.Errorf("%q chooses %q", text, got)
		}
	}
}

// TestWhatItWasLastTimeStandsBeside compares with the last reading in the same pose, in whichever pass.
func TestWhatItWasLastTimeStandsBeside(t *testing.T) {
	at18 := model.Pull{Draw: 18, Peak: measure.Some[measure.Force](22), From: model.FromString, Readings: model.Readings{{measure.Some[measure.Length](3.25)}}}
	story := storyOf(t, ash(), at18, model.Scrape{From: 4, To: 12}, model.Braced{Height: measure.Some[measure.Length](5.75), From: model.FromString}, model.StringLength{Length: 69.75})
	was := func(s *Sheet, name string) string {
		for i, q := range s.Questions {
			if q.Name == name {
				return s.Was(i)
			}
		}
		return "no such question"
	}
	s := Pull(story)
	if got := was(s, "upper.0"); got != "" {
		t.Errorf("before the draw is known the reading was %q", got)
	}
	answered(t, s, "18 1/16")
	if got := [3]string{was(s, "draw"), was(s, "peak"), was(s, "upper.0")}; got != [3]string{"18", "22.0", "3 1/4"} {
		t.Errorf("draw, peak and the first reading were %q", got)
	}
	if got := was(s, "upper.1"); got != "" {
		t.Errorf("a station that was not read was %q", got)
	}
	if outcome, err := s.Finish(); err != nil || outcome.Event.(model.Pull).From != model.FromString {
		t.Errorf("the next pass's pull is %#v (%v), want it measured to the string, as before", outcome.Event, err)
	}
	if got := [2]string{was(Braced(story), "height"), was(StringLength(story), "length")}; got != [2]string{"5 3/4", "69 3/4"} {
		t.Errorf("brace height and string were %q", got)
	}
	if got := was(Pull(session.Story{Desc: story.Desc, Passes: []session.Pass{{}}}), "draw"); got != "" {
		t.Errorf("the first draw was %q", got)
	}
}
