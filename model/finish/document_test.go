package finish

import (
	"bytes"
	"math"
	"reflect"
	"strings"
	"testing"

	"bendbook/model/date"
	"bendbook/model/measure"
)

// shop is a document of settings with more fields.
func shop(fields string) []byte {
	return []byte(`{"format": "bendbook/shop", "version": 1` + fields + `}`)
}

func TestSettingsSurviveTheirDocument(t *testing.T) {
	metric := measure.Units{Length: measure.Centimetre, Force: measure.KilogramForce}
	for _, units := range []measure.Units{measure.Imperial(), metric} {
		settings := Usual()
		settings.Units = units
		doc, err := settings.Document()
		if err != nil {
			t.Fatal(err)
		}
		got, err := Parse(doc)
		if err != nil {
			t.Fatalf("%v in\n%s", err, doc)
		}
		again, err := got.Document()
		if err != nil || string(again) != string(doc) {
			t.Errorf("%v\n%s\nbecame\n%s", err, doc, again)
		}
		if units == measure.Imperial() && !reflect.DeepEqual(got, Usual()) {
			t.Errorf("%+v", got)
		}
	}
}

// A shop changes what it wants to, and leaves out what is as usual.
func TestSettingsMayBeShort(t *testing.T) {
	s, err := Parse(shop(`, "mark": {"round": "nearest"}, "stages": [
		{"name": "tillered", "seen": "at weight"}, {"name": "lacquer", "coats": 3, "rest_hours": 48},
		{"name": "sent off", "seen": "handed over"}]`))
	if err != nil {
		t.Fatal(err)
	}
	lacquer := Stage{Name: "lacquer", Coats: 3, Rest: 48}
	if len(s.Stages) != 3 || !reflect.DeepEqual(s.Stages[1], lacquer) || s.Mark.Round != roundNearest ||
		s.Mark.Text != Usual().Mark.Text || s.Allowances.Sanding != 2.5 {
		t.Errorf("%+v", s)
	}
	// Three coats, two days for each: ready on the 7th.
	p := s.Progress(Log{weighing(1, 9, 37)}, wantedFor(35), at(1, 9))
	if p.Waits() != "lacquer, coat 1" || !p.Handover.Equal(at(7, 9)) {
		t.Errorf("it waits for %q, until %v", p.Waits(), p.Handover)
	}
	// An older document has a limit of arrows; it is read, and not written again.
	s, err = Parse(shop(`, "longbow": {"arrow_limit": 27}`))
	if err != nil || !reflect.DeepEqual(s, Usual()) {
		t.Errorf("%v, %+v", err, s)
	}
}

// A share is left out in any units; a weight of an older document is that of a bow of 40 lb, and written as a
// share.
func TestAllowancesAreShares(t *testing.T) {
	s, err := Parse(shop(`, "units": {"length": "cm", "force": "kgf"},
		"dates": "day-month-year", "screen": {"letters": "ASCII"}`))
	if err != nil {
		t.Fatal(err)
	}
	if s.Allowances != Usual().Allowances {
		t.Errorf("%+v", s.Allowances)
	}
	old, err := Parse(shop(`, "units": {"length": "cm", "force": "kgf"}, "allowances": {"sanding": 0.45359237}`))
	if err != nil || math.Abs(float64(old.Allowances.Sanding)-2.5) > 1e-9 || old.Allowances.Settling != 2.5 {
		t.Errorf("%+v, %v", old.Allowances, err)
	}
	doc, err := old.Document()
	if again, _ := Parse(doc); err != nil || again.Allowances != old.Allowances || bytes.Contains(doc, []byte("sanding\"")) {
		t.Errorf("%s, %v", doc, err)
	}
	if s.Dates != date.DayFirst || s.Screen.Letters != LettersASCII || s.Screen.Colours != "as the terminal" {
		t.Errorf("%+v", s)
	}
}

// Units that are chosen are those of every bow; inches and pounds, with which a shop begins, only where it is
// said.
func TestBowsAreShownInChosenUnitsAndElseAsDescribed(t *testing.T) {
	cm, kg := measure.Centimetre, measure.KilogramForce
	for doc, want := range map[string]measure.Units{
		``: {},
		`, "units": {"length": "in", "force": "lbf"}`:                                 {},
		`, "units": {"length": "cm", "force": "kgf"}`:                                 {Length: cm, Force: kg},
		`, "units": {"length": "in", "force": "kgf"}`:                                 {Force: kg},
		`, "units": {"length": "in", "force": "kgf"}, "every_bow": {"length": true}`:  {Length: measure.Inch, Force: kg},
		`, "every_bow": {"length": true, "force": true}`:                              measure.Imperial(),
		`, "units": {"length": "cm", "force": "kgf"}, "every_bow": {"length": false}`: {Length: cm, Force: kg},
	} {
		s, err := Parse(shop(doc))
		if err != nil {
			t.Fatalf("%s: %v", doc, err)
		}
		written, err := s.Document()
		if err != nil {
			t.Fatal(err)
		}
		again, err := Parse(written)
		if got := s.ShownUnits(); got != want || err != nil || again.ShownUnits() != want {
			t.Errorf("%s: bows are shown in %v, later in %v (%v); want %v", doc, got, again.ShownUnits(), err, want)
		}
	}
}

func TestSettingsThatCannotBeAreRefusedByTheirField(t *testing.T) {
	for doc, says := range map[string]string{
		``: "it is empty", `[]`: "write an object", `{}`: "format", `{"format": "bendbook/shop", "version": 2}`: "version: ",
		string(shop("")) + " x": "follows the settings",
	} {
		if _, err := Parse([]byte(doc)); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%s: %v", doc, err)
		}
	}
	for fields, says := range map[string]string{
		`, "colour": "red"`:                                                 "colour: there is no such field",
		`, "units": {"length": "ell"}`:                                      "units.length",
		`, "dates": "day first"`:                                            "dates: choose",
		`, "screen": {"letters": "runes"}`:                                  "screen.letters",
		`, "screen": {"colours": 16}`:                                       "screen.colours",
		`, "mark": {"to": 0}`:                                               "mark.to",
		`, "mark": {"round": "off"}`:                                        "mark.round",
		`, "mark": {"text": "{weight}"}`:                                    "mark.text",
		`, "number": {"pattern": "{day}"}`:                                  "number.pattern: ",
		`, "allowances": {"sanding": -1}`:                                   "allowances.finishing",
		`, "tree": {"hold_seconds": 0.9}`:                                   "tree.hold_seconds: type 1 to 30 seconds",
		`, "tree": {"hold_seconds": 31}`:                                    "tree.hold_seconds",
		`, "stages": []`:                                                    "stages",
		`, "stages": [{"name": "sanded"}]`:                                  "handed over",
		`, "stages": [{"name": ""}]`:                                        "stages[0].name",
		`, "stages": [{"name": "a"}, {"name": "A"}]`:                        "twice",
		`, "stages": [{"name": "a", "seen": "finished"}]`:                   "stages[0].seen",
		`, "stages": [{"name": "a", "grits": [240, 80]}]`:                   "stages[0].grits[1]",
		`, "stages": [{"name": "a", "rest_hours": -2}]`:                     "stages[0].rest_hours",
		`, "stages": [{"name": "a", "seen": "handed over"}, {"name": "b"}]`: "stages[1]",
		`, "card": {"care": ["a\nb"]}`:                                      "card.care[0]",
	} {
		if _, err := Parse(shop(fields)); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%s: %v", fields, err)
		}
	}
}

func FuzzParse(f *testing.F) {
	doc, _ := Usual().Document()
	f.Add(doc)
	f.Fuzz(func(t *testing.T, doc []byte) {
		s, err := Parse(doc)
		if err != nil {
			return
		}
		again, err := s.Document()
		if err != nil {
			t.Fatal(err)
		}
		if _, err := Parse(again); err != nil {
			t.Fatalf("%v in\n%s", err, again)
		}
	})
}
