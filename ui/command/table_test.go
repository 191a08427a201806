package command

import (
	"errors"
	"io"
	"strings"
	"testing"
)

const someTable = "kind,draw,peak\npull,18,31\npull,20,35\n"

// atTable is a desk at a terminal, with a bow in the book and a table in a file.
func atTable(t *testing.T) *desk {
	t.Helper()
	d := withAsh(t)
	d.Terminal = true
	d.ReadFile = func(string) (io.ReadCloser, error) { return io.NopCloser(strings.NewReader(someTable)), nil }
	return d
}

// TestATableIsWrittenOnTheWordOfWhoeverSitsThere: on a terminal it asks, and only a yes writes.
func TestATableIsWrittenOnTheWordOfWhoeverSitsThere(t *testing.T) {
	for _, c := range []struct {
		answer string
		flags  []string
		code   int
		kept   int
		says   string
	}{
		{"y\n", nil, exitDone, 2, "Write 2 new entries to Ash? [y/N] Ash: 2 new entries\n"},
		{"YES\n", nil, exitDone, 2, "Ash: 2 new entries\n"},
		{"n\n", nil, exitFailed, 0, "bendbook: nothing was written\n"},
		{"\n", nil, exitFailed, 0, "bendbook: nothing was written\n"},
		{"", nil, exitFailed, 0, "bendbook: nothing was written\n"},
		{"", []string{"--yes"}, exitDone, 2, "Ash: 2 new entries\n"},
		{"", []string{"--dry-run"}, exitDone, 0, "Ash: 2 new entries would be written\n"},
	} {
		d := atTable(t)
		d.does(t, c.code, c.answer, append([]string{"import", "t.csv", "--bow", "ash"}, c.flags...)...)
		if n := d.entries(t); n != c.kept || !strings.HasSuffix(d.err.String(), c.says) {
			t.Errorf("answered %q %v: %d entries kept, said %q", c.answer, c.flags, n, d.err.String())
		}
		says(t, d.out.String(), "line 3: pull to 20 in: 35.0 lb: new\n")
	}
}

// TestATableThatCannotBeKept says so and leaves nothing half.
func TestATableThatCannotBeKept(t *testing.T) {
	d := atTable(t)
	d.book.Fail = errors.New("the disk is full")
	says(t, d.does(t, exitFailed, "", "import", "t.csv", "--bow", "ash", "--yes"), "the disk is full")
}

// What is standard input is told by the dash that stands for it, and by no name that a file may give it.
func TestStandardInputIsKnownByItsDash(t *testing.T) {
	d := atTable(t)
	d.does(t, exitDone, "y\n", "import", "standard input", "--bow", "ash")
	if n := d.entries(t); n != 2 {
		t.Errorf("%d entries kept, want 2", n)
	}
	says(t, atTable(t).does(t, exitFailed, someTable, "import", "-", "--bow", "ash"), "I can't ask you for a yes")
}
