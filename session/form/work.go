package form

import (
	"errors"
	"fmt"
	"strings"

	"bendbook/model"
	"bendbook/model/finish"
	"bendbook/model/measure"
	"bendbook/session"
	"bendbook/session/shop"
)

// DustCaution stands where wood or horn is worked; local rules and qualified teaching come first.
const DustCaution = "Wear a dust mask: yew and tropical woods, horn and bone dust harm the lungs."

// StringCaution stands where the bow is strung.
const StringCaution = "String it with care and stand clear of the limbs; look for cracks before you go on."

// StageCaution is the caution of a stage of finishing: dust where wood or horn is worked, care where the bow is strung; "" where none is called for.
func StageCaution(stage finish.Standing) string {
	switch name := strings.ToLower(stage.Name); {
	case stage.Wood || strings.Contains(name, "nock") || strings.Contains(name, "rough"):
		return DustCaution
	case strings.Contains(name, "strung"):
		return StringCaution
	case stage.Rest > 0:
		return "Mind the fumes: varnish, oil and glue want fresh air and no flame; rags with oil can take fire by themselves."
	}
	return ""
}

// Scrape asks what came off: limb, from where to where, with which tool, how many strokes or how deep.
func Scrape(story session.Story) *Sheet {
	bow := story.Bow()
	tool := shop.UsualTool
	if last, ok := lastScrape(story); ok && last.Tool != "" {
		tool = last.Tool
	}
	unit := string(bow.Units.Length)
	limb := func(s *Sheet) model.Limb {
		side, _ := s.sideOf()
		return bow.Limbs[side]
	}
	questions := []Question{
		{Name: "limb", Label: "limb", Group: "scrape", Must: true, Choices: sideNames(), Hint: "1 upper or 2 lower"},
		{
			Name: "from", Label: "from", Group: "scrape", Unit: unit, Must: true, Hint: fmt.Sprintf("where it begins, from the handle out, such as %s", exampleLength(bow.Units.Length, 10)),
			check: func(s *Sheet, text string) error {
				return length(bow, func(from measure.Length) error {
					return pathless(bow.CheckEvent(model.Scrape{Limb: side(s), From: from, To: limb(s).Length}))
				})(s, text)
			},
		},
		{
			Name: "to", Label: "to", Group: "scrape", Unit: unit, Must: true, Hint: fmt.Sprintf("where it ends, farther out, such as %s", exampleLength(bow.Units.Length, 16)),
			check: func(s *Sheet, text string) error {
				return length(bow, func(to measure.Length) error {
					return pathless(bow.CheckEvent(model.Scrape{Limb: side(s), From: s.lengthOf(bow, "from").Or(0), To: to}))
				})(s, text)
			},
		},
		{Name: "tool", Label: "tool", Group: "scrape", Preset: tool, Hint: "such as scraper, rasp or spokeshave", check: shortText},
		{Name: "strokes", Label: "strokes", Group: "scrape", measures: aCount, Hint: "how many; Enter alone where they were not counted", check: count(0, 100_000)},
		{
			Name: "depth", Label: "depth", Group: "scrape", Unit: unit, measures: thin, Hint: fmt.Sprintf("how much came off, such as %s; Enter alone where it was not measured", exampleDepth(bow.Units.Length)),
			check: length(bow, func(depth measure.Length) error {
				return pathless(bow.CheckEvent(model.Scrape{From: 0, To: bow.Limbs[model.Upper].Length, Depth: measure.Some(depth)}))
			}),
			doubt: func(_ *Sheet, text string) string {
				if depth, err := bow.ParseLength(text); err == nil && depth > 0.25 {
					return fmt.Sprintf("%s in one scraping is much: %s", bow.Ruler().WithUnit(depth), keepIt)
				}
				return ""
			},
		},
	}
	s := newSheet("scrape", "Scrape", questions, func(s *Sheet) (Outcome, error) {
		return Outcome{Event: model.Scrape{
			Limb: side(s), From: s.lengthOf(bow, "from").Or(0), To: s.lengthOf(bow, "to").Or(0), Tool: s.answer("tool"),
			Strokes: s.countOf("strokes"), Depth: s.lengthOf(bow, "depth"),
		}}, nil
	})
	s.Caution = DustCaution
	return s
}

// Exercise asks for the number of easy pulls after a scraping.
func Exercise(session.Story) *Sheet {
	return newSheet("exercise", "Exercise", []Question{{
		Name: "pulls", Label: "pulls", Group: "exercise", Must: true, Preset: "20", measures: aCount,
		Hint: "how many easy pulls; 10 to 30 is common practice", check: count(1, 100_000),
	}}, func(s *Sheet) (Outcome, error) {
		return Outcome{Event: model.Exercise{Pulls: s.countOf("pulls").Or(0)}}, nil
	})
}

// Note asks for the maker's own words.
func Note(session.Story) *Sheet {
	return newSheet("note", "Note", []Question{{Name: "text", Label: "note", Group: "note", Must: true, Hint: "a line in your own words"}},
		func(s *Sheet) (Outcome, error) { return Outcome{Event: model.Note{Text: s.answer("text")}}, nil })
}

// StringLength asks for the string's length between nocks.
func StringLength(story session.Story) *Sheet {
	bow := story.Bow()
	return newSheet("string", "String", []Question{{
		Name: "length", Label: "string length", Group: "string", Unit: string(bow.Units.Length), Must: true,
		Hint: fmt.Sprintf("between the nocks, such as %s", exampleLength(bow.Units.Length, 69.75)),
		was: func(*Sheet) string {
			if l, known := story.StringLength().Get(); known {
				return bow.Ruler().Print(l)
			}
			return ""
		},
		check: length(bow, func(l measure.Length) error { return pathless(bow.CheckEvent(model.StringLength{Length: l})) }),
	}}, func(s *Sheet) (Outcome, error) {
		return Outcome{Event: model.StringLength{Length: s.lengthOf(bow, "length").Or(0)}}, nil
	})
}

// Void asks why an entry no longer counts.
func Void(id, what string) *Sheet {
	return newSheet("void", fmt.Sprintf("Void: %s", what), []Question{{
		Name: "why", Label: "why", Group: "void", Must: true, Hint: "the reason, such as: rule held at the wrong mark",
	}}, func(s *Sheet) (Outcome, error) {
		return Outcome{Event: model.Void{Entry: id, Why: s.answer("why")}}, nil
	})
}

// Aside asks why a bow is set aside.
func Aside() *Sheet {
	return newSheet(asideForm, "Set aside", []Question{{
		Name: "why", Label: "why", Group: "set aside", Hint: "what it waits for, such as: horn ordered; Enter alone for no reason",
	}}, func(s *Sheet) (Outcome, error) { return Outcome{Event: model.Rack{Why: s.answer("why")}}, nil })
}

func side(s *Sheet) model.Side {
	side, _ := s.sideOf()
	return side
}

func lastScrape(story session.Story) (model.Scrape, bool) {
	for n := len(story.Passes) - 1; n >= 0; n-- {
		if k := len(story.Passes[n].Scrapes); k > 0 {
			return story.Passes[n].Scrapes[k-1], true
		}
	}
	return model.Scrape{}, false
}

// pathless is the error without the field's path, which the form shows by itself.
func pathless(err error) error {
	var fault *model.FieldError
	if errors.As(err, &fault) {
		return errors.New(fault.Want)
	}
	return err
}
