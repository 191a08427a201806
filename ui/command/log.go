package command

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"bendbook/model"
	"bendbook/model/estimate"
	"bendbook/model/finish"
	"bendbook/model/plain"
	"bendbook/session"
	"bendbook/session/form"
	"bendbook/session/shop"
	"bendbook/session/verdict"
	"bendbook/ui/command/topics"
)

func logCommand(world *World) *cobra.Command {
	var sure bool
	cmd := &cobra.Command{
		Use:   "log BOW ENTRY | [BOW] -",
		Short: "Add one entry to a bow, or one for each line of standard input",
		Long:  topics.Text("log"),
		Example: "  bendbook log ash pull 24 41.2 upper 3/8 11/16 1 5/8 lower 1/4 1/2 1 1/8\n" +
			"  bendbook log ash scrape upper 18-24 x15\n  bendbook log ash exercise 25\n" +
			"  bendbook log ash note Flat at 16\n  bendbook log ash undo\n  bendbook log ash - < readings.txt",
		Args: func(cmd *cobra.Command, args []string) error {
			switch {
			case len(args) == 0:
				return misused(cmd, "log needs a bow and an entry, or - for standard input")
			case len(args) == 1 && args[0] != "-":
				return misused(cmd, "log needs an entry for %s, such as pull 24 41.2", args[0])
			case args[0] == "-" && len(args) > 1:
				return misused(cmd, "log - takes nothing more; write the bow before the -")
			}
			return nil
		},
		ValidArgsFunction: completeBow(world),
		RunE: func(cmd *cobra.Command, args []string) error {
			// Flags stand before the bow, since -1/8 is a reading; these two may also stand behind it.
			if slices.Contains(args, "--help") {
				return cmd.Help()
			}
			if at := slices.Index(args, "--sure"); at >= 0 {
				sure, args = true, slices.Delete(slices.Clone(args), at, at+1)
			}
			return withShop(world, false, func(s *shop.Shop) error {
				l := &logger{world: world, shop: s, sure: sure, bows: make(map[string]*atWork)}
				last := len(args) - 1
				if args[last] == "-" && last <= 1 {
					return l.lines(strings.Join(args[:last], " "))
				}
				if err := l.add(args[0], strings.Join(args[1:], " ")); err != nil {
					return err
				}
				return l.next()
			})
		},
	}
	cmd.Flags().SetInterspersed(false)
	cmd.Flags().BoolVar(&sure, "sure", false, "keep values that the form would ask about")
	return cmd
}

// logger adds entries to bows, each in one line.
type logger struct {
	world *World
	shop  *shop.Shop
	sure  bool
	bows  map[string]*atWork // by id, those that were added to
	order []*atWork          // the same, in the order in which they were
	takes shop.Experience
}

// atWork is a bow with what its readings say.
type atWork struct {
	*shop.Bench
	advice verdict.Advice
	told   int // how many entries the advice is of, and one
	err    error
}

func (l *logger) add(bow, entry string) error {
	found, err := l.shop.Find(bow)
	if err != nil {
		return err
	}
	b := l.bows[found.ID]
	if b == nil {
		bench, err := l.shop.Bench(found.ID)
		if err != nil {
			return err
		}
		b = &atWork{Bench: bench}
		l.bows[found.ID] = b
	}
	f, err := b.Finishing()
	if err != nil {
		return err
	}
	deed, rest, err := deedOf(f, entry)
	if err != nil {
		return err
	}
	says, err := deed.do(l, b, rest)
	if errors.As(err, new(form.DoubtError)) {
		return fmt.Errorf("%w; --sure keeps it", err)
	}
	if err != nil {
		return err
	}
	if !slices.Contains(l.order, b) {
		l.order = append(l.order, b)
	}
	_, err = fmt.Fprintln(l.world.Out, says)
	return err
}

// lines adds an entry for each line of standard input; bow "" stands in each line.
func (l *logger) lines(bow string) error {
	in := bufio.NewReader(l.world.text(l.world.In))
	given, refused := 0, 0
	for n := 1; ; n++ {
		line, err := in.ReadString('\n')
		if err != nil && !errors.Is(err, io.EOF) {
			if errors.Is(err, errInterrupted) {
				return errors.New("interrupted; lines answered with Saved are in the book, the others aren't")
			}
			return err
		}
		cut := err != nil && line != ""
		if line = strings.TrimSpace(line); line != "" && line[0] != '#' {
			given++
			if reason := l.line(bow, line, cut); reason != nil {
				if l.world.Out.(*results).err != nil {
					return reason
				}
				refused++
				printMessage(l.world, fmt.Sprintf("line %d: %s", n, reason))
			}
		}
		if err != nil {
			break
		}
	}
	if err := l.next(); err != nil {
		return err
	}
	if refused > 0 {
		return fmt.Errorf("%d of %d lines were not saved", refused, given)
	}
	return nil
}

// line adds the entry of one line; cut says that the line did not end.
func (l *logger) line(bow, line string, cut bool) error {
	if cut {
		return errors.New("it has no line break at its end, so it may be cut off; give it again, whole")
	}
	if rest, quoted := strings.CutPrefix(line, `"`); bow == "" && quoted {
		bow, line, _ = strings.Cut(rest, `"`)
	} else if bow == "" {
		bow, line, _ = strings.Cut(line, " ")
	}
	if line = strings.TrimSpace(line); line == "" {
		return errors.New("there is a bow but no entry")
	}
	defer func(sure bool) { l.sure = sure }(l.sure)
	line, sure := strings.CutSuffix(line, " --sure")
	l.sure = l.sure || sure
	return l.add(bow, line)
}

// next says what to do next with each bow, and why.
func (l *logger) next() error {
	for _, b := range l.order {
		f, err := b.Finishing()
		if err != nil {
			return err
		}
		says, err := l.says(b)
		next := ""
		if err != nil {
			next = session.Capital(err.Error()) + "."
		} else {
			v := says.Judge(f)
			l.shop.Judged(says, v)
			next = strings.TrimSpace(v.Say + " " + v.Why)
		}
		if _, err := fmt.Fprintf(l.world.Out, "%s: %s\n", session.NameOf(f.Bow), next); err != nil {
			return err
		}
	}
	return nil
}

// says is what the bow's readings say now.
func (l *logger) says(b *atWork) (verdict.Advice, error) {
	if story := b.Story(); b.told != len(story.Lines)+1 {
		practice := l.takes.PracticeFor(l.shop, story.Bow())
		b.advice, b.err = b.advice.Again(story, practice.Settings, practice.Shape)
		b.told = len(story.Lines) + 1
	}
	return b.advice, b.err
}

// enter fills in a form from one line and adds its entry.
func (l *logger) enter(b *atWork, fields *form.Sheet, line string) (string, error) {
	fields.Expect = func(where estimate.Where, on session.String, brace float64) (estimate.Figure, bool) {
		says, err := l.says(b)
		if err != nil {
			return estimate.Figure{}, false
		}
		return says.Expect(where, on, brace)
	}
	made, err := fields.Line(b.Story().Bow(), line, l.sure)
	if err != nil {
		return "", err
	}
	return l.keep(b, made.Event)
}

func (l *logger) keep(b *atWork, event model.Event) (string, error) {
	if err := b.Add(event, ""); err != nil {
		return "", err
	}
	bow := b.Story().Bow()
	return fmt.Sprintf("Saved: %s, %s.", session.NameOf(bow), session.Say(bow, event)), nil
}

// A deed is what the first word of an entry asks for.
type deed struct {
	name string
	do   func(l *logger, b *atWork, rest string) (said string, err error)
}

// deeds are all that can be logged of a bow: the kinds of entry, what is done without a form, and the shop's
// stages of finishing.
func deeds(f verdict.Finishing) []deed {
	var all []deed
	filled := func(name string, of func(session.Story) *form.Sheet) {
		all = append(all, deed{name, func(l *logger, b *atWork, rest string) (string, error) {
			return l.enter(b, of(b.Story()), rest)
		}})
	}
	bare := func(name string, do func(*logger, *atWork) (string, error)) {
		all = append(all, deed{name, func(l *logger, b *atWork, rest string) (string, error) {
			if rest != "" {
				return "", fmt.Errorf("%s stands alone; %q is too much", name, rest)
			}
			return do(l, b)
		}})
	}
	for _, kind := range form.Kinds() {
		filled(kind.Name, kind.Of)
	}
	bare("undo", (*logger).undo)
	bare("redo", func(_ *logger, b *atWork) (string, error) {
		deed, err := b.Last(true)
		return turned(b, "Counts again", deed, err)
	})
	for at, stage := range f.Progress.Stages {
		taken := func(d deed) bool { return strings.EqualFold(d.name, stage.Name) }
		if slices.ContainsFunc(all, taken) {
			continue
		}
		switch stage.Seen {
		case finish.SignMarked:
			all = append(all, deed{name: stage.Name, do: stamp})
		case finish.SignBack:
			filled(stage.Name, form.Back)
		case finish.SignWeighed, finish.SignReweigh:
			filled(stage.Name, form.Weigh)
		default:
			filled(stage.Name, func(session.Story) *form.Sheet {
				return form.OnDay(f.StepOf(at), stage.Name, f.Now, f.Dates)
			})
		}
		log := all[len(all)-1].do
		all[len(all)-1].do = func(l *logger, b *atWork, rest string) (string, error) {
			if doubt := b.Doubt(f, at); doubt != "" && !l.sure {
				return "", form.DoubtError{Says: stage.Name + ": " + strings.TrimSuffix(doubt, ".")}
			}
			return log(l, b, rest)
		}
	}
	return all
}

// stamp marks a bow with what its settings say, or with the rest of the line.
func stamp(_ *logger, b *atWork, rest string) (string, error) {
	mark, err := b.ToStamp()
	if err != nil {
		return "", err
	}
	if rest != "" {
		mark = mark.As(rest)
	}
	text := plain.Line(mark.Text)
	return fmt.Sprintf("Saved: %s, stamp %s.", session.NameOf(b.Story().Bow()), text), b.Stamp(mark)
}

// undo undoes the last thing done on a bow. What is of an earlier sitting it names first.
func (l *logger) undo(b *atWork) (string, error) {
	deed, err := b.Last(false)
	old := !deed.At.IsZero() && l.shop.Now().Sub(deed.At) > session.LongestPause
	if err == nil && old && !l.sure {
		at := l.shop.Dates().PrintTime(deed.At.In(l.world.Place))
		return "", fmt.Errorf("undo: the last thing done is of %s: %s; --sure undoes it", at, deed.Says)
	}
	return turned(b, "Undone", deed, err)
}

func turned(b *atWork, says string, deed shop.Deed, err error) (string, error) {
	if err == nil {
		err = deed.Do()
	}
	return fmt.Sprintf("%s: %s, %s.", says, session.NameOf(b.Story().Bow()), deed.Says), err
}

// deedOf is what an entry asks for, by its first words or the unambiguous start of a name, and the rest of
// the entry.
func deedOf(f verdict.Finishing, entry string) (found deed, rest string, err error) {
	first, behind, _ := strings.Cut(entry, " ")
	var could []string
	for _, d := range deeds(f) {
		n := len(d.name)
		if len(entry) >= n && strings.EqualFold(entry[:n], d.name) && (len(entry) == n || entry[n] == ' ') {
			return d, strings.TrimSpace(entry[n:]), nil
		}
		if n := len(first); len(d.name) > n && strings.EqualFold(d.name[:n], first) {
			could, found = append(could, d.name), d
		}
	}
	switch len(could) {
	case 1:
		return found, strings.TrimSpace(behind), nil
	case 0:
		var names []string
		for _, d := range deeds(f) {
			names = append(names, d.name)
		}
		return deed{}, "", fmt.Errorf("%q isn't a kind of entry: write %s", first, strings.Join(names, ", "))
	}
	return deed{}, "", fmt.Errorf("%q could be %s", first, strings.Join(could, ", "))
}
