package command

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"bendbook/model/plain"
	"bendbook/model/record"
	"bendbook/ui/command/topics"
)

type usageError struct{ error }

func (e usageError) Unwrap() error { return e.error }

// misused says what is wrong with a command line, and where help on the command is.
func misused(cmd *cobra.Command, format string, args ...any) error {
	path := strings.Replace(cmd.CommandPath(), "bendbook", "bendbook help", 1)
	return usageError{fmt.Errorf("%w; see %s", fmt.Errorf(format, args...), path)}
}

// takes checks the number of arguments; what names them in the error.
func takes(least, most int, what string) cobra.PositionalArgs {
	return func(cmd *cobra.Command, args []string) error {
		if n := len(args); n < least || n > most {
			given := plain.Plural(n, "%d argument", "%d arguments", n)
			return misused(cmd, "%s takes %s, not %s", cmd.Name(), what, given)
		}
		return nil
	}
}

// What commands take.
const (
	oneBow     = "one bow (a name with blanks needs quotation marks)"
	oneFile    = "one file, or - for standard input"
	noArgument = "nothing"
)

// noCommand is for bendbook itself: what was given should have been one of its commands.
func noCommand(cmd *cobra.Command, args []string) error {
	if len(args) == 0 {
		return nil
	}
	if like := cmd.SuggestionsFor(args[0]); len(like) > 0 {
		return misused(cmd, "there is no command %q; did you mean %s?", args[0], strings.Join(like, " or "))
	}
	return misused(cmd, "there is no command %q", args[0])
}

func helpCommand() *cobra.Command {
	var schema bool
	cmd := &cobra.Command{
		Use:   "help [COMMAND | TOPIC]",
		Short: "Explain a command or a topic",
		RunE: func(cmd *cobra.Command, args []string) error {
			if schema {
				if !slices.Equal(args, []string{"record"}) {
					return misused(cmd, "--schema is of a bow's record: bendbook help record --schema")
				}
				_, err := io.WriteString(cmd.OutOrStdout(), record.Schema())
				return err
			}
			about, rest, err := cmd.Root().Find(args)
			if err != nil || len(rest) > 0 {
				return noCommand(cmd.Root(), args)
			}
			about.InitDefaultHelpFlag()
			about.InitDefaultVersionFlag()
			return about.Help()
		},
	}
	cmd.Flags().BoolVar(&schema, "schema", false, "with record: print the JSON Schema of a bow's record")
	return cmd
}

type fileName string

func (f *fileName) String() string { return string(*f) }

func (f *fileName) Type() string { return "file" }

func (f *fileName) Set(name string) error {
	if name == "" {
		return errors.New("give the name of a file")
	}
	*f = fileName(name)
	return nil
}

// addTopics makes each topic a help topic of cobra's: a command that does nothing and is listed apart. Some
// are the long help of a command of that name.
func addTopics(root *cobra.Command) {
	for _, name := range topics.Names() {
		if of, _, err := root.Find([]string{name}); err == nil && of != root {
			continue
		}
		root.AddCommand(&cobra.Command{Use: name, Short: topics.Title(name), Long: topics.Text(name)})
	}
}
