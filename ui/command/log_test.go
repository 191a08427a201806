package command

import (
	"errors"
	"strings"
	"testing"
)

const ash = `{"format":"bendbook/record","version":1,"units":{"length":"in","force":"lbf"},"bow":{"id":"1","name":"Ash",` +
	`"limbs":{"upper":{"length":34,"stations":[8,12,20]},"lower":{"length":33,"stations":[8,12,20]}}},"entries":[]}` + "\n"

// withAsh is a desk with a bow in its book.
func withAsh(t *testing.T) *desk {
	t.Helper()
	d := newDesk()
	d.does(t, exitDone, ash, "import", "-")
	d.err.Reset()
	return d
}

// entries are how many entries the bow has.
func (d *desk) entries(t *testing.T) int {
	t.Helper()
	rec, _, err := d.book.Bow("1")
	if err != nil {
		t.Fatal(err)
	}
	return len(rec.Items)
}

func TestTheExamplesOfLogWork(t *testing.T) {
	d := withAsh(t)
	ran := 0
	for line := range strings.Lines(d.does(t, exitDone, "", "help", "log")) {
		args, isExample := strings.CutPrefix(line, "  bendbook log ")
		if args, _, _ = strings.Cut(args, "<"); !isExample || strings.Contains(args, "BOW") {
			continue
		}
		d.does(t, exitDone, "exercise 20\nnote from a file\n", append([]string{"log"}, strings.Fields(args)...)...)
		if ran++; d.out.Len() == 0 {
			t.Errorf("log %s answers nothing", args)
		}
	}
	if n := d.entries(t); ran < 6 || n != ran+1 {
		t.Errorf("%d examples left %d entries", ran, n)
	}
}

// answeringReader looks, before each line that it gives, whether every line before it was kept and answered.
type answeringReader struct {
	t     *testing.T
	d     *desk
	lines []string
	given int
}

func (r *answeringReader) Read(p []byte) (int, error) {
	answers, kept := strings.Count(r.d.out.String(), "Saved: "), r.d.entries(r.t)
	if answers != r.given || kept != r.given {
		r.t.Errorf("after %d lines there are %d answers and %d entries", r.given, answers, kept)
	}
	if r.given == len(r.lines) {
		return 0, errors.New("the line broke")
	}
	r.given++
	return copy(p, r.lines[r.given-1]), nil
}

func TestLogAnswersEachLineOnceItIsKept(t *testing.T) {
	d := withAsh(t)
	d.In = &answeringReader{t: t, d: d, lines: []string{"ash note one\n", "ash pull 14 21.4\n", "ash exercise 5\n"}}
	if code := Run(d.World, []string{"log", "-"}); code != exitFailed || d.err.String() != "bendbook: the line broke\n" {
		t.Errorf("ended with %d: %s", code, d.err.String())
	}
}

// brokenPipe takes some writes and no more.
type brokenPipe struct{ left int }

func (w *brokenPipe) Write(p []byte) (int, error) {
	if w.left--; w.left < 0 {
		return 0, errors.New("broken pipe")
	}
	return len(p), nil
}

func TestLogEndsWhereNobodyTakesItsAnswers(t *testing.T) {
	d := withAsh(t)
	d.Out = &brokenPipe{left: 2}
	said := d.does(t, exitFailed, strings.Repeat("note again\n", 9), "log", "ash", "-")
	if said != "bendbook: standard output: broken pipe\n" {
		t.Errorf("it said %q", said)
	}
	if n := d.entries(t); n != 3 {
		t.Errorf("%d entries were kept, want the 2 answered and the one that could not be", n)
	}
}

func TestLogSaysThatAnEntryCouldNotBeKept(t *testing.T) {
	d := withAsh(t)
	d.book.Fail = errors.New("the disk is full")
	says(t, d.does(t, exitFailed, "", "log", "ash", "note", "x"), "the disk is full")
	if d.out.Len() > 0 {
		t.Errorf("it printed %q", d.out.String())
	}
}
