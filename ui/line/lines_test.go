package line

import (
	"context"
	"errors"
	"io"
	"slices"
	"strings"
	"testing"
	"testing/iotest"
)

func TestLinesAsTheyCome(t *testing.T) {
	long := strings.Repeat("long ", 100_000)
	for _, c := range []struct {
		in   string
		want []string
		last string // that had no end
	}{
		{"", nil, ""},
		{"a\nb\n", []string{"a", "b"}, ""},
		{"a\r\n\r\nb", []string{"a", ""}, "b"},
		{"\ufeffo ash\n\ufeffx\n", []string{"o ash", "\ufeffx"}, ""},
		{"6⅜\n\xff\n", []string{"6⅜", "\ufffd"}, ""},
		{long + "\nb\n", []string{"TOO LONG", "b"}, ""},
		{strings.Repeat("x", mostTyped) + "\n" + strings.Repeat("x", mostTyped+1) + "\n", []string{strings.Repeat("x", mostTyped), "TOO LONG"}, ""},
	} {
		l := newLines(context.Background(), iotest.OneByteReader(strings.NewReader(c.in)))
		var got []string
		for {
			text, err := l.next()
			if errors.Is(err, io.EOF) {
				if text != c.last {
					t.Errorf("%.20q: the last line is %q, want %q", c.in, text, c.last)
				}
				break
			}
			if errors.Is(err, errTooLong) {
				text = "TOO LONG"
			} else if err != nil {
				t.Fatal(err)
			}
			got = append(got, text)
			if l.number != len(got) {
				t.Errorf("%.20q: line %d has number %d", c.in, len(got), l.number)
			}
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("%.20q: got %.60q, want %.60q", c.in, got, c.want)
		}
	}
}

func TestNobodyWaitsForALineAfterTheEnd(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	never, end := io.Pipe()
	defer end.Close()
	l := newLines(ctx, never)
	done := make(chan error)
	go func() {
		_, err := l.next()
		done <- err
	}()
	cancel()
	if err := <-done; !errors.Is(err, errInterrupted) {
		t.Errorf("got %v", err)
	}
}
