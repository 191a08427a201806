package ui

import (
	"cmp"
	"fmt"
	"math"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/session"
	"bendbook/ui/look"
)

// The demo's ash at the tree, with its own readings: five pulls of sixteen stations, three scrapes between them,
// and its first note. That is typed twice through the same forms: in full, as a rule prints it, and in short. Both make the same
// entries.
func TestASessionTakesFewKeys(t *testing.T) {
	t.Parallel()
	shop := sit(t, look.NoColour, true, 80, 24)
	shop.press("down", "enter")
	bow := shop.bench().atWork.Story().Bow()
	before, sitting := sittingOf(shop.bench().atWork.Story())
	if len(sitting) != 5+3+1 {
		t.Fatalf("the sitting has %d entries", len(sitting))
	}
	rule := bow.Ruler()
	keys := make(map[string]int)
	for way, spell := range map[string]func(text, was string) string{
		"in full": func(text, _ string) string { return text },
		"in short": func(text, was string) string {
			return inShort(rule, text, was)
		},
	} {
		h := sit(t, look.NoColour, false, 80, 24)
		h.hold = true
		bow.ID = ""
		atWork := h.newBow(bow, before...)
		h.press("enter")
		h.open(look.NoColour, 80, 24)
		h.press("enter")
		for _, what := range sitting {
			keys[way] += h.types(what, spell)
		}
		if err := atWork.Refresh(); err != nil {
			t.Fatal(err)
		}
		for i, line := range atWork.Story().Lines[len(before):] {
			if want := sitting[i]; !reflect.DeepEqual(line.Entry.What, want) {
				t.Errorf("%s %s is read as\n%+v, want\n%+v", way, session.Say(bow, want), line.Entry.What, want)
			}
		}
	}
	full, short := keys["in full"], keys["in short"]
	t.Logf("%d keys in full, %d in short: %.0f%%", full, short, 100*float64(short)/float64(full))
	if 100*short > 60*full {
		t.Errorf("%d keys where %d were needed", short, full)
	}
}

// Enter alone takes the place that the verdict asks to scrape. What is typed at a confirmed measure takes its place;
// backspace on the empty field brings it back.
func TestTheVerdictsPlaceIsOfferedAndAConfirmedMeasureTypedOver(t *testing.T) {
	t.Parallel()
	h := ashAtTheBench(t)
	h.reads("Scrape the upper limb from 17 to 21 in")
	h.press("s", "enter", "enter", "enter", "up", "2")
	h.see("in place of 21")
	h.press("backspace", "backspace")
	h.answers("", "", "15", "")
	h.reads("scraped upper limb, 17 to 21 in, scraper, 15 strokes")
}

// inShort is the shortest way to type a value that was another last time.
func inShort(rule measure.Rule, text, was string) string {
	ways := []string{text}
	l, err := measure.ParseLength(text, rule.Unit)
	marks := int(math.Round(float64(l / rule.Mark())))
	switch {
	case err != nil || !strings.Contains(text, "/"):
	case marks < 16:
		ways = append(ways, fmt.Sprintf("%d/", marks))
	default:
		ways = append(ways, fmt.Sprintf("%d %d", marks/16, marks%16))
	}
	if before, err := measure.ParseLength(was, rule.Unit); err == nil && text != "" {
		more := marks - int(math.Round(float64(before/rule.Mark())))
		ways = append(ways, cmp.Or(strings.Repeat("+", max(more, 0))+strings.Repeat("-", max(-more, 0)), "="))
	}
	return slices.MinFunc(ways, func(a, b string) int { return cmp.Compare(len(a), len(b)) })
}

// types enters an event on the bench, each length in a way of spelling it that knows last time's, and returns how
// many keys that took. Doubts are kept.
func (h *hands) types(what model.Event, spell func(text, was string) string) (keys int) {
	h.t.Helper()
	press := func(texts ...string) { keys += h.strokes(texts...) }
	bow := h.bench().bow()
	rule := bow.Ruler()
	at := func() *formScreen { return h.app.top().(*formScreen) }
	field := func(text string) {
		if text = spell(text, at().fields.Was(at().fields.At())); text != "" {
			press(text)
		}
		press("enter")
	}
	switch e := what.(type) {
	case model.Pull:
		// A digit or = opens the form too.
		longest := ""
		if l := h.bench().story().LongestDraw(); l > 0 {
			longest = rule.Print(l)
		}
		press(spell(rule.Print(e.Draw), longest), "enter")
		h.sure()
		press(bow.Weigher().Short(e.Peak.Or(0)), "enter")
		for _, side := range model.Sides {
			for i := range bow.Limbs[side].Stations {
				l, read := e.Readings.At(side, i).Get()
				text := ""
				if read {
					text = rule.Print(l)
				}
				field(text)
			}
		}
	case model.Scrape:
		press("s")
		press(e.Limb.String()[:1], "enter")
		field(rule.Print(e.From))
		field(rule.Print(e.To))
		press("enter")
		press(strconv.Itoa(e.Strokes.Or(0)), "enter", "enter")
	case model.Note:
		press("n", e.Text, "enter")
	}
	for strings.Contains(h.app.View(), "SURE?") {
		press("enter")
	}
	if _, open := h.app.top().(*formScreen); open {
		h.t.Fatalf("%s isn't saved:\n%s", session.Say(bow, what), h.app.View())
	}
	return keys
}

// sittingOf parts a story into what was before a day, and five pulls, three scrapings and a note from then on.
func sittingOf(story session.Story) (before, sitting []model.Event) {
	for _, line := range story.Lines {
		what := line.Entry.What
		if line.Entry.At.Before(time.Date(2027, 1, 21, 0, 0, 0, 0, time.UTC)) {
			before = append(before, what)
			continue
		}
		n := 0
		for _, had := range sitting {
			if reflect.TypeOf(had) == reflect.TypeOf(what) {
				n++
			}
		}
		pull, isPull := what.(model.Pull)
		_, isScrape := what.(model.Scrape)
		_, isNote := what.(model.Note)
		if isPull && pull.Readings.Any() && n < 5 || isScrape && n < 3 || isNote && n < 1 {
			sitting = append(sitting, what)
		}
	}
	return before, sitting
}
