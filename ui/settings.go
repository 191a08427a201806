package ui

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"github.com/charmbracelet/x/ansi"

	"bendbook/model/finish"
	"bendbook/model/plain"
	"bendbook/session/sheet"
)

// settingsScreen shows how the shop works, setting by setting: how it stands, what it is, and where comes from what it is to begin with.
type settingsScreen struct {
	keysOnly
	desk *Desk
	kept finish.Settings
	all  []sheet.Setting
	at   int
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
	d.desk.heed(d.kept)
	d.all = sheet.Settings(d.kept)
	d.step(0)
	return nil
}

func (d *settingsScreen) step(by int) { d.at = max(0, min(d.at+by, len(d.all)-1)) }

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
	step := func(by int) func() move { return func() move { d.step(by); return move{} } }
	return []action{
		{keys: []string{"enter"}, name: "change", main: true, off: d.desk.mayWrite, long: "Change the chosen setting. What cannot be is refused with the reason.",
			do: func() move { return d.ask(d.chosen().Change) }},
		{keys: []string{"u"}, name: "as usual", main: true, off: func() string {
			switch {
			case d.chosen().List != "":
				return "a stage or a line of the card is changed, added or left out"
			case d.chosen().Usual:
				return "it is as usual"
			}
			return d.desk.mayWrite()
		}, long: "Set the chosen setting to what it is to begin with.", do: func() move { return d.keep(d.chosen().AsUsual) }},
		{keys: []string{"i"}, name: "add", main: true, off: listed, long: "Add a stage, or a line of the card, after the chosen one.",
			do: func() move { return d.ask(d.chosen().List.Insert(d.kept, d.chosen().Place+1)) }},
		{keys: []string{"x"}, name: "leave out", main: true, off: listed, long: "Leave out the chosen stage or line.", do: d.leaveOut},
		{keys: []string{"+"}, name: "later", off: listed, long: "Set the chosen stage or line one place later.", do: func() move { return d.shift(1) }},
		{keys: []string{"-"}, name: "earlier", off: listed, long: "Set the chosen stage or line one place earlier.", do: func() move { return d.shift(-1) }},
		{keys: []string{"w"}, name: "write to a file", long: "Write the settings to a file, shop.json, to read, to change and to take back with bendbook settings --set.", do: d.write},
		{keys: []string{"up", "k"}, name: "up", long: "Choose the setting above.", do: step(-1)},
		{keys: []string{"down", "j"}, name: "down", long: "Choose the setting below.", do: step(1)},
		{keys: []string{"pgup"}, name: "page up", long: "Go up by a page.", do: step(-10)},
		{keys: []string{"pgdown"}, name: "page down", long: "Go down by a page.", do: step(10)},
		{keys: []string{"esc", "q"}, name: "back", main: true, long: "Go back to the rack.", do: func() move { return move{back: true} }},
	}
}

// ask opens the form of a setting. What it makes is kept in the book.
func (d *settingsScreen) ask(sh *sheet.Sheet) move {
	filling, err := sheet.SettingForm(d.desk.Shop, sh)
	return openForm(showForm(d.desk, filling, err, func(sheet.Kept) move {
		return move{back: true, say: notice{saying, "Saved. The settings before stay in the book."}}
	}))
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
		return move{say: notice{warning, fmt.Sprintf("It stays: %s.", err.Error())}}
	}
	return d.keep(s)
}

func (d *settingsScreen) shift(by int) move {
	c := d.chosen()
	s, err := c.List.Move(d.kept, c.Place, c.Place+by)
	if err != nil {
		return move{say: notice{warning, fmt.Sprintf("It stays: %s.", err.Error())}}
	}
	next := d.keep(s)
	if to := d.at + by; to >= 0 && to < len(d.all) && d.all[to].List == c.List {
		d.at = to
	}
	return next
}

func (d *settingsScreen) write() move {
	doc, err := d.desk.Shop.SettingsDocument()
	if err != nil {
		return failed(err)
	}
	path, err := d.desk.Save("shop.json", doc)
	if err != nil {
		return failed(fmt.Errorf("not written: %w", err))
	}
	return said("Written to %s.", path)
}

// settingLines is how many lines explain the chosen setting at most.
const settingLines = 4

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
		lines = append(lines, mark(s, i == d.at, sign+row([]int{label, width - label - 5}, plain.Line(setting.Label), plain.Line(setting.Value))))
	}
	room := height - len(foot)
	first := max(0, min(current-room/2, len(lines)-room))
	return strings.Join(append(lengthen(lines[first:], room), foot...), "\n")
}

// explained tells what the chosen setting is, as it stands and to begin with.
func (d *settingsScreen) explained(width int) []string {
	s, c := d.desk.Styles, d.chosen()
	lines := []string{s.Rule(width)}
	value := wrapped(plain.Line(cmp.Or(c.Value, "nothing")), width, 2)
	means := wrapped(c.Means, width, settingLines)
	begin := fmt.Sprintf("To begin with: %s.", c.Source)
	if !c.Usual {
		begin = fmt.Sprintf("* the shop's own; to begin with: %s.", c.Source)
	}
	lines = append(lines, value...)
	for _, line := range slices.Concat(means, []string{ansi.Truncate(begin, width, "~")}) {
		lines = append(lines, s.Quiet.Render(line))
	}
	return lines
}
