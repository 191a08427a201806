package command

import (
	"io"
	"slices"
	"strings"

	"github.com/spf13/cobra"
)

// shells are those whose completion we can write.
var shells = []string{"bash", "fish", "powershell", "zsh"}

func shellCommand(world *World) *cobra.Command {
	return &cobra.Command{
		Use:   "completion SHELL",
		Short: "Write a script that lets a shell complete commands, flags and bows",
		Long: "Write a script to standard output by which a shell completes commands, flags and the names of bows.\n" +
			"SHELL is bash, fish, powershell or zsh.",
		Example: "  source <(bendbook completion bash)                    in ~/.bashrc; needs the package bash-completion\n" +
			"  source <(bendbook completion zsh)                     in ~/.zshrc, after compinit\n" +
			"  bendbook completion fish | source                     in ~/.config/fish/config.fish\n" +
			"  bendbook completion powershell | Out-String | Invoke-Expression   in $PROFILE",
		ValidArgs: shells,
		Args: func(cmd *cobra.Command, args []string) error {
			switch {
			case len(args) == 0:
				return misused(cmd, "completion needs the name of a shell: bash, fish, powershell or zsh")
			case len(args) > 1 || !slices.Contains(shells, args[0]):
				return misused(cmd, "completion %s: expected bash, fish, powershell or zsh", strings.Join(args, " "))
			}
			return nil
		},
		RunE: func(cmd *cobra.Command, args []string) error { return writeShell(cmd.Root(), world.Out, args[0]) },
	}
}

func writeShell(root *cobra.Command, w io.Writer, shell string) error {
	switch shell {
	case "bash":
		return root.GenBashCompletionV2(w, true)
	case "fish":
		return root.GenFishCompletion(w, true)
	case "powershell":
		return root.GenPowerShellCompletionWithDesc(w)
	}
	return root.GenZshCompletion(w)
}
