package form

import (
	"reflect"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"bendbook/model"
	"bendbook/model/measure"
)

func lengths(row []measure.Length) []float64 {
	out := make([]float64, len(row))
	for i, l := range row {
		out[i] = float64(l)
	}
	return out
}

// described answers what is given by name, and all else with Enter alone.
func described(t testing.TB, s *Sheet, given map[string]string) model.Bow {
	t.Helper()
	for !s.Done() {
		q, _ := s.Current()
		answered(t, s, given[q.Name])
	}
	outcome, err := s.Finish()
	if err != nil {
		t.Fatal(err)
	}
	return outcome.Bow
}

func TestNewBowNeedsANameAndALimb(t *testing.T) {
	bow := described(t, NewBow(Practice{}), map[string]string{"name": "Ash", "upper": "34"})
	want := model.Bow{Name: "Ash", Units: measure.Imperial(), Handle: 4, Section: model.SectionD, Order: model.Order{DrawTo: model.ToBelly}, Aim: model.Aim{Bend: "compass"}}
	for _, side := range model.Sides {
		want.Limbs[side] = model.Limb{Length: 34, Stations: []measure.Length{6, 8, 12, 16, 20, 24, 28, 32}}
	}
	if !reflect.DeepEqual(bow, want) {
		t.Errorf("the bow is\n%+v\nwant\n%+v", bow, want)
	}
	s := NewBow(Practice{})
	if got := s.Answer(""); got.State != Refused || !strings.Contains(got.Says, "name is needed") {
		t.Errorf("a bow without a name: %+v", got)
	}
	answered(t, s, "Ash")
	skip(t, s, "upper")
	if got := s.Answer(""); got.State != Refused || !strings.Contains(got.Says, "upper limb is needed") {
		t.Errorf("a bow without limbs: %+v", got)
	}
}

func TestNewBowWithAllThatMayBeAnswered(t *testing.T) {
	bow := described(t, NewBow(Practice{}), map[string]string{
		"name": "Yew", "units": "1", "wood": "yew", "number": "27/1", "for": "Hollis", "draw": "28", "draw_to": "ba", "weight": "45lb", "allow": "2",
		"due": "2027-02-01", "handle": "4 1/4", "handle_depth": "1 1/4", "section": "2", "upper": "34", "lower": "33-1/2", "stations": "6 8 12 1/2",
		"bend": "ell", "tiller": "1/4", "tiller_at": "8", "stiff_tips": "10", "rule": "1/32", "scale": "1/2",
	})
	stations := []measure.Length{6, 8, 12.5}
	want := model.Bow{
		Name: "Yew", Wood: "yew", Number: "27/1", Units: measure.Imperial(), Handle: 4.25, HandleDepth: measure.Some[measure.Length](1.25),
		Section: model.SectionRectangle, Limbs: [2]model.Limb{{Length: 34, Stations: stations}, {Length: 33.5, Stations: stations}},
		Order: model.Order{
			For: "Hollis", Draw: measure.Some[measure.Length](28), DrawTo: model.ToBack, Weight: measure.Some[measure.Force](45),
			Allow: measure.Some[measure.Force](2), Due: "2027-02-01",
		},
		Aim:  model.Aim{Bend: "ellipse", StiffTips: measure.Some[measure.Length](10), Tiller: measure.Some[measure.Length](0.25), TillerAt: measure.Some[measure.Length](8)},
		Rule: 1.0 / 32, Scale: 0.5,
	}
	if !reflect.DeepEqual(bow, want) {
		t.Errorf("the bow is\n%+v\nwant\n%+v", bow, want)
	}
}

func TestStationsFollowTheLimbs(t *testing.T) {
	for _, c := range []struct {
		name, upper, lower, stations string
		wantUpper, wantLower         []float64
	}{
		{"usual, lower shorter", "34", "31 1/2", "", []float64{6, 8, 12, 16, 20, 24, 28, 32}, []float64{6, 8, 12, 16, 20, 24, 28}},
		{"usual on short limbs", "13", "", "", []float64{6, 8, 12}, []float64{6, 8, 12}},
		{"usual on very short limbs", "7", "5", "", []float64{6}, nil},
		{"usual on the longest", "120", "", "", []float64{6, 8, 12, 16, 20, 24, 28, 32, 36, 40}, []float64{6, 8, 12, 16, 20, 24, 28, 32, 36, 40}},
		{"a list", "34", "", "6, 8, 12 1/2, 34", []float64{6, 8, 12.5, 34}, []float64{6, 8, 12.5, 34}},
		{"a list with blanks", "34", "12", "6 8 12 1/2 16½", []float64{6, 8, 12.5, 16.5}, []float64{6, 8}},
		{"a fraction behind a blank", "34", "", "6 ½ 8 3/4", []float64{6.5, 8.75}, []float64{6.5, 8.75}},
		{"every", "17", "16", "every 4", []float64{4, 8, 12, 16}, []float64{4, 8, 12, 16}},
		{"every, to the nock of one limb", "16", "15", "Every  4in", []float64{4, 8, 12, 16}, []float64{4, 8, 12}},
		{"in other units", "34", "", "150mm 200mm", []float64{150 / 25.4, 200 / 25.4}, []float64{150 / 25.4, 200 / 25.4}},
	} {
		bow := described(t, NewBow(Practice{}), map[string]string{"name": "Ash", "upper": c.upper, "lower": c.lower, "stations": c.stations})
		for side, want := range [][]float64{c.wantUpper, c.wantLower} {
			if got := lengths(bow.Limbs[side].Stations); len(got) != len(want) || len(want) > 0 && !reflect.DeepEqual(got, want) {
				t.Errorf("%s: the %s limb is read at %v, want %v", c.name, model.Side(side), got, want)
			}
		}
	}
}

func TestStationsThatCannotBeAreRefused(t *testing.T) {
	for _, c := range []struct{ text, says string }{
		{"6, 40", "40 lies beyond the upper limb's 34 in"}, {"8, 6", "6 does not"}, {"6, 6", "6 does not"}, {"0, 6", "0 does not"}, {"-6", "-6 does not"},
		{"six", "a length is written"}, {",", "expected places like 6, 8, 12 or every 4"}, {"every 0", "above 0, within the limb's 34 in"},
		{"every -4", "above 0"}, {"every 35", "within the limb's 34 in"}, {"every 1/16", "too many; expected 100"}, {"every", "a length is written"},
		{strings.Repeat("1 ", 3), "1 does not"},
	} {
		s := NewBow(Practice{})
		answered(t, s, "Ash")
		skip(t, s, "upper")
		answered(t, s, "34")
		skip(t, s, "stations")
		if got := s.Answer(c.text); got.State != Refused || !strings.Contains(got.Says, c.says) {
			t.Errorf("%q: %+v, want it refused with %q", c.text, got, c.says)
		}
	}
	// The limb may be passed over and come later.
	s := NewBow(Practice{})
	answered(t, s, "Ash")
	for i, q := range s.Questions {
		if q.Name == "stations" {
			s.Go(i)
		}
	}
	if got := s.Answer("every 4"); got.State != Refused || !strings.Contains(got.Says, "comes first") {
		t.Errorf("stations every 4 in on a limb of unknown length: %+v", got)
	}
	answered(t, s, "6, 8")
}

func TestNewBowInMetricUnitsAsksInThem(t *testing.T) {
	for _, c := range []struct {
		units, upper string
		handle       float64 // cm
	}{{"2", "86", 10}, {"mill", "860", 10}} {
		bow := described(t, NewBow(Practice{}), map[string]string{"name": "Ulme", "units": c.units, "upper": c.upper})
		in := func(l measure.Length) float64 { return l.In(measure.Centimetre) }
		stations := bow.Limbs[model.Upper].Stations
		if in(bow.Handle) != c.handle || in(stations[0]) != 15 || in(stations[1]) != 20 || in(bow.Limbs[model.Lower].Length) != 86 {
			t.Errorf("units %s: the bow is %+v", c.units, bow)
		}
	}
	s := NewBow(Practice{})
	answered(t, s, "Ulme", "centi")
	for _, q := range s.Questions {
		switch q.Name {
		case "draw":
			if !strings.Contains(q.Hint, "such as 71") {
				t.Errorf("the draw's hint in centimetres is %q", q.Hint)
			}
		case "handle":
			if q.Preset != "10" {
				t.Errorf("the handle's preset in centimetres is %q", q.Preset)
			}
		}
	}
	s.Go(1)
	answered(t, s, "inches")
	if bow := described(t, s, map[string]string{"upper": "34"}); bow.Units != measure.Imperial() || bow.Handle != 4 {
		t.Errorf("after going back to inches the bow is %+v", bow)
	}
}

// TestUnitsMayBeChangedAfterFinishingFailed: the book was full, and on second thought the bow is kept in centimetres.
func TestUnitsMayBeChangedAfterFinishingFailed(t *testing.T) {
	s := NewBow(Practice{})
	if bow := described(t, s, map[string]string{"name": "Ulme", "upper": "86"}); bow.Units != measure.Imperial() {
		t.Fatal("the first answer is not in inches")
	}
	s.Go(1)
	answered(t, s, "2")
	outcome, err := s.Finish()
	if err != nil || outcome.Bow.Units.Length != measure.Centimetre || outcome.Bow.Limbs[model.Upper].Length.In(measure.Centimetre) != 86 {
		t.Errorf("the bow is %+v (%v)", outcome.Bow, err)
	}
}

func TestDescriptionRefusesInItsFieldWithWhatWouldBeAccepted(t *testing.T) {
	for _, c := range []struct{ question, text, says string }{
		{"name", strings.Repeat("x", 401), "too long"}, {"draw", "far", "a length is written 6 3/8"}, {"draw", "-28", "above 0"}, {"draw", "0", "above 0"},
		{"weight", "0", "above 0 and under 400"}, {"weight", "400", "under 400"}, {"weight", "40in", "a weight is written 36"}, {"allow", "-2", "either side"},
		{"due", "soon", "2027-02-01"}, {"due", "2027-02-30", "2027-02-01"}, {"draw_to", "nose", "1 belly, 2 back, 3 pivot+1.75"}, {"draw_to", "b", "1 belly"},
		{"handle", "-4", "from 0 to 60 in"}, {"handle", "61", "60 in"}, {"handle_depth", "13", "12 in"}, {"section", "round", "1 D"},
		{"upper", "0", "above 0, 120 in at most"}, {"upper", "-34", "above 0"}, {"upper", "121", "120 in"}, {"lower", "0", "above 0"},
		{"tiller", "90", "34 in"}, {"tiller_at", "35", "from 0 to 34 in"}, {"rule", "3", "2 in"}, {"rule", "-1/16", "2 in"}, {"scale", "21", "20"}, {"scale", "-1", "step"},
	} {
		s := NewBow(Practice{})
		for q, ok := s.Current(); ok && q.Name != c.question; q, ok = s.Current() {
			answered(t, s, map[string]string{"name": "Ash", "upper": "34"}[q.Name])
		}
		if got := s.Answer(c.text); got.State != Refused || !strings.Contains(got.Says, c.says) {
			t.Errorf("%s %q: %+v, want it refused with %q", c.question, c.text, got, c.says)
		}
		if q, _ := s.Current(); q.Name != c.question {
			t.Errorf("%s %q: the sheet went on to %s", c.question, c.text, q.Name)
		}
	}
}

// TestFinishStandsAtTheAnswerThatALaterOneMadeWrong: a draw of 80 in fits any bow until its limbs are known.
func TestFinishStandsAtTheAnswerThatALaterOneMadeWrong(t *testing.T) {
	s := NewBow(Practice{})
	for !s.Done() {
		q, _ := s.Current()
		answered(t, s, map[string]string{"name": "Ash", "draw": "80", "upper": "30"}[q.Name])
	}
	_, err := s.Finish()
	if q, _ := s.Current(); err == nil || q.Name != "draw" || !strings.Contains(err.Error(), "draw: ") || !strings.Contains(err.Error(), "64 in") {
		t.Errorf("the sheet stands at %s: %v", q.Name, err)
	}
	answered(t, s, "28")
	if _, err := s.Finish(); err != nil {
		t.Error(err)
	}
}

// TestChoicesThatWereOnlyLeftAreUnderstood types a choice and goes on with the arrow key.
func TestChoicesThatWereOnlyLeftAreUnderstood(t *testing.T) {
	s := NewBow(Practice{})
	for i, q := range s.Questions {
		s.Go(i)
		s.Leave(map[string]string{"name": "Ulme", "units": "2", "draw_to": "3", "section": "ell", "upper": "86"}[q.Name])
	}
	outcome, err := s.Finish()
	if err != nil || outcome.Bow.Order.DrawTo != model.ToPivot || outcome.Bow.Section != model.SectionEllipse || outcome.Bow.Units.Length != measure.Centimetre {
		t.Errorf("the bow is %+v (%v)", outcome.Bow, err)
	}
}

func TestEditBowGivesBackEveryBowThatIsNotChanged(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		bow := rapid.Custom(drawBow).Filter(isBow).Draw(t, "bow")
		story, err := tell(bow)
		if err != nil {
			t.Fatal(err)
		}
		s := EditBow(story, Practice{})
		if s.Any() || len(s.Draft(story.LastAt()).Answers) > 0 {
			t.Fatal("something is answered before it was asked")
		}
		if rapid.Bool().Draw(t, "walk through") {
			for i := range s.Questions {
				given, _ := s.Given(i)
				if got := s.Answer(given); got.State != Taken {
					t.Fatalf("%s: its own %q is not taken: %+v", s.Questions[i].Label, given, got)
				}
			}
		}
		outcome, err := s.Finish()
		if err != nil {
			t.Fatal(err)
		}
		if !reflect.DeepEqual(outcome.Bow, story.Bow()) {
			t.Fatalf("the bow comes back as\n%+v\nnot\n%+v", outcome.Bow, story.Bow())
		}
		if s.Any() {
			t.Fatal("what was confirmed as it stood was taken for a change")
		}
	})
}

// edited changes the answers that are given by name and leaves all else as it is filled in.
func edited(t testing.TB, s *Sheet, given map[string]string) model.Bow {
	t.Helper()
	for i, q := range s.Questions {
		if text, ok := given[q.Name]; ok {
			s.Go(i)
			answered(t, s, text)
		}
	}
	outcome, err := s.Finish()
	if err != nil {
		t.Fatal(err)
	}
	return outcome.Bow
}

func TestEditBowChangesWhatIsAnsweredAndNothingElse(t *testing.T) {
	bow := ash()
	bow.Handle, bow.Aim.Bend, bow.Cradle = 4.013, "compass", "clamped"
	bow.Limbs[model.Upper].Widths = []measure.Optional[measure.Length]{measure.Some[measure.Length](1.25), {}, measure.Some[measure.Length](1)}
	story := storyOf(t, bow)
	bow = story.Bow()
	got := edited(t, EditBow(story, Practice{}), map[string]string{"weight": "45", "number": "27/1", "draw": "", "rule": "1/32", "stations": "6, 12, 16"})
	bow.Order.Weight, bow.Number, bow.Order.Draw, bow.Rule = measure.Some[measure.Force](45), "27/1", measure.Optional[measure.Length]{}, 1.0/32
	bow.Limbs[model.Upper].Stations, bow.Limbs[model.Lower].Stations = []measure.Length{6, 12, 16}, []measure.Length{6, 12, 16}
	// A width is measured at its station and goes where that goes.
	bow.Limbs[model.Upper].Widths = []measure.Optional[measure.Length]{measure.Some[measure.Length](1.25), measure.Some[measure.Length](1), {}}
	if !reflect.DeepEqual(got, bow) {
		t.Errorf("the bow is\n%+v\nwant\n%+v", got, bow)
	}
}

func TestStationsThatWereReadStay(t *testing.T) {
	read := model.Relaxed{Readings: model.Readings{{measure.Some[measure.Length](0.1)}}}
	story := storyOf(t, ash(), read)
	for i, q := range EditBow(story, Practice{}).Questions {
		if q.Name != "stations" {
			continue
		}
		for text, state := range map[string]State{"6, 8, 12": Taken, "6 8 12": Taken, "6, 8": Refused, "every 4": Refused, "": Refused, "6, 8, 12, 16": Refused} {
			s := EditBow(story, Practice{})
			s.Go(i)
			if got := s.Answer(text); got.State != state || state == Refused && !strings.Contains(got.Says, "6, 8, 12") {
				t.Errorf("%q: %+v", text, got)
			}
		}
	}
	if bow := edited(t, EditBow(story, Practice{}), map[string]string{"upper": "30", "lower": "30"}); !reflect.DeepEqual(lengths(bow.Limbs[model.Upper].Stations), []float64{6, 8, 12}) {
		t.Errorf("on a limb that was cut shorter the stations are %v", bow.Limbs[model.Upper].Stations)
	}
	s := EditBow(story, Practice{})
	for i, q := range s.Questions {
		if q.Name == "upper" {
			s.Go(i)
		}
	}
	if got := s.Answer("10"); got.State != Refused || !strings.Contains(got.Says, "12 lies beyond") {
		t.Errorf("a limb cut off below a station that was read: %+v", got)
	}
	// The same holds of a reading that is void and may count again.
	void := model.Void{Entry: story.Lines[0].Entry.ID, Why: "wrong bow"}
	s = EditBow(storyOf(t, ash(), read, void), Practice{})
	for i, q := range s.Questions {
		if q.Name == "stations" {
			s.Go(i)
		}
	}
	if got := s.Answer("6, 8"); got.State != Refused {
		t.Errorf("stations with a void reading: %+v", got)
	}
}

func TestStationsThatWereNotReadFollowALimbThatIsCutShorter(t *testing.T) {
	long := ash()
	long.Order.Draw = measure.Optional[measure.Length]{}
	bow := edited(t, EditBow(storyOf(t, long), Practice{}), map[string]string{"upper": "10", "lower": "7"})
	if got := [2][]float64{lengths(bow.Limbs[0].Stations), lengths(bow.Limbs[1].Stations)}; !reflect.DeepEqual(got, [2][]float64{{6, 8}, {6}}) {
		t.Errorf("stations are %v", got)
	}
}

func TestRuleAndScaleAreFilledInAsTheyAre(t *testing.T) {
	for _, c := range []struct {
		units measure.Units
		rule  measure.Length
		want  string
	}{
		{measure.Imperial(), 1.0 / 16, "1/16"}, {measure.Imperial(), 0.1, "0.1"}, {measure.Imperial(), 0.5, "1/2"},
		{measure.Units{Length: measure.Centimetre, Force: measure.Newton}, measure.Millimetre.Length(1), "0.1"},
		{measure.Units{Length: measure.Millimetre, Force: measure.Newton}, measure.Millimetre.Length(0.5), "0.5"},
	} {
		bow := ash()
		bow.Units, bow.Rule = c.units, c.rule
		s := EditBow(storyOf(t, bow), Practice{})
		for i, q := range s.Questions {
			if got, _ := s.Given(i); q.Name == "rule" && got != c.want {
				t.Errorf("a rule of %v in %s is filled in as %q, want %q", c.rule, c.units.Length, got, c.want)
			}
		}
	}
}
