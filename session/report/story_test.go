package report

import (
	"bytes"
	"flag"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"
	"unicode"

	"github.com/rivo/uniseg"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/session"
)

var update = flag.Bool("update", false, "write the golden files anew")

func golden(t *testing.T, name, got string) {
	t.Helper()
	path := filepath.Join("testdata", name)
	if *update {
		must(t, os.WriteFile(path, []byte(got), 0o644))
	}
	want, err := os.ReadFile(path)
	must(t, err)
	if !bytes.Equal(want, []byte(got)) {
		t.Errorf("%s: got\n%s\nwant\n%s", name, got, want)
	}
}

// Without what the readings say, which is the advice's own to test.
func TestSummaryReadsAsItShould(t *testing.T) {
	read := func(number int) Document {
		d := documentOf(t, twoSessions(t), number)
		d.Parts = slices.DeleteFunc(d.Parts, func(p part) bool { return p.Figured })
		return d
	}
	golden(t, "whole.txt", read(0).TextIn(paperWidth))
	golden(t, "second.md", read(2).Markdown())
}

// TestSummaryCanBeShownAnywhere: no line but a table's is wider than paper, and nothing steers a terminal.
func TestSummaryCanBeShownAnywhere(t *testing.T) {
	bow := ash()
	bow.Name = strings.Repeat("弓", 100) + " \x1b[2J" + strings.Repeat("x", 90)
	bow.Order.For = strings.Repeat("W", 100)
	bow.Wood = "עץ\u202e אש"
	s := newWorkshop(t, bow)
	s.add(t, twoSessions(t).Lines[0].Entry.What)
	for _, story := range []session.Story{twoSessions(t), s.story()} {
		d := documentOf(t, story, 0)
		for line := range strings.Lines(d.TextIn(paperWidth)) {
			line = strings.TrimSuffix(line, "\n")
			if uniseg.StringWidth(line) > 72 && !strings.HasPrefix(line, "  ") || strings.TrimRight(line, " ") != line {
				t.Errorf("too wide, or blanks at the end of %q", line)
			}
		}
		for _, text := range []string{d.TextIn(paperWidth), d.Markdown()} {
			steers := func(r rune) bool { return r != '\n' && unicode.In(r, unicode.Cc, unicode.Cf) }
			if strings.ContainsFunc(text, steers) {
				t.Errorf("it steers a terminal:\n%q", text)
			}
			if strings.Contains(text, "\n\n\n") || strings.HasSuffix(text, "\n\n") || !strings.HasSuffix(text, "\n") {
				t.Errorf("it has empty lines in a row, or at its end:\n%q", text)
			}
		}
	}
}

func TestSummaryOfASessionThatIsNot(t *testing.T) {
	empty := newWorkshop(t, ash()).story()
	if got := documentOf(t, empty, 0).TextIn(paperWidth); !strings.HasSuffix(got, "\nNothing has been entered yet.\n") {
		t.Errorf("a bow without entries reads\n%s", got)
	}
	for says, story := range map[string]session.Story{
		"there is no session 3; Ash for Wren has no session yet":  empty,
		"there is no session 3; Ash for Wren has sessions 1 to 2": twoSessions(t),
	} {
		if _, err := Of(subject(story, 3)); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%v, want %q", err, says)
		}
	}
}

// How long a pull was held stands beside its peak, in a column of its own where any was timed.
func TestSummaryTellsHowLongAPullWasHeld(t *testing.T) {
	s := newWorkshop(t, ash())
	held := model.Pull{Draw: 18, Peak: measure.Some[measure.Force](31.4),
		Held: measure.Some(3200 * time.Millisecond), From: model.FromLine}
	s.add(t, held)
	s.add(t, model.Pull{Draw: 20, Peak: measure.Some[measure.Force](35), From: model.FromLine})
	text := documentOf(t, s.story(), 0).TextIn(paperWidth)
	for _, want := range []string{`(?m)^ +draw +peak +held$`, `(?m)^ +18 in +31\.4 +3\.2 s$`,
		`(?m)^ +20 in +35\.0 +-$`} {
		if !regexp.MustCompile(want).MatchString(text) {
			t.Errorf("nothing matches %s in\n%s", want, text)
		}
	}
}

// TestChangesOfAPassThatWentOnOverTwoSessions compares what each session read, not what the pass came to.
func TestChangesOfAPassThatWentOnOverTwoSessions(t *testing.T) {
	s := newWorkshop(t, ash())
	braced := func(upper measure.Length) model.Event {
		return model.Braced{From: model.FromString, Readings: model.Readings{row(6, upper, 5), row(6, 5.375, 5)}}
	}
	s.add(t, pull(18, 31, nil, nil), pull(18.0625, 30.5, nil, nil), braced(5.5))
	s.now = s.now.Add(24 * time.Hour)
	s.add(t, pull(18, 29.5, nil, nil), braced(5.4375))
	text := documentOf(t, s.story(), 2).TextIn(paperWidth)
	for _, want := range []string{
		"- Weight at 18 in: was 30.5, now 29.5 lb (-1.0).\n", "- Braced, upper gap less lower gap at 8 in: was " +
			"+1/8, now +1/16 in.\n",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is missing in\n%s", want, text)
		}
	}
	if strings.Contains(text, "Wood came off") {
		t.Errorf("no wood came off in\n%s", text)
	}
}

// TestChangesAreToldAlsoWhenTheLastPassHasNoPullYet: after the last pull of the day there was one more
// scraping.
func TestChangesAreToldAlsoWhenTheLastPassHasNoPullYet(t *testing.T) {
	s := newWorkshop(t, ash())
	s.add(t, pull(18, 31, nil, nil))
	s.now = s.now.Add(24 * time.Hour)
	cut := model.Scrape{Limb: model.Lower, From: 4, To: 12}
	s.add(t, cut, pull(18, 29.5, nil, nil), cut)
	if text := documentOf(t, s.story(), 2).TextIn(paperWidth); !strings.Contains(text,
		"- Weight at 18 in: was 31.0, now 29.5 lb (-1.5).\n- Wood came off in 2 places.\n") {
		t.Errorf("the changes are missing in\n%s", text)
	}
}

// A row of block gaps alone is told once, as a table that says that the bow was braced.
func TestABlockAloneIsNoBareBraced(t *testing.T) {
	block := &model.Block{Length: 6, At: []measure.Length{6}, Gaps: model.Readings{row(0.11), row(0.1)}}
	s := newWorkshop(t, ash())
	s.add(t, model.Braced{From: model.FromString, Block: block})
	text := documentOf(t, s.story(), 0).TextIn(paperWidth)
	if strings.Contains(text, "Braced.") || !strings.Contains(text, "Braced, gap under a block of 6 in (in):") {
		t.Errorf("it says\n%s", text)
	}
}
