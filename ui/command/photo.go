package command

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"bendbook/model"
	"bendbook/model/finish"
	"bendbook/model/photo"
	"bendbook/model/plain"
	"bendbook/session"
	"bendbook/session/form"
	"bendbook/session/report"
	"bendbook/session/shop"
	"bendbook/ui/command/topics"
)

func marksCommand(world *World) *cobra.Command {
	var out outFlags
	cmd := &cobra.Command{
		Use:   "marks",
		Short: "Write a sheet of marks to print, for pictures of a bow",
		Long: `Write a page (HTML) of coded marks to print, two to a sheet. It says how to use them. Pin them along
the board behind the bow. bendbook photo then reads the limbs off a picture.`,
		Example: "  bendbook marks -o marks.html",
		Args:    takes(0, 0, noArgument),
		RunE: func(*cobra.Command, []string) error {
			settings := finish.Usual()
			err := withShop(world, true, func(s *shop.Shop) (err error) {
				settings, err = s.Settings()
				return err
			})
			if none := NoBookError(""); err != nil && (world.book != "" || !errors.As(err, &none)) {
				return err
			}
			return out.write(world, "marks.html", func(w io.Writer) error { return report.Marks(w, settings) })
		},
	}
	out.add(cmd)
	return cmd
}

// A picture is one that the command reads, and what is to come of it.
type picture struct {
	world             *World
	name, draw, peak  string
	check, save, sure bool
	braced            bool
}

func photoCommand(world *World) *cobra.Command {
	p := picture{world: world}
	cmd := &cobra.Command{
		Use:   "photo BOW PICTURE",
		Short: "Read a bow's stations off a photograph",
		Long:  topics.Text("photo"),
		Example: "  bendbook photo ash IMG_0412.jpg --draw 24 --peak 41.2\n" +
			"  bendbook photo ash IMG_0412.jpg --draw 24 --peak 41.2 --save\n" +
			"  bendbook photo ash relaxed.jpg --check",
		Args:              takes(2, 2, "a bow and a picture"),
		ValidArgsFunction: completeBow(world),
		RunE: func(cmd *cobra.Command, args []string) error {
			if p.check && p.save {
				return misused(cmd, "--check saves nothing; leave out --save")
			}
			p.name = args[1]
			return withShop(world, !p.save, func(s *shop.Shop) error {
				return p.read(s, args[0])
			})
		},
	}
	flags := cmd.Flags()
	flags.StringVar(&p.draw, "draw", "", "how far the bow is drawn in it; without it the bow is relaxed, "+
		"unless the hook has a sticker")
	flags.StringVar(&p.peak, "peak", "", "what the scale kept")
	flags.BoolVar(&p.braced, "braced", false, "the bow is braced in it, and not drawn")
	flags.BoolVar(&p.save, "save", false, "add the entry to the book")
	flags.BoolVar(&p.sure, "sure", false, "keep values that the form would ask about")
	flags.BoolVar(&p.check, "check", false, "compare the picture with what you read by the rule at this draw")
	return cmd
}

func (p *picture) read(s *shop.Shop, call string) error {
	bench, err := benchOf(s, call)
	if err != nil {
		return err
	}
	settings, err := s.Settings()
	if err != nil {
		return err
	}
	in, said, err := openInput(p.world, p.name)
	if err != nil {
		return err
	}
	defer func() { _ = in.Close() }() // nothing was written through it
	data, err := io.ReadAll(io.LimitReader(in, photo.MostBytes+1))
	if err != nil {
		return fmt.Errorf("%s: %w", said, err)
	}
	bow := bench.Story().Bow()
	shown, r, err := form.ReadPhoto(bow, settings, data)
	if shown != nil {
		if err := p.show(shown, &r); err != nil {
			return err
		}
	}
	if err != nil {
		return fmt.Errorf("%s: %w", said, err)
	}
	if p.check {
		return p.compare(bench.Story(), r)
	}
	return p.enter(s, bench, r)
}

// show writes how a picture was read beside it; not beside standard input.
func (p *picture) show(shown *photo.Picture, r *photo.Reading) error {
	if p.name == "-" {
		return nil
	}
	beside := strings.TrimSuffix(p.name, filepath.Ext(p.name)) + ".read.png"
	var b bytes.Buffer
	if err := r.Show(&b, shown); err != nil {
		return err
	}
	err := p.world.WriteFile(beside, Over{Force: true}, func(w io.Writer) error {
		_, err := w.Write(b.Bytes())
		return err
	})
	if err != nil {
		return fmt.Errorf("%s: %w", beside, cause(err))
	}
	printMessage(p.world, "How it was read: "+beside)
	return nil
}

// mostFollow is farther than any unstrung bow bends (in).
const mostFollow = 4

// enter fills in the form of a pull, or of the relaxed bow where no draw is known, and saves it if asked.
func (p *picture) enter(s *shop.Shop, bench *shop.Bench, r photo.Reading) error {
	story := bench.Story()
	fields := form.Pull(story)
	switch {
	case p.braced:
		fields = form.Braced(story)
	case p.draw == "" && !r.Draw.Known():
		if p.peak != "" {
			return errors.New("--peak needs the draw: add --draw, such as --draw 24")
		}
		if r.Farthest() > mostFollow {
			return errors.New("the bow looks drawn: add --draw, such as --draw 24, or --braced")
		}
		fields = form.Relaxed(story)
	}
	line, says, err := fields.PhotoLine(r, p.draw, p.peak)
	if err != nil {
		return err
	}
	if _, err := fmt.Fprintln(p.world.Out, plain.Line(says)); err != nil {
		return err
	}
	if !p.save {
		_, err := fmt.Fprintf(p.world.Out, "%s %s\nNothing is saved. --save adds it to the book.\n", fields.Form,
			plain.Line(line))
		return err
	}
	l := &logger{world: p.world, shop: s, sure: p.sure, bows: make(map[string]*atWork)}
	if err := l.add(story.Bow().ID, fields.Form+" "+line); err != nil {
		return err
	}
	return l.next()
}

// compare says how far the picture is from what was read by the rule in the same pose.
func (p *picture) compare(story session.Story, r photo.Reading) error {
	bow := story.Bow()
	pose := story.PoseNow(model.KindRelaxed, model.FromLine)
	if p.braced {
		pose = story.PoseNow(model.KindBraced, model.FromLine)
	}
	draw, err := bow.ParseLength(p.draw)
	if p.draw != "" {
		if err != nil {
			return fmt.Errorf("--draw: %w", err)
		}
		pose = story.PoseNow(model.KindPull, model.FromLine)
		pose.Draw = draw
	}
	rule, _, ok := story.Latest(pose)
	if !ok {
		return errors.New("nothing was read by the rule like this yet. Read it so first, then take the picture")
	}
	lines, median := form.Differ(bow, r, rule)
	if len(lines) == 0 {
		return errors.New("no station was read both ways. Read more of them by the rule")
	}
	const says = "%s\nMedian difference: %.2f in, at %d stations. A rule in sixteenths is off by 0.03.\n"
	_, err = fmt.Fprintf(p.world.Out, says, strings.Join(lines, "\n"), float64(median), len(lines))
	return err
}
