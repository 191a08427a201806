package ui

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"

	"bendbook/model"
	"bendbook/model/finish"
	"bendbook/model/plain"
	"bendbook/session"
	"bendbook/session/form"
	"bendbook/session/verdict"
)

// bench shows one bow at work: how evenly it bends pass by pass, what it weighs, and what is entered next.
type bench struct {
	*work
	pass    int          // the newest
	pose    session.Pose // the pose that is looked at, where posed
	posed   bool
	row     int // the first row of the numbers that is shown
	posedAt int // how many entries the story had when the pose was chosen
}

func benchPage() page {
	return page{name: toBench,
		about: "The bench holds one bow. It shows how evenly it bends, what it weighs, and where to stop. Type " +
			"the first draw, or press Enter, and a pull begins.",
		open: func(_ *Desk, to route) (screen, error) {
			b := &bench{work: to.work}
			return b, b.returned()
		}}
}

func (b *bench) opened() move {
	if len(b.drafts) == 0 {
		return move{}
	}
	text := fmt.Sprintf("A half-typed %s from %s is kept: c takes it up again.",
		form.FormName(b.drafts[0].Form), b.desk.tell(b.drafts[0].Begun))
	if more := len(b.drafts) - 1; more > 0 {
		text += " " + plain.Plural(more, "%d more is kept behind it.", "%d more are kept behind it.", more)
	}
	return move{say: notice{warning, text}}
}

// returned looks for half-typed forms and, where an entry was added, at what it brought.
func (b *bench) returned() error {
	err := b.work.returned()
	story := b.story()
	if n := len(story.Lines); n != b.posedAt || !b.posed {
		b.choosePose(story)
		b.posedAt = n
	}
	return err
}

// choosePose shows the last reading of the newest pass that was read.
func (b *bench) choosePose(story session.Story) {
	b.pass, b.posed = story.Pass().Number, false
	for n := b.pass; n >= 0 && !b.posed; n-- {
		b.pose, b.posed = story.Passes[n].LastPose()
	}
}

func (b *bench) idle() string {
	story := b.story()
	n := len(story.Lines)
	if n == 0 {
		return ""
	}
	says := "All saved: " + plain.Plural(n, "%d entry", "%d entries", n)
	if at := b.desk.tell(story.LastAt()); at != "" {
		says += ", the last " + at
	}
	return says + "."
}

func (b *bench) title() (name, what, right string) {
	story := b.story()
	return session.NameOf(story.Bow()), session.SayWanted(story.Bow()), story.Stage()
}

func (b *bench) typing(msg tea.KeyMsg) (move, bool) {
	if !begins(msg) || b.desk.mayWrite() != "" {
		return move{}, false
	}
	next := b.entry(form.Drawn(b.story()))
	next.open.first = &msg
	return next, true
}

func (b *bench) actions() []action {
	write := b.desk.mayWrite
	takeUp := func() string { return cmp.Or(unless(len(b.drafts) > 0, "no form is half typed"), write()) }
	mayDraw := func() string { return cmp.Or(unless(!b.verdict.Unstrings(), "don't draw it"), write()) }
	scroll := func(by int) { b.row += by }
	toRack := back("Put the bow back on the rack.")
	toRack.name = "rack"
	var all []action
	for _, kind := range form.Kinds() {
		if kind.Long == "" {
			continue // only finishing offers it
		}
		enter := action{keys: kind.Key, name: kind.Name, main: kind.Main, in: writes, off: write, long: kind.Long,
			do: func() move { return b.entry(b.asked(kind)) }}
		if kind.Reads {
			enter.in = reads
		}
		if kind.Key == "p" {
			enter.keys, enter.long = enter.keys+" enter", kind.Long+" Enter, a digit or = begins one too."
		}
		all = append(all, enter)
	}
	all = append(all,
		action{keys: "space", name: "drawn", main: true, in: reads,
			off: mayDraw, do: func() move { return move{open: route{page: toHold, work: b.work}} },
			long: "Start the hold clock when the bow is drawn. It rings when it's time to let down. Press the " +
				"same key when the bow is down."},
		b.desk.enlarge("z f2 ctrl+l"),
		action{keys: "c", name: "take up", main: true, in: writes, off: takeUp, do: b.takeUp,
			long: "Go on with the half-typed form."},
	)
	all = append(all, b.desk.undoing(b.atWork.Last, b.changed)...)
	all = append(all, doors(b.work)...)
	return b.askedFirst(append(all,
		action{keys: "v", name: "picture", main: true, do: b.otherPicture,
			long: "Switch between how the limbs hang, with the readings, and how evenly they bend. The bend " +
				"shows how far each place is off the aim. Up is weak, down is stiff."},
		action{keys: "down tab", name: "next reading", off: b.needsShape, do: by(1, b.turn),
			long: "Show the next reading of the pass: relaxed, braced, each draw."},
		action{keys: "up shift+tab", name: "reading before", off: b.needsShape, do: by(-1, b.turn),
			long: "Show the reading before."},
		action{keys: "pgdown", name: "numbers down", long: "Scroll the numbers down.", do: by(5, scroll)},
		action{keys: "pgup", name: "numbers up", long: "Scroll the numbers up.", do: by(-5, scroll)},
		action{keys: "d", name: "describe", in: writes, off: write, long: "Change the bow's description or order.",
			do: b.describe},
		toRack))
}

// asked is the form of a kind. That of a scraping takes, by Enter alone, the place that the verdict asks for.
func (b *bench) asked(kind form.Kind) *form.Sheet {
	at, known := b.verdict.Stretch.Get()
	if kind.Key != "s" || b.verdict.Do != verdict.Scrape || !known || !b.fresh() {
		return kind.Of(b.story())
	}
	from, to, _ := strings.Cut(b.advice.SayPlaces(at.From, at.To), "–")
	return form.ScrapeAt(b.story(), at.Side, from, to)
}

// askedFirst puts the key that the verdict asks for before all others, so that the footer names it first. A
// kind of entry without one gets Enter.
func (b *bench) askedFirst(all []action) []action {
	name := map[string]string{"crack": "mended", "danger": "note", "track again": "track", "heated": "relaxed",
		"no string": "string length"}[b.verdict.Rule]
	key := map[verdict.Do]string{verdict.Draw: "p", verdict.DrawAgain: "p", verdict.Scrape: "s",
		verdict.Check: "e", verdict.Exercise: "x", verdict.Measure: "k", verdict.Finish: "f",
		verdict.None: "f", verdict.Tell: "p"}[b.verdict.Do]
	if b.verdict.Word == "ORDER?" || b.verdict.Word == "DESCRIBE" {
		key = "d"
	}
	at := slices.IndexFunc(all, func(a action) bool {
		return name != "" && a.name == name || name == "" && key != "" && shownKey(a) == key
	})
	if at < 0 || !b.fresh() {
		return all
	}
	first := all[at]
	first.main = true
	if first.keys == "" {
		first.keys = "enter"
		all[0].keys, _, _ = strings.Cut(all[0].keys, " ") // a pull's
	}
	return slices.Insert(slices.Delete(all, at, at+1), 0, first)
}

// takeUp opens the newest of the half-typed forms, each as where it was begun.
func (b *bench) takeUp() move {
	return form.Opening[move]{
		Entry:   b.entry,
		Edit:    b.describe,
		Like:    func() move { return b.desk.newBow(form.LikeForm(b.desk.Shop, b.story())) },
		Correct: b.correct,
	}.TakeUp(b.story(), b.drafts[0].Form)
}

func (b *bench) changed() error {
	b.lines = -1 // a setting may be another one too
	return b.returned()
}

func (b *bench) turn(by int) {
	pass := b.pass
	if passes := withPose(b.story(), b.pose, pass, 1); len(passes) > 0 {
		pass = passes[0] // the last that was read so
	}
	poses := b.story().Passes[pass].Poses()
	if len(poses) == 0 {
		return
	}
	at := max(0, slices.IndexFunc(poses, b.pose.Same))
	b.pose = poses[(at+by+len(poses))%len(poses)]
}

func (b *bench) shown() curves {
	story := b.story()
	passes := withPose(story, b.pose, b.pass, 3)
	if len(passes) == 0 {
		passes = []int{b.pass}
	}
	return curves{story: story, pose: b.pose, passes: passes}
}

// tells says whether the readings up to the pass that is looked at tell how the limbs bend.
func (b *bench) tells() bool {
	strips := b.advice.Strips
	return b.err == nil && b.pass < len(strips) && strips[b.pass].Tells()
}

// even says whether the picture is that of how evenly the limbs bend.
func (b *bench) even() bool {
	return b.tells() && b.desk.practice.Screen.Picture != finish.PictureShape
}

func (b *bench) needsShape() string {
	if b.even() {
		return "v shows the shape first"
	}
	return ""
}

// otherPicture turns from one picture to the other, which the shop's settings keep.
func (b *bench) otherPicture() move {
	if !b.tells() {
		return move{say: notice{warning, b.advice.SayUntold()}}
	}
	settings := b.desk.practice
	settings.Screen.Picture = finish.PictureShape
	if !b.even() {
		settings.Screen.Picture = finish.PictureEvenness
	}
	if b.desk.mayWrite() == "" {
		if err := b.desk.Shop.KeepView(settings); err != nil {
			return failed(err)
		}
	}
	b.desk.follow(settings)
	return move{}
}

func (b *bench) view(width, height int) string {
	foot := b.foot(width, height)
	room := height - len(foot)
	if !b.posed && !b.even() {
		lines := []string{"", "  You haven't read this bow yet.", ""}
		for _, line := range slices.Concat(wrapped(b.marks(), width-4, 5), []string{""},
			wrapped("Type the first draw, or press Enter. The form asks for the rest: you need "+
				"only digits and Enter. Enter alone leaves a reading out.", width-4, 4)) {
			lines = append(lines, "  "+line)
		}
		for _, line := range fitted(b.desk.Shop.Lesson(b.bow()), width-4, 3) {
			lines = append(lines, "  "+line)
		}
		return strings.Join(append(lengthen(lines, room), foot...), "\n")
	}
	if b.even() {
		return strings.Join(append(b.evenly(width, room), foot...), "\n")
	}
	return strings.Join(append(b.hanging(width, room), foot...), "\n")
}

// marks says where to pencil the stations, and what they are read to.
func (b *bench) marks() string {
	var places []string
	rule := b.bow().Ruler()
	for _, at := range b.bow().Limbs[model.Upper].Stations {
		places = append(places, rule.Short(at))
	}
	return fmt.Sprintf("Pencil stations on both limbs, from the handle's ends out: %s %s. Stretch a string "+
		"along the belly, through both ends of the handle. That's the line: read the stations to it.",
		strings.Join(places, ", "), rule.Unit)
}

// below is what stands under the shape: where the bend can't be told yet, what would tell it; unless the
// verdict asks for something else than a reading.
func (b *bench) below(width int) []string {
	do := b.verdict.Do
	reads := do == verdict.Draw || do == verdict.DrawAgain || do == verdict.Measure || do == verdict.Check
	if !reads || !b.fresh() || b.err != nil || !b.advice.Read || b.tells() {
		return nil
	}
	return styled(b.desk.Styles.Quiet, b.advice.SayUntold(), width, 2)
}

// hanging is the picture of the limbs as they were read, and the readings.
func (b *bench) hanging(width, height int) []string {
	s, c := b.desk.Styles, b.shown()
	const gap = 2
	below := b.below(width)
	height -= 1 + len(below)
	table := numbers(s, c)
	graphWidth := width - table.width - gap
	table.lines = scrolled(table.lines, &b.row, height)
	picture := strings.Split(c.plot(s, graphWidth, height).Render(), "\n")
	lines := append([]string{b.caption(c, width)}, beside(gap, block{graphWidth, picture}, table)...)
	return append(lengthen(lines, height+1), below...)
}

// evenly is the picture of how evenly the limbs bend, and under it the strips of the last passes with their
// legend, as far as there is room.
func (b *bench) evenly(width, height int) []string {
	s, a := b.desk.Styles, b.advice
	n := max(0, min(2, b.pass+1, height-leastPicture-1)) // and the legend
	if height >= 2*leastPicture {
		n = min(3, b.pass+1)
	}
	lines := evennessOf(a, b.pass).lines(s, width, height-n-min(n, 1))
	for pass := b.pass - n + 1; pass <= b.pass; pass++ {
		lines = append(lines, passLine(s, a, pass, b.pass, width, cameOffColumn))
	}
	if n > 0 {
		lines = append(lines, stripLegend(s, width))
	}
	return lengthen(lines, height)
}

func (b *bench) caption(c curves, width int) string {
	s := b.desk.Styles
	text := s.Strong.Render(b.pose.Label(c.story.Bow().Ruler())+", "+b.pose.Datum()) + "   " + c.legend(s)
	if c.passes[0] != b.pass {
		text += s.Quiet.Render(fmt.Sprintf("   pass %d not read so", b.pass))
	}
	return ansi.Truncate(text, width, "~")
}

// foot is what stands under the picture: what to do and why, what the bow will weigh, and how far it may go.
func (b *bench) foot(width, height int) []string {
	s, v := b.desk.Styles, b.verdict
	head := s.Rule(width)
	if mark := b.staleMark(); mark != "" {
		head = s.Rule(width-len(mark)-1) + " " + s.Quiet.Render(mark)
	}
	say := fitted(v.Say, width, 3)
	if b.err != nil {
		why := cmp.Or(v.Why, session.Capital(b.err.Error())+".")
		return slices.Concat([]string{head}, rendered(verdictStyle(s, v), say), styled(s.Bad, why, width, 3))
	}
	var stop []string
	if text := b.advice.SayStop(v); text != "" {
		stop = fitted(text+" Stand clear; ease down at a crack.", width, 3)
	}
	forecast := fitted(b.advice.SayForecast(v), width, 2)
	// The picture should hardly move when the verdict changes.
	least, most := 6, 8
	if height < 20 {
		most = 7
	}
	why := fitted(v.Why, width, min(3, max(1, most-len(say)-len(forecast)-len(stop))))
	lines := slices.Concat([]string{head}, rendered(verdictStyle(s, v), say), rendered(s.Plain, why),
		rendered(s.Plain, forecast), rendered(s.Caution, stop))
	if b.posed && tillers(v) {
		lines = append(lines, slices.Repeat([]string{""}, max(0, 1+least-len(lines)))...)
	}
	return lines
}

// tillers says whether a bow is still at the tree.
func tillers(v verdict.Verdict) bool { return v.Do != verdict.Finish && v.Do != verdict.None }

// across implements acrosser: what to do and where, the most it should weigh while it's at the tree, the last
// peak.
func (b *bench) across(width, height int) string {
	s, story, bow := b.desk.Styles, b.story(), b.bow()
	unit := bow.Units.Force.Symbol()
	now := headline{figure: "...", style: verdictStyle(s, b.verdict), main: true}
	most := headline{label: "MOST", figure: "-", unit: unit, style: s.Caution}
	last := headline{label: "LAST", figure: "-", unit: unit, style: s.Strong}
	if b.fresh() {
		now.figure = b.verdict.Word
	}
	if !bow.Rig.Direct() {
		most.label, last.label = "SCALE MOST", "SCALE LAST"
	}
	if wanted, ok := b.settings.Takes.Wanted(bow.Order).Get(); ok {
		most.figure = bow.Weigher().Short(bow.Rig.StopAt(wanted.Weight))
	}
	if pull, ok := story.LastPull(); ok {
		if peak, weighed := pull.Peak.Get(); weighed {
			last.figure = bow.Weigher().Print(bow.Rig.OnScale(peak))
		}
	}
	lines := []headline{now, most, last}
	if b.fresh() && !tillers(b.verdict) {
		lines = []headline{now, last}
	}
	if at, ok := b.verdict.Stretch.Get(); ok && b.fresh() {
		place := headline{label: strings.ToUpper(at.Side.String()), unit: string(bow.Units.Length), style: s.Strong}
		place.figure = strings.Replace(b.advice.SayPlaces(at.From, at.To), "–", "-", 1)
		lines = slices.Insert(lines, 1, place)
	}
	return poster(s, lines, nil, width, height)
}
