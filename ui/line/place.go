package line

import (
	"errors"
	"io"
	"strings"

	"bendbook/model/say"
	"bendbook/session"
)

// place is where one is: at the rack, at the bench, ...; what can be said there are its commands.
type place interface {
	// name is what stands before the line that is asked for.
	name() string
	// arrive says where one is, and what is to be known first.
	arrive() error
	commands() []command
	// other takes a line that is no command; taken is false where it can't be taken.
	other(text string) (taken bool, err error)
}

// command is something that can be said at a place, by its letter or by its word.
type command struct {
	letter, word string
	takes        string // what stands behind it: "BOW", "[PASS]"; "" for nothing
	long         say.Word
	off          func() string // why it cannot be done now; "" or nil where it can
	do           func(rest string) error
}

func (c command) why() string {
	if c.off == nil {
		return ""
	}
	return c.off()
}

// head is how it is said: "p or pull", "f or finish BOW".
func (c command) head() string {
	head := c.word
	if c.letter != "" {
		head = say.F("%s or %s", c.letter, c.word)
	}
	if c.takes != "" {
		head += " " + c.takes
	}
	return head
}

// refusal is why a line was not taken: it is told, and the conversation goes on.
type refusal struct{ error }

// refuse says why a line can't be taken.
func refuse(why string) error { return refusal{errors.New(why)} }

// back is the command that leaves a place.
func back(long say.Word) command {
	return command{letter: "q", word: "back", long: long, do: func(string) error { return errLeft }}
}

// stand is at a place until it is left or the conversation ends.
func (t *talk) stand(p place) error {
	if err := p.arrive(); err != nil {
		return err
	}
	for {
		text, err := t.read(t.spell(p.name()) + "> ")
		switch {
		case errors.Is(err, errTooLong):
			t.refused(say.It("(too long)"), err)
			continue
		case errors.Is(err, io.EOF) && strings.TrimSpace(text) != "":
			t.refused(text, say.Error("the line has no end, so it was not carried out"))
			return err
		case err != nil:
			return err
		}
		if err := t.heed(p, strings.TrimSpace(text)); err != nil {
			return err
		}
	}
}

// refused tells why a line was not taken.
func (t *talk) refused(text string, why error) {
	t.miss(text, why.Error())
	t.say(say.F("No: %s", ended(why.Error())))
}

// heed does what a line says. The error ends the stay at the place.
func (t *talk) heed(p place, text string) error {
	t.heard = text
	switch strings.ToLower(text) {
	case "":
		return p.arrive()
	case "?", "help":
		t.help(p)
		return nil
	}
	found, rest, ok := match(p.commands(), text)
	var err error
	switch {
	case ok && found.why() != "":
		err = refuse(say.F("not now: %s", found.why()))
	case ok && rest != "" && found.takes == "":
		err = refuse(say.F("%s takes nothing behind it", found.word))
	case ok:
		err = found.do(rest)
	default:
		if ok, err = p.other(text); !ok && err == nil {
			err = refuse(say.It("that cannot be said here; ? lists what can"))
		}
	}
	var why refusal
	switch {
	case errors.As(err, &why):
		t.refused(text, why)
	case ends(err), err != nil && t.broken != nil:
		return err
	case err != nil:
		t.fail(text, err)
	}
	return t.broken
}

// ends says whether an error ends the stay at a place.
func ends(err error) bool {
	return errors.Is(err, errLeft) || errors.Is(err, errInterrupted) || errors.Is(err, io.EOF) || errors.Is(err, errReading)
}

// visit stays at another place, and comes back when that is left.
func (t *talk) visit(p place) error {
	if err := t.stand(p); !errors.Is(err, errLeft) {
		return err
	}
	return nil
}

// match finds the command that a line says, by its letter or its word, and what stands behind it.
func match(all []command, text string) (found command, rest string, ok bool) {
	longest := 0
	for _, c := range all {
		for _, said := range []string{c.letter, c.word} {
			if said == "" || len(said) < longest || len(text) < len(said) {
				continue
			}
			head, tail := text[:len(said)], text[len(said):]
			same := head == said || len(said) > 1 && strings.EqualFold(head, said)
			if same && (tail == "" || tail[0] == ' ' || tail[0] == '\t' || said == "/") {
				found, rest, ok, longest = c, strings.TrimSpace(tail), true, len(said)
			}
		}
	}
	return found, rest, ok
}

// help lists what can be said at a place.
func (t *talk) help(p place) {
	t.say(say.It("Here one can say, each in a line of its own:"))
	for _, c := range p.commands() {
		text := c.head() + ": " + c.long.String()
		if why := c.why(); why != "" {
			text += " " + say.F("Not now: %s", ended(why))
		}
		t.say(text)
	}
	t.say(say.It("Enter alone: where one is. ? or help: this list. The end of the input leaves; what is half typed is kept."))
	t.say(session.Safety.String())
}
