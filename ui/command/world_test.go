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

const hostile = `{"format":"bendbook/record","version":1,"units":{"length":"in","force":"lbf"},"bow":{"id":"1","name":"` +
	"\u202eweY\u009b31m\u007f\U000e0041 弓 🏹 \u00b1" + `","limbs":{"upper":{"length":34},"lower":{"length":33}}},"entries":[]}` + "\n"

// spelledOut is the hostile record as it is exported.
const spelledOut = `{"format":"bendbook/record","version":1,"units":{"length":"in","force":"lbf"},"bow":{"id":"1","name":"` +
	`\u202eweY\u009b31m\u007f\udb40\udc41 弓 🏹 ±","limbs":{"upper":{"length":34},"lower":{"length":33}}},"entries":[]}` + "\n"

func TestACommandThatWaitsForInputCanBeInterrupted(t *testing.T) {
	d := newDesk()
	d.In = strings.NewReader(hostile)
	if code := Run(d.World, []string{"import", "-"}); code != exitDone {
		t.Fatal(code, d.err.String())
	}
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
	if code := Run(d.World, []string{"list"}); code != exitFailed || d.err.String() != "bendbook: closing: the disk is gone\n" {
		t.Errorf("ended with %d: %s", code, d.err.String())
	}
	d.err.Reset()
	if code := Run(d.World, []string{"summary", "oak"}); code != exitFailed || strings.Count(d.err.String(), "\n") != 1 ||
		!strings.HasSuffix(d.err.String(), "; besides, closing: the disk is gone\n") {
		t.Errorf("ended with %d: %s", code, d.err.String())
	}
}

func TestTheScreenGetsTheBookOnATerminal(t *testing.T) {
	d := newDesk()
	d.Terminal = true
	shown := 0
	d.Screen = func(s *shop.Shop) error { shown++; return errors.New("the screen is broken") }
	if code := Run(d.World, nil); code != exitFailed || shown != 1 || d.err.String() != "bendbook: the screen is broken\n" {
		t.Errorf("ended with %d, shown %d times: %s", code, shown, d.err.String())
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
		if Run(d.World, []string{"export"}); d.out.String() != spelledOut {
			t.Errorf("%s: came out as %q", name, d.out.String())
		}
	}
}
