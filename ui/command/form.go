package command

import (
	"errors"
	"fmt"
	"slices"

	"github.com/spf13/cobra"

	"bendbook/session/report"
)

// form is the flag --as: the name of a form in which something is written.
type form struct {
	name  string
	names []string // of all forms, the usual one first
	words string   // the names in words
}

// formOf is the flag for some forms, set to the usual one.
func formOf(all []report.Format) form {
	f := form{words: report.Names(all)}
	for _, one := range all {
		f.names = append(f.names, one.Name)
	}
	f.name = f.names[0]
	return f
}

// add gives a command the flag.
func (f *form) add(cmd *cobra.Command) {
	cmd.Flags().Var(f, "as", fmt.Sprintf("the `form` to write: %s", f.words))
	offer(cmd, "as", cobra.FixedCompletions(f.names, cobra.ShellCompDirectiveNoFileComp))
}

// String implements pflag.Value.
func (f *form) String() string { return f.name }

// Type implements pflag.Value.
func (f *form) Type() string { return "form" }

// Set implements pflag.Value.
func (f *form) Set(name string) error {
	if !slices.Contains(f.names, name) {
		return errors.New(fmt.Sprintf("expected %s", f.words))
	}
	f.name = name
	return nil
}
