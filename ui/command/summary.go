package command

import (
	"fmt"
	"strconv"

	"github.com/spf13/cobra"

	"bendbook/model/plain"
	"bendbook/session"
	"bendbook/session/summary"
)

func summaryCommand(world *World, o *options) *cobra.Command {
	var out outFlags
	var which, as string
	cmd := &cobra.Command{
		Use:   "summary BOW",
		Short: "Write the summary of a bow's sessions",
		Long: "Write what was done and read: the whole bow's story, or one session of it.\n" +
			"BOW is a number, an id or the unambiguous start of a name.",
		Args:              usageArgs(cobra.ExactArgs(1)),
		ValidArgsFunction: completeBow(world, o),
		RunE: func(_ *cobra.Command, args []string) error {
			render, ok := renderers[as]
			if !ok {
				return usageError{fmt.Errorf("--as %s: expected text or markdown", as)}
			}
			number, whole, err := parseSession(which)
			if err != nil {
				return err
			}
			return withShop(world, *o, true, func(shop *session.Shop) error {
				bow, err := shop.Find(args[0])
				if err != nil {
					return err
				}
				story, err := shop.Story(bow.ID)
				if err != nil {
					return err
				}
				doc := summary.Whole(story, world.Place)
				if !whole {
					if number == 0 {
						number = len(story.Sessions)
					}
					if doc, err = summary.One(story, number, world.Place); err != nil {
						return err
					}
				}
				return out.write(world, []byte(render(doc)))
			})
		},
	}
	cmd.Flags().StringVar(&which, "session", "all", "which `session`: last, all or its number")
	cmd.Flags().StringVar(&as, "as", "text", "`form`: text or markdown")
	out.add(cmd)
	return cmd
}

var renderers = map[string]func(summary.Document) string{
	"text":     summary.Document.Text,
	"markdown": summary.Document.Markdown,
}

// parseSession reads the flag --session; number 0 is the last.
func parseSession(which string) (number int, whole bool, err error) {
	switch which {
	case "all":
		return 0, true, nil
	case "last":
		return 0, false, nil
	}
	number, err = strconv.Atoi(which)
	if err != nil || number < 1 {
		return 0, false, usageError{fmt.Errorf("--session %s: expected last, all or a number from 1", which)}
	}
	return number, false, nil
}

// printMessage tells something beside a command's output, on standard error.
func printMessage(world *World, text string) {
	// Where standard error is gone there is nobody to tell.
	_, _ = fmt.Fprintln(world.Err, plain.Line(text))
}
