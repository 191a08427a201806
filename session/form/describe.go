package form

import (
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
	return description{was: pattern, practice: p}.filled(likeForm, fmt.Sprintf("Another like %s", of))
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
		q.Preset, q.otherwise, q.hear, q.must = "", nil, nil, q.must && s.filled[q.Name] != ""
	}
	return s
}

func (d description) table() table[model.Bow] {
	return table[model.Bow]{
		of: d.was, was: d.was, visit: d.visit, judge: d.judge, whole: d.oneLength,
		asks: named(slices.Concat(d.whose(), d.limbs(), d.aims(), d.tree(), d.whole())),
		along: func(s *Sheet, b *model.Bow) {
			if s.answer("lower") == "" {
				b.Limbs[model.Lower].Length = b.Limbs[model.Upper].Length
			}
			halve(s, b)
			*b = d.withStations(*b, s.answer("stations"), s.filled["stations"])
		},
	}
}

// visit visits the fields of a bow by the paths of its record.
func (d description) visit(c *asker, b *model.Bow) {
	lengths, forces := shortLengths(), shortForces()
	if c.Question.Name == "length" { // which the limbs follow
		maybe(c, c.path, "", lengths, new(maybeLength))
		return
	}
	text(c, "name", &b.Name)
	text(c, "wood", &b.Wood)
	text(c, "number", &b.Number)
	text(c, "order.for", &b.Order.For)
	maybe(c, "order.draw", "", lengths, &b.Order.Draw)
	text(c, "order.draw_to", &b.Order.DrawTo)
	maybe(c, "order.weight", "", forces, &b.Order.Weight)
	maybe(c, "order.allow", "", forces, &b.Order.Allow)
	always(c, "order.due", "", d.days(), &b.Order.Due)
	text(c, "order.hand", &b.Order.Hand)
	text(c, "order.notes", &b.Order.Notes)
	always(c, "handle", "", lengths, &b.Handle)
	maybe(c, "handle_depth", "", lengths, &b.HandleDepth)
	text(c, "section", &b.Section)
	always(c, "limbs.upper", "", lengths, &b.Limbs[model.Upper].Length)
	always(c, "limbs.lower", "", lengths, &b.Limbs[model.Lower].Length)
	always(c, "aim.bend", "", simple(noQuantity, d.recorded, d.sayBend), &b.Aim.Bend)
	maybe(c, "aim.tiller", "", lengths, &b.Aim.Tiller)
	maybe(c, "aim.tiller_at", "", lengths, &b.Aim.TillerAt)
	maybe(c, "aim.stiff_tips", "", lengths, &b.Aim.StiffTips)
	shown, kept := d.was.Units, d.was.KeptIn()
	always(c, "readings.rule", "", steps(lengths, shown.Length != kept.Length,
		func(step measure.Length) float64 { return step.In(shown.Length) }), &b.Rule)
	always(c, "readings.scale", "", steps(forces, shown.Force != kept.Force,
		func(step measure.Force) float64 { return step.In(shown.Force) }), &b.Scale)
	text(c, "readings.scale_at", &b.Rig.ScaleAt)
	always(c, "readings.reads_high", "", shares(50), &b.Rig.High)
	always(c, "readings.tare", "", forces, &b.Rig.Tare)
	always(c, "readings.hook_off", "", lengths, &b.Rig.Hook)
	text(c, "readings.cradle", &b.Cradle)
	text(c, "readings.line", &b.Rig.Line)
	if c.path == "stations" && !c.sets { // they follow the limbs' lengths: the table sets them when it has those
		c.text = d.stations(*b)
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

func (d description) isNew() bool { return d.was.Limbs[model.Upper].Length == 0 }

func (d description) either(isNew, isThere string) string {
	if d.isNew() {
		return isNew
	}
	return isThere
}

// always says what is taken where a question is left out.
func (d description) always(text string) func(*Sheet) string {
	return func(*Sheet) string { return d.example(text) }
}

func (d description) limb(side model.Side) func(*Sheet) string {
	return func(s *Sheet) string {
		if made := d.table().made(s).Limbs[side].Length; made > 0 {
			return d.was.Ruler().WithUnit(made)
		}
		return ""
	}
}

func (d description) example(text string) string { return examples(d.was.Units, text) }

func words[S ~string](all ...S) (words []string) {
	for _, s := range all {
		words = append(words, string(s))
	}
	return words
}

func (d description) whose() []Question {
	promised := d.Dates.Print(time.Date(2027, time.February, 1, 0, 0, 0, 0, time.UTC))
	return []Question{
		{path: "name", Group: "bow", must: true, Hint: "what you call it, such as Ash for Wren"},
		{path: "wood", Group: "bow", Hint: "which wood, such as ash, yew or hickory"},
		{path: "number", Group: d.either("more", "bow"),
			Hint: "the number to stamp, such as 2027-14; Enter alone for none yet"},
		{path: "order.for", Group: d.either("bow", "order"), Hint: "who ordered it, such as Wren"},
		{path: "order.draw", Group: "order", Hint: "how far the customer draws, such as {28in}"},
		{path: "order.draw_to", Group: "order", hint: d.sayDraws,
			Choices: words(model.ToBelly, model.ToBack, model.ToPivot),
			needs: func(s *Sheet) bool {
				return s.answer("draw") != "" && (s.changed("draw") || s.filled["draw_to"] != "")
			}},
		{path: "order.weight", Group: "order",
			Hint: "how much it should pull there, such as {40lb} or {40lb}" + d.was.Units.Force.Symbol()},
		{path: "order.allow", Group: d.either("more", "order"), Label: "give or take",
			Hint: "how far may the weight be off, up or down? Such as {2lb}"},
		{path: "order.due", Group: "order", Hint: "the day it is promised for, like " + promised,
			hear: func(text string) string {
				day, err := d.Dates.Parse(text, d.Now)
				if err != nil {
					return ""
				}
				return d.Dates.Print(day)
			}},
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

func (d description) limbs() []Question {
	const nock = "how long from the handle's end to the nock"
	return []Question{
		{path: "handle", Group: "limbs", Preset: d.example("{4in}"),
			Hint: "how long is the stiff handle between the limbs? Such as {4in}"},
		{path: "handle_depth", Group: "limbs",
			Hint: "how deep is the handle, belly to back? Such as {1 1/4in}"},
		{path: "section", Group: "limbs", Preset: string(model.SectionD),
			Choices: words(model.SectionD, model.SectionRectangle, model.SectionEllipse),
			Hint:    "the limbs' cross-section: 1 D, 2 rectangle, 3 ellipse"},
		{path: "limbs.upper", Group: "limbs", Label: "upper limb", must: !d.isNew(),
			otherwise: d.limb(model.Upper), Hint: nock + "? Such as {34in}"},
		{path: "limbs.lower", Group: "limbs", Label: "lower limb", otherwise: d.limb(model.Lower),
			Hint: nock + d.either("? Such as {34in}", "; Enter alone for the same as the upper")},
		{path: "stations", Group: "limbs", measures: aRow, check: d.checkStations,
			otherwise: func(s *Sheet) string { return d.stations(d.table().made(s)) },
			Hint:      "where are your pencil marks, out from the handle's end? Such as " + exampleStations},
	}
}

func (d description) stations(b model.Bow) string {
	return placeList(b.Limbs[model.Upper].Stations, d.was.Ruler().Short)
}

// withStations returns the bow with the stations that text names, or its own where filled, the text to begin
// with, is unchanged; a shorter limb loses those beyond it. Widths and depths move with their stations.
func (d description) withStations(b model.Bow, text, filled string) model.Bow {
	unit, upper := d.was.Units.Length, b.Limbs[model.Upper].Length
	if d.read {
		return b
	}
	var named []measure.Length // nil where the bow's own stay
	tip := measure.Length(0)   // next to the nock, where there's no room to read
	switch {
	case text == "" && (d.isNew() || filled != ""):
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

// aims asks for the aim, the tools and what else was agreed.
func (d description) aims() []Question {
	says, _ := d.bends()
	named := len(aim.Names())
	hint := list(1, says[:named]) + "; as a finished bow, once the book has one"
	if len(says) > named {
		hint = fmt.Sprintf("%s, or as a finished bow: %s", list(1, says[:named]), list(named+1, says[named:]))
	}
	return []Question{
		{path: "aim.bend", Group: "aim", Preset: says[0], Choices: says, Hint: hint},
		{path: "aim.tiller", Group: "aim", otherwise: d.always("{1/4in}"),
			Hint: "how much larger should the upper gap be? Such as {1/4in} with the hand below the arrow, " +
				"0 for even limbs"},
		{path: "aim.tiller_at", Group: "aim", otherwise: d.always("{8in}"),
			Hint: "at which station do you measure that? Such as {8in}"},
		{path: "aim.stiff_tips", Group: "aim", otherwise: d.always("{12in} or so"),
			Hint: "how much of each tip stays stiff until the nocks are on? Enter alone for {12in} or so"},
		{path: "readings.rule", Group: "tools", Label: "rule reads to",
			otherwise: d.always(d.was.Ruler().WithUnit(d.was.Ruler().Mark())),
			Hint:      "how fine are the marks of your rule? Such as 1/16 or 1mm"},
		{path: "readings.scale", Group: "tools", Label: "scale reads to",
			otherwise: d.always(d.was.Weigher().WithUnit(d.was.Weigher().Mark())),
			Hint:      "how fine does your scale show? Such as 0.1 or 1/2"},
		{path: "order.hand", Group: "agreed", Choices: words(model.RightHanded, model.LeftHanded),
			Hint: "which hand draws the string? 1 right, 2 left; Enter alone if you don't know"},
		{path: "order.notes", Group: "agreed",
			Hint: "what else did you agree on? Such as leather on the handle"},
	}
}

// tree asks for the tree that the bow is read on. A new bow's is the shop's.
func (d description) tree() []Question {
	if d.was.ID == "" {
		return nil
	}
	asks := []Question{
		{path: "readings.scale_at", Label: "scale hangs", Choices: words(model.AtHook, model.OnRope),
			Hint: "where does the scale hang? 1 hook, 2 rope behind a pulley"},
		{path: "readings.reads_high", Label: "reads high by",
			Hint: "by how many percent, on the rope? Such as 10; 0 if you don't know"},
		{path: "readings.tare", Label: "tare", Hint: "what does the scale show with nothing drawn? Such as 0.5"},
		{path: "readings.hook_off", Label: "hook off middle", Hint: "how far off the string's middle, towards " +
			"the upper nock? Such as 1/4; below 0 towards the lower"},
		{path: "readings.cradle", Label: "bow held", Choices: []string{"clamped", "rocking"},
			Hint: "how is the bow held? 1 clamped, 2 rocking: on a cradle where it can tilt"},
		{path: "readings.line", Label: "line", Choices: words(model.OnWall, model.OnBow),
			Hint: "what do you fix the line to? 1 wall, 2 bow: it then moves with it"},
	}
	for i := range asks {
		asks[i].Group = "tree"
	}
	return asks
}

// sayBend is a recorded aim in words; "" where it isn't among the choices.
func (d description) sayBend(bend string) string {
	says, recorded := d.bends()
	if i := slices.Index(recorded, bend); i >= 0 {
		return says[i]
	}
	return ""
}

func (d description) recorded(said string) (string, error) {
	says, recorded := d.bends()
	if i := slices.Index(says, said); i >= 0 {
		return recorded[i], nil
	}
	return "", nil
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
