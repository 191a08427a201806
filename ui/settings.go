package ui

import (
	"cmp"
	"fmt"
	"strings"

	"bendbook/model/finish"
	"bendbook/model/plain"
	sheet "bendbook/session/form"
)

// settingsScreen shows how the shop works, setting by setting, and what each means.
type settingsScreen struct {
	base
	list
	desk *Desk
	kept finish.Settings
	all  []sheet.Setting
}

func openSettings(desk *Desk) move {
	s := &settingsScreen{desk: desk}
	if err := s.returned(); err != nil {
		return failed(fmt.Errorf("%w; bendbook settings --set takes others", err))
	}
	return move{open: s}
}

func (d *settingsScreen) returned() (err error) {
	if d.kept, err = d.desk.Shop.Settings(); err != nil {
		return err
	}
	d.desk.follow(d.kept)
	d.all = sheet.Settings(d.kept)
	d.count = len(d.all)
	d.step(0)
	return nil
}

func (d *settingsScreen) chosen() sheet.Setting { return d.all[d.at] }

func (d *settingsScreen) about() string {
	return "How the shop works: each setting, what it means, and what it is to begin with. A star marks what is the shop's own."
}

func (d *settingsScreen) title() (name, what, right string) {
	own := 0
	for _, s := range d.all {
		if !s.Usual {
			own++
		}
	}
	return "Bendbook", "the shop's settings", fmt.Sprintf("%d of %d the shop's own", own, len(d.all))
}

func (d *settingsScreen) actions() []action {
	listed := func() string {
		if d.chosen().List == "" {
			return "only stages and lines of the card can be added, left out and moved"
		}
		return d.desk.mayWrite()
	}
	usual := func() string {
		switch {
		case d.chosen().List != "":
			return "a stage or a line of the card is changed, added or left out"
		case d.chosen().Usual:
			return "it is as usual"
		}
		return d.desk.mayWrite()
	}
	shift := func(by int) func() move { return func() move { return d.shift(by) } }
	all := []action{
		{keys: []string{"enter"}, name: "change", main: true, off: d.desk.mayWrite,
			long: "Change the chosen setting.",
			do:   func() move { return d.ask(d.chosen().Change) }},
		{keys: []string{"u"}, name: "as usual", main: true, off: usual,
			long: "Set the chosen setting to what it is to begin with.",
			do:   func() move { return d.keep(d.chosen().AsUsual) }},
		{keys: []string{"i"}, name: "add", main: true, off: listed,
			long: "Add a stage, or a line of the card, after the chosen one.",
			do:   func() move { return d.ask(d.chosen().List.Insert(d.kept, d.chosen().Place+1)) }},
		{keys: []string{"x"}, name: "leave out", main: true, off: listed, do: d.leaveOut,
			long: "Leave out the chosen stage or line."},
		{keys: []string{"+"}, name: "later", off: listed, do: shift(1),
			long: "Set the chosen stage or line one place later."},
		{keys: []string{"-"}, name: "earlier", off: listed, do: shift(-1),
			long: "Set the chosen stage or line one place earlier."},
		{keys: []string{"w"}, name: "write to a file", do: d.write,
			long: "Write the settings to a file, shop.json, to read, to change and to take back with bendbook settings --set."},
	}
	return append(append(all, d.choosing("setting")...), back("Go back to the rack."))
}

// ask opens the form of a setting. What it makes is kept in the book.
func (d *settingsScreen) ask(sh *sheet.Sheet) move {
	filling, err := sheet.SettingForm(d.desk.Shop, sh)
	return d.desk.form(filling, err, func(sheet.Kept) move { return done("Saved. The settings before stay in the book.") })
}

func (d *settingsScreen) keep(s finish.Settings) move {
	if err := d.desk.Shop.KeepSettings(s); err != nil {
		return failed(fmt.Errorf("not saved: %w", err))
	}
	if err := d.returned(); err != nil {
		return failed(err)
	}
	return said("Saved. The settings before stay in the book.")
}

func (d *settingsScreen) leaveOut() move {
	c := d.chosen()
	s, err := c.List.Remove(d.kept, c.Place)
	if err != nil {
		return warned("It stays: %v.", err)
	}
	return d.keep(s)
}

func (d *settingsScreen) shift(by int) move {
	c := d.chosen()
	s, err := c.List.Move(d.kept, c.Place, c.Place+by)
	if err != nil {
		return warned("It stays: %v.", err)
	}
	next := d.keep(s)
	if to := d.at + by; to >= 0 && to < len(d.all) && d.all[to].List == c.List {
		d.at = to
	}
	return next
}

func (d *settingsScreen) write() move {
	doc, err := d.desk.Shop.SettingsDocument()
	return move{say: d.desk.write("shop.json", "shop.json", doc, err)}
}

func (d *settingsScreen) view(width, height int) string {
	s := d.desk.Styles
	foot := d.explained(width)
	var lines []string
	const label = 18
	current := 0
	for i, setting := range d.all {
		if i == 0 || setting.Group != d.all[i-1].Group {
			lines = append(lines, s.Quiet.Render(setting.Group))
		}
		if i == d.at {
			current = len(lines)
		}
		sign := "*"
		if setting.Usual {
			sign = " "
		}
		text := row([]int{label, width - label - 5}, plain.Line(setting.Label), plain.Line(setting.Value))
		lines = append(lines, mark(s, i == d.at, sign+text))
	}
	room := height - len(foot)
	from, to := around(current, len(lines), room)
	return strings.Join(append(lengthen(lines[from:to], room), foot...), "\n")
}

// explained tells what the chosen setting is, as it stands and to begin with.
func (d *settingsScreen) explained(width int) []string {
	s, c := d.desk.Styles, d.chosen()
	lines := []string{s.Rule(width)}
	begin := fmt.Sprintf("To begin with: %s.", c.Source)
	if !c.Usual {
		begin = fmt.Sprintf("* the shop's own; to begin with: %s.", c.Source)
	}
	lines = append(lines, wrapped(plain.Line(cmp.Or(c.Value, "nothing")), width, 2)...)
	lines = append(lines, styled(s.Quiet, c.Means, width, 4)...)
	return append(lines, styled(s.Quiet, begin, width, 1)...)
}
