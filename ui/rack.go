package ui

import (
	"cmp"
	"slices"

	"github.com/charmbracelet/bubbles/textinput"
	tea "github.com/charmbracelet/bubbletea"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/model/plain"
	"bendbook/session"
	sheet "bendbook/session/form"
	"bendbook/session/shop"
)

// rack shows the bows: which is next, what each waits for.
type rack struct {
	base
	list    // of those shown
	desk    *Desk
	rows    []shop.Row
	inHand  int
	late    int
	missing int   // bows that cannot be ready in time, though their day is still to come
	shown   []int // places in rows of the bows that match what is sought
	seek    textinput.Model
	seeking bool
	picked  []string // ids of the bows to compare, in the order in which they were picked
	trouble error    // why not every bow could be read when the book was opened
}

func rackPage() page {
	return page{name: toRack,
		about: "The rack holds the bows: those in hand first, what each is for and what it waits for. Choose " +
			"one and press Enter to work on it; n describes a new one.",
		open: func(desk *Desk, _ route) (screen, error) {
			r := &rack{desk: desk, seek: textinput.New()}
			r.seek.Prompt, r.seek.CharLimit = "", 60
			if r.trouble = r.returned(); r.trouble != nil && r.empty() {
				return nil, r.trouble
			}
			return r, nil
		}}
}

// returned reads the rack anew and keeps the mark on its bow.
func (r *rack) returned() error {
	chosen := r.chosenID()
	rows, err := r.desk.Shop.Rack()
	if rows == nil && err != nil {
		return err
	}
	r.rows, r.inHand, r.late, r.missing = rows, 0, 0, 0
	now := r.desk.Shop.Here()
	for _, row := range rows {
		days, promised := row.DaysLeft(now)
		switch {
		case promised && days < 0:
			r.late++
		case row.Misses(now.Location()) > 0:
			r.missing++
		}
		if row.InHand {
			r.inHand++
		}
	}
	r.filter()
	r.choose(chosen)
	return err
}

// choose puts the mark on the bow with this id, where it is shown.
func (r *rack) choose(id string) {
	if i := slices.IndexFunc(r.shown, func(at int) bool { return r.rows[at].Bow.ID == id }); i >= 0 {
		r.at = i
	}
}

// filter shows the bows of which every word sought is found in name, number, wood, customer or stage.
func (r *rack) filter() {
	r.shown = r.shown[:0]
	for at, row := range r.rows {
		if row.Matches(r.seek.Value()) {
			r.shown = append(r.shown, at)
		}
	}
	r.count = len(r.shown)
	r.step(0)
}

// chosenID is the id of the chosen bow; "" where there is none.
func (r *rack) chosenID() string {
	row, _ := r.chosen()
	return row.Bow.ID
}

func (r *rack) chosen() (shop.Row, bool) {
	if r.at >= len(r.shown) {
		return shop.Row{}, false
	}
	return r.row(r.shown[r.at]), true
}

// row is the row at a place, its bow in the shop's units.
func (r *rack) row(at int) shop.Row {
	row := r.rows[at]
	row.Bow = inList(row.Bow, r.desk.practice.Units)
	return row
}

func (r *rack) typing(msg tea.KeyMsg) (move, bool) {
	if !r.seeking {
		return move{}, false
	}
	switch msg.Type {
	case tea.KeyUp, tea.KeyDown, tea.KeyPgUp, tea.KeyPgDown:
		return move{}, false
	case tea.KeyEsc:
		r.seeking = false
		r.seek.SetValue("")
		r.filter()
		return move{}, true
	case tea.KeyEnter:
		r.seeking = false
		if len(r.shown) == 1 {
			return r.on(toBench), true
		}
		return move{}, true
	}
	r.seek, _ = r.seek.Update(msg)
	r.filter()
	return move{}, true
}

func (r *rack) needsBow() string {
	if r.chosenID() == "" {
		return "there is no bow here"
	}
	return ""
}

func (r *rack) actions() []action {
	writesBow := func() string { return cmp.Or(r.desk.mayWrite(), r.needsBow()) }
	aside := "set aside"
	if row, ok := r.chosen(); ok && !row.InHand {
		aside = "take in hand"
	}
	first := action{keys: []string{"enter", "right"}, name: "bench", main: true, off: r.needsBow,
		long: "Take the bow to the bench; in an empty book, describe the first one.",
		do:   func() move { return r.on(toBench) }}
	if r.empty() {
		first.name, first.off = "describe the first bow", r.desk.mayWrite
		first.do = func() move { return r.desk.newBow(sheet.NewBowForm(r.desk.Shop)) }
	}
	all := []action{
		first,
		{keys: []string{"n"}, name: "new bow", main: !r.empty(), off: r.desk.mayWrite, long: "Describe a new bow.",
			do: func() move { return r.desk.newBow(sheet.NewBowForm(r.desk.Shop)) }},
		{keys: []string{"/"}, name: "find", main: true,
			long: "Find bows by typing: name, number, wood, customer or stage. Esc shows all again.",
			do:   func() move { r.seeking = true; r.seek.Focus(); return move{} }},
		{keys: []string{"esc"}, name: "show all", main: true,
			long: "Show all bows again after finding.", off: func() string {
				if r.seek.Value() == "" {
					return "all bows are shown"
				}
				return ""
			}, do: func() move { r.seek.SetValue(""); r.filter(); return move{} }},
		{keys: []string{"d"}, name: "describe", off: writesBow, long: "Change the bow's description or order.",
			do: r.describe},
		{keys: []string{"t"}, name: "today", main: true,
			long: "List the bows in hand by what can be done today, what dries until when, and which cannot be " +
				"ready in time.",
			do: func() move { return goTo(toToday, nil) }},
		{keys: []string{"f"}, name: "finish", main: true, off: r.needsBow,
			long: "Open the bow's finishing: stages, drying, mark, number and card.",
			do:   func() move { return r.on(toFinish) }},
		{keys: []string{" "}, show: "space", name: "pick", off: r.needsBow,
			long: "Pick the bow for comparing, or leave it out again.", do: r.pick},
		{keys: []string{"c"}, name: "compare", off: r.needsBow,
			long: "Set the picked bows side by side; where none is picked, the chosen one beside what the shop's " +
				"finished bows come to.",
			do: r.compare},
		{keys: []string{"m"}, name: "make another", off: writesBow,
			long: "Make another like this one: a new bow with its order, size and aim.",
			do:   r.another},
		{keys: []string{"a"}, name: aside, main: true, off: writesBow,
			long: "Set the bow aside, or take it in hand again.",
			do:   r.aside},
		{keys: []string{"s"}, name: "settings",
			long: "Show the shop's settings, each with what it means, and change them.",
			do:   func() move { return goTo(toSettings, nil) }},
	}
	return append(append(all, r.choosing("bow")...),
		action{keys: []string{"q"}, name: "leave", main: true, long: "Leave Bendbook.", do: goBack})
}

func (r *rack) empty() bool { return len(r.rows) == 0 }

// on opens a screen on the chosen bow.
func (r *rack) on(page string) move { return goToBow(page, r.chosenID()) }

func (r *rack) pick() move {
	row, _ := r.chosen()
	if at := slices.Index(r.picked, row.Bow.ID); at >= 0 {
		r.picked = slices.Delete(r.picked, at, at+1)
	} else {
		r.picked = append(r.picked, row.Bow.ID)
	}
	r.step(1)
	bows := plain.Plural(len(r.picked), "%d bow is", "%d bows are", len(r.picked))
	return said("%s picked; c sets them side by side.", bows)
}

func (r *rack) compare() move {
	bows := r.picked
	if len(bows) == 0 {
		bows = []string{r.chosenID()}
	}
	return move{open: route{page: toCompare, bows: bows}}
}

func (r *rack) another() move {
	row, _ := r.chosen()
	story, err := r.desk.Shop.Story(row.Bow.ID)
	if err != nil {
		return failed(err)
	}
	return r.desk.newBow(sheet.LikeForm(r.desk.Shop, story))
}

func (r *rack) describe() move {
	row, _ := r.chosen()
	atWork, err := r.desk.Shop.Bench(row.Bow.ID)
	if err != nil {
		return failed(err)
	}
	return r.desk.describe(atWork)
}

func (r *rack) aside() move {
	row, _ := r.chosen()
	atWork, err := r.desk.Shop.Bench(row.Bow.ID)
	if err != nil {
		return failed(err)
	}
	if row.InHand {
		return r.desk.enter(atWork, sheet.Aside())
	}
	if err := cmp.Or(atWork.SetAside(false, ""), r.returned()); err != nil {
		return failed(err)
	}
	r.choose(row.Bow.ID)
	return said("%s is in hand again.", session.NameOf(row.Bow))
}

// inList is a bow in the shop's units, so that bows compare down a column, no finer than a list needs.
func inList(bow model.Bow, units measure.Units) model.Bow {
	if bow.Units == units && bow.KeptIn() == units {
		return bow
	}
	bow = bow.ShownIn(units)
	bow.Rule, bow.Scale = measure.Centimetre.Length(0.5), measure.KilogramForce.Force(0.5)
	if units.Length == measure.Inch {
		bow.Rule = 0.1
	}
	if units.Force == measure.PoundForce {
		bow.Scale = 1
	}
	return bow
}
