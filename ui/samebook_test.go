package ui

import (
	"bytes"
	"context"
	"errors"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"bendbook/model/record"
	"bendbook/session"
	"bendbook/session/booktest"
	"bendbook/ui/line"
	"bendbook/ui/look"
)

// The linear mode and the screen are two ways to the same book.

// step is one thing that is done: as a line, and by the screen's keys.
type step struct {
	line string
	keys []string
	// again are the lines that lead back here where the input ended before this step.
	again []string
}

// script makes steps.
type script struct {
	steps []step
	again []string
}

// key does what a letter or a word does in a line, by other keys on the screen; the same where none are given.
func (s *script) key(line string, keys ...string) {
	if len(keys) == 0 {
		keys = []string{line}
	}
	s.steps = append(s.steps, step{line, keys, s.again})
}

// at says how one comes back to where the next steps are done.
func (s *script) at(again ...string) { s.again = again }

// form opens a form by a key and answers it, each with Enter.
func (s *script) form(key string, answers ...string) {
	s.key(key)
	outside := s.again
	s.again = append(slices.Clone(s.again), key)
	for _, text := range answers {
		switch text {
		case ".save":
			s.key(text, "ctrl+s")
		case "<":
			s.key(text, "up", "backspace", "backspace") // what stands there would be added to
		default:
			s.key(text, text, "enter")
		}
	}
	s.again = outside
}

// wholeSession is a bow from its description to its mark, with values that are refused and doubtful.
func wholeSession() []step {
	var s script
	s.form("n", "Rowan for Finch", "", "rowan", "", "Finch", "28", "", "forty", "40lb", "2", "2027-03-01", "4", "1 1/8", "", "33 1/2", "",
		"6, 8, 12, 20, 28", "full", "1/4", "8", "", "1/16", "0.1", "", "")
	s.at("o 1")
	s.form("l", "69.75")
	s.form("b", "5-11/16", "5 11/16", "5 9/16", "5 1/4", "4", "1 3/4", "5 7/16", "5 5/16", "5", "3 5/8", "1 11/16")
	s.form("k", "", "8, 12, 16", "0.05", "-1", "0.06", "0.05", "0.04", "0.05", ".save")
	s.form("p", "14", "18.1", "1/8", "5/16", "7/8", "2 3/4", "5 13/16", "1/4", "7/16", "7/8", "2 5/8", "5 1/4")
	// A doubtful reading is kept by Enter alone, a refused one typed again; one goes back to put a peak right.
	s.form("p", "16", "31", "", "<", "21lb", "1/8", "four", "3/8", "2 15/16", "15/16", "3 1/8", "6 5/16", "1/4", "", "1", "73mm", "5 11/16")
	s.form("s", "l", "4", "12", "", "12", "0.012")
	s.form("x", "30")
	s.form("n", "laid the six-inch block along it; ..., she said")
	s.form("p", "18", "23.1", ".save")
	s.key("u")
	s.key("U")
	s.form("n", "typed by mistake")
	s.key("u")
	s.form("p", "28", "", "39.8", "", ".save")
	s.key("f")
	s.at("o 1", "f")
	s.key("m")
	s.key("x", "enter") // the horn nocks
	s.key("x", "enter")
	s.key("x", "enter")
	s.key("w")
	s.at("o 1", "f", "w")
	s.key("", "enter")
	s.key("38.2", "38.2", "enter")
	s.at("o 1", "f")
	s.key("m")
	s.key("q", "esc")
	return s.steps
}

// newBook is a shop on an empty book; each has the same clock and the same chance.
func newBook() (*session.Shop, *booktest.Memory) {
	book := booktest.New()
	return session.Open(book, session.Options{Now: func() time.Time { return morning }, Entropy: rand.NewChaCha8([32]byte{7})}), book
}

// talk gives lines to the linear mode and returns what it says.
func talk(t testing.TB, shop *session.Shop, lines ...string) (said string, err error) {
	t.Helper()
	var out bytes.Buffer
	err = line.Run(context.Background(), line.Desk{Shop: shop, Place: time.UTC, Save: func(name string, _ []byte) (string, error) { return "/shop/" + name, nil }},
		strings.NewReader(strings.Join(append(lines, ""), "\n")), &out)
	return out.String(), err
}

func export(t testing.TB, shop *session.Shop) string {
	t.Helper()
	var file bytes.Buffer
	if err := shop.ExportAll(func(rec record.Record) error { return record.WriteLine(&file, rec) }); err != nil {
		t.Fatal(err)
	}
	return file.String()
}

// apart is where two records part ways.
func apart(one, other string) string {
	a, b := strings.Split(one, "},{"), strings.Split(other, "},{")
	for i := range min(len(a), len(b)) {
		if a[i] != b[i] {
			return a[i] + "\nbut\n" + b[i]
		}
	}
	return "one goes on:\n" + strings.Join(append(a, b...)[min(len(a), len(b)):], "\n")
}

func linesOf(steps []step) []string {
	var lines []string
	for _, s := range steps {
		lines = append(lines, s.line)
	}
	return lines
}

func TestTheLinearModeMakesTheSameBookAsTheScreen(t *testing.T) {
	steps := wholeSession()
	h := &hands{t: t, saved: make(map[string]string)}
	h.shop, h.book = newBook()
	h.open(look.NoColour, 80, 24)
	shop, _ := newBook()
	said, err := talk(t, shop, linesOf(steps)...)
	byLines := export(t, shop)
	for _, s := range steps {
		h.press(s.keys...)
	}
	byKeys := export(t, h.shop)
	if byLines != byKeys {
		t.Fatalf("%s\nsaid:\n%s", apart(byLines, byKeys), said)
	}
	// It is a whole session, and a script sees which line was not taken.
	for _, want := range []string{`"kind":"string"`, `"block"`, `"kind":"scrape"`, `"kind":"exercise"`, `"kind":"note"`, `"brought back"`, `"undone"`, `"filed"`, `"marked"`} {
		if !strings.Contains(byKeys, want) {
			t.Errorf("the session has no %s:\n%s\n%s", want, byKeys, said)
		}
	}
	if err == nil || !strings.Contains(err.Error(), `line 9 was not taken: "forty": `) {
		t.Errorf("it ends with %v", err)
	}
	if strings.ContainsAny(said, "\x1b\t\r") {
		t.Error("it steers the terminal")
	}
}

// Wherever the input ends, all that was confirmed is there for the next time.
func TestALinearSessionCutAnywhereComesToTheSameBook(t *testing.T) {
	if testing.Short() {
		t.Skip("long; how lines are read beside the work is watched in ui/line")
	}
	steps := wholeSession()
	whole, _ := newBook()
	talk(t, whole, linesOf(steps)...)
	want := export(t, whole)
	seed := uint64(time.Now().UnixNano())
	t.Logf("seed %d", seed)
	chance := rand.New(rand.NewPCG(seed, 1))
	for range 2 {
		cut := 1 + chance.IntN(len(steps)-1)
		shop, _ := newBook()
		talk(t, shop, linesOf(steps[:cut])...)
		said, _ := talk(t, shop, append(slices.Clone(steps[cut].again), linesOf(steps[cut:])...)...)
		if got := export(t, shop); got != want {
			t.Fatalf("cut before line %d, %q:\n%s\nsaid after it:\n%s", cut+1, steps[cut].line, apart(got, want), said)
		}
	}
}

func TestWhatIsHalfTypedInALineIsThereOnTheScreen(t *testing.T) {
	h := sit(t, look.NoColour, true, 80, 24)
	said, err := talk(t, h.shop, "o ash", "p", "20", "32.9", "5/16")
	if err != nil || !strings.HasSuffix(said, "Kept half typed; the same form takes it up again.\n") {
		t.Fatal(err, said)
	}
	h.open(look.NoColour, 80, 24)
	h.see("Ash for Wren: a form is half typed (pull)")
	h.press("/", "wren", "enter", "c")
	h.see("4 of 18", "32.9", "5/16")
	h.answers("5/8")
	h.press("esc")
	said, err = talk(t, h.shop, "o ash", "c", ".read", ".save")
	if err != nil || !strings.Contains(said, "upper limb, 8 in: 5/8\n") || !strings.Contains(said, "pull to 20 in: 32.9 lb, 2 readings to the line.") {
		t.Fatal(err, said)
	}
}

func TestAHalfTypedDescriptionIsTakenUpLineByLine(t *testing.T) {
	h := sit(t, look.NoColour, true, 80, 24)
	if said, err := talk(t, h.shop, "o ash", "d", "Larch"); err != nil || !strings.HasSuffix(said, "Kept half typed; the same form takes it up again.\n") {
		t.Fatal(err, said)
	}
	said, err := talk(t, h.shop, "o ash", "c", ".save")
	if err != nil || !strings.Contains(said, "; half typed: description.\n") || !strings.Contains(said, "A half-typed description from ") || !strings.Contains(said, "Saved: Larch.") {
		t.Fatal(err, said)
	}
}

// A last line without an end was not confirmed: it stands at its field.
func TestALineWithoutItsEndIsNotConfirmed(t *testing.T) {
	h := sit(t, look.NoColour, true, 80, 24)
	var out bytes.Buffer
	if err := line.Run(context.Background(), line.Desk{Shop: h.shop, Place: time.UTC}, strings.NewReader("o ash\np\n20\n3"), &out); err != nil {
		t.Fatal(err, out.String())
	}
	h.press("/", "wren", "enter", "c")
	h.see("2 of 18")
	h.press("2.9", "enter")
	h.see("3 of 18", "32.9")
}

// TestRandomLines: whatever is said, nothing breaks, no entry is lost, and what is printed is fit for any terminal.
func TestRandomLines(t *testing.T) {
	seed := uint64(time.Now().UnixNano())
	t.Logf("seed %d", seed)
	chance := rand.New(rand.NewPCG(seed, 1))
	words := []string{
		"", "", "", "?", "1", "2", "7", "20", "24 in", "3/8", "1 1/16", "-1/4", "32.9", "9999", "abc", "\x1b[31mred", "\u202eweird", "\xff\xfe", ".save", ".save", ".back", "<", ">", ".drop",
		".leave", ".none", ".read", ".help", ".x", "..save", "p", "b", "k", "r", "s", "x", "x 25", "n", "n a note", "l", "c", "u", "U", "i", "i 2", "v", "t", "t 3", "t 1 2", "g", "f", "e", "w", "w all",
		"W html", "d", "q", "o ash", "o 2", "o", "find yew", "all", "today", "m", "a", "a 1", "done", "x 2", "d 3", "h", "settings", "+ 3 20", "r 3", "R", "c 1", "c ash, yew", strings.Repeat("long ", 4000),
	}
	h := sit(t, look.NoColour, true, 80, 24)
	before := h.entries()
	for range 3 {
		var lines []string
		for range 40 {
			lines = append(lines, words[chance.IntN(len(words))])
		}
		said, err := talk(t, h.shop, lines...)
		if after := h.entries(); after < before || after > before+len(lines) {
			t.Fatalf("%d entries, then %d", before, after)
		} else {
			before = after
		}
		if err != nil && !strings.HasPrefix(err.Error(), "line ") {
			t.Fatalf("%v\n%q", err, lines)
		}
		for _, r := range said {
			if r < ' ' && r != '\n' || r >= 0x7f && r <= 0x9f || r == 0x202e {
				t.Fatalf("%U is printed: %q", r, said)
			}
		}
	}
}

// A book that cannot be written loses nothing that was there, and says so.
func TestALineThatCannotBeKeptIsToldAndStays(t *testing.T) {
	h := sit(t, look.NoColour, true, 80, 24)
	before := h.entries()
	h.book.Fail = errFull
	said, err := talk(t, h.shop, "o ash", "x 25", "u")
	if err == nil || !strings.Contains(said, "the disk is full") || h.entries() != before {
		t.Fatal(err, said)
	}
	_, err = talk(t, h.shop, "o ash", "p", "20", "32.9")
	if !errors.Is(err, errFull) {
		t.Fatalf("a draft that could not be kept ends with %v", err)
	}
}

// The README's session line by line is what the program says.
func TestTheReadmeTellsALinearSessionAsItIs(t *testing.T) {
	h := sit(t, look.NoColour, true, 80, 24)
	said, err := talk(t, h.shop, "o ash", "24", "70", "41.2", "3/8", "", "1 5/8", ".save", "x 25", "q", "q")
	if err == nil {
		t.Error("that 70 was not kept is not told")
	}
	_, said, _ = strings.Cut(said, "rack> o ash")
	said = regexp.MustCompile(`(?m) +$`).ReplaceAllString(said, "")
	want := "<!-- plain -->\n```text\nrack> o ash" + said + "```\n<!-- end -->"
	file := filepath.Join("..", "README.md")
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	marked := regexp.MustCompile(`(?s)<!-- plain -->\n.*?<!-- end -->`)
	if !marked.Match(data) {
		t.Fatal("the README has no session line by line")
	}
	made := marked.ReplaceAllLiteralString(string(data), want)
	switch {
	case made == string(data):
	case *update:
		if err := os.WriteFile(file, []byte(made), 0o666); err != nil {
			t.Fatal(err)
		}
	default:
		t.Error("the README tells another session than the program; go test ./ui -run Readme -update writes it anew")
	}
}
