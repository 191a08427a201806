package command

import (
	"bytes"
	"context"
	"encoding/binary"
	"errors"
	"io"
	"strings"
	"testing"
	"testing/iotest"
	"time"
	"unicode/utf16"

	"bendbook/session/booktest"
	"bendbook/session/shop"
)

// desk is a world in memory: one book, no files and no terminal.
type desk struct {
	World
	book     *booktest.Memory
	out, err bytes.Buffer
	cancel   func()
}

func newDesk() *desk {
	d := &desk{book: booktest.New()}
	var ctx context.Context
	ctx, d.cancel = context.WithCancel(context.Background())
	d.World = World{
		Out: &d.out, Err: &d.err, Version: "v1", Now: time.Now, Place: time.UTC,
		Watch: func() (context.Context, func()) { return ctx, func() {} },
		OpenBook: func(string, bool) (shop.Book, func() error, error) {
			return d.book, func() error { return nil }, nil
		},
	}
	return d
}

// run gives the program a command line and an input, and returns how it ended.
func (d *desk) run(in string, args ...string) (code int) {
	d.out.Reset()
	d.err.Reset()
	d.In = strings.NewReader(in)
	return Run(d.World, args)
}

// does fails unless a command line ends with a code, and returns what was printed and said.
func (d *desk) does(t testing.TB, want int, in string, args ...string) string {
	t.Helper()
	if code := d.run(in, args...); code != want {
		t.Fatalf("%q ended with %d, want %d: %s%s", args, code, want, d.out.String(), d.err.String())
	}
	return d.out.String() + d.err.String()
}

// says fails unless a text holds all others.
func says(t testing.TB, text string, wanted ...string) {
	t.Helper()
	for _, want := range wanted {
		if !strings.Contains(text, want) {
			t.Errorf("%q is not in:\n%s", want, text)
		}
	}
}

const hostile = `{"format":"bendbook/record","version":1,"units":{"length":"in","force":"lbf"},"bow":{"id":"1","name":"` +
	"\u202eweY\u009b31m\u007f\U000e0041 弓 🏹 \u00b1" + `","limbs":{"upper":{"length":34},"lower":{"length":33}}},"entries":[]}` + "\n"

// spelledOut is the hostile record as it is exported.
const spelledOut = `{"format":"bendbook/record","version":1,"units":{"length":"in","force":"lbf"},"bow":{"id":"1","name":"` +
	`\u202eweY\u009b31m\u007f\udb40\udc41 弓 🏹 ±","limbs":{"upper":{"length":34},"lower":{"length":33}}},"entries":[]}` + "\n"

func TestACommandThatWaitsForInputCanBeInterrupted(t *testing.T) {
	d := newDesk()
	d.does(t, exitDone, hostile, "import", "-")
	d.cancel()
	d.err.Reset()
	never, end := io.Pipe()
	defer end.Close()
	d.In = never
	for _, args := range [][]string{{"import", "-"}, {"log", "-"}} {
		if code := Run(d.World, args); code != exitFailed || !strings.Contains(d.err.String(), "interrupted") || strings.Count(d.err.String(), "\n") != 1 {
			t.Errorf("%v: ended with %d: %s", args, code, d.err.String())
		}
		d.err.Reset()
	}
	if d.out.Len() > 0 {
		t.Errorf("printed %q", d.out.String())
	}
}

func TestWhatClosingTheBookSaysIsTold(t *testing.T) {
	d := newDesk()
	open := d.OpenBook
	d.OpenBook = func(path string, readOnly bool) (shop.Book, func() error, error) {
		book, _, err := open(path, readOnly)
		return book, func() error { return errors.New("closing: the disk is gone") }, err
	}
	d.does(t, exitFailed, "", "list")
	if said := d.err.String(); said != "bendbook: closing: the disk is gone\n" {
		t.Errorf("it said %q", said)
	}
	said := d.does(t, exitFailed, "", "summary", "oak")
	if strings.Count(said, "\n") != 1 || !strings.HasSuffix(said, "; besides, closing: the disk is gone\n") {
		t.Errorf("it said %q", said)
	}
}

func TestTheScreenGetsTheBookOnATerminal(t *testing.T) {
	d := newDesk()
	d.Terminal = true
	d.Screen = func(s *shop.Shop) error { return errors.New("the screen is broken") }
	if said := d.does(t, exitFailed, ""); said != "bendbook: the screen is broken\n" {
		t.Errorf("it said %q", said)
	}
}

func TestARecordInAnotherEncodingThatIsMarked(t *testing.T) {
	wide := func(order binary.AppendByteOrder) []byte {
		var b []byte
		for _, unit := range append([]uint16{0xfeff}, utf16.Encode([]rune(hostile))...) {
			b = order.AppendUint16(b, unit)
		}
		return b
	}
	for name, file := range map[string][]byte{
		"UTF-8": []byte("\ufeff" + hostile), "UTF-16LE": wide(binary.LittleEndian), "UTF-16BE": wide(binary.BigEndian),
	} {
		d := newDesk()
		d.In = iotest.OneByteReader(bytes.NewReader(file))
		if code := Run(d.World, []string{"import", "-"}); code != exitDone {
			t.Errorf("%s: ended with %d: %s", name, code, d.err.String())
		}
		if out := d.does(t, exitDone, "", "export"); out != spelledOut {
			t.Errorf("%s: came out as %q", name, out)
		}
	}
}
