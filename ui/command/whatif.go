package command

import (
	"context"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"bendbook/model"
	"bendbook/session/shop"
	"bendbook/session/verdict"
)

func whatIfCommand(world *World, o *options) *cobra.Command {
	var strips, sides []string
	answers := map[string]*string{}
	cmd := &cobra.Command{
		Use:   "whatif BOW",
		Short: "Say what a bow would be: shortened, at another draw, on another string",
		Long: `Work out what a bow would be after a change: weight, stored energy, tiller, evenness, string and
strain. Each figure comes with its 90% range, before and after. Nothing is saved.
BOW is a number, an id or the start of a name.`,
		Example: "  bendbook whatif ash --shorten 3/4\n" +
			"  bendbook whatif ash --draw 27 --brace 6.5 --strip \"upper 18-24 1/64\"",
		Args: takes(1, 1, oneBow), ValidArgsFunction: completeBow(world, o),
		RunE: func(cmd *cobra.Command, args []string) error {
			asked := map[string]string{}
			for name, text := range answers {
				asked[name] = *text
			}
			for name, all := range map[string][]string{"strip": strips, "sides": sides} {
				for _, one := range all {
					limb, rest, _ := strings.Cut(one, " ")
					if limb != model.Upper.String() && limb != model.Lower.String() {
						return misused(cmd, "--%s %q: name the limb first, as in upper 18-24 1/64", name, one)
					}
					key := name + "-" + limb
					asked[key] = strings.TrimPrefix(asked[key]+";"+rest, ";")
				}
			}
			return withShop(world, *o, true, func(_ context.Context, s *shop.Shop) error {
				bow, err := s.Find(args[0])
				if err != nil {
					return err
				}
				story, err := s.Story(bow.ID)
				if err != nil {
					return err
				}
				a, err := s.PracticeFor(story.Bow()).Of(story)
				if err != nil {
					return err
				}
				return tellWhatIf(world.Out, a, asked)
			})
		},
	}
	for _, ask := range verdict.Asks() {
		if !strings.Contains(ask.Name, "-") { // of one limb
			answers[ask.Name] = cmd.Flags().String(ask.Name, "", ask.Hint)
		}
	}
	cmd.Flags().StringArrayVar(&strips, "strip", nil,
		"off the belly, such as \"upper 18-24 1/64\" or \"lower 4-10 3%\"")
	cmd.Flags().StringArrayVar(&sides, "sides", nil, "the same off the sides")
	return cmd
}

func tellWhatIf(out io.Writer, a verdict.Advice, asked map[string]string) error {
	w, err := a.Asked(asked)
	if err != nil {
		return err
	}
	now, err := a.Would(verdict.WhatIf{})
	if err != nil {
		return err
	}
	then, err := a.Would(w)
	if err != nil {
		return err
	}
	if err := writeTable(out, append([][]string{{"", "NOW", "THEN"}}, a.SayWould(now, then)...)); err != nil {
		return err
	}
	if says := a.SayStrain(w, now, then); says != "" {
		_, err = fmt.Fprintln(out, says)
	}
	return err
}
