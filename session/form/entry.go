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

// event is a pointer to an event, whose fields a record names.
type event[E model.Event] interface {
	*E
	Fields(c model.Codec)
}

// asks gives a kind a form that a table makes. For a new event was is the zero value, for a correction the
// event.
func asks[E model.Event, P event[E]](k Kind, fields func(story session.Story, was E) table[E]) Kind {
	k.Form, k.Word = cmp.Or(k.Form, k.Name), cmp.Or(k.Word, k.Name)
	k.Title, k.About = cmp.Or(k.Title, session.Capital(k.Name)), cmp.Or(k.About, k.Long)
	k.Of = func(story session.Story) *Sheet {
		var none E
		t := fields(story, none)
		t.of = story.Bow()
		return entrySheet[E, P](k, &t)
	}
	k.correct = func(story session.Story, what model.Event) (*Sheet, bool) {
		was, ok := what.(E)
		if !ok {
			return nil, false
		}
		t := fields(story, was)
		t.of, t.was = story.Bow(), was
		s := entrySheet[E, P](k, &t)
		s.Questions = append(s.Questions, s.seldom...)
		t.fill(s)
		return s, true
	}
	return k
}

// asksFor gives a kind a form whose questions are the same for every bow.
func asksFor[E model.Event, P event[E]](k Kind, questions ...Question) Kind {
	return asks[E, P](k, func(session.Story, E) table[E] { return table[E]{asks: questions} })
}

func entrySheet[E model.Event, P event[E]](k Kind, t *table[E]) *Sheet {
	t.judge = func(_ string, e E) error { return t.of.CheckEvent(e) }
	if t.visit == nil {
		t.visit = func(c *asker, e *E) { P(e).Fields(c) }
	}
	s := newSheet(k.Form, k.Title, func(s *Sheet) (outcome, error) {
		e, err := t.finish(s)
		return outcome{Event: e}, pathless(err)
	})
	s.Caution = k.Caution
	named(t.asks)
	t.ask(s, k.Form)
	if t.opened != nil {
		t.opened(s)
	}
	return s
}

func exerciseKind() Kind {
	return asksFor[model.Exercise](Kind{
		Line: "exercise [PULLS] [draw DRAW] [minutes STRUNG]",
		Key:  "x", Name: "exercise", Long: "Enter how many easy pulls the bow was exercised.",
		About: "Easy pulls that settle the bow after scraping, before you read it again.",
	},
		Question{Name: "pulls", must: true, Preset: "20",
			Hint: "how many easy pulls, such as 20; most give it 10 to 30"},
		Question{Name: "draw", seldom: true, Hint: "how far they went, such as {20in}"},
		Question{Name: "minutes", seldom: true, Hint: "how long it stood strung, in minutes, such as 30"})
}

func noteKind() Kind {
	return asksFor[model.Note](Kind{
		Key: "n", Name: "note", Long: "Write a note in your own words.",
		About: "A line in your own words, kept with the bow's story. Begin it with \"next time\" to see it with " +
			"your next such bow.",
	}, Question{Name: "text", Label: "note", must: true, long: true,
		Hint: "in your own words, such as: knot at 14; begin with \"next time\" for a lesson"})
}

func stringKind() Kind {
	return asks(Kind{
		Key: "l", Name: "string length", Reads: true, Long: "Enter the string's length between the nocks.",
		Form: "string", Title: "String",
		About: "The string's length between the nocks, and what it is made of.",
	}, func(story session.Story, _ model.StringLength) table[model.StringLength] {
		return table[model.StringLength]{asks: []Question{
			{Name: "length", Label: "string length", must: true,
				Hint: "how long is it between the nocks, such as {69 3/4in}?",
				was: func(*Sheet) string {
					on, _ := story.Strings().Now()
					return optional(on.Length, story.Bow().Ruler().Print)
				}},
			{Name: "material", Hint: "such as linen, 14 strands; Enter leaves it out"},
		}}
	})
}

func moistureKind() Kind {
	places := []string{string(model.ShopAir), string(model.HomeAir)}
	return asks(Kind{
		Name: "moisture", Line: "moisture [customer] [METER] [air 20C] [humidity 50]",
		About: "How damp the wood is, by a meter. Or how damp the air is, in your shop or where the bow goes.",
	}, func(session.Story, model.Moisture) table[model.Moisture] {
		return table[model.Moisture]{
			asks: []Question{
				{Name: "where", must: true, Preset: places[0], Choices: places,
					Hint: "whose air? 1 shop, 2 customer: where the bow goes"},
				{Name: "content", Label: "meter", most: 60,
					Hint: "what a moisture meter reads in the wood, such as 9; Enter alone for none"},
				{path: "celsius", Name: "warmth", Label: "air",
					Hint: "temperature of the air, such as 20C or 68F; Enter alone for none"},
				{Name: "humidity", most: 98,
					Hint: "relative humidity of the air, such as 50; Enter alone for none"},
			},
			whole: func(_ *Sheet, m *model.Moisture) error {
				if !m.Content.Known() && (!m.Celsius.Known() || !m.Humidity.Known()) {
					return errors.New("you typed nothing: type what the meter reads, or the temperature and " +
						"humidity of the air")
				}
				return nil
			},
		}
	})
}

// Moisture asks how damp the wood is, by a meter, or the air that it lies in.
func Moisture(story session.Story) *Sheet { return moistureKind().Of(story) }

func Void(id, what string) *Sheet {
	return entrySheet(Kind{Form: "void", Title: fmt.Sprintf("Strike out: %s", what)}, &table[model.Void]{
		was: model.Void{Entry: id},
		asks: []Question{{Name: "why", must: true, long: true,
			Hint: "the reason, such as: rule held at the wrong mark"}},
	})
}

func asideKind() Kind {
	return moves(Kind{
		Name: "aside", Word: "setting aside", Title: "Set aside",
		About: "Why the bow is set aside. It leaves the rack until you take it in hand again.",
	}, model.Rack{}, Question{Name: "why", Group: "set aside", long: true,
		Hint: "what it waits for, such as: horn ordered; Enter alone for no reason"})
}

func Aside(story session.Story) *Sheet { return asideKind().Of(story) }

func backKind() Kind {
	return moves(Kind{
		Name: "back", Word: "coming back", Title: "Back from its customer",
		Line:  "back [why TEXT] [found TEXT] [done TEXT]",
		About: "A bow that comes back from its customer: why, what you found, and what you did.",
	}, model.Rack{InHand: true},
		Question{Name: "why", long: true,
			Hint: "why it came back, such as: it creaks; Enter alone for no reason"},
		Question{Name: "found", long: true,
			Hint: "what you found, such as: lifted splinter; Enter alone for nothing"},
		Question{Name: "done", long: true,
			Hint: "what you did, such as: glued and bound; Enter alone for nothing"})
}

// Back asks about a bow that comes back from its customer.
func Back(story session.Story) *Sheet { return backKind().Of(story) }

// moves gives a kind the form of a bow that leaves the rack or comes to it. That is struck out, never put
// right.
func moves(k Kind, to model.Rack, questions ...Question) Kind {
	k = asks(k, func(session.Story, model.Rack) table[model.Rack] {
		return table[model.Rack]{was: to, asks: questions}
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
		return "Oily rags can catch fire by themselves. Mind fumes and flames: open a window."
	}
	return ""
}

// OnDay asks on which day a step was done; today's is not written.
func OnDay(step model.Finish, title string, now time.Time, dates date.Order) *Sheet {
	ago := func(text string) (day model.Day, err error) {
		at, err := parseDay(text, now, dates)
		if text := at.Format(time.DateOnly); err == nil && text != now.Format(time.DateOnly) {
			day = model.Day(text)
		}
		return day, err
	}
	day := Question{
		path: "on", Name: "day", Group: "finish", must: true, Preset: dates.Print(now),
		Hint: fmt.Sprintf("like %s, or -1 for yesterday; Enter alone for today",
			dates.Print(now.AddDate(0, 0, -1))),
		doubt: func(_ *Sheet, text string) string {
			if day, err := parseDay(text, now, dates); err == nil && day.Before(now.AddDate(-1, 0, 0)) {
				return fmt.Sprintf("%s is more than a year ago", dates.Print(day))
			}
			return ""
		},
	}
	return entrySheet(Kind{Form: "step", Title: title}, &table[model.Finish]{
		was: step, asks: []Question{day},
		visit: func(c *asker, f *model.Finish) {
			always(c, "on", "", simple(noQuantity, ago, func(day model.Day) string { return string(day) }), &f.On)
		}})
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
