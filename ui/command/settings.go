package command

import (
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"bendbook/model/plain"
	"bendbook/session/shop"
	"bendbook/ui/command/topics"
)

func settingsCommand(world *World) *cobra.Command {
	var out outFlags
	var from fileName
	cmd := &cobra.Command{
		Use:     "settings",
		Short:   "Print the shop's settings, or set others",
		Long:    topics.Text("settings"),
		Example: "  bendbook settings -o shop.json\n  bendbook settings --set shop.json",
		Args:    takes(0, 0, noArgument),
		RunE: func(*cobra.Command, []string) error {
			if from != "" {
				return setSettings(world, string(from))
			}
			return withShop(world, true, func(s *shop.Shop) error {
				doc, err := s.SettingsDocument()
				if err != nil {
					return err
				}
				return out.write(world, "shop.json", func(w io.Writer) error {
					_, err := plain.JSONWriter{To: w}.Write(doc)
					return err
				})
			})
		},
	}
	cmd.Flags().Var(&from, "set", "take the settings from this `file`; - is standard input")
	out.add(cmd)
	return cmd
}

func setSettings(world *World, name string) error {
	var doc []byte
	err := withInput(world, name, func(in io.Reader) (err error) {
		doc, err = io.ReadAll(io.LimitReader(in, 2<<20))
		return err
	})
	if err != nil {
		return err
	}
	return withShop(world, false, func(s *shop.Shop) error {
		if err := s.SetSettings(doc); err != nil {
			return fmt.Errorf("%s: %w", name, err)
		}
		printMessage(world, "the shop's settings are kept; those before stay in the book")
		return nil
	})
}
