package ui

import (
	"cmp"
	"slices"
	"strings"

	"github.com/charmbracelet/bubbles/textinput"
	tea "github.com/charmbracelet/bubbletea"

	"bendbook/model/plain"
	"bendbook/model/say"
	"bendbook/session"
	"bendbook/session/sheet"
)

// rack shows the bows: which is next, what each waits for.
type rack struct {
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

// reckon implements reckoner: it reads the chosen bow ahead, for it is likely to be taken to the bench, and the bows of which the book has no tag bit by bit, then looks at
// the board as a whole.
func (r *rack) reckon() tea.Cmd {
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

// greeting says what is to be known before anything else: what cannot be read, and what is half typed.
func (r *rack) greeting() notice {
	if r.trouble != nil {
		return notice{failing, r.trouble.Error()}
	}
	if half, err := r.desk.Shop.HalfTypedBow(); err == nil && half {
		return notice{warning, say.It("A new bow is half typed: n takes it up again.")}
	}
	if row, ok := r.board.FirstHalfTyped(); ok {
		return notice{warning, say.F("%s: a form is half typed (%s). On the bench c takes it up again.", session.NameOf(row.Bow), row.HalfTyped)}
	}
	return notice{}
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

func (r *rack) leave() error { return nil }

func (r *rack) idle() string { return "" }

func (r *rack) about() string {
	return say.It("The rack holds the bows: those in hand first, what each is for and what it waits for. Choose one and press Enter to work on it; n describes a new one.")
}

func (r *rack) title() (name, what, right string) {
	right = say.F("%d in hand, %d in the book", r.inHand, r.board.Len())
	if missing := r.board.Missing(); missing > 0 {
		right = say.F("%d not in time,", missing) + " " + right
	}
	if r.late > 0 {
		right = say.F("%d late,", r.late) + " " + right
	}
	if unread := r.board.Unread(); unread > 0 {
		right = sayUnread(unread)
	}
	return "Bendbook", say.It("the rack"), right
}

// sayUnread says how much of the book is still to be read.
func sayUnread(n int) string { return say.F("reading the book, %d to come", n) }

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
			return say.It("there is no bow here")
		}
		return ""
	}
	writesBow := func() string { return cmp.Or(r.desk.mayWrite(), needsBow()) }
	aside := say.Word("set aside")
	if row, ok := r.chosen(); ok && !row.InHand {
		aside = "take in hand"
	}
	first := action{keys: []string{"enter", "right"}, name: "bench", main: true, off: needsBow, long: "Take the bow to the bench; in an empty book, describe the first one.",
		do: r.open}
	if r.empty() {
		first.name, first.off = "describe the first bow", r.desk.mayWrite
		first.do = func() move { return openForm(newBowForm(r.desk)) }
	}
	return []action{
		first,
		{keys: []string{"n"}, name: "new bow", main: !r.empty(), off: r.desk.mayWrite, long: "Describe a new bow.",
			do: func() move { return openForm(newBowForm(r.desk)) }},
		{keys: []string{"/"}, name: "find", main: true, long: "Find bows by typing: name, number, wood, customer or stage. Esc shows all again.",
			do: func() move { r.seeking = true; r.seek.Focus(); return move{} }},
		{keys: []string{"esc"}, name: "show all", main: true, long: "Show all bows again after finding.", off: func() string {
			if r.seek.Value() == "" {
				return say.It("all bows are shown")
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
		{keys: []string{"up", "k"}, name: "up", long: "Choose the bow above.", do: func() move { r.move(-1); return move{} }},
		{keys: []string{"down", "j"}, name: "down", long: "Choose the bow below.", do: func() move { r.move(1); return move{} }},
		{keys: []string{"pgup"}, name: "page up", long: "Go up by a page.", do: func() move { r.move(-10); return move{} }},
		{keys: []string{"pgdown"}, name: "page down", long: "Go down by a page.", do: func() move { r.move(10); return move{} }},
		{keys: []string{"q"}, name: "leave", main: true, long: "Leave Bendbook.", do: func() move { return move{back: true} }},
	}
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
	return move{say: notice{saying, say.N(len(r.picked), "%d bow is picked; c sets them side by side.", "%d bows are picked; c sets them side by side.", len(r.picked))}}
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
	return openLike(r.desk, story)
}

func (r *rack) describe() move {
	row, _ := r.chosen()
	atWork, err := r.desk.Shop.Bench(row.Bow.ID)
	if err != nil {
		return failed(err)
	}
	return openForm(editForm(r.desk, atWork))
}

func (r *rack) aside() move {
	row, _ := r.chosen()
	atWork, err := r.desk.Shop.Bench(row.Bow.ID)
	if err != nil {
		return failed(err)
	}
	if row.InHand {
		return openForm(entryForm(r.desk, atWork, sheet.Aside()))
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

func (r *rack) view(width, height int) string {
	s := r.desk.Styles
	if r.board.Len() == 0 && r.board.Unread() > 0 {
		return say.It("\n  Reading the book...")
	}
	if r.empty() {
		return say.F("\n  The book is empty. %s describes the first bow: a name and a limb's length do.", s.Accent.Render("Enter"))
	}
	var lines []string
	if r.seeking || r.seek.Value() != "" {
		lines = append(lines, s.Accent.Render(say.It("find:")+" ")+plain.Line(r.seek.Value())+cursor(s, r.seeking), "")
	}
	columns := rackColumns(width)
	lines = append(lines, s.Quiet.Render("  "+columns.row(func(c rackColumn) string { return c.head })))
	room := height - len(lines)
	foot := room > 6
	if foot {
		room -= 4
	}
	if n := len(r.shown); n > 0 && !r.board.InHand(r.shown[n-1]) {
		room-- // for the heading of those not in hand, which come last
	}
	first := max(0, min(r.at-room/2, len(r.shown)-room))
	headed := false
	for i := first; i < min(first+room, len(r.shown)); i++ {
		rowOf := r.row(r.shown[i])
		if !rowOf.InHand && !headed {
			headed = true
			lines = append(lines, s.Quiet.Render("  "+say.It("not in hand")))
		}
		if i != r.at && slices.Contains(r.picked, rowOf.Bow.ID) {
			lines = append(lines, s.Accent.Render("* ")+columns.row(func(c rackColumn) string { return c.cell(r, rowOf) }))
			continue
		}
		lines = append(lines, mark(s, i == r.at, columns.row(func(c rackColumn) string { return c.cell(r, rowOf) })))
	}
	if chosen, ok := r.chosen(); ok && foot {
		lines = append(lengthen(lines, height-3), s.Rule(width))
		lines = append(lines, r.footing(chosen)...)
	}
	return strings.Join(lines, "\n")
}

// footing says in full what the chosen bow is and what it waits for, in two lines.
func (r *rack) footing(chosen session.Row) []string {
	what := session.NameOf(chosen.Bow)
	if order := session.SayOrder(chosen.Bow, r.desk.dates()); order != "" {
		what += r.desk.Styles.Dot() + order
	}
	waits := ""
	if chosen.Waits != "" {
		waits = say.F("waits for: %s", chosen.Waits)
	}
	if days := chosen.Misses(r.desk.Place); days > 0 {
		now := r.desk.Shop.Now().In(r.desk.Place)
		waits = say.F("NOT IN TIME, ready %s%s%s", session.SayEarliest(chosen.Handover, now, r.desk.dates()), r.desk.Styles.Dot(), waits)
	}
	if chosen.HalfTyped != "" {
		waits = strings.TrimPrefix(say.F("%s%shalf typed: %s", waits, r.desk.Styles.Dot(), chosen.HalfTyped), r.desk.Styles.Dot())
	}
	if chosen.Damage != nil {
		waits = plain.Line(chosen.Damage.Error())
	}
	return []string{what, waits}
}
