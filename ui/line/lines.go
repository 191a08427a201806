package line

import (
	"bufio"
	"context"
	"errors"
	"io"
	"strings"

	"bendbook/model/say"
)

// mostTyped is how many letters a line holds, as a field on the screen does.
const mostTyped = 16_000

// errTooLong is returned for a line that is longer.
var errTooLong = say.Error("that is more than a line holds, 16000 letters; nothing of it was taken")

// lines reads lines of any length, in little memory, without waiting for more once the context is done.
type lines struct {
	ctx    context.Context
	come   chan read
	asked  chan struct{}
	number int // of the line that was read last, from 1
}

// read is a line as it came.
type read struct {
	text string
	err  error
}

func newLines(ctx context.Context, in io.Reader) *lines {
	l := &lines{ctx: ctx, come: make(chan read, 1), asked: make(chan struct{})}
	go func() {
		from := bufio.NewReader(in)
		for range l.asked {
			text, err := readLine(from)
			l.come <- read{text, err}
			if err != nil && !errors.Is(err, errTooLong) {
				return
			}
		}
	}()
	return l
}

// next is the next line without its end. A last one without an end comes with io.EOF.
func (l *lines) next() (string, error) {
	if l.ctx.Err() != nil {
		return "", errInterrupted
	}
	select {
	case l.asked <- struct{}{}:
	case <-l.ctx.Done():
		return "", errInterrupted
	}
	select {
	case r := <-l.come:
		if r.err == nil || r.text != "" || errors.Is(r.err, errTooLong) {
			l.number++
		}
		if l.number == 1 {
			r.text = strings.TrimPrefix(r.text, "\ufeff") // which some systems write before a text
		}
		return r.text, r.err
	case <-l.ctx.Done():
		return "", errInterrupted
	}
}

// readLine reads to the end of the line and keeps the first letters of it.
func readLine(from *bufio.Reader) (string, error) {
	var kept []byte
	for {
		piece, err := from.ReadSlice('\n')
		if room := 4*mostTyped + 2 - len(kept); room > 0 {
			kept = append(kept, piece[:min(room, len(piece))]...)
		}
		if errors.Is(err, bufio.ErrBufferFull) {
			continue
		}
		text := strings.ToValidUTF8(strings.TrimSuffix(strings.TrimSuffix(string(kept), "\n"), "\r"), "\ufffd")
		if len([]rune(text)) > mostTyped {
			return "", errTooLong
		}
		return text, err
	}
}
