// Package line is Bendbook line by line, without a screen: it reads lines and prints lines, asks for one thing after the other, and does all that
// the screen does. It moves no cursor, draws no picture and needs no terminal, so that it works with a screen reader, over a
// slow line and through a pipe. What it asks, refuses and says comes from package session, as on the screen.
package line

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strings"
	"time"

	"bendbook/model/say"
	"bendbook/session"
)

// Desk is what package line takes from outside.
type Desk struct {
	Shop  *session.Shop
	Place *time.Location // in which times are told
	// Typed says that somebody types the lines at a terminal, which shows them. Else they are printed behind what they
	// answer, and each must be taken.
	Typed bool
	ASCII bool // plain ASCII characters only
	// Save writes a file of the given name where the maker finds it, never over another, and says where that is.
	Save func(name string, data []byte) (path string, err error)
}

// Run asks and answers until the input ends, the maker leaves, or the context is done; what is half typed then is kept. The error
// says what could not be read, printed or kept; or, where nobody types, that lines were not taken, or that it was broken off.
func Run(ctx context.Context, desk Desk, in io.Reader, out io.Writer) error {
	t := &talk{desk: desk, in: newLines(ctx, in), out: out}
	err := t.stand(newRack(t))
	if t.midway {
		t.print("\n")
	}
	switch {
	case t.lost != nil:
		return say.Errorf("keeping what was half typed: %w", t.lost)
	case t.broken != nil:
		return t.broken
	case errors.Is(err, errInterrupted) && desk.Typed, errors.Is(err, io.EOF), errors.Is(err, errLeft):
		return t.notTaken()
	}
	return err
}

// talk is what is read and printed, and how it went so far.
type talk struct {
	desk   Desk
	in     *lines
	out    io.Writer
	broken error // why nothing more can be printed
	lost   error // why a half-typed form could not be kept
	midway bool  // a prompt stands on the line that is being printed
	missed []missed
	heard  string  // the line that is being carried out
	asked  *missed // a line that was asked about: the same again carries it out
}

// missed is a line that was not taken.
type missed struct {
	number int
	text   string
	why    string
}

// Ways in which a conversation ends.
var (
	errLeft        = say.Error("left")        // the maker leaves
	errInterrupted = say.Error("interrupted") // from outside
	errReading     = say.Error("reading the input")
)

// notTaken is the error of a conversation by which a script sees that not all was taken as it meant.
func (t *talk) notTaken() error {
	if t.desk.Typed || len(t.missed) == 0 {
		return nil
	}
	first := t.missed[0]
	more := ""
	if n := len(t.missed) - 1; n > 0 {
		more = " " + say.F("(and %d more)", n)
	}
	return say.Errorf("line %d was not taken: %q: %s%s", first.number, first.text, first.why, more)
}

// read asks with a prompt and reads the answer. Where nobody types, the answer is printed behind the prompt. A last line that does not
// end was not confirmed: it comes with io.EOF.
func (t *talk) read(prompt string) (string, error) {
	t.print(prompt)
	t.midway = true
	if t.broken != nil {
		return "", t.broken
	}
	text, err := t.in.next()
	if again := strings.TrimSpace(text); t.asked != nil && (err != nil || t.asked.number != t.in.number-1 || t.asked.text != again) {
		t.missed = append(t.missed, *t.asked)
		t.asked = nil
	}
	if err != nil && !errors.Is(err, io.EOF) && !errors.Is(err, errTooLong) && !errors.Is(err, errInterrupted) {
		err = fmt.Errorf("%w: %w", errReading, err)
	}
	if !t.desk.Typed && (err == nil || text != "") {
		t.print(t.spell(text) + "\n")
		t.midway = false
	} else if err == nil {
		t.midway = false // the terminal went on to the next line
	}
	return text, err
}

// tell is a time to the minute; "" where it is not known.
func (t *talk) tell(at time.Time) string {
	if at.IsZero() {
		return ""
	}
	return t.desk.Shop.Dates().PrintTime(at.In(t.desk.Place))
}

// mayWrite says why nothing can be added to the book; "" where it can.
func (t *talk) mayWrite() string {
	if t.desk.Shop.ReadOnly() != "" {
		return say.It("the book is open to read only")
	}
	return ""
}

// miss notes that a line was not taken.
func (t *talk) miss(text, why string) {
	t.missed = append(t.missed, missed{t.in.number, text, why})
}

// sure says whether a line was said twice, one after the other; else it asks for that.
func (t *talk) sure(text, doubt string) bool {
	if t.asked != nil {
		t.asked = nil
		return true
	}
	t.asked = &missed{t.in.number, text, say.It("it was asked about, and not said again")}
	t.say(say.F("Sure? %s The same again does it all the same.", doubt))
	return false
}

// fail says what could not be done by a line.
func (t *talk) fail(text string, err error) {
	t.miss(text, err.Error())
	t.say(say.F("It could not be done: %s", err.Error()))
}
