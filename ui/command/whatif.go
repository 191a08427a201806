package command

import (
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"bendbook/model"
	"bendbook/session"
	"bendbook/session/shop"
	"bendbook/session/verdict"
)

func whatIfCommand(world *World) *cobra.Command {
	var strips, sides []string
	answers := map[string]*string{}
	var cmd *cobra.Command
	cmd = writeOfBow(world, &cobra.Command{
		Use:   "whatif BOW",
		Short: "Say what a bow would be: shortened, at another draw, on another string",
		Long: `Work out what a bow would be after a change: weight, stored energy, tiller, evenness, string and
strain. Each figure comes with its 90% range, before and after. Nothing is saved.`,
		Example: "  bendbook whatif ash --shorten 3/4\n" +
			"  bendbook whatif ash --draw 27 --brace 6.5 --strip \"upper 18-24 1/64\"",
	}, func(s *shop.Shop, story session.Story) (writing, error) {
		asked := map[string]string{}
		for name, text := range answers {
			asked[name] = *text
		}
		for name, all := range map[string][]string{"strip": strips, "sides": sides} {
			for _, one := range all {
				limb, rest, _ := strings.Cut(one, " ")
				if limb != model.Upper.String() && limb != model.Lower.String() {
					return writing{}, misused(cmd, "--%s %q: name the limb first, as in upper 18-24 1/64", name, one)
				}
				key := name + "-" + limb
				asked[key] = strings.TrimPrefix(asked[key]+";"+rest, ";")
			}
		}
		a, err := s.PracticeFor(story.Bow()).Of(story)
		return writing{"-what-if.txt", func(w io.Writer) error { return tellWhatIf(w, a, asked) }}, err
	})
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
