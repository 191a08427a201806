package form

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"bendbook/model/finish"
)

// List is one of the lists among a shop's settings.
type List string

// The lists, by the group under which they are shown.
const (
	Stages    List = "stages"
	CardFacts List = "card: what the bow is"
	CardCare  List = "card: how it is kept"
)

// lines are the texts of a list of the card.
func (l List) lines(s *finish.Settings) *[]string {
	if l == CardFacts {
		return &s.Card.Facts
	}
	return &s.Card.Care
}

// Insert asks for a new line of the list, which is to stand at the given place.
func (l List) Insert(s finish.Settings, at int) *Sheet {
	if l == Stages {
		return stageSheet(s, finish.Stage{}, func(to *finish.Settings, stage finish.Stage) {
			to.Stages = slices.Insert(slices.Clone(s.Stages), at, stage)
		})
	}
	return lineSheet(s, l, "", func(to *finish.Settings, text string) {
		*l.lines(to) = slices.Insert(slices.Clone(*l.lines(&s)), at, text)
	})
}

// Remove leaves out the line at a place. The error says why a shop cannot do without it.
func (l List) Remove(s finish.Settings, at int) (finish.Settings, error) {
	if l == Stages {
		s.Stages = slices.Delete(slices.Clone(s.Stages), at, at+1)
	} else {
		*l.lines(&s) = slices.Delete(slices.Clone(*l.lines(&s)), at, at+1)
	}
	return s, pathless(s.Check())
}

// Move sets the line at a place to another, where there is one. The error says why it cannot stand there.
func (l List) Move(s finish.Settings, at, to int) (finish.Settings, error) {
	if l == Stages {
		s.Stages = shifted(s.Stages, at, to)
	} else {
		*l.lines(&s) = shifted(*l.lines(&s), at, to)
	}
	return s, pathless(s.Check())
}

func shifted[T any](of []T, at, to int) []T {
	if to < 0 || to >= len(of) {
		return of
	}
	of = slices.Clone(of)
	one := of[at]
	return slices.Insert(slices.Delete(of, at, at+1), to, one)
}

func stageSettings(s finish.Settings) []Setting {
	usual := finish.Usual().Stages
	var all []Setting
	for i, stage := range s.Stages {
		all = append(all, Setting{
			Group: string(Stages), Label: stage.Name, Value: sayStage(stage), List: Stages, Place: i,
			Usual:  slices.ContainsFunc(usual, func(u finish.Stage) bool { return u.Name == stage.Name && sayStage(u) == sayStage(stage) }),
			Means:  "A step on a bow's way, in the shop's order: by what the story shows that it is done, whether it is owed, how many coats or which grits, and how long the bow lies after it.",
			Source: fromTrade,
			Change: stageSheet(s, stage, func(to *finish.Settings, stage finish.Stage) {
				to.Stages = slices.Clone(s.Stages)
				to.Stages[i] = stage
			}),
		})
	}
	return all
}

// sayStage is what a stage has beside its name.
func sayStage(stage finish.Stage) string {
	var parts []string
	add := func(is bool, format string, args ...any) {
		if is {
			parts = append(parts, fmt.Sprintf(format, args...))
		}
	}
	add(stage.Seen != "", "seen by: %s", string(stage.Seen))
	add(stage.Must, "owed")
	add(stage.Wood, "takes wood")
	add(stage.Coats > 0, "%d coats", stage.Coats)
	add(len(stage.Grits) > 0, "grits %s", numbers(stage.Grits))
	add(stage.Rest > 0, "lies %s h", plainNumber(stage.Rest.Hours()))
	return strings.Join(parts, ", ")
}

func numbers(of []int) string {
	texts := make([]string, len(of))
	for i, n := range of {
		texts[i] = strconv.Itoa(n)
	}
	return strings.Join(texts, ", ")
}

// noSign is how the answer reads that nothing but the maker's word shows a stage.
const noSign = "my word"

func stageSheet(s finish.Settings, stage finish.Stage, put func(*finish.Settings, finish.Stage)) *Sheet {
	signs := append([]string{noSign}, finish.SignNames()...)
	question := func(name, label, hint string, choices []string) Question {
		return Question{Name: name, Label: label, Group: "stage", Hint: hint, Choices: choices}
	}
	questions := []Question{
		question("name", "name", "what you call it, such as varnish", nil),
		question("seen", "seen by", list(signs), signs),
		question("must", "owed", "is it owed also when a later stage was done before it? 1 no, 2 yes", namesOf(yesNames)),
		question("wood", "takes wood", "does the bow weigh less after it? 1 no, 2 yes", namesOf(yesNames)),
		question("coats", "coats", "how often at least, each a day's work, such as 2; Enter alone where it is done once", nil),
		question("grits", "grits", "from coarse to fine, such as 80, 120, 240; Enter alone for none", nil),
		question("rest", "lies", "hours that the bow must lie after it, such as 24; Enter alone for none", nil),
	}
	questions[0].Must = true
	filled := map[string]string{
		"name": stage.Name, "seen": noSign, "must": nameFor(yesNames, stage.Must), "wood": nameFor(yesNames, stage.Wood), "grits": numbers(stage.Grits),
	}
	if stage.Seen != "" {
		filled["seen"] = string(stage.Seen)
	}
	if stage.Coats > 0 {
		filled["coats"] = strconv.Itoa(stage.Coats)
	}
	if stage.Rest > 0 {
		filled["rest"] = plainNumber(stage.Rest.Hours())
	}
	return asking(s, questions, filled, func(sh *Sheet, to *finish.Settings) error {
		made, err := sh.stage()
		put(to, made)
		return err
	})
}

// stage is the stage as it was answered.
func (s *Sheet) stage() (stage finish.Stage, err error) {
	stage = finish.Stage{Name: s.answer("name"), Must: s.answer("must") == "yes", Wood: s.answer("wood") == "yes"}
	if seen := s.answer("seen"); seen != noSign {
		stage.Seen = finish.Sign(seen)
	}
	if text := s.answer("coats"); text != "" {
		if stage.Coats, err = strconv.Atoi(text); err != nil {
			return stage, fmt.Errorf("%q is no count; expected a whole number, such as 2", text)
		}
	}
	for _, text := range strings.FieldsFunc(s.answer("grits"), func(r rune) bool { return r == ',' || r == ' ' || r == ';' }) {
		grit, err := strconv.Atoi(text)
		if err != nil {
			return stage, fmt.Errorf("%q is no grit; expected numbers such as 80, 120, 240", text)
		}
		stage.Grits = append(stage.Grits, grit)
	}
	if text := s.answer("rest"); text != "" {
		hours, err := parseNumber(strings.TrimSuffix(text, "h"))
		if err != nil || hours < 0 || hours > finish.LongestRest.Hours() {
			return stage, fmt.Errorf("%q is no time to lie; expected hours, %g at most", text, finish.LongestRest.Hours())
		}
		stage.Rest = time.Duration(hours * float64(time.Hour))
	}
	return stage, nil
}

func lineSettings(s finish.Settings, list List) []Setting {
	usual := finish.Usual()
	var all []Setting
	for i, line := range *list.lines(&s) {
		all = append(all, Setting{
			Group: string(list), Label: strconv.Itoa(i + 1), Value: line, List: list, Place: i,
			Usual:  slices.Contains(*list.lines(&usual), line),
			Means:  "A line of the card that goes with a bow. {name}, {number}, {for}, {wood}, {weight}, {draw}, {mark}, {brace}, {string}, {day}, {maker} and their like are filled in; a line with a place that cannot be filled is left out.",
			Source: fromTrade,
			Change: lineSheet(s, list, line, func(to *finish.Settings, text string) {
				*list.lines(to) = slices.Clone(*list.lines(&s))
				(*list.lines(to))[i] = text
			}),
		})
	}
	return all
}

func lineSheet(s finish.Settings, list List, line string, put func(*finish.Settings, string)) *Sheet {
	questions := []Question{{Name: "line", Label: "line", Group: string(list), Must: true, Hint: "a line of the card, such as Draw weight: {weight} at {draw} {draw_to}"}}
	// One that is left as it is said stays what it is in English.
	return asking(s, questions, map[string]string{"line": line}, func(sh *Sheet, to *finish.Settings) error {
		put(to, sh.answer("line"))
		return nil
	})
}
