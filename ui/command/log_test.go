package command

import (
	"errors"
	"strings"
	"testing"

	"bendbook/session/booktest"
)

const ash = `{"format":"bendbook/record","version":1,"units":{"length":"in","force":"lbf"},"bow":{"id":"1","name":"Ash",` +
	`"limbs":{"upper":{"length":34,"stations":[8,12,20]},"lower":{"length":33,"stations":[8,12,20]}}},"entries":[]}` + "\n"

// withAsh is a desk with a bow in its book.
func withAsh(t *testing.T) (d *desk, book *booktest.Memory) {
	t.Helper()
	d = newDesk()
	d.In = strings.NewReader(ash)
	if code := Run(d.World, []string{"import", "-"}); code != exitDone {
		t.Fatal(code, d.err.String())
	}
	d.err.Reset()
	return d, d.book
}

func TestTheExamplesOfLogWork(t *testing.T) {
	d, book := withAsh(t)
	if code := Run(d.World, []string{"help", "log"}); code != exitDone {
		t.Fatal(code, d.err.String())
	}
	ran := 0
	for line := range strings.Lines(d.out.String()) {
		args, isExample := strings.CutPrefix(line, "  bendbook log ")
		if args, _, _ = strings.Cut(args, "<"); !isExample || strings.Contains(args, "BOW") {
			continue
		}
		d.In = strings.NewReader("exercise 20\nnote from a file\n")
		d.out.Reset()
		if code := Run(d.World, append([]string{"log"}, strings.Fields(args)...)); code != exitDone || d.out.Len() == 0 {
			t.Errorf("log %sended with %d: %s", args, code, d.err.String())
		}
		ran++
	}
	if rec, _, err := book.Bow("1"); err != nil || ran < 6 || len(rec.Items) != ran+1 {
		t.Errorf("%d examples left %d entries (%v)", ran, len(rec.Items), err)
	}
}

// answeringReader looks, before each line that it gives, whether every line before it was kept and answered.
type answeringReader struct {
	t     *testing.T
	d     *desk
	book  *booktest.Memory
	lines []string
	given int
}

func (r *answeringReader) Read(p []byte) (int, error) {
	rec, _, err := r.book.Bow("1")
	if answers := strings.Count(r.d.out.String(), "Saved: "); err != nil || answers != r.given || len(rec.Items) != r.given {
		r.t.Errorf("after %d lines there are %d answers and %d entries (%v)", r.given, answers, len(rec.Items), err)
	}
	if r.given == len(r.lines) {
		return 0, errors.New("the line broke")
	}
	r.given++
	return copy(p, r.lines[r.given-1]), nil
}

func TestLogAnswersEachLineOnceItIsKept(t *testing.T) {
	d, book := withAsh(t)
	d.In = &answeringReader{t: t, d: d, book: book, lines: []string{"ash note one\n", "ash pull 14 21.4\n", "ash exercise 5\n"}}
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
	d, book := withAsh(t)
	d.Out = &brokenPipe{left: 2}
	d.In = strings.NewReader(strings.Repeat("note again\n", 9))
	if code := Run(d.World, []string{"log", "ash", "-"}); code != exitFailed || d.err.String() != "bendbook: standard output: broken pipe\n" {
		t.Errorf("ended with %d: %s", code, d.err.String())
	}
	if rec, _, err := book.Bow("1"); err != nil || len(rec.Items) != 3 {
		t.Errorf("%d entries were kept (%v), want the 2 answered and the one that could not be", len(rec.Items), err)
	}
}

func TestLogSaysThatAnEntryCouldNotBeKept(t *testing.T) {
	d, book := withAsh(t)
	book.Fail = errors.New("the disk is full")
	if code := Run(d.World, []string{"log", "ash", "note", "x"}); code != exitFailed || !strings.Contains(d.err.String(), "the disk is full") || d.out.Len() > 0 {
		t.Errorf("ended with %d: %s%s", code, d.out.String(), d.err.String())
	}
}
