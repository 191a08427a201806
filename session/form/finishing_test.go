package form

import (
	"reflect"
	"strings"
	"testing"
	"time"

	"bendbook/model"
	"bendbook/model/date"
	"bendbook/model/measure"
)

func TestSheetsOfFinishing(t *testing.T) {
	now := time.Date(2027, 2, 3, 8, 0, 0, 0, time.FixedZone("east", 10*3600))
	story := storyOf(t, ash())
	coat := model.Finish{Step: "varnish", Coat: measure.Some(1)}
	onDay := func(day model.Day) model.Finish { f := coat; f.On = day; return f }
	for _, c := range []struct {
		sheet   *Sheet
		answers []string
		want    model.Event
	}{
		{OnDay(coat, "varnish", now, date.ISO), []string{""}, coat},
		{OnDay(coat, "varnish", now, date.ISO), []string{"2027-02-03"}, coat},
		{OnDay(coat, "varnish", now, date.ISO), []string{"-1"}, onDay("2027-02-02")},
		{OnDay(coat, "varnish", now, date.ISO), []string{"2027-01-31"}, onDay("2027-01-31")},
		{Weigh(story), []string{"", "36"}, model.Pull{Draw: 28, Peak: measure.Some[measure.Force](36), From: model.FromLine}},
		{Moisture(story), []string{"", "9", "", ""}, model.Moisture{Where: model.ShopAir, Content: measure.Some(0.09)}},
		{Moisture(story), []string{"2", "", "68", "50%"}, model.Moisture{Where: model.HomeAir, Celsius: measure.Some(20.0), Humidity: measure.Some(0.5)}},
		{Moisture(story), []string{"customer", "", "20 °C", "50"}, model.Moisture{Where: model.HomeAir, Celsius: measure.Some(20.0), Humidity: measure.Some(0.5)}},
	} {
		for _, text := range c.answers {
			for c.sheet.Answer(text).State == Asked { // a long way at once, for a bow that was never drawn
			}
		}
		outcome, err := c.sheet.Finish()
		if pull, isPull := outcome.Event.(model.Pull); isPull {
			pull.Readings = model.Readings{}
			outcome.Event = pull
		}
		if err != nil || !reflect.DeepEqual(outcome.Event, c.want) {
			t.Errorf("%s %q: %#v (%v), want %#v", c.sheet.Form, c.answers, outcome.Event, err, c.want)
		}
	}
}

func TestDaysAndAirThatCannotBeAreRefused(t *testing.T) {
	now := time.Date(2027, 2, 3, 8, 0, 0, 0, time.UTC)
	story := storyOf(t, ash())
	day := func() *Sheet { return OnDay(model.Finish{Step: "varnish"}, "varnish", now, date.ISO) }
	for _, c := range []struct {
		sheet *Sheet
		at    string
		text  string
		says  string
	}{
		{day(), "day", "2027-02-04", "still to come"},
		{day(), "day", "2027-02-30", "is no day"},
		{day(), "day", "yesterday", "-1 for yesterday"},
		{day(), "day", "1", "is no day"},
		{day(), "day", "1066-10-14", "too long ago"},
		{Moisture(story), "content", "90", "per cent from 0 to 60"},
		{Moisture(story), "humidity", "100", "per cent from 0 to 98"},
		{Moisture(story), "humidity", "NaN", "per cent"},
		{Moisture(story), "warmth", "200", "no temperature"},
		{Moisture(story), "warmth", "70C", "no temperature"},
		{Weigh(story), "peak", "0", "above 0"},
		{Weigh(story), "peak", "400", "under 400"},
		{Weigh(story), "peak", "", "is needed"},
	} {
		for c.sheet.Questions[c.sheet.At()].Name != c.at {
			c.sheet.Answer("")
		}
		if v := c.sheet.Answer(c.text); v.State != Refused || !strings.Contains(v.Says, c.says) {
			t.Errorf("%s %q: %+v", c.at, c.text, v)
		}
	}
	long := day()
	if v := long.Answer("2020-01-01"); v.State != Asked {
		t.Errorf("seven years ago: %+v", v)
	}
	nothing := Moisture(story)
	for range 4 {
		nothing.Answer("")
	}
	if _, err := nothing.Finish(); err == nil || !strings.Contains(err.Error(), "tells nothing") {
		t.Errorf("a moisture of nothing: %v", err)
	}
}

// Another like a bow has its order, size and aim, to the last digit, and none of what was that bow's alone.
func TestAnotherLikeABow(t *testing.T) {
	pattern := ash()
	pattern.Name, pattern.Order.Weight = "Another like Ash", measure.Some[measure.Force](35)
	pattern.Limbs[model.Upper].Length = 34.0123
	s := Like(pattern, "Ash", Practice{})
	answered(t, s, "Ash for Ines")
	outcome, err := s.Finish()
	want := pattern
	want.Name = "Ash for Ines"
	if err != nil || !reflect.DeepEqual(outcome.Bow, want) {
		t.Errorf("%+v (%v), want %+v", outcome.Bow, err, want)
	}
}
