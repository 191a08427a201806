package form

import (
	"cmp"
	"errors"
	"fmt"
	"strconv"
	"strings"
	"time"

	"bendbook/model"
	"bendbook/model/date"
	"bendbook/model/finish"
	"bendbook/model/measure"
	"bendbook/session"
)

// Kind is a kind of entry with its form, as the bench and the finishing offer it.
type Kind struct {
	Key   string // the key at the bench; "" where it is found by its name
	Name  string // a word or two
	Main  bool   // it is entered on most days
	Reads bool   // it is a reading of the bow
	Long  string // what it asks for, in a sentence; "" where only finishing offers it
	Line  string // what is typed after log and the bow, for help; "" where the topic has it

	Form    string // the form's name in drafts; "" is Name
	Word    string // the form in words, where it is half typed; "" is Name
	Title   string // "" is Name with a capital
	Caution string // one line at the moment of risk; "" for none
	About   string // what the form is for, in a sentence or two; "" is Long

	Of func(session.Story) *Sheet
	// correct makes the sheet of an event, filled in; it is nil, or ok false, where there is none.
	correct func(story session.Story, what model.Event) (s *Sheet, ok bool)
}

// asks gives a kind a form that a table makes. For a new event was is the zero value, for a correction the
// event.
func asks[E model.Event](k Kind, fields func(story session.Story, was E) table[E]) Kind {
	k.Form, k.Word = cmp.Or(k.Form, k.Name), cmp.Or(k.Word, k.Name)
	k.Title, k.About = cmp.Or(k.Title, session.Capital(k.Name)), cmp.Or(k.About, k.Long)
	k.Of = func(story session.Story) *Sheet {
		var none E
		t := fields(story, none)
		t.of = story.Bow()
		return entrySheet(k, t)
	}
	k.correct = func(story session.Story, what model.Event) (*Sheet, bool) {
		was, ok := what.(E)
		if !ok {
			return nil, false
		}
		t := fields(story, was)
		t.of, t.was = story.Bow(), was
		s := entrySheet(k, t)
		s.Questions = append(s.Questions, s.seldom...)
		t.fill(s)
		return s, true
	}
	return k
}

// asksFor gives a kind a form whose fields never change.
func asksFor[E model.Event](k Kind, fields ...field[E]) Kind {
	return asks(k, func(session.Story, E) table[E] { return table[E]{fields: fields} })
}

func entrySheet[E model.Event](k Kind, t table[E]) *Sheet {
	t.judge = func(_ string, e E) error { return t.of.CheckEvent(e) }
	s := newSheet(k.Form, k.Title, func(s *Sheet) (outcome, error) {
		e, err := t.finish(s)
		return outcome{Event: e}, pathless(err)
	})
	s.Caution = k.Caution
	t.ask(s, k.Form)
	return s
}

func exerciseKind() Kind {
	return asks(Kind{
		Line: "exercise [PULLS] [draw DRAW] [minutes STRUNG]",
		Key:  "x", Name: "exercise", Long: "Enter how many easy pulls the bow was exercised.",
		About: "Easy pulls that settle the bow after scraping, before you read it again.",
	}, func(story session.Story, _ model.Exercise) table[model.Exercise] {
		unit := story.Bow().Units.Length
		return table[model.Exercise]{fields: []field[model.Exercise]{
			valueField("pulls", Question{must: true, Preset: "20",
				Hint: "how many easy pulls, such as 20; most give it 10 to 30",
			}, counts(1, 100_000), func(e *model.Exercise) *int { return &e.Pulls }),
			optionalField("draw", Question{seldom: true, Unit: string(unit),
				Hint: fmt.Sprintf("how far they went, such as %s", exampleLength(unit, 20))},
				exactLengths(), func(e *model.Exercise) *maybeLength { return &e.Draw }),
			minutesField("how long it stood strung, in minutes, such as 30",
				func(e *model.Exercise) *measure.Optional[float64] { return &e.Minutes }),
		}}
	})
}

func minutesField[T any](hint string, at func(*T) *measure.Optional[float64]) field[T] {
	return optionalField("minutes", Question{seldom: true, Hint: hint},
		simple(aNumber, parseNumber, plainNumber), at)
}

func noteKind() Kind {
	return asksFor(Kind{
		Key: "n", Name: "note", Long: "Write a note in your own words.",
		About: "A line in your own words, kept with the bow's story. Begin it with \"next time\" to see it with " +
			"your next such bow.",
	}, wordsField("text", Question{Label: "note", must: true,
		Hint: "in your own words, such as: knot at 14; begin with \"next time\" for a lesson"},
		func(n *model.Note) *string { return &n.Text }))
}

func stringKind() Kind {
	return asks(Kind{
		Key: "l", Name: "string length", Reads: true, Long: "Enter the string's length between the nocks.",
		Form: "string", Title: "String",
		About: "The string's length between the nocks, and what it is made of.",
	}, func(story session.Story, _ model.StringLength) table[model.StringLength] {
		bow := story.Bow()
		return table[model.StringLength]{fields: []field[model.StringLength]{
			valueField("length", Question{
				Label: "string length", Unit: string(bow.Units.Length), must: true,
				Hint: fmt.Sprintf("how long is it between the nocks, such as %s?",
					exampleLength(bow.Units.Length, 69.75)),
				was: func(*Sheet) string {
					on, _ := story.Strings().Now()
					return optional(on.Length, bow.Ruler().Print)
				},
			}, exactLengths(), func(l *model.StringLength) *measure.Length { return &l.Length }),
			textField("material", Question{Hint: "such as linen, 14 strands; Enter leaves it out"},
				func(l *model.StringLength) *string { return &l.Material }),
		}}
	})
}

func moistureKind() Kind {
	return asks(Kind{
		Name: "moisture", Line: "moisture [customer] [METER] [air 20C] [humidity 50]",
		About: "How damp the wood is, by a meter. Or how damp the air is, in your shop or where the bow goes.",
	}, moistureTable)
}

// Moisture asks how damp the wood is, by a meter, or the air that it lies in.
func Moisture(story session.Story) *Sheet { return moistureKind().Of(story) }

func moistureTable(story session.Story, _ model.Moisture) table[model.Moisture] {
	type number = measure.Optional[float64]
	places := []string{string(model.ShopAir), string(model.HomeAir)}
	unit := story.Bow().WarmthUnit()
	return table[model.Moisture]{
		fields: []field[model.Moisture]{
			textField("where", Question{must: true, Preset: places[0], Choices: places,
				Hint: "whose air? 1 shop, 2 customer: where the bow goes"},
				func(m *model.Moisture) *model.Air { return &m.Where }),
			optionalField("content", Question{Label: "meter", Unit: "%",
				Hint: "what a moisture meter reads in the wood, such as 9; Enter alone for none"},
				shares(60), func(m *model.Moisture) *number { return &m.Content }),
			optionalField("celsius", Question{Name: "warmth", Label: "air", Unit: unit,
				Hint: "temperature of the air, such as 20C or 68F; Enter alone for none"},
				warmths(unit), func(m *model.Moisture) *number { return &m.Celsius }),
			optionalField("humidity", Question{Unit: "%",
				Hint: "relative humidity of the air, such as 50; Enter alone for none"},
				shares(98), func(m *model.Moisture) *number { return &m.Humidity }),
		},
		whole: func(_ *Sheet, m *model.Moisture) error {
			if !m.Content.Known() && (!m.Celsius.Known() || !m.Humidity.Known()) {
				return errors.New("you typed nothing: type what the meter reads, or the temperature and " +
					"humidity of the air")
			}
			return nil
		},
	}
}

func Void(id, what string) *Sheet {
	why := wordsField("why", Question{must: true, Hint: "the reason, such as: rule held at the wrong mark"},
		func(v *model.Void) *string { return &v.Why })
	return entrySheet(Kind{Form: "void", Title: fmt.Sprintf("Strike out: %s", what)},
		table[model.Void]{was: model.Void{Entry: id}, fields: []field[model.Void]{why}})
}

func asideKind() Kind {
	return moves(Kind{
		Name: "aside", Word: "setting aside", Title: "Set aside",
		About: "Why the bow is set aside. It leaves the rack until you take it in hand again.",
	}, model.Rack{}, wordsField("why", Question{Group: "set aside",
		Hint: "what it waits for, such as: horn ordered; Enter alone for no reason"},
		func(r *model.Rack) *string { return &r.Why }))
}

func Aside(story session.Story) *Sheet { return asideKind().Of(story) }

func backKind() Kind {
	return moves(Kind{
		Name: "back", Line: "back [why TEXT] [found TEXT] [done TEXT]", Word: "coming back", Title: "Back from its customer",
		About: "A bow that comes back from its customer: why, what you found, and what you did.",
	}, model.Rack{InHand: true},
		wordsField("why", Question{Hint: "why it came back, such as: it creaks; Enter alone for no reason"},
			func(r *model.Rack) *string { return &r.Why }),
		wordsField("found", Question{Hint: "what you found, such as: lifted splinter; Enter alone for nothing"},
			func(r *model.Rack) *string { return &r.Found }),
		wordsField("done", Question{Hint: "what you did, such as: glued and bound; Enter alone for nothing"},
			func(r *model.Rack) *string { return &r.Done }))
}

// Back asks about a bow that comes back from its customer.
func Back(story session.Story) *Sheet { return backKind().Of(story) }

// moves gives a kind the form of a bow that leaves the rack or comes to it. That is struck out, never put
// right.
func moves(k Kind, to model.Rack, fields ...field[model.Rack]) Kind {
	k = asks(k, func(session.Story, model.Rack) table[model.Rack] {
		return table[model.Rack]{was: to, fields: fields}
	})
	k.correct = nil
	return k
}

// Cautions at the moment of risk. Local rules and qualified teaching come first.
const (
	PullCaution   = "Stand clear of the bow's line; never past its weight; ease down at a crack."
	stringCaution = "String it with care and stand clear of the limbs; look for cracks before you go on."
	dustCaution   = "Wear a dust mask: yew and tropical woods, horn and bone dust harm the lungs."
)

// StageCaution warns of dust, of fumes, or of the bow on its string at a stage of finishing; "" for nothing.
func StageCaution(stage finish.Standing) string {
	switch name := strings.ToLower(stage.Name); {
	case stage.Wood || strings.Contains(name, "nock") || strings.Contains(name, "rough"):
		return dustCaution
	case strings.Contains(name, "strung"):
		return stringCaution
	case stage.Rest > 0:
		return "Mind the fumes: varnish, oil and glue want fresh air and no flame; rags with oil can take " +
			"fire by themselves."
	}
	return ""
}

func OnDay(step model.Finish, title string, now time.Time, dates date.Order) *Sheet {
	day := fieldOf("on", Question{
		Name: "day", Group: "finish", must: true, Preset: dates.Print(now),
		Hint: fmt.Sprintf("like %s, or -1 for yesterday; Enter alone for today",
			dates.Print(now.AddDate(0, 0, -1))),
		doubt: func(_ *Sheet, text string) string {
			if day, err := parseDay(text, now, dates); err == nil && day.Before(now.AddDate(-1, 0, 0)) {
				return fmt.Sprintf("%s is more than a year ago", dates.Print(day))
			}
			return ""
		},
	}, nil, func(_ model.Bow, f *model.Finish, text string) error {
		day, err := parseDay(text, now, dates)
		if text := day.Format(time.DateOnly); err == nil && text != now.Format(time.DateOnly) {
			f.On = model.Day(text)
		}
		return err
	})
	return entrySheet(Kind{Form: "step", Title: title},
		table[model.Finish]{was: step, fields: []field[model.Finish]{day}})
}

// parseDay reads a date, or a number of days before today. It refuses days still to come.
func parseDay(text string, now time.Time, dates date.Order) (time.Time, error) {
	year, month, date := now.Date()
	today := time.Date(year, month, date, 0, 0, 0, 0, time.UTC)
	if back, err := strconv.Atoi(text); err == nil && back <= 0 && back > -10_000 {
		return today.AddDate(0, 0, back), nil
	}
	day, err := dates.Parse(text, now)
	switch {
	case err != nil:
		return day, fmt.Errorf("%w, or -1 for yesterday", err)
	case day.After(today):
		return day, fmt.Errorf("%s is still to come: type the day you did it", text)
	case day.Year() < 1970:
		return day, fmt.Errorf("%s is too long ago: type 1970 or later", text)
	}
	return day, nil
}
