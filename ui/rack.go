package ui

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"github.com/charmbracelet/bubbles/textinput"
	tea "github.com/charmbracelet/bubbletea"

	"bendbook/model"
	"bendbook/model/plain"
	"bendbook/session"
	"bendbook/session/form"
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
	missing int                  // bows that cannot be ready in time, though their day is still to come
	shown   []int                // places in rows of the bows that match what is sought
	found   map[string]shop.Note // by id, the notes in which it was found
	seek    textinput.Model
	seeking bool
	today   bool     // only what can be done today is shown
	judging bool     // a verdict is being worked out
	unable  []string // ids of bows whose verdict can't be worked out
	picked  []string // ids of the bows to compare, in the order in which they were picked
	trouble error    // why not every bow could be read when the book was opened
}

func rackPage() page {
	return page{name: toRack,
		about: "The rack holds the bows: those in hand first, with their orders and what to do next. Choose " +
			"one and press Enter to work on it; N describes a new one.",
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

func (r *rack) choose(id string) {
	if i := slices.IndexFunc(r.shown, func(at int) bool { return r.rows[at].Bow.ID == id }); i >= 0 {
		r.at = i
	}
}

// filter shows the bows of which every word sought is found in name, number, wood, customer, stage or notes.
func (r *rack) filter() {
	r.shown, r.found = r.shown[:0], make(map[string]shop.Note)
	for at, row := range r.rows {
		if note, ok := row.Matches(r.seek.Value()); ok && (!r.today || row.Today) {
			r.shown, r.found[row.Bow.ID] = append(r.shown, at), note
		}
	}
	r.count = len(r.shown)
	r.step(0)
}

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
	row.Bow = row.Bow.ShownIn(r.desk.practice.Units)
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

func (r *rack) needsBow() string { return unless(r.chosenID() != "", "no bow is chosen") }

func (r *rack) actions() []action {
	writesBow := func() string { return cmp.Or(r.desk.mayWrite(), r.needsBow()) }
	first := action{keys: "enter right", name: "bench", main: true, off: r.needsBow,
		long: "Take the bow to the bench; in an empty book, describe the first one.",
		do:   func() move { return r.on(toBench) }}
	if r.empty() {
		first.name, first.off = "describe the first bow", r.desk.mayWrite
		first.do = func() move { return r.desk.newBow(form.NewBowForm(r.desk.Shop)) }
	}
	filled := func() string { return unless(!r.empty(), "the book has no bows yet") }
	all := []action{
		first,
		{keys: "N", name: "new", main: !r.empty(), in: writes, off: r.desk.mayWrite, long: "Describe a new bow.",
			do: func() move { return r.desk.newBow(form.NewBowForm(r.desk.Shop)) }},
		{keys: "/", name: "find", main: true, off: filled, do: then(func() { r.seeking = true; r.seek.Focus() }),
			long: "Find bows by typing: name, number, wood, customer, stage or notes. Esc shows all again."},
		{keys: "esc", name: "show all", main: true, long: "Show all bows again after finding, or after today's.",
			off: func() string { return unless(r.today || r.seek.Value() != "", "all bows are shown") },
			do:  then(func() { r.today = false; r.seek.SetValue(""); r.filter() })},
		{keys: "d", name: "describe", in: writes, off: writesBow, long: "Change the bow's description or order.",
			do: r.atWork((*work).describe)},
		{keys: "T", name: "today", main: true, off: filled, do: r.toggleToday,
			long: "Show only the bows you can do something on today, or all again."},
		{keys: "f", name: "finish", main: true, off: r.needsBow, do: func() move { return r.on(toFinish) },
			long: "Open the bow's finishing: stages, drying, mark, number and card."},
		{keys: "space", name: "mark", off: r.needsBow,
			long: "Mark the bow to compare it, or unmark it.", do: r.pick},
		{keys: "C", name: "compare", off: r.needsBow, do: r.compare,
			long: "Compare the marked bows side by side. With none marked, compare the chosen one with your " +
				"finished bows."},
		{keys: "A", name: "another", in: writes, off: writesBow,
			do:   r.atWork((*work).another),
			long: "Make another like this one: a new bow with its order, size and aim."},
		{keys: "o", name: "aside", main: true, in: writes, off: writesBow, do: r.atWork(r.aside),
			long: "Set the bow aside, or take it in hand again. Of a bow that comes back it asks why."},
		{keys: ",", name: "settings", do: func() move { return goTo(toSettings, nil) },
			long: "Show the shop's settings, each with what it means, and change them."},
	}
	undo := r.desk.undoing(r.last, r.returned)
	undo[0].main = false
	return append(append(append(all, undo...), r.choosing("bow")...),
		action{keys: "q", name: "leave", main: true, in: leaves, long: "Leave Bendbook.", do: goBack})
}

func (r *rack) idle() string {
	if r.count == 0 && r.seek.Value() != "" {
		return "No bow matches; Esc shows all."
	}
	return ""
}

func (r *rack) empty() bool { return len(r.rows) == 0 }

func (r *rack) on(page string) move { return goToBow(page, r.chosenID()) }

// toggleToday reads the rack anew: what dried meanwhile can be done now.
func (r *rack) toggleToday() move {
	r.today = !r.today
	if err := r.returned(); err != nil {
		return failed(err)
	}
	return move{}
}

func (r *rack) pick() move {
	row, _ := r.chosen()
	if at := slices.Index(r.picked, row.Bow.ID); at >= 0 {
		r.picked = slices.Delete(r.picked, at, at+1)
	} else {
		r.picked = append(r.picked, row.Bow.ID)
	}
	r.step(1)
	bows := plain.Plural(len(r.picked), "%d bow is", "%d bows are", len(r.picked))
	return said("%s marked; C sets them side by side.", bows)
}

func (r *rack) compare() move {
	bows := r.picked
	if len(bows) == 0 {
		bows = []string{r.chosenID()}
	}
	return move{open: route{page: toCompare, bows: bows}}
}

// atWork does something with the chosen bow at the bench.
func (r *rack) atWork(do func(*work) move) func() move {
	return func() move {
		w, err := r.desk.work(r.chosenID())
		if err != nil {
			return failed(err)
		}
		return do(w)
	}
}

func (r *rack) aside(w *work) move {
	row, _ := r.chosen()
	switch {
	case row.InHand:
		return w.enter(form.Aside(w.story()))
	case row.HandedOver:
		return w.enter(form.Back(w.story()))
	}
	if err := cmp.Or(w.atWork.Add(model.Rack{InHand: true}, ""), r.returned()); err != nil {
		return failed(err)
	}
	r.choose(row.Bow.ID)
	return said("%s is in hand again.", session.NameOf(row.Bow))
}

// last finds the last thing done in this sitting, or else on the chosen bow.
func (r *rack) last(redo bool) (shop.Deed, error) {
	deed, err := r.desk.Shop.Last(redo)
	if err != nil && r.chosenID() != "" {
		atWork, unread := r.desk.Shop.Bench(r.chosenID())
		if unread != nil {
			return deed, unread
		}
		deed, err = atWork.Last(redo)
	}
	deed.Just = deed.Just && deed.Bow == r.chosenID()
	return deed, err
}

// opened says what is to be known before anything else: what cannot be read, and what is half typed.
func (r *rack) opened() move {
	if r.trouble != nil {
		return failed(r.trouble)
	}
	if half, err := r.desk.Shop.Drafts(""); err == nil && len(half) > 0 {
		return warned("A new bow is half typed: N takes it up again.")
	}
	if i := slices.IndexFunc(r.rows, func(row shop.Row) bool { return row.HalfTyped != "" }); i >= 0 {
		return warned("%s: a form is half typed (%s). On the bench c takes it up again.",
			session.NameOf(r.rows[i].Bow), form.FormName(r.rows[i].HalfTyped))
	}
	return move{}
}

func (r *rack) title() (name, what, right string) {
	var parts []string
	if r.late > 0 {
		parts = append(parts, fmt.Sprintf("%d late", r.late))
	}
	if r.missing > 0 {
		parts = append(parts, fmt.Sprintf("%d not in time", r.missing))
	}
	parts = append(parts, fmt.Sprintf("%d in hand, %d in the book", r.inHand, len(r.rows)))
	return "Bendbook", "the rack", strings.Join(parts, ", ")
}

// background works out the verdicts that the book doesn't have yet, one bow after the other.
func (r *rack) background() tea.Cmd {
	i := slices.IndexFunc(r.rows, func(row shop.Row) bool {
		return row.InHand && row.Damage == nil && row.Verdict.Do == "" && !slices.Contains(r.unable, row.Bow.ID)
	})
	if i < 0 || r.judging {
		return nil
	}
	r.judging = true
	in, id := r.desk.Shop, r.rows[i].Bow.ID
	return func() tea.Msg {
		_, err := in.Judge(id)
		return toldMsg(func() notice {
			r.judging = false
			if err != nil {
				r.unable = append(r.unable, id)
			}
			if err := r.returned(); err != nil {
				return notice{failing, err.Error()}
			}
			return notice{}
		})
	}
}
