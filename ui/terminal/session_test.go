package terminal_test

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"bendbook/ui/terminal"
)

// log is a session as it is typed; see testdata/session/README.md for where its figures come from.
type log struct {
	Bow    [][2]string // name of the question, answer
	Braced struct {
		Height       string
		Upper, Lower []string
	}
	Pulls  []pull
	Scrape struct{ Limb, From, To, Tool, Strokes, Depth string }
	After  pull
	// What the summary says of it, and its tables, row by row under a head.
	Told   []string
	Tables [][]string
}

type pull struct {
	Draw, Peak   string
	Upper, Lower []string
}

// The main job, in the real program: a new bow, one session with three pulls and a scrape, quit, reopen,
// the story, the summary on the screen, in a file and by the command line, with the figures that were
// typed.
func TestASessionAtTheTreeFromTheFirstKeyToTheSummary(t *testing.T) {
	var typed log
	data, err := os.ReadFile(filepath.FromSlash("../../testdata/session/first.json"))
	if err == nil {
		err = json.Unmarshal(data, &typed)
	}
	if err != nil {
		t.Fatal(err)
	}
	book := filepath.Join(t.TempDir(), "shop", "bows.book")
	cmd := bookAt(t, book)
	term := terminal.Start(t, cmd)
	answer := func(texts ...string) {
		for _, text := range texts {
			term.Type(text + "\r")
		}
	}
	term.See("The book is empty.")
	term.Type("N")
	for _, question := range typed.Bow {
		answer(question[1])
	}
	term.See("Hazel for Finch", "40 lb ± 2 at 28 in to the belly", "You haven't read this bow yet.")
	term.Type("b")
	term.See("Braced: gaps to the string", "1 of 11")
	answer(typed.Braced.Height)
	answer(typed.Braced.Upper...)
	answer(typed.Braced.Lower...)
	term.See("braced at 5 11/16 in, 10 readings to the string")
	for _, p := range typed.Pulls {
		// The first digit of the draw, typed at the bench, begins the pull: digits and Enter are all it
		// takes.
		term.Type(p.Draw[:1])
		term.See("Pull", "1 of 12")
		answer(p.Draw[1:], p.Peak)
		answer(p.Upper...)
		answer(p.Lower...)
		term.See("pull to " + p.Draw + " in")
	}
	term.Type("s")
	term.See("Scrape", "1 of 6")
	answer(typed.Scrape.Limb, typed.Scrape.From, typed.Scrape.To, typed.Scrape.Tool, typed.Scrape.Strokes, typed.Scrape.Depth)
	term.See("scraped lower limb, 4 to 12 in, scraper, 12 strokes, 0.012 in deep", "pass 1", "Exercise it: twenty easy pulls, no farther than 18 in.")
	term.Type(" ")
	term.See("Hazel for Finch · drawn")
	term.Press(terminal.Esc)
	term.See("pass 1")

	// A pull that is only half typed when the window is closed.
	answer(typed.After.Draw)
	term.See("2 of 12")
	term.Hangup()
	term.Wait()

	cmd = bookAt(t, book)
	term = terminal.Start(t, cmd)
	term.See("Hazel for Finch", "Exercise it: twenty easy pulls")
	term.Press(terminal.Enter)
	term.See("half-typed pull")
	term.Type("c")
	term.See("Taken up where you left it", "2 of 12", "was 23.9")
	term.Type(typed.After.Peak)
	term.Press(terminal.CtrlS)
	term.See("Saved", "pull to 18 in: 23.1 lb")
	term.Type("t")
	term.See("the story", "lower 4–12 ×12")
	term.Press(terminal.Enter)
	term.See("pass 1 of 1", "pull to 18 in: 23.1 lb")
	term.Press(terminal.Up)
	term.See("pass 0 of 1", "23.9 lb")
	term.Press(terminal.Esc)
	term.See("Pass 0, ")
	term.Press(terminal.Esc)
	term.See("All saved: 6 entries")
	term.Type("w")
	term.See("summary of session 1 of 1")
	term.Type("R")
	term.See("How to read the tables")
	term.Type("w")
	term.See("Written: hazel-for-finch-session-1.txt")
	term.Press(terminal.CtrlC)
	leaves(t, term, 0)
	// The mouse stays the terminal's, to select text with: its modes (xterm's ctlseqs, "Mouse Tracking",
	// from memory).
	for _, mode := range []string{"9", "1000", "1001", "1002", "1003", "1005", "1006", "1015", "1016"} {
		if strings.Contains(term.Raw(), "\x1b[?"+mode+"h") {
			t.Errorf("the program asks for the mouse, mode %s", mode)
		}
	}
	written, err := os.ReadFile(filepath.Join(cmd.Dir, "hazel-for-finch-session-1.txt"))
	if err != nil {
		t.Fatal(err)
	}
	printed, err := bookAt(t, book, "summary", "hazel", "--readings").Output()
	if err != nil {
		t.Fatal(err)
	}
	checkSummary(t, typed, string(written))
	checkSummary(t, typed, string(printed))
}

// checkSummary looks for each value that was typed, in the rule's own fractions, beside its station.
func checkSummary(t *testing.T, typed log, text string) {
	t.Helper()
	said := strings.Join(strings.Fields(text), " ")
	for _, row := range typed.Told {
		if !strings.Contains(said, row) {
			t.Errorf("the summary does not say %q:\n%s", row, text)
		}
	}
	for _, table := range typed.Tables {
		_, part, _ := strings.Cut(said, table[0])
		for _, row := range table[1:] {
			var found bool
			if _, part, found = strings.Cut(part, " "+row); !found {
				t.Fatalf("%s: no row %q in\n%s", table[0], row, text)
			}
		}
	}
}
