package command

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// usageError is a mistake in the command line itself.
type usageError struct{ error }

func (e usageError) Unwrap() error { return e.error }

// misused says what is wrong with a command line, and where help on the command is.
func misused(cmd *cobra.Command, format string, args ...any) error {
	path := strings.Replace(cmd.CommandPath(), "bendbook", "bendbook help", 1)
	return usageError{fmt.Errorf("%w; see %s", fmt.Errorf(format, args...), path)}
}

// noArguments is for commands that take none.
func noArguments(cmd *cobra.Command, args []string) error {
	if len(args) > 0 {
		return misused(cmd, "%s takes no arguments, but %q was given", cmd.Name(), args[0])
	}
	return nil
}

// noCommand is for bendbook itself: what was given should have been one of its commands.
func noCommand(cmd *cobra.Command, args []string) error {
	if len(args) == 0 {
		return nil
	}
	if like := cmd.SuggestionsFor(args[0]); len(like) > 0 {
		return misused(cmd, "there is no command %q; %s is one", args[0], strings.Join(like, " "+"or"+" "))
	}
	return misused(cmd, "there is no command %q", args[0])
}

// oneBow is for commands that take one BOW, which may be left out where optional is set.
func oneBow(optional bool) cobra.PositionalArgs {
	return func(cmd *cobra.Command, args []string) error {
		switch {
		case len(args) > 1:
			return misused(cmd, "%s takes one bow, but %d arguments were given; a name with blanks needs quotation marks", cmd.Name(), len(args))
		case len(args) == 0 && !optional:
			return misused(cmd, "%s needs a bow: its number, its id or the start of its name", cmd.Name())
		}
		return nil
	}
}

// wrongFlag puts what the flag parser complains of into plain words.
func wrongFlag(cmd *cobra.Command, err error) error {
	var invalid *pflag.InvalidValueError
	var lacking *pflag.ValueRequiredError
	var unknown *pflag.NotExistError
	switch {
	case errors.As(err, &invalid):
		expected := invalid.Unwrap()
		if invalid.GetFlag().Value.Type() == "bool" {
			expected = errors.New("expected true or false")
		}
		return misused(cmd, "--%s %s: %w", invalid.GetFlag().Name, shellWord(invalid.GetValue()), expected)
	case errors.As(err, &lacking):
		what, _ := pflag.UnquoteUsage(lacking.GetFlag())
		return misused(cmd, "--%s: expected a %s after it", lacking.GetFlag().Name, what)
	case errors.As(err, &unknown):
		dashes := "--"
		if unknown.GetSpecifiedShortnames() != "" {
			dashes = "-"
		}
		return misused(cmd, "%s has no flag %s%s", cmd.Name(), dashes, unknown.GetSpecifiedName())
	}
	return misused(cmd, "%w", err)
}

// shellWord is a value as it might be typed.
func shellWord(value string) string {
	if value == "" || strings.ContainsAny(value, " \t\n\"'") {
		return strconv.Quote(value)
	}
	return value
}

// fileName is a flag that names a file.
type fileName string

// String implements pflag.Value.
func (f *fileName) String() string { return string(*f) }

// Type implements pflag.Value.
func (f *fileName) Type() string { return "file" }

// Set implements pflag.Value.
func (f *fileName) Set(name string) error {
	if name == "" {
		return errors.New("expected the name of a file")
	}
	*f = fileName(name)
	return nil
}
