package command

import (
	"errors"
	"fmt"
	"io"
	"strconv"

	"github.com/spf13/cobra"

	"bendbook/session"
	"bendbook/session/advice"
	"bendbook/session/report"
)

func summaryCommand(world *World, o *options) *cobra.Command {
	which, as := whichSession{whole: true}, formOf(report.Formats())
	cmd := writeOfBow(world, o, &cobra.Command{
		Use:   "summary BOW",
		Short: "Write the summary of a bow's sessions",
		Long: "Write what was done and read: the whole bow's story, or one session of it.\n" +
			"As html it is one page with pictures, to read on a phone or to print; as csv a table for a spreadsheet, which import\n" +
			"reads back, without changes of the description and what was struck out; as json what a program would want of it.\n" +
			"Where -o names a folder, the file in it is named after the bow.",
		Example: "  bendbook summary ash\n" +
			"  bendbook summary ash --as html -o ash.html\n" +
			"  bendbook summary 47 --session last --as markdown -o wren.md",
	}, func(shop *session.Shop, story session.Story) (writing, error) {
		number, err := which.of(story)
		if err != nil {
			return writing{}, err
		}
		what, _ := report.Find(as.name)
		of := report.Subject{Story: story, Session: number, Practice: advice.PracticeFor(shop, story.Bow()), Place: world.Place}
		return writing{what.Part(number), func(w io.Writer) error { return what.Write(paperFor(world, what, w), of) }}, nil
	})
	cmd.Flags().Var(&which, "session", "which `session`: last, all or its number")
	as.add(cmd)
	offer(cmd, "session", completeSession(world, o))
	return cmd
}

// paperFor is where a form is written to: on a terminal, what could steer it is spelled out.
func paperFor(world *World, what report.Format, w io.Writer) io.Writer {
	if world.OutTerminal && what.Name != "text" && what.Name != "markdown" {
		return asciiJSON{w}
	}
	return w
}

// whichSession is the flag --session: all of them, or one by its number, where 0 is the last.
type whichSession struct {
	whole  bool
	number int
}

// String implements pflag.Value.
func (s *whichSession) String() string {
	switch {
	case s.whole:
		return "all"
	case s.number == 0:
		return "last"
	}
	return strconv.Itoa(s.number)
}

// Type implements pflag.Value.
func (s *whichSession) Type() string { return "session" }

// Set implements pflag.Value.
func (s *whichSession) Set(which string) error {
	switch which {
	case "all":
		*s = whichSession{whole: true}
		return nil
	case "last":
		*s = whichSession{}
		return nil
	}
	number, err := strconv.Atoi(which)
	if err != nil || number < 1 {
		return errors.New("expected last, all or a number from 1")
	}
	*s = whichSession{number: number}
	return nil
}

// of is the number of the session that is asked for; 0 is the whole story.
func (s *whichSession) of(story session.Story) (int, error) {
	if !s.whole && s.number == 0 {
		if len(story.Sessions) == 0 {
			return 0, fmt.Errorf("%s has no session yet", session.NameOf(story.Bow()))
		}
		return len(story.Sessions), nil
	}
	return s.number, nil
}
