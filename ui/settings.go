package ui

import (
	"cmp"
	"errors"
	"fmt"
	"strings"

	"bendbook/model"
	"bendbook/model/finish"
	"bendbook/model/plain"
	"bendbook/session/form"
)

// settingsScreen shows how the shop works, setting by setting, and what each means.
type settingsScreen struct {
	base
	list
	desk  *Desk
	kept  finish.Settings
	usual finish.Settings
	all   []finish.Setting
	// taught is what the shop's own bows say of ranges, rule and scale.
	taught []string
}

func settingsPage() page {
	return page{name: toSettings,
		about: "How your shop works: each setting, what it means, and its usual value. A star marks what you " +
			"changed.",
		open: func(desk *Desk, _ route) (screen, error) {
			s := &settingsScreen{desk: desk, usual: finish.Usual()}
			if err := s.returned(); err != nil {
				return nil, fmt.Errorf("%w; bendbook settings --set takes others", err)
			}
			return s, nil
		}}
}

func (d *settingsScreen) returned() (err error) {
	if d.kept, err = d.desk.Shop.Settings(); err != nil {
		return err
	}
	d.desk.follow(d.kept)
	d.all, d.taught = d.kept.Table(), d.desk.Shop.Taught()
	d.count = len(d.all)
	d.step(0)
	return nil
}

func (d *settingsScreen) chosen() finish.Setting { return d.all[d.at] }

func (d *settingsScreen) title() (name, what, right string) {
	own := 0
	for _, s := range d.all {
		if !s.Usual(d.kept, d.usual) {
			own++
		}
	}
	return "Bendbook", "the shop's settings", fmt.Sprintf("%d of %d the shop's own", own, len(d.all))
}

func (d *settingsScreen) actions() []action {
	write, chosen := d.desk.mayWrite(), d.chosen()
	usual := chosen.Usual(d.kept, d.usual)
	staged := func() string {
		return cmp.Or(unless(chosen.Stage >= 0, "only stages can be added, left out and moved"), write)
	}
	remove := action{keys: "delete backspace", show: "del", name: "as usual", main: true, in: writes,
		off:  func() string { return cmp.Or(unless(!usual, "it has its usual value"), write) },
		long: "Give the chosen setting its usual value, or leave out the chosen stage.",
		do:   func() move { return d.keep(d.chosen().AsUsual(d.kept), nil) }}
	if chosen.Stage >= 0 {
		remove.name, remove.off = "leave out", d.desk.mayWrite
		remove.do = func() move { return d.keep(d.kept.Remove(d.chosen().Stage)) }
	}
	all := []action{
		{keys: "enter", name: "change", main: true, in: writes, off: d.desk.mayWrite,
			do: func() move { return d.ask(form.Setting(d.kept, d.chosen())) }, long: "Change the chosen setting."},
		remove,
		{keys: "N", name: "new", main: true, in: writes, off: staged,
			long: "Add a stage after the chosen one.",
			do:   func() move { return d.ask(form.AddStage(d.kept, d.chosen().Stage+1)) }},
		{keys: "+", name: "later", in: writes, off: staged, do: func() move { return d.shift(1) },
			long: "Move the chosen stage one place later."},
		{keys: "-", name: "earlier", in: writes, off: staged, do: func() move { return d.shift(-1) },
			long: "Move the chosen stage one place earlier."},
	}
	all = append(all, d.desk.undoing(d.desk.Shop.Last, d.returned)...)
	return append(append(all, d.choosing("setting")...), back("Go back to the rack."))
}

const savedSettings = "Saved. The book keeps the old settings too."

func (d *settingsScreen) ask(fields *form.Sheet) move {
	filling, err := form.SettingForm(d.desk.Shop, fields)
	return d.desk.form(filling, err, func(form.Kept) move { return done(savedSettings) })
}

func (d *settingsScreen) keep(s finish.Settings, why error) move {
	if fault := (*model.FieldError)(nil); errors.As(why, &fault) {
		return warned("It stays: %s.", fault.Want)
	}
	if err := d.desk.Shop.KeepSettings(s); err != nil {
		return failed(fmt.Errorf("not saved: %w", err))
	}
	if err := d.returned(); err != nil {
		return failed(err)
	}
	return said(savedSettings)
}

func (d *settingsScreen) shift(by int) move {
	stage := d.chosen().Stage
	s, err := d.kept.Move(stage, stage+by)
	next := d.keep(s, err)
	if to := d.at + by; err == nil && to < len(d.all) && d.all[to].Stage >= 0 {
		d.at = to
	}
	return next
}

func (d *settingsScreen) view(width, height int) string {
	s := d.desk.Styles
	foot := d.explained(width)
	var lines []string
	const label = 18
	current := 0
	if len(d.taught) > 0 {
		lines = append(lines, s.Quiet.Render("what your bows show"))
	}
	for _, text := range d.taught {
		lines = append(lines, wrapped(text, width, 2)...)
	}
	for i, setting := range d.all {
		if i == 0 || setting.Group != d.all[i-1].Group {
			lines = append(lines, s.Quiet.Render(setting.Group))
		}
		sign := "*"
		if setting.Usual(d.kept, d.usual) {
			sign = " "
		}
		text := row([]int{label, width - label - 5}, plain.Line(setting.Label), plain.Line(setting.Value(d.kept)))
		if text = "  " + sign + text; i == d.at {
			current, text = len(lines), s.Chosen.Render("> "+text[2:])
		}
		lines = append(lines, text)
	}
	room := height - len(foot)
	from, to := around(current, len(lines), room)
	return strings.Join(append(lengthen(lines[from:to], room), foot...), "\n")
}

func (d *settingsScreen) explained(width int) []string {
	s, c := d.desk.Styles, d.chosen()
	lines := []string{s.Rule(width)}
	begin := fmt.Sprintf("To begin with: %s.", c.Source)
	if !c.Usual(d.kept, d.usual) {
		begin = fmt.Sprintf("* the shop's own; to begin with: %s.", c.Source)
	}
	lines = append(lines, wrapped(plain.Line(cmp.Or(c.Value(d.kept), "nothing")), width, 2)...)
	lines = append(lines, styled(s.Quiet, c.Means, width, 4)...)
	return append(lines, styled(s.Quiet, begin, width, 1)...)
}
