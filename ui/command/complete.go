package command

import (
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"bendbook/model/plain"
	"bendbook/session"
	"bendbook/session/shop"
)

func offer(cmd *cobra.Command, flag string, values ...string) {
	offered := cobra.FixedCompletions(values, cobra.ShellCompDirectiveNoFileComp)
	if err := cmd.RegisterFlagCompletionFunc(flag, offered); err != nil {
		panic(err) // the flag is not there: a slip in this package
	}
}

// completeBow offers the bows of the book for the first argument.
func completeBow(world *World) cobra.CompletionFunc {
	return func(_ *cobra.Command, args []string, start string) ([]cobra.Completion, cobra.ShellCompDirective) {
		if len(args) > 0 {
			return nil, cobra.ShellCompDirectiveNoFileComp
		}
		var rows []shop.Row
		// Completion has no place for an error: without a book it offers nothing.
		_ = withShop(world, true, func(s *shop.Shop) (err error) {
			rows, err = s.Rack()
			return err
		})
		// Of each bow the first of its name, number and id that begins with start and means no other bow.
		calls := func(row shop.Row) []string { return []string{row.Bow.Name, row.Bow.Number, row.Bow.ID} }
		means := make(map[string]int) // how many bows a word could mean
		for _, row := range rows {
			for _, call := range calls(row) {
				means[strings.ToLower(call)]++
			}
		}
		var offered []cobra.Completion
		for _, row := range rows {
			i := slices.IndexFunc(calls(row), func(call string) bool {
				word := strings.ToLower(call)
				return typable(call) && strings.HasPrefix(word, strings.ToLower(start)) && means[word] == 1
			})
			if i >= 0 {
				call := calls(row)[i]
				offered = append(offered, cobra.CompletionWithDesc(call, describe(row, call)))
			}
		}
		return offered, cobra.ShellCompDirectiveNoFileComp
	}
}

// typable says whether a name can be typed as it is shown.
func typable(call string) bool { return call != "" && plain.Line(call) == call && call[0] != '-' }

// describe says what bow is offered as call, beside it.
func describe(row shop.Row, call string) string {
	var parts []string
	if name := session.NameOf(row.Bow); name != call {
		parts = append(parts, name)
	}
	if number := row.Bow.Number; number != "" && number != call {
		parts = append(parts, fmt.Sprintf("number %s", plain.Line(number)))
	}
	return strings.Join(append(parts, row.Stage), ", ")
}
