package command

import (
	"cmp"
	"context"
	"fmt"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"bendbook/model"
	"bendbook/model/plain"
	"bendbook/session"
)

// offer makes a shell complete the values of a flag.
func offer(cmd *cobra.Command, flag string, values cobra.CompletionFunc) {
	if err := cmd.RegisterFlagCompletionFunc(flag, values); err != nil {
		panic(err) // the flag is not there, or has values already: a slip in this package
	}
}

// completeBow offers the bows of the book for the first argument.
func completeBow(world *World, o *options) cobra.CompletionFunc {
	return func(_ *cobra.Command, args []string, start string) ([]cobra.Completion, cobra.ShellCompDirective) {
		if len(args) > 0 {
			return nil, cobra.ShellCompDirectiveNoFileComp
		}
		var rows []session.Row
		// Completion has no place for an error: without a book it offers nothing.
		_ = withShop(world, *o, true, func(_ context.Context, shop *session.Shop) (err error) {
			rows, err = shop.Rack()
			return err
		})
		return bowsFrom(rows, start), cobra.ShellCompDirectiveNoFileComp
	}
}

// bowsFrom is, for each bow, the first of its name, number and id that begins with start: one that means no other
// bow, if there is any.
func bowsFrom(rows []session.Row, start string) []cobra.Completion {
	calls := func(bow model.Bow) []string { return []string{bow.Name, bow.Number, bow.ID} }
	means := make(map[string]map[string]bool) // what bows a word could mean, by their ids
	for _, row := range rows {
		for _, call := range calls(row.Bow) {
			word := strings.ToLower(call)
			if means[word] == nil {
				means[word] = make(map[string]bool)
			}
			means[word][row.Bow.ID] = true
		}
	}
	var offered []cobra.Completion
	told := make(map[string]bool)
	for _, row := range rows {
		found, unsure := "", ""
		for _, call := range calls(row.Bow) {
			word := strings.ToLower(call)
			switch {
			case !typable(call) || !strings.HasPrefix(word, strings.ToLower(start)):
			case len(means[word]) > 1:
				unsure = cmp.Or(unsure, call)
			default:
				found = cmp.Or(found, call)
			}
		}
		if call := cmp.Or(found, unsure); call != "" && !told[call] {
			told[call] = true
			offered = append(offered, cobra.CompletionWithDesc(call, describe(row, call)))
		}
	}
	return offered
}

// typable says whether a name can be typed as it is shown.
func typable(call string) bool {
	return call != "" && plain.Line(call) == call && call[0] != '-'
}

// describe says what bow is offered as call, beside it.
func describe(row session.Row, call string) string {
	var parts []string
	if name := session.NameOf(row.Bow); name != call {
		parts = append(parts, name)
	}
	if number := row.Bow.Number; number != "" && number != call {
		parts = append(parts, fmt.Sprintf("number %s", plain.Line(number)))
	}
	return strings.Join(append(parts, row.Stage), ", ")
}

// completeSession offers the sessions of the bow that is named before the flag.
func completeSession(world *World, o *options) cobra.CompletionFunc {
	return func(_ *cobra.Command, args []string, start string) ([]cobra.Completion, cobra.ShellCompDirective) {
		offered := []cobra.Completion{
			cobra.CompletionWithDesc("all", "the whole story"), cobra.CompletionWithDesc("last", "the last session"),
		}
		if len(args) == 1 {
			_ = withShop(world, *o, true, func(_ context.Context, shop *session.Shop) error {
				bow, err := shop.Find(args[0])
				if err != nil {
					return err
				}
				story, err := shop.Story(bow.ID)
				for _, sitting := range story.Sessions {
					day := ""
					if !sitting.From.IsZero() {
						day = sitting.From.In(world.Place).Format(time.DateOnly)
					}
					offered = append(offered, cobra.CompletionWithDesc(fmt.Sprint(sitting.Number), day))
				}
				return err
			})
		}
		var begun []cobra.Completion
		for _, one := range offered {
			if strings.HasPrefix(one, start) {
				begun = append(begun, one)
			}
		}
		return begun, cobra.ShellCompDirectiveNoFileComp
	}
}
