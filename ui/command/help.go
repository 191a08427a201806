package command

import (
	"strings"

	"github.com/spf13/cobra"
)

func helpCommand() *cobra.Command {
	return &cobra.Command{
		Use:               "help [COMMAND]",
		Short:             "Tell about a command",
		ValidArgsFunction: completeCommand,
		RunE: func(cmd *cobra.Command, args []string) error {
			about, rest, err := cmd.Root().Find(args)
			if err != nil || len(rest) > 0 {
				return noCommand(cmd.Root(), args)
			}
			about.InitDefaultHelpFlag()
			about.InitDefaultVersionFlag()
			return about.Help()
		},
	}
}

func completeCommand(cmd *cobra.Command, args []string, start string) ([]cobra.Completion, cobra.ShellCompDirective) {
	var names []cobra.Completion
	for _, sub := range cmd.Root().Commands() {
		if len(args) == 0 && sub.IsAvailableCommand() && strings.HasPrefix(sub.Name(), start) {
			names = append(names, cobra.CompletionWithDesc(sub.Name(), sub.Short))
		}
	}
	return names, cobra.ShellCompDirectiveNoFileComp
}
