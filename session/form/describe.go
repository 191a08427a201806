package form

import (
	"errors"
	"fmt"
	"slices"
	"time"

	"bendbook/model"
	"bendbook/model/aim"
	"bendbook/model/date"
	"bendbook/model/finish"
	"bendbook/model/measure"
	"bendbook/model/plain"
	"bendbook/session"
)

// practice is what the questions about a bow need to know of the shop.
type practice struct {
	Units    measure.Units // of a new bow; the zero value is inches and pounds
	Tree     finish.Tree   // on which a new bow is read
	Dates    date.Order
	Now      time.Time   // by which a day without its year is understood
	Finished []model.Bow // whose shape may be the aim
}

// units are the sets of units that a new bow may be kept in, the shop's own among them.
func (p practice) units() (names []string, all []measure.Units, own string) {
	if p.Units == (measure.Units{}) {
		p.Units = measure.Imperial()
	}
	all = []measure.Units{measure.Imperial(),
		{Length: measure.Centimetre, Force: measure.KilogramForce},
		{Length: measure.Millimetre, Force: measure.Newton}}
	if !slices.Contains(all, p.Units) {
		all = append(all, p.Units)
	}
	for _, u := range all {
		names = append(names, finish.LengthName(u.Length)+" and "+finish.ForceName(u.Force))
	}
	return names, all, names[slices.Index(all, p.Units)]
}

// editBow asks for the description of a bow again, filled in. A field that is left as it was keeps its value
// to the last digit, even where the rule shows less. Stations that were read stay.
func editBow(story session.Story, p practice) *Sheet {
	return description{was: story.Bow(), read: wasRead(story), practice: p}.filled(editForm,
		"Change the description")
}

func likeBow(pattern model.Bow, of string, p practice) *Sheet {
	s := description{was: pattern, practice: p}.filled(likeForm, fmt.Sprintf("Another like %s", of))
	finish := s.finish
	s.finish = func(s *Sheet) (outcome, error) {
		o, err := finish(s)
		if err == nil && o.Bow.Name == "" {
			err = errors.New("a bow needs a name")
		}
		return o, err
	}
	return s
}

// Names of the forms in drafts.
const (
	editForm = "edit"
	likeForm = "like"
)

// description makes a bow's description from what it was and the answers.
type description struct {
	was  model.Bow // a new bow has only units
	read bool      // stations were read
	practice
}

func (d description) ask(s *Sheet) table[model.Bow] {
	t := d.table()
	t.ask(s, "")
	s.finish = func(s *Sheet) (outcome, error) {
		bow, err := t.finish(s)
		return outcome{Bow: bow}, err
	}
	return t
}

// filled makes a sheet with what the bow was filled in. It has no presets and needs what is there already.
func (d description) filled(form, title string) *Sheet {
	s := newSheet(form, title, nil)
	d.ask(s).fill(s)
	for i := range s.Questions {
		q := &s.Questions[i]
		q.Preset, q.must = "", q.must && s.filled[q.Name] != ""
	}
	return s
}

func (d description) table() table[model.Bow] {
	return table[model.Bow]{
		of: d.was, was: d.was, fields: slices.Concat(d.whose(), d.limbs(), d.wanted(), d.whole()), judge: d.judge,
		whole: d.oneLength,
		along: func(s *Sheet, b *model.Bow) {
			if s.answer("lower") == "" {
				b.Limbs[model.Lower].Length = b.Limbs[model.Upper].Length
			}
			halve(s, b)
			*b = d.withStations(*b, s.answer("stations"), s.filled["stations"])
		},
	}
}

// judge checks a bow. A draw depends on the bow's size, which is asked for later: until then limbs of 60 in
// stand in.
func (d description) judge(path string, b model.Bow) error {
	for _, side := range model.Sides {
		if limb := &b.Limbs[side]; path != "" && limb.Length == 0 && path != "limbs."+side.String() {
			limb.Length = 60
		}
	}
	return b.Check()
}

func asked(group, hint string, examples ...any) Question {
	return Question{Group: group, Hint: fmt.Sprintf(hint, examples...)}
}

func (d description) in(l measure.Length) string { return exampleLength(d.was.Units.Length, l) }

func (d description) whose() []field[model.Bow] {
	type bow = model.Bow
	weighing := func(f measure.Force) string { return exampleForce(d.was.Units.Force, f) }
	name := asked("bow", "what you call it, such as Ash for Wren")
	name.must = true
	drawTo := asked("order", "")
	drawTo.hint = d.sayDraws
	drawTo.needs = func(s *Sheet) bool {
		return s.answer("draw") != "" && (s.changed("draw") || s.filled["draw_to"] != "")
	}
	drawTo.Choices = []string{string(model.ToBelly), string(model.ToBack), string(model.ToPivot)}
	draw := asked("order", "how far the customer draws, such as %s", d.in(28))
	weight := asked("order", "how much it should pull there, such as %s or %s%s", weighing(40), weighing(40),
		d.was.Units.Force.Symbol())
	allow := asked("order", "how far may the weight be off, up or down? Such as %s", weighing(2))
	allow.Label = "give or take"
	due := asked("order", "the day it is promised for, like %s",
		d.Dates.Print(time.Date(2027, time.February, 1, 0, 0, 0, 0, time.UTC)))
	return []field[bow]{
		textField("name", name, func(b *bow) *string { return &b.Name }),
		textField("wood", asked("bow", "which wood, such as ash, yew or hickory"),
			func(b *bow) *string { return &b.Wood }),
		textField("number", asked("bow", "the number to stamp, such as 2027-14; Enter alone for none yet"),
			func(b *bow) *string { return &b.Number }),
		textField("order.for", asked("order", "who ordered it, such as Wren"),
			func(b *bow) *string { return &b.Order.For }),
		optionalField("order.draw", draw, shortLengths(), func(b *bow) *maybeLength { return &b.Order.Draw }),
		textField("order.draw_to", drawTo, func(b *bow) *model.DrawTo { return &b.Order.DrawTo }),
		optionalField("order.weight", weight, shortForces(), func(b *bow) *maybeForce { return &b.Order.Weight }),
		optionalField("order.allow", allow, shortForces(), func(b *bow) *maybeForce { return &b.Order.Allow }),
		valueField("order.due", due, d.days(), func(b *bow) *model.Day { return &b.Order.Due }),
	}
}

// sayDraws is where a draw may be measured to, with what the typed one comes to on the tree.
func (d description) sayDraws(s *Sheet) string {
	draw, known := s.lengthOf("draw").Get()
	if !known {
		return "measured to what? 1 belly, 2 back, 3 pivot+1.75"
	}
	depth, how := model.UsualDepth, "about "
	if measured, known := s.lengthOf("handle_depth").Get(); known {
		depth, how = measured, ""
	}
	onTree := func(to model.DrawTo) string {
		b := model.Bow{Order: model.Order{Draw: measure.Some(draw), DrawTo: to}, HandleDepth: measure.Some(depth)}
		return d.was.Ruler().Short(b.DrawToBelly().Or(0))
	}
	return fmt.Sprintf("measured to what? On the tree that's: 1 belly %s, 2 back %s%s, "+
		"3 pivot+1.75 (trade) %s %s",
		onTree(model.ToBelly), how, onTree(model.ToBack), onTree(model.ToPivot), d.was.Units.Length)
}

// days are in the shop's order of day, month and year.
func (d description) days() notation[model.Day] {
	return simple(noQuantity, func(text string) (model.Day, error) {
		day, err := d.Dates.Parse(text, d.Now)
		return model.Day(day.Format(time.DateOnly)), err
	}, func(day model.Day) string { return d.Dates.Reprint(plain.Line(string(day))) })
}

func (d description) limbs() []field[model.Bow] {
	type bow = model.Bow
	handle := asked("limbs", "how long is the stiff handle between the limbs? Such as %s", d.in(4))
	handle.Preset = d.in(4)
	depth := asked("limbs", "how deep is the handle, belly to back? Such as %s", d.in(1.25))
	section := asked("limbs", "the limbs' cross-section: 1 D, 2 rectangle, 3 ellipse")
	section.Preset = string(model.SectionD)
	section.Choices = []string{string(model.SectionD), string(model.SectionRectangle),
		string(model.SectionEllipse)}
	upper := asked("limbs", "how long from the handle's end to the nock? Such as %s", d.in(34))
	upper.Label, upper.must = "upper limb", true
	lower := asked("limbs", "how long from the handle's end to the nock; Enter alone for the same as the upper")
	lower.Label = "lower limb"
	stations := asked("limbs", "where are your pencil marks, out from the handle's end? Such as %s",
		exampleStations(d.was.Units.Length))
	stations.measures, stations.check = aRow, d.checkStations
	return []field[bow]{
		valueField("handle", handle, shortLengths(), func(b *bow) *measure.Length { return &b.Handle }),
		optionalField("handle_depth", depth, shortLengths(), func(b *bow) *maybeLength { return &b.HandleDepth }),
		textField("section", section, func(b *bow) *model.Section { return &b.Section }),
		valueField("limbs.upper", upper, shortLengths(),
			func(b *bow) *measure.Length { return &b.Limbs[model.Upper].Length }),
		valueField("limbs.lower", lower, shortLengths(),
			func(b *bow) *measure.Length { return &b.Limbs[model.Lower].Length }),
		// They follow the limbs' lengths, so the table sets them when it has those.
		fieldOf("stations", stations, func(_, b bow) string { return d.stations(b) },
			func(bow, *bow, string) error { return nil }),
	}
}

func (d description) stations(b model.Bow) string {
	return placeList(b.Limbs[model.Upper].Stations, d.was.Ruler().Short)
}

// withStations returns the bow with the stations that text names, or its own where filled, the text to begin
// with, is unchanged; a shorter limb loses those beyond it. Widths and depths move with their stations.
func (d description) withStations(b model.Bow, text, filled string) model.Bow {
	unit, upper := d.was.Units.Length, b.Limbs[model.Upper].Length
	isNew := d.was.Limbs[model.Upper].Length == 0
	if d.read {
		return b
	}
	var named []measure.Length // nil where the bow's own stay
	tip := measure.Length(0)   // next to the nock, where there's no room to read
	switch {
	case text == "" && (isNew || filled != ""):
		named, tip = usualStations(unit), 1
	case text != filled:
		named, _ = parseStations(text, d.was, upper) // as in made
	}
	for _, side := range model.Sides {
		limb, was := &b.Limbs[side], d.was.Limbs[side]
		switch {
		case named != nil:
			limb.Stations = within(named, limb.Length-tip)
		case limb.Length < was.Length:
			limb.Stations = within(was.Stations, limb.Length)
		default:
			continue
		}
		limb.Widths = moved(limb.Widths, was.Stations, limb.Stations)
		limb.Depths = moved(limb.Depths, was.Stations, limb.Stations)
	}
	return b
}

// checkStations refuses stations that cannot be, and others than were read.
func (d description) checkStations(s *Sheet, text string) error {
	if text == s.filled["stations"] || text == "" && !d.read {
		return nil
	}
	stay := fmt.Errorf("stations that were read stay where they are: %s", d.stations(d.was))
	if text == "" {
		return stay
	}
	upper := d.table().made(s).Limbs[model.Upper].Length
	stations, err := parseStations(text, d.was, upper)
	if err != nil {
		return err
	}
	if last := stations[len(stations)-1]; upper > 0 && last > upper {
		return fmt.Errorf("%s lies beyond the upper limb's %s", d.was.Ruler().Print(last),
			d.was.Ruler().WithUnit(upper))
	}
	if d.read && !slices.EqualFunc(stations, d.was.Limbs[model.Upper].Stations, session.SameStation) {
		return stay
	}
	return nil
}

// wanted are the fields of the aim, of the tools and of what else was agreed.
func (d description) wanted() []field[model.Bow] {
	type bow = model.Bow
	rule := asked("tools", "how fine are the marks of your rule? Such as 1/16 or 1mm")
	rule.Label = "rule reads to"
	scale := asked("tools", "how fine does your scale show? Such as 0.1 or 1/2")
	scale.Label = "scale reads to"
	hand := asked("agreed", "which hand draws the string? 1 right, 2 left; Enter alone if you don't know")
	hand.Choices = []string{string(model.RightHanded), string(model.LeftHanded)}
	tiller := asked("aim", "how much larger should the upper gap be? Such as %s with the hand below "+
		"the arrow, 0 for even limbs", d.in(0.25))
	tillerAt := asked("aim", "at which station do you measure that? Such as %s", d.in(8))
	tips := asked("aim", "how much of each tip stays stiff until the nocks are on? Enter alone for %s or so",
		d.in(12))
	shown, kept := d.was.Units, d.was.KeptIn()
	return append([]field[bow]{
		d.bendField(),
		optionalField("aim.tiller", tiller, shortLengths(), func(b *bow) *maybeLength { return &b.Aim.Tiller }),
		optionalField("aim.tiller_at", tillerAt, shortLengths(),
			func(b *bow) *maybeLength { return &b.Aim.TillerAt }),
		optionalField("aim.stiff_tips", tips, shortLengths(),
			func(b *bow) *maybeLength { return &b.Aim.StiffTips }),
		valueField("readings.rule", rule, steps(shortLengths(), shown.Length != kept.Length,
			func(step measure.Length) float64 { return step.In(shown.Length) }),
			func(b *bow) *measure.Length { return &b.Rule }),
		valueField("readings.scale", scale, steps(shortForces(), shown.Force != kept.Force,
			func(step measure.Force) float64 { return step.In(shown.Force) }),
			func(b *bow) *measure.Force { return &b.Scale }),
		textField("order.hand", hand, func(b *bow) *model.Hand { return &b.Order.Hand }),
		textField("order.notes", asked("agreed", "what else did you agree on? Such as leather on the handle"),
			func(b *bow) *string { return &b.Order.Notes }),
	}, d.tree()...)
}

// tree are the fields of the tree that the bow is read on. A new bow's is the shop's.
func (d description) tree() []field[model.Bow] {
	type bow = model.Bow
	if d.was.ID == "" {
		return nil
	}
	tree := func(label, hint string, choices ...string) Question {
		return Question{Group: "tree", Label: label, Hint: hint, Choices: choices}
	}
	return []field[bow]{
		textField("readings.scale_at", tree("scale hangs", "where does the scale hang? 1 hook, 2 rope behind a "+
			"pulley", string(model.AtHook), string(model.OnRope)),
			func(b *bow) *model.ScaleAt { return &b.Rig.ScaleAt }),
		valueField("readings.reads_high", tree("reads high by",
			"by how many percent, on the rope? Such as 10; 0 if you don't know"), shares(50),
			func(b *bow) *float64 { return &b.Rig.High }),
		valueField("readings.tare", tree("tare", "what does the scale show with nothing drawn? Such as 0.5"),
			shortForces(),
			func(b *bow) *measure.Force { return &b.Rig.Tare }),
		valueField("readings.hook_off",
			tree("hook off middle", "how far off the string's middle, towards the upper nock? "+
				"Such as 1/4; below 0 towards the lower"), shortLengths(),
			func(b *bow) *measure.Length { return &b.Rig.Hook }),
		textField("readings.cradle",
			tree("bow held", "how is the bow held? 1 clamped, 2 rocking: on a cradle where it can tilt",
				"clamped", "rocking"),
			func(b *bow) *string { return &b.Cradle }),
		textField("readings.line", tree("line", "what do you fix the line to? 1 wall, 2 bow: it then moves with it",
			string(model.OnWall), string(model.OnBow)), func(b *bow) *model.LineOn { return &b.Rig.Line }),
	}
}

func (d description) bendField() field[model.Bow] {
	says, recorded := d.bends()
	named := len(aim.Names())
	q := asked("aim", "%s; as a finished bow, once the book has one", list(1, says[:named]))
	if len(says) > named {
		q.Hint = fmt.Sprintf("%s, or as a finished bow: %s", list(1, says[:named]), list(named+1, says[named:]))
	}
	q.Preset, q.Choices = says[0], says
	// other is what stands at the same place of the other list; "" where there is nothing.
	other := func(from []string, text string, to []string) string {
		if i := slices.Index(from, text); i >= 0 {
			return to[i]
		}
		return ""
	}
	return fieldOf("aim.bend", q,
		func(_, b model.Bow) string { return other(recorded, b.Aim.Bend, says) },
		func(_ model.Bow, b *model.Bow, text string) error {
			b.Aim.Bend = other(says, text, recorded)
			return nil
		})
}

// bends are the aims to choose from, in words and as recorded: the named ones, the shapes of finished bows,
// and the bow's own aim where it is none of these.
func (d description) bends() (says, recorded []string) {
	add := func(called, name string) {
		if !slices.Contains(says, called) {
			says, recorded = append(says, called), append(recorded, name)
		}
	}
	for _, name := range aim.Names() {
		called, _ := session.SayAim(name)
		add(called, name)
	}
	for _, bow := range d.Finished {
		if bow.ID == d.was.ID {
			continue
		}
		called := aim.Like(session.NameOf(bow))
		if slices.Contains(says, called) {
			called += fmt.Sprintf(" (%s)", plain.Line(bow.ID))
		}
		add(called, aim.Like(bow.ID))
	}
	if now := d.was.Aim.Bend; now != "" && !slices.Contains(recorded, now) {
		add(plain.Line(now), now)
	}
	return says, recorded
}
