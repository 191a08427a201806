// Package ui is the screen: keys in, pictures out. It knows the shop (package session) and nothing of files
// or of how the book is stored. Each screen is one file with its state, its keys, what they do and its
// picture (type screen); the app alone is bubbletea's model, and shows the one on top.
package ui

import (
	"cmp"
	"fmt"
	"io"
	"runtime"
	"strings"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/lipgloss"
	"github.com/charmbracelet/x/ansi"

	"bendbook/model/plain"
	"bendbook/session/verdict"
	"bendbook/ui/look"
)

// leaveMsg asks the app to keep what is half typed and to end: the terminal was hung up. refreshMsg asks a
// read-only app to look for what the book's holder has written.
type leaveMsg struct{}
type refreshMsg struct{}

// The smallest window in which the screens can be used.
const (
	leastWidth  = 60
	leastHeight = 20
)

// app is bubbletea's model: the screens that lie over each other, and the window.
type app struct {
	desk          *Desk
	screens       []screen // the last is on top
	width, height int
	notice        notice
	keypad        keypad
	ended         bool
	cores         chan struct{} // taken by what is worked out beside
}

func newApp(desk Desk) (*app, error) {
	a := &app{desk: &desk, cores: make(chan struct{}, max(1, runtime.NumCPU()-1))}
	// Where they can't be read, common practice holds, and whoever needs them says so.
	settings, _ := desk.Shop.Settings()
	a.desk.follow(settings)
	rack, err := screenAt(a.desk, route{page: toRack})
	if err != nil {
		return nil, err
	}
	a.screens = []screen{rack}
	a.notice = rack.opened().say
	if why := desk.Shop.ReadOnly(); why != "" {
		a.notice = notice{warning, fmt.Sprintf("To read only: %s", why)}
	}
	if mended := desk.Shop.Notice(); mended != "" {
		a.notice = notice{max(a.notice.kind, warning), strings.TrimSpace(mended + " " + a.notice.text)}
	}
	return a, nil
}

// Run shows the app on a terminal until the maker leaves, or leave is closed; half-typed forms are kept.
func Run(desk Desk, in io.Reader, out io.Writer, leave <-chan struct{}) error {
	// A terminal that takes no more ends the program by itself.
	desk.bell = func() { _, _ = io.WriteString(out, "\a") }
	desk.after = func(d time.Duration, msg tea.Msg) tea.Cmd {
		return tea.Tick(d, func(time.Time) tea.Msg { return msg })
	}
	desk.advise = verdict.Advice.Again
	app, err := newApp(desk)
	if err != nil {
		return err
	}
	// At the usual 60 frames a second a key waits up to 17 ms for its own; 120 take more than 1% of an idle
	// core. bubbletea's own signal handler blocks where a signal comes while it ends; main watches instead.
	program := tea.NewProgram(app, tea.WithAltScreen(), tea.WithInput(in), tea.WithOutput(out),
		tea.WithoutCatchPanics(), tea.WithoutSignalHandler(), tea.WithFPS(100))
	done := make(chan struct{})
	defer close(done)
	go func() {
		select {
		case <-leave:
			program.Send(leaveMsg{})
		case <-done:
		}
	}()
	_, err = program.Run()
	desk.Shop.KeepRows()
	if keep := app.leave(); keep != nil {
		return fmt.Errorf("keeping what was half typed: %w", keep)
	}
	if err != nil && !app.ended {
		return fmt.Errorf("showing the screen: %w", err)
	}
	return nil
}

func (a *app) Init() tea.Cmd { return a.lookAgain() }

// lookAgain asks for a look at a book that another program may be writing to.
func (a *app) lookAgain() tea.Cmd {
	if a.desk.Shop.ReadOnly() == "" {
		return nil
	}
	return a.desk.after(time.Second, refreshMsg{})
}

// Update implements tea.Model. What is confirmed is written here, before the next View says so.
func (a *app) Update(msg tea.Msg) (tea.Model, tea.Cmd) {
	var work tea.Cmd
	switch msg := msg.(type) {
	case tea.WindowSizeMsg:
		a.width, a.height = msg.Width, msg.Height
	case tea.KeyMsg:
		if msg.Type == tea.KeyCtrlZ {
			return a, tea.Suspend
		}
		for _, key := range a.keypad.keys(msg) {
			a.press(key)
		}
	case toldMsg:
		if told := msg(); told.text != "" {
			a.notice = told
		}
	case refreshMsg:
		a.refresh()
		work = a.lookAgain()
	case leaveMsg:
		// There may be nobody to ask; Run tells what could not be kept.
		a.ended = true
	}
	if a.ended {
		return a, tea.Quit
	}
	if a.width > 0 && !a.tooSmall() {
		a.top().fit(a.width, a.room())
	}
	return a, tea.Batch(work, a.background())
}

func (a *app) refresh() {
	changed, err := a.desk.Shop.Refresh()
	for i := 0; changed && err == nil && i < len(a.screens); i++ {
		err = a.screens[i].returned()
	}
	if err != nil {
		a.notice = failed(err).say
	}
}

// background begins what the screens have to work out, once a core is free; one is left to the keys.
func (a *app) background() tea.Cmd {
	var all []tea.Cmd
	for _, s := range a.screens {
		if work := s.background(); work != nil {
			all = append(all, func() tea.Msg {
				a.cores <- struct{}{}
				defer func() { <-a.cores }()
				return work()
			})
		}
	}
	return tea.Batch(all...)
}

func (a *app) press(msg tea.KeyMsg) {
	if a.ended {
		return
	}
	a.desk.asked, a.desk.asks = a.desk.asks, ""
	if msg.Type == tea.KeyCtrlC {
		a.end()
		return
	}
	if a.tooSmall() {
		return // nobody types into what he can't see
	}
	top := a.top()
	a.notice = notice{}
	if next, taken := top.typing(msg); taken {
		a.follow(next)
		return
	}
	switch msg.String() {
	case "f1", "?":
		a.screens = append(a.screens, newHelp(a.desk.Styles, top))
		return
	case ":", "ctrl+k":
		a.screens = append(a.screens, newPalette(a.desk.Styles, top))
		return
	}
	for _, action := range top.actions() {
		if action.has(msg) {
			if why := action.why(); why != "" {
				a.notice = notice{warning, fmt.Sprintf("%s: %s", action.name, why)}
			} else {
				a.follow(action.do())
			}
			return
		}
	}
	if msg.Paste {
		a.notice = notice{warning, "Nothing is typed here: the paste changed nothing."}
	}
}

// View implements tea.Model: never wider or taller than the window.
func (a *app) View() string {
	if a.width <= 0 || a.height <= 0 || a.ended {
		return ""
	}
	if a.tooSmall() {
		text := fmt.Sprintf("The window has %d columns and %d rows; Bendbook needs %d and %d. Until then, keys "+
			"do nothing; nothing is lost.", a.width, a.height, leastWidth, leastHeight)
		return fit(ansi.Wrap(text, a.width, ""), a.width, a.height)
	}
	s, top, room := a.desk.Styles, a.top(), a.room()
	view := top.view
	if big, canBeBig := top.(acrosser); canBeBig && a.desk.large {
		view = big.across
	}
	lines := []string{titleLine(s, top, a.width), s.Rule(a.width)}
	lines = append(lines, lengthen(strings.Split(view(a.width, room), "\n"), room)...)
	lines = append(append(lines, a.noticeLines()...), footer(s, top, a.width))
	return steady(fit(s.Spell(strings.Join(lines, "\n")), a.width, a.height))
}

// room is how many lines there are for the screen's own picture.
func (a *app) room() int { return a.height - 3 - len(a.noticeLines()) }

// tooSmall says whether the window, once its size is known, cannot show the screens.
func (a *app) tooSmall() bool { return a.width > 0 && (a.width < leastWidth || a.height < leastHeight) }

func (a *app) top() screen { return a.screens[len(a.screens)-1] }

func (a *app) follow(next move) {
	var opened screen
	if next.opens() {
		var err error
		if opened, err = screenAt(a.desk, next.open); err != nil {
			// The notice says what is wrong; the screen below may show it from now on.
			_ = a.top().returned()
			opened, next = nil, move{back: next.swap, say: failed(err).say}
		}
	}
	if next.say.text != "" {
		a.notice = next.say
	}
	if next.back || next.swap {
		if err := a.top().leave(); err != nil {
			a.notice = failed(err).say
			return
		}
		a.screens = a.screens[:len(a.screens)-1]
		if a.ended = len(a.screens) == 0; a.ended {
			return
		}
		if opened == nil {
			if err := a.top().returned(); err != nil {
				a.notice = failed(err).say
			}
		}
	}
	if opened == nil {
		if next.then != nil {
			a.follow(next.then())
		}
		return
	}
	a.screens = append(a.screens, opened)
	first := opened.opened()
	if next.say.text != "" {
		first.say = next.say
	}
	a.follow(first)
}

// end keeps what is half typed and ends. Where it can't be kept, the screen stays and says so, once.
func (a *app) end() {
	if err := a.leave(); err != nil && !a.desk.sure("leave") {
		a.notice = notice{failing, fmt.Sprintf("%v; the same key again leaves without it", err)}
		return
	}
	a.ended = true
}

func (a *app) leave() error {
	for _, s := range a.screens {
		if err := s.leave(); err != nil {
			return err
		}
	}
	return nil
}

// titleLine is the screen's title in one line. The bow's name keeps at least twelve letters.
func titleLine(s look.Styles, of screen, width int) string {
	name, what, right := of.title()
	// What is spelled out takes more room, so it is spelled before it is cut.
	name, what, right = s.Spell(name), s.Spell(what), s.Spell(right)
	if what != "" {
		what = s.Dot() + what
	}
	right = ansi.Truncate(right, max(width/2, width-1-ansi.StringWidth(name+what)), "~")
	room := width - ansi.StringWidth(right) - 1
	name = ansi.Truncate(name, max(min(12, room), room-ansi.StringWidth(what)), "~")
	what = ansi.Truncate(what, max(0, room-ansi.StringWidth(name)), "~")
	gap := strings.Repeat(" ", max(1, width-ansi.StringWidth(name+what+right)))
	return s.Strong.Render(name) + s.Plain.Render(what) + gap + s.Quiet.Render(right)
}

// noticeLines are the notice in four lines at most; without one, what the screen or the desk says.
func (a *app) noticeLines() []string {
	s, n := a.desk.Styles, a.notice
	if n.text == "" {
		n.text = ansi.Truncate(cmp.Or(a.top().idle(), a.desk.saved()), a.width, "~")
		return styled(s.Quiet, plain.Line(n.text), a.width, 4)
	}
	style := map[noticeKind]lipgloss.Style{saying: s.Good, warning: s.Caution, failing: s.Bad}[n.kind]
	return styled(style, plain.Line(n.text), a.width, 4)
}

// fit cuts text to at most height lines of at most width cells.
func fit(text string, width, height int) string {
	lines := strings.Split(text, "\n")
	lines = lines[:min(len(lines), height)]
	for i, line := range lines {
		lines[i] = ansi.Truncate(line, width, "")
	}
	return strings.Join(lines, "\n")
}

// footer is the bottom line: the main keys of the screen that can be pressed now, as far as there is room.
func footer(s look.Styles, of screen, width int) string {
	var parts []string
	add := func(key, name string) {
		part := s.Accent.Render(key) + " " + name
		if w := ansi.StringWidth(part) + 2; w <= width {
			parts, width = append(parts, part), width-w
		}
	}
	const help = 16 // what the last keys take
	width -= help
	for _, a := range of.actions() {
		if a.main && a.why() == "" {
			add(shownKey(a), a.name)
		}
	}
	width += help
	if _, types := of.(*formScreen); !types && of.about() != "" { // help and palette need neither
		add(":", "more")
	}
	if of.about() != "" {
		add("?", "help")
	}
	return strings.Join(parts, "  ")
}
