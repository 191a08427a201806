package ui

import (
	"cmp"
	"slices"
	"strings"

	"github.com/charmbracelet/bubbles/textinput"
	tea "github.com/charmbracelet/bubbletea"

	"bendbook/model/plain"
	"bendbook/session"
	"bendbook/session/sheet"
)

// rack shows the bows: which is next, what each waits for.
type rack struct {
	base
	desk    *Desk
	board   *session.Board
	inHand  int
	late    int
	shown   []int // places on the board of the bows that match what is sought
	at      int   // index in shown
	seek    textinput.Model
	seeking bool
	picked  []string // ids of the bows to compare, in the order in which they were picked
	trouble error    // why not every bow could be read when the book was opened

	looked  bool   // what takes longer to find out of the board is known, or under way
	reading bool   // bows without a tag are being read
	ahead   string // id of the bow that was read ahead
	running bool   // it is being read
}

func newRack(desk *Desk) (*rack, error) {
	seek := textinput.New()
	seek.Prompt, seek.CharLimit = "", 60
	r := &rack{desk: desk, seek: seek}
	r.trouble = r.returned()
	if r.trouble != nil && (r.board == nil || r.board.Len() == 0) {
		return nil, r.trouble
	}
	return r, nil
}

func (r *rack) returned() error {
	chosen := r.chosenID()
	board, err := r.desk.Shop.Board()
	if board == nil {
		return err
	}
	r.board, r.looked, r.ahead = board, false, ""
	r.inHand, r.late = board.Count()
	r.filter()
	r.choose(chosen)
	return err
}

// bowsAtOnce is how many bows without a tag are read before the rack shows them.
const bowsAtOnce = 100

// background implements backgrounder: it reads the chosen bow ahead, for it is likely to be taken to the bench, and the bows of which the book has no tag bit by bit, then looks at
// the board as a whole.
func (r *rack) background() tea.Cmd {
	board := r.board
	switch chosen := r.chosenID(); {
	case board.Unread() > 0 && !r.reading:
		r.reading = true
		return func() tea.Msg {
			hang := r.desk.Shop.TagSome(bowsAtOnce)
			return toldMsg(func() notice {
				r.reading = false
				hang()
				if err := r.returned(); err != nil && r.board.Unread() == 0 {
					return notice{failing, err.Error()}
				}
				return notice{}
			})
		}
	case board.Unread() == 0 && !r.looked:
		r.looked, r.ahead = true, chosen
		return func() tea.Msg {
			r.desk.Shop.ReadAhead(chosen)
			told := board.Look()
			return toldMsg(func() notice { told(); return notice{} })
		}
	case chosen != "" && chosen != r.ahead && !r.running:
		r.ahead, r.running = chosen, true
		return func() tea.Msg {
			r.desk.Shop.ReadAhead(chosen)
			return toldMsg(func() notice { r.running = false; return notice{} })
		}
	}
	return nil
}

// choose puts the mark on the bow with this id, where it is shown.
func (r *rack) choose(id string) {
	if i := slices.IndexFunc(r.shown, func(at int) bool { return r.board.ID(at) == id }); i >= 0 {
		r.at = i
	}
}

// filter shows the bows of which every word sought is found in name, number, wood, customer or stage.
func (r *rack) filter() {
	words := strings.Fields(strings.ToLower(r.seek.Value()))
	r.shown = r.shown[:0]
bows:
	for at := range r.board.Len() {
		for _, word := range words {
			if !strings.Contains(r.board.Words(at), word) {
				continue bows
			}
		}
		r.shown = append(r.shown, at)
	}
	r.at = max(0, min(r.at, len(r.shown)-1))
}

// chosenID is the id of the chosen bow; "" where there is none.
func (r *rack) chosenID() string {
	if r.at < 0 || r.at >= len(r.shown) {
		return ""
	}
	return r.board.ID(r.shown[r.at])
}

func (r *rack) chosen() (session.Row, bool) {
	if r.at < 0 || r.at >= len(r.shown) {
		return session.Row{}, false
	}
	return r.row(r.shown[r.at]), true
}

// row is the bow at a place of the board, in the shop's units.
func (r *rack) row(at int) session.Row {
	row := r.board.Row(at)
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
			return r.open(), true
		}
		return move{}, true
	}
	r.seek, _ = r.seek.Update(msg)
	r.filter()
	return move{}, true
}

func (r *rack) actions() []action {
	needsBow := func() string {
		if r.chosenID() == "" {
			return "there is no bow here"
		}
		return ""
	}
	writesBow := func() string { return cmp.Or(r.desk.mayWrite(), needsBow()) }
	aside := "set aside"
	if row, ok := r.chosen(); ok && !row.InHand {
		aside = "take in hand"
	}
	first := action{keys: []string{"enter", "right"}, name: "bench", main: true, off: needsBow, long: "Take the bow to the bench; in an empty book, describe the first one.",
		do: r.open}
	if r.empty() {
		first.name, first.off = "describe the first bow", r.desk.mayWrite
		first.do = func() move { return r.desk.newBow(sheet.NewBowForm(r.desk.Shop)) }
	}
	all := []action{
		first,
		{keys: []string{"n"}, name: "new bow", main: !r.empty(), off: r.desk.mayWrite, long: "Describe a new bow.",
			do: func() move { return r.desk.newBow(sheet.NewBowForm(r.desk.Shop)) }},
		{keys: []string{"/"}, name: "find", main: true, long: "Find bows by typing: name, number, wood, customer or stage. Esc shows all again.",
			do: func() move { r.seeking = true; r.seek.Focus(); return move{} }},
		{keys: []string{"esc"}, name: "show all", main: true, long: "Show all bows again after finding.", off: func() string {
			if r.seek.Value() == "" {
				return "all bows are shown"
			}
			return ""
		}, do: func() move { r.seek.SetValue(""); r.filter(); return move{} }},
		{keys: []string{"d"}, name: "describe", off: writesBow, long: "Change the bow's description or order.",
			do: r.describe},
		{keys: []string{"t"}, name: "today", main: true, long: "List the bows in hand by what can be done today, what dries until when, and which cannot be ready in time.",
			do: func() move { return openToday(r.desk) }},
		{keys: []string{"f"}, name: "finish", main: true, off: needsBow, long: "Open the bow's finishing: stages, drying, mark, number and card.",
			do: r.finish},
		{keys: []string{" "}, show: "space", name: "pick", off: needsBow, long: "Pick the bow for comparing, or leave it out again.", do: r.pick},
		{keys: []string{"c"}, name: "compare", off: needsBow, long: "Set the picked bows side by side; where none is picked, the chosen one beside what the shop's finished bows come to.",
			do: r.compare},
		{keys: []string{"m"}, name: "make another", off: writesBow, long: "Make another like this one: a new bow with its order, size and aim.",
			do: r.another},
		{keys: []string{"a"}, name: aside, main: true, off: writesBow, long: "Set the bow aside, or take it in hand again.",
			do: r.aside},
		{keys: []string{"s"}, name: "settings", long: "Show the shop's settings, each with what it means, and change them.",
			do: func() move { return openSettings(r.desk) }},
	}
	return append(append(all, choosing("bow", len(r.shown), r.move)...),
		action{keys: []string{"q"}, name: "leave", main: true, long: "Leave Bendbook.", do: goBack})
}

// empty says that the book has no bow, and none is still to be read.
func (r *rack) empty() bool { return r.board.Len() == 0 && r.board.Unread() == 0 }

func (r *rack) move(by int) { r.at = max(0, min(r.at+by, len(r.shown)-1)) }

func (r *rack) open() move {
	row, ok := r.chosen()
	if !ok {
		return move{}
	}
	return openBench(r.desk, row.Bow.ID)
}

func (r *rack) finish() move {
	row, _ := r.chosen()
	atWork, err := r.desk.Shop.Bench(row.Bow.ID)
	if err != nil {
		return failed(err)
	}
	return openFinish(r.desk, atWork)
}

func (r *rack) pick() move {
	row, _ := r.chosen()
	if at := slices.Index(r.picked, row.Bow.ID); at >= 0 {
		r.picked = slices.Delete(r.picked, at, at+1)
	} else {
		r.picked = append(r.picked, row.Bow.ID)
	}
	r.move(1)
	return move{say: notice{saying, plain.Plural(len(r.picked), "%d bow is picked; c sets them side by side.", "%d bows are picked; c sets them side by side.", len(r.picked))}}
}

func (r *rack) compare() move {
	if len(r.picked) > 0 {
		return openCompare(r.desk, r.picked)
	}
	row, _ := r.chosen()
	return openCompare(r.desk, []string{row.Bow.ID})
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
	if err := atWork.SetAside(false, ""); err != nil {
		return failed(err)
	}
	if err := r.returned(); err != nil {
		return failed(err)
	}
	r.choose(row.Bow.ID)
	return said("%s is in hand again.", session.NameOf(row.Bow))
}
