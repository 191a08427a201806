package form

import (
	"cmp"
	"fmt"
	"strconv"
	"strings"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/session"
)

func scrapeKind() Kind {
	return asks(Kind{
		Key: "s", Name: "scrape", Main: true, Long: "Enter what was scraped: limb, from, to, tool, strokes " +
			"or depth.",
		Caution: dustCaution,
		About: "The wood you took off: which limb, from where to where, with what tool. Then how much, if you " +
			"counted strokes or measured. After a reading this begins a new pass.",
	}, scrapeTable)
}

// scrapeSheet asks what came off: limb, from where to where, with which tool, how many strokes or how deep.
func scrapeSheet(story session.Story) *Sheet { return scrapeKind().Of(story) }

func scrapeTable(story session.Story, was model.Scrape) table[model.Scrape] {
	bow, tool := story.Bow(), ""
	for _, pass := range story.Passes {
		for _, scrape := range pass.Scrapes {
			tool = scrape.Tool
		}
	}
	tool = cmp.Or(tool, model.UsualTool)
	if was.To > 0 {
		tool = "" // one that named none keeps none
	}
	// What a scraper takes: a hundredth of an inch, or some tenths of a millimetre.
	shaving := measure.Rule{Unit: bow.Units.Length, Step: 0.01}
	if bow.Units.Length != measure.Inch {
		shaving.Step = measure.Millimetre.Length(0.1)
	}
	t := table[model.Scrape]{asks: stretch(
		Question{Name: "tool", Preset: tool, Hint: "with what, such as scraper, rasp or spokeshave"},
		Question{Name: "strokes", Hint: "how many, such as 15; Enter alone if you didn't count"},
		Question{Name: "depth", measures: thin,
			doubt: func(_ *Sheet, text string) string {
				if depth, _ := bow.ParseLength(text); depth > 0.25 {
					return fmt.Sprintf("%s in one scraping is much", bow.Ruler().WithUnit(depth))
				}
				return ""
			},
			Hint: fmt.Sprintf("how much came off, such as %s; Enter alone if you didn't measure",
				shaving.Print(0.01))},
		Question{Name: "face", seldom: true, Choices: model.Faces(),
			Hint: "1 left, 2 right, 3 sides or 4 facets; Enter alone for the belly"},
	)}
	if was.DepthShare.Known() { // a plan's: nobody measures it, and only a correction asks for it
		t.asks = append(t.asks, Question{path: "depth_share", Name: "share", most: 99,
			Hint: "how much of the thickness came off, as planned, such as 4"})
		t.whole = func(s *Sheet, e *model.Scrape) error {
			if e.Depth.Known() && s.changed("depth") {
				e.DepthShare = measure.Optional[float64]{}
			}
			return nil
		}
	}
	return t
}

func askLimb() Question {
	return Question{Name: "limb", must: true, Choices: sideNames(), Hint: "1 upper or 2 lower"}
}

// stretch asks for a stretch of a limb, and then for more.
func stretch(more ...Question) []Question {
	return append([]Question{askLimb(),
		{Name: "from", must: true, Hint: "where it begins, from the handle out, such as {10in}"},
		{Name: "to", must: true, Hint: "where it ends, farther out, such as {16in}"}}, more...)
}

// ScrapeAt asks what came off where it was to: Enter alone takes that limb and place.
func ScrapeAt(story session.Story, limb model.Side, from, to string) *Sheet {
	s := scrapeSheet(story)
	for name, text := range map[string]string{"limb": limb.String(), "from": from, "to": to} {
		s.Questions[s.index(name)].Preset = text
	}
	return s
}

// ScrapeCut asks what came off where a plan takes wood, filled in with what was planned: Enter alone takes
// it. Where neither strokes nor depth are answered, the planned share of the depth is taken for what came
// off, as long as limb and place are those of the plan.
func ScrapeCut(story session.Story, cut model.Scrape) *Sheet {
	bow := story.Bow()
	from, to := sayPlace(bow, cut.From, 0), sayPlace(bow, cut.To, bow.Limbs[cut.Limb].Length)
	s := ScrapeAt(story, cut.Limb, from, to)
	s.Title = "Scrape by the plan"
	for name, text := range map[string]string{"tool": cut.Tool, "strokes": optional(cut.Strokes, strconv.Itoa),
		"depth": optional(cut.Depth, bow.Calliper().WithUnit)} {
		q := &s.Questions[s.index(name)]
		q.Preset = cmp.Or(text, q.Preset)
	}
	share, known := cut.DepthShare.Get()
	if !known || cut.Depth.Known() {
		return s
	}
	s.Questions[s.index("depth")].Hint = fmt.Sprintf(
		"how much came off; Enter alone: as planned, %.1f%% of the thickness", 100*share)
	finish := s.finish
	s.finish = func(s *Sheet) (outcome, error) {
		out, err := finish(s)
		scrape, isScrape := out.Event.(model.Scrape)
		asPlanned := scrape.Limb == cut.Limb && s.answer("from") == from && s.answer("to") == to
		if err == nil && isScrape && asPlanned && !scrape.Depth.Known() && !scrape.Strokes.Known() {
			scrape.DepthShare = cut.DepthShare
			out.Event = scrape
		}
		return out, err
	}
	return s
}

func shortenKind() Kind {
	return asksFor[model.Shorten](Kind{
		Line: "shorten [upper] LENGTH [lower] LENGTH",
		Key:  "S", Name: "shorten", Long: "Enter what came off the limbs at their nocks.",
		Caution: "A shorter bow strains more: draw it short at first. Wear a dust mask.",
		About: "What you sawed off at each nock. Or how far in you cut new ones. Stations stay where they are. " +
			"It needs a shorter string: you are asked for that next.",
	},
		Question{path: "off_upper", Name: "upper",
			Hint: "off at the upper nock, such as {3/4in}; Enter alone for nothing"},
		Question{path: "off_lower", Name: "lower",
			Hint: "off at the lower nock, such as {3/4in}; Enter alone for nothing"})
}

// sayPlace prints a place on a limb as it is typed, exactly where the rule would round it past most, the
// nock; most 0 is no bound.
func sayPlace(bow model.Bow, at, most measure.Length) string {
	text := bow.Ruler().Short(at)
	if l, err := bow.ParseLength(text); most > 0 && (err != nil || l > most) {
		return fmt.Sprint(at.In(bow.Units.Length))
	}
	return text
}

// ShortenBy asks what came off where so much was to come off each end: Enter alone takes that.
func ShortenBy(story session.Story, each measure.Length) *Sheet {
	s := shortenKind().Of(story)
	for i := range s.Questions {
		q := &s.Questions[i]
		q.Preset = exactLength(story.Bow(), each)
		q.Hint = strings.Replace(q.Hint, "Enter alone", "0", 1)
	}
	return s
}
