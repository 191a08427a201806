package command

import (
	"context"
	"errors"
	"fmt"
	"io"
	"maps"
	"slices"
	"strconv"
	"time"

	"github.com/spf13/cobra"

	"bendbook/session"
	"bendbook/session/summary"
)

func summaryCommand(world *World, o *options) *cobra.Command {
	var out outFlags
	which, as := whichSession{whole: true}, form("text")
	cmd := &cobra.Command{
		Use:   "summary BOW",
		Short: "Write the summary of a bow's sessions",
		Long: "Write what was done and read: the whole bow's story, or one session of it.\n" +
			"BOW is a number, an id or the unambiguous start of a name.",
		Example: "  bendbook summary ash\n" +
			"  bendbook summary 47 --session last --as markdown -o wren.md",
		Args:              oneBow(false),
		ValidArgsFunction: completeBow(world, o),
		RunE: func(_ *cobra.Command, args []string) error {
			return withShop(world, *o, true, func(_ context.Context, shop *session.Shop) error {
				bow, err := shop.Find(args[0])
				if err != nil {
					return err
				}
				story, err := shop.Story(bow.ID)
				if err != nil {
					return err
				}
				doc, err := which.of(story, world.Place)
				if err != nil {
					return err
				}
				return out.write(world, o, func(w io.Writer) error {
					_, err := io.WriteString(w, renderers[string(as)](doc))
					return err
				})
			})
		},
	}
	cmd.Flags().Var(&which, "session", "which `session`: last, all or its number")
	cmd.Flags().Var(&as, "as", "the `form` to write: text or markdown")
	out.add(cmd)
	offer(cmd, "as", cobra.FixedCompletions(formNames(), cobra.ShellCompDirectiveNoFileComp))
	offer(cmd, "session", completeSession(world, o))
	return cmd
}

var renderers = map[string]func(summary.Document) string{
	"text":     summary.Document.Text,
	"markdown": summary.Document.Markdown,
}

// formNames are the forms that --as may name.
func formNames() []string { return slices.Sorted(maps.Keys(renderers)) }

// form is the flag --as, a key of renderers.
type form string

// String implements pflag.Value.
func (f *form) String() string { return string(*f) }

// Type implements pflag.Value.
func (f *form) Type() string { return "form" }

// Set implements pflag.Value.
func (f *form) Set(name string) error {
	if renderers[name] == nil {
		return errors.New("expected text or markdown")
	}
	*f = form(name)
	return nil
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

// of is the summary that is asked for.
func (s *whichSession) of(story session.Story, place *time.Location) (summary.Document, error) {
	switch {
	case s.whole:
		return summary.Whole(story, place), nil
	case s.number > 0:
		return summary.One(story, s.number, place)
	case len(story.Sessions) == 0:
		return summary.Document{}, fmt.Errorf("%s has no session yet", session.NameOf(story.Bow()))
	}
	return summary.One(story, len(story.Sessions), place)
}
