package command

import (
	"fmt"
	"io"
	"strconv"
	"strings"

	"github.com/charmbracelet/x/ansi"
	"github.com/spf13/cobra"

	"bendbook/session"
	"bendbook/session/report"
	"bendbook/session/shop"
)

// writing is what a command writes of one bow: what the file is called after the bow's name, and the writing.
type writing struct {
	named string // such as "-card.md"
	write func(io.Writer) error
}

// writeOfBow completes cmd: it takes a BOW and writes what of makes of its story to where -o says.
func writeOfBow(world *World, cmd *cobra.Command,
	of func(*shop.Shop, session.Story) (writing, error)) *cobra.Command {
	var out outFlags
	cmd.Args = takes(1, 1, oneBow)
	cmd.ValidArgsFunction = completeBow(world)
	cmd.Long += "\nBOW is a number, an id or the start of a name."
	cmd.RunE = func(_ *cobra.Command, args []string) error {
		return withShop(world, true, func(s *shop.Shop) error {
			bench, err := benchOf(s, args[0])
			if err != nil {
				return err
			}
			story := bench.Story()
			made, err := of(s, story)
			if err != nil {
				return err
			}
			return out.write(world, report.Filename(session.NameOf(story.Bow()), "bow")+made.named, made.write)
		})
	}
	out.add(cmd)
	return cmd
}

// asFlag gives a command the flag --as. The first format is the default.
func asFlag(cmd *cobra.Command, formats []report.Format) *string {
	var names []string
	for _, format := range formats {
		names = append(names, format.Name)
	}
	as := cmd.Flags().String("as", names[0], "the `format` to write: "+report.Names(formats))
	offer(cmd, "as", names...)
	return as
}

func summaryCommand(world *World) *cobra.Command {
	var as, which *string
	var plain, readings bool
	var cmd *cobra.Command
	cmd = writeOfBow(world, &cobra.Command{
		Use:   "summary BOW",
		Short: "Write the summary of a bow's sessions",
		Long: `Write the whole bow's story, or one session of it: what to do next, the passes, what was done. html
is a page with pictures, to read on a phone or to print. csv is a table for a spreadsheet, which
import reads back. json is for other programs. If -o names a folder, the file gets the bow's name.`,
		Example: "  bendbook summary ash\n  bendbook summary ash --as html -o ash.html\n" +
			"  bendbook summary 47 --session last --as markdown -o wren.md",
	}, func(s *shop.Shop, story session.Story) (writing, error) {
		what, ok := report.Find(report.Formats(), *as)
		if !ok {
			return writing{}, misused(cmd, "--as %q: write %s", *as, report.Names(report.Formats()))
		}
		number, err := strconv.Atoi(*which)
		switch {
		case *which == "all":
			number = 0
		case *which == "last" && len(story.Sessions) == 0:
			return writing{}, fmt.Errorf("%s has no session yet", session.NameOf(story.Bow()))
		case *which == "last":
			number = len(story.Sessions)
		case err != nil || number < 1:
			return writing{}, misused(cmd, "--session %q: write last, all or a number from 1", *which)
		}
		of, err := subjectOf(world, s, story)
		if err != nil {
			return writing{}, err
		}
		of.Session, of.Readings, of.PlainCSV = number, readings, plain
		return writing{what.Part(number), func(w io.Writer) error { return what.Write(w, of) }}, nil
	})
	which = cmd.Flags().String("session", "all", "which `session`: last, all or its number")
	offer(cmd, "session", "all", "last")
	as = asFlag(cmd, report.Formats())
	cmd.Flags().BoolVar(&readings, "readings", false,
		"text and Markdown with tables of all readings, as html has them")
	cmd.Flags().BoolVar(&plain, "plain-csv", false,
		"a table without the mark that tells spreadsheets it is UTF-8")
	return cmd
}

// subjectOf is a bow's whole story to report.
func subjectOf(world *World, s *shop.Shop, story session.Story) (report.Subject, error) {
	f, err := s.Finishing(story)
	return report.Subject{Story: story, Practice: s.PracticeFor(story.Bow()), Finishing: f,
		Place: world.Place}, err
}

func cardCommand(world *World) *cobra.Command {
	var as *string
	var draft bool
	var cmd *cobra.Command
	cmd = writeOfBow(world, &cobra.Command{
		Use:   "card BOW",
		Short: "Write the card that goes with a bow",
		Long: `Write what the customer should know of a bow: its number and mark, how to keep and shoot it. You
choose the words: see bendbook help settings.`,
		Example: "  bendbook card ash --as markdown -o card.md",
	}, func(s *shop.Shop, story session.Story) (writing, error) {
		what, ok := report.Find(report.CardFormats(), *as)
		if !ok {
			return writing{}, misused(cmd, "--as %q: write %s", *as, report.Names(report.CardFormats()))
		}
		f, err := s.Finishing(story)
		if err != nil {
			return writing{}, err
		}
		if f.Cracked != "" {
			return writing{}, fmt.Errorf("no card: %s; mend it and log mended first", f.Cracked)
		}
		if missing := f.Missing(); len(missing) > 0 && !draft {
			v, err := s.Judge(story.Bow().ID)
			if err != nil {
				return writing{}, err
			}
			return writing{}, fmt.Errorf("no card yet, not done: %s. %s (--draft writes it anyway)",
				strings.Join(missing, ", "), v.Say)
		}
		card := report.Card(story, f, nil)
		if says, err := s.PracticeFor(story.Bow()).Of(story); err == nil {
			card = report.Card(story, f, &says)
		}
		write := func(w io.Writer) error { return what.WriteCard(w, card) }
		return writing{what.CardPart(), write}, nil
	})
	as = asFlag(cmd, report.CardFormats())
	cmd.Flags().BoolVar(&draft, "draft", false, "write it of an unfinished bow too, marked as a draft")
	return cmd
}

func tallyCommand(world *World) *cobra.Command {
	return writeOfBow(world, &cobra.Command{
		Use:     "tally BOW",
		Short:   "Write a tally sheet to print and fill in at the tree",
		Long:    ansi.Wordwrap(report.TallySheet+" It is a page (HTML) for A4 or Letter.", 110, ""),
		Example: "  bendbook tally ash -o ash-tally.html",
	}, func(s *shop.Shop, story session.Story) (writing, error) {
		of, err := subjectOf(world, s, story)
		return writing{report.TallyPart, func(w io.Writer) error { return report.Tally(w, of) }}, err
	})
}
