package finish

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"bendbook/model"
)

// Stage is one step on a bow's way, as a shop takes them.
type Stage struct {
	Name string `json:"name"`
	// Seen is the sign in the story that it is done; "" where only the maker can say so.
	Seen Sign `json:"seen,omitempty"`
	// Must says that the stage is owed also when a later one was done before it.
	Must bool `json:"must,omitempty"`
	// Wood says that the stage takes wood off, so that the weight before it is not the weight after it.
	Wood bool `json:"takes_wood,omitempty"`
	// Coats is how often it is done at least, each time a day's work of its own; 0 where it is done once.
	Coats int `json:"coats,omitempty"`
	// Grits are those that it goes through, in order; nil for none.
	Grits []int `json:"grits,omitempty"`
	// Rest is for how many hours the bow must lie after it: a coat dries, glue sets.
	Rest float64 `json:"rest_hours,omitempty"`
}

// rest is for how long the bow must lie after it.
func (s Stage) rest() time.Duration { return time.Duration(s.Rest * float64(time.Hour)) }

// Sign is what shows that a stage is done.
type Sign string

// The signs that a shop's list may name, in the order of a bow's life.
const (
	SignPulled   Sign = "pulled"        // drawn on a long string, before it was ever braced
	SignBraced   Sign = "braced"        // read while braced
	SignTillered Sign = "at weight"     // weighs, at the ordered draw, what it may weigh on the tree
	SignWeighed  Sign = "weighed"       // weighed at the ordered draw since wood last came off
	SignMarked   Sign = "marked"        // no sign but the maker's word; the finish screen stamps at this stage
	SignAway     Sign = "handed over"   // the bow leaves the shop
	SignBack     Sign = "came back"     // in hand again after it was handed over
	SignReweigh  Sign = "weighed again" // weighed at the ordered draw after it came back
)

func signs() []option[Sign] {
	all := named(SignPulled, SignBraced, SignTillered, SignWeighed, SignMarked, SignAway, SignBack, SignReweigh)
	return append([]option[Sign]{{"my word", ""}}, all...)
}

// afterwards says whether the stage belongs to the time after the bow was handed over.
func (s Stage) afterwards() bool { return s.Seen == SignBack || s.Seen == SignReweigh }

// Step is the name by which the stage is logged. A bow is handed over by the step of that name, however a shop
// calls it, so that every book knows it.
func (s Stage) Step() string {
	if s.Seen == SignAway {
		return model.HandedOver
	}
	return s.Name
}

// stageField is a field of a stage, with how the stage is told of where it is not left out.
type stageField struct {
	label, hint, told string
	Field[Stage]
}

// stageTable are all fields of a stage.
func stageTable() []stageField {
	seen := chooseAt("seen", signs(), func(s *Stage) *Sign { return &s.Seen })
	grits := Field[Stage]{Path: "grits", Parse: parseGrits, Want: wantGrits, Print: func(s Stage) string {
		return strings.ReplaceAll(strings.Trim(fmt.Sprint(s.Grits), "[]"), " ", ", ")
	}}
	return []stageField{
		{"name", "what you call it, such as varnish", "",
			text("name", "", func(s *Stage) *string { return &s.Name }, wantName)},
		{"seen by", "", "seen by: %s", seen},
		{"owed", "is it owed also when a later stage was done before it? 1 no, 2 yes", "owed",
			chooseAt("must", yesOrNo(), func(s *Stage) *bool { return &s.Must })},
		{"takes wood", "does the bow weigh less after it? 1 no, 2 yes", "takes wood",
			chooseAt("takes_wood", yesOrNo(), func(s *Stage) *bool { return &s.Wood })},
		{"coats", "how often at least, each a day's work, such as 2; Enter alone where it is done once", "%s coats",
			number("coats", "", func(s *Stage) *int { return &s.Coats }, 0, 40, "expected a number of coats, 40 at most")},
		{"grits", "from coarse to fine, such as 80, 120, 240; Enter alone for none", "grits %s", grits},
		{"lies", "hours that the bow must lie after it, such as 24; Enter alone for none", "lies %s h",
			number("rest_hours", "", func(s *Stage) *float64 { return &s.Rest }, 0, 366*24, "expected hours from 0 to 8784")},
	}
}

// String is what a stage has beside its name.
func (s Stage) String() string {
	var parts []string
	for _, f := range stageTable() {
		if value := f.Print(s); f.told != "" && value != f.Print(Stage{}) {
			parts = append(parts, strings.ReplaceAll(f.told, "%s", value))
		}
	}
	return strings.Join(parts, ", ")
}

// stageFields are the fields of a stage among the settings.
func stageFields(i int) (all []Field[Settings]) {
	for _, f := range stageTable() {
		all = append(all, Field[Settings]{
			Path: fmt.Sprintf("stages[%d].%s", i, f.Path), Label: f.label, Hint: f.hint, Choices: f.Choices, Must: f.Path == "name",
			Print: func(s Settings) string { return f.Print(s.Stages[i]) },
			Parse: func(to *Settings, text string) error { return f.Parse(&to.Stages[i], text) },
			Want:  func(s Settings) string { return f.Want(s.Stages[i]) },
		})
	}
	return all
}

func wantName(name string) string {
	return cmp.Or(expect(name != "", "missing; expected the stage's name"), lineUpTo(40)(name))
}

func parseGrits(to *Stage, text string) error {
	to.Grits = nil
	for _, text := range strings.FieldsFunc(text, func(r rune) bool { return r == ',' || r == ' ' || r == ';' }) {
		grit, err := strconv.Atoi(text)
		if err != nil {
			return fmt.Errorf("%q is no grit; expected numbers such as 80, 120, 240", text)
		}
		to.Grits = append(to.Grits, grit)
	}
	return nil
}

func wantGrits(s Stage) string {
	return cmp.Or(
		expect(len(s.Grits) <= 20, "expected 20 grits at most"),
		expect(s.Coats == 0 || len(s.Grits) == 0, "a stage has coats or grits, not both"),
	)
}

// checkStages judges the stages one by another.
func (s Settings) checkStages() error {
	const most = 60 // against slips of the hand
	if len(s.Stages) == 0 || len(s.Stages) > most {
		return wrong("stages", "expected from 1 to %d stages", most)
	}
	away := false
	for i, stage := range s.Stages {
		at := fmt.Sprintf("stages[%d]", i)
		before := s.Stages[:i]
		same := func(other Stage) bool { return strings.EqualFold(other.Name, stage.Name) }
		seen := func(other Stage) bool { return other.Seen == stage.Seen }
		switch {
		case slices.ContainsFunc(before, same):
			return wrong(at+".name", "%q stands twice", stage.Name)
		case stage.Seen != "" && slices.ContainsFunc(before, seen):
			return wrong(at+".seen", "%q stands twice", string(stage.Seen))
		case away && !stage.afterwards():
			return wrong(at, "it stands after the handing over, but belongs before it")
		}
		for k, grit := range stage.Grits {
			if grit < 1 || grit > 10_000 || k > 0 && grit <= stage.Grits[k-1] {
				return wrong(fmt.Sprintf("%s.grits[%d]", at, k), "expected grits from coarse to fine, as 80, 120, 240")
			}
		}
		away = away || stage.Seen == SignAway
	}
	if !away {
		return wrong("stages", `expected one with "seen": "handed over": by it a bow leaves the shop`)
	}
	return nil
}

// Insert puts a stage without a name before another, for a form to fill in.
func (s Settings) Insert(at int) Settings {
	s.Stages = slices.Insert(slices.Clone(s.Stages), at, Stage{})
	return s
}

// Remove leaves out a stage. The error says why a shop cannot do without it.
func (s Settings) Remove(at int) (Settings, error) {
	s.Stages = slices.Delete(slices.Clone(s.Stages), at, at+1)
	return s, s.Check()
}

// Move sets a stage at another's place, where there is one. The error says why it cannot stand there.
func (s Settings) Move(at, to int) (Settings, error) {
	if to < 0 || to >= len(s.Stages) {
		return s, nil
	}
	stages := slices.Clone(s.Stages)
	s.Stages = slices.Insert(slices.Delete(stages, at, at+1), to, s.Stages[at])
	return s, s.Check()
}
