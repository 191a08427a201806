package command

import (
	"errors"
	"io"
	"strings"
	"testing"

	"bendbook/session/booktest"
)

// atTable is a desk at a terminal, with a bow in the book and a table in a file.
func atTable(t *testing.T, answer string) (d *desk, book *booktest.Memory) {
	t.Helper()
	d, book = withAsh(t)
	d.Terminal = true
	d.In = strings.NewReader(answer)
	d.ReadFile = func(string) (io.ReadCloser, error) {
		return io.NopCloser(strings.NewReader("kind,draw,peak\npull,18,31\npull,20,35\n")), nil
	}
	return d, book
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
		d, book := atTable(t, c.answer)
		code := Run(d.World, append([]string{"import", "t.csv", "--bow", "ash"}, c.flags...))
		rec, _, err := book.Bow("1")
		if err != nil {
			t.Fatal(err)
		}
		if code != c.code || len(rec.Items) != c.kept || !strings.HasSuffix(d.err.String(), c.says) {
			t.Errorf("answered %q %v: ended with %d, %d entries kept, said %q", c.answer, c.flags, code, len(rec.Items), d.err.String())
		}
		if !strings.Contains(d.out.String(), "line 3: pull to 20 in: 35.0 lb: new\n") {
			t.Errorf("answered %q: it showed %q", c.answer, d.out.String())
		}
	}
}

// TestATableThatCannotBeKept says so and leaves nothing half.
func TestATableThatCannotBeKept(t *testing.T) {
	d, book := atTable(t, "")
	book.Fail = errors.New("the disk is full")
	if code := Run(d.World, []string{"import", "t.csv", "--bow", "ash", "--yes"}); code != exitFailed || !strings.Contains(d.err.String(), "the disk is full") {
		t.Errorf("ended with %d: %s", code, d.err.String())
	}
}

// What is standard input is told by the dash that stands for it, and by no name that a file may give it.
func TestStandardInputIsKnownByItsDash(t *testing.T) {
	d, book := atTable(t, "y\n")
	if code := Run(d.World, []string{"import", "standard input", "--bow", "ash"}); code != exitDone {
		t.Errorf("a file of that name: ended with %d, said %q", code, d.err.String())
	}
	if rec, _, err := book.Bow("1"); err != nil || len(rec.Items) != 2 {
		t.Errorf("%d entries kept (%v), want 2", len(rec.Items), err)
	}
	d, _ = atTable(t, "kind,draw,peak\npull,18,31\npull,20,35\n")
	if code := Run(d.World, []string{"import", "-", "--bow", "ash"}); code != exitFailed || !strings.Contains(d.err.String(), "I can't ask you for a yes") {
		t.Errorf("the dash: ended with %d, said %q", code, d.err.String())
	}
}
