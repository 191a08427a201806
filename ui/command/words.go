package command

import (
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"bendbook/model/plain"
	"bendbook/model/say"
	"bendbook/ui/words"
)

func wordsCommand(world *World, o *options) *cobra.Command {
	var out outFlags
	cmd := &cobra.Command{
		Use:   "words [FILE]",
		Short: say.It("Print all that Bendbook says, to translate, or look a translation over"),
		Long: say.It("Without a FILE, print all texts as a template (PO, as gettext has it) that an editor for translations can fill in. With a\n" +
			"FILE, tell what is wrong in that translation and how much of it is there; - is standard input.\n\n" +
			"Bendbook speaks the translation that the variable BENDBOOK_WORDS names, else that of the terminal's locale, as de.po,\n" +
			"in the folder bendbook/words of the user's data directory, whichever book is open. What is not translated is said\n" +
			"in English."),
		Example: "  bendbook words -o de.po\n" +
			"  bendbook words de.po\n" +
			"  BENDBOOK_WORDS=de.po bendbook",
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) > 1 {
				return misused(cmd, "words needs one file at most, or - for standard input")
			}
			return nil
		},
		RunE: func(_ *cobra.Command, args []string) error {
			if len(args) == 1 {
				return lookOver(world, args[0])
			}
			return out.write(world, o, "bendbook.pot", func(w io.Writer) error {
				_, err := w.Write(words.Template)
				return err
			})
		},
	}
	out.add(cmd)
	return cmd
}

// mostWords is the most that is read of a translation.
const mostWords = 8 << 20

// lookOver tells how much of a translation is there. What is wrong in it is the error.
func lookOver(world *World, name string) error {
	var file []byte
	if err := withInput(world, name, func(in io.Reader) (err error) {
		file, err = io.ReadAll(io.LimitReader(in, mostWords))
		return err
	}); err != nil {
		return err
	}
	translation, faults := words.Read(file)
	missing, all := translation.Missing()
	lines := []string{say.F("%d of %d texts are translated", all-len(missing), all)}
	for _, fault := range faults {
		lines = append(lines, say.F("wrong: %v", fault))
	}
	for _, word := range missing {
		lines = append(lines, say.F("missing: %s", plain.Line(string(word))))
	}
	if _, err := fmt.Fprintln(world.Out, strings.Join(lines, "\n")); err != nil {
		return err
	}
	if len(faults) > 0 {
		return say.Errorf("%s: %d of its texts are said wrong, and so in English", name, len(faults))
	}
	return nil
}
