package ui

import (
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/charmbracelet/x/ansi"
	"github.com/rogpeppe/go-internal/testscript"

	"bendbook/session/shop"
	"bendbook/ui/look"
)

// TestScripts presses keys as testdata/script tells, which is written to be read. The commands are
//
//	shop demo|empty [COLUMNS ROWS]  sit down at the demo shop or at an empty book, in a window of 80 by 24
//	bench                           the same, with the demo's ash on the bench, whose flat spot stays
//	reopen [COLUMNS ROWS]           leave without a word, and come again
//	press KEY...                    press named keys, or the letters of a text; 5*down presses it five times
//	answer TEXT...                  type each text and confirm it; sure: confirm what is asked about
//	paste TEXT                      paste it at once
//	see TEXT...                     the screen must show each text in one row; ! see: it must not
//	read TEXT...                    the same, where only the words count and not the blanks between
//	find REGEXP                     the screen must show what is described
//	size COLUMNS ROWS               change the window, in which each view must fit
//	hold, settle [again]            keep what is worked out from being done; do it
//	book fails|locked|mended|damaged|works [WHY]
//	clock TIME, pass DURATION       set the clock; let it tick
//	import FILE, saved FILE TEXT... bring in records; a file that was written must hold each text
//	pull DRAW PEAK                  enter a pull on the bench, without its stations
//	capture NAME REGEXP             keep what the screen shows as $NAME
//	change LABEL VALUE, choose LABEL a setting, on the screen of the settings
//	settings TEXT...                the settings, as a document, must hold each text; ! settings, must not
//	remember, unchanged             the book must tell the same as when it was remembered
//	entries N, bells N, keys N      so many are in the book, rang, were pressed
//	ended, hangup                   the program has ended; close its window
func TestScripts(t *testing.T) {
	if testing.Short() {
		t.Skip("all on one goroutine")
	}
	cmds := make(map[string]func(*testscript.TestScript, bool, []string))
	for name, do := range scriptCommands() {
		cmds[name] = func(ts *testscript.TestScript, neg bool, args []string) {
			s := ts.Value("hands").(*scripted)
			s.ts, s.neg = ts, neg
			do(s, args)
			s.fits(s.app.width, s.app.height)
		}
	}
	testscript.Run(t, testscript.Params{Dir: "testdata/script", Cmds: cmds, Setup: func(env *testscript.Env) error {
		env.Values["hands"] = &scripted{t: env.T().(testing.TB)}
		return nil
	}})
}

// scripted are the hands that a script leads, at the command ts; neg says that it is denied.
type scripted struct {
	*hands
	t   testing.TB
	ts  *testscript.TestScript
	neg bool
	was string // what the book told
	key int    // strokes so far
}

func (s *scripted) sitDown(demo bool, size []string) {
	width, height := window(size)
	s.hands, s.key = sit(s.t, look.NoColour, demo, width, height), 0
}

// window is a window's size, 80 by 24 where none is given.
func window(size []string) (width, height int) {
	_, _ = fmt.Sscan(strings.Join(append(size, "80", "24")[:2], " "), &width, &height)
	return width, height
}

func (s *scripted) has(text string, wanted []string) {
	for _, want := range wanted {
		if strings.Contains(text, want) == s.neg {
			s.ts.Fatalf("%q is missing, or shouldn't be there:\n%s", want, text)
		}
	}
}

func (s *scripted) is(got any, want string) {
	if fmt.Sprint(got) != want {
		s.ts.Fatalf("it is %v, want %s", got, want)
	}
}

// found is what a pattern describes on the screen; "" where it shows nothing like it.
func (s *scripted) found(pattern string) string {
	return regexp.MustCompile(pattern).FindString(ansi.Strip(s.app.View()))
}

// unescaped are the characters that a script can't hold.
var unescaped = strings.NewReplacer(`\r`, "\r", `\n`, "\n", `\t`, "\t", `\ufeff`, "\ufeff")

func scriptCommands() map[string]func(s *scripted, args []string) {
	return map[string]func(s *scripted, args []string){
		"shop":   func(s *scripted, args []string) { s.sitDown(args[0] == "demo", args[1:]) },
		"bench":  func(s *scripted, _ []string) { s.sitDown(true, nil); s.press("/", "wren", "enter") },
		"press":  func(s *scripted, args []string) { s.key += s.strokes(repeated(args)...) },
		"keys":   func(s *scripted, args []string) { s.is(s.key, args[0]) },
		"hangup": func(s *scripted, _ []string) { s.send(leaveMsg{}) },
		"answer": func(s *scripted, args []string) { s.answers(args...) },
		"paste":  func(s *scripted, args []string) { s.send(pasted(unescaped.Replace(args[0]))) },
		"sure":   func(s *scripted, _ []string) { s.sure() },
		"see":    func(s *scripted, args []string) { s.has(ansi.Strip(s.app.View()), args) },
		"read":   func(s *scripted, args []string) { s.has(oneLine(s.app.View()), args) },
		"find":   func(s *scripted, args []string) { s.is(s.found(args[0]) == "", fmt.Sprint(s.neg)) },
		"capture": func(s *scripted, args []string) {
			found := s.found(args[1])
			s.is(found != "", "true")
			s.ts.Setenv(args[0], found)
		},
		"pull":   func(s *scripted, args []string) { s.pulls(args[0], args[1]) },
		"size":   func(s *scripted, args []string) { s.resize(window(args)) },
		"hold":   func(s *scripted, _ []string) { s.hold = true },
		"settle": func(s *scripted, args []string) { s.settle(len(args) > 0) },
		"book":   func(s *scripted, args []string) { s.bookIs(args[0], strings.Join(args[1:], " ")) },
		"saved": func(s *scripted, args []string) {
			for _, text := range args[1:] {
				s.has(s.saved[args[0]], []string{unescaped.Replace(text)})
			}
		},
		"entries":   func(s *scripted, args []string) { s.is(s.hands.entries(), args[0]) },
		"bells":     func(s *scripted, args []string) { s.is(s.bells, args[0]) },
		"change":    func(s *scripted, args []string) { s.change(args[0], args[1]) },
		"choose":    func(s *scripted, args []string) { s.goTo(args[0]) },
		"ended":     func(s *scripted, _ []string) { s.is(s.app.ended, "true") },
		"remember":  func(s *scripted, _ []string) { s.was = s.tells() },
		"unchanged": func(s *scripted, _ []string) { s.is(s.tells(), s.was) },
		"reopen": func(s *scripted, args []string) {
			width, height := window(args)
			s.open(look.NoColour, width, height)
		},
		"clock": func(s *scripted, args []string) {
			at, err := time.Parse("2006-01-02T15:04", args[0])
			s.ts.Check(err)
			s.clock = at
		},
		"pass": func(s *scripted, args []string) {
			d, err := time.ParseDuration(args[0])
			s.ts.Check(err)
			s.goesBy(d)
		},
		"import": func(s *scripted, args []string) {
			s.ts.Check(s.shop.Import(strings.NewReader(s.ts.ReadFile(args[0])), func(shop.Imported) {}))
		},
		"settings": func(s *scripted, args []string) {
			doc, err := s.shop.SettingsDocument()
			s.ts.Check(err)
			s.has(string(doc), args)
		},
	}
}

// repeated are keys, those behind a number and a star so many times.
func repeated(keys []string) (all []string) {
	for _, key := range keys {
		n := 1
		if times, repeats, found := strings.Cut(key, "*"); found && repeats != "" {
			n, _ = strconv.Atoi(times)
			key = repeats
		}
		all = append(all, slices.Repeat([]string{key}, n)...)
	}
	return all
}

// bookIs makes the book fail, be another's, have been mended, or damaged where the chosen bow is.
func (h *hands) bookIs(how, why string) {
	h.book.Fail = nil
	switch how {
	case "fails":
		h.book.Fail = errors.New(why)
	case "locked":
		h.book.Locked = why
	case "mended":
		h.book.Mended = why
	case "damaged":
		id := h.app.top().(*rack).chosenID()
		h.book.Damage = map[string]error{id: errors.New(why)}
	}
}
