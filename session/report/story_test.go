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
	read := func(number int, readings bool) Document {
		of := subject(twoSessions(t), number)
		of.Readings = readings
		d, err := Of(of)
		must(t, err)
		d.Parts = slices.DeleteFunc(d.Parts, func(p part) bool { return p.Figured })
		return d
	}
	golden(t, "whole.txt", read(0, false).TextIn(paperWidth))
	golden(t, "second.md", read(2, true).Markdown())
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

// What the text of a bow's story has, and has not, after what was done in its sessions, a day apart.
func TestTheStoryTells(t *testing.T) {
	held := pull(18, 31.4, nil, nil)
	held.Held = measure.Some(3200 * time.Millisecond)
	block := &model.Block{Length: 6, At: []measure.Length{6}, Gaps: model.Readings{row(0.11), row(0.1)}}
	for name, c := range map[string]struct {
		days [][]model.Event
		has  []string
		not  string
	}{
		"how long a pull was held, in a column of its own where any was timed": {
			[][]model.Event{{held, pull(20, 35, nil, nil)}},
			[]string{`^ +draw +peak +held$`, `^ +18 in +31\.4 +3\.2 s$`, `^ +20 in +35\.0 +-$`}, ""},
		"a row of block gaps alone once, as a table that says that the bow was braced": {
			[][]model.Event{{model.Braced{From: model.FromString, Block: block}}},
			[]string{`^Braced, gap under a block of 6 in \(in\):$`}, "Braced."},
	} {
		s := newWorkshop(t, ash())
		for _, events := range c.days {
			s.add(t, events...)
			s.now = s.now.Add(24 * time.Hour)
		}
		text := documentOf(t, s.story(), len(c.days)).TextIn(paperWidth)
		for _, want := range c.has {
			if !regexp.MustCompile("(?m)" + want).MatchString(text) {
				t.Errorf("%s: nothing matches %s in\n%s", name, want, text)
			}
		}
		if c.not != "" && strings.Contains(text, c.not) {
			t.Errorf("%s: there is %q in\n%s", name, c.not, text)
		}
	}
}
