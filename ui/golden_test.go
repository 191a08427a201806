package ui

import (
	"flag"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"sync/atomic"
	"testing"

	"github.com/charmbracelet/x/ansi"

	"bendbook/model/finish"
	"bendbook/model/measure"
	"bendbook/ui/command/topics"
	"bendbook/ui/look"
)

var update = flag.Bool("update", false, "write the golden screens and the README's parts anew")

// view is a screen by the keys that lead to it from the rack of the demo shop, or of another book.
type view struct {
	book string // "empty", "metric": the shop works in centimetres and kilograms, "names": of any script
	keys []string
}

var views = map[string]view{
	"rack":             {},
	"rack-empty":       {book: "empty"},
	"rack-find":        {keys: []string{"/", "ash"}},
	"rack-names":       {book: "names"},
	"rack-half-typed":  {keys: []string{"down", "d", "x", "enter", "esc"}},
	"bench":            {keys: []string{"down", "enter"}},
	"bench-braced":     {keys: []string{"enter", "v", "tab", "tab"}},
	"bench-shape":      {keys: []string{"down", "enter", "v"}},
	"palette":          {keys: []string{"down", "enter", ":", "strip"}},
	"bench-help":       {keys: []string{"enter", "?"}},
	"bench-metric":     {book: "metric", keys: []string{"down", "enter"}},
	"bench-names":      {book: "names", keys: []string{"enter"}},
	"bench-half-typed": {keys: []string{"down", "enter", "d", "x", "enter", "esc", "20", "enter", "esc", "esc", "enter"}},
	"bench-unread":     {book: "empty", keys: []string{"N", "Rowan", "ctrl+s", "72", "enter"}},
	"pull":             {keys: []string{"down", "enter", "20.5", "enter", "31", "enter", "5/16", "enter", "6-1/8"}},
	"pull-other-unit":  {keys: []string{"down", "enter", "20.5", "enter", "31", "enter", "5/16", "enter", "162mm"}},
	"pull-metric":      {book: "metric", keys: []string{"down", "enter", "51", "enter", "15.1", "enter", "0.8", "enter", "6 1/8in"}},
	"pull-refused":     {keys: []string{"down", "enter", "20.5", "enter", "31", "enter", "abc", "enter"}},
	"pull-asked":       {keys: []string{"down", "enter", "20.5", "enter", "31", "enter", "1 5/16", "enter"}},
	"pull-help":        {keys: []string{"down", "enter", "p", "?"}},
	"hold":             {keys: []string{"down", "enter", " "}},
	"across":           {keys: []string{"down", "enter", "z"}},
	"across-pull":      {keys: []string{"down", "enter", "z", "20.5", "enter", "31", "enter", "5/16", "enter", "6-1/8"}},
	"across-asked":     {keys: []string{"down", "enter", "z", "20.5", "enter", "31", "enter", "1 5/16", "enter"}},
	"scrape":           {keys: []string{"enter", "s", "2", "enter", "10"}},
	"measure":          {keys: []string{"down", "enter", "m", "0.87", "enter", "1.2", "enter", "0.84", "enter", "1.19", "enter"}},
	"note":             {keys: []string{"enter", "n", "Little left to take; from here an inch at a time, and Wren comes on Friday to look."}},
	"new-bow":          {book: "empty", keys: []string{"N", "Rowan", "enter"}},
	"describe":         {keys: []string{"d"}},
	"describe-metric":  {book: "metric", keys: []string{"d", "down", "down", "down", "down"}},
	"block":            {keys: []string{"down", "enter", "k", "enter", "enter", "0.13", "enter"}},
	"advice":           {keys: []string{"down", "enter", "a"}},
	"plan":             {keys: []string{"down", "enter", "g"}},
	"plan-changed":     {keys: []string{"down", "enter", "g", "up", "4", "5"}},
	"plan-logged":      {keys: []string{"down", "enter", "g", "L", "L"}},
	"what-if":          {keys: []string{"down", "enter", "i", "3", "/", "4"}},
	"story":            {keys: []string{"down", "enter", "t"}},
	"story-pass":       {keys: []string{"down", "enter", "t", "enter"}},
	"story-compare":    {keys: []string{"down", "enter", "t", " ", "home", "C"}},
	"story-names":      {book: "names", keys: []string{"enter", "t"}},
	"entries":          {keys: []string{"enter", "e", "down"}},
	"void":             {keys: []string{"enter", "e", "down", "delete", "rule held at the wrong mark"}},
	"summary":          {keys: []string{"enter", "w"}},
	"summary-table":    {keys: []string{"enter", "w", "tab", "tab", "tab"}},
	"finish":           {keys: []string{"down", "down", "down", "f"}},
	"card":             {keys: []string{"down", "down", "down", "f", "h"}},
	"weigh":            {keys: []string{"f", "W"}},
	"today":            {keys: []string{"T"}},
	"settings":         {keys: []string{","}},
	"settings-stage":   {keys: []string{",", "pgdown", "pgdown", "enter", "enter"}},
	"compare":          {keys: []string{" ", " ", "C"}},
	"like":             {keys: []string{"down", "down", "down", "A"}},
}

// goTo opens a view in a window of 80 by 24.
func show(t testing.TB, v view) *hands {
	t.Helper()
	if v.book == "names" {
		return abroad(t).press(v.keys...)
	}
	h := sit(t, look.NoColour, v.book != "empty", 80, 24)
	if v.book == "metric" {
		settings := finish.Usual()
		settings.Units = measure.Units{Length: measure.Centimetre, Force: measure.KilogramForce}
		if err := h.shop.KeepSettings(settings); err != nil {
			t.Fatal(err)
		}
		h.open(look.NoColour, 80, 24)
	}
	return h.press(v.keys...)
}

// The screens that a person should look at when they change: each view that has a file in testdata, the
// busiest also small, large and in plain ASCII. An empty file and -update make a new one.
func TestScreensLookAsTheyDid(t *testing.T) {
	t.Parallel()
	files, err := filepath.Glob("testdata/*.txt")
	if err != nil || len(files) < 31 {
		t.Fatalf("there are only %d screens (%v)", len(files), err)
	}
	for _, file := range files {
		name := strings.TrimSuffix(filepath.Base(file), ".txt")
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			name, small := strings.CutSuffix(name, "-small")
			name, large := strings.CutSuffix(name, "-large")
			name, ascii := strings.CutSuffix(name, "-ascii")
			width, height := 80, 24
			switch {
			case small:
				width, height = leastWidth, leastHeight
			case large:
				width, height = 120, 40
			}
			h := show(t, views[name])
			h.app.desk.Styles.ASCII = ascii
			h.resize(width, height)
			h.fits(width, height)
			golden(t, file, trimmed(h.app.View()))
		})
	}
}

// Every screen has a view. On each a key does one thing, which is explained; colours change no text, and where
// the terminal wants plain ASCII there is nothing else.
func TestEveryScreenHasDistinctKeysAndTheSameTextInColours(t *testing.T) {
	t.Parallel()
	var shown sync.Map // what each screen is for
	var ran atomic.Int32
	t.Cleanup(func() {
		if int(ran.Load()) < len(views) {
			return // -run chose some
		}
		for _, p := range pages() {
			if _, ok := shown.Load(p.about); !ok && p.about != "" { // a form's is that of what it asks
				t.Errorf("no view leads to the screen %s", p.name)
			}
		}
	})
	for name, v := range views {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			h := show(t, v)
			shown.Store(h.app.top().about(), true)
			ran.Add(1)
			distinct(t, h.app.top())
			want := h.drawn(look.NoColour, false)
			for _, profile := range []look.Profile{look.Colours16, look.Colours256, look.TrueColour} {
				sent := h.drawn(profile, false)
				if got := ansi.Strip(sent); trimmed(got) != trimmed(want) || got == sent {
					t.Errorf("profile %d shows\n%s\nnot\n%s", profile, got, want)
				}
			}
			ascii := h.drawn(look.NoColour, true)
			if at := strings.IndexFunc(ascii, func(r rune) bool { return r > '~' }); v.book != "names" && at >= 0 {
				t.Errorf("in plain ASCII there is %.8q in\n%s", ascii[at:], ascii)
			}
		})
	}
}

// distinct fails where a key of a screen does two things, means something else elsewhere, or isn't explained.
func distinct(t *testing.T, on screen) {
	t.Helper()
	seen := make(map[string]bool)
	for _, a := range on.actions() {
		for _, key := range strings.Fields(a.keys) {
			if seen[key] {
				t.Errorf("the key %s does two things", key)
			}
			seen[key] = true
			if len(key) == 1 && !strings.Contains("q+-;", key) && meanings[key] != a.name {
				t.Errorf("%s means %q here, elsewhere %q", key, a.name, meanings[key])
			}
		}
		if _, help := on.(*helpScreen); !help && (!strings.HasSuffix(a.long, ".") || a.name == "" || a.do == nil) {
			t.Errorf("the key %v is not explained", a.keys)
		}
	}
}

// drawn is what a terminal of this kind is sent.
func (h *hands) drawn(profile look.Profile, ascii bool) string {
	h.t.Helper()
	h.app.desk.Styles = look.New(io.Discard, profile, look.Unknown, ascii)
	h.resize(80, 24)
	h.fits(80, 24)
	return h.app.View()
}

// trimmed is text without blanks at the ends of lines.
func trimmed(text string) string {
	lines := strings.Split(text, "\n")
	for i, line := range lines {
		lines[i] = strings.TrimRight(line, " ")
	}
	return strings.Join(lines, "\n") + "\n"
}

func golden(t *testing.T, file, got string) {
	t.Helper()
	if *update {
		if err := os.WriteFile(file, []byte(got), 0o666); err != nil {
			t.Fatal(err)
		}
		return
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if string(want) != got {
		t.Errorf("%s differs; go test ./ui -run 'Look|Readme' -update writes it anew. Then\n%s\nnow\n%s", file, want, got)
	}
}

// The README's pictures of screens come from the program itself: between a pair of marks such as
// <!-- screen: bench --> and <!-- end --> stands what the program shows. -update writes them anew.
func TestTheReadmeShowsTheRealScreens(t *testing.T) {
	file := filepath.Join("..", "README.md")
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	marked := regexp.MustCompile(`(?s)<!-- screen: ([a-z-]+) -->\n.*?<!-- end -->`)
	found := 0
	made := marked.ReplaceAllStringFunc(string(data), func(part string) string {
		found++
		name := marked.FindStringSubmatch(part)[1]
		return "<!-- screen: " + name + " -->\n```text\n" + trimmed(show(t, views[name]).app.View()) + "```\n<!-- end -->"
	})
	if found == 0 {
		t.Fatal("the README shows no screen")
	}
	golden(t, file, made)
}

// Help on keys names each letter and sign, and none means what another does.
func TestHelpNamesEachKey(t *testing.T) {
	help, err := os.ReadFile("command/topics/keys.md")
	if err != nil {
		t.Fatal(err)
	}
	keys := make(map[string]string)
	for key, name := range meanings {
		if other := keys[name]; other != "" {
			t.Errorf("%s and %s both mean %s", key, other, name)
		}
		keys[name] = key
		if !strings.Contains(string(help), "`"+key+"`") {
			t.Errorf("help keys doesn't name %s, %s", key, name)
		}
	}
}

// The help of a screen shows the topics that belong to it behind its keys; each topic stands behind one.
func TestEachTopicOpensFromItsScreen(t *testing.T) {
	shown := map[string]bool{}
	for _, p := range pages() {
		for _, name := range topicsOf(p.name) {
			shown[name] = true
		}
	}
	for _, name := range topics.Names() {
		if !shown[name] {
			t.Errorf("no screen's help shows %s", name)
		}
	}
	h := atThePlan(t)
	h.press("?", "end")
	h.see("Choose a stretch with the arrows", "It stops where the bow bends evenly")
	h.fits(80, 24)
}

// Keys with long names cost no words of what they do.
func TestHelpKeepsTheWordsBesideLongKeys(t *testing.T) {
	h := atTheBench(t)
	h.press("e", "?")
	h.see("delete backspace", "no longer")
	h.fits(80, 24)
}
